//! Numbers that no rule stands behind: counted from the job, not given, or nothing by their nature.

use super::{Book, ColumnId, Expr, Origin, RowId, Term, Value};

impl Book {
    /// Where each figure comes from, in the order they were made.
    pub fn origins(&self) -> impl Iterator<Item = &Origin> {
        self.cells.iter().map(|cell| &cell.origin)
    }

    /// Such a number; `source` says in a few words where it comes from.
    pub fn state(&mut self, row: RowId, column: ColumnId, value: Value, source: &str) -> Term {
        self.place((row, column), value, None, Origin::Stated(source.into()))
    }

    /// The term as a formula; where it depends on no cell, its number as stated.
    pub fn put_or_state(&mut self, row: RowId, column: ColumnId, term: Term, source: &str) -> Term {
        match term.expr() {
            Expr::Const(value) => self.state(row, column, value.clone(), source),
            _ => self.put(row, column, term),
        }
    }
}
