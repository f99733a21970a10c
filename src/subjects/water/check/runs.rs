//! Who hangs on what: runs on runs, fixtures and devices on runs.

use crate::finding::{Sink, UnknownName, excerpt, nearest};
use crate::model::network::{Problem, SUPPLY, same_name};
use crate::model::{At, Run, Status};
use crate::place::Place;
use crate::subjects::water::findings::runs::{LoopedRuns, ReservedName, RunRemoved};
use crate::view::Facts;
use std::sync::Arc;

/// Beyond this many runs no nearest name is looked for: it would take longer than the user has patience.
const MOST_SUGGESTED: usize = 1_000;

/// What keeps runs out of the trees. That two share a name is said with the names.
pub(super) fn runs(facts: &Facts, sink: &mut Sink) {
    let job = facts.job;
    let run = |index: usize| job.runs.get(index);
    for problem in facts.problems {
        match problem {
            Problem::Duplicate { .. } => (),
            Problem::UnknownFrom { run: index } => {
                if let Some(run) = run(*index) {
                    let remedy = "Write the name of a run, or SUPPLY where the line leaves the supply.";
                    unknown(facts, &Written::from(&run.from), &["SUPPLY"], remedy, sink);
                }
            }
            Problem::FromRemoved { run: index } => {
                if let Some(run) = run(*index) {
                    removed("run", &run.name.value, &Written::from(&run.from), sink);
                }
            }
            Problem::Loop { runs } => {
                let ring: Vec<&Run> = runs.iter().filter_map(|index| run(*index)).collect();
                let Some(first) = ring.first() else { continue };
                let place = &first.from.place;
                if ring.len() == 1 && SUPPLY.contains(&same_name(&first.name.value).as_str()) {
                    sink.at(place, ReservedName { found: excerpt(&first.name.value) });
                } else {
                    let names = ring.iter().chain([first]).map(|r| excerpt(&r.name.value)).collect();
                    sink.at(place, LoopedRuns { runs: names });
                }
            }
        }
    }
}

/// Fixtures and devices whose run is unknown or comes out.
pub(super) fn hangers(facts: &Facts, sink: &mut Sink) {
    // Without runs everything hangs in the air, and has been said to.
    if facts.job.runs.is_empty() {
        return;
    }
    for fixture in facts.job.fixtures.iter().filter(|f| f.status.value != Some(Status::Remove)) {
        for run in [&fixture.cold_run, &fixture.hot_run] {
            if let Some(place) = &run.cell {
                check_run(facts, "fixture", &fixture.tag.value, &Written { run: run.text(), place }, sink);
            }
        }
    }
    for device in facts.job.devices.iter().filter(|d| d.status.value != Some(Status::Remove)) {
        check_run(facts, "device", &device.name.value, &Written::from(&device.on_run), sink);
    }
}

/// The name of a run where somebody wrote it.
struct Written<'a> {
    run: &'a str,
    place: &'a Place,
}

impl<'a> From<&'a At<Arc<str>>> for Written<'a> {
    fn from(cell: &'a At<Arc<str>>) -> Self {
        Self { run: &cell.value, place: &cell.place }
    }
}

fn check_run(facts: &Facts, what: &'static str, name: &str, on: &Written, sink: &mut Sink) {
    match facts.run(on.run) {
        Some(found) if found.status.value == Some(Status::Remove) => removed(what, name, on, sink),
        Some(_) => (),
        None => unknown(facts, on, &[], "Write the name of a run as it stands in Runs.", sink),
    }
}

fn removed(what: &'static str, name: &str, on: &Written, sink: &mut Sink) {
    sink.at(on.place, RunRemoved { what, name: excerpt(name), run: excerpt(on.run) });
}

/// A name that no run bears; `also` are the other names that would do. A blank one has been named as missing, or was
/// meant.
fn unknown(facts: &Facts, written: &Written, also: &[&str], remedy: &str, sink: &mut Sink) {
    let Written { run: name, place } = *written;
    if name.is_empty() {
        return;
    }
    let names = facts.job.runs.iter().map(|r| &*r.name.value).take(MOST_SUGGESTED).chain(also.iter().copied());
    let facts = UnknownName {
        what: "run",
        found: excerpt(name),
        nearest: if sink.has_room(place) { nearest(name, names).map(excerpt) } else { None },
        remedy: remedy.to_owned(),
    };
    sink.at(place, facts);
}
