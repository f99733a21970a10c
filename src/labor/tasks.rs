//! What work there is: pipe run and joined, fixtures roughed in and trimmed, devices set, old pipe taken out, the test.

use super::{Context, From, Quantity, When, Work};
use crate::figure::{Book, Term};
use crate::model::{At, Phase, Status, Whereabouts};
use crate::size::forms::{COIL, STICK};
use crate::takeoff::{Count, caps_on_what_stays, phase_of};
use rust_decimal::Decimal;
use std::sync::Arc;

/// All work of the job. Every pipe key that has a line has its tasks wherever pipe of its material lies, so that a size
/// changed in the bid moves its hours.
pub(super) fn work(book: &mut Book, context: &Context) -> Vec<Work> {
    let mut work = Vec::new();
    joints(context, &mut work);
    pipe(context, &mut work);
    along(context, &mut work);
    fixtures(book, context, &mut work);
    devices(context, &mut work);
    removal(book, context, &mut work);
    removed(book, context, &mut work);
    work.push(Work::of("pressure test", Term::number(1), When::Task, From::Words("the whole job".to_owned())));
    work
}

/// What is counted where it is needed, as the sizes now are.
fn counted_for<'a>(context: &'a Context, wanted: impl Fn(&Count) -> bool + 'a) -> From {
    let counted = context.take_off.counted.iter().filter(|count| !count.is_idle() && wanted(count));
    From::Counted(counted.map(|count| count.origin.value.clone()).collect())
}

fn joints(context: &Context, work: &mut Vec<Work>) {
    let mut joined: Vec<_> = context.take_off.counts.joined().iter().collect();
    joined.sort_by_key(|joined| joined.phase);
    for joined in joined {
        let bare = joined.pipe_key.trim_end_matches('"');
        let here =
            |count: &Count| count.phase == joined.phase && count.place == joined.place && count.joins(&joined.pipe_key);
        work.push(Work {
            place: Some(joined.place),
            material: bare.rsplit_once(' ').map_or("", |(material, _)| material).into(),
            ..Work::of(
                &format!("joint {bare}"),
                joined.ends.clone(),
                When::Lies(joined.phase),
                counted_for(context, here),
            )
        });
    }
}

/// Where pipe of a material lies, and in which form.
type Lying<'a> = (Phase, Whereabouts, &'static str, &'a str);

/// Each only once, by phase and place.
fn each_once<T: PartialEq>(all: impl Iterator<Item = T>) -> Vec<T> {
    let mut each = Vec::new();
    for one in all {
        if !each.contains(&one) {
            each.push(one);
        }
    }
    each
}

fn pipe(context: &Context, work: &mut Vec<Work>) {
    let take_off = context.take_off;
    let pipe = take_off.counted.iter().filter(|count| count.is_run());
    let lying = pipe.flat_map(|count| {
        let position = context.network.find(&count.origin.value);
        // A form that is chosen may be changed in the finished bid.
        let chosen = position.is_some_and(|position| context.sizes.form_choices[position].is_some());
        let forms = if chosen { vec![COIL, STICK] } else { vec![count.form] };
        forms.into_iter().map(|form| (count.phase, count.place, form, count.item.material.as_str()))
    });
    let mut lying: Vec<Lying> = each_once(lying);
    lying.sort_by_key(|(phase, place, form, _)| (*phase, *place as usize, *form));
    for (phase, place, form, material) in lying {
        for line in take_off.lines.iter().filter(|line| line.item.kind == "pipe" && line.item.material == material) {
            let item = line.item.text();
            let bare = item.strip_prefix("pipe ").unwrap_or(&item).trim_end_matches('"');
            let here = |count: &Count| {
                count.item == line.item && (count.phase, count.place, count.form) == (phase, place, form)
            };
            work.push(Work {
                task: format!("run {bare}"),
                quantity: Quantity::Item(item.clone()),
                when: When::Lies(phase),
                place: Some(place),
                form,
                material: material.into(),
                from: counted_for(context, here),
            });
        }
    }
}

/// What goes along pipe, by the place that the pipe lies at.
fn along(context: &Context, work: &mut Vec<Work>) {
    for (kind, task) in
        [("support", "support pipe"), ("nail plate", "plate studs"), ("pipe insulation", "insulate pipe")]
    {
        let of_kind = context.take_off.counted.iter().filter(|count| count.item.kind == kind);
        let mut lying = each_once(of_kind.map(|count| (count.phase, count.place)));
        lying.sort_by_key(|(phase, place)| (*phase, *place as usize));
        for (phase, place) in lying {
            let here = |count: &Count| count.item.kind == kind && (count.phase, count.place) == (phase, place);
            work.push(Work {
                task: task.to_owned(),
                quantity: Quantity::Kind(kind),
                when: When::Lies(phase),
                place: Some(place),
                form: "",
                material: "".into(),
                from: counted_for(context, here),
            });
        }
    }
}

/// `rough in` and `trim` for each kind of new fixture, in the order the kinds first appear.
fn fixtures(book: &mut Book, context: &Context, work: &mut Vec<Work>) {
    let mut kinds: Vec<(String, Vec<Term>, Vec<Arc<str>>)> = Vec::new();
    for fixture in context.job.fixtures.iter().filter(|f| f.status.get().unwrap_or_default().is_of_this_job()) {
        let Some(kind) = context.rules.canonical_fixture(&fixture.fixture.value) else { continue };
        let (count, tag) = (book.number_input(&fixture.count, Decimal::ONE), fixture.tag.value.clone());
        match kinds.iter_mut().find(|(name, ..)| name == kind) {
            Some((_, counts, tags)) => {
                counts.push(count);
                tags.push(tag);
            }
            None => kinds.push((kind.to_owned(), vec![count], vec![tag])),
        }
    }
    for verb in ["rough in", "trim"] {
        for (kind, counts, tags) in &kinds {
            let quantity = Term::total(&counts.iter().collect::<Vec<_>>());
            work.push(Work::of(&format!("{verb} {kind}"), quantity, When::Task, From::named(tags)));
        }
    }
}

/// `remove` for each kind of fixture and device that comes out, in the order the kinds first appear.
fn removed(book: &mut Book, context: &Context, work: &mut Vec<Work>) {
    let comes_out = |status: Option<Status>| status == Some(Status::Remove);
    let mut kinds: Vec<(String, Vec<Term>, Vec<Arc<str>>)> = Vec::new();
    let mut add = |kind: &str, count: Term, name: &Arc<str>| match kinds.iter_mut().find(|(known, ..)| known == kind) {
        Some((_, counts, names)) => {
            counts.push(count);
            names.push(name.clone());
        }
        None => kinds.push((kind.to_owned(), vec![count], vec![name.clone()])),
    };
    for fixture in context.job.fixtures.iter().filter(|fixture| comes_out(fixture.status.get())) {
        let kind = context.rules.canonical_fixture(&fixture.fixture.value).unwrap_or("other");
        add(kind, book.number_input(&fixture.count, Decimal::ONE), &fixture.tag.value);
    }
    for device in context.job.devices.iter().filter(|device| comes_out(device.status.get())) {
        add(&device.kind.value, Term::number(1), &device.name.value);
    }
    for (kind, counts, names) in &kinds {
        let quantity = Term::total(&counts.iter().collect::<Vec<_>>());
        work.push(Work::of(&format!("remove {kind}"), quantity, When::Task, From::named(names)));
    }
}

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
    for task in &context.take_off.tasks {
        match tasks.iter_mut().find(|(name, ..)| *name == task.name) {
            Some((_, quantities, names)) => {
                quantities.push(task.quantity.clone());
                names.push(task.origin.value.clone());
            }
            None => tasks.push((task.name.clone(), vec![task.quantity.clone()], vec![task.origin.value.clone()])),
        }
    }
    for (task, quantities, names) in tasks {
        let quantity = Term::total(&quantities.iter().collect::<Vec<_>>());
        work.push(Work::of(&task, quantity, When::Task, From::named(&names)));
    }
}

/// Old pipe that comes out, by the foot and where it lies, and the tie-ins to what stays, with the runs that are tied in.
fn removal(book: &mut Book, context: &Context, work: &mut Vec<Work>) {
    let out: Vec<_> = context.job.runs.iter().filter(|run| run.status.get() == Some(Status::Remove)).collect();
    for place in Whereabouts::ALL {
        let here: Vec<_> = out.iter().filter(|run| run.place.get().unwrap_or_default() == place).collect();
        let feet: Vec<Term> = here.iter().map(|run| book.length_input(&run.length_ft)).collect();
        if !feet.is_empty() {
            let feet = Term::total(&feet.iter().collect::<Vec<_>>());
            let names: Vec<Arc<str>> = here.iter().map(|run| run.name.value.clone()).collect();
            let removed = Work::of("remove pipe", feet, When::Task, From::named(&names));
            work.push(Work { place: Some(place), ..removed });
        }
    }
    let ties = ties(context);
    for phase in Phase::ALL {
        let here: Vec<Arc<str>> =
            ties.iter().filter(|(when, _)| *when == phase).map(|(_, run)| run.value.clone()).collect();
        if !here.is_empty() {
            let count = Term::number(here.len() as u64);
            work.push(Work::of("drain down and tie in", count, When::Unless(phase), From::named(&here)));
        }
    }
}

/// New pipe tied into old, or old into new: both want the water off and a joint to what is there, when the new pipe is
/// put in.
fn ties<'a>(context: &Context<'a>) -> Vec<(Phase, &'a At<Arc<str>>)> {
    let run = |position: usize| &context.job.runs[context.network.order[position]];
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
        let removed = |run: &&crate::model::Run| {
            run.status.get() == Some(Status::Remove) && context.network.find(&run.from.value).is_some()
        };
        let capped = context.job.runs.iter().find(removed);
        let when = |run: &crate::model::Run| run.phase.as_ref().and_then(|text| Phase::parse(text));
        ties.extend(capped.map(|run| (when(run).unwrap_or(Phase::RoughIn), &run.name)));
    }
    ties
}
