//! What the water piping takes, piece by piece: pipe and what goes along it, fittings at every joint, what hangs on the runs,
//! what the job's policies ask for, and what old pipe needs where it is cut.

mod assemblies;
mod bare_pipe;
mod fittings;
mod installed;
mod manifolds;
mod no_straight_tee;
mod pipe;
mod removal;
mod safeguards;
mod service_pipe;
mod studs;
mod sundries;
mod tees;
mod tempered;

pub(crate) use removal::caps_on_what_stays;
pub(super) use sundries::is_metal_main_out;
pub(super) use tempered::limits as tempered_limits;

use super::size::Sizes;
use crate::figure::{Book, Term};
use crate::finding::Finding;
use crate::model::{Phase, Whereabouts};
use crate::parts::{Count, Parts, phase_of};
use crate::rules::{Item, PartKind};
use crate::view::View;

/// The kinds of parts that water alone counts.
pub(super) const PARTS: &[PartKind] = &[
    PartKind::new("bend support").sized(),
    PartKind::new("manifold port").sized(),
    PartKind::new("mixing valve"),
    PartKind::new("nail plate"),
    PartKind::new("stop and waste valve"),
    PartKind::new("relief pipe").in_feet(),
    PartKind::new("pan drain").in_feet(),
    PartKind::new("drain tube").in_feet(),
    PartKind::new("overflow tube").in_feet(),
    PartKind::new("condensate drain").in_feet(),
    PartKind::new("tracer wire").in_feet(),
    PartKind::new("warning tape").in_feet(),
    PartKind::new("insulation tape").in_feet(),
    PartKind::new("blocking").in_feet(),
];

/// The sizes that everything is counted at.
#[derive(Debug, Clone, Copy)]
pub struct Inputs<'a> {
    pub sizes: &'a Sizes,
}

/// What every file here works from.
pub(crate) type Context<'a> = View<'a, Inputs<'a>>;

/// All pieces, and the work that goes with those of the job's policies.
pub(crate) fn parts(book: &mut Book, context: &Context, parts: &mut Parts, findings: &mut Vec<Finding>) {
    let mut counts = Vec::new();
    pipe::count(book, context, &mut counts);
    let pieces = fittings::pieces(book, context);
    let (fittings, verdicts) = tees::make_up(book, context, pieces, findings);
    counts.extend(fittings);
    assemblies::count(book, context, &mut counts, findings);
    removal::count(book, context, &mut counts, findings);
    safeguards::count(book, context, &mut counts, &mut parts.tasks, findings);
    tempered::count(book, context, &mut counts, &mut parts.tasks, findings);
    sundries::count(book, context, &mut counts, &mut parts.tasks);
    bare_pipe::find(context, findings);
    service_pipe::find(context, findings);
    studs::find(context, findings);
    manifolds::put(book, context, findings);
    for count in &mut counts {
        count.in_already = installed::is_in(context, count);
        count.form_cell = form_cell(context, count);
    }
    let materials = &context.sizes.materials;
    let new_pipe = (0..context.network.len()).filter(|position| context.is_new(*position));
    parts.counts.append(&mut counts);
    parts.pipe.extend(materials.iter().cloned());
    parts.new_pipe.extend(new_pipe.map(|position| materials[position].clone()));
    parts.has_manifold |= context.sizes.structure.manifold_at.contains(&true);
    parts.choice_check = verdicts.choices;
    parts.choices_gone = verdicts.gone;
    parts.unpriced = verdicts.unpriced;
}

/// Whether pipe of this material is metal.
fn is_metal(material: &str) -> bool {
    ["copper", "galvanized"].iter().any(|metal| material.starts_with(metal))
}

/// The cell of the form that pipe is run in, where it is chosen.
fn form_cell(context: &Context, count: &Count) -> Option<Term> {
    let position = context.network.find(&count.origin.value).filter(|_| count.is_run())?;
    context.sizes.form_choices[position].clone()
}

impl View<'_, Inputs<'_>> {
    /// `phase_of` the run at a position.
    pub fn phase_of_run(&self, position: usize) -> Phase {
        phase_of(&self.job.runs[self.network.order[position]])
    }

    /// Where a run lies.
    fn place_of_run(&self, position: usize) -> Whereabouts {
        self.job.runs[self.network.order[position]].place.get().unwrap_or_default()
    }

    /// A piece of the run at a position, put in with it and where it lies.
    fn count_of_run(&self, position: usize, purpose: &'static str, item: Item, key: Term) -> Count {
        let name = &self.job.runs[self.network.order[position]].name;
        let (phase, place) = (self.phase_of_run(position), self.place_of_run(position));
        Count { phase, place, key, ..Count::new(name, purpose, item, Term::number(1)) }
    }

    /// Where the run of this name lies; inside where there is none.
    fn place_of(&self, run: Option<&str>) -> Whereabouts {
        let position = run.and_then(|name| self.network.find(name));
        position.map_or(Whereabouts::Inside, |position| self.place_of_run(position))
    }

    /// Whether the run at this position is put in by this job, done or to do.
    pub fn is_new(&self, position: usize) -> bool {
        self.job.runs[self.network.order[position]].status.get().unwrap_or_default().is_of_this_job()
    }
}
