//! What the water says on the pages about the whole job: do the sizes still hold, is there pressure enough, how many runs have
//! which pipe, how much pipe is in the bid's scope, what to be careful of.

use super::counted::{is_metal_main_out, tempered_limits};
use super::findings::remedy::NoSizesWill;
use super::rules::TemperedWater;
use super::size::Sizes;
use super::size::water_carried::HEATERS;
use super::size::well::SHORT;
use crate::entries::{Caution, Entries, Flag, LeastSpare, Line, Remark, Scope, TRENCHES, TermLine, TermsKind};
use crate::figure::{Book, Term};
use crate::finding::Declared;
use crate::model::{Device, Run, Setting, Status, Whereabouts};
use crate::parts::Parts;
use crate::rules::Listing;
use crate::sheets::Page;
use crate::unit::Unit;
use crate::view::View;
use std::cmp::Reverse;

pub(super) fn enter(book: &mut Book, view: &View<&Sizes>, parts: &Parts, entries: &mut Entries) {
    standing(view, parts, &mut entries.standing);
    flags(view.results, &mut entries.flags);
    entries.lists.extend(sizes(book, view.results).map(|lines| ("Sizes of the runs", lines)));
    entries.watched.extend(view.results.typed_over.iter().cloned());
    entries.scope.extend(view.job.runs.iter().map(|run| scope(book, view, run)));
    entries.cautions.extend(cautions(book, view));
    rooms(book, view, &mut entries.terms);
    entries.to_fix_first.push(NoSizesWill::SLUG);
    let least_spare = view.results.least_spare.clone();
    entries.least_spare = least_spare.map(|(psi, run)| LeastSpare { psi, run });
    if view.results.main_idle {
        let size = view.settings.get(Setting::MainSize);
        let now = size.is_blank().pick(&Term::text(""), &size);
        entries.recorded.push(("Job Main size, which no run goes by", now));
    }
}

/// Feet of pipe by its material, as the job writes it.
fn scope(book: &mut Book, view: &View<&Sizes>, run: &Run) -> Scope {
    let written = run.material.get().unwrap_or_else(|| view.job.text(Setting::MainMaterial));
    let material = view.rules.canonical_material(&written).unwrap_or(&written);
    let cell = run.material.value.as_ref().and_then(|_| run.material.as_typed(book));
    let cell = cell.unwrap_or_else(|| view.settings.get(Setting::MainMaterial));
    Scope {
        name: run.name.figure(book),
        status: run.status.get().unwrap_or_default(),
        kind: format!("{material} pipe"),
        words: Term::join(&[&cell, &Term::text(" pipe")]),
        // Of what carries water the Friction sheet has read it.
        quantity: match view.network.find(&run.name.value) {
            Some(position) => view.results.length_ft[position].clone(),
            None => run.length_ft.figure(book),
        },
        unit: Unit::Feet,
    }
}

fn cautions(book: &mut Book, view: &View<&Sizes>) -> Vec<Caution> {
    let mut cautions = Vec::new();
    if view.results.waters.iter().any(|water| water.hot) {
        cautions.push(Caution::Words(
            "Hot water scalds, children and older people worst. Showers and tubs get pressure-balancing or thermostatic \
             valves; set the limit stop of each and check it with a thermometer. The heater's thermostat is no such valve.",
        ));
        let heater = view.settings.get(Setting::HotWaterTemperature);
        let mut limits: Vec<&TemperedWater> = tempered_limits(view).map(|(_, row)| row).collect();
        limits.sort_by_key(|row| &row.fixture);
        limits.dedup_by_key(|row| &row.fixture);
        let mut rows = Listing::new(view, "Hottest water at fixtures").open(book);
        cautions.extend(limits.iter().map(|row| {
            let most = rows.row(book, *row).fahrenheit;
            let at = format!(" F. Limit at a {}: ", row.fixture);
            let [before, at, after] = ["Hot water at the heater, as figured: ", &at, " F."].map(Term::text);
            Caution::Live(Term::join(&[&before, &heater, &at, &most, &after]))
        }));
    }
    cautions.push(Caution::Words(
        "Cross-connections: vacuum breakers at hose connections, air gaps where softeners and relief valves drain, backflow \
         preventers of the kind the code asks for at boilers, irrigation and wells. A testable assembly is tested when it is \
         installed and every year.",
    ));
    let is_new = |status: Option<Status>| status.unwrap_or_default().is_of_this_job();
    let buried = |run: &Run| run.place.get() == Some(Whereabouts::Buried) && is_new(run.status.get());
    if view.job.runs.iter().any(buried) {
        cautions.push(TRENCHES);
    }
    if view.job.runs.iter().any(|run| is_metal_main_out(view.job, view.rules, run)) {
        cautions.push(Caution::Words(
            "Metal water pipe that comes out may be the ground of the electric service: before it is cut, a licensed \
             electrician provides another grounding electrode, sizes the bonding jumper and bonds what metal pipe stays.",
        ));
    }
    if view.job.devices.iter().any(|device| HEATERS.contains(&&*device.kind.value) && is_new(device.status.get())) {
        cautions.push(Caution::Words(
            "Gas heaters: gas pipe, sediment trap, vent and combustion air are by a licensed gas fitter, who tests for leaks \
             before the heater is started. A relief valve is never plugged. Its drain runs down full size, without a valve, trap or \
             thread at its end, to an air gap in plain sight, no more than 6 in above the floor or receptor.",
        ));
    }
    cautions
}

/// The room that new devices take, which the plans must leave.
fn rooms(book: &mut Book, view: &View<&Sizes>, terms: &mut Vec<TermLine>) {
    let mut listing = Listing::new(view, "Room that devices take");
    for row in view.rules.device_room() {
        let is_new = |device: &&Device| device.status.get().unwrap_or_default().is_of_this_job();
        let of_kind = |device: &&Device| *device.kind.value == *row.device;
        for device in view.job.devices.iter().filter(of_kind).filter(is_new) {
            let (name, room) = (device.name.figure(book), listing.row(book, row).room);
            let [before, after] =
                [format!("The owner leaves room for {} ", row.device), ".".to_owned()].map(Term::text);
            let words = Term::join(&[&before, &name, &Term::text(": "), &room, &after]);
            terms.push(TermLine { kind: TermsKind::Assumption, words });
        }
    }
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
    if let Some([psi, allowed]) = &sizes.static_psi {
        let words = text("A regulator is needed: the supply is over the code's highest pressure.");
        flags.push(Flag { wrong: psi.above(allowed), on_bid: words.clone(), on_change_order: words, fails: None });
    }
    if let Some(check) = &sizes.well_check {
        let words = text("The well's pump runs too short a time at each start; see Sizing.");
        let wrong = check.same(&text(SHORT));
        flags.push(Flag { wrong, on_bid: words.clone(), on_change_order: words, fails: None });
    }
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
