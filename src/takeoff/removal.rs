//! Old pipe that comes out: a cap where it left the supply or pipe that stays, so that no dead leg is left behind. What
//! comes out is scrap and never stock. Old pipe that stays and feeds nothing is told.

use super::{Context, Count, Item};
use crate::figure::{Book, Term};
use crate::finding::{Code, Finding};
use crate::model::network::{SUPPLY, same_name};
use crate::model::{Phase, Run, Setting, Status};
use std::sync::Arc;

pub(super) fn count(book: &mut Book, context: &Context, counts: &mut Vec<Count>, findings: &mut Vec<Finding>) {
    for run in &context.job.runs {
        let Some(why) = left_at(context, run) else { continue };
        let material = material_of(context, run);
        let item = Item::new("cap", &material, run.size.get().as_slice());
        let size_key = book.size_input(&run.size);
        let pipe_key = Term::join(&[&Term::text(format!("{material} ")), &size_key]);
        let ends = if run.size.value.is_some() { vec![pipe_key.clone()] } else { Vec::new() };
        let key = match run.size.value {
            Some(_) => Term::join(&[&Term::text("cap "), &pipe_key]),
            None => Term::text(item.text()),
        };
        let phase = run.phase.as_ref().and_then(|text| Phase::parse(text)).unwrap_or(Phase::RoughIn);
        let place = run.place.get().unwrap_or_default();
        let (origin, quantity) = (run.name.clone(), Term::number(1));
        counts.push(Count { origin, why, phase, place, form: "", item, key, quantity, ends, at_fork: false });
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
    let named = staying().flat_map(|fixture| [&fixture.cold_run, &fixture.hot_run]).filter_map(|side| side.as_ref());
    let devices = job.devices.iter().filter(|device| ENDS.contains(&&*device.kind.value));
    let ends = devices.filter(|device| device.status.get().unwrap_or_default().carries_water());
    for position in named.chain(ends.map(|device| &device.on_run.value)).filter_map(|name| network.find(name)) {
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
            findings.push(Finding::at(&run.name.place, Code::DeadLeg { runs: names(&old) }));
        }
        if let Some(run) = new.first() {
            let rows = new.iter().map(|run| u64::from(run.row) + 1).collect();
            let code = Code::NewDeadLeg { runs: names(&new), rows, dropped: dropped_at(context, &new) };
            findings.push(Finding::at(&run.name.place, code));
        }
    }
}

/// Fixtures that come out at the ends of these runs.
fn dropped_at(context: &Context, runs: &[&Run]) -> Vec<String> {
    let at = |name: &Arc<str>| runs.iter().any(|run| same_name(&run.name.value) == same_name(name));
    let removed = context.job.fixtures.iter().filter(|fixture| fixture.status.get() == Some(Status::Remove));
    let here = removed
        .filter(|fixture| [&fixture.cold_run, &fixture.hot_run].into_iter().filter_map(|side| side.as_ref()).any(at));
    here.map(|fixture| fixture.tag.value.to_string()).collect()
}

/// Where a run that comes out leaves an open end behind: at the supply, or at a run that stays.
fn left_at(context: &Context, run: &Run) -> Option<&'static str> {
    if run.status.get() != Some(Status::Remove) {
        return None;
    }
    let from = same_name(&run.from.value);
    if context.network.find(&from).is_some() {
        Some("closes what it leaves on the run that stays")
    } else {
        SUPPLY.contains(&from.as_str()).then_some("closes what it leaves at the supply")
    }
}

/// Caps on runs that stay: each wants the water off.
pub fn caps_on_what_stays(job: &crate::model::Job, network: &crate::model::network::Network) -> usize {
    let removed = job.runs.iter().filter(|run| run.status.get() == Some(Status::Remove));
    removed.filter(|run| network.find(&run.from.value).is_some()).count()
}

fn material_of(context: &Context, run: &Run) -> Arc<str> {
    let written = run.material.get().unwrap_or_else(|| context.job.text(Setting::MainMaterial));
    context.rules.canonical_material(&written).map_or(written.clone(), Into::into)
}
