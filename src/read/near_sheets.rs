//! Sheets that are not read and may well be meant for one of ours: by a slip in the name, by a name that holds one of ours
//! (`Device list`, `My fixtures`), or by their headings.

use super::carried_sheets::KeptSheet;
use super::heading_row::{self, Ours};
use super::overrides;
use super::sheets::{is_read, is_result};
use crate::finding::{Finding, Sink, nearest, nearly};
use crate::input::cell::plain_text;
use crate::model::columns::Sheet;
use crate::model::fold;
use crate::read::findings::sheets::{MissingSheet, NearSheet, SheetLeftOut};
use crate::rules;
use crate::subjects;
use std::sync::Arc;

/// How much a sheet that is not read is like a declared one; the more so the greater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Likeness {
    /// It has every heading that the declared one needs.
    fits: bool,
    named: bool,
    /// It has a heading that no other sheet of ours has.
    telling: bool,
    /// How many of its headings are ours.
    headings: usize,
    /// How many rows stand below them.
    rows: usize,
}

/// So many headings of ours are no accident, whatever the sheet is called.
const NO_ACCIDENT: usize = 3;

/// In the name of a sheet these words say that it is not meant to be read.
const NOT_MEANT: &[&str] = &["not used", "unused", "ignore", "ignored", "old", "copy", "backup"];

impl Likeness {
    fn of(sheet: &KeptSheet, declared: &'static Sheet) -> Option<Self> {
        let Ours { fits, columns, rows } = heading_row::ours(sheet, declared);
        let slip = nearly(&sheet.name, declared.spellings()).is_some();
        let named = slip || declared.spellings().any(|name| holds(&sheet.name, name));
        let is_other = |other: &&Sheet| other.name != declared.name;
        let telling =
            columns.iter().any(|column| !subjects::sheets().filter(is_other).any(|s| s.find(column).is_some()));
        let headings = columns.len();
        (named || (fits && headings >= NO_ACCIDENT)).then_some(Self { fits, named, telling, headings, rows })
    }

    /// It has rows, and can be no other sheet.
    fn is_certain(&self) -> bool {
        self.fits && self.rows > 0 && (self.named || self.telling)
    }
}

/// Says which needed sheets are missing, and tells the sheets that may be meant for one of ours.
pub(super) fn find(sheets: &[KeptSheet], unreadable: &[(Arc<str>, String)], sink: &mut Sink) {
    let is_there = |declared: &Sheet| {
        sheets.iter().any(|sheet| sheet.declared.is_some_and(|found| found.name == declared.name))
            || unreadable.iter().any(|(name, _)| declared.spellings().any(|spelling| fold(spelling) == fold(name)))
    };
    // A second sheet of one of our names has been told.
    let free: Vec<&KeptSheet> =
        sheets.iter().filter(|s| s.declared.is_none() && !is_read(&s.name) && !is_result(&s.name)).collect();
    let names = sheets.iter().map(|sheet| sheet.name.to_string());
    let present: Vec<String> = names.chain(unreadable.iter().map(|(name, _)| name.to_string())).collect();
    let mut suggested = Vec::new();
    for declared in subjects::sheets().filter(|declared| declared.required && !is_there(declared)) {
        // A sheet is suggested when its name is near the declared one, or near an alias of it.
        let near = declared.spellings().find_map(|name| nearest(name, free.iter().map(|sheet| &*sheet.name)));
        let like = || free.iter().filter_map(|sheet| Some((Likeness::of(sheet, declared)?, &*sheet.name)));
        let near = near.or_else(|| like().max_by_key(|(likeness, _)| *likeness).map(|(_, name)| name));
        suggested.extend(near);
        let nearest = near.map(str::to_owned);
        sink.everywhere(MissingSheet { sheet: declared.name, nearest, present: present.clone() });
    }
    for sheet in free.iter().filter(|sheet| !suggested.contains(&&*sheet.name)) {
        let like = |there| {
            let of = subjects::sheets().filter(move |declared| is_there(declared) == there);
            let found = of.filter_map(|declared| Some((Likeness::of(sheet, declared)?, declared)));
            found.max_by_key(|(likeness, _)| *likeness)
        };
        // Beside the sheet that is read there may be an old one, or a second one whose rows are missed: its headings say.
        let second = || like(true).filter(|(likeness, _)| likeness.is_certain());
        if let Some((nearest, is_read)) = left_out(sheet, like(false), second()) {
            sink.at(&sheet.place(0, 0), SheetLeftOut { found: sheet.name.to_string(), nearest, is_read });
            continue;
        }
        let facts = match (like(false), second()) {
            (Some((likeness, declared)), second) if likeness.fits || second.is_none() => {
                let (fits, read) = (likeness.fits, false);
                Some((fits, likeness.headings > 0, declared.name, read))
            }
            (_, Some((_, declared))) => Some((true, false, declared.name, true)),
            _ => nearly_rules(sheet).map(|name| (false, false, name, false)),
        };
        if let Some((alike, to_mend, nearest, is_read)) = facts.filter(|_| !sheet.cells.is_empty()) {
            let facts = NearSheet { found: sheet.name.to_string(), nearest, alike, to_mend, is_read };
            sink.push(Finding::at(&sheet.place(0, 0), facts));
        }
    }
}

/// The sheet that this one must be meant for, whose rows the bid would lack, and whether that is there; `None` where its name
/// says that it is not meant.
fn left_out(
    sheet: &KeptSheet,
    missing: Option<(Likeness, &'static Sheet)>,
    there: Option<(Likeness, &'static Sheet)>,
) -> Option<(&'static str, bool)> {
    if NOT_MEANT.iter().any(|words| holds(&sheet.name, words)) {
        return None;
    }
    let missing = missing.filter(|(likeness, _)| likeness.is_certain()).map(|(_, declared)| (declared.name, false));
    missing.or_else(|| Some((there?.1.name, true))).or_else(|| Some((rules_by_headings(sheet)?, false)))
}

/// The sheet of rules that has these headings, all that it needs among them.
fn rules_by_headings(sheet: &KeptSheet) -> Option<&'static str> {
    let row = overrides::heading_row(sheet)?;
    let (_, cells) = sheet.rows().find(|(at, _)| *at == row)?;
    let written: Vec<String> = cells.iter().map(|cell| fold(&plain_text(&cell.raw))).collect();
    let has = |column: &rules::Column| column.names().any(|name| written.contains(&fold(name)));
    let fits = |spec: &&rules::Spec| {
        let needed = || spec.columns.iter().filter(|column| column.is_needed());
        spec.columns.iter().filter(|column| has(column)).count() >= NO_ACCIDENT && needed().all(has)
    };
    subjects::tables().filter(|spec| spec.sheet.is_some()).find(fits)?.sheet
}

/// The sheet of rules that a name is a slip of, or holds; one word may stand in many a name of the user's own.
fn nearly_rules(sheet: &KeptSheet) -> Option<&'static str> {
    subjects::rule_sheets()
        .find(|rule| nearly(&sheet.name, [*rule]).is_some() || (rule.contains(' ') && holds(&sheet.name, rule)))
}

/// True when every word of `name` stands in `text`, a plural s and figures behind it forgiven.
fn holds(text: &str, name: &str) -> bool {
    let words = |text: &str| -> Vec<String> {
        let words = text.split(|c: char| !c.is_alphanumeric()).map(fold);
        let bare = |word: String| word.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end_matches('s').to_owned();
        words.map(bare).filter(|word| !word.is_empty()).collect()
    };
    let (text, name) = (words(text), words(name));
    !name.is_empty() && name.iter().all(|word| text.contains(word))
}

#[cfg(test)]
mod tests {
    use super::holds;

    #[test]
    fn a_name_of_ours_is_found_in_a_longer_one() {
        for text in ["Device list", "List of devices", "Devices 2", "Devices2", "my-devices", "DEVICES (old)"] {
            assert!(holds(text, "Devices"), "{text}");
        }
        assert!(
            holds("Other job costs", "Other cost") && !holds("Costs", "Other costs") && !holds("Devised", "Devices")
        );
    }
}
