//! What the water says at a glance: do the sizes still hold, is there pressure enough, how many runs have which pipe.

use super::size::Sizes;
use crate::entries::{Entries, Flag, Line, Remark};
use crate::figure::{Book, Term};
use crate::model::Setting;
use crate::parts::Parts;
use crate::sheets::Page;
use crate::unit::Unit;
use crate::view::View;
use std::cmp::Reverse;

pub(super) fn enter(book: &mut Book, view: &View<&Sizes>, parts: &Parts, entries: &mut Entries) {
    standing(view, parts, &mut entries.standing);
    flags(view.results, &mut entries.flags);
    entries.lists.extend(sizes(book, view.results).map(|lines| ("Sizes of the runs", lines)));
    entries.watched.extend(view.results.typed_over.iter().cloned());
}

fn standing(view: &View<&Sizes>, parts: &Parts, lines: &mut Vec<Line>) {
    let sizes = view.results;
    let mut ask = |words, answer, page| lines.push(Line::Question { words, answer, page });
    if let Some(check) = &sizes.choice_check {
        ask("Are the sizes still the ones to choose?", check.clone(), Page::Sizing);
    }
    if let Some(check) = &parts.choice_check {
        ask("Are the tees still the ones to choose?", check.clone(), Page::Tees);
    }
    let slow = sizes.too_fast.flag_any("too fast");
    ask("Does water keep to its highest velocity?", slow, Page::Sizing);
    if let Some((least, run)) = &sizes.least_spare {
        let kept = view.settings.get(Setting::PressureToSpare);
        let short = kept.above(least).flag("short of pressure");
        ask("Does every outlet get its pressure?", short, Page::Sizing);
        // Short the line above tells; little is no fault, and worth a look.
        let little = least.at_least(&kept).and(&Term::number(2).above(least));
        let little = little.pick(&Term::text("little: measure the supply at peak hours"), &Term::text(""));
        let mut figure = |label: &str, value: &Term, unit, remark| {
            lines.push(Line::Figure { label: label.to_owned(), value: value.clone(), unit, remark });
        };
        figure("Least pressure to spare at an outlet", least, Unit::Psi, Some(Remark::Live(little)));
        figure("at the end of run", run, Unit::None, None);
    }
    if let Some(check) = &sizes.well_check {
        let (words, answer) = ("Does the well's pump run long enough?", check.clone());
        lines.push(Line::Question { words, answer, page: Page::Sizing });
    }
}

/// What each run's check fails for by itself: a summary of the job knows it by run.
fn flags(sizes: &Sizes, flags: &mut Vec<Flag>) {
    let (text, none) = (Term::text, Term::number(0));
    if let Some((short, run)) = sizes.shortage() {
        let psi = short.show(1);
        let bid = [&text("Short of pressure by "), &psi, &text(" psi at the end of run "), run, &text("; see Sizing.")];
        let (with, by) = (text("With this change the outlet at the end of run "), text(" is short of pressure by "));
        let change = [&with, run, &by, &psi, &text(" psi: do not sign before that is settled.")];
        let (on_bid, on_change_order) = (Term::join(&bid), Term::join(&change));
        flags.push(Flag { wrong: short.above(&none), on_bid, on_change_order, fails: None });
    }
    let fast = &sizes.too_fast;
    let [on_bid, on_change_order] = ["; see Sizing.", ". See Sizing before you sign."]
        .map(|tail| Term::join(&[&text("Runs with water faster than their limit: "), fast, &text(tail)]));
    flags.push(Flag { wrong: fast.above(&none), on_bid, on_change_order, fails: None });
}

/// How many runs have which pipe, live.
fn sizes(book: &mut Book, sizes: &Sizes) -> Option<Vec<Line>> {
    let column = book.column_of(sizes.pipe_keys.first()?)?;
    let keys = book.whole(column);
    // By material as the network names them first, then the larger size first.
    let mut materials: Vec<&str> = Vec::new();
    let mut pipes: Vec<(usize, Reverse<crate::model::Size>, String)> = Vec::new();
    for (position, key) in sizes.pipe_keys.iter().enumerate() {
        let Some(size) = sizes.sizes[position] else { continue };
        let material = &*sizes.materials[position];
        let rank = materials.iter().position(|known| *known == material).unwrap_or_else(|| {
            materials.push(material);
            materials.len() - 1
        });
        pipes.push((rank, Reverse(size), key.value().to_string()));
    }
    pipes.sort();
    pipes.dedup();
    let line = |(_, _, pipe): (usize, Reverse<crate::model::Size>, String)| {
        let value = Term::count_where(&[(&keys, &Term::text(pipe.as_str()))]);
        Line::Figure { label: pipe, value, unit: Unit::Each, remark: Some(Remark::Words("runs")) }
    };
    Some(pipes.into_iter().map(line).collect())
}
