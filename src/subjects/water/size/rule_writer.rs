//! A rule table on its way into the book: its columns, and for each row where it is from and how far it can be trusted.

use super::Context;
use crate::figure::written::UsersRow;
use crate::figure::{Book, CellKind, Column, ColumnId, RowId, TableId, Term, Value};
use crate::rules::Origin;
use crate::sheets::Page;
use crate::unit::Unit;
use rust_decimal::Decimal;

/// A rule table being put: its columns and the two that say where a row is from.
pub(super) struct Writer {
    table: TableId,
    pub columns: Vec<ColumnId>,
    source: ColumnId,
    basis: ColumnId,
    pub as_written: ColumnId,
}

impl Writer {
    pub fn new(book: &mut Book, context: &Context, title: &str, headings: &[(&str, Unit)]) -> Self {
        let table = book.table(context.page(Page::Rules), title);
        let columns = headings.iter().map(|(heading, unit)| book.column(table, heading, *unit)).collect();
        let source = book.column_like(table, "Source", Unit::None, 50.0, Default::default());
        let basis = book.column_like(table, "Basis", Unit::None, 18.0, Default::default());
        let as_written = book.as_written_column(table);
        Self { table, columns, source, basis, as_written }
    }

    /// One more column, for a check of each row.
    pub fn check(&self, book: &mut Book) -> ColumnId {
        book.column_like(self.table, "Check", Unit::None, 16.0, CellKind::Check)
    }

    /// A row whose figures somebody may type over: `names` are their headings in the user's sheet, by column.
    pub fn open_row(
        &self,
        book: &mut Book,
        values: &[Option<Value>],
        origin: &Origin,
        users: &UsersRow,
        names: &[(usize, &str)],
    ) -> Vec<Option<Term>> {
        let (row, terms) = self.start(book, values, origin);
        let figures: Vec<_> = names.iter().map(|(at, name)| (self.columns[*at], *name, Decimal::ONE)).collect();
        book.write_down(row, self.as_written, users, &figures);
        terms
    }

    /// One row: its values in the order of the headings; `None` leaves a cell blank. The terms come back likewise.
    pub fn row(&self, book: &mut Book, values: &[Option<Value>], origin: &Origin) -> Vec<Option<Term>> {
        self.start(book, values, origin).1
    }

    /// A row whose last columns are formulas, to be put by the caller.
    pub fn start(&self, book: &mut Book, values: &[Option<Value>], origin: &Origin) -> (RowId, Vec<Option<Term>>) {
        let row = book.row(self.table);
        let basis = origin.basis.word();
        let words = origin.words();
        let terms = self
            .columns
            .iter()
            .zip(values)
            .map(|(column, value)| value.clone().map(|value| book.rule(row, *column, value, &words)))
            .collect();
        book.label(row, self.source, &origin.source);
        let basis = if origin.is_users() { format!("your own row, {}", origin.read_from) } else { basis.to_owned() };
        book.label(row, self.basis, &basis);
        (row, terms)
    }

    pub fn whole(&self, book: &mut Book, column: usize) -> Column {
        book.whole(self.columns[column])
    }
}
