//! Sundries, each where it is used: tape at threaded joints, solder, tracer wire along buried plastic, blocking behind what hangs
//! on a wall. The rule table says how much of each; what of a can or a roll each place takes is summed up on its line.

use super::manifolds::ports_needed;
use super::{Context, is_metal};
use crate::figure::{Book, Term};
use crate::model::network::{SUPPLY, same_name};
use crate::model::{At, Device, Job, Phase, Raw, Run, Setting, Status, Whereabouts};
use crate::parts::{Count, Task};
use crate::rules::{
    BURIED_FOOT, BY, CodeBasis, Item, JOB, Listing, METAL_METER, RATED_WALL, REPLACED_MAIN, Rules, SOCKET_JOINT,
    SPARE_PORT, SWEAT_JOINT, THREADED_JOINT, UPC_DISHWASHER, matches_kind,
};
use crate::subjects::water::rules::SUPPLY_END;
use crate::subjects::water::size::home_runs::is_manifold;
use std::sync::Arc;

const USED: &str = "used there";
const THREAD: &str = "FPT";

/// Where something is that sundries go by, and how much of it.
struct Place {
    origin: At<Arc<str>>,
    lies: Whereabouts,
    amount: Term,
}

pub(super) fn count(book: &mut Book, context: &Context, counts: &mut Vec<Count>, tasks: &mut Vec<Task>) {
    let mut listing = Listing::new(context, "Sundries");
    let mut used: Vec<Count> = Vec::new();
    for row in context.rules.sundries().iter().filter(|row| !row.quantity.is_zero()) {
        // What nothing is called has its finding.
        let Some(per) = context.rules.sundry_goes_by(&row.per) else { continue };
        let places = by_origin(places(book, context, counts, per));
        if places.is_empty() {
            continue;
        }
        let each = listing.row(book, row).quantity;
        for Place { origin, lies, amount } in &places {
            let item = Item::new(&row.part, "", row.size.as_slice());
            let phase = Phase::from_name(&row.phase).unwrap_or(Phase::RoughIn);
            used.push(Count { phase, place: *lies, shared: true, ..Count::new(origin, USED, item, amount * &each) });
        }
        if !row.task.is_empty() {
            // A row whose quantity is set to 0 is out, and so is its work.
            let none = Term::number(0);
            let all = Term::total(&places.iter().map(|place| &place.amount).collect::<Vec<_>>());
            let origins = places.iter().map(|place| place.origin.value.clone()).collect();
            tasks.push(Task { name: row.task.to_string(), origins, quantity: each.above(&none).pick(&all, &none) });
        }
    }
    counts.extend(used);
}

/// One for each origin, with all that there is at it.
fn by_origin(places: Vec<Place>) -> Vec<Place> {
    let mut sums: Vec<(At<Arc<str>>, Whereabouts, Vec<Term>)> = Vec::new();
    for Place { origin, lies, amount } in places {
        match sums.iter_mut().find(|(known, ..)| known.place == origin.place) {
            Some((.., amounts)) => amounts.push(amount),
            None => sums.push((origin, lies, vec![amount])),
        }
    }
    let summed = |(origin, lies, amounts): (_, _, Vec<Term>)| Place {
        origin,
        lies,
        amount: Term::total(&amounts.iter().collect::<Vec<_>>()),
    };
    sums.into_iter().map(summed).collect()
}

/// Everywhere where there is any of what a row goes by.
fn places(book: &mut Book, context: &Context, counts: &[Count], per: &str) -> Vec<Place> {
    let job = context.job;
    let one = Term::number(1);
    match per {
        JOB => whole_job(context)
            .map(|origin| Place { origin, lies: Whereabouts::Inside, amount: one })
            .into_iter()
            .collect(),
        RATED_WALL => {
            let runs = job.runs.iter().filter(|run| run.status.get().unwrap_or_default().is_of_this_job());
            let passing = runs.filter(|run| run.rated_walls.cell.is_some());
            let place = |run: &Run| Place {
                origin: run.name.clone(),
                lies: run.place.get().unwrap_or_default(),
                amount: run.rated_walls.figure(book),
            };
            passing.map(place).collect()
        }
        SPARE_PORT => {
            let manifolds = job.devices.iter().filter(|device| is_manifold(device) && device.ports.value.is_some());
            let spare = |device: &Device| {
                let position = context.network.find(&device.on_run.value)?;
                let amount = (device.ports.figure(book) - ports_needed(context, position)).max(&Term::number(0));
                Some(Place { origin: device.name.clone(), lies: context.place_of_run(position), amount })
            };
            manifolds.filter_map(spare).collect()
        }
        REPLACED_MAIN => {
            let of_metal = job.runs.iter().filter(|run| is_metal_main_out(job, context.rules, run));
            let place = |run: &Run| Place {
                origin: run.name.clone(),
                lies: run.place.get().unwrap_or_default(),
                amount: one.clone(),
            };
            of_metal.map(place).collect()
        }
        METAL_METER => metal_meters(context),
        UPC_DISHWASHER if context.code != CodeBasis::Upc => Vec::new(),
        _ => {
            let per = if per == UPC_DISHWASHER { "dishwasher" } else { per };
            let fixtures = job.fixtures.iter().filter(|f| f.status.get().unwrap_or_default().is_of_this_job());
            let of_kind =
                fixtures.filter(|fixture| context.rules.canonical_fixture(&fixture.fixture.value) == Some(per));
            let fixtures = of_kind.map(|fixture| Place {
                origin: fixture.tag.clone(),
                lies: Whereabouts::Inside,
                amount: fixture.count.figure(book),
            });
            let fixtures: Vec<Place> = fixtures.collect();
            let pieces = counts.iter().filter_map(|count| {
                let times = times(context, count, per);
                let amount =
                    if times == 1 { count.quantity.clone() } else { &count.quantity * Term::number(times as u64) };
                (times > 0).then(|| Place { origin: count.origin.clone(), lies: count.place, amount })
            });
            pieces.chain(fixtures).collect()
        }
    }
}

/// A metal service or main that comes out: it may have grounded the house.
pub(in crate::subjects::water) fn is_metal_main_out(job: &Job, rules: &Rules, run: &Run) -> bool {
    let is_main = SUPPLY.iter().any(|supply| same_name(&run.from.value) == same_name(supply));
    let written = run.material.get().unwrap_or_else(|| job.text(Setting::MainMaterial));
    let is_out = run.status.get() == Some(Status::Remove);
    is_out && is_main && rules.canonical_material(&written).is_some_and(is_metal)
}

fn metal_meters(context: &Context) -> Vec<Place> {
    let meters = context.job.devices.iter().filter(|device| &*device.kind.value == "meter");
    let place = |device: &Device| {
        let lies = context.place_of_run(joined_in_metal(context, device)?);
        Some(Place { origin: device.name.clone(), lies, amount: Term::number(1) })
    };
    meters.filter_map(place).collect()
}

/// The run of a device that this job sets or joins new pipe to, where that run and the one before it are metal.
fn joined_in_metal(context: &Context, device: &Device) -> Option<usize> {
    let status = device.status.get().unwrap_or_default();
    let position = context.network.find(&device.on_run.value)?;
    let joined = status.is_of_this_job() || status.carries_water() && context.is_new(position);
    let both = [Some(position), context.network.parent[position]];
    let metal = both.into_iter().flatten().all(|run| is_metal(&context.sizes.materials[run]));
    (joined && metal).then_some(position)
}

/// The job by its name, where it has one; else by its first new run.
fn whole_job(context: &Context) -> Option<At<Arc<str>>> {
    let first = (0..context.network.len()).find(|position| context.is_new(*position))?;
    let named = context.job.settings.get(&Setting::JobName).and_then(|field| match (&field.cell, &field.raw) {
        (Some(place), Raw::Text(name)) => Some(At { value: name.clone(), written: name.clone(), place: place.clone() }),
        _ => None,
    });
    named.or_else(|| Some(context.job.runs[context.network.order[first]].name.clone()))
}

/// How often one of what is counted is what a row goes by: its joints of a kind, or the piece itself.
fn times(context: &Context, count: &Count, per: &str) -> usize {
    let pipe_ends = |end: &str| {
        let ends = count.ends.iter().map(|end| end.value().to_string());
        let of =
            |key: String| key.rsplit_once(' ').and_then(|(material, _)| context.fitting_end(material)) == Some(end);
        // How many reducers there are follows the sizes.
        let follows = count.item.kind == "reducer" && count.purpose != "the next run joins on";
        if follows { 0 } else { ends.filter(|key| of(key.clone())).count() }
    };
    match per {
        SWEAT_JOINT => pipe_ends("sweat"),
        SOCKET_JOINT => pipe_ends("socket"),
        THREADED_JOINT => threads(context, count, pipe_ends(THREAD)),
        BURIED_FOOT => {
            usize::from(count.is_run() && count.place == Whereabouts::Buried && !is_metal(&count.item.material))
        }
        kind => usize::from(matches_kind(kind, &count.item.kind) && count.purpose != "the fixture itself"),
    }
}

/// Female threads: each takes a male one. Those of a device and of the supply count with what is joined to them.
fn threads(context: &Context, count: &Count, pipe_ends: usize) -> usize {
    let of = |ends: &[&str]| ends.iter().filter(|end| **end == THREAD).count();
    match count.purpose {
        "the device itself" => of(&context.rules.device_connections(&count.item.kind)),
        "joins the supply" => of(&context.rules.device_connections(SUPPLY_END)),
        _ if count.item.ends.is_empty() => pipe_ends,
        // Ends that are alike are said once; a cap has no other.
        _ if count.item.ends == THREAD && !count.item.kind.ends_with("cap") => 2,
        _ => of(&count.item.ends.split(BY).collect::<Vec<_>>()),
    }
}
