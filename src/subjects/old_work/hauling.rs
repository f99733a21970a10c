//! What comes out of the house, what it weighs, and how many loads that is.

use super::rules::Weight;
use crate::figure::{Book, Term};
use crate::model::{Setting, Status, same_folded};
use crate::rules::Listing;
use crate::sheets::Page;
use crate::subjects::Results;
use crate::table::{List, columns};
use crate::unit::Unit;
use crate::view::View;
use std::sync::Arc;

/// A row of the job that comes out.
pub(super) enum Out<'a> {
    Fixture(&'a crate::model::Fixture),
    Device(&'a crate::model::Device),
    Run(&'a crate::model::Run),
}

/// Fixtures, devices and runs that come out; pipe that is cut off and stays in the ground is no load.
pub(super) fn what_comes_out<'a>(view: &View<'a, Results>) -> Vec<Out<'a>> {
    let job = view.job;
    let out = |status: Option<Status>| status == Some(Status::Remove);
    let fixtures = job.fixtures.iter().filter(|fixture| out(fixture.status.get())).map(Out::Fixture);
    let devices = job.devices.iter().filter(|device| out(device.status.get())).map(Out::Device);
    let runs = job.runs.iter().filter(|run| out(run.status.get())).map(Out::Run);
    fixtures.chain(devices).chain(runs).collect()
}

columns! {
    struct Columns on OldWork("What comes out") {
        name: "Row of the job", words 16;
        thing: "What", words 24;
        quantity: "How many, or feet", Quantity 12;
        lb: "lb of one", Ratio 10;
        weight: "lb", Ratio 10;
    }
}

/// Puts them; gives the loads.
pub(super) fn put(book: &mut Book, view: &View<Results>, out: &[Out]) -> Option<Term> {
    if out.is_empty() {
        return None;
    }
    let columns = Columns::on_page(book, view);
    let mut weights = Listing::new(view, "What old things weigh, lb; pipe by the foot");
    for thing in out {
        let (name, kind, quantity) = match thing {
            Out::Fixture(fixture) => {
                let kind = view.rules.canonical_fixture(&fixture.fixture.value).unwrap_or("other");
                (fixture.tag.figure(book), kind.to_owned(), fixture.count.figure(book))
            }
            Out::Device(device) => (device.name.figure(book), device.kind.value.to_string(), Term::number(1)),
            Out::Run(run) => {
                (run.name.figure(book), format!("{} pipe", material(view, run)), run.length_ft.figure(book))
            }
        };
        let row = book.row(columns.table);
        book.put(row, columns.name, name);
        book.label(row, columns.thing, &kind);
        let quantity = book.put_or_state(row, columns.quantity, quantity, "one row of the job is one of it");
        // Valves and the like weigh next to nothing.
        if let Some(weight) = view.rules.weights().iter().find(|row| same_folded(&row.thing, &kind)) {
            let lb = Listing::<Weight>::row(&mut weights, book, weight).lb;
            let lb = book.put(row, columns.lb, lb);
            book.put(row, columns.weight, (quantity * lb).round(1));
        }
    }
    let weight = book.whole(columns.weight);
    let list = List::put(book, view.page(Page::OldWork), "", [34.0, 10.0], Unit::Ratio);
    let all = list.line(book, "All of it, lb", Term::sum(&weight));
    let load = list.line(book, "One load, lb", view.settings.get(Setting::HaulOffLoad));
    let loads = load.above(&Term::number(0)).pick(&(all / &load).whole_up(), &Term::number(1));
    Some(list.line_in(book, "Loads to haul", loads, Unit::Each))
}

/// The material of a run, by its own name.
pub(super) fn material(view: &View<Results>, run: &crate::model::Run) -> Arc<str> {
    let written = run.material.get().unwrap_or_else(|| view.job.text(Setting::MainMaterial));
    view.rules.canonical_material(&written).map_or(written.clone(), Into::into)
}
