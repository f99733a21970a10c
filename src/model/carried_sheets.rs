//! The user's own sheets as they stood, cell for cell: what the bid workbook carries along.
//!
//! In: nothing. Made by the reader, written by the writer at the same addresses. Never: a judgement on what stands there.

use super::Raw;
use super::columns::Sheet;
use crate::place::Place;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Every sheet of the workbook that is the user's, in the workbook's order.
#[derive(Debug, Clone, Default)]
pub struct KeptBook {
    /// From left to right.
    pub sheets: Vec<KeptSheet>,
}

impl KeptBook {
    /// The sheet that was read as this declared one.
    pub fn declared(&self, name: &str) -> Option<&KeptSheet> {
        self.sheets.iter().find(|s| s.declared.is_some_and(|d| d.name == name))
    }

    /// The same, to write into.
    pub fn declared_mut(&mut self, name: &str) -> Option<&mut KeptSheet> {
        self.sheets.iter_mut().find(|s| s.declared.is_some_and(|d| d.name == name))
    }
}

/// One sheet of the user's.
#[derive(Debug, Clone, Default)]
pub struct KeptSheet {
    /// Its name in the workbook that was read.
    pub name: Arc<str>,
    /// Its name in the bid: the same, unless the bid makes a sheet of that name.
    pub shown: Arc<str>,
    /// Its tab is not shown.
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
    /// The cell at this row and column, from 0; `None` where nothing stands.
    pub fn cell(&self, row: u32, column: u16) -> Option<&KeptCell> {
        let at = self.cells.binary_search_by_key(&(row, column), |c| (c.row, c.column)).ok()?;
        self.cells.get(at)
    }

    /// The cells of each row that has any, in order.
    pub fn rows(&self) -> impl Iterator<Item = (u32, &[KeptCell])> {
        // A chunk is never empty.
        self.cells.chunk_by(|a, b| a.row == b.row).map(|cells| (cells[0].row, cells))
    }

    /// Puts a value in a cell, in place of whatever stood there; a blank one clears it. The cells stay in order.
    pub fn put(&mut self, row: u32, column: u16, raw: Raw, format: Option<&str>) {
        let at = self.cells.partition_point(|cell| (cell.row, cell.column) < (row, column));
        if self.cells.get(at).is_some_and(|cell| (cell.row, cell.column) == (row, column)) {
            self.cells.remove(at);
        }
        if raw != Raw::Blank {
            self.cells.insert(at, KeptCell { row, column, raw, formula: None, format: format.map(Into::into) });
        }
    }

    /// The column under a declared heading; a sheet without it gets one at the right.
    pub fn column_under(&mut self, heading: &'static str) -> u16 {
        if let Some(column) = self.column_of.get(heading) {
            return *column;
        }
        let column = self.cells.iter().map(|cell| cell.column).max().map_or(0, |last| last.saturating_add(1));
        self.put(self.heading_row.unwrap_or(0), column, Raw::Text(heading.into()), None);
        self.column_of.insert(heading, column);
        column
    }

    /// The first row under everything that stands in the sheet.
    pub fn next_row(&self) -> u32 {
        self.cells.iter().map(|cell| cell.row).max().map_or(0, |last| last.saturating_add(1))
    }

    /// Where a cell of it stands in the workbook that was read.
    pub fn place(&self, row: u32, column: u16) -> Place {
        Place { sheet: self.name.clone(), row, column }
    }
}

/// One cell that holds something.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct KeptCell {
    /// From 0.
    pub row: u32,
    /// From 0.
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
