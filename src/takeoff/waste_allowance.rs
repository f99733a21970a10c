//! What is bought beyond the need of small parts, on the Rules sheet: one share for a kind, whatever its sizes.

use super::Context;
use crate::figure::written::UsersRow;
use crate::figure::{Book, ColumnId, SheetId, TableId, Term, Value};
use crate::rules::Spare;
use crate::sheets::Page;
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::sync::Arc;

/// The table, put when the first share is asked for.
pub(super) struct Spares {
    sheet: SheetId,
    table: Option<Table>,
    put: Vec<(Arc<str>, Term)>,
}

struct Table {
    table: TableId,
    kind: ColumnId,
    share: ColumnId,
    source: ColumnId,
    basis: ColumnId,
    as_written: ColumnId,
}

impl Spares {
    pub fn new(context: &Context) -> Self {
        Self { sheet: context.page(Page::Rules), table: None, put: Vec::new() }
    }

    /// The share of a kind that is bought beyond the need.
    pub fn share(&mut self, book: &mut Book, spare: &Spare) -> Term {
        if let Some((_, share)) = self.put.iter().find(|(kind, _)| *kind == spare.kind) {
            return share.clone();
        }
        let sheet = self.sheet;
        let columns = self.table.get_or_insert_with(|| {
            let table = book.table(sheet, "Spares");
            let mut column = |heading: &str, unit| book.column(table, heading, unit);
            let [kind, share] = [column("Kind", Unit::None), column("Bought beyond the need", Unit::Percent)];
            let [source, basis] = [column("Source", Unit::None), column("Basis", Unit::None)];
            let as_written = book.as_written_column(table);
            Table { table, kind, share, source, basis, as_written }
        });
        let row = book.row(columns.table);
        let basis = spare.origin.basis.word();
        let source = spare.origin.words();
        book.label(row, columns.kind, &spare.kind);
        let share = book.rule(row, columns.share, Value::Exact(spare.share), &source);
        book.label(row, columns.source, &spare.origin.source);
        book.label(row, columns.basis, basis);
        let users = UsersRow { sheet: "Spares", keys: &[("kind", &*spare.kind)] };
        book.write_down(row, columns.as_written, &users, &[(columns.share, "share", Decimal::ONE)]);
        self.put.push((spare.kind.clone(), share.clone()));
        share
    }
}
