//! Finds the row of headings and says which column is which.

use super::carried_sheets::{KeptCell, KeptSheet};
use super::strays;
use crate::finding::{Finding, Sink, excerpt, nearest, nearly};
use crate::model::columns::{Column, Kind, Sheet};
use crate::model::{Raw, fold};
use crate::read::findings::sheets::{DuplicateHeading, MissingColumn, NoHeadings, WrongUnit};
use std::collections::BTreeSet;

/// Headings are looked for in this many rows; titles and blank rows may stand above them.
const ROWS: u32 = 30;
/// What a row must score to be taken for the headings: one needed heading, or two slips of the pen in needed ones.
const ENOUGH: u32 = 4;

/// Units as headings write them, folded, by the spelling that our own headings use.
const UNITS: &[(&str, &[&str])] = &[
    ("ft", &["ft", "feet", "foot", "lf", "linft"]),
    ("in", &["in", "inch", "inches"]),
    ("psi", &["psi", "psig"]),
    ("gpm", &["gpm", "gal/min"]),
    ("f", &["f", "degf"]),
    ("in/ft", &["in/ft", "inperft", "inch/foot"]),
    ("hours", &["hours", "hrs", "hr", "h"]),
    ("m", &["m", "meter", "meters", "metre", "metres"]),
    ("cm", &["cm"]),
    ("mm", &["mm"]),
    ("yd", &["yd", "yards"]),
    ("bar", &["bar"]),
    ("kPa", &["kpa"]),
    ("L/min", &["l/min", "lpm", "lps", "l/s", "m3/h"]),
    ("C", &["c", "degc", "celsius"]),
    ("minutes", &["minutes", "mins", "min"]),
];

/// What a heading turned out to be. Columns are indices into the declared list, found by looking through it: as such
/// they may be used to index it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Match {
    Name(usize),
    Alias(usize),
    WrongUnit(usize, &'static str),
    Slip(usize),
    Other,
}

/// Finds the headings of a declared sheet and fills in `heading_row` and `column_of`; false when the sheet cannot be
/// read for want of them.
pub(super) fn find(sheet: &mut KeptSheet, declared: &'static Sheet, sink: &mut Sink) -> bool {
    let names = Names::of(declared);
    // Slips are looked for only where no row has a heading that is right: it takes a while to compare every word.
    let Some(row) = best_row(sheet, &names, false).or_else(|| best_row(sheet, &names, true)) else {
        // An empty sheet that nobody needs says nothing.
        if declared.required || !sheet.cells.is_empty() {
            let expected = declared.columns.iter().filter(|c| c.required).map(|c| c.name).collect();
            let facts = NoHeadings { sheet: sheet.name.to_string(), expected, needed: declared.required };
            sink.push(Finding::at(&sheet.place(0, 0), facts));
        }
        return false;
    };
    let headings: Vec<(u16, String)> = sheet
        .rows()
        .find(|(r, _)| *r == row)
        .into_iter()
        .flat_map(|(_, cells)| cells)
        .filter_map(|cell| Some((cell.column, heading(cell)?.to_owned())))
        .collect();
    sheet.heading_row = Some(row);
    assign(sheet, &names, row, &headings, sink);
    true
}

fn heading(cell: &KeptCell) -> Option<&str> {
    match &cell.raw {
        Raw::Text(text) => Some(text.trim()).filter(|t| t.len() < 200),
        _ => None,
    }
}

/// The row that does best as the row of headings, if any does well enough; of two alike the upper one.
fn best_row(sheet: &KeptSheet, names: &Names, slips: bool) -> Option<u32> {
    let rows = sheet.rows().take_while(|(row, _)| *row < ROWS);
    let scores = rows.map(|(row, cells)| (score(cells, names, slips), std::cmp::Reverse(row)));
    let (score, std::cmp::Reverse(row)) = scores.max()?;
    (score >= ENOUGH).then_some(row)
}

/// How well a row does as the row of headings.
fn score(cells: &[KeptCell], names: &Names, slips: bool) -> u32 {
    let columns = names.declared.columns;
    let mut best = vec![0; columns.len()];
    for text in cells.iter().filter_map(heading) {
        let weight = |i: usize, needed, other| (i, if columns[i].required { needed } else { other });
        let found = if slips { names.find(text) } else { names.find_right(text) };
        let (index, points) = match found {
            Match::Name(i) | Match::Alias(i) | Match::WrongUnit(i, _) => weight(i, 6, 2),
            Match::Slip(i) => weight(i, 2, 1),
            Match::Other => continue,
        };
        best[index] = best[index].max(points);
    }
    best.iter().sum()
}

/// Gives each declared column its place: the heading's own name goes before an alias, then from left to right.
fn assign(sheet: &mut KeptSheet, names: &Names, row: u32, headings: &[(u16, String)], sink: &mut Sink) {
    let declared = names.declared;
    let matches: Vec<(u16, &str, Match)> =
        headings.iter().map(|(column, text)| (*column, text.as_str(), names.find(text))).collect();
    let mut other_unit = vec![false; declared.columns.len()];
    for (column, text, found) in &matches {
        if let Match::WrongUnit(index, unit) = *found {
            other_unit[index] = true;
            let (found, unit) = (excerpt(text), unit.to_owned());
            let facts = WrongUnit { found, column: declared.columns[index].name, unit };
            sink.at(&sheet.place(row, *column), facts);
        }
    }
    for (index, wanted) in declared.columns.iter().enumerate() {
        let by_name = matches.iter().filter(|(_, _, m)| *m == Match::Name(index));
        let by_alias = matches.iter().filter(|(_, _, m)| *m == Match::Alias(index));
        let mut claims = by_name.chain(by_alias);
        let Some((column, first, _)) = claims.next() else { continue };
        sheet.column_of.insert(wanted.name, *column);
        for (other, text, _) in claims {
            let facts = DuplicateHeading {
                found: excerpt(text),
                column: wanted.name,
                first: sheet.place(row, *column).cell(),
                same: fold(text) == fold(first),
            };
            sink.at(&sheet.place(row, *other), facts);
        }
    }
    let absent =
        |(index, c): &(usize, &Column)| c.required && !sheet.column_of.contains_key(c.name) && !other_unit[*index];
    for (_, wanted) in declared.columns.iter().enumerate().filter(absent) {
        let free =
            matches.iter().filter(|(_, _, m)| matches!(m, Match::Slip(_) | Match::Other)).map(|(_, text, _)| *text);
        let facts = MissingColumn {
            column: wanted.name,
            nearest: nearest(wanted.name, free).map(excerpt),
            present: headings.iter().map(|(_, text)| excerpt(text)).collect(),
        };
        sink.push(Finding::at(&sheet.place(row, headings.first().map_or(0, |(c, _)| *c)), facts));
    }
    strays::tell(sheet, declared, &matches, sink);
}

/// True when a row of the sheet has every heading that the declared one needs, written right.
pub(super) fn fits(sheet: &KeptSheet, declared: &'static Sheet) -> bool {
    let names = Names::of(declared);
    let needed = declared.columns.iter().filter(|column| column.required).count();
    sheet.rows().take_while(|(row, _)| *row < ROWS).any(|(_, cells)| {
        let found = cells.iter().filter_map(heading).filter_map(|text| match names.find_right(text) {
            Match::Name(index) | Match::Alias(index) => Some(index),
            _ => None,
        });
        let columns: BTreeSet<usize> = found.filter(|index| declared.columns[*index].required).collect();
        columns.len() == needed
    })
}

/// The names of a sheet's columns, folded once.
struct Names {
    declared: &'static Sheet,
    /// By column: its name, then its aliases, as written and folded.
    spellings: Vec<Vec<(&'static str, String)>>,
}

impl Names {
    fn of(declared: &'static Sheet) -> Self {
        let all = |c: &'static Column| std::iter::once(&c.name).chain(c.aliases).map(|n| (*n, fold(n))).collect();
        Self { declared, spellings: declared.columns.iter().map(all).collect() }
    }

    /// What a heading is, slips of the pen included.
    fn find(&self, text: &str) -> Match {
        match self.find_right(text) {
            Match::Other => {
                let slip = |s: &Vec<(&str, String)>| nearly(text, s.iter().map(|(name, _)| *name)).is_some();
                self.spellings.iter().position(slip).map_or(Match::Other, Match::Slip)
            }
            found => found,
        }
    }

    /// What a heading is when it is written right.
    fn find_right(&self, text: &str) -> Match {
        if let Some(found) = self.by_name(text) {
            return found;
        }
        if let Some((base, remark)) = split_unit(text)
            && let Some(Match::Name(index) | Match::Alias(index)) = self.by_name(base)
        {
            let column = &self.declared.columns[index];
            return match (unit(remark), own_unit(column)) {
                (Some(found), Some(own)) if found != own => Match::WrongUnit(index, found),
                // A quantity may be in anything; words are in no unit, so this is a column of the user's own.
                (Some(_), None) if !column.kind.is_number() => Match::Other,
                _ => Match::Alias(index),
            };
        }
        Match::Other
    }

    /// By name or alias, alike but for case, spaces and punctuation. Signs alone, such as `$`, must be the same signs.
    fn by_name(&self, text: &str) -> Option<Match> {
        let folded = fold(text);
        let same = |(name, other): &(&str, String)| {
            if folded.is_empty() || other.is_empty() { name.trim() == text.trim() } else { folded == *other }
        };
        let names = self.spellings.iter().position(|s| s.first().is_some_and(same)).map(Match::Name);
        names.or_else(|| self.spellings.iter().position(|s| s.iter().skip(1).any(same)).map(Match::Alias))
    }
}

/// `Length (feet)`, `Length [feet]` or `Length feet` -> `Length`, `feet`. Without brackets only a unit is split off.
pub(super) fn split_unit(text: &str) -> Option<(&str, &str)> {
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let Some((base, rest)) = text.split_once(open) {
            return Some((base.trim(), rest.trim_end().trim_end_matches(close)));
        }
    }
    let (base, word) = text.trim().rsplit_once([' ', ','])?;
    unit(word).map(|_| (base.trim(), word))
}

/// The unit that a remark in a heading is.
pub(super) fn unit(text: &str) -> Option<&'static str> {
    let wanted = fold(text);
    UNITS.iter().find(|(_, spellings)| spellings.contains(&wanted.as_str())).map(|(unit, _)| *unit)
}

/// The unit that a declared column is in: the last word of its name; sizes are in inches.
fn own_unit(column: &Column) -> Option<&'static str> {
    if matches!(column.kind, Kind::Size | Kind::Sizes) {
        return Some("in");
    }
    unit(column.name.rsplit(' ').next().unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::{Fixture, Price, Run, Term};

    fn name(text: &str, declared: &'static Sheet) -> Option<&'static str> {
        match Names::of(declared).find(text) {
            Match::Name(i) | Match::Alias(i) => Some(declared.columns[i].name),
            _ => None,
        }
    }

    #[test]
    fn headings_are_known_in_any_dress() {
        for text in ["Length ft", "LENGTH FT", "Length (ft)", "length, feet", "Length [feet]", " Length ", "Feet"] {
            assert_eq!(name(text, &Run::SHEET), Some("Length ft"), "{text}");
        }
        assert_eq!(name("Price ($)", &Price::SHEET), Some("Price"));
        assert_eq!(name("Note (optional)", &Run::SHEET), Some("Note"));
        assert_eq!(name("$", &Term::SHEET), Some("Amount"));
        assert_eq!(name("#", &Term::SHEET), None);
    }

    #[test]
    fn a_foreign_unit_is_not_taken_for_ours() {
        for text in ["Length (m)", "Length meters", "Rise (in)", "Size (mm)"] {
            assert!(matches!(Names::of(&Run::SHEET).find(text), Match::WrongUnit(..)), "{text}");
        }
    }

    #[test]
    fn units_are_listed_folded() {
        for spelling in UNITS.iter().flat_map(|(_, spellings)| *spellings) {
            assert_eq!(fold(spelling), *spelling);
        }
    }

    #[test]
    fn slips_are_seen_and_other_columns_left_alone() {
        assert!(matches!(Names::of(&Run::SHEET).find("Lenght ft"), Match::Slip(_)));
        for text in ["Trench depth", "Photo", "Mat'l code", ""] {
            assert_eq!(Names::of(&Run::SHEET).find(text), Match::Other, "{text}");
        }
        assert_eq!(Names::of(&Fixture::SHEET).find("Drain (in)"), Match::Other);
    }
}
