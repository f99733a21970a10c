//! Before, now and the difference side by side: the table that every part of the Changes sheet is made of.

use super::{Comparison, Context};
use crate::figure::verdict::OK;
use crate::figure::{Book, CellKind, RowId, SheetId, TableId, Term, Value};
use crate::table::columns;
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::sync::Arc;

/// Widths that the tables of the sheet share, in characters.
pub(super) const LABEL: f64 = 36.0;
pub(super) const NUMBER: f64 = 14.0;

columns! {
    struct Columns(what: &str, unit: Unit) {
        label: what, words (LABEL);
        before: "Before", of unit (NUMBER);
        now: "Now", of unit (NUMBER);
        difference: "Difference", of unit (NUMBER);
    }
}

/// Three columns of one unit and where the old figures come from.
pub(super) struct BeforeAndNow {
    columns: Columns,
    from: Arc<str>,
}

/// A row of such a table.
pub(super) struct Row {
    pub row: RowId,
    pub before: Term,
    pub now: Term,
    pub difference: Term,
}

impl Row {
    /// The row in another unit than its table.
    pub(crate) fn shown_in(self, book: &mut Book, unit: Unit) -> Self {
        [&self.before, &self.now, &self.difference].iter().for_each(|term| book.unit(term, unit));
        self
    }
}

impl BeforeAndNow {
    /// The columns at the right end of a table that has others.
    pub(crate) fn in_table(book: &mut Book, table: TableId, what: &str, unit: Unit, from: &Arc<str>) -> Self {
        Self { columns: Columns::in_table(book, table, what, unit), from: from.clone() }
    }

    /// A row of plain old value and live new one. A `now` that is a constant says that the new bid has no such thing.
    pub(crate) fn put(&self, book: &mut Book, words: &str, before: Value, now: &Term) -> Row {
        let row = self.name(book, words);
        self.fill(book, row, before, now)
    }

    /// A row with its name only.
    pub(crate) fn name(&self, book: &mut Book, words: &str) -> RowId {
        let row = book.row(self.columns.table);
        book.label(row, self.columns.label, words);
        row
    }

    /// Something that only the new bid has.
    pub(crate) fn only_now(&self, book: &mut Book, row: RowId, now: &Term) {
        book.put(row, self.columns.now, now.clone());
    }

    /// Something that only the old bid had.
    pub(crate) fn only_before(&self, book: &mut Book, row: RowId, before: Value) {
        book.carry(row, self.columns.before, before, &self.from);
    }

    /// The figures of a row that has its name.
    pub(crate) fn fill(&self, book: &mut Book, row: RowId, before: Value, now: &Term) -> Row {
        let before = book.carry(row, self.columns.before, before, &self.from);
        let now = book.put_or_state(row, self.columns.now, now.clone(), "not in this bid");
        let difference = book.put(row, self.columns.difference, &now - &before);
        Row { row, before, now, difference }
    }

    /// The sum of the differences from row `first` on.
    pub(crate) fn differences_from(&self, book: &mut Book, first: u32) -> Term {
        match book.table_spec(self.columns.table).rows.checked_sub(1) {
            Some(last) if last >= first => Term::sum(&book.stretch(self.columns.difference, first, last)),
            _ => Term::number(0),
        }
    }

    /// The sum of the rows so far, under them.
    pub(crate) fn total(&self, book: &mut Book, words: &str) -> Row {
        let rows = book.table_spec(self.columns.table).rows;
        let sums =
            [self.columns.before, self.columns.now, self.columns.difference].map(|column| match rows.checked_sub(1) {
                Some(last) => Term::sum(&book.stretch(column, 0, last)),
                None => Term::number(0),
            });
        let row = book.row(self.columns.table);
        book.mark(row, CellKind::Total);
        book.label(row, self.columns.label, words);
        let [before, now, difference] = sums;
        let before = book.put(row, self.columns.before, before);
        let now = book.put(row, self.columns.now, now);
        let difference = book.put(row, self.columns.difference, difference);
        Row { row, before, now, difference }
    }
}

pub(super) fn exact(number: Decimal) -> Value {
    Value::Exact(number)
}

/// A physical figure of the old bid; what was no number there stands as a fault.
pub(super) fn physical(number: f64) -> Value {
    if number.is_finite() { Value::Physical(number) } else { Value::Fault(crate::figure::Fault::NotFound) }
}

/// `OK` where two amounts are equal to the sixth decimal, else what they are apart.
pub(super) fn equal(a: &Term, b: &Term) -> Term {
    let off = Term::join(&[&Term::text("off by "), &(a - b).show(2)]);
    let apart = a.above(b).or(&b.above(a));
    apart.pick(&off, &Term::text(OK))
}

/// What is compared, where old figures come from, and the sheet they stand on.
pub(super) struct Page<'a> {
    pub context: &'a Context<'a>,
    pub comparison: &'a Comparison,
    pub from: Arc<str>,
    pub sheet: SheetId,
}

impl Page<'_> {
    /// A table of what was and what is, by names under the heading `what`.
    pub(crate) fn before_and_now(&self, book: &mut Book, title: &str, what: &str, unit: Unit) -> BeforeAndNow {
        let table = book.table(self.sheet, title);
        BeforeAndNow::in_table(book, table, what, unit, &self.from)
    }
}

/// Figures of the whole job.
pub(super) struct Short {
    pub total: Row,
    pub hours: Row,
    pub spare: Option<Row>,
    /// That lines have no price; empty where all have one.
    pub incomplete: Term,
}
