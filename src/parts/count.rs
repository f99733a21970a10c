//! A piece where it is needed: what it is, for whom, in which phase and where.

use crate::figure::{Expr, Term, Value};
use crate::model::{At, Phase, Whereabouts};
use crate::rules::Item;
use std::sync::Arc;

/// One kind of piece at one place.
#[derive(Debug, Clone)]
pub struct Count {
    /// The run, fixture or device that needs it: its name and cell.
    pub origin: At<Arc<str>>,
    /// Why, in a few words: `tee at its end`.
    pub purpose: &'static str,
    pub phase: Phase,
    /// Where it is put in.
    pub place: Whereabouts,
    /// Of pipe that is run: stick or coil; empty where that is not told, and of all else. Of pipe that is cut and not
    /// run: [`TAIL`] or [`NIPPLE`].
    pub form: &'static str,
    /// What it is at the sizes as they now are.
    pub item: Item,
    /// Kinds that it may be at other sizes; of most pieces none but its own.
    pub kinds: &'static [&'static str],
    /// Its key, live in the sizes. Its value is `item.text()`.
    pub key: Term,
    pub quantity: Term,
    /// Pipe keys of the pipe ends joined to one piece.
    pub ends: Vec<Term>,
    /// It joins the run to what leaves its end, rather than being the run's own.
    pub at_fork: bool,
    /// Of pipe whose form is chosen: the cell of the choice.
    pub form_cell: Option<Term>,
    /// Several places share one of it: what they take is summed up and bought whole.
    pub shared: bool,
    /// Work done: priced like the rest, and not ordered.
    pub in_already: bool,
}

/// The forms that pipe is bought in.
pub(crate) const STICK: &str = "stick";
pub(crate) const COIL: &str = "coil";

/// Pipe left at the ends of runs to work with.
pub(crate) const TAIL: &str = "tail";
/// Pipe between two fittings that stand side by side.
pub(crate) const NIPPLE: &str = "nipple";

/// Why there is a nipple, by the water in it.
pub(crate) fn nipples(hot: bool) -> &'static str {
    if hot { HOT_NIPPLE } else { COLD_NIPPLE }
}

/// Why there is a nipple in a cold and in a hot run, as the Counts sheet says it.
pub(crate) const COLD_NIPPLE: &str = "between two fittings, cold";
pub(crate) const HOT_NIPPLE: &str = "between two fittings, hot";

/// Why a run needs its pipe.
pub(crate) const LENGTH: &str = "its length";

/// Under a table with folded rows.
pub(crate) const FOLDED: &str = "Lines that stand at nothing are folded away above; open the group at the left edge to see \
     what other sizes would need.";

impl Count {
    /// A piece that follows no size, put in at rough-in inside the building unless its maker says otherwise.
    pub fn new(origin: &At<Arc<str>>, purpose: &'static str, item: Item, quantity: Term) -> Self {
        Self {
            origin: origin.clone(),
            purpose,
            phase: Phase::RoughIn,
            place: Whereabouts::Inside,
            form: "",
            key: Term::text(item.text()),
            item,
            kinds: &[],
            quantity,
            ends: Vec::new(),
            at_fork: false,
            form_cell: None,
            shared: false,
            in_already: false,
        }
    }

    /// Whether it is pipe that is run, by the foot: no tail, no nipple.
    pub fn is_run(&self) -> bool {
        self.item.kind == "pipe" && ![TAIL, NIPPLE].contains(&self.form)
    }

    /// Where it is put in and in what form, as the Counts and Hours sheets say it.
    pub fn location(&self) -> String {
        location(self.place, self.form)
    }

    /// Its size is that of a run, and changes with it.
    pub fn follows_a_size(&self) -> bool {
        !matches!(self.key.expr(), Expr::Const(_))
    }

    /// Whether it is of this kind, or could be at another size.
    pub fn may_be(&self, kind: &str) -> bool {
        self.item.kind == kind || self.kinds.contains(&kind)
    }

    /// Nothing of it is needed as the sizes now are.
    pub fn is_idle(&self) -> bool {
        self.quantity.value().is_zero()
    }

    /// Whether an end of this pipe is joined to it.
    pub fn joins(&self, pipe_key: &str) -> bool {
        self.ends.iter().any(|end| matches!(end.value(), Value::Text(text) if **text == *pipe_key))
    }
}

/// `crawl space, coil`
pub(crate) fn location(place: Whereabouts, form: &str) -> String {
    if form.is_empty() { place.word().to_owned() } else { format!("{}, {form}", place.word()) }
}
