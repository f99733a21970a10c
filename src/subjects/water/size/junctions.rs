//! Where runs meet: whose material the fittings are of, and whether they are ours.
//!
//! None of it depends on sizes, so the size search and the take-off share it.

use super::Context;
use super::exact::Fork;
use super::outlets::Outlet;
use std::sync::Arc;

/// The end of a run and what leaves it.
#[derive(Debug, Clone)]
pub struct Joint {
    /// What its fittings are of: the feeding pipe's material where that is new, else that of the first new pipe there.
    pub material: Arc<str>,
    /// Fittings are ours where any pipe they join is new.
    pub ours: bool,
    /// The run begins with a device, which brings its own adapters.
    pub device_first: bool,
}

/// Devices that water flows through at the start of their run, as against those that hang on a branch or stand at its
/// end.
pub(crate) fn in_line(kind: &str) -> bool {
    !matches!(kind, "expansion tank" | "hammer arrester" | "manifold" | "other")
}

/// The joints at the ends of all runs, by position.
pub(crate) fn joints(context: &Context, forks: &[Fork], materials: &[Arc<str>], outlets: &[Outlet]) -> Vec<Joint> {
    let mut new_outlet = vec![false; forks.len()];
    for outlet in outlets {
        let fixture = &context.job.fixtures[outlet.fixture];
        if fixture.status.get().unwrap_or_default().is_of_this_job() {
            [outlet.cold, outlet.hot].into_iter().flatten().for_each(|position| new_outlet[position] = true);
        }
    }
    let mut device_first = vec![false; forks.len()];
    for device in context.job.devices.iter().filter(|device| in_line(&device.kind.value)) {
        if let Some(position) = context.network.find(&device.on_run.value) {
            device_first[position] = true;
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
            let ours = is_new(position) || first_new.is_some() || new_outlet[position];
            Joint { material, ours, device_first: device_first[position] }
        })
        .collect()
}

pub(crate) fn run_is_new(context: &Context, position: usize) -> bool {
    context.job.runs[context.network.order[position]].status.get().unwrap_or_default().is_of_this_job()
}
