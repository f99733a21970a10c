//! Cells that are left blank for whoever gets the sheet to fill in; formulas may look at them.

use super::{Book, ColumnId, Fig, Home, Origin, RowId, Term, Value};

impl Book {
    /// A cell for the reader of the sheet to fill in.
    pub fn to_fill(&mut self, row: RowId, column: ColumnId) -> Term {
        self.place((row, column), Value::Blank, None, Origin::Input)
    }

    /// True for such a cell. An input of the user's stands on a sheet of theirs, never in a table of ours.
    pub fn is_to_fill(&self, fig: Fig) -> bool {
        matches!((self.origin(fig), self.home(fig)), (Origin::Input, Home::Table(..)))
    }
}
