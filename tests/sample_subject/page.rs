//! Its page, and what it says on the pages about the whole job.

use super::zones::{HOSE, VALVE, WateredZone};
use crate::entries::{Caution, Compared, Entries, Flag, Line, Scope, TRENCHES};
use crate::figure::Term;
use crate::model::Setting;
use crate::sheets::pages;
use crate::unit::Unit;
use crate::view::View;
use serde::Serialize;

pages! {
    Results {
        Garden "Watering" portrait Nothing "what each zone of the garden draws, and its valves";
    }
}

pub(super) fn enter(view: &View<&Vec<WateredZone>>, entries: &mut Entries) {
    let zones = view.results;
    if zones.is_empty() {
        return;
    }
    entries.cautions.extend([
        TRENCHES,
        Caution::Words("Sprays freeze: the garden is drained before the first frost."),
        TRENCHES,
    ]);
    let valves: Vec<&Term> = zones.iter().map(|zone| &zone.valves).collect();
    let figure = |label: &str, value| Line::Figure { label: label.to_owned(), value, unit: Unit::Each, remark: None };
    entries.lists.push(("Garden", vec![figure("Zone valves in all", Term::total(&valves))]));
    let counted = |zone: &WateredZone, kind: &str, words, quantity: &Term, unit| Scope {
        name: zone.name_cell.clone(),
        status: zone.status,
        kind: kind.to_owned(),
        words: Term::text(words),
        quantity: quantity.clone(),
        unit,
    };
    for zone in zones {
        entries.scope.push(counted(zone, VALVE, "zone valves in the garden", &zone.valves, Unit::Each));
        let hose = zone.hose_ft.iter().map(|feet| counted(zone, HOSE, "ft of garden hose", feet, Unit::Feet));
        entries.scope.extend(hose);
    }
    let all = Term::total(&zones.iter().map(|zone| &zone.gph).collect::<Vec<_>>());
    let words = Term::join(&[&Term::text("The garden draws "), &all.show(0), &Term::text(" gallons an hour.")]);
    let (wrong, fails) = (all.above(&view.settings.get(Setting::GardenLimit)), Some("the garden draws too much"));
    entries.flags.push(Flag { wrong, on_bid: words.clone(), on_change_order: words, fails });
    let rows = zones.iter().map(|zone| (zone.name.value.to_string(), zone.gph.clone())).collect();
    let (title, heading) = ("Garden: what each zone draws, gallons an hour", "Garden zone");
    entries.compared.push(Compared { title, heading, unit: Unit::Ratio, rows });
}

/// What it says to programs.
#[derive(Debug, Default, Serialize)]
pub(crate) struct Document {
    garden_zones: Vec<String>,
}

impl Document {
    pub(super) fn of(zones: &[WateredZone]) -> Self {
        Self { garden_zones: zones.iter().map(|zone| zone.name.value.to_string()).collect() }
    }
}
