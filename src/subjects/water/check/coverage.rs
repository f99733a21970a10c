//! What should hang together and does not: fixtures without water, hot runs without a heater.

use crate::finding::{Sink, excerpt};
use crate::model::columns::DEVICE_KINDS;
use crate::model::{Device, Fixture, Status, fold};
use crate::rules::Sides;
use crate::subjects::water::findings::runs::{
    ColdRunIsHot, FixtureWithoutRun, HotRunWithoutHeater, OneSideOnly, OtherWithoutGpm,
};
use crate::subjects::water::size::water_carried::HEATERS;
use crate::view::Facts;
use std::collections::{BTreeMap, BTreeSet};

pub(super) fn fixtures(facts: &Facts, sink: &mut Sink) {
    for fixture in standing(facts) {
        if fixture.cold_run.is_blank() && fixture.hot_run.is_blank() {
            sink.at(&fixture.tag.place, FixtureWithoutRun { tag: excerpt(&fixture.tag.value) });
        }
        let is_other = fold(&fixture.fixture.value) == "other";
        if let Some(side) = side_without_run(facts, fixture).filter(|_| !is_other) {
            let (tag, kind) = (excerpt(&fixture.tag.value), excerpt(&fixture.fixture.value));
            sink.at(&fixture.tag.place, OneSideOnly { tag, kind, side });
        }
        if is_other && fixture.gpm.is_blank() {
            let place = fixture.gpm.cell.as_ref().unwrap_or(&fixture.fixture.place);
            sink.at(place, OtherWithoutGpm { tag: excerpt(&fixture.tag.value) });
        }
    }
}

/// Of a new fixture that takes hot and cold and has a run for one of them: the other. What stays as it is may get it from pipe
/// that is not in Runs.
fn side_without_run(facts: &Facts, fixture: &Fixture) -> Option<&'static str> {
    let kind = facts.rules.fixture(facts.rules.canonical_fixture(&fixture.fixture.value)?)?;
    let takes_both = kind.sides == Sides::Both && fixture.status.get().unwrap_or_default().is_of_this_job();
    // A job without any hot run has no hot water, and the other way round.
    let any = |has_run: fn(&Fixture) -> bool| facts.job.fixtures.iter().any(has_run);
    match (fixture.cold_run.is_blank(), fixture.hot_run.is_blank()) {
        (false, true) if takes_both => any(|other| !other.hot_run.is_blank()).then_some("Hot run"),
        (true, false) if takes_both => any(|other| !other.cold_run.is_blank()).then_some("Cold run"),
        _ => None,
    }
}

/// A hot run is one below a heater: fixtures must find it so.
pub(super) fn hot_and_cold(facts: &Facts, sink: &mut Sink) {
    let heaters: Vec<&Device> = facts
        .job
        .devices
        .iter()
        .filter(|d| HEATERS.contains(&&*d.kind.value) && d.status.value != Some(Status::Remove))
        .collect();
    // A heater stands at the start of its run. The first one named counts where two stand in a row.
    let mut by_run: BTreeMap<usize, &Device> = BTreeMap::new();
    // What a device of no known kind is nobody can tell: perhaps the heater.
    let is_unknown = |device: &Device| !DEVICE_KINDS.contains(&&*device.kind.value);
    let mut astray = facts.job.devices.iter().any(is_unknown);
    for heater in &heaters {
        match facts.network.find(&heater.on_run.value) {
            Some(position) => _ = by_run.entry(position).or_insert(heater),
            None => astray = true,
        }
    }
    let heater_above = |position: usize| facts.network.path_up(position).find_map(|above| by_run.get(&above).copied());
    let mut reported = BTreeSet::new();
    for fixture in standing(facts) {
        if let (Some(position), Some(place)) = (facts.network.find(fixture.hot_run.text()), &fixture.hot_run.cell)
            && heater_above(position).is_none()
            // A heater of an unknown kind or on an unknown run, which has been told, would explain it; and without any heater once is enough.
            && !astray
            && reported.insert(if heaters.is_empty() { (0, true) } else { (position, true) })
        {
            sink.at(place, HotRunWithoutHeater { run: excerpt(fixture.hot_run.text()) });
        }
        if let (Some(position), Some(place)) = (facts.network.find(fixture.cold_run.text()), &fixture.cold_run.cell)
            // Both sides on one hot run: tempered on purpose.
            && facts.network.find(fixture.hot_run.text()) != Some(position)
            && let Some(heater) = heater_above(position)
            && reported.insert((position, false))
        {
            let (run, heater) = (excerpt(fixture.cold_run.text()), excerpt(&heater.name.value));
            sink.at(place, ColdRunIsHot { run, heater });
        }
    }
}

/// Fixtures that will be there once the job is done.
fn standing<'a>(facts: &Facts<'a>) -> impl Iterator<Item = &'a Fixture> {
    facts.job.fixtures.iter().filter(|f| f.status.value != Some(Status::Remove))
}
