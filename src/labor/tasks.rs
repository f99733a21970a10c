//! What work there is: pipe run and joined, fixtures roughed in and trimmed, devices set, old pipe taken out, the test.

use super::{Context, Work};
use crate::figure::{Book, Term};
use crate::model::{Phase, Status};
use crate::takeoff::caps_on_what_stays;
use rust_decimal::Decimal;

/// All work of the job. Every pipe key that has a line has its tasks, so that a size changed in the bid moves its hours.
pub(super) fn work(book: &mut Book, context: &Context) -> Vec<Work> {
    let mut work = Vec::new();
    pipe(context, &mut work);
    fixtures(book, context, &mut work);
    devices(context, &mut work);
    removal(book, context, &mut work);
    work.push(Work { task: "pressure test".to_owned(), quantity: Term::number(1), phase: None });
    work
}

fn pipe(context: &Context, work: &mut Vec<Work>) {
    let take_off = context.take_off;
    for phase in Phase::ALL {
        for key in take_off.counts.joined_keys() {
            if let Some(ends) = take_off.counts.ends_joined(key, phase) {
                let bare = key.trim_end_matches('"');
                work.push(Work { task: format!("joint {bare}"), quantity: ends.clone(), phase: Some(phase) });
            }
        }
    }
    for phase in &take_off.pipe_phases {
        for key in &take_off.pipe_keys {
            let bare = key.trim_end_matches('"');
            let feet = take_off.counts.needed(&Term::text(format!("pipe {key}")), *phase);
            work.push(Work { task: format!("run {bare}"), quantity: feet, phase: Some(*phase) });
        }
        for (kind, task) in
            [("support", "support pipe"), ("nail plate", "plate studs"), ("pipe insulation", "insulate pipe")]
        {
            let index = Phase::ALL.iter().position(|p| p == phase).unwrap_or(0);
            let lines = take_off.lines.iter().filter(|line| line.item.kind == kind);
            let quantities: Vec<&Term> = lines.filter_map(|line| line.by_phase[index].as_ref()).collect();
            if !quantities.is_empty() {
                work.push(Work { task: task.to_owned(), quantity: Term::total(&quantities), phase: Some(*phase) });
            }
        }
    }
}

/// `rough in` and `trim` for each kind of new fixture, in the order the kinds first appear.
fn fixtures(book: &mut Book, context: &Context, work: &mut Vec<Work>) {
    let mut kinds: Vec<(String, Vec<Term>)> = Vec::new();
    for fixture in context.job.fixtures.iter().filter(|f| f.status.get().unwrap_or_default().is_of_this_job()) {
        let Some(kind) = context.rules.canonical_fixture(&fixture.fixture.value) else { continue };
        let count = book.number_input(&fixture.count, Decimal::ONE);
        match kinds.iter_mut().find(|(name, _)| name == kind) {
            Some((_, counts)) => counts.push(count),
            None => kinds.push((kind.to_owned(), vec![count])),
        }
    }
    for verb in ["rough in", "trim"] {
        for (kind, counts) in &kinds {
            let counts: Vec<&Term> = counts.iter().collect();
            work.push(Work { task: format!("{verb} {kind}"), quantity: Term::total(&counts), phase: None });
        }
    }
}

fn devices(context: &Context, work: &mut Vec<Work>) {
    let mut kinds: Vec<(&str, u32)> = Vec::new();
    for device in context.job.devices.iter().filter(|d| d.status.get().unwrap_or_default().is_of_this_job()) {
        match kinds.iter_mut().find(|(kind, _)| *kind == &*device.kind.value) {
            Some((_, count)) => *count += 1,
            None => kinds.push((&device.kind.value, 1)),
        }
    }
    let mut tasks: Vec<(String, Vec<Term>)> =
        kinds.into_iter().map(|(kind, count)| (format!("set {kind}"), vec![Term::number(count)])).collect();
    for task in &context.take_off.tasks {
        match tasks.iter_mut().find(|(name, _)| *name == task.name) {
            Some((_, quantities)) => quantities.push(task.quantity.clone()),
            None => tasks.push((task.name.clone(), vec![task.quantity.clone()])),
        }
    }
    for (task, quantities) in tasks {
        let quantity = Term::total(&quantities.iter().collect::<Vec<_>>());
        work.push(Work { task, quantity, phase: None });
    }
}

/// Old pipe that comes out, by the foot, and the tie-ins to what stays.
fn removal(book: &mut Book, context: &Context, work: &mut Vec<Work>) {
    let out = context.job.runs.iter().filter(|run| run.status.get() == Some(Status::Remove));
    let feet: Vec<Term> = out.map(|run| book.number_input(&run.length_ft, Decimal::ZERO)).collect();
    if !feet.is_empty() {
        let feet: Vec<&Term> = feet.iter().collect();
        work.push(Work { task: "remove pipe".to_owned(), quantity: Term::total(&feet), phase: None });
    }
    let status = |position: usize| context.job.runs[context.network.order[position]].status.get().unwrap_or_default();
    // New pipe tied into old, or old into new: both want the water off and a joint to what is there.
    let ties = (0..context.network.len())
        .filter_map(|position| Some((status(position), status(context.network.parent[position]?))))
        .filter(|(one, other)| {
            let (old, ours) = (|s: &Status| *s == Status::Existing, |s: &Status| s.is_of_this_job());
            (ours(one) && old(other)) || (old(one) && ours(other))
        })
        .count();
    // A cap on pipe that stays is put on while the water is off for a tie-in, or has it turned off for itself.
    let ties = if ties == 0 { caps_on_what_stays(context.job, context.network).min(1) } else { ties };
    if ties > 0 {
        work.push(Work { task: "drain down and tie in".to_owned(), quantity: Term::number(ties as u64), phase: None });
    }
}
