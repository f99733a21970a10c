//! Names: each once in its sheet, and none that a look-up formula would take for a pattern.

use super::Facts;
use crate::check::findings::values::PatternName;
use crate::finding::{Sink, excerpt};
use crate::input::findings::DuplicateName;
use crate::input::sheets::MATERIAL;
use crate::input::{Drain, LaborTask, OnHand, Price, Received, Reference, Sheet, SupplierTerms};
use crate::model::Setting;
use crate::model::network::same_name;
use crate::place::Place;
use crate::subjects;
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// Names that must differ within their sheet, whatever their case. Offers in Prices, parts On hand, costs and gauge
/// readings may share one.
pub(super) fn duplicates(facts: &Facts, sink: &mut Sink) {
    let rows = facts.job.rows();
    let listed = [SupplierTerms::SHEET.name, LaborTask::SHEET.name];
    let is_once = |sheet: &&Sheet| matches!(sheet.reference, Reference::Name(_)) || listed.contains(&sheet.name);
    for sheet in subjects::sheets().filter(is_once) {
        let names = rows.iter().filter(|row| row.sheet().name == sheet.name).filter_map(|row| row.name());
        each_once(sheet.noun, names.filter_map(|name| Some((name.text(), name.place()?))), sink);
    }
}

fn each_once<'a>(what: &'static str, names: impl Iterator<Item = (&'a str, &'a Place)>, sink: &mut Sink) {
    let mut first: HashMap<String, &Place> = HashMap::new();
    for (name, place) in names {
        match first.entry(same_name(name)) {
            Entry::Occupied(before) => {
                let facts = DuplicateName { what, name: excerpt(name), first: before.get().to_string() };
                sink.at(place, facts);
            }
            Entry::Vacant(free) => _ = free.insert(place),
        }
    }
}

/// Keys of look-ups: a criterion with `*` or `?` fits other names too, and `~` hides the sign behind it.
pub(super) fn patterns(facts: &Facts, sink: &mut Sink) {
    let job = facts.job;
    let mut plain = |column: &'static str, text: &str, place: Option<&Place>| {
        if let (true, Some(place)) = (text.contains(['*', '?', '~']), place) {
            sink.at(place, PatternName { column, found: excerpt(text) });
        }
    };
    let by_name = [Price::SHEET, OnHand::SHEET, Received::SHEET, SupplierTerms::SHEET, LaborTask::SHEET];
    for row in job.rows() {
        let is_looked_up = by_name.iter().any(|sheet| sheet.name == row.sheet().name);
        let of_water = row.sheet().name != Drain::SHEET.name;
        for (column, cell) in row.sheet().columns.iter().zip(row.cells()) {
            if (column.is_name && is_looked_up) || (column.name == MATERIAL.name && of_water) {
                plain(column.name, cell.text(), cell.place());
            }
        }
    }
    if let Some(field) = job.settings.get(&Setting::MainMaterial) {
        plain("Main material", &job.text(Setting::MainMaterial), field.cell.as_ref());
    }
}
