//! How cells are shown, beyond what is in them: their unit, their row's mark, where they lead, what stays off the paper.

use super::{Book, CellKind, Fig, Home, RowId, SheetId, SheetSpec, Term};
use crate::place::Place;
use crate::unit::Unit;

impl Book {
    /// Marks a row as a total (or otherwise).
    pub fn mark(&mut self, row: RowId, kind: CellKind) {
        self.tables[usize::from(row.table.0)].row_kinds[row.index as usize] = kind;
    }

    /// Sets a unit for one cell that differs from its column's.
    pub fn unit(&mut self, term: &Term, unit: Unit) {
        if let Some(fig) = term.fig() {
            self.cells[fig.0 as usize].unit = Some(unit);
        }
    }

    /// Makes a cell lead to a place when clicked.
    pub fn link(&mut self, term: &Term, place: &Place) {
        if let Some(fig) = term.fig() {
            self.cells[fig.0 as usize].link = Some(place.clone());
        }
    }

    /// The unit a cell is shown in.
    pub fn unit_of(&self, fig: Fig) -> Unit {
        let cell = &self.cells[fig.0 as usize];
        cell.unit.unwrap_or(match &cell.home {
            Home::Table(row, column) => self.table_spec(row.table).columns[usize::from(*column)].unit,
            _ => Unit::None,
        })
    }

    /// Leaves so many columns at the right end of a sheet off its paper.
    pub fn not_printed(&mut self, sheet: SheetId, columns: u16) {
        let not_printed = &mut self.sheets[usize::from(sheet.0)].not_printed;
        *not_printed = columns.max(*not_printed);
    }
}

impl SheetSpec {
    /// Nothing stands on it: it is not written.
    pub fn is_empty(&self) -> bool {
        self.blocks.is_empty()
    }
}
