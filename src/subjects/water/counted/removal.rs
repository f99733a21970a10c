//! Old pipe that comes out: a cap where it left the supply or pipe that stays and no new run takes its opening, so that no
//! dead leg is left behind. What comes out is scrap and never stock. Old pipe that stays and feeds nothing is told.

use super::Context;
use crate::figure::{Book, Term};
use crate::finding::Finding;
use crate::model::network::{Network, SUPPLY, same_name};
use crate::model::{Device, Fixture, Job, Phase, Run, Setting, Status};
use crate::parts::Count;
use crate::rules::{Item, Sides};
use crate::subjects::water::findings::counted::{DeadLeg, NewDeadLeg};
use crate::subjects::water::size::water_carried::HEATERS;
use std::cmp::Reverse;
use std::sync::Arc;

pub(super) fn count(book: &mut Book, context: &Context, counts: &mut Vec<Count>, findings: &mut Vec<Finding>) {
    for run in left_open(context.job, context.network) {
        let purpose = match context.network.find(&run.from.value) {
            Some(_) => "closes what it leaves on the run that stays",
            None => "closes what it leaves at the supply",
        };
        let material = material_of(context, run);
        let item = Item::new("cap", &material, run.size.get().as_slice());
        let size_key = run.size.figure(book);
        let pipe_key = Term::join(&[&Term::text(format!("{material} ")), &size_key]);
        let ends = if run.size.value.is_some() { vec![pipe_key.clone()] } else { Vec::new() };
        let key = match run.size.value {
            Some(_) => Term::join(&[&Term::text("cap "), &pipe_key]),
            None => Term::text(item.text()),
        };
        let phase = run.phase.as_ref().and_then(|text| Phase::from_name(text)).unwrap_or(Phase::RoughIn);
        let place = run.place.get().unwrap_or_default();
        counts.push(Count { phase, place, key, ends, ..Count::new(&run.name, purpose, item, Term::number(1)) });
    }
    dead_legs(context, findings);
}

/// Devices that a run may end at without a fixture.
const ENDS: &[&str] = &["other", "expansion tank", "hammer arrester", "tank heater", "tankless heater"];

/// Runs at whose end nothing draws, nor anywhere behind them: told once where they leave what is in use.
fn dead_legs(context: &Context, findings: &mut Vec<Finding>) {
    let (job, network) = (context.job, context.network);
    let mut used = vec![false; network.len()];
    // By the rows themselves: a fixture that is no outlet has a finding of its own.
    let staying = || job.fixtures.iter().filter(|fixture| fixture.status.get().unwrap_or_default().carries_water());
    let of_fixtures =
        staying().flat_map(|fixture| [&fixture.cold_run, &fixture.hot_run]).filter_map(|side| side.as_ref());
    let devices = job.devices.iter().filter(|device| ENDS.contains(&&*device.kind.value));
    let ends = devices.filter(|device| device.status.get().unwrap_or_default().carries_water());
    for position in of_fixtures.chain(ends.map(|device| &device.on_run.value)).filter_map(|name| network.find(name)) {
        used[position] = true;
    }
    // A job in which nothing draws at all is another matter.
    if !used.contains(&true) {
        return;
    }
    for position in (0..network.len()).rev() {
        if let Some(parent) = network.parent[position].filter(|_| used[position]) {
            used[parent] = true;
        }
    }
    let begins = |position: &usize| !used[*position] && network.parent[*position].is_none_or(|parent| used[parent]);
    for first in (0..network.len()).filter(begins) {
        let leg: Vec<&Run> = (first..network.end[first]).map(|at| &job.runs[network.order[at]]).collect();
        let status = |run: &Run| run.status.get().unwrap_or_default();
        let names = |runs: &[&Run]| runs.iter().map(|run| run.name.value.to_string()).collect::<Vec<_>>();
        let (new, old): (Vec<&Run>, Vec<&Run>) = leg.into_iter().partition(|run| status(run).is_of_this_job());
        let old: Vec<&Run> = old.into_iter().filter(|run| status(run) == Status::Existing).collect();
        if let Some(run) = old.first() {
            findings.push(Finding::at(&run.name.place, DeadLeg { runs: names(&old) }));
        }
        if let Some(run) = new.first() {
            let rows = new.iter().map(|run| u64::from(run.row) + 1).collect();
            let (waiting, side) = waiting_for(context, first);
            let facts = NewDeadLeg { runs: names(&new), rows, dropped: dropped_at(context, &new), waiting, side };
            findings.push(Finding::at(&run.name.place, facts));
        }
    }
}

/// Fixtures of this job that take hot water where this run is below a heater, cold elsewhere, and name no run for it; and
/// the column that they leave blank.
fn waiting_for(context: &Context, run: usize) -> (Vec<String>, &'static str) {
    let Context { job, rules, network, .. } = *context;
    let heater = |device: &&Device| HEATERS.contains(&&*device.kind.value);
    let heated: Vec<usize> = job.devices.iter().filter(heater).filter_map(|d| network.find(&d.on_run.value)).collect();
    let is_hot = network.path_up(run).any(|above| heated.contains(&above));
    let (other, side) = if is_hot { (Sides::Cold, "Hot run") } else { (Sides::Hot, "Cold run") };
    let is_waiting = |fixture: &&Fixture| {
        let cell = if is_hot { &fixture.hot_run } else { &fixture.cold_run };
        let kind = rules.canonical_fixture(&fixture.fixture.value).and_then(|kind| rules.fixture(kind));
        cell.is_blank()
            && fixture.status.get().unwrap_or_default().is_of_this_job()
            && kind.is_some_and(|kind| kind.sides != other)
    };
    (job.fixtures.iter().filter(is_waiting).map(|fixture| fixture.tag.value.to_string()).collect(), side)
}

/// Fixtures that come out at the ends of these runs.
fn dropped_at(context: &Context, runs: &[&Run]) -> Vec<String> {
    let at = |name: &Arc<str>| runs.iter().any(|run| same_name(&run.name.value) == same_name(name));
    let removed = context.job.fixtures.iter().filter(|fixture| fixture.status.get() == Some(Status::Remove));
    let here = removed
        .filter(|fixture| [&fixture.cold_run, &fixture.hot_run].into_iter().filter_map(|side| side.as_ref()).any(at));
    here.map(|fixture| fixture.tag.value.to_string()).collect()
}

/// Runs that come out and leave an open end behind, at the supply or at a run that stays: all but those whose opening a
/// new run takes. Of several at one place the new runs take the openings of their own size, then the largest.
fn left_open<'a>(job: &'a Job, network: &Network) -> Vec<&'a Run> {
    let status = |run: &Run| run.status.get().unwrap_or_default();
    let place = |run: &Run| {
        let from = same_name(&run.from.value);
        let at_supply = SUPPLY.contains(&from.as_str()).then(|| SUPPLY[0].to_owned());
        network.find(&from).map(|_| from).or(at_supply)
    };
    let mut open: Vec<(usize, &Run)> =
        job.runs.iter().enumerate().filter(|(_, run)| status(run) == Status::Remove).collect();
    open.retain(|(_, run)| place(run).is_some());
    open.sort_by_key(|(_, run)| (Reverse(run.size.value), same_name(&run.name.value)));
    let new = job.runs.iter().filter(|run| status(run).is_of_this_job());
    let (sized, any): (Vec<&Run>, Vec<&Run>) = new.partition(|run| run.size.value.is_some());
    for run in sized.into_iter().chain(any) {
        let here = |at: &usize| place(open[*at].1) == place(run);
        let own_size = |at: &usize| run.size.value.is_some() && open[*at].1.size.value == run.size.value;
        let mut openings = (0..open.len()).filter(here);
        let first = openings.clone().next();
        if let Some(taken) = openings.find(own_size).or(first) {
            open.remove(taken);
        }
    }
    open.sort_by_key(|(row, _)| *row);
    open.into_iter().map(|(_, run)| run).collect()
}

/// Caps on runs that stay: each wants the water off.
pub(crate) fn caps_on_what_stays(job: &Job, network: &Network) -> usize {
    left_open(job, network).iter().filter(|run| network.find(&run.from.value).is_some()).count()
}

fn material_of(context: &Context, run: &Run) -> Arc<str> {
    let written = run.material.get().unwrap_or_else(|| context.job.text(Setting::MainMaterial));
    context.rules.canonical_material(&written).map_or(written.clone(), Into::into)
}
