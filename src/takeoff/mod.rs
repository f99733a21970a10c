//! The take-off: every foot and piece the job needs, where it comes from, and what is on hand.
//!
//! In: what the subjects need. Out: [`TakeOff`]. Never: prices, hours.
//!
//! Every piece is first counted where it is needed (a row of the Counts sheet: a tee at the end of run T2, two stops
//! under lavatory L1), with a live key that names it by its sizes. The lines of the take-off are sums over those rows
//! by key and phase, so that a size changed in the finished bid moves feet, tees and rings to the other size's line.

mod bought;
mod counts;
mod installed;
mod items;
mod lines;

pub(crate) use crate::rules::Item;
use crate::rules::fits;
pub(crate) use counts::CountColumns;
pub use lines::Line;

use crate::figure::{Book, Term};
use crate::model::Phase;
use crate::parts::Parts;
use crate::view::View;
use lines::Summed;

/// What the subjects ask for.
#[derive(Debug, Clone, Copy)]
struct Inputs<'a> {
    parts: &'a Parts,
}

/// What every file of this stage works from.
type Context<'a> = View<'a, Inputs<'a>>;

/// What the stage hands on.
#[derive(Debug)]
pub struct TakeOff {
    /// What the lines are the sums of.
    pub parts: Parts,
    pub lines: Vec<Line>,
    /// The columns of the Counts sheet, for whoever sums over them (hours per joint, feet run).
    pub counts: CountColumns,
    /// Phases in which any pipe is run.
    pub pipe_phases: Vec<Phase>,
    /// The shares of waste and spares that stand on the lines, less those that belong there: 0 unless typed over.
    pub waste_off: Option<Term>,
}

/// The whole stage.
pub(crate) fn take_off(book: &mut Book, view: &View, parts: Parts) -> TakeOff {
    let context = view.with(Inputs { parts: &parts });
    let counts = counts::put(book, &context, &parts.counts);
    let Summed { lines, pipe_phases, waste_off } = lines::lines(book, &context, &counts);
    TakeOff { parts, lines, counts, pipe_phases, waste_off }
}
