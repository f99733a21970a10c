//! Where a stage puts what it finds.

use super::{Finding, MoreFindings, Severity};
use crate::place::Place;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Nobody fixes more than this on one sheet before looking again, and a sheet of 200,000 bad rows must not make a
/// million findings.
const PER_SHEET: usize = 500;

/// Collects findings; never stops at the first.
#[derive(Default)]
pub struct Sink {
    findings: Vec<Finding>,
    sheets: BTreeMap<Arc<str>, OfSheet>,
}

/// What was found on one sheet.
#[derive(Default)]
struct OfSheet {
    listed: usize,
    left_out: usize,
    /// One of those that are listed stops the bid.
    has_stop: bool,
}

impl Sink {
    /// One more finding; only counted where its sheet has too many.
    pub fn push(&mut self, finding: Finding) {
        match finding.place.clone() {
            Some(place) => self.at(&place, finding),
            None => self.findings.push(finding),
        }
    }

    /// False when a finding at this place would only be counted: not worth looking for a nearest name then.
    pub fn has_room(&self, place: &Place) -> bool {
        self.sheets.get(&place.sheet).is_none_or(|sheet| sheet.listed < PER_SHEET)
    }

    /// What was found at a cell; only counted where its sheet has too many, but for a stop where none is told: without it the
    /// job would be priced.
    pub fn at(&mut self, place: &Place, what: impl Into<Finding>) {
        let sheet = match self.sheets.get_mut(&place.sheet) {
            Some(sheet) => sheet,
            None => self.sheets.entry(place.sheet.clone()).or_default(),
        };
        let has_room = sheet.listed < PER_SHEET;
        // Words are only made where somebody may read them.
        if has_room || !sheet.has_stop {
            let finding = Finding::at(place, what);
            let is_stop = finding.severity == Severity::Stop;
            if has_room || is_stop {
                sheet.has_stop |= is_stop;
                sheet.listed += 1;
                return self.findings.push(finding);
            }
        }
        sheet.left_out += 1;
    }

    /// What was found of the job as a whole.
    pub fn everywhere(&mut self, what: impl Into<Finding>) {
        self.push(what.into());
    }

    /// What was found, and a word on what was left out.
    pub fn close(mut self) -> Vec<Finding> {
        for (sheet, of) in self.sheets.into_iter().filter(|(_, of)| of.left_out > 0) {
            let more = MoreFindings { sheet: sheet.to_string(), count: of.left_out };
            self.findings.push(Finding::at(&Place::new(sheet, 0, 0), more));
        }
        self.findings
    }
}

#[cfg(test)]
mod tests {
    use super::{PER_SHEET, Sink};
    use crate::finding::{Finding, Internal, MoreFindings, Severity};
    use crate::place::Place;

    #[test]
    fn a_stop_is_kept_however_many_notes_stand_before_it() {
        let place = Place::new("Runs", 3, 0);
        let stop = || Internal { detail: "a stop".to_owned() };
        let note = || Finding { severity: Severity::Note, ..stop().into() };
        let mut sink = Sink::default();
        (0..PER_SHEET + 2).for_each(|_| sink.at(&place, note()));
        (0..3).for_each(|_| sink.at(&place, stop()));
        let findings = sink.close();
        assert_eq!(findings.iter().filter(|finding| finding.severity == Severity::Stop).count(), 1);
        let more = findings.last().unwrap();
        assert!(more.is::<MoreFindings>() && more.found.starts_with("4 more"), "{}", more.found);
        assert_eq!(findings.len(), PER_SHEET + 2);
    }
}
