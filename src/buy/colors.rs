//! What one color of pipe saves: the same buying with one color for all water, and with one each for hot and cold.

use super::Context;
use super::cut_quality::CutQuality;
use super::pipe::{self, Pipe};
use super::pipe_plan::{self, Planning};
use crate::choice::Choice;
use crate::figure::{Book, CellKind, Term, Value};
use crate::table::columns;
use crate::unit::Unit;
use rust_decimal::Decimal;

const ONE: &str = "one color for all water";
const BY_WATER: &str = "one color each for hot and cold";

columns! {
    struct Columns on Buying("What one color saves") {
        words: "Pipe of PEX, joints included, less left-over worth", words 44;
        as_planned: Choice::OtherColor.heading(), words;
        now: "Now", Money;
    }
}

/// Beside what the job says, live, the other way as it was planned; and what one color saves.
pub(super) fn put(book: &mut Book, context: &Context, planning: Planning, pipes: &[Pipe], quality: &[CutQuality]) {
    let colored = |pipe: &&Pipe| pipe.item.material == "PEX";
    let has = |hot: bool| {
        let runs = pipes.iter().filter(colored).flat_map(|pipe| &pipe.runs);
        runs.into_iter().any(|at| pipe::run(context, *at).hot == hot)
    };
    if !has(true) || !has(false) {
        return;
    }
    let by_water = planning.by_water;
    let (this, other) = if by_water { (BY_WATER, ONE) } else { (ONE, BY_WATER) };
    let planned = context.saved_number(Choice::OtherColor, other).unwrap_or_else(|| {
        let others = pipe_plan::planned_anew(context, Planning { by_water: !by_water, ..planning });
        let cost: i64 = others.iter().filter(colored).map(|pipe| pipe.plan.cost).sum();
        (Decimal::from(cost) / Decimal::ONE_THOUSAND).normalize()
    });
    let Columns { table, words, as_planned, now } = Columns::on_page(book, context);
    let source: std::sync::Arc<str> = "planned as this job, but for the color".into();
    let mut put = |words_of: &str, value: Option<Term>| {
        let row = book.row(table);
        book.label(row, words, words_of);
        match value {
            Some(live) => book.put(row, now, live),
            None => {
                let plan = book.state(row, as_planned, Value::Exact(planned), &source);
                book.unit(&plan, Unit::Money);
                book.put(row, now, plan)
            }
        }
    };
    let totals: Vec<&Term> =
        pipes.iter().zip(quality).filter(|(pipe, _)| colored(pipe)).map(|(_, quality)| &quality.total).collect();
    let mine = put(this, Some(Term::total(&totals)));
    let theirs = put(other, None);
    let saves = if by_water { mine - theirs } else { theirs - mine };
    let row = book.row(table);
    book.mark(row, CellKind::Total);
    book.label(row, words, "one color saves");
    book.put(row, now, saves);
}
