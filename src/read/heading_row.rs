//! Finds the row of headings in a sheet and gives each declared column its place.

use super::carried_sheets::{KeptCell, KeptSheet};
use super::heading::{Match, Names};
use super::strays;
use crate::finding::{Finding, Sink, excerpt, nearest};
use crate::model::columns::{Column, Sheet};
use crate::model::{Raw, fold};
use crate::read::findings::sheets::{DuplicateHeading, MissingColumn, NoHeadings, WrongUnit};
use std::collections::BTreeSet;

/// Headings are looked for in this many rows; titles and blank rows may stand above them.
const ROWS: u32 = 30;
/// What a row must score to be taken for the headings: one needed heading, or two slips of the pen in needed ones.
const ENOUGH: u32 = 4;

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
    strays::find(sheet, declared, &matches, sink);
}

/// What a sheet that is not read has of a declared one.
#[derive(Debug, Default)]
pub(super) struct Ours {
    /// Every column that is needed has a heading.
    pub fits: bool,
    /// The columns that have a heading, written right.
    pub columns: BTreeSet<&'static str>,
    /// How many rows stand below the headings.
    pub rows: usize,
}

/// The headings of the declared sheet in the row of this one that has most of them.
pub(super) fn ours(sheet: &KeptSheet, declared: &'static Sheet) -> Ours {
    let names = Names::of(declared);
    let all = sheet.rows().count();
    let rows = sheet.rows().take_while(|(row, _)| *row < ROWS).enumerate().map(|(at, (_, cells))| {
        let found = cells.iter().filter_map(heading).filter_map(|text| match names.find_right(text) {
            Match::Name(index) | Match::Alias(index) => declared.columns.get(index),
            _ => None,
        });
        let columns: BTreeSet<&str> = found.map(|column| column.name).collect();
        let fits = declared.columns.iter().filter(|column| column.required).all(|c| columns.contains(c.name));
        Ours { fits, columns, rows: all - at - 1 }
    });
    rows.max_by_key(|ours| (ours.fits, ours.columns.len())).unwrap_or_default()
}
