//! Names: each once in its sheet, and none that a look-up formula would take for a pattern.

use super::Facts;
use crate::check::findings::values::PatternName;
use crate::finding::{Sink, excerpt};
use crate::input::Reference;
use crate::input::findings::DuplicateName;
use crate::model::network::same_name;
use crate::model::{At, Field, Setting};
use crate::place::Place;
use crate::subjects;
use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::sync::Arc;

/// Names that must differ within their sheet, whatever their case. Offers in Prices, parts On hand, costs and gauge
/// readings may share one.
pub(super) fn duplicates(facts: &Facts, sink: &mut Sink) {
    let job = facts.job;
    unique("fixture", job.fixtures.iter().map(|f| &f.tag), sink);
    unique("run", job.runs.iter().map(|r| &r.name), sink);
    unique("device", job.devices.iter().map(|d| &d.name), sink);
    unique("drain", job.drains.iter().map(|d| &d.name), sink);
    unique("supplier", job.suppliers.iter().map(|s| &s.supplier), sink);
    unique("task", job.labor.iter().map(|l| &l.task), sink);
    for sheet in subjects::sheets().filter(|sheet| matches!(sheet.reference, Reference::Name(_))) {
        let rows = job.of_subjects.iter().filter(|row| row.sheet().name == sheet.name);
        let names = rows.filter_map(|row| row.name());
        each_once(sheet.noun, names.filter_map(|name| Some((name.text(), name.place()?))), sink);
    }
}

fn unique<'a>(what: &'static str, names: impl Iterator<Item = &'a At<Arc<str>>>, sink: &mut Sink) {
    each_once(what, names.map(|name| (&*name.value, &name.place)), sink);
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
    let material = |field: &Field<Arc<str>>| (field.value.clone().unwrap_or_default(), field.cell.clone());
    for run in &job.runs {
        let (text, place) = material(&run.material);
        plain("Material", &text, place.as_ref());
    }
    for price in &job.prices {
        plain("Kind", &price.kind.value, Some(&price.kind.place));
        let (text, place) = material(&price.material);
        plain("Material", &text, place.as_ref());
    }
    for supplier in &job.suppliers {
        plain("Supplier", &supplier.supplier.value, Some(&supplier.supplier.place));
    }
    for part in &job.received {
        plain("Kind", &part.kind.value, Some(&part.kind.place));
        let (text, place) = material(&part.material);
        plain("Material", &text, place.as_ref());
    }
    for part in &job.on_hand {
        plain("Kind", &part.kind.value, Some(&part.kind.place));
        let (text, place) = material(&part.material);
        plain("Material", &text, place.as_ref());
    }
    for task in &job.labor {
        plain("Task", &task.task.value, Some(&task.task.place));
    }
    if let Some(field) = job.settings.get(&Setting::MainMaterial) {
        plain("Main material", &job.text(Setting::MainMaterial), field.cell.as_ref());
    }
}
