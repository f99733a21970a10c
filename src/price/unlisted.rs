//! Pieces that no line of the take-off bears: after a size was changed in the bid, a fitting may be needed that nobody
//! offers. A finished bid can give it no line, so it is counted among what has no price.

use super::Context;
use crate::figure::{Book, CellKind, Column, Term, Value};
use crate::model::Phase;
use crate::parts::ring_kind;
use crate::table::columns;

columns! {
    struct Columns on Counts("Needed now, and without a line in the take-off") {
        item: "Needed, without a line", words 34;
        once: "Counted once", Each 12;
    }
}

/// How many kinds of things are needed that have no line, live; `None` where every size is fixed.
pub(super) fn put(book: &mut Book, context: &Context) -> Option<Term> {
    let needed = needed(book, context);
    if needed.is_empty() {
        return None;
    }
    let Columns { table, item, once } = Columns::on_page(book, context);
    let mut found = Vec::new();
    for term in needed {
        let row = book.row(table);
        let term = book.put(row, item, term);
        if *term.value() == Value::text("") {
            book.mark(row, CellKind::Idle);
        }
        found.push((row, term));
    }
    let items = book.whole(item);
    let (one, none) = (Term::number(1), Term::number(0));
    for (at, (row, term)) in (1u64..).zip(found) {
        let first = Term::row_of(&term, &items).same(&Term::number(at));
        book.put(row, once, term.is_blank().pick(&none, &first.pick(&one, &none)));
    }
    Some(Term::sum(&book.whole(once)))
}

/// For each piece that another size would make another thing: its key while it is needed and has no line, else nothing.
fn needed(book: &mut Book, context: &Context) -> Vec<Term> {
    let take_off = context.take_off;
    let nothing = Term::text("");
    let Some(lines) = take_off.lines.first().and_then(|line| book.column_of(&line.key)) else { return Vec::new() };
    let lines: Column = book.whole(lines);
    let mut needed = Vec::new();
    for (at, count) in take_off.parts.counts.iter().enumerate() {
        let cell = |column: &Column| book.cell_of(column, at);
        let (Some(key), Some(quantity)) = (cell(&take_off.counts.item), cell(&take_off.counts.quantity)) else {
            continue;
        };
        if key.fig().is_none_or(|fig| book.expr(fig).is_none()) || !context.rules.is_sized(&count.item) {
            continue;
        }
        let listed = Term::row_of(&key, &lines).is_number();
        let unlisted = quantity.above(&Term::number(0)).pick(&listed.pick(&nothing, &key), &nothing);
        needed.push(unlisted.or_if_fault(&Term::text("an error")));
    }
    // Rings are counted by the pipe ends that they go on.
    let mut keys: Vec<&str> = take_off.counts.joined().iter().map(|joined| &*joined.pipe_key).collect();
    keys.sort_unstable();
    keys.dedup();
    for pipe_key in keys {
        let material = pipe_key.rsplit_once(' ').map_or("", |(material, _)| material);
        let Some(ring) = ring_kind(context.job, material) else { continue };
        let key = format!("{ring} {pipe_key}");
        let ends: Vec<Term> =
            Phase::ALL.iter().filter_map(|phase| take_off.counts.ends_joined(pipe_key, *phase)).collect();
        if !ends.is_empty() && !lines.values().contains(&Value::text(key.as_str())) {
            let ends = Term::total(&ends.iter().collect::<Vec<_>>());
            needed.push(ends.above(&Term::number(0)).pick(&Term::text(key), &nothing));
        }
    }
    needed
}
