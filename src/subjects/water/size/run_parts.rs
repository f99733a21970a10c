//! The pieces that a run needs in its own size besides pipe and the fittings where runs meet: adapters at devices and at
//! the supply, caps, the valves that the job's policy asks for, and what devices without a size of their own bring.
//!
//! None of it depends on sizes, so the size search and the take-off share it.

use super::bought_ends::bought_ends;
use super::home_runs;
use super::junctions::in_line;
use super::line_tees::in_run;
use super::part::{Layout, Leg, Part, Piece, SizeOf};
use crate::figure::Term;
use crate::model::network::Network;
use crate::model::{At, Device, Job, Phase, Setting, Size, Whereabouts, fold};
use crate::subjects::water::rules::SUPPLY_END;
use crate::subjects::water::rules::split_group;
use std::sync::Arc;

/// The pieces of every run, by position.
pub(super) fn run_parts(layout: &Layout) -> Vec<Vec<Part>> {
    let Layout { context, new, .. } = *layout;
    let network = context.network;
    let devices = new_devices(layout);
    let mut parts: Vec<Vec<Part>> = (0..network.len())
        .map(|position| {
            let run = Owner { layout, position, origin: &context.job.runs[network.order[position]].name };
            let mut here = Vec::new();
            if new[position] && network.parent[position].is_none() {
                let [_, supply] = context.rules.device_connections(SUPPLY_END);
                here.push(run.adapter("joins the supply", SizeOf::Run(position), supply));
            }
            for device in &devices[position] {
                let owner = Owner { origin: &device.name, ..run };
                let ends = bought_ends(context, &device.kind.value, device.size.get()).connections;
                if in_line(&device.kind.value) {
                    here.extend(owner.connections("its two connections", &ends, context.rules.connection_size(device)));
                } else if home_runs::is_manifold(device) && new[position] {
                    here.extend(owner.connections("its inlet", &ends[..1], device.size.get()));
                }
                if device.status.get().unwrap_or_default().is_of_this_job() {
                    here.extend(owner.of_unsized_device(device));
                }
            }
            let ends_here = network.children[position].is_empty() && layout.drawing[position].is_empty();
            if new[position] && ends_here && !layout.manifold_at[position] {
                here.push(run.fitting("nothing beyond its end", "cap", 1));
            }
            here
        })
        .collect();
    for (position, purpose) in shutoffs(layout) {
        let owner = Owner { layout, position, origin: &context.job.runs[network.order[position]].name };
        let joins = context.fitting_end(&layout.materials[position]).unwrap_or_default();
        parts[position].push(owner.part(purpose, ("ball valve", ""), SizeOf::Run(position), 2).joining(joins));
    }
    parts
}

/// The runs that have a shutoff by the job's policy, and what it shuts off.
fn shutoffs(layout: &Layout) -> Vec<(usize, &'static str)> {
    let context = layout.context;
    let policy = Policy::from_name(&context.job.text(Setting::ShutoffValves));
    let mut shutoffs = Vec::new();
    if policy >= Policy::Main {
        let mains = each_main(context.network, layout.main_runs);
        shutoffs.extend(mains.filter_map(|main| Some((main_shutoff_run(layout, main)?, "shuts off the building"))));
    }
    if policy >= Policy::PerBath {
        shutoffs.extend(bath_runs(layout).into_iter().map(|position| (position, "shuts off its bath")));
    }
    shutoffs
}

/// What needs pieces on a run: the run itself, or a device.
#[derive(Clone, Copy)]
struct Owner<'a> {
    layout: &'a Layout<'a>,
    position: usize,
    origin: &'a At<Arc<str>>,
}

impl Owner<'_> {
    /// One piece of a kind and material, so many ends of the run's pipe joined to it.
    fn part(&self, purpose: &'static str, (kind, material): (&str, &str), size: SizeOf, ends: u8) -> Part {
        let leg = Leg { material: self.layout.materials[self.position].clone(), size };
        let ends = vec![leg; usize::from(ends)];
        let piece = Piece::Fitting { kind: kind.into(), material: material.into(), size, ends, joins: "".into() };
        Part { origin: self.origin.clone(), purpose, piece, times: Term::number(1), phase: None, at_fork: false }
    }

    /// A piece of the run's own size and material.
    fn fitting(&self, purpose: &'static str, kind: &str, ends: u8) -> Part {
        self.part(purpose, (kind, &self.layout.materials[self.position]), SizeOf::Run(self.position), ends)
    }

    /// An adapter from the run's pipe to an end that is there.
    fn adapter(&self, purpose: &'static str, size: SizeOf, to: &str) -> Part {
        let Layout { context, materials, .. } = self.layout;
        let material = &materials[self.position];
        self.part(purpose, ("adapter", material), size, 1)
            .joining(&context.rules.adapter_ends(context.pipe_end(material), to))
    }

    /// Adapters to the ends of a device. Where it has another size than its run: of its size, and reducers.
    fn connections(&self, purpose: &'static str, to: &[&str], connection: Option<Size>) -> Vec<Part> {
        let material = &self.layout.materials[self.position];
        let run = SizeOf::Run(self.position);
        let size = connection.map_or(run, SizeOf::Connection);
        // Both at once where they are alike.
        let own = self.layout.context.fitting_end(material);
        let adapters = to
            .chunk_by(|one, other| one == other)
            // What is bought with the end of the run's fittings takes the pipe itself.
            .filter(|alike| own != Some(alike[0]))
            .map(|alike| Part { times: Term::number(alike.len() as u64), ..self.adapter(purpose, size, alike[0]) });
        let leg = |size| Leg { material: material.clone(), size };
        let reducer = connection.map(|_| Part {
            times: Term::number(to.len() as u64),
            piece: Piece::Reducer { material: material.clone(), legs: [leg(run), leg(size)], nipple: leg(size) },
            ..self.part("down to its connections", ("reducer", material), size, 0)
        });
        adapters.chain(reducer).collect()
    }

    /// The parts of a device without a size that have none either: they come in the size of its run.
    fn of_unsized_device(&self, device: &Device) -> Vec<Part> {
        if device.size.value.is_some() {
            return Vec::new();
        }
        let context = self.layout.context;
        let parts = context.rules.assembly(&device.kind.value).filter(|part| part.size.is_none() && !in_run(part));
        let run_material = &self.layout.materials[self.position];
        let size = SizeOf::Run(self.position);
        let count = |part: &crate::rules::Part| {
            let material = part.material.of_run(run_material);
            let joins = part.ends_said(context.fitting_end(run_material));
            let one = self.part("goes with it", (&part.kind, material), size, part.pipe_ends()).joining(&joins);
            Part { times: Term::number(part.quantity), phase: Phase::from_name(&part.phase), ..one }
        };
        parts.map(count).collect()
    }
}

/// What Shutoff valves in Job asks for, each with what comes before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Policy {
    AsListed,
    Main,
    PerBath,
    PerFixture,
}

impl Policy {
    /// By the setting's text.
    pub(crate) fn from_name(text: &str) -> Self {
        match fold(text).as_str() {
            "main" => Self::Main,
            "perbath" => Self::PerBath,
            "perfixture" => Self::PerFixture,
            _ => Self::AsListed,
        }
    }
}

/// Devices that this job joins to pipe, by the run they are on: its own, and on its runs those that others set or that stand
/// there already.
fn new_devices<'a>(layout: &Layout<'a>) -> Vec<Vec<&'a Device>> {
    let context = layout.context;
    let mut on = vec![Vec::new(); context.network.len()];
    for device in &context.job.devices {
        let status = device.status.get().unwrap_or_default();
        let joined = |position: &usize| status.is_of_this_job() || status.carries_water() && layout.new[*position];
        if let Some(position) = context.network.find(&device.on_run.value).filter(joined) {
            on[position].push(device);
        }
    }
    on
}

/// The mains one by one, each from its run at the supply on: a building with two services can be shut off at both.
pub(crate) fn each_main<'a>(network: &'a Network, main_runs: &'a [usize]) -> impl Iterator<Item = &'a [usize]> {
    main_runs.chunk_by(|_, next| network.parent[*next].is_some())
}

/// Whether the main has a shutoff: a valve in Devices, or a new meter, which brings its own.
pub(crate) fn has_main_shutoff(job: &Job, network: &Network, main_runs: &[usize]) -> bool {
    job.devices.iter().any(|device| {
        let status = device.status.get().unwrap_or_default();
        let on_main = network.find(&device.on_run.value).is_some_and(|run| main_runs.contains(&run));
        let shuts = match &*device.kind.value {
            "shutoff valve" => status.carries_water(),
            "meter" => status.is_of_this_job(),
            _ => false,
        };
        on_main && shuts
    })
}

/// The run that a main shutoff is wanted in: the first new one of the main inside the building. `None` where the main has
/// a shutoff, or comes in as it is.
fn main_shutoff_run(layout: &Layout, main_runs: &[usize]) -> Option<usize> {
    let Layout { context, new, .. } = *layout;
    let root = main_runs.first()?;
    if has_main_shutoff(context.job, context.network, main_runs) || !new[*root] {
        return None;
    }
    let inside = |position: &&usize| {
        let place = context.job.runs[context.network.order[**position]].place.get().unwrap_or_default();
        new[**position] && !matches!(place, Whereabouts::Buried | Whereabouts::InSlab)
    };
    Some(*main_runs.iter().find(inside).unwrap_or(root))
}

/// Whose fixtures a run feeds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Feeds {
    Nothing,
    /// Fixtures of this one bath, by the number of its group.
    Bath(usize),
    Others,
}

impl Feeds {
    fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Nothing, one) | (one, Self::Nothing) => one,
            (one, another) if one == another => one,
            _ => Self::Others,
        }
    }
}

/// The new runs at which the water of a bath can be shut off and of nothing else: those that feed one bath alone, fed by
/// one that feeds more.
fn bath_runs(layout: &Layout) -> Vec<usize> {
    let Layout { context, outlets, new, .. } = *layout;
    let network = context.network;
    let mut baths: Vec<String> = Vec::new();
    let mut feeds = vec![Feeds::Nothing; network.len()];
    for outlet in outlets {
        let label = context.job.fixtures[outlet.fixture].group.get().unwrap_or_default();
        let is_bath = split_group(&label).is_some_and(|(group, _)| group.ends_with("bath"));
        let of = if is_bath {
            let label = fold(&label);
            let known = baths.iter().position(|bath| *bath == label);
            Feeds::Bath(known.unwrap_or_else(|| {
                baths.push(label);
                baths.len() - 1
            }))
        } else {
            Feeds::Others
        };
        for position in [outlet.cold, outlet.hot].into_iter().flatten() {
            feeds[position] = feeds[position].and(of);
        }
    }
    for position in (0..network.len()).rev() {
        if let Some(parent) = network.parent[position] {
            feeds[parent] = feeds[parent].and(feeds[position]);
        }
    }
    let begins = |position: &usize| {
        let above = network.parent[*position].map(|parent| feeds[parent]);
        matches!(feeds[*position], Feeds::Bath(_)) && above != Some(feeds[*position]) && new[*position]
    };
    (0..network.len()).filter(begins).collect()
}
