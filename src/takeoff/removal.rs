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
    for position in 0..context.network.len() {
        let run = &context.job.runs[context.network.order[position]];
        let ends_here = context.network.children[position].is_empty();
        // By the rows themselves: a fixture that is no outlet has a finding of its own.
        let named = context.job.fixtures.iter().flat_map(|fixture| [&fixture.cold_run, &fixture.hot_run]);
        let draws = named.filter_map(|side| side.as_ref()).any(|name| context.network.find(name) == Some(position));
        if ends_here && !draws && run.status.get() == Some(Status::Existing) {
            findings.push(Finding::at(&run.name.place, Code::DeadLeg { run: run.name.value.to_string() }));
        }
    }
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
