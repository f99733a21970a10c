//! Finds the row of headings and says which column is which.

use super::keep::{KeptCell, KeptSheet};
use super::sink::{Sink, excerpt};
use crate::finding::{Code, Finding, nearest, nearly};
use crate::model::columns::{Column, Kind, Sheet};
use crate::model::{Raw, fold};

/// Headings are looked for in this many rows; titles and blank rows may stand above them.
const ROWS: u32 = 30;
/// What a row must score to be taken for the headings: one needed heading, or two slips of the pen in needed ones.
const ENOUGH: u32 = 4;

/// Units as headings write them, by the spelling that our own headings use.
const UNITS: &[(&str, &[&str])] = &[
    ("ft", &["ft", "feet", "foot", "lf", "lin ft"]),
    ("in", &["in", "inch", "inches"]),
    ("psi", &["psi", "psig"]),
    ("gpm", &["gpm", "gal/min"]),
    ("f", &["f", "degf", "deg f"]),
    ("in/ft", &["in/ft", "in per ft", "inch/foot"]),
    ("hours", &["hours", "hrs", "hr", "h"]),
    ("m", &["m", "meter", "meters", "metre", "metres"]),
    ("cm", &["cm"]),
    ("mm", &["mm"]),
    ("yd", &["yd", "yards"]),
    ("bar", &["bar"]),
    ("kPa", &["kpa"]),
    ("L/min", &["l/min", "lpm", "lps", "l/s", "m3/h"]),
    ("C", &["c", "degc", "deg c", "celsius"]),
    ("minutes", &["minutes", "mins", "min"]),
];

/// What a heading turned out to be. Columns are indices into the declared list.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Match {
    Name(usize),
    Alias(usize),
    WrongUnit(usize, &'static str),
    Slip(usize),
    Other,
}

/// Finds the headings of a declared sheet and fills in `heading_row` and `column_of`; false when the sheet cannot be
/// read for want of them.
pub(super) fn find(sheet: &mut KeptSheet, declared: &'static Sheet, sink: &mut Sink) -> bool {
    let best = sheet
        .rows()
        .take_while(|(row, _)| *row < ROWS)
        .map(|(row, cells)| (row, score(cells, declared)))
        .max_by_key(|(row, score)| (*score, std::cmp::Reverse(*row)));
    let Some((row, _)) = best.filter(|(_, score)| *score >= ENOUGH) else {
        // An empty sheet that nobody needs says nothing.
        if declared.required || !sheet.cells.is_empty() {
            let expected = declared.columns.iter().filter(|c| c.required).map(|c| c.name).collect();
            let code = Code::NoHeadings { sheet: sheet.name.to_string(), expected, needed: declared.required };
            sink.push(Finding::at(&sheet.place(0, 0), code));
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
    assign(sheet, declared, row, &headings, sink);
    true
}

fn heading(cell: &KeptCell) -> Option<&str> {
    match &cell.raw {
        Raw::Text(text) => Some(text.trim()).filter(|t| t.len() < 200),
        _ => None,
    }
}

/// How well a row does as the row of headings.
fn score(cells: &[KeptCell], declared: &Sheet) -> u32 {
    let mut best = vec![0; declared.columns.len()];
    for text in cells.iter().filter_map(heading) {
        let weight = |i: usize, needed, other| (i, if declared.columns[i].required { needed } else { other });
        let (index, points) = match match_heading(text, declared) {
            Match::Name(i) | Match::Alias(i) | Match::WrongUnit(i, _) => weight(i, 6, 2),
            Match::Slip(i) => weight(i, 2, 1),
            Match::Other => continue,
        };
        best[index] = best[index].max(points);
    }
    best.iter().sum()
}

/// Gives each declared column its place: the heading's own name goes before an alias, then from left to right.
fn assign(sheet: &mut KeptSheet, declared: &'static Sheet, row: u32, headings: &[(u16, String)], sink: &mut Sink) {
    let matches: Vec<(u16, &str, Match)> =
        headings.iter().map(|(column, text)| (*column, text.as_str(), match_heading(text, declared))).collect();
    let mut other_unit = vec![false; declared.columns.len()];
    for (column, text, found) in &matches {
        if let Match::WrongUnit(index, unit) = *found {
            other_unit[index] = true;
            let (found, unit) = (excerpt(text), unit.to_owned());
            let code = Code::WrongUnit { found, column: declared.columns[index].name, unit };
            sink.at(&sheet.place(row, *column), code);
        }
    }
    for (index, wanted) in declared.columns.iter().enumerate() {
        let by_name = matches.iter().filter(|(_, _, m)| *m == Match::Name(index));
        let by_alias = matches.iter().filter(|(_, _, m)| *m == Match::Alias(index));
        let mut claims = by_name.chain(by_alias);
        let Some((column, first, _)) = claims.next() else { continue };
        sheet.column_of.insert(wanted.name, *column);
        for (other, text, _) in claims {
            let code = Code::DuplicateHeading {
                found: excerpt(text),
                column: wanted.name,
                first: sheet.place(row, *column).cell(),
                same: fold(text) == fold(first),
            };
            sink.at(&sheet.place(row, *other), code);
        }
    }
    for (column, text, found) in &matches {
        if let Match::Slip(index) = *found {
            let nearest = declared.columns[index].name;
            if !sheet.column_of.contains_key(nearest) {
                sink.at(&sheet.place(row, *column), Code::NearHeading { found: excerpt(text), nearest });
            }
        }
    }
    let absent =
        |(index, c): &(usize, &Column)| c.required && !sheet.column_of.contains_key(c.name) && !other_unit[*index];
    for (_, wanted) in declared.columns.iter().enumerate().filter(absent) {
        let free =
            matches.iter().filter(|(_, _, m)| matches!(m, Match::Slip(_) | Match::Other)).map(|(_, text, _)| *text);
        let code = Code::MissingColumn {
            column: wanted.name,
            nearest: nearest(wanted.name, free).map(excerpt),
            present: headings.iter().map(|(_, text)| excerpt(text)).collect(),
        };
        sink.push(Finding::at(&sheet.place(row, headings.first().map_or(0, |(c, _)| *c)), code));
    }
}

fn match_heading(text: &str, declared: &Sheet) -> Match {
    let by = |wanted: &str| {
        let names = declared.columns.iter().position(|c| same(c.name, wanted)).map(Match::Name);
        names.or_else(|| {
            declared.columns.iter().position(|c| c.aliases.iter().any(|a| same(a, wanted))).map(Match::Alias)
        })
    };
    if let Some(found) = by(text) {
        return found;
    }
    if let Some((base, remark)) = split_unit(text)
        && let Some(Match::Name(index) | Match::Alias(index)) = by(base)
    {
        return match (unit(remark), own_unit(&declared.columns[index])) {
            (Some(found), Some(own)) if found != own => Match::WrongUnit(index, found),
            // A quantity may be in anything; words are in no unit, so this is a column of the user's own.
            (Some(_), None) if !matches!(declared.columns[index].kind, Kind::Number | Kind::Positive) => Match::Other,
            _ => Match::Alias(index),
        };
    }
    let slip = declared.columns.iter().position(|c| nearly(text, [c.name].iter().chain(c.aliases).copied()).is_some());
    slip.map_or(Match::Other, Match::Slip)
}

/// Headings alike but for case, spaces and punctuation. Signs alone, such as `$`, must be the same signs.
fn same(a: &str, b: &str) -> bool {
    let (folded, other) = (fold(a), fold(b));
    if folded.is_empty() || other.is_empty() { a.trim() == b.trim() } else { folded == other }
}

/// `Length (feet)`, `Length [feet]` or `Length feet` -> `Length`, `feet`. Without brackets only a unit is split off.
fn split_unit(text: &str) -> Option<(&str, &str)> {
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let Some((base, rest)) = text.split_once(open) {
            return Some((base.trim(), rest.trim_end().trim_end_matches(close)));
        }
    }
    let (base, word) = text.trim().rsplit_once([' ', ','])?;
    unit(word).map(|_| (base.trim(), word))
}

/// The unit that a remark in a heading is.
fn unit(text: &str) -> Option<&'static str> {
    let wanted = fold(text);
    UNITS.iter().find(|(_, spellings)| spellings.iter().any(|s| fold(s) == wanted)).map(|(unit, _)| *unit)
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
    use crate::model::columns::{FIXTURES, PRICES, RUNS, TERMS};

    fn name(text: &str, declared: &'static Sheet) -> Option<&'static str> {
        match match_heading(text, declared) {
            Match::Name(i) | Match::Alias(i) => Some(declared.columns[i].name),
            _ => None,
        }
    }

    #[test]
    fn headings_are_known_in_any_dress() {
        for text in ["Length ft", "LENGTH FT", "Length (ft)", "length, feet", "Length [feet]", " Length ", "Feet"] {
            assert_eq!(name(text, &RUNS), Some("Length ft"), "{text}");
        }
        assert_eq!(name("Price ($)", &PRICES), Some("Price"));
        assert_eq!(name("Note (optional)", &RUNS), Some("Note"));
        assert_eq!(name("$", &TERMS), Some("Amount"));
        assert_eq!(name("#", &TERMS), None);
    }

    #[test]
    fn a_foreign_unit_is_not_taken_for_ours() {
        for text in ["Length (m)", "Length meters", "Rise (in)", "Size (mm)"] {
            assert!(matches!(match_heading(text, &RUNS), Match::WrongUnit(..)), "{text}");
        }
    }

    #[test]
    fn slips_are_seen_and_other_columns_left_alone() {
        assert!(matches!(match_heading("Lenght ft", &RUNS), Match::Slip(_)));
        for text in ["Trench depth", "Photo", "Mat'l code", ""] {
            assert_eq!(match_heading(text, &RUNS), Match::Other, "{text}");
        }
        assert_eq!(match_heading("Drain (in)", &FIXTURES), Match::Other);
    }
}
