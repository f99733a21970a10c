//! Which pieces are in already: those of runs, fixtures and devices whose Status is installed.

use super::Context;
use crate::model::Status;
use crate::parts::Count;

/// Whether a piece is in already. What joins a run to others is in once all pipe of this job that meets there is.
pub(super) fn is_in(context: &Context, count: &Count) -> bool {
    let installed = |status: Option<Status>| status == Some(Status::Installed);
    let job = context.job;
    let origin = &count.origin.place;
    if let Some(fixture) = job.fixtures.iter().find(|fixture| fixture.tag.place == *origin) {
        return installed(fixture.status.get());
    }
    if let Some(device) = job.devices.iter().find(|device| device.name.place == *origin) {
        return installed(device.status.get());
    }
    let Some(run) = job.runs.iter().find(|run| run.name.place == *origin) else { return false };
    if !count.at_fork {
        return installed(run.status.get());
    }
    let Some(position) = context.network.find(&run.name.value) else { return false };
    let status = |position: usize| job.runs[context.network.order[position]].status.get().unwrap_or_default();
    let draws = context.sizes.outlets.iter().filter(|outlet| [outlet.cold, outlet.hot].contains(&Some(position)));
    let fixtures = draws.map(|outlet| job.fixtures[outlet.fixture].status.get().unwrap_or_default());
    let there = std::iter::once(position).chain(context.network.children[position].iter().copied()).map(status);
    let mut ours = there.chain(fixtures).filter(|status| status.is_of_this_job()).peekable();
    ours.peek().is_some() && ours.all(|status| status == Status::Installed)
}
