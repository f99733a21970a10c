//! Manifolds and the lines from them. A manifold stands at the end of its run: what that run feeds takes a port, not a
//! tee. A line from a port to one outlet alone may be smaller than other distribution pipe where the code says so.

use super::Context;
use super::outlets::Outlet;
use crate::model::{Device, Setting, Size, Whereabouts};
use rust_decimal::prelude::ToPrimitive;

/// Whether this is a manifold that carries water once the job is done.
pub(crate) fn is_manifold(device: &Device) -> bool {
    &*device.kind.value == "manifold" && device.status.get().unwrap_or_default().carries_water()
}

/// Runs that end in a manifold, by position.
pub(crate) fn manifold_at(context: &Context) -> Vec<bool> {
    let mut at = vec![false; context.network.len()];
    for device in context.job.devices.iter().filter(|device| is_manifold(device)) {
        if let Some(position) = context.network.find(&device.on_run.value) {
            at[position] = true;
        }
    }
    at
}

/// A line from a manifold's port to the one outlet that it serves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HomeRun {
    /// Positions of its runs, from the port to the outlet.
    pub runs: Vec<usize>,
}

/// Every line from a manifold that serves one outlet alone.
pub(crate) fn home_runs(context: &Context, manifold_at: &[bool], outlets: &[Outlet]) -> Vec<HomeRun> {
    let network = context.network;
    let mut draws = vec![0.0; network.len()];
    for outlet in outlets {
        for position in [outlet.cold, outlet.hot].into_iter().flatten() {
            draws[position] += outlet.count.value().as_f64();
        }
    }
    for position in (0..network.len()).rev() {
        if let Some(parent) = network.parent[position] {
            draws[parent] += draws[position];
        }
    }
    let starts = (0..network.len()).filter(|p| network.parent[*p].is_some_and(|parent| manifold_at[parent]));
    let one = |position: &usize| draws[*position] == 1.0;
    starts
        .filter(one)
        .map(|start| HomeRun {
            runs: std::iter::successors(Some(start), |at| network.children[*at].iter().copied().find(one)).collect(),
        })
        .collect()
}

/// What the code asks of a line that is smaller than other distribution pipe.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Allowance {
    pub smallest: Size,
    pub longest_ft: f64,
}

/// What the code allows a line from a manifold; `None` where it says nothing, or where the supply is too weak for it.
pub(crate) fn allowance(context: &Context) -> Option<Allowance> {
    let limit = |name: &str| context.rules.limit(name, context.code).and_then(|limit| limit.value.to_f64());
    let smallest = Size::from_inches(limit("smallest individual line size")?)?;
    let longest_ft = limit("individual line length").unwrap_or(f64::INFINITY);
    let least_psi = limit("individual line pressure").unwrap_or(0.0);
    let psi = context.job.as_f64(Setting::SupplyPressure).unwrap_or(0.0);
    (psi >= least_psi).then_some(Allowance { smallest, longest_ft })
}

/// The runs that are the service, which has a least size of its own: the run from the supply, and on along the main as long as
/// it lies under ground. Behind them a line is a line.
pub(crate) fn service_runs(context: &Context, main_runs: &[usize]) -> Vec<usize> {
    let mut service: Vec<usize> = Vec::new();
    for position in main_runs {
        let place = context.job.runs[context.network.order[*position]].place.get().unwrap_or_default();
        let under_ground = matches!(place, Whereabouts::Buried | Whereabouts::InSlab);
        // A run of the main comes right behind the one that feeds it.
        if context.network.parent[*position].is_none_or(|feeder| under_ground && service.last() == Some(&feeder)) {
            service.push(*position);
        }
    }
    service
}

/// The smallest size that the code allows each run, by position.
pub(crate) fn smallest_sizes(context: &Context, service_runs: &[usize], lines: &[HomeRun]) -> Vec<Size> {
    let mut smallest = vec![least(context, DISTRIBUTION); context.network.len()];
    service_runs.iter().for_each(|position| smallest[*position] = least(context, SERVICE));
    let Some(allowance) = allowance(context) else { return smallest };
    for line in lines.iter().filter(|line| feet(context, line) <= allowance.longest_ft) {
        line.runs.iter().for_each(|position| smallest[*position] = smallest[*position].min(allowance.smallest));
    }
    smallest
}

/// A least size by the limit's name. Without a row the table says nothing, and the smallest size of all may be used.
pub(crate) fn least(context: &Context, limit: &str) -> Size {
    let limit = context.rules.limit(limit, context.code).and_then(|limit| limit.value.to_f64());
    limit.and_then(Size::from_inches).unwrap_or(Size::MIN)
}

/// Names of the limits: of the service, and elsewhere.
pub(crate) const SERVICE: &str = "smallest service size";
pub(crate) const DISTRIBUTION: &str = "smallest distribution size";

/// Developed length of a line, ft.
pub(crate) fn feet(context: &Context, line: &HomeRun) -> f64 {
    let length = |position: &usize| context.job.runs[context.network.order[*position]].length_ft.value;
    line.runs.iter().filter_map(length).filter_map(|feet| feet.to_f64()).sum()
}
