//! What the job is about, counted for the customer: fixtures, devices and feet of pipe that are new, that stay, that
//! come out, and that others do. One row for each row of the job; the bid's scope sums them under a few words.

use super::Context;
use crate::entries::Scope;
use crate::figure::{Book, Column, ColumnId, TableId, Term};
use crate::model::{Fixture, Status};
use crate::table::columns;
use crate::unit::Unit;

/// The counted rows, and the headings they come under.
pub(crate) struct ScopeCounts {
    head: Column,
    quantity: Column,
    /// In the order they first appear: fixtures, devices, pipe.
    pub heads: Vec<Head>,
}

/// A line of the scope.
pub(crate) struct Head {
    pub status: Status,
    /// What the rows of this line bear in the table.
    key: String,
    /// What the customer reads.
    pub words: Term,
    pub unit: Unit,
    /// Pipe, whose feet are those of its lines in the take-off.
    pub is_pipe: bool,
}

impl ScopeCounts {
    /// How many, or how many feet, come under a heading.
    pub(crate) fn sum(&self, head: &Head) -> Term {
        Term::sum_where(&self.quantity, &[(&self.head, &Term::text(head.key.as_str()))])
    }

    pub(crate) fn with(&self, status: Status) -> impl Iterator<Item = &Head> {
        self.heads.iter().filter(move |head| head.status == status)
    }
}

struct Counter<'a> {
    book: &'a mut Book,
    table: TableId,
    name: ColumnId,
    head: ColumnId,
    quantity: ColumnId,
    heads: Vec<Head>,
}

columns! {
    struct Columns on Checks("What the scope of the bid counts") {
        name: "Row of the job", words 34;
        head: "Counted as", words 34;
        quantity: "Quantity", Ratio;
    }
}

pub(super) fn put(book: &mut Book, context: &Context) -> ScopeCounts {
    let Columns { table, name, head, quantity } = Columns::on_page(book, context);
    let mut counter = Counter { book, table, name, head, quantity, heads: Vec::new() };
    counter.fixtures(context);
    counter.devices(context);
    context.entries.scope.iter().for_each(|scope| counter.row(scope));
    let Counter { book, heads, .. } = counter;
    ScopeCounts { head: book.whole(head), quantity: book.whole(quantity), heads }
}

impl Counter<'_> {
    fn fixtures(&mut self, context: &Context) {
        for fixture in &context.job.fixtures {
            let name = fixture.tag.figure(self.book);
            let written = fixture.fixture.figure(self.book);
            let kind = context.rules.canonical_fixture(&fixture.fixture.value).unwrap_or(&fixture.fixture.value);
            // Two "other" fixtures have nothing in common but that word.
            let (kind, words) = match kind {
                "other" => (format!("outlet of row {}", u64::from(fixture.row) + 1), self.outlet(&name, fixture)),
                kind => (kind.to_owned(), written),
            };
            let count = fixture.count.figure(self.book);
            let quantity = fixture.count.cell.as_ref().map_or_else(|| Term::number(1), |_| count);
            let status = fixture.status.get().unwrap_or_default();
            self.row(&Scope { name, status, kind, words, quantity, unit: Unit::Each });
        }
    }

    fn outlet(&mut self, tag: &Term, fixture: &Fixture) -> Term {
        let outlet = Term::text("outlet ");
        match (&fixture.room.value, fixture.room.as_typed(self.book)) {
            (Some(_), Some(room)) => Term::join(&[&outlet, tag, &Term::text(", "), &room]),
            _ => Term::join(&[&outlet, tag]),
        }
    }

    fn devices(&mut self, context: &Context) {
        for device in &context.job.devices {
            let name = device.name.figure(self.book);
            let (kind, words) = match &*device.kind.value {
                "other" => (format!("device of row {}", u64::from(device.row) + 1), name.clone()),
                kind => (kind.to_owned(), device.kind.as_written(self.book)),
            };
            let status = device.status.get().unwrap_or_default();
            self.row(&Scope { name, status, kind, words, quantity: Term::number(1), unit: Unit::Each });
        }
    }

    /// The next row; its heading is made when it is the first of its kind.
    fn row(&mut self, Scope { name, status, kind, words, quantity, unit }: &Scope) {
        // To the customer what is in already is as new as what is still to come.
        let status = if *status == Status::Installed { Status::New } else { *status };
        // SUMIFS takes these signs for wildcards.
        let key = format!("{}: {kind}", before(status)).replace(['*', '?', '~'], " ");
        let row = self.book.row(self.table);
        self.book.put(row, self.name, name.clone());
        self.book.label(row, self.head, &key);
        self.book.put_or_state(row, self.quantity, quantity.clone(), "one row of the job is one of it");
        if !self.heads.iter().any(|head| head.key == key) {
            let is_pipe = kind == "pipe" || kind.ends_with(" pipe");
            self.heads.push(Head { status, key, words: words.clone(), unit: *unit, is_pipe });
        }
    }
}

fn before(status: Status) -> &'static str {
    match status {
        Status::New | Status::Installed => "new",
        Status::Existing => "stays",
        Status::Remove => "comes out",
        Status::ByOthers => "by others",
    }
}
