//! Numbers that no rule stands behind: counted from the job, not given, or nothing by their nature.

use super::{Book, ColumnId, Expr, Origin, RowId, Term, Value};

impl Book {
    /// Where each figure comes from, in the order they were made.
    pub fn origins(&self) -> impl Iterator<Item = &Origin> {
        self.cells.iter().map(|cell| &cell.origin)
    }

    /// Such a number; `why` says in a few words where it comes from.
    pub fn state(&mut self, row: RowId, column: ColumnId, value: Value, why: &str) -> Term {
        self.place(row, column, value, None, Origin::Stated(why.into()))
    }

    /// The term as a formula; where it depends on no cell, its number as stated.
    pub fn put_or_state(&mut self, row: RowId, column: ColumnId, term: Term, why: &str) -> Term {
        match term.expr() {
            Expr::Const(value) => self.state(row, column, value.clone(), why),
            _ => self.put(row, column, term),
        }
    }
}
