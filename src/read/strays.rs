//! What stands in a sheet of ours and is not read: columns whose heading is lost or nearly one of ours, and columns of the
//! user's own.
//!
//! Where the line is: a heading that a slip, a shortening or a word beside it keeps from being one of ours, and cells
//! without any heading, ask to be fixed. Every other heading is taken for the user's own, and told once a sheet.

use super::carried_sheets::{KeptCell, KeptSheet};
use super::heading::{Match, split_unit, unit};
use crate::finding::{Sink, excerpt, nearest, shortens};
use crate::input::cell::plain_text;
use crate::model::columns::{Column, Kind, Sheet};
use crate::model::{Raw, fold};
use crate::place::a1;
use crate::read::findings::sheets::{HeadingMissing, NearHeading, OwnColumns};
use std::collections::BTreeMap;

/// Cells under one heading: the first row, the last row, how many.
type Span = (u32, u32, usize);

/// Tells the columns of a sheet whose headings have been matched (by column, as written).
pub(super) fn find(sheet: &KeptSheet, declared: &'static Sheet, matches: &[(u16, &str, Match)], sink: &mut Sink) {
    let Some(heading_row) = sheet.heading_row else { return };
    let filled = filled(sheet, heading_row);
    let cells = |column: u16| filled.get(&column).copied();
    let mut own = Vec::new();
    for (column, text, found) in matches {
        let near = match found {
            Match::Slip(index) => declared.columns.get(*index),
            Match::Other => nearly_ours(sheet, declared, text),
            _ => continue,
        };
        let near = near.filter(|column| !sheet.column_of.contains_key(column.name));
        match (near, cells(*column)) {
            // That a needed column is missing has been said, with this heading as the one that may be it.
            (Some(near), _) if near.required && nearest(near.name, [*text]).is_some() => (),
            (Some(near), span) => {
                let cells = span.map(|span| span_words(*column, span));
                let facts = NearHeading { found: excerpt(text), nearest: near.name, cells };
                sink.at(&sheet.place(heading_row, *column), facts);
            }
            (None, Some(_)) => own.push((*column, excerpt(text))),
            (None, None) => (),
        }
    }
    for (column, span) in &filled {
        // A number or a date over a column is a heading of the user's own.
        match sheet.cell(heading_row, *column).map(|cell| plain_text(&cell.raw)).filter(|text| !text.is_empty()) {
            None => {
                let facts = HeadingMissing { cells: span_words(*column, *span), count: span.2 };
                sink.at(&sheet.place(span.0, *column), facts);
            }
            Some(text) if !matches.iter().any(|(known, ..)| known == column) => own.push((*column, excerpt(&text))),
            Some(_) => (),
        }
    }
    own.sort();
    // Where a needed column is missing, one of these may be it, and that has been said.
    let complete = declared.columns.iter().all(|column| !column.required || sheet.column_of.contains_key(column.name));
    if let Some((first, _)) = own.first().filter(|_| complete) {
        let place = sheet.place(heading_row, *first);
        sink.at(&place, OwnColumns { headings: own.into_iter().map(|(_, text)| text).collect() });
    }
}

/// The cells that say something beside rows of ours, by column. A remark below the rows, or a sum, is beside none.
fn filled(sheet: &KeptSheet, heading_row: u32) -> BTreeMap<u16, Span> {
    let known = |cell: &&KeptCell| sheet.column_of.values().any(|column| *column == cell.column);
    let says = |cell: &&KeptCell| match &cell.raw {
        Raw::Blank => cell.formula.is_some(),
        Raw::Text(text) => !text.trim().is_empty(),
        _ => true,
    };
    let mut spans: BTreeMap<u16, Span> = BTreeMap::new();
    for (row, cells) in sheet.rows().filter(|(row, _)| *row > heading_row) {
        if !cells.iter().filter(says).any(|cell| known(&cell)) {
            continue;
        }
        for cell in cells.iter().filter(says).filter(|cell| !known(cell)) {
            let span = spans.entry(cell.column).or_insert((row, row, 0));
            (span.1, span.2) = (row, span.2 + 1);
        }
    }
    spans
}

/// `C2`, or `C2 to C14`.
fn span_words(column: u16, (first, last, _): Span) -> String {
    if first == last { a1(first, column) } else { format!("{} to {}", a1(first, column), a1(last, column)) }
}

/// The column that is not there and that this heading may well be meant for.
fn nearly_ours(sheet: &KeptSheet, declared: &'static Sheet, text: &str) -> Option<&'static Column> {
    let bare = split_unit(text).map_or(text, |(base, _)| base);
    let absent = || declared.columns.iter().filter(|column| !sheet.column_of.contains_key(column.name));
    absent()
        .find(|column| column.spellings().any(|name| is_short_of(bare, name)))
        .or_else(|| absent().find(|column| column.spellings().any(|name| holds(text, name, column.kind))))
        .or_else(|| absent().find(|column| column.name == RISE && speaks_of_height(bare)))
}

const RISE: &str = "Rise ft";

/// Words that stand over heights as often as over rises. Which of the two is meant nobody can tell; that the column is not
/// read changes every pressure.
fn speaks_of_height(text: &str) -> bool {
    let words = ["height", "drop", "elevation", "elev"];
    words.iter().any(|word| fold(text) == *word || nearest(text, [*word]).is_some())
}

/// True for `Len` of `Length ft`: of one word, or of a word and its unit.
fn is_short_of(text: &str, name: &str) -> bool {
    let word = match name.split_once(' ') {
        Some((word, rest)) if unit(rest).is_some() => word,
        Some(_) => return false,
        None => name,
    };
    shortens(text, word)
}

/// True for `Pipe size` of `Size`, `Number of bends` of `Bends`, `Cold water run` of `Cold run`. Words that decide nothing
/// may stand in many a heading of the user's own.
fn holds(text: &str, name: &str, kind: Kind) -> bool {
    let words = |text: &str| text.split_whitespace().map(fold).filter(|word| !word.is_empty()).collect::<Vec<_>>();
    let (text, name) = (words(text), words(name));
    match &name[..] {
        [word] => kind != Kind::Text && word.len() >= 4 && text.len() > 1 && text.last() == Some(word),
        [] => false,
        several => text.len() > several.len() && several.iter().all(|word| text.contains(word)),
    }
}
