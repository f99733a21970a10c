//! What each zone draws, how many valves that takes, and the work it is.

use super::findings::ZoneTakesValves;
use super::input::Zone;
use crate::figure::{Book, Look, Term};
use crate::finding::Finding;
use crate::model::{At, Phase, Status};
use crate::parts::{Count, From, When, Work};
use crate::rules::{Item, Listing};
use crate::sheets::Page;
use crate::subjects::Results;
use crate::table::columns;
use crate::view::View;
use std::sync::Arc;

/// The parts it counts.
pub(super) const VALVE: &str = "zone valve";
pub(super) const HOSE: &str = "garden hose";

/// Gallons an hour that a valve passes.
const A_VALVE_PASSES: u32 = 60;

/// A zone as figures.
#[derive(Debug)]
pub struct WateredZone {
    pub name: At<Arc<str>>,
    pub name_cell: Term,
    pub status: Status,
    pub gph: Term,
    pub valves: Term,
    /// Where the row says it.
    pub hose_ft: Option<Term>,
}

columns! {
    struct Columns on Garden("What each zone draws") {
        zone: "Zone", words;
        emitters: "Emitters", Each;
        gph: "Draws, gallons an hour", Ratio;
        valves: "Zone valves", Each;
    }
}

/// Puts the zones that this job makes on the page.
pub(super) fn water(book: &mut Book, view: &View<Results>, findings: &mut Vec<Finding>) -> Vec<WateredZone> {
    let is_made = |zone: &&Zone| zone.status.get().unwrap_or_default().is_of_this_job();
    let zones: Vec<&Zone> = view.job.rows_of::<Zone>().filter(is_made).collect();
    if zones.is_empty() {
        return Vec::new();
    }
    book.words(view.page(Page::Garden), Look::Title, Page::Garden.name());
    let columns = Columns::on_page(book, view);
    let mut flows = Listing::new(view, "What emitters give");
    let mut watered = Vec::new();
    for zone in zones {
        let Some(rule) = view.rules.emitter_flows().iter().find(|rule| *rule.emitter == *zone.emitter.value) else {
            continue;
        };
        let row = book.row(columns.table);
        let name = zone.name.figure(book);
        let name_cell = book.put(row, columns.zone, name);
        let count = zone.count.figure(book);
        let count = book.put(row, columns.emitters, count);
        let flow = flows.row(book, rule).gph;
        let gph = book.put(row, columns.gph, count * flow);
        let valves = book.put(row, columns.valves, (&gph / Term::number(A_VALVE_PASSES)).whole_up());
        if valves.value().as_f64() > 1.0 {
            let facts = ZoneTakesValves { zone: zone.name.value.to_string(), valves: valves.value().to_string() };
            findings.push(Finding::at(&zone.name.place, facts));
        }
        let (name, status) = (zone.name.clone(), zone.status.get().unwrap_or_default());
        let hose_ft = zone.hose_ft.value.map(|_| zone.hose_ft.figure(book));
        watered.push(WateredZone { name, name_cell, status, gph, valves, hose_ft });
    }
    watered
}

/// The valves of a zone, and its hose by the foot.
pub(super) fn parts(zone: &WateredZone) -> impl Iterator<Item = Count> {
    let count = |why, kind, quantity: &Term| {
        let count = Count::new(&zone.name, why, Item::new(kind, "", &[]), quantity.clone());
        Count { phase: Phase::Trim, in_already: zone.status == Status::Installed, ..count }
    };
    let valves = count("its emitters", VALVE, &zone.valves);
    let hose = zone.hose_ft.as_ref().map(|feet| count("along its emitters", HOSE, feet));
    std::iter::once(valves).chain(hose)
}

/// Setting them.
pub(super) fn work(zones: &[WateredZone]) -> Option<Work> {
    let names: Vec<Arc<str>> = zones.iter().map(|zone| zone.name.value.clone()).collect();
    let valves: Vec<&Term> = zones.iter().map(|zone| &zone.valves).collect();
    let set = || Work::of("set zone valve", Term::total(&valves), When::Task, From::from_names(&names));
    (!zones.is_empty()).then(set)
}
