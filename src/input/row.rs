//! The rows of a declared sheet, and reading them: from the sheet as it stands to cells that know their column.

use super::cell::{Blank, Cell};
use super::{Column, Kind, Sheet};
use crate::model::{At, Field, KeptCell, KeptSheet, Raw, fold};
use std::rc::Rc;
use std::sync::Arc;

/// The cells of one row as they stand.
pub struct Cells<'a> {
    pub(crate) sheet: &'a KeptSheet,
    declared: &'static Sheet,
    /// Where each declared column stands.
    at: Rc<[Option<u16>]>,
    pub(crate) row: u32,
    cells: &'a [KeptCell],
}

/// The rows that hold something under a declared heading. A row that repeats the headings, as on each page of a
/// printed list, is none.
pub(crate) fn rows<'a>(sheet: &'a KeptSheet, declared: &'static Sheet) -> impl Iterator<Item = Cells<'a>> {
    let at: Rc<[Option<u16>]> =
        declared.columns.iter().map(|column| sheet.column_of.get(column.name).copied()).collect();
    let first = sheet.heading_row.map_or(0, |row| row + 1);
    sheet.rows().filter(move |(row, _)| *row >= first).filter_map(move |(row, cells)| {
        let column_of = |cell: &KeptCell| Some(&declared.columns[at.iter().position(|at| *at == Some(cell.column))?]);
        let mut filled = cells.iter().filter_map(|cell| Some((cell, column_of(cell)?)));
        let counts = |(cell, column): (&KeptCell, &Column)| match &cell.raw {
            Raw::Text(text) => fold(text) != fold(column.name),
            Raw::Blank => cell.formula.is_some(),
            _ => true,
        };
        filled.any(counts).then(|| Cells { sheet, declared, at: at.clone(), row, cells })
    })
}

impl<'a> Cells<'a> {
    /// The cell in the declared column of this index.
    pub(crate) fn cell(&self, index: usize) -> Cell<'a> {
        let column = &self.declared.columns[index];
        let at = self.at[index];
        let kept = at.and_then(|at| {
            let index = self.cells.binary_search_by_key(&at, |c| c.column).ok()?;
            self.cells.get(index)
        });
        Cell {
            place: at.map(|at| self.sheet.place(self.row, at)),
            kept,
            column: column.name,
            unit: column.name.rsplit(' ').next().unwrap_or_default(),
            blank: if column.required && !column.may_wait { Blank::Stop } else { Blank::Fine },
            // A text that decides nothing and a quote's date leave the bid possible. A part without a price is merely not
            // offered; a price that cannot be understood is another matter.
            needed: match column.kind {
                Kind::Text => column.required,
                Kind::Date => false,
                _ => true,
            },
        }
    }

    /// The cell under a heading of this sheet.
    pub(crate) fn under(&self, heading: &'static str) -> Cell<'a> {
        match self.declared.columns.iter().position(|column| column.name == heading) {
            Some(index) => self.cell(index),
            None => Cell { place: None, kept: None, column: heading, unit: "", blank: Blank::Fine, needed: false },
        }
    }

    /// A needed text that is not the row's name: blank where there is none.
    pub(crate) fn always(&self, field: Field<Arc<str>>) -> At<Arc<str>> {
        let place = field.cell.unwrap_or_else(|| self.sheet.place(self.row, 0));
        let value = field.value.unwrap_or_default();
        At { written: value.clone(), value, place }
    }
}
