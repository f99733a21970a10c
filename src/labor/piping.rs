//! The work that follows from what is counted: pipe run and joined, and what goes along it.

use super::Context;
use crate::model::{Phase, Whereabouts};
use crate::parts::{COIL, Count, From, Quantity, STICK, When, Work};

/// Every pipe key that has a line has its tasks wherever pipe of its material lies, so that a size changed in the bid moves
/// its hours.
pub(super) fn work(context: &Context) -> Vec<Work> {
    let mut work = Vec::new();
    joints(context, &mut work);
    pipe(context, &mut work);
    runs_of_pipe(context, &mut work);
    work
}

/// What is counted where it is needed, as the sizes now are.
fn counted_for<'a>(context: &'a Context, wanted: impl Fn(&Count) -> bool + 'a) -> From {
    let counted = context.take_off.parts.counts.iter().filter(|count| !count.is_idle() && wanted(count));
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
                When::Place(joined.phase),
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
    let pipe = context.take_off.parts.counts.iter().filter(|count| count.is_run());
    let location = pipe.flat_map(|count| {
        // A form that is chosen may be changed in the finished bid.
        let chosen = count.form_cell.is_some();
        let forms = if chosen { vec![COIL, STICK] } else { vec![count.form] };
        forms.into_iter().map(|form| (count.phase, count.place, form, count.item.material.as_str()))
    });
    let mut location: Vec<Lying> = each_once(location);
    location.sort_by_key(|(phase, place, form, _)| (*phase, *place as usize, *form));
    for (phase, place, form, material) in location {
        for line in take_off.lines.iter().filter(|line| line.item.kind == "pipe" && line.item.material == material) {
            let item = line.item.text();
            let bare = item.strip_prefix("pipe ").unwrap_or(&item).trim_end_matches('"');
            let here = |count: &Count| {
                count.item == line.item && (count.phase, count.place, count.form) == (phase, place, form)
            };
            work.push(Work {
                task: format!("run {bare}"),
                quantity: Quantity::Item(item.clone()),
                when: When::Place(phase),
                place: Some(place),
                form,
                material: material.into(),
                from: counted_for(context, here),
            });
        }
    }
}

/// What goes along pipe, by the place that the pipe lies at.
fn runs_of_pipe(context: &Context, work: &mut Vec<Work>) {
    for (kind, task) in
        [("support", "support pipe"), ("nail plate", "plate studs"), ("pipe insulation", "insulate pipe")]
    {
        let of_kind = context.take_off.parts.counts.iter().filter(|count| count.item.kind == kind);
        let mut location = each_once(of_kind.map(|count| (count.phase, count.place)));
        location.sort_by_key(|(phase, place)| (*phase, *place as usize));
        for (phase, place) in location {
            let here = |count: &Count| count.item.kind == kind && (count.phase, count.place) == (phase, place);
            work.push(Work {
                task: task.to_owned(),
                quantity: Quantity::Kind(kind),
                when: When::Place(phase),
                place: Some(place),
                form: "",
                material: "".into(),
                from: counted_for(context, here),
            });
        }
    }
}
