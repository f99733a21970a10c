//! A change to one cell of the input sheets, as it is typed: `Runs!D12=3/4`, or by name, `run M1 size=3/4`.
//!
//! The cell is written as a spreadsheet would hold what was typed; whether that means anything the reader says, when it
//! types the rows again.

use super::inputs::raw_text;
use crate::finding::{Finding, UnknownName, excerpt, nearest};
use crate::input::{Column, Reference, Sheet, entered};
use crate::model::network::same_name;
use crate::model::{KeptBook, KeptSheet};
use crate::place::Place;
use crate::revise::findings::{EditNotInput, EditNotRead, EditOfFormula, EditOfNothing, EditOfResult};
use crate::sheets::Page;
use crate::subjects;

/// One cell and what it is to hold.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CellEdit {
    pub place: Place,
    /// As typed; empty clears the cell.
    pub text: String,
}

/// Reads a change that names a cell, or a row and a column; `None` when it speaks of neither, but of a setting.
pub(crate) fn parse(book: &KeptBook, typed: &str) -> Option<Result<CellEdit, Box<Finding>>> {
    let (target, text) = typed.split_once('=')?;
    let target = target.trim();
    let place = match target.contains('!') {
        true => Place::parse(target).ok_or_else(|| {
            let expected = "a cell such as Runs!D12".to_owned();
            Box::new(Finding::everywhere(EditNotRead { typed: excerpt(typed), expected }))
        }),
        false => by_name(book, target).or_else(|| super::row_reference::cell(book, target))?,
    };
    Some(place.and_then(|place| within(book, &place)).map(|place| CellEdit { place, text: text.trim().to_owned() }))
}

/// `run M1 size`: the row's kind, its name, the column.
fn by_name(book: &KeptBook, target: &str) -> Option<Result<Place, Box<Finding>>> {
    let (first, rest) = target.split_once(char::is_whitespace)?;
    let declared = Sheet::of_noun(first)?;
    let Reference::Name(example) = declared.reference else { return None };
    let (sheet, noun, key) = (declared.name, declared.noun, declared.name_column()?.name);
    let kept = book.declared(sheet)?;
    // The longest heading that the words end with, so that a name may have spaces too.
    let words: Vec<&str> = rest.split_whitespace().collect();
    let found = (1..words.len())
        .find_map(|cut| declared.find(&words[cut..].join(" ")).map(|column| (words[..cut].join(" "), column)));
    let Some((name, column)) = found else {
        let expected = format!("{noun}, its name, and a heading of the sheet {sheet}, such as \"{noun} {example}\"");
        return Some(Err(EditNotRead { typed: excerpt(target), expected }.into()));
    };
    let row = row_named(kept, key, &name);
    let at = kept.column_of.get(column.name);
    Some(match (row, at) {
        (Some(row), Some(at)) => Ok(kept.place(row, *at)),
        (None, _) => {
            let names = names(kept, key);
            Err(Box::new(Finding::everywhere(UnknownName {
                what: noun,
                nearest: nearest(&name, names.iter().map(String::as_str)).map(str::to_owned),
                found: excerpt(&name),
                remedy: format!("Name a row of the sheet {sheet}."),
            })))
        }
        (_, None) => Err(Box::new(Finding::everywhere(EditNotRead {
            typed: excerpt(target),
            expected: format!("a heading that the workbook's sheet {sheet} has; it has no column {}", column.name),
        }))),
    })
}

fn names(sheet: &KeptSheet, key: &str) -> Vec<String> {
    let (Some(headings), Some(at)) = (sheet.heading_row, sheet.column_of.get(key)) else { return Vec::new() };
    let cells = sheet.cells.iter().filter(|cell| cell.row > headings && cell.column == *at);
    cells.map(|cell| raw_text(&cell.raw)).collect()
}

fn row_named(sheet: &KeptSheet, key: &str, name: &str) -> Option<u32> {
    let (headings, at) = (sheet.heading_row?, sheet.column_of.get(key)?);
    let cells = sheet.cells.iter().filter(|cell| cell.row > headings && cell.column == *at);
    cells.into_iter().find(|cell| same_name(&raw_text(&cell.raw)) == same_name(name)).map(|cell| cell.row)
}

/// The place with its sheet's own spelling, when it is a cell that the program reads as input.
fn within(book: &KeptBook, place: &Place) -> Result<Place, Box<Finding>> {
    let cell = place.to_string();
    let Some(sheet) = book.sheets.iter().find(|sheet| sheet.name.to_lowercase() == place.sheet.to_lowercase()) else {
        let ours = Page::from_name(&place.sheet).is_some();
        let near = nearest(&place.sheet, book.sheets.iter().map(|sheet| &*sheet.name)).map(str::to_owned);
        return Err(match ours {
            true => EditOfResult { cell }.into(),
            false => UnknownName {
                what: "sheet",
                found: excerpt(&place.sheet),
                nearest: near,
                remedy: "Name a cell of a sheet that the workbook has, such as Runs!D12.".to_owned(),
            }
            .into(),
        });
    };
    let place = sheet.place(place.row, place.column);
    let declared = sheet.declared.is_some();
    let rules = subjects::rule_sheet_named(&sheet.name).is_some();
    let under = sheet.heading_row.is_some_and(|headings| place.row > headings);
    let read = !declared || sheet.column_of.values().any(|column| *column == place.column);
    match (declared || rules) && under && read {
        true if sheet.cell(place.row, place.column).is_some_and(|cell| cell.formula.is_some()) => {
            Err(Box::new(Finding::at(&place, EditOfFormula { cell: place.to_string() })))
        }
        true => Ok(place),
        false => Err(Box::new(Finding::at(&place, EditNotInput { cell: place.to_string() }))),
    }
}

/// Writes the changes into the sheets.
pub(crate) fn apply(book: &mut KeptBook, edits: &[CellEdit]) {
    for edit in edits {
        if let Some(sheet) = book.sheets.iter_mut().find(|sheet| sheet.name == edit.place.sheet) {
            let (raw, format) = entered(column_at(sheet, edit.place.column).map(|column| column.kind), &edit.text);
            sheet.put(edit.place.row, edit.place.column, raw, format);
        }
    }
}

/// A changed cell in a row that has no name, once all changes are made, belongs to nothing.
pub(crate) fn nameless(book: &KeptBook, edits: &[CellEdit]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for edit in edits {
        let Some(sheet) = book.sheets.iter().find(|sheet| sheet.name == edit.place.sheet) else { continue };
        let Some(declared) = sheet.declared else { continue };
        let Some(key) = declared.name_column().map(|column| column.name) else { continue };
        let has_name = sheet.column_of.get(key).and_then(|at| sheet.cell(edit.place.row, *at)).is_some();
        if !has_name {
            let last = sheet.column_of.get(key).and_then(|at| sheet.cells.iter().rev().find(|c| c.column == *at));
            findings.push(Finding::at(
                &edit.place,
                EditOfNothing {
                    cell: edit.place.to_string(),
                    noun: declared.noun,
                    last: last.map(|cell| cell.row + 1).unwrap_or_default(),
                },
            ));
        }
    }
    findings
}

fn column_at(sheet: &KeptSheet, at: u16) -> Option<&'static Column> {
    let declared: &'static Sheet = sheet.declared?;
    let name = sheet.column_of.iter().find(|(_, column)| **column == at).map(|(name, _)| *name)?;
    declared.columns.iter().find(|column| column.name == name)
}
