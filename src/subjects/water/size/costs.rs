//! What sizes cost at the job's prices, for the exact search: pipe with its waste, what goes along it (bends, supports, nail
//! plates, sleeves, insulation), what joins it (tees as they are made up, reducers, adapters, ports), the pieces a run needs
//! in its own size, rings with their spares, and the hours of all that, in thousandths of a dollar.
//!
//! What there is to count comes from `structure`, which the take-off reads too; how much of it a size needs is reckoned
//! here once more, in plain numbers, as `takeoff::fittings` and `takeoff::pipe` do in figures. tests/cheapest.rs holds the
//! two together: whatever size a run takes, the search and the bid must move by the same money.

use super::exact::Costs;
use super::junctions::in_line;
use super::outlets::Outlet;
use super::sizing::{Physics, Search};
use super::unit_costs::UnitCosts;
use super::{Context, installation};
use crate::model::{Device, Field, Job, Setting, Size, Whereabouts};
use crate::rules::{ELBOW, Item};
use crate::subjects::water::rules::NOTHING;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::sync::Arc;

/// The job's prices and hours as the search asks for them.
pub(crate) struct JobCosts<'a> {
    context: &'a Context<'a>,
    search: &'a Search<'a>,
    physics: &'a Physics<'a>,
    materials: &'a [Arc<str>],
    /// Connection size and count of every outlet side at each run's end.
    legs: Vec<Vec<(Size, i64)>>,
    /// Kinds of the new devices on every run that are bought in its size.
    devices: Vec<Vec<Arc<str>>>,
    /// As tees are chosen: where the work is as everywhere.
    anywhere: UnitCosts<'a>,
    /// By the place a run lies at.
    places: Vec<UnitCosts<'a>>,
    place_of: Vec<usize>,
    waste: Decimal,
    /// Of both ends of a run, ft.
    tails_ft: Decimal,
}

impl<'a> JobCosts<'a> {
    pub(crate) fn new(
        context: &'a Context<'a>,
        search: &'a Search<'a>,
        physics: &'a Physics<'a>,
        materials: &'a [Arc<str>],
        outlets: &[Outlet],
    ) -> Self {
        let mut legs = vec![Vec::new(); materials.len()];
        for outlet in outlets {
            let count = outlet.count.value().as_decimal().and_then(|d| d.to_i64()).unwrap_or(1);
            let connection = context.rules.fixture(&outlet.kind).map(|kind| kind.connection);
            for position in [outlet.cold, outlet.hot].into_iter().flatten() {
                legs[position].extend(connection.map(|size| (size, count)));
            }
        }
        let mut devices = vec![Vec::new(); materials.len()];
        for device in context.job.devices.iter().filter(|device| takes_size_of_run(device)) {
            if let Some(position) = context.network.find(&device.on_run.value) {
                devices[position].push(device.kind.value.clone());
            }
        }
        let waste = Decimal::ONE.saturating_add(context.job.number(Setting::Waste).unwrap_or_default());
        let (job, rules) = (context.job, context.rules);
        let place = |run: &usize| job.runs[*run].place.get().unwrap_or_default() as usize;
        Self {
            context,
            search,
            physics,
            materials,
            legs,
            devices,
            anywhere: UnitCosts::new(job, rules),
            places: Whereabouts::ALL.iter().map(|place| UnitCosts::at(job, rules, *place)).collect(),
            place_of: context.network.order.iter().map(place).collect(),
            waste,
            tails_ft: tails_ft(context.job),
        }
    }

    /// The same with another price for whatever nobody offers.
    pub(crate) fn telling_unoffered(self) -> Self {
        let places = self.places.into_iter().map(UnitCosts::telling_unoffered).collect();
        Self { anywhere: self.anywhere.telling_unoffered(), places, ..self }
    }

    fn size(&self, position: usize, option: usize) -> Size {
        self.search.runs[position].options[option].size
    }

    fn is_new(&self, position: usize) -> bool {
        self.search.runs[position].new
    }

    /// Prices, and hours as they are where this run lies.
    fn unit(&self, position: usize) -> &UnitCosts<'a> {
        // `places` has one for every place, in the order of the places.
        &self.places[self.place_of[position]]
    }

    /// A tee at the end of a run, made up as the Tees sheet has it.
    fn tee(&self, position: usize, material: &str, asked: [Size; 3]) -> i64 {
        self.unit(position).tee_as(&self.anywhere, material, asked)
    }

    /// An adapter of this size between the fittings' material and, where that joint is ours too, another.
    fn adapter(&self, at: usize, material: &str, size: Size, beyond: Option<&str>) -> i64 {
        let unit = self.unit(at);
        unit.fitting("adapter", material, &[size]) + beyond.map_or(0, |beyond| unit.end(beyond, size))
    }

    /// A leg that meets fittings of another material in an adapter, at the end of run `at`.
    fn transition(&self, at: usize, leg: usize, size: Size, material: &str) -> i64 {
        let own = &*self.materials[leg];
        if own == material {
            return 0;
        }
        let adapter = self.adapter(at, material, size, self.is_new(leg).then_some(own));
        adapter + self.unit(at).nipple(material, size)
    }

    /// A port of a manifold, in the size and material of what it feeds.
    fn port(&self, at: usize, material: &str, size: Size) -> i64 {
        self.unit(at).fitting("manifold port", material, &[size])
    }

    /// The port that a run takes of the manifold that feeds it, at the end of run `at`.
    fn port_of(&self, at: usize, run: usize, size: Size) -> i64 {
        if self.is_new(run) { self.port(at, &self.materials[run], size) } else { 0 }
    }

    /// The only way on.
    fn one_way(&self, position: usize, size: Size, child: usize, through: Size) -> i64 {
        let (own, next) = (&*self.materials[position], &*self.materials[child]);
        let material = &*self.physics.structure.joints[position].material;
        if own != next {
            let both = self.is_new(position) && self.is_new(child);
            let (far, near) = if self.is_new(child) { (size, next) } else { (through, own) };
            let reducer = self.unit(position).reducer_beside(near, size, through, far);
            return self.adapter(position, material, far, both.then_some(near)) + reducer;
        }
        if self.physics.structure.joints[child].device_first {
            return self.unit(position).reducer_beside(material, size, through, through);
        }
        if size != through {
            return self.unit(position).reducer(material, size, through);
        }
        self.unit(position).fitting("coupling", material, &[size]) + self.unit(position).end(material, size)
    }

    /// Pipe and what goes along it: bends, supports, nail plates, sleeves, insulation.
    fn along(&self, position: usize, material: &str, size: Size) -> i64 {
        let run = &self.context.job.runs[self.context.network.order[position]];
        let (rules, along) = (self.context.rules, &self.physics.structure.along[position]);
        let number = |field: &Field<Decimal>| field.value.unwrap_or_default();
        let feet = number(&run.length_ft);
        let upright = number(&run.rise_ft).abs().min(feet);
        let level = feet.saturating_sub(upright);
        let unit = self.unit(position);
        let price = |kind: &str, material: &str| unit.price(&Item::new(kind, material, &[size]));
        let tails = if feet > Decimal::ZERO { self.tails_ft } else { Decimal::ZERO };
        let mut cost = scaled(feet.saturating_add(tails).saturating_mul(self.waste), price("pipe", material));
        let form = self.physics.forms.of(position, Some(size));
        cost += scaled(feet, unit.run(material, form, size));
        let bend = match rules.bend_part(material, form, size) {
            NOTHING => 0,
            ELBOW => unit.fitting(ELBOW, material, &[size]) + unit.end(material, size),
            part => price(part, material),
        };
        cost += scaled(number(&run.bends), bend);
        if !matches!(run.place.get().unwrap_or_default(), Whereabouts::Buried | Whereabouts::InSlab) {
            let held = installation::supports(self.context, (material, size), [level, upright], along.in_studs);
            let starts = u64::from(self.context.network.parent[position].is_none());
            let supports = held.saturating_add(starts.into());
            cost += scaled(supports, price("support", "") + unit.along("support pipe"));
        }
        if along.can_be_nailed {
            let plates = installation::plates(self.context, material, size, level, along.plates_crossed);
            let each = unit.price(&Item::new("nail plate", "", &[])) + unit.along("plate studs");
            cost += scaled(plates, each);
        }
        if let (Some((kind, pieces)), Some(sleeve)) = (along.sleeves, rules.sleeve(size)) {
            cost += i64::from(pieces) * unit.price(&Item::new(kind, "", &[sleeve]));
        }
        if run.insulation_in.value.map_or(along.insulate, |thickness| thickness > Decimal::ZERO) {
            cost += scaled(feet, price("pipe insulation", "") + unit.along("insulate pipe"));
        }
        cost
    }

    /// Outlets at the end of a run that nothing else leaves.
    fn dead_end(&self, position: usize, size: Size) -> i64 {
        let material = &self.materials[position];
        let tee = |through: Size, branch: Size| self.tee(position, material, [size, through, branch]);
        let Some(((last, alike), others)) = self.legs[position].split_last() else { return 0 };
        let mut cost = (alike - 1).max(0) * tee(size, *last);
        for (index, (branch, times)) in others.iter().enumerate() {
            let through = if index + 1 == others.len() { *last } else { size };
            cost += times * tee(through, *branch);
        }
        if others.is_empty() { cost + self.unit(position).reducer_beside(material, size, *last, *last) } else { cost }
    }
}

/// Whether a device is bought in the size of its run: one in the line or a manifold, of this job, without a size of its own.
pub(crate) fn takes_size_of_run(device: &Device) -> bool {
    let kind = &*device.kind.value;
    let of_this_job = device.status.get().unwrap_or_default().is_of_this_job();
    of_this_job && device.size.get().is_none() && (in_line(kind) || kind == "manifold")
}

/// The tails of both ends of a run, ft.
fn tails_ft(job: &Job) -> Decimal {
    let tail = job.number(Setting::TailAllowance).unwrap_or_default();
    tail.saturating_mul(Decimal::TWO).checked_div(Decimal::from(12)).unwrap_or_default()
}

fn scaled(count: Decimal, each: i64) -> i64 {
    count.checked_mul(Decimal::from(each)).and_then(|cost| cost.round().to_i64()).unwrap_or(i64::MAX / 1024)
}

impl Costs for JobCosts<'_> {
    fn run(&self, position: usize, option: usize) -> i64 {
        if !self.is_new(position) {
            return 0;
        }
        let (size, material) = (self.size(position, option), &*self.materials[position]);
        let unit = self.unit(position);
        let mut cost = self.along(position, material, size);
        for part in &self.physics.structure.run_parts[position] {
            let own = part.connection.unwrap_or(size);
            let price = unit.price(&Item::new(&part.kind, part.material_in(material), &[own]));
            let joined = price + i64::from(part.ends) * unit.end(material, own);
            cost += scaled(part.pieces, joined + unit.reducer_beside(material, size, own, own));
        }
        cost += self.devices[position].iter().map(|kind| unit.price(&Item::new(kind, "", &[size]))).sum::<i64>();
        for tee in &self.physics.structure.line_tees[position] {
            cost += self.tee(position, material, [size, size, tee.branch.min(size)]);
        }
        if self.physics.structure.manifold_at[position] {
            // Outlets at a manifold take ports of their own size, whatever the run's.
            return cost;
        }
        let fork = &self.physics.structure.forks[position];
        match (fork.straight, self.legs[position].as_slice()) {
            (None, _) => cost += self.dead_end(position, size),
            // Outlets where the run goes on are branches before the others; the last tee is the joint's.
            (Some(_), legs) => {
                let before =
                    if fork.last.is_some() { legs } else { legs.split_last().map_or(legs, |(_, before)| before) };
                for (branch, times) in before {
                    cost += times * self.tee(position, material, [size, size, *branch]);
                }
            }
        }
        cost
    }

    fn joint(&self, position: usize, option: usize, straight: (usize, usize), last: Option<(usize, usize)>) -> i64 {
        let joint = &self.physics.structure.joints[position];
        if !joint.ours {
            return 0;
        }
        let (size, material) = (self.size(position, option), &*joint.material);
        let (child, through) = (straight.0, self.size(straight.0, straight.1));
        if self.physics.structure.manifold_at[position] {
            let last = last.map_or(0, |(run, option)| self.port_of(position, run, self.size(run, option)));
            return self.port_of(position, child, through) + last;
        }
        let straight_on = || self.transition(position, child, through, material);
        if let Some((branch, option)) = last {
            let branching = self.size(branch, option);
            let tee = self.tee(position, material, [size, through, branching]);
            return tee + straight_on() + self.transition(position, branch, branching, material);
        }
        if let Some((connection, times)) = self.legs[position].last() {
            return times * self.tee(position, material, [size, through, *connection]) + straight_on();
        }
        self.one_way(position, size, child, through)
    }

    fn branch(&self, position: usize, option: usize, (branch, branch_option): (usize, usize)) -> i64 {
        let joint = &self.physics.structure.joints[position];
        if !joint.ours {
            return 0;
        }
        let (size, branching) = (self.size(position, option), self.size(branch, branch_option));
        if self.physics.structure.manifold_at[position] {
            return self.port_of(position, branch, branching);
        }
        let tee = self.tee(position, &joint.material, [size, size, branching]);
        tee + self.transition(position, branch, branching, &joint.material)
    }
}
