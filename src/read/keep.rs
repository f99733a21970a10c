//! The input sheets as they stood, cell for cell, so that the bid can show them at the addresses they had.

use super::formula;
use crate::finding::{Code, Finding, Sink};
use crate::model::columns::Sheet;
use crate::model::{RESULT_SHEETS, Raw};
use crate::place::{Place, a1};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Every sheet of the workbook that is the user's, in the workbook's order.
#[derive(Debug, Clone, Default)]
pub struct KeptBook {
    pub sheets: Vec<KeptSheet>,
}

impl KeptBook {
    /// The sheet that was read as this declared one.
    pub fn declared(&self, name: &str) -> Option<&KeptSheet> {
        self.sheets.iter().find(|s| s.declared.is_some_and(|d| d.name == name))
    }
}

/// One sheet of the user's.
#[derive(Debug, Clone, Default)]
pub struct KeptSheet {
    /// Its name in the workbook that was read.
    pub name: Arc<str>,
    /// Its name in the bid: the same, unless the bid makes a sheet of that name.
    pub shown: Arc<str>,
    pub hidden: bool,
    /// What it was read as.
    pub declared: Option<&'static Sheet>,
    /// The row of its headings, counted from 0.
    pub heading_row: Option<u32>,
    /// Column of each declared heading that was found, by the declared name.
    pub column_of: BTreeMap<&'static str, u16>,
    /// Cells that hold something, row by row.
    pub cells: Vec<KeptCell>,
    /// Merged cells: first row, first column, last row, last column. Known for .xlsx only.
    pub merged: Vec<(u32, u16, u32, u16)>,
}

impl KeptSheet {
    pub fn cell(&self, row: u32, column: u16) -> Option<&KeptCell> {
        let at = self.cells.binary_search_by_key(&(row, column), |c| (c.row, c.column)).ok()?;
        self.cells.get(at)
    }

    /// The cells of each row that has any, in order.
    pub fn rows(&self) -> impl Iterator<Item = (u32, &[KeptCell])> {
        // A chunk is never empty, so it has a first cell.
        self.cells.chunk_by(|a, b| a.row == b.row).map(|cells| (cells[0].row, cells))
    }

    pub fn place(&self, row: u32, column: u16) -> Place {
        Place { sheet: self.name.clone(), row, column }
    }
}

/// One cell that holds something.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptCell {
    pub row: u32,
    pub column: u16,
    /// The value; of a formula, the one that was last worked out.
    pub raw: Raw,
    /// The formula, in the spelling of .xlsx and without its equals sign, when it can stand in the bid.
    pub formula: Option<Arc<str>>,
    /// The number format, when it is known and is not General.
    pub format: Option<Arc<str>>,
}

impl KeptCell {
    /// True when the cell shows its number as a percent.
    pub fn is_percent(&self) -> bool {
        self.format.as_deref().is_some_and(shows_percent)
    }
}

/// True when a number format shows percents: a % outside quotes.
fn shows_percent(format: &str) -> bool {
    format.split('"').step_by(2).any(|bare| bare.contains('%'))
}

/// Gives the user's sheets that bear a name of ours another, and drops the formulas that could not stand in the bid.
pub(super) fn settle(sheets: &mut [KeptSheet], arrays: &BTreeSet<(u32, u16)>, sink: &mut Sink) {
    let mut names: BTreeSet<String> = sheets.iter().map(|s| s.name.to_lowercase()).collect();
    for sheet in sheets.iter_mut().filter(|s| RESULT_SHEETS.iter().any(|r| r.eq_ignore_ascii_case(&s.name))) {
        sheet.shown = free_name(&sheet.name, &mut names).into();
        let code = Code::RenamedSheet { sheet: sheet.name.to_string(), kept_as: sheet.shown.to_string() };
        sink.push(Finding::at(&sheet.place(0, 0), code));
    }
    let kept: BTreeSet<String> = sheets.iter().filter(|s| s.shown == s.name).map(|s| s.name.to_lowercase()).collect();
    for sheet in sheets {
        let mut dropped: Vec<(Place, &'static str)> = Vec::new();
        let place = |cell: &KeptCell| Place { sheet: sheet.name.clone(), row: cell.row, column: cell.column };
        for cell in &mut sheet.cells {
            let Some(written) = &cell.formula else { continue };
            let judged = if arrays.contains(&(cell.row, cell.column)) {
                Err("is an array formula")
            } else {
                formula::keep(written, &kept)
            };
            match judged {
                Ok(formula) => cell.formula = Some(formula),
                Err(reason) => {
                    cell.formula = None;
                    dropped.push((place(cell), reason));
                }
            }
        }
        if let Some((place, reason)) = dropped.first() {
            let cell = a1(place.row, place.column);
            sink.push(Finding::at(place, Code::FormulasDropped { count: dropped.len(), cell, reason }));
        }
    }
}

/// `Hours (yours)`, or with a number where that is taken; at most the 31 characters that a sheet name may have.
fn free_name(name: &str, taken: &mut BTreeSet<String>) -> String {
    let mut suffix = " (yours)".to_owned();
    let mut number = 1;
    loop {
        let stem: String = name.chars().take(31 - suffix.len()).collect();
        let candidate = format!("{stem}{suffix}");
        if taken.insert(candidate.to_lowercase()) {
            return candidate;
        }
        number += 1;
        suffix = format!(" (yours {number})");
    }
}
