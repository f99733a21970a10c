//! Addresses: where every figure stands once all have been put. Inputs keep theirs; blocks are stacked down a sheet.

use super::{Block, Book, Fig, Home, Range, SheetId, TableId};
use crate::place::Place;
use std::sync::Arc;

/// Row of the heading and of the first data row of each table, and of each line of words.
#[derive(Debug)]
pub struct Addresses {
    /// Per table: row of its title (if it has one), of its headings (if headed), and its first data row.
    pub tables: Vec<TablePlace>,
    /// Per sheet and block: the row it begins at.
    pub blocks: Vec<Vec<u32>>,
}

/// Rows of a table on its sheet, counted from 0.
#[derive(Debug, Clone, Copy, Default)]
pub struct TablePlace {
    /// Row of its title; `None` where it has none.
    pub title: Option<u32>,
    /// Row of its headings; `None` for a list of labels and values.
    pub headings: Option<u32>,
    /// Its first data row.
    pub first: u32,
}

/// Rows that a chart takes.
pub const CHART_ROWS: u32 = 20;

/// Stacks the blocks of every sheet. A table is its title (if any), its headings (if any), its rows and a blank row.
pub fn addresses(book: &Book) -> Addresses {
    let mut tables = vec![TablePlace::default(); book.tables.len()];
    let mut blocks = Vec::with_capacity(book.sheets.len());
    for sheet in &book.sheets {
        let mut row = 0;
        let mut begins = Vec::with_capacity(sheet.blocks.len());
        for block in &sheet.blocks {
            begins.push(row);
            match block {
                Block::Line { .. } | Block::Gap => row += 1,
                Block::PageBreak => {}
                Block::Chart(id) => row += if book.chart_spec(*id).is_some() { CHART_ROWS } else { 0 },
                Block::Table(id) => {
                    let spec = &book.tables[usize::from(id.0)];
                    let place = &mut tables[usize::from(id.0)];
                    if !spec.title.is_empty() {
                        place.title = Some(row);
                        row += 1;
                    }
                    if spec.headed {
                        place.headings = Some(row);
                        row += 1;
                    }
                    place.first = row;
                    row += spec.rows + 1;
                }
            }
        }
        blocks.push(begins);
    }
    Addresses { tables, blocks }
}

impl Addresses {
    /// The cell that a figure stands in.
    pub fn place(&self, book: &Book, fig: Fig) -> Place {
        match book.home(fig) {
            Home::Input(place) => place.clone(),
            Home::Table(..) | Home::Line(..) => {
                let (sheet, row, column) = self.spot(book, fig);
                Place::new(sheet.clone(), row, column)
            }
        }
    }

    /// Sheet, row and column of a figure.
    pub fn spot<'b>(&self, book: &'b Book, fig: Fig) -> (&'b Arc<str>, u32, u16) {
        match book.home(fig) {
            Home::Input(place) => (&place.sheet, place.row, place.column),
            Home::Table(row, column) => {
                let first = self.tables[usize::from(row.table.0)].first;
                (sheet_of(book, row.table), first + row.index, *column)
            }
            Home::Line(sheet, block) => {
                let sheet = usize::from(sheet.0);
                (&book.sheets[sheet].name, self.blocks[sheet][*block as usize], 0)
            }
        }
    }

    /// Sheet, first and last row of a range.
    pub fn range<'b>(&self, book: &'b Book, range: Range) -> (&'b Arc<str>, u32, u32) {
        let first = self.tables[usize::from(range.table.0)].first;
        (sheet_of(book, range.table), first + range.first, first + range.last)
    }
}

fn sheet_of(book: &Book, table: TableId) -> &Arc<str> {
    let SheetId(sheet) = book.tables[usize::from(table.0)].sheet;
    &book.sheets[usize::from(sheet)].name
}
