//! Cells of ours that read a cell of the user's: each made once, and all formulas point at it.

use super::readings::{How, Reader};
use super::{Book, Column, ColumnId, ColumnLook, Expr, Fig, Home, SheetId, Term};
use crate::unit::Unit;
use rust_decimal::Decimal;

impl Reader {
    /// Which column it stands in: words are made alike before they are read.
    fn column(&self, how: How) -> ColumnId {
        match how {
            How::BareSize | How::Fractions => self.bare,
            How::Decimals => self.decimals,
            How::LengthText | How::SizeText => self.text,
            How::Number(_) | How::Tax | How::Feet | How::Size => None,
        }
        .unwrap_or(self.read)
    }
}

impl Book {
    /// Puts what the user's `cell` is read as into a cell of ours, or gives the one that was put. A book that has no room
    /// for tables of its own gets the formula itself.
    pub(crate) fn read_once(&mut self, cell: &Term, how: How, read: Term) -> Term {
        let (Some(fig), Some(_)) = (cell.fig(), self.own_sheet) else { return read };
        if let Some(made) = self.readings.made.get(&(fig, how)) {
            return made.clone();
        }
        let worded = !matches!(how, How::Number(_) | How::Tax);
        let sized = matches!(how, How::BareSize | How::SizeText | How::Size);
        let Some(reader) = self.reader(fig, worded, sized) else { return read };
        // A number that is asked for with two defaults has a row for each.
        let row = match self.readings.rows.get(&(fig, worded)).copied() {
            Some(row) if worded => row,
            _ => {
                let row = self.row(reader.cell.table());
                if let Home::Input(place) = self.home(fig).clone() {
                    let label = self.label(row, reader.cell, &place.cell());
                    self.link(&label, &place);
                }
                self.readings.rows.insert((fig, worded), row);
                row
            }
        };
        let put = self.put(row, reader.column(how), read);
        self.readings.made.insert((fig, how), put.clone());
        put
    }

    /// The cell of ours that reads a number of the user's, for functions that pass over the text of one.
    pub(super) fn as_number(&mut self, expr: &Expr) -> Expr {
        match expr {
            Expr::Cell(fig) if matches!(self.home(*fig), Home::Input(_)) => {
                let cell = Term::cell(*fig, self.value(*fig).clone());
                let number = cell.plain_number();
                self.read_once(&cell, How::Number(Decimal::ZERO), number).expr().clone()
            }
            _ => expr.clone(),
        }
    }

    fn reader(&mut self, fig: Fig, worded: bool, sized: bool) -> Option<Reader> {
        let (Home::Input(place), Some(sheet)) = (self.home(fig).clone(), self.own_sheet) else { return None };
        let key = (place.sheet.clone(), place.column, worded);
        if let Some(reader) = self.readings.readers.get(&key) {
            return Some(*reader);
        }
        let column: String = place.cell().chars().take_while(char::is_ascii_alphabetic).collect();
        let table = self.table(sheet, &format!("{}, column {column}, as the program reads it", place.sheet));
        let mut column = |heading: &str, width| self.column_like(table, heading, ColumnLook::plain(Unit::None, width));
        let reader = Reader {
            cell: column("Cell", 26.0),
            bare: worded.then(|| column(if sized { "Without inch marks" } else { "Fractions written out" }, 18.0)),
            decimals: (worded && !sized).then(|| column("Fractions as decimals", 18.0)),
            text: worded.then(|| column("In one spelling", 18.0)),
            read: column("Read as", 18.0),
        };
        self.readings.readers.insert(key, reader);
        Some(reader)
    }

    /// Two columns of ours that readings look sizes up in, put when they are first asked for. `None` for a book that has no room
    /// for them.
    pub(crate) fn sizes_once(
        &mut self,
        put: impl FnOnce(&mut Self, SheetId) -> (Column, Column),
    ) -> Option<(Column, Column)> {
        let sheet = self.own_sheet?;
        if self.readings.sizes.is_none() {
            self.readings.sizes = Some(put(self, sheet));
        }
        self.readings.sizes.clone()
    }
}
