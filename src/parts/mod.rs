//! What a job takes, as its subjects say it: pieces where they are needed, and work. The take-off, the order, the hours and
//! the price are made from these, whatever subject they come from.

mod cost;
mod count;
mod pipe_run;
mod rings;
mod where_needed;
mod work;

pub(crate) use cost::{Allowance, Cost, Costs};
pub(crate) use count::Count;
pub(crate) use count::{COIL, COLD_NIPPLE, FOLDED, HOT_NIPPLE, LENGTH, NIPPLE, STICK, TAIL, location, nipples};
pub(crate) use pipe_run::{Fault, PipeRun};
pub(crate) use rings::{is_ring, ring_kind};
pub(crate) use where_needed::{counted_from, shortened};
pub(crate) use work::{From, Quantity, When, Work};

use crate::figure::Term;
use crate::model::network::same_name;
use crate::model::{At, Phase, Run, Whereabouts};
use crate::rules::Item;
use std::sync::Arc;

/// All that the subjects of a job ask for, before it is summed into lines.
#[derive(Debug, Default)]
pub struct Parts {
    pub counts: Vec<Count>,
    /// The runs of pipe, each after the one that it hangs on.
    pub runs: Vec<PipeRun>,
    /// Work that goes with what the job's policies had counted, beyond joints.
    pub tasks: Vec<Task>,
    /// The materials of all pipe, a name each for each run.
    pub pipe: Vec<Arc<str>>,
    /// The materials of the pipe that this job puts in.
    pub new_pipe: Vec<Arc<str>>,
    /// Whether ports of a manifold can be needed.
    pub has_manifold: bool,
    /// `OK`, or `price again` when what fittings were chosen on has changed.
    pub choice_check: Option<Term>,
    /// How many fittings are chosen that cannot be taken; `None` where there are none.
    pub choices_gone: Option<Term>,
    /// Fittings that would be needed had they a price, and that others are bought for.
    pub unpriced: Vec<Item>,
}

impl Parts {
    /// The index of the run of this name, whatever its case.
    pub(crate) fn find_run(&self, name: &str) -> Option<usize> {
        let wanted = same_name(name);
        self.runs.iter().position(|run| same_name(&run.name.value) == wanted)
    }
}

/// So much of a task of labor.
#[derive(Debug, Clone)]
pub struct Task {
    pub name: String,
    /// The fixtures, devices and runs that ask for it.
    pub origins: Vec<Arc<str>>,
    pub quantity: Term,
}

impl Task {
    pub fn new(name: &str, origin: &At<Arc<str>>, quantity: Term) -> Self {
        Self { name: name.to_owned(), origins: vec![origin.value.clone()], quantity }
    }
}

/// When the pipe of a run is put in: what Runs says, else underground where it is buried or in a slab.
pub(crate) fn phase_of(run: &Run) -> Phase {
    run.phase.as_ref().and_then(|text| Phase::from_name(text)).unwrap_or(match run.place.get() {
        Some(Whereabouts::Buried | Whereabouts::InSlab) => Phase::Underground,
        _ => Phase::RoughIn,
    })
}
