//! The Counts sheet: every piece where it is needed.

use super::{Context, Item};
use crate::figure::{Book, CellKind, Column, Term, Value};
use crate::model::{At, Phase};
use crate::unit::Unit;
use std::sync::Arc;

/// One kind of piece at one place.
#[derive(Debug, Clone)]
pub struct Count {
    /// The run, fixture or device that needs it: its name and cell.
    pub origin: At<Arc<str>>,
    /// Why, in a few words: `tee at its end`.
    pub why: &'static str,
    pub phase: Phase,
    /// What it is at the sizes as they now are.
    pub item: Item,
    /// Its key, live in the sizes. Its value is `item.text()`.
    pub key: Term,
    pub quantity: Term,
    /// Pipe keys of the pipe ends joined to one piece.
    pub ends: Vec<Term>,
}

/// Columns of the Counts sheet, and the pipe ends summed up from them.
#[derive(Debug, Clone)]
pub struct CountColumns {
    pub phase: Column,
    pub item: Column,
    pub quantity: Column,
    /// First, second, third and fourth pipe end of a piece.
    pub ends: [Column; 4],
    joined: Vec<Joined>,
}

/// Pipe ends of one pipe that are joined, by phase.
#[derive(Debug, Clone)]
struct Joined {
    /// `PEX 3/4"`
    pipe_key: String,
    by_phase: [Option<Term>; 4],
}

pub(super) fn put(book: &mut Book, context: &Context, counts: &[Count]) -> CountColumns {
    let table = book.table(context.counts, "Every piece where it is needed");
    let origin = book.column_like(table, "For", Unit::None, 12.0, CellKind::Plain);
    let why = book.column_like(table, "Why", Unit::None, 28.0, CellKind::Plain);
    let phase = book.column_like(table, "Phase", Unit::None, 12.0, CellKind::Plain);
    let item = book.column_like(table, "Item", Unit::None, 34.0, CellKind::Plain);
    let quantity = book.column(table, "Quantity", Unit::Quantity);
    let ends: [_; 4] = std::array::from_fn(|i| {
        book.column_like(table, &format!("Pipe end {}", i + 1), Unit::None, 14.0, CellKind::Quiet)
    });
    for count in counts {
        let row = book.row(table);
        if is_idle(count) {
            book.mark(row, CellKind::Idle);
        }
        let name = book.input_cell(&count.origin.place, Value::Text(count.origin.value.clone()));
        book.put(row, origin, name);
        book.label(row, why, count.why);
        book.label(row, phase, count.phase.word());
        put_words(book, row, item, &count.key);
        let quantity = put_count(book, row, quantity, &count.quantity);
        book.unit(&quantity, if count.item.is_feet() { Unit::Feet } else { Unit::Each });
        for (column, end) in ends.iter().zip(&count.ends) {
            put_words(book, row, *column, end);
        }
    }
    if counts.iter().any(is_idle) {
        book.words(context.counts, crate::figure::Look::Small, super::FOLDED);
    }
    let mut columns = CountColumns {
        phase: book.whole(phase),
        item: book.whole(item),
        quantity: book.whole(quantity),
        ends: ends.map(|column| book.whole(column)),
        joined: Vec::new(),
    };
    columns.put_joined(book, context, counts);
    columns
}

fn is_idle(count: &Count) -> bool {
    count.quantity.value().as_f64() == 0.0
}

/// A number that does not depend on any cell (two connections, one cap) is written as a number.
fn put_count(book: &mut Book, row: crate::figure::RowId, column: crate::figure::ColumnId, term: &Term) -> Term {
    match term.expr() {
        crate::figure::Expr::Const(value) => book.rule(row, column, value.clone(), &"counted from the job".into()),
        _ => book.put(row, column, term.clone()),
    }
}

/// Words that do not depend on any cell are written as words, not as a formula.
fn put_words(book: &mut Book, row: crate::figure::RowId, column: crate::figure::ColumnId, term: &Term) {
    match (term.expr(), term.value()) {
        (crate::figure::Expr::Const(_), Value::Text(text)) => book.label(row, column, text),
        _ => book.put(row, column, term.clone()),
    };
}

impl CountColumns {
    /// How many of an item a phase needs, live.
    pub fn needed(&self, key: &Term, phase: Phase) -> Term {
        Term::sum_where(&self.quantity, &[(&self.item, key), (&self.phase, &Term::text(phase.word()))])
    }

    /// How many pipe ends of a pipe key (`PEX 3/4"`) are joined in a phase, live; `None` where none ever are.
    pub fn ends_joined(&self, pipe_key: &str, phase: Phase) -> Option<&Term> {
        let joined = self.joined.iter().find(|joined| joined.pipe_key == pipe_key)?;
        joined.by_phase[phase as usize].as_ref()
    }

    /// Every pipe whose ends may be joined, whatever the sizes come to be.
    pub fn joined_keys(&self) -> impl Iterator<Item = &str> {
        self.joined.iter().map(|joined| joined.pipe_key.as_str())
    }

    /// The sums of pipe ends, a row for each phase and each size of every material that is joined anywhere.
    fn put_joined(&mut self, book: &mut Book, context: &Context, counts: &[Count]) {
        let mut materials: Vec<String> = Vec::new();
        let mut keys: Vec<String> = Vec::new();
        let ends = || counts.iter().flat_map(|count| &count.ends).map(|end| end.value().to_string());
        for end in ends().filter(|end| !end.is_empty()) {
            let material = end.rsplit_once(' ').map_or("", |(material, _)| material);
            if !materials.iter().any(|known| known == material) {
                materials.push(material.to_owned());
                keys.extend(context.rules.pipes_of(material).iter().rev().map(crate::rules::Pipe::key));
            }
            if !keys.contains(&end) {
                keys.push(end);
            }
        }
        if keys.is_empty() {
            return;
        }
        let with_ends = |phase: &Phase| counts.iter().any(|c| c.phase == *phase && !c.ends.is_empty());
        let phases: Vec<Phase> = Phase::ALL.into_iter().filter(with_ends).collect();
        let table = book.table(context.counts, "Pipe ends joined");
        let pipe = book.column_like(table, "Pipe", Unit::None, 12.0, CellKind::Plain);
        let phase = book.column_like(table, "In phase", Unit::None, 12.0, CellKind::Plain);
        let used = (0..4).filter(|end| self.ends[*end].values().iter().any(|v| *v != Value::Blank)).count();
        let by_end: Vec<_> = (1..=used).map(|end| book.column(table, &format!("As end {end}"), Unit::Each)).collect();
        let all = book.column(table, "Joined", Unit::Each);
        for pipe_key in keys {
            let mut by_phase: [Option<Term>; 4] = Default::default();
            for when in &phases {
                let row = book.row(table);
                let key = book.label(row, pipe, &pipe_key);
                let word = book.label(row, phase, when.word());
                let sum = |end: &Column| Term::sum_where(&self.quantity, &[(end, &key), (&self.phase, &word)]);
                let sums: Vec<Term> =
                    by_end.iter().zip(&self.ends).map(|(column, end)| book.put(row, *column, sum(end))).collect();
                let joined = book.put(row, all, Term::total(&sums.iter().collect::<Vec<_>>()));
                if joined.value().as_f64() == 0.0 {
                    book.mark(row, CellKind::Idle);
                }
                by_phase[*when as usize] = Some(joined);
            }
            self.joined.push(Joined { pipe_key, by_phase });
        }
    }
}
