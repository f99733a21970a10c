//! What joins runs where they meet.
//!
//! At the end of a run: one way on is a coupling (a reducer where the size changes, an adapter where the material
//! does); more ways are tees in a row, the smaller branches first; none, with nothing drawing there, is a cap. A
//! fixture that draws where the run goes on is a branch like any other. Fittings are ours where any pipe they join is
//! new. What is needed does not depend on sizes, only how many of it: the finished bid is live in both.

use super::Context;
use super::bought_ends::bought_ends;
use super::outlets::Outlet;
use super::part::{First, Layout, Leg, Part, Piece, SizeOf};
use super::shared_stops::rides_along;
use crate::figure::Term;
use crate::model::At;
use crate::rules::Side;
use crate::subjects::water::rules::Between;
use std::sync::Arc;

/// Devices that water flows through at the start of their run, as against those that hang on a branch or stand at its
/// end.
pub(crate) fn in_line(kind: &str) -> bool {
    !matches!(kind, "expansion tank" | "hammer arrester" | "manifold" | "other")
}

pub(crate) fn run_is_new(context: &Context, position: usize) -> bool {
    context.job.runs[context.network.order[position]].status.get().unwrap_or_default().is_of_this_job()
}

/// The devices that runs start with, by position.
pub(super) fn device_first(context: &Context) -> Vec<Option<First>> {
    let mut first = vec![None; context.network.len()];
    for device in context.job.devices.iter().filter(|device| in_line(&device.kind.value)) {
        let status = device.status.get().unwrap_or_default();
        let position = context.network.find(&device.on_run.value).filter(|_| status.carries_water());
        let Some(position) = position.filter(|position| first[*position].is_none()) else { continue };
        let size = device.size.get();
        first[position] = Some(First {
            name: device.name.clone(),
            inlet: bought_ends(context, &device.kind.value, size).connections[0].to_owned(),
            size: context.rules.connection_size(device).map_or(SizeOf::Run(position), SizeOf::Connection),
            is_ours: status.is_of_this_job(),
        });
    }
    first
}

/// One pipe at a junction: a run, or a side of a fixture.
#[derive(Clone)]
struct Way {
    leg: Leg,
    /// 1 for a run, the fixture's count for an outlet.
    times: Term,
    new: bool,
    is_run: bool,
    /// What a run starts with: a device brings its own adapters.
    first: Option<First>,
}

impl Way {
    /// The device that a run which stays starts with, and that this job does not set: new pipe meets it.
    fn standing(&self) -> Option<&First> {
        self.first.as_ref().filter(|first| self.is_run && !self.new && !first.is_ours)
    }

    /// New pipe goes up to such a device, in the device's size: what lies behind it is not touched.
    fn end_at_standing_device(&mut self, feeder: &Self) {
        if let Some(first) = self.standing() {
            self.leg = Leg { material: feeder.leg.material.clone(), size: first.size };
        }
    }
}

impl Layout<'_> {
    /// The parts at the end of a run.
    pub(super) fn parts_at(&self, position: usize) -> Vec<Part> {
        let fork = &self.forks[position];
        // Outlets first: where a row of tees ends, the run that goes on decides the last one.
        let mut branches = self.outlets_at(position);
        let through = match fork.straight {
            Some(child) => Some(self.run(child)),
            None => branches.pop(),
        };
        let Some(mut through) = through else { return Vec::new() };
        branches.extend(fork.others.iter().chain(&fork.last).map(|child| self.run(*child)));
        let feeder = self.run(position);
        if feeder.new {
            std::iter::once(&mut through).chain(&mut branches).for_each(|way| way.end_at_standing_device(&feeder));
        }
        let mut onward = std::iter::once(&through).chain(&branches);
        if !feeder.new && !onward.clone().any(|way| way.new) {
            return Vec::new();
        }
        // Of the feeding pipe's material where that is new, else of that of the first new run there.
        let first_new = onward.find(|way| way.is_run && way.new).filter(|_| !feeder.new);
        let material = first_new.unwrap_or(&feeder).leg.material.clone();
        let origin = self.context.job.runs[self.context.network.order[position]].name.clone();
        let mut junction = Junction { context: self.context, origin, feeder, material, parts: Vec::new() };
        if self.manifold_at[position] {
            std::iter::once(&through).chain(&branches).for_each(|way| junction.port(way));
        } else {
            junction.join(&through, &branches);
            std::iter::once(&through).chain(&branches).for_each(|way| junction.meet(way));
        }
        junction.parts
    }

    fn run(&self, position: usize) -> Way {
        Way {
            leg: Leg { material: self.materials[position].clone(), size: SizeOf::Run(position) },
            times: Term::number(1),
            new: self.new[position],
            is_run: true,
            first: self.device_first[position].clone(),
        }
    }

    /// The sides of fixtures that draw at the end of a run, in their connection size and the run's material.
    fn outlets_at(&self, position: usize) -> Vec<Way> {
        let way = |index: &usize| {
            let outlet = &self.outlets[*index];
            let connection = self.context.rules.fixture(&outlet.kind).map(|kind| kind.connection);
            let size = connection.map_or(SizeOf::Run(position), SizeOf::Connection);
            let status = self.context.job.fixtures[outlet.fixture].status.get().unwrap_or_default();
            Way {
                leg: Leg { material: self.materials[position].clone(), size },
                times: outlet.count.clone(),
                new: status.is_of_this_job(),
                is_run: false,
                first: None,
            }
        };
        let has_own_branch = |index: &&usize| {
            let Outlet { fixture, kind, cold, .. } = &self.outlets[**index];
            let side = if *cold == Some(position) { Side::Cold } else { Side::Hot };
            self.manifold_at[position] || !rides_along(self.context, &self.context.job.fixtures[*fixture], kind, side)
        };
        self.drawing[position].iter().filter(has_own_branch).map(way).collect()
    }
}

/// The end of one run, as its parts are found.
struct Junction<'a> {
    context: &'a Context<'a>,
    origin: At<Arc<str>>,
    feeder: Way,
    /// What the fittings are of.
    material: Arc<str>,
    parts: Vec<Part>,
}

const CHANGES: &str = "its size changes";

impl Junction<'_> {
    fn add(&mut self, purpose: &'static str, piece: Piece, times: &Term) {
        let origin = self.origin.clone();
        self.parts.push(Part { origin, purpose, piece, times: times.clone(), phase: None, at_fork: true });
    }

    /// Everything that joins the run to its way through and its branches.
    fn join(&mut self, through: &Way, branches: &[Way]) {
        let feeder = self.feeder.clone();
        for (index, branch) in branches.iter().enumerate() {
            let goes_on = if index + 1 == branches.len() { through } else { &feeder };
            self.tee(goes_on, branch, &branch.times);
        }
        if !through.is_run {
            // Of several alike at one place, all but the last are branches.
            let more = (&through.times - Term::number(1)).max(&Term::number(0));
            self.tee(&feeder, through, &more);
        }
        match (branches.is_empty(), through.is_run) {
            (true, true) => return self.one_way(through),
            (true, false) if feeder.new => {
                // A run larger than the connection of what it ends at is brought down to it.
                let material = self.material.clone();
                self.size_change("down to the connection", &material, through, through);
            }
            (true, false) => {}
            (false, _) => std::iter::once(through).chain(branches).for_each(|way| self.transition(way)),
        }
        self.transition(&feeder);
    }

    /// The adapter to a device that stands where new pipe comes; none where the device takes the pipe itself.
    fn meet(&mut self, way: &Way) {
        let Some(First { name, inlet, size, .. }) =
            way.standing().filter(|first| self.feeder.new && !first.inlet.is_empty())
        else {
            return;
        };
        let end = self.context.pipe_end(&self.material).filter(|end| *end.end != **inlet);
        let joins = self.context.rules.adapter_ends(end, inlet);
        if !joins.is_empty() {
            let (material, ends) = (self.material.clone(), vec![way.leg.clone()]);
            let piece = Piece::Fitting { kind: "adapter".into(), material, size: *size, ends, joins: joins.into() };
            let (origin, purpose, times) = (name.clone(), "new pipe meets it", Term::number(1));
            self.parts.push(Part { origin, purpose, piece, times, phase: None, at_fork: true });
        }
    }

    /// A port of the manifold at its end, in the size and material of what it feeds.
    fn port(&mut self, way: &Way) {
        if way.new {
            let Leg { material, size } = way.leg.clone();
            let (kind, ends) = ("manifold port".into(), vec![way.leg.clone()]);
            let piece = Piece::Fitting { kind, material, size, ends, joins: "".into() };
            self.add("feeds from its manifold", piece, &way.times);
        }
    }

    fn tee(&mut self, through: &Way, branch: &Way, times: &Term) {
        let legs = [&self.feeder, through, branch].map(|way| way.leg.clone());
        self.add("a branch at its end", Piece::Tee { material: self.material.clone(), legs }, times);
    }

    /// The only way on: a coupling or a reducer as the sizes come to be, or an adapter to another material.
    fn one_way(&mut self, through: &Way) {
        let feeder = self.feeder.clone();
        if feeder.leg.material != through.leg.material {
            // The change of size, if any, is made in the pipe that is ours to choose.
            let (far, near) = if through.new { (&feeder, through) } else { (through, &feeder) };
            let near = near.leg.material.clone();
            let beyond = if *self.material == *near { far.leg.material.clone() } else { near.clone() };
            self.adapter(far, &beyond, feeder.new && through.new);
            self.size_change(CHANGES, &near, through, far);
        } else if through.first.is_some() {
            // The device joins them; only a change of size needs a piece of its own.
            let material = self.material.clone();
            self.size_change(CHANGES, &material, through, through);
        } else {
            let legs = [&feeder, through].map(|way| way.leg.clone());
            let piece = Piece::Coupling { material: self.material.clone(), legs };
            self.add("the next run joins on", piece, &Term::number(1));
        }
    }

    /// A reducer where the size changes; none as long as it does not. `nipple` is the side on which another fitting
    /// stands next to it.
    fn size_change(&mut self, purpose: &'static str, material: &Arc<str>, to: &Way, nipple: &Way) {
        let legs = [&self.feeder, to].map(|way| way.leg.clone());
        let piece = Piece::Reducer { material: material.clone(), legs, nipple: nipple.leg.clone() };
        self.add(purpose, piece, &Term::number(1));
    }

    /// An adapter where a leg of another material meets the tee, and the nipple between them.
    fn transition(&mut self, way: &Way) {
        if way.leg.material != self.material {
            self.adapter(way, &way.leg.material.clone(), way.new);
            let piece = Piece::Nipple { material: self.material.clone(), size: way.leg.size };
            self.add("", piece, &way.times);
        }
    }

    /// What joins the junction's material to another in a leg's size: an adapter, a dielectric union, or two adapters. Its
    /// far joint is counted where the pipe there is ours too.
    fn adapter(&mut self, way: &Way, to: &Arc<str>, both_ours: bool) {
        let (own, size) = (self.material.clone(), way.leg.size);
        let (first, second) = self.context.rules.transition([&own, to].map(|material| self.context.pipe_end(material)));
        let leg = |material: &Arc<str>| Leg { material: material.clone(), size };
        let (near, far) = (vec![leg(&own)], if both_ours { vec![leg(to)] } else { Vec::new() });
        let (near, beyond) = if second.is_some() { (near, far) } else { ([near, far].concat(), Vec::new()) };
        for (Between { kind, ends: joins, of_other }, ends) in
            [(Some(first), near), (second, beyond)].into_iter().filter_map(|(part, ends)| Some((part?, ends)))
        {
            let material = if of_other { to.clone() } else { own.clone() };
            let piece = Piece::Fitting { kind, material, size, ends, joins: joins.into() };
            self.add("the material changes", piece, &way.times);
        }
    }
}
