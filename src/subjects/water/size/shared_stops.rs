//! Fixtures that draw from one run on one side: a dishwasher on the stop of the kitchen sink takes no branch of its own.

use crate::model::Fixture;
use crate::rules::{Part, Side};
use crate::view::View;
use std::sync::Arc;

/// The fixtures that this job sets on the runs of one, by side.
pub(crate) fn beside<R>(view: &View<'_, R>, fixture: &Fixture) -> Vec<(Side, Arc<str>)> {
    let others = view.job.fixtures.iter().filter(|other| {
        other.tag.place != fixture.tag.place && other.status.get().unwrap_or_default().is_of_this_job()
    });
    let run =
        |of: &Fixture, side| view.network.find(if side == Side::Cold { &of.cold_run } else { &of.hot_run }.text());
    let on_side = |other: &Fixture, side| run(fixture, side).is_some() && run(other, side) == run(fixture, side);
    let shared = others.flat_map(|other| {
        let kind = view.rules.canonical_fixture(&other.fixture.value);
        let sides = [Side::Cold, Side::Hot].into_iter().filter(move |side| on_side(other, *side));
        sides.filter_map(move |side| Some((side, Arc::from(kind?))))
    });
    shared.collect()
}

/// Whether a side of a fixture is fed by the stop of another: nothing of it joins the run there.
pub(crate) fn rides_along<R>(view: &View<'_, R>, fixture: &Fixture, kind: &str, side: Side) -> bool {
    let beside = beside(view, fixture);
    let shares = |part: &Part| beside.iter().any(|(at, with)| (*at, with) == (side, &part.beside));
    let rows = view.rules.assemblies().iter();
    let shared = rows.filter(|part| *part.assembly == *kind && part.side == side).any(shares);
    let joined = || view.rules.assembly_beside(kind, &beside).any(|part| part.side == side && part.joins_run());
    shared && fixture.status.get().unwrap_or_default().is_of_this_job() && !joined()
}
