//! Ends as somebody wrote them: in Prices, On hand, Received, and the user's own rows of rules.

use crate::finding::{Sink, nearest};
use crate::model::{Setting, fold};
use crate::place::Place;
use crate::rules::{BY, INSULATION, Origin, RUN_END};
use crate::subjects::water::findings::ends::{EndNotKnown, PipeEndsNotKnown};
use crate::view::Facts;
use std::collections::BTreeSet;

/// Ends that no row of the joints table has: each once.
pub(super) fn known(facts: &Facts, sink: &mut Sink) {
    let rules = facts.rules;
    let joints = || rules.joints().iter().flat_map(|row| [&*row.end, &*row.meets]);
    let known: BTreeSet<String> = joints().chain([RUN_END]).map(fold).collect();
    let joins = |kind: &str| !rules.is_called(INSULATION, kind);
    let prices = facts.job.prices.iter().map(|row| (&row.kind, &row.ends));
    let stock = facts.job.on_hand.iter().map(|row| (&row.kind, &row.ends));
    let received = facts.job.received.iter().map(|row| (&row.kind, &row.ends));
    let of_things = prices.chain(stock).chain(received).filter(|(kind, _)| joins(&kind.value));
    let of_things = of_things.map(|(_, ends)| (ends.cell.as_ref(), ends.text()));
    let parts = rules.assemblies().iter().flat_map(|row| in_sheet(&row.origin, [&row.inlet, &row.outlet]));
    let devices = rules.device_ends().iter().flat_map(|row| in_sheet(&row.origin, [&row.inlet, &row.outlet]));
    let pipes = rules.pipe_ends().iter().flat_map(|row| in_sheet(&row.origin, [&row.end, &row.pipe_end]));
    let written = of_things.chain(parts).chain(devices).chain(pipes);
    let mut told = BTreeSet::new();
    for (place, ends) in written {
        for end in ends.replace(" X ", BY).split(BY).map(str::trim).filter(|end| !end.is_empty()) {
            if let (Some(place), true) =
                (place, !known.contains(&fold(rules.names().end(end))) && told.insert(fold(end)))
            {
                let near = nearest(end, joints()).map(str::to_owned);
                sink.at(place, EndNotKnown { found: end.to_owned(), nearest: near });
            }
        }
    }
}

/// Materials of pipe that no row says the fittings' end of: each once, where it is first named.
pub(super) fn of_pipe(facts: &Facts, sink: &mut Sink) {
    let joining = facts.job.text(Setting::Joining);
    let main = facts.job.settings.get(&Setting::MainMaterial).and_then(|field| field.cell.as_ref());
    let mut told = BTreeSet::new();
    for run in facts.job.runs.iter().filter(|run| run.status.get().unwrap_or_default().carries_water()) {
        let written = run.material.get().unwrap_or_else(|| facts.job.text(Setting::MainMaterial));
        let Some(material) = facts.rules.canonical_material(&written) else { continue };
        if facts.rules.pipe_end(material, &joining).is_none() && told.insert(material) {
            let place = if run.material.value.is_some() { run.material.cell.as_ref() } else { main };
            sink.at(place.unwrap_or(&run.name.place), PipeEndsNotKnown { material: material.to_owned() });
        }
    }
}

/// Both ends of a row of rules, and where it stands where it is the user's own.
fn in_sheet<'a>(origin: &'a Origin, ends: [&'a str; 2]) -> [(Option<&'a Place>, &'a str); 2] {
    let place = origin.read_from.place();
    ends.map(|end| (place, end))
}
