//! Hot water that the code wants cooler where people wash in it: the valve that limits it, counted where the job's settings say
//! so, and told where it is missing.

use super::Context;
use crate::figure::{Book, Term};
use crate::finding::Finding;
use crate::model::{Fixture, Phase, Setting, Size, fold};
use crate::parts::{Count, Task};
use crate::rules::Item;
use crate::subjects::water::findings::counted::HotWaterNotLimited;
use crate::subjects::water::rules::TemperedWater;
use crate::view::View;

/// The valve of one fixture: under it, between its stops and its faucet.
const MIXING_VALVE: &str = "mixing valve";

/// New fixtures with hot water that the code wants limited, each with what it says.
pub(in super::super) fn limits<'a, R>(view: &View<'a, R>) -> impl Iterator<Item = (&'a Fixture, &'a TemperedWater)> {
    let View { job, rules, network, code, occupancy, .. } = *view;
    job.fixtures.iter().filter_map(move |fixture| {
        let kind = rules.canonical_fixture(&fixture.fixture.value)?;
        let hot = fixture.hot_run.as_ref().is_some_and(|run| network.find(run).is_some());
        let new = hot && fixture.status.get().unwrap_or_default().is_of_this_job();
        Some((fixture, rules.tempered_water(code, occupancy, kind).filter(|_| new)?))
    })
}

pub(super) fn count(
    book: &mut Book,
    context: &Context,
    counts: &mut Vec<Count>,
    tasks: &mut Vec<Task>,
    findings: &mut Vec<Finding>,
) {
    let asked = fold(&context.job.text(Setting::MixingValves)) != "aslisted";
    let mut missing: Vec<(&Fixture, &TemperedWater)> = Vec::new();
    for (fixture, row) in limits(context) {
        let set = Task::new("set mixing valve", &fixture.tag, fixture.count.figure(book));
        if context.rules.assembly(&row.fixture).any(|part| part.kind == row.valve) {
            tasks.extend(Some(set).filter(|_| *row.valve == *MIXING_VALVE));
        } else if asked && *row.valve == *MIXING_VALVE {
            counts.extend(valve(context, fixture, &set.quantity));
            tasks.push(set);
        } else {
            missing.push((fixture, row));
        }
    }
    for alike in missing.chunk_by(|(_, one), (_, other)| std::ptr::eq(*one, *other)) {
        let (first, row) = alike[0];
        let tags = alike.iter().map(|(fixture, _)| fixture.tag.value.to_string()).collect();
        let heater = context.job.number(Setting::HotWaterTemperature).unwrap_or_default().normalize();
        let TemperedWater { fahrenheit, valve, standard, origin, .. } = row;
        findings.push(Finding::at(
            &first.fixture.place,
            HotWaterNotLimited {
                tags,
                heater,
                most: fahrenheit.normalize(),
                valve: valve.to_string(),
                standard: standard.to_string(),
                counted_if_asked: **valve == *MIXING_VALVE,
                source: origin.source.to_string(),
            },
        ));
    }
}

/// One for each fixture, and what joins it to the two stops: the faucet's own supplies go on its outlets.
fn valve(context: &Context, fixture: &Fixture, quantity: &Term) -> [Count; 2] {
    let place = context.place_of(fixture.hot_run.as_ref().map(|run| &**run));
    let piece = |kind, ends, times: u64| {
        let item = Item::new(kind, "", Size::from_sixteenths(6).as_slice()).with_ends(ends);
        let count = Count::new(&fixture.tag, "limits its hot water", item, quantity * &Term::number(times));
        Count { phase: Phase::Trim, place, ..count }
    };
    [piece(MIXING_VALVE, "compression", 1), piece("supply line", "compression", 2)]
}
