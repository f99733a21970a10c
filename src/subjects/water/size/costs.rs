//! What sizes cost at the job's prices, for the exact search: all pieces that runs and their ends take, by the list that the
//! take-off counts, what goes along the pipe, and the hours of all that; in thousandths of a dollar.
//!
//! Each piece is priced in dollars, and their sum is rounded once. tests/sizing/cheapest.rs holds it against the bid.

use super::accessory_counts::{Framing, Goes, Lying, Spacing, Step, Takes};
use super::bought_ends::bought_ends;
use super::exact::Costs;
use super::junctions::{in_line, run_is_new};
use super::part::{Part, Piece};
use super::search::{Job, Search};
use super::unit_costs::{UnitCosts, mills};
use crate::figure::Term;
use crate::model::{Device, Setting, Size, Status, Whereabouts};
use crate::rules::{Item, SUPPORT};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::HashMap;
use std::sync::Arc;

/// The job's prices and hours as the search asks for them. Vectors go by position.
pub(crate) struct JobCosts<'a> {
    job: Job<'a>,
    search: &'a Search<'a>,
    /// Runs that are put in from now on: what is in already costs nothing more.
    ahead: Vec<bool>,
    /// Pieces whose size is that of the run alone; those that depend on its way straight on and its last branch too; those
    /// that depend on the run, which is a branch before the last, and on what feeds it.
    own: Vec<Vec<Part>>,
    junction_parts: Vec<Vec<Part>>,
    branch: Vec<Vec<Part>>,
    /// Kinds of the new devices on every run that are bought in its size, with their ends where Prices says them, and how many of
    /// these take the pipe itself.
    devices: Vec<Vec<(Arc<str>, String, usize)>>,
    unit: UnitCosts<'a>,
    framing: Framing<f64>,
    spacings: HashMap<(Arc<str>, Size), Spacing<f64>>,
    /// 1 and the waste of pipe.
    waste: f64,
}

impl<'a> JobCosts<'a> {
    pub(super) fn new(job: Job<'a>, search: &'a Search<'a>) -> Self {
        let Job { context, materials, outlets, physics, .. } = job;
        let count = materials.len();
        let run = |position: usize| job.run(position);
        // A change that is tried may replace what lies there.
        let replaced = |position: usize| search.runs[position].new && !run_is_new(context, position);
        let new: Vec<bool> = (0..count).map(|p| run_is_new(context, p) || replaced(p)).collect();
        let is_in = |position: usize| run(position).status.get() == Some(Status::Installed);
        let ahead: Vec<bool> = (0..count).map(|p| new[p] && (search.runs[p].new || !is_in(p))).collect();
        let structure = physics.structure;
        let parts = match (0..count).any(replaced) {
            true => structure.parts(context, materials, outlets, &new),
            false => structure.parts.clone(),
        };
        let mut by_sizes = [vec![Vec::new(); count], vec![Vec::new(); count], vec![Vec::new(); count]];
        let [own, junction_parts, branch] = &mut by_sizes;
        for (position, part) in (0..).zip(parts).flat_map(|(at, parts)| parts.into_iter().map(move |part| (at, part))) {
            let runs_own = !part.at_fork && part.origin.place == run(position).name.place;
            match part.runs().into_iter().find(|run| *run != position) {
                None if runs_own && new[position] && !ahead[position] => {}
                None => own[position].push(part),
                Some(run) if structure.forks[position].others.contains(&run) => branch[run].push(part),
                Some(_) => junction_parts[position].push(part),
            }
        }
        let [own, junction_parts, branch] = by_sizes;
        let mut devices = vec![Vec::new(); count];
        for device in context.job.devices.iter().filter(|device| takes_size_of_run(device)) {
            if let Some(position) = context.network.find(&device.on_run.value) {
                let ends = bought_ends(context, &device.kind.value, None);
                let direct = ends.joined_directly(context.fitting_end(&materials[position]));
                devices[position].push((device.kind.value.clone(), ends.said, direct));
            }
        }
        // As the rows of the pipe table.
        let pipes = context.rules.pipes().iter().filter(|pipe| materials.contains(&pipe.material));
        let spacings = (1u32..).zip(pipes).map(|(row, pipe)| {
            ((pipe.material.clone(), pipe.size), Spacing::of(physics.lay, &Term::number(row), in_numbers))
        });
        Self {
            job,
            search,
            ahead,
            own,
            junction_parts,
            branch,
            devices,
            unit: UnitCosts::new(context),
            framing: Framing::of(context, physics.lay, in_numbers),
            spacings: spacings.collect(),
            waste: 1.0 + number(context.job.number(Setting::Waste)),
        }
    }

    /// The same with another price for whatever nobody offers.
    pub(crate) fn telling_unoffered(self) -> Self {
        Self { unit: self.unit.telling_unoffered(), ..self }
    }

    fn size(&self, position: usize, option: usize) -> Size {
        self.search.runs[position].options[option].size
    }

    /// Where a run lies.
    fn place(&self, position: usize) -> Whereabouts {
        self.job.run(position).place.get().unwrap_or_default()
    }

    /// Parts of a run and its end where the runs have these sizes.
    fn parts(&self, position: usize, parts: &[Part], size: impl Fn(usize) -> Size) -> f64 {
        let (unit, at) = (&self.unit, Some(self.place(position)));
        let of = |part: &Part| {
            let size = |of: super::part::SizeOf| of.at(&size);
            let one = match &part.piece {
                Piece::Fitting { kind, material, size: own, ends, joins } => {
                    let ends = ends.iter().map(|leg| unit.end(at, &leg.material, size(leg.size)));
                    let item = Item::new(kind, material, &[size(*own)]).with_ends(joins);
                    unit.price_of(&item) + ends.sum::<f64>()
                }
                Piece::Tee { material, legs } => unit.tee(at, material, legs.each_ref().map(|leg| size(leg.size))),
                Piece::Coupling { material, legs } => match legs.each_ref().map(|leg| size(leg.size)) {
                    [from, to] if from == to => {
                        unit.fitting(at, "coupling", material, &[to]) + unit.end(at, material, to)
                    }
                    [from, to] => unit.reducer(at, material, from, to),
                },
                Piece::Reducer { material, legs, nipple } => {
                    unit.reducer_with_nipple(at, material, legs.each_ref().map(|leg| size(leg.size)), size(nipple.size))
                }
                Piece::Nipple { material, size: own } => unit.nipple(material, size(*own)),
            };
            one * part.times.value().as_f64()
        };
        parts.iter().map(of).sum()
    }

    /// Pipe and what goes along it.
    fn accessories_cost(&self, position: usize, size: Size) -> f64 {
        let run = self.job.run(position);
        let material = &self.job.materials[position];
        let Some(spacing) = self.spacings.get(&(material.clone(), size)) else { return 0.0 };
        let mut bill = Bill { costs: self, position, size, sum: 0.0 };
        let lying = Lying {
            length_ft: number(run.length_ft.value),
            rise_ft: number(run.rise_ft.value),
            place: self.place(position),
            starts: self.job.context.network.parent[position].is_none(),
            accessories: &self.job.physics.structure.accessories[position],
            framing: &self.framing,
            spacing: spacing.clone(),
        };
        lying.takes(&mut bill);
        let form = self.job.physics.forms.of(position, Some(size));
        bill.sum + number(run.bends.value) * self.unit.bend(Some(self.place(position)), material, form, size)
    }
}

fn in_numbers(term: &Term) -> f64 {
    term.value().as_f64()
}

fn number(of: Option<Decimal>) -> f64 {
    of.and_then(|number| number.to_f64()).unwrap_or_default()
}

/// Adds up what goes along a run of some size.
struct Bill<'a, 'b> {
    costs: &'a JobCosts<'b>,
    position: usize,
    size: Size,
    sum: f64,
}

impl Takes<f64> for Bill<'_, '_> {
    fn step(&mut self, _: Step, value: f64) -> f64 {
        value
    }

    fn take(&mut self, what: Goes, quantity: f64) {
        let JobCosts { unit, job, waste, .. } = self.costs;
        let (at, size, material) =
            (Some(self.costs.place(self.position)), self.size, &*self.costs.job.materials[self.position]);
        let one = match what {
            Goes::Pipe => {
                let form = job.physics.forms.of(self.position, Some(size));
                unit.price("pipe", material, &[size]) * waste + unit.run(at, material, form, size)
            }
            Goes::Tails => unit.price("pipe", material, &[size]) * waste,
            Goes::Supports => unit.price(SUPPORT, material, &[size]) + unit.task_cost(at, "support pipe"),
            Goes::NailPlates => unit.price("nail plate", "", &[]) + unit.task_cost(at, "plate studs"),
            Goes::Sleeves(kind) => {
                self.costs.job.context.rules.sleeve(size).map_or(0.0, |sleeve| unit.price(kind, "", &[sleeve]))
            }
            Goes::Insulation => {
                let wall = self.costs.job.run(self.position).insulation_in.value;
                unit.price_of(&Item::insulation(size, wall)) + unit.task_cost(at, "insulate pipe")
            }
        };
        self.sum += quantity * one;
    }

    fn insulated_ft(&mut self, length_ft: &f64) -> Option<f64> {
        let insulation = &self.costs.job.run(self.position).insulation_in;
        let by_rule = self.costs.job.physics.structure.accessories[self.position].insulate;
        insulation.value.map_or(by_rule, |thickness| thickness > Decimal::ZERO).then_some(*length_ft)
    }
}

/// Whether a device is bought in the size of its run: one in the line or a manifold, of this job, without a size of its own.
pub(crate) fn takes_size_of_run(device: &Device) -> bool {
    let kind = &*device.kind.value;
    let of_this_job = device.status.get().unwrap_or_default().is_of_this_job();
    of_this_job && device.size.get().is_none() && (in_line(kind) || kind == "manifold")
}

impl Costs for JobCosts<'_> {
    fn run(&self, position: usize, option: usize) -> i64 {
        let size = self.size(position, option);
        let mut cost = self.parts(position, &self.own[position], |_| size);
        if self.ahead[position] {
            cost += self.accessories_cost(position, size);
        }
        let device = |(kind, ends, direct): &(Arc<str>, String, usize)| {
            let one = self.unit.price_of(&Item::new(kind, "", &[size]).with_ends(ends));
            one + *direct as f64 * self.unit.end(Some(self.place(position)), &self.job.materials[position], size)
        };
        cost += self.devices[position].iter().map(device).sum::<f64>();
        mills(cost)
    }

    fn junction_cost(
        &self,
        position: usize,
        option: usize,
        straight: (usize, usize),
        last: Option<(usize, usize)>,
    ) -> i64 {
        let option_of = |run: usize| match last {
            Some((last, option)) if last == run => option,
            _ if run == straight.0 => straight.1,
            _ => option,
        };
        mills(self.parts(position, &self.junction_parts[position], |run| self.size(run, option_of(run))))
    }

    fn branch(&self, position: usize, option: usize, branch: (usize, usize)) -> i64 {
        let option_of = |run: usize| if run == branch.0 { branch.1 } else { option };
        mills(self.parts(position, &self.branch[branch.0], |run| self.size(run, option_of(run))))
    }
}
