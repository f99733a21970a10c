//! The runs of two bids: which pipe each has, and the pressure at its end.

use super::compare::{BeforeAndNow, LABEL, NUMBER, Page, exact, physical};
use super::summary::RunFacts;
use crate::figure::{Book, CellKind, Column, Look, Value};
use crate::parts::PipeRun;
use crate::table::columns;
use crate::unit::Unit;
use std::sync::Arc;

columns! {
    struct Pipes {
        change: "Change", words (NUMBER);
        before: "Pipe before", words (NUMBER);
        now: "Pipe now", words (NUMBER);
    }
}

struct Columns {
    pressures: BeforeAndNow,
    pipes: Pipes,
}

/// One run on both sides.
struct Both<'a> {
    name: &'a str,
    now: Option<&'a PipeRun>,
    was: Option<&'a RunFacts>,
}

/// Puts the table; gives its column of words, `re-sized` where a run has another pipe.
pub(super) fn put(book: &mut Book, page: &Page) -> Column {
    let old = &page.comparison.old;
    let table = book.table(page.sheet, "Runs: the pipe, and the pressure left at the end");
    let columns = Columns {
        pressures: BeforeAndNow::in_table(book, table, "Run", Unit::Psi, &page.from),
        pipes: Pipes::in_table(book, table),
    };
    let parts = &page.context.take_off.parts;
    let here = parts.runs.iter().map(|run| {
        let name = run.name.value.trim();
        Both { name, was: old.run(name), now: Some(run) }
    });
    let gone = old.runs.iter().filter(|run| parts.find_run(&run.name).is_none());
    let gone = gone.map(|run| Both { name: &run.name, now: None, was: Some(run) });
    let differs = |both: &Both| both.was.map(RunFacts::pipe) != both.now.map(|now| now.pipe.value().to_string());
    let (changed, same): (Vec<Both>, Vec<Both>) = here.chain(gone).partition(differs);
    changed.iter().for_each(|both| columns.row(book, page, both, CellKind::Plain));
    same.iter().for_each(|both| columns.row(book, page, both, CellKind::Idle));
    if !same.is_empty() {
        book.words(page.sheet, Look::Small, "Runs that keep their pipe are folded away above, with their pressures.");
    }
    book.whole(columns.pipes.change)
}

impl Columns {
    fn row(&self, book: &mut Book, page: &Page, both: &Both, kind: CellKind) {
        let row = self.pressures.name(book, both.name);
        book.mark(row, kind);
        let key = both.now.map(|now| book.put(row, self.pipes.now, now.pipe.clone()));
        let was = both.was.map(|was| book.carry(row, self.pipes.before, Value::text(was.pipe()), &page.from));
        match (both.now.and_then(|now| now.end_psi.as_ref()), both.was.and_then(|was| was.end_psi)) {
            (Some(psi), Some(was)) => _ = self.pressures.fill(book, row, physical(was), psi),
            (Some(psi), None) => self.pressures.only_now(book, row, psi),
            (None, Some(was)) => self.pressures.only_before(book, row, physical(was)),
            (None, None) => {}
        }
        match (key, was) {
            (Some(now), Some(before)) => {
                let [same, sized] = ["same", "re-sized"].map(crate::figure::Term::text);
                book.put(row, self.pipes.change, now.same(&before).pick(&same, &sized));
            }
            (Some(_), None) => _ = book.label(row, self.pipes.change, "new run"),
            _ => _ = book.label(row, self.pipes.change, "gone"),
        }
    }
}

columns! {
    struct Installed {
        run: "Run", words (LABEL);
        size: "In at", words (NUMBER);
        wanted: "Wanted", words (NUMBER);
        cost: "To replace it", Money (NUMBER);
    }
}

/// Pipe that is in and that the changed job would want larger.
pub(super) fn installed(book: &mut Book, page: &Page) {
    if page.comparison.installed.is_empty() {
        return;
    }
    let table = book.table(page.sheet, "Installed pipe that the changed job wants larger");
    let Installed { run, size, wanted, cost, .. } = Installed::in_table(book, table);
    let from: Arc<str> = "pricing this bid with the run taken out and put in anew".into();
    for small in &page.comparison.installed {
        let row = book.row(table);
        book.label(row, run, &small.run);
        book.label(row, size, &small.size);
        book.carry(row, wanted, Value::text(small.wanted.as_str()), &from);
        book.carry(row, cost, exact(small.cost), &from);
    }
}
