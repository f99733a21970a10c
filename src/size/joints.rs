//! Where runs meet: whose material the fittings are of, and whether they are ours; and the pieces that a run needs in
//! its own size besides pipe and fittings.
//!
//! None of it depends on sizes, so the size search and the take-off share it.

use super::exact::Fork;
use super::outlets::Outlet;
use super::served::Water;
use super::{Context, home_runs};
use crate::model::{At, Device, Setting, Status, Whereabouts, fold};
use std::sync::Arc;

/// The end of a run and what leaves it.
#[derive(Debug, Clone)]
pub struct Joint {
    /// What its fittings are of: the feeding pipe's material where that is new, else that of the first new pipe there.
    pub material: Arc<str>,
    /// Fittings are ours where any pipe they join is new.
    pub ours: bool,
}

/// Devices that water flows through at the start of their run, as against those that hang on a branch or stand at its
/// end.
pub fn in_line(kind: &str) -> bool {
    !matches!(kind, "expansion tank" | "hammer arrester" | "manifold" | "other")
}

/// The joints at the ends of all runs, by position.
pub fn joints(context: &Context, forks: &[Fork], materials: &[Arc<str>], outlets: &[Outlet]) -> Vec<Joint> {
    let mut new_outlet = vec![false; forks.len()];
    for outlet in outlets {
        let fixture = &context.job.fixtures[outlet.fixture];
        if fixture.status.get().unwrap_or_default() == Status::New {
            [outlet.cold, outlet.hot].into_iter().flatten().for_each(|position| new_outlet[position] = true);
        }
    }
    let is_new = |position: usize| run_is_new(context, position);
    (0..forks.len())
        .map(|position| {
            let fork = &forks[position];
            // The way straight on first, then the branches in the order of their tees.
            let onward = || fork.straight.into_iter().chain(fork.others.iter().copied()).chain(fork.last);
            let first_new = onward().find(|child| is_new(*child));
            let material = match (is_new(position), first_new) {
                (false, Some(child)) => materials[child].clone(),
                _ => materials[position].clone(),
            };
            Joint { material, ours: is_new(position) || first_new.is_some() || new_outlet[position] }
        })
        .collect()
}

fn run_is_new(context: &Context, position: usize) -> bool {
    context.job.runs[context.network.order[position]].status.get().unwrap_or_default() == Status::New
}

/// A piece of a run's own size.
#[derive(Debug, Clone)]
pub struct RunPart {
    /// The run or device that needs it: its name and cell.
    pub origin: At<Arc<str>>,
    pub why: &'static str,
    /// As in Prices: `adapter`, `cap`, `ball valve`.
    pub kind: &'static str,
    /// It is of the run's material.
    pub of_its_material: bool,
    pub pieces: u8,
    /// Ends of the run's pipe joined to one piece.
    pub ends: u8,
}

/// The pieces that runs need in their own size, by position: adapters at new devices, into manifolds and where new pipe
/// leaves the supply, caps where nothing follows.
pub fn run_parts(context: &Context, outlets_at: &[usize]) -> Vec<Vec<RunPart>> {
    (0..context.network.len())
        .map(|position| {
            let mut parts = Vec::new();
            let new = run_is_new(context, position);
            let name = &context.job.runs[context.network.order[position]].name;
            let of_pipe = |origin: &At<Arc<str>>, why, kind, pieces| RunPart {
                origin: origin.clone(),
                why,
                kind,
                of_its_material: true,
                pieces,
                ends: 1,
            };
            if new && context.network.parent[position].is_none() {
                parts.push(of_pipe(name, "joins the supply", "adapter", 1));
            }
            for device in new_devices_in(context, position) {
                parts.push(of_pipe(&device.name, "its two connections", "adapter", 2));
            }
            let manifold = context.job.devices.iter().find(|device| {
                home_runs::is_manifold(device) && context.network.find(&device.on_run.value) == Some(position)
            });
            if let Some(manifold) = manifold.filter(|_| new) {
                parts.push(of_pipe(&manifold.name, "its inlet", "adapter", 1));
            } else if new && context.network.children[position].is_empty() && outlets_at[position] == 0 {
                parts.push(of_pipe(name, "nothing beyond its end", "cap", 1));
            }
            parts
        })
        .collect()
}

/// What goes along a run because of where it lies.
#[derive(Debug, Clone)]
pub struct Along {
    /// The kind of its sleeves, and how many.
    pub sleeves: Option<(&'static str, u8)>,
    /// Its pipe passes through studs and could be hit by nails there.
    pub in_studs: bool,
    /// Insulate in Job asks for insulation where the run says nothing of it.
    pub insulate: bool,
}

/// What goes along each run, by position.
pub fn along(context: &Context, materials: &[Arc<str>], served: &[Water], outlets_at: &[usize]) -> Vec<Along> {
    let insulate = fold(&context.job.text(Setting::Insulate));
    (0..context.network.len())
        .map(|position| {
            let place = place(context, position);
            let unheated = matches!(place, Whereabouts::CrawlSpace | Whereabouts::Attic | Whereabouts::OutsideWall);
            // Cast iron and galvanized steel need no plates: IRC P2603.2.1.
            let in_walls = matches!(place, Whereabouts::Inside | Whereabouts::OutsideWall);
            Along {
                sleeves: sleeves(context, outlets_at, position),
                in_studs: in_walls && !materials[position].starts_with("galvanized"),
                insulate: (insulate.contains("hot") && served[position].hot)
                    || (insulate.contains("unheated") && unheated),
            }
        })
        .collect()
}

fn place(context: &Context, position: usize) -> Whereabouts {
    context.job.runs[context.network.order[position]].place.get().unwrap_or_default()
}

/// A new run under ground passes a wall wherever it meets pipe that is not; one in a slab passes the floor there, and
/// where it comes up to a fixture.
fn sleeves(context: &Context, outlets_at: &[usize], position: usize) -> Option<(&'static str, u8)> {
    let under = |position: usize| matches!(place(context, position), Whereabouts::Buried | Whereabouts::InSlab);
    let kind = match place(context, position) {
        Whereabouts::Buried => "foundation sleeve",
        Whereabouts::InSlab => "floor sleeve",
        _ => return None,
    };
    let neighbors = context.network.parent[position].iter().chain(&context.network.children[position]);
    let mut count = neighbors.filter(|neighbor| !under(**neighbor)).count();
    if kind == "floor sleeve" && outlets_at[position] > 0 {
        count += 1;
    }
    let count = u8::try_from(count).unwrap_or(u8::MAX);
    (count > 0 && run_is_new(context, position)).then_some((kind, count))
}

/// New devices that stand in a run.
fn new_devices_in<'a>(context: &'a Context<'_>, position: usize) -> impl Iterator<Item = &'a Device> {
    context.job.devices.iter().filter(move |device| {
        device.status.get().unwrap_or_default() == Status::New
            && in_line(&device.kind.value)
            && context.network.find(&device.on_run.value) == Some(position)
    })
}

/// Whether a run begins with a device, which brings its own adapters.
pub fn begins_with_device(devices: &[Device], network: &crate::model::network::Network, position: usize) -> bool {
    devices.iter().any(|device| in_line(&device.kind.value) && network.find(&device.on_run.value) == Some(position))
}
