//! What work there is beside running and joining pipe: fixtures roughed in and trimmed, devices set, old pipe taken out, the
//! test.

use super::counted::caps_on_what_stays;
use crate::figure::{Book, Term};
use crate::model::{At, Phase, Run, Setting, Status, Whereabouts, same_folded};
use crate::parts::{From, Parts, When, Work, phase_of};
use crate::rules::hours_of;
use crate::view::View;
use std::sync::Arc;

/// What has been counted already.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Inputs<'a> {
    pub parts: &'a Parts,
}

type Context<'a> = View<'a, Inputs<'a>>;

/// Work by the fixture, the device and the job; what pipe takes by the foot and the joint follows from its parts.
pub(crate) fn work(book: &mut Book, context: &Context, work: &mut Vec<Work>) {
    fixtures(book, context, work);
    devices(context, work);
    removal(book, context, work);
    removed(book, context, work);
    work.push(Work::of("pressure test", Term::number(1), When::Task, From::Words("the whole job".to_owned())));
}

/// `rough in` and `trim` for each kind of new fixture, in the order the kinds first appear; what others set they trim.
fn fixtures(book: &mut Book, context: &Context, work: &mut Vec<Work>) {
    let (mut all, mut set) = (Kinds::default(), Kinds::default());
    for fixture in context.job.fixtures.iter().filter(|f| f.status.get().unwrap_or_default().is_of_this_job()) {
        let Some(kind) = context.rules.canonical_fixture(&fixture.fixture.value) else { continue };
        let count = fixture.count.figure(book);
        if fixture.is_set_by_us() {
            set.add(kind, count.clone(), &fixture.tag.value);
        }
        all.add(kind, count, &fixture.tag.value);
    }
    all.work("rough in", work);
    set.work("trim", work);
}

/// `remove` for each kind of fixture and device that comes out, in the order the kinds first appear.
fn removed(book: &mut Book, context: &Context, work: &mut Vec<Work>) {
    let comes_out = |status: Option<Status>| status == Some(Status::Remove);
    let mut kinds = Kinds::default();
    for fixture in context.job.fixtures.iter().filter(|fixture| comes_out(fixture.status.get())) {
        let kind = context.rules.canonical_fixture(&fixture.fixture.value).unwrap_or("other");
        kinds.add(kind, fixture.count.figure(book), &fixture.tag.value);
    }
    for device in context.job.devices.iter().filter(|device| comes_out(device.status.get())) {
        kinds.add(&device.kind.value, Term::number(1), &device.name.value);
    }
    kinds.work("remove", work);
}

/// How many of each kind there are, and their names.
#[derive(Default)]
struct Kinds(Vec<(String, Vec<Term>, Vec<Arc<str>>)>);

impl Kinds {
    fn add(&mut self, kind: &str, count: Term, name: &Arc<str>) {
        match self.0.iter_mut().find(|(known, ..)| known == kind) {
            Some((_, counts, names)) => {
                counts.push(count);
                names.push(name.clone());
            }
            None => self.0.push((kind.to_owned(), vec![count], vec![name.clone()])),
        }
    }

    /// A task for each kind: the verb and the kind.
    fn work(&self, verb: &str, work: &mut Vec<Work>) {
        for (kind, counts, names) in &self.0 {
            let quantity = Term::total(&counts.iter().collect::<Vec<_>>());
            work.push(Work::of(&format!("{verb} {kind}"), quantity, When::Task, From::from_names(names)));
        }
    }
}

/// `set` for each kind of new device, the job's other tasks, and `test` for each kind of which somebody has hours for that.
fn devices(context: &Context, work: &mut Vec<Work>) {
    let mut kinds: Vec<(&str, Vec<Arc<str>>)> = Vec::new();
    for device in context.job.devices.iter().filter(|d| d.status.get().unwrap_or_default().is_of_this_job()) {
        match kinds.iter_mut().find(|(kind, _)| *kind == &*device.kind.value) {
            Some((_, names)) => names.push(device.name.value.clone()),
            None => kinds.push((&device.kind.value, vec![device.name.value.clone()])),
        }
    }
    let all = kinds.into_iter();
    let mut tasks: Vec<(String, Vec<Term>, Vec<Arc<str>>)> =
        all.map(|(kind, names)| (format!("set {kind}"), vec![Term::number(names.len() as u64)], names)).collect();
    for task in &context.parts.tasks {
        match tasks.iter_mut().find(|(name, ..)| *name == task.name) {
            Some((_, quantities, names)) => {
                quantities.push(task.quantity.clone());
                names.extend(task.origins.iter().cloned());
            }
            None => tasks.push((task.name.clone(), vec![task.quantity.clone()], task.origins.clone())),
        }
    }
    let tests: Vec<_> = tasks
        .iter()
        .filter_map(|(task, quantities, names)| {
            let test = format!("test {}", task.strip_prefix("set ")?);
            hours_of(context.job, context.rules, &test).map(|_| (test, quantities.clone(), names.clone()))
        })
        .collect();
    tasks.extend(tests);
    for (task, quantities, names) in tasks {
        let quantity = Term::total(&quantities.iter().collect::<Vec<_>>());
        work.push(Work::of(&task, quantity, When::Task, From::from_names(&names)));
    }
}

/// Old pipe that comes out, by the foot and where it lies, and the tie-ins to what stays, with the runs that are tied in.
fn removal(book: &mut Book, context: &Context, work: &mut Vec<Work>) {
    let out: Vec<_> = context.job.runs.iter().filter(|run| run.status.get() == Some(Status::Remove)).collect();
    for place in Whereabouts::ALL {
        let mut tasks = Kinds::default();
        for run in out.iter().filter(|run| run.place.get().unwrap_or_default() == place) {
            tasks.add(&removal_task(context, run), run.length_ft.figure(book), &run.name.value);
        }
        for (task, feet, names) in &tasks.0 {
            let feet = Term::total(&feet.iter().collect::<Vec<_>>());
            let removed = Work::of(task, feet, When::Task, From::from_names(names));
            work.push(Work { place: Some(place), ..removed });
        }
    }
    let ties = ties(context);
    for phase in Phase::ALL {
        let here: Vec<Arc<str>> =
            ties.iter().filter(|(when, _)| *when == phase).map(|(_, run)| run.value.clone()).collect();
        if !here.is_empty() {
            let count = Term::number(here.len() as u64);
            work.push(Work::of("drain down and tie in", count, When::Unless(phase), From::from_names(&here)));
        }
    }
}

/// `remove pipe` of the run's material where somebody has hours for that, the job before the table; else `remove pipe`.
fn removal_task(context: &Context, run: &Run) -> String {
    const ANY: &str = "remove pipe";
    let written = run.material.get().unwrap_or_else(|| context.job.text(Setting::MainMaterial));
    let of_material = format!("{ANY} {}", context.rules.canonical_material(&written).unwrap_or(&written));
    let in_labor = |task: &str| context.job.labor.iter().any(|row| same_folded(&row.task.value, task));
    let known = in_labor(&of_material) || !in_labor(ANY) && context.rules.labor(&of_material).is_some();
    if known { of_material } else { ANY.to_owned() }
}

/// New pipe tied into old, or old into new: both want the water off and a joint to what is there, when the new pipe is
/// put in.
fn ties<'a>(context: &Context<'a>) -> Vec<(Phase, &'a At<Arc<str>>)> {
    let run = |position: usize| context.run_at(position);
    let status = |position: usize| run(position).status.get().unwrap_or_default();
    let mut ties = Vec::new();
    for position in 0..context.network.len() {
        let Some(parent) = context.network.parent[position] else { continue };
        let new = match (status(position), status(parent)) {
            (ours, Status::Existing) if ours.is_of_this_job() => run(position),
            (Status::Existing, ours) if ours.is_of_this_job() => run(parent),
            _ => continue,
        };
        ties.push((phase_of(new), &new.name));
    }
    // A cap on pipe that stays is put on while the water is off for a tie-in, or has it turned off for itself.
    if ties.is_empty() && caps_on_what_stays(context.job, context.network) > 0 {
        let removed =
            |run: &&Run| run.status.get() == Some(Status::Remove) && context.network.find(&run.from.value).is_some();
        let capped = context.job.runs.iter().find(removed);
        let when = |run: &Run| run.phase.as_ref().and_then(|text| Phase::from_name(text));
        ties.extend(capped.map(|run| (when(run).unwrap_or(Phase::RoughIn), &run.name)));
    }
    ties
}
