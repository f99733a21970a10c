//! The take-off: every foot and piece the job needs, where it comes from, and what is on hand.
//!
//! In: the job, the network, the sizes as figures. Out: [`TakeOff`] and findings. Never: prices, hours.
//!
//! Every piece is first counted where it is needed (a row of the Counts sheet: a tee at the end of run T2, two stops
//! under lavatory L1), with a live key that names it by its sizes. The lines of the take-off are sums over those rows
//! by key and phase, so that a size changed in the finished bid moves feet, tees and rings to the other size's line.

mod assemblies;
mod bare_pipe;
mod bought;
mod counts;
pub mod findings;
mod fittings;
mod installed;
mod items;
mod lines;
mod manifolds;
mod pipe;
mod removal;
mod safeguards;
mod spares;
mod studs;
mod tees;
mod told;

pub use crate::rules::{Item, matches_item};
pub use counts::{COLD_NIPPLE, Count, CountColumns, HOT_NIPPLE, LENGTH, NIPPLE, TAIL, lies};
pub use items::is_ring;
pub use lines::{FOLDED, Line};
pub use removal::caps_on_what_stays;
pub use told::{shortened, told};

use crate::figure::{Book, Term};
use crate::finding::Finding;
use crate::model::{At, Phase, Run, Whereabouts};
use crate::size::Sizes;
use crate::view::View;
use std::sync::Arc;

/// What it takes from the stages before it.
#[derive(Debug, Clone, Copy)]
pub struct Inputs<'a> {
    pub sizes: &'a Sizes,
}

/// What every file of this stage works from.
pub type Context<'a> = View<'a, Inputs<'a>>;

/// What the stage hands on.
#[derive(Debug)]
pub struct TakeOff {
    pub lines: Vec<Line>,
    /// The columns of the Counts sheet, for whoever sums over them (hours per joint, feet run).
    pub counts: CountColumns,
    /// Phases in which any pipe is run.
    pub pipe_phases: Vec<Phase>,
    /// The rows of the Counts sheet.
    pub counted: Vec<Count>,
    /// Work that goes with what the job's policies had counted, beyond joints.
    pub tasks: Vec<Task>,
    /// `OK`, or `price again` when what the tees were chosen on has changed.
    pub choice_check: Option<Term>,
    /// How many tees are chosen that cannot be taken; `None` where there are none.
    pub tees_gone: Option<Term>,
    /// The shares of waste and spares that stand on the lines, less those that belong there: 0 unless typed over.
    pub waste_off: Option<Term>,
}

/// So much of a task of labor.
#[derive(Debug, Clone)]
pub struct Task {
    pub name: String,
    /// The fixture or device that asks for it.
    pub origin: At<Arc<str>>,
    pub quantity: Term,
}

impl Task {
    fn new(name: &str, origin: &At<Arc<str>>, quantity: Term) -> Self {
        Self { name: name.to_owned(), origin: origin.clone(), quantity }
    }
}

/// The whole stage.
pub fn take_off(book: &mut Book, context: &Context) -> (TakeOff, Vec<Finding>) {
    let mut findings = Vec::new();
    let mut counts = Vec::new();
    pipe::count(book, context, &mut counts);
    let pieces = fittings::pieces(book, context);
    let (fittings, verdicts) = tees::make_up(book, context, pieces);
    counts.extend(fittings);
    assemblies::count(book, context, &mut counts, &mut findings);
    removal::count(book, context, &mut counts, &mut findings);
    let mut tasks = Vec::new();
    safeguards::count(book, context, &mut counts, &mut tasks, &mut findings);
    bare_pipe::find(context, &mut findings);
    studs::find(context, &mut findings);
    manifolds::put(book, context, &mut findings);
    let columns = counts::put(book, context, &counts);
    let take_off = lines::lines(book, context, &counts, columns);
    let take_off =
        TakeOff { choice_check: verdicts.choices, tees_gone: verdicts.gone, tasks, counted: counts, ..take_off };
    (take_off, findings)
}

/// When the pipe of a run is put in: what Runs says, else underground where it is buried or in a slab.
pub fn phase_of(run: &Run) -> Phase {
    run.phase.as_ref().and_then(|text| Phase::parse(text)).unwrap_or(match run.place.get() {
        Some(Whereabouts::Buried | Whereabouts::InSlab) => Phase::Underground,
        _ => Phase::RoughIn,
    })
}

impl View<'_, Inputs<'_>> {
    /// [`phase_of`] the run at a position.
    pub fn phase_of_run(&self, position: usize) -> Phase {
        phase_of(&self.job.runs[self.network.order[position]])
    }

    /// Where a run lies.
    fn place_of_run(&self, position: usize) -> Whereabouts {
        self.job.runs[self.network.order[position]].place.get().unwrap_or_default()
    }

    /// Where the run of this name lies; inside where there is none.
    fn place_of(&self, run: Option<&str>) -> Whereabouts {
        let position = run.and_then(|name| self.network.find(name));
        position.map_or(Whereabouts::Inside, |position| self.place_of_run(position))
    }

    pub fn is_new(&self, position: usize) -> bool {
        self.job.runs[self.network.order[position]].status.get().unwrap_or_default().is_of_this_job()
    }
}
