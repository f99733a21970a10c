//! Where a stage puts what it finds.

use super::{Finding, MoreFindings};
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
    counts: BTreeMap<Arc<str>, usize>,
}

impl Sink {
    /// One more finding; only counted where its sheet has too many.
    pub fn push(&mut self, finding: Finding) {
        if finding.place.as_ref().is_none_or(|place| self.count(place)) {
            self.findings.push(finding);
        }
    }

    /// Counts one more finding on the sheet of `place`; true when there is room for it.
    fn count(&mut self, place: &Place) -> bool {
        let count = match self.counts.get_mut(&place.sheet) {
            Some(count) => count,
            None => self.counts.entry(place.sheet.clone()).or_default(),
        };
        *count += 1;
        *count <= PER_SHEET
    }

    /// False when a finding at this place would only be counted: not worth looking for a nearest name then.
    pub fn has_room(&self, place: &Place) -> bool {
        self.counts.get(&place.sheet).is_none_or(|count| *count < PER_SHEET)
    }

    /// What was found at a cell; only counted where its sheet has too many.
    pub fn at(&mut self, place: &Place, what: impl Into<Finding>) {
        // Words are only made where somebody will read them.
        if self.count(place) {
            self.findings.push(Finding::at(place, what));
        }
    }

    /// What was found of the job as a whole.
    pub fn everywhere(&mut self, what: impl Into<Finding>) {
        self.push(what.into());
    }

    /// What was found, and a word on what was left out.
    pub fn close(mut self) -> Vec<Finding> {
        for (sheet, count) in self.counts.into_iter().filter(|(_, count)| *count > PER_SHEET) {
            let more = MoreFindings { sheet: sheet.to_string(), count: count - PER_SHEET };
            self.findings.push(Finding::at(&Place::new(sheet, 0, 0), more));
        }
        self.findings
    }
}
