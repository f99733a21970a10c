//! The pieces that a run needs in its own size besides pipe and the fittings where runs meet: adapters at devices and at
//! the supply, caps, the valves that the job's policy asks for, and what devices without a size of their own bring.
//!
//! None of it depends on sizes, so the size search and the take-off share it.

use super::junctions::{in_line, run_is_new};
use super::line_tees::TEE;
use super::outlets::Outlet;
use super::{Context, home_runs};
use crate::model::network::Network;
use crate::model::{At, Device, Job, Phase, Setting, Size, Whereabouts, fold};
use crate::rules::{PartMaterial, split_group};
use rust_decimal::Decimal;
use std::sync::Arc;

/// A piece of a run's own size, or of the size of what it connects.
#[derive(Debug, Clone)]
pub struct RunPart {
    /// The run or device that needs it: its name and cell.
    pub origin: At<Arc<str>>,
    pub why: &'static str,
    /// As in Prices: `adapter`, `cap`, `ball valve`.
    pub kind: Arc<str>,
    pub material: PartMaterial,
    pub pieces: Decimal,
    /// Ends of the run's pipe joined to one piece.
    pub ends: u8,
    /// The size of the device it connects: a run of another size is reduced to it.
    pub connection: Option<Size>,
    /// `None`: when the run's pipe is put in.
    pub phase: Option<Phase>,
}

impl RunPart {
    fn new(origin: &At<Arc<str>>, why: &'static str, kind: &str, ends: u8) -> Self {
        Self {
            origin: origin.clone(),
            why,
            kind: kind.into(),
            material: PartMaterial::OfTheRun,
            pieces: Decimal::ONE,
            ends,
            connection: None,
            phase: None,
        }
    }

    fn valve(origin: &At<Arc<str>>, why: &'static str) -> Self {
        Self { material: PartMaterial::None, ..Self::new(origin, why, "ball valve", 2) }
    }

    /// What it is made of, given the run's material; empty where that does not matter.
    pub fn material_in<'a>(&'a self, run_material: &'a str) -> &'a str {
        match &self.material {
            PartMaterial::None => "",
            PartMaterial::OfTheRun => run_material,
            PartMaterial::Named(name) => name,
        }
    }
}

/// The pieces of every run, by position.
pub(crate) fn run_parts(
    context: &Context,
    outlets: &[Outlet],
    outlets_at: &[usize],
    main_runs: &[usize],
) -> Vec<Vec<RunPart>> {
    let network = context.network;
    let policy = Policy::named(&context.job.text(Setting::ShutoffValves));
    let (devices, manifold_at) = (new_devices(context), home_runs::manifold_at(context));
    let mut parts: Vec<Vec<RunPart>> = Vec::with_capacity(network.len());
    for position in 0..network.len() {
        let mut here = Vec::new();
        let new = run_is_new(context, position);
        let name = &context.job.runs[network.order[position]].name;
        if new && network.parent[position].is_none() {
            here.push(RunPart::new(name, "joins the supply", "adapter", 1));
        }
        for device in &devices[position] {
            if in_line(&device.kind.value) {
                let two = Decimal::TWO;
                let part = RunPart::new(&device.name, "its two connections", "adapter", 1);
                here.push(RunPart { pieces: two, connection: device.size.get(), ..part });
            } else if home_runs::is_manifold(device) && new {
                let part = RunPart::new(&device.name, "its inlet", "adapter", 1);
                here.push(RunPart { connection: device.size.get(), ..part });
            }
            here.extend(of_unsized_device(context, device));
        }
        let ends_here = network.children[position].is_empty() && outlets_at[position] == 0;
        if new && ends_here && !manifold_at[position] {
            here.push(RunPart::new(name, "nothing beyond its end", "cap", 1));
        }
        parts.push(here);
    }
    if policy >= Policy::Main {
        for position in each_main(network, main_runs).filter_map(|main| main_shutoff_run(context, main)) {
            let name = &context.job.runs[network.order[position]].name;
            parts[position].push(RunPart::valve(name, "shuts off the building"));
        }
    }
    if policy >= Policy::PerBath {
        for position in bath_runs(context, outlets) {
            let name = &context.job.runs[network.order[position]].name;
            parts[position].push(RunPart::valve(name, "shuts off its bath"));
        }
    }
    parts
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
    pub(crate) fn named(text: &str) -> Self {
        match fold(text).as_str() {
            "main" => Self::Main,
            "perbath" => Self::PerBath,
            "perfixture" => Self::PerFixture,
            _ => Self::AsListed,
        }
    }
}

/// New devices by the run they are on.
fn new_devices<'a>(context: &'a Context<'_>) -> Vec<Vec<&'a Device>> {
    let mut on = vec![Vec::new(); context.network.len()];
    for device in context.job.devices.iter().filter(|d| d.status.get().unwrap_or_default().is_of_this_job()) {
        if let Some(position) = context.network.find(&device.on_run.value) {
            on[position].push(device);
        }
    }
    on
}

/// The parts of a device without a size that have none either: they come in the size of its run.
fn of_unsized_device(context: &Context, device: &Device) -> Vec<RunPart> {
    if device.size.value.is_some() {
        return Vec::new();
    }
    let parts = context.rules.assembly(&device.kind.value).filter(|part| part.size.is_none() && *part.kind != *TEE);
    parts
        .map(|part| RunPart {
            material: part.material.clone(),
            pieces: part.quantity,
            phase: Phase::parse(&part.phase),
            ..RunPart::new(&device.name, "goes with it", &part.kind, part.ends)
        })
        .collect()
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
fn main_shutoff_run(context: &Context, main_runs: &[usize]) -> Option<usize> {
    let root = main_runs.first()?;
    if has_main_shutoff(context.job, context.network, main_runs) || !run_is_new(context, *root) {
        return None;
    }
    let inside = |position: &&usize| {
        let place = context.job.runs[context.network.order[**position]].place.get().unwrap_or_default();
        run_is_new(context, **position) && !matches!(place, Whereabouts::Buried | Whereabouts::InSlab)
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
fn bath_runs(context: &Context, outlets: &[Outlet]) -> Vec<usize> {
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
        matches!(feeds[*position], Feeds::Bath(_)) && above != Some(feeds[*position]) && run_is_new(context, *position)
    };
    (0..network.len()).filter(begins).collect()
}
