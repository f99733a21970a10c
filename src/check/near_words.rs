//! Rows of Prices, On hand and Labor whose words are nearly right: a material, a kind, a unit or a supplier misspelled keeps
//! a row from the line that it is for, or changes what it counts.

use super::unused::known_kinds;
use crate::check::findings::prices::{
    LaborUnit, MaterialNotKnown, MaterialsNotUsed, StockNotUsed, StockUnit, SupplierNearly, SuppliersNotListed,
    UnitNotKnown,
};
use crate::finding::{Finding, nearest, nearest_kind, nearly};
use crate::model::vocabulary::{self, DRAIN_MATERIALS};
use crate::model::{Field, Job, OnHand, counter_price, fold};
use crate::place::Place;
use crate::rules::{PartMaterial, Rules, matches_kind};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Plastics that no pipe for drinking water inside a building is of, folded.
const NOT_FOR_DRINKING: &[&str] = &["pvc", "abs", "pvc40", "pvcsch40", "pvcsdr26"];

pub(crate) fn rows(job: &Job, rules: &Rules) -> Vec<Finding> {
    let mut findings = Vec::new();
    materials(job, rules, &mut findings);
    kinds_on_hand(job, rules, &mut findings);
    units(job, &mut findings);
    units_on_hand(job, rules, &mut findings);
    units_of_labor(job, rules, &mut findings);
    suppliers(job, &mut findings);
    findings
}

/// A row of parts: where its material stands.
struct Part<'a> {
    sheet: &'static str,
    kind: &'a str,
    material: &'a Field<Arc<str>>,
}

fn parts<'a>(job: &'a Job, rules: &'a Rules) -> impl Iterator<Item = Part<'a>> {
    let kind = |written: &'a str| rules.names().part(written);
    let prices = job.prices.iter().map(move |row| Part {
        sheet: "Prices",
        kind: kind(&row.kind.value),
        material: &row.material,
    });
    let stock = job.on_hand.iter().map(move |row| Part {
        sheet: "On hand",
        kind: kind(&row.kind.value),
        material: &row.material,
    });
    prices.chain(stock)
}

/// Materials that nothing here is made of, on parts whose material counts: each once a sheet. Those that are near to none
/// of ours are told together.
fn materials(job: &Job, rules: &Rules, findings: &mut Vec<Finding>) {
    let mut seen: BTreeSet<(&str, String)> = BTreeSet::new();
    let mut others: Vec<(Option<&Place>, String)> = Vec::new();
    for part in parts(job, rules).filter(|part| is_of_a_material(rules, part.kind)) {
        let written = part.material.text().trim();
        let of_drains = DRAIN_MATERIALS.iter().any(|drain| fold(drain) == fold(written));
        let of_a_part = rules.assemblies().iter().any(|part| part.material.is_named(written));
        if written.is_empty() || of_drains || of_a_part || rules.canonical_material(written).is_some() {
            continue;
        }
        if !seen.insert((part.sheet, fold(written))) {
            continue;
        }
        match rules.names().nearest_material(written) {
            // PVC is no slip of CPVC.
            Some(near) if !NOT_FOR_DRINKING.contains(&&*fold(written)) => {
                let (kind, found, nearest) = (part.kind.to_owned(), written.to_owned(), near.to_owned());
                findings.push(Finding::near(part.material.cell.as_ref(), MaterialNotKnown { kind, found, nearest }));
            }
            _ => others.push((part.material.cell.as_ref(), written.to_owned())),
        }
    }
    if let Some((place, _)) = others.first() {
        let materials = others.iter().map(|(_, material)| material.clone()).collect();
        findings.push(Finding::near(*place, MaterialsNotUsed { materials }));
    }
}

/// Whether a kind comes in the material of its pipe.
fn is_of_a_material(rules: &Rules, kind: &str) -> bool {
    let of_pipe = rules.part_kind(kind).is_some_and(|kind| kind.is_sized && !kind.is_of_any_material);
    let part_of =
        || rules.assemblies().iter().any(|part| part.material != PartMaterial::None && matches_kind(&part.kind, kind));
    of_pipe || part_of()
}

/// Kinds on hand that nothing asks for.
fn kinds_on_hand(job: &Job, rules: &Rules, findings: &mut Vec<Finding>) {
    let known = known_kinds(job, rules);
    for row in &job.on_hand {
        let kind = &*row.kind.value;
        let other_name = vocabulary::device_kind(kind).is_some();
        if other_name || known.iter().any(|name| rules.is_called(name, kind)) {
            continue;
        }
        let nearest = nearest_kind(kind, known.iter().copied()).map(str::to_owned);
        findings.push(Finding::at(&row.kind.place, StockNotUsed { kind: kind.to_owned(), nearest }));
    }
}

/// Units in Prices that are nearly one we know; and units of pipe that are none at all, for they say stick or coil.
fn units(job: &Job, findings: &mut Vec<Finding>) {
    for row in &job.prices {
        let unit = row.unit.text().trim();
        if unit.is_empty() || counter_price::is_unit(unit) {
            continue;
        }
        let near = nearest(unit, counter_price::units()).map(str::to_owned);
        if near.is_some() || matches_kind("pipe", &row.kind.value) {
            let facts = UnitNotKnown { found: unit.to_owned(), nearest: near };
            findings.push(Finding::near(row.unit.cell.as_ref(), facts));
        }
    }
}

/// Quantities on hand are feet or pieces, whatever Unit says.
fn units_on_hand(job: &Job, rules: &Rules, findings: &mut Vec<Finding>) {
    let is = |unit: &str, other: &str| counter_price::same_unit(unit, other);
    for row in &job.on_hand {
        let kind = rules.part_kind(rules.names().part(&row.kind.value));
        let counted_in = if kind.is_some_and(|kind| kind.is_feet) { "ft" } else { "each" };
        let unit = row.unit.text().trim();
        if !unit.is_empty() && !is(unit, counted_in) {
            let quantity = quantity_of(row);
            let facts = StockUnit { found: unit.to_owned(), quantity, counted_in };
            findings.push(Finding::near(row.unit.cell.as_ref(), facts));
        }
    }
}

fn quantity_of(row: &OnHand) -> String {
    row.quantity.value.unwrap_or_default().normalize().to_string()
}

/// Hours for another unit than the task is counted in.
fn units_of_labor(job: &Job, rules: &Rules, findings: &mut Vec<Finding>) {
    for row in &job.labor {
        let unit = row.unit.text().trim();
        let Some(task) = rules.labor(&row.task.value) else { continue };
        if !unit.is_empty() && !counter_price::same_unit(unit, &task.unit) {
            let (found, task, counted_in) = (unit.to_owned(), row.task.value.to_string(), task.unit.to_string());
            findings.push(Finding::near(row.unit.cell.as_ref(), LaborUnit { found, task, counted_in }));
        }
    }
}

/// So many rows of Prices make a supplier known.
const COMMON_ROWS: usize = 3;
/// Of more suppliers than this that many rows name, the rest is not looked at: it would take longer than anybody waits.
const MOST_COMMON: usize = 100;

/// Suppliers in Prices that are nearly one of the Suppliers sheet, or one that many rows name: they would be ordered from
/// apart, and terms would not count for them.
fn suppliers(job: &Job, findings: &mut Vec<Finding>) {
    let name = |text: &str| text.trim().to_lowercase();
    let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
    let listed: Vec<&str> = job.suppliers.iter().map(|row| &*row.supplier.value).collect();
    // By name the spelling of the first row, and how many rows there are.
    let mut priced: BTreeMap<String, (&str, usize)> = BTreeMap::new();
    for row in &job.prices {
        let supplier = row.supplier.text();
        priced.entry(name(supplier)).or_insert((supplier, 0)).1 += 1;
    }
    let rows_of = |supplier: &str| priced.get(&name(supplier)).map_or(0, |(_, rows)| *rows);
    let in_many: Vec<(&str, usize)> =
        priced.values().copied().filter(|(_, rows)| *rows >= COMMON_ROWS).take(MOST_COMMON).collect();
    let mut seen = BTreeSet::new();
    let mut unlisted: Vec<(Option<&Place>, String)> = Vec::new();
    let named = job.prices.iter().map(|row| &row.supplier).chain(job.fixtures.iter().map(|row| &row.supplier));
    for named in named {
        let supplier = named.text();
        if listed.iter().any(|known| name(known) == name(supplier)) || !seen.insert(name(supplier)) {
            continue;
        }
        // Without a sheet of suppliers, one that many rows name is known, beside one that few do.
        let rows = rows_of(supplier);
        let common = in_many.iter().filter(|(_, many)| *many >= 2 * rows).map(|(known, _)| *known);
        // A fixture's supplier who sells nothing else is held against all of Prices.
        let others = priced.values().map(|(known, _)| *known).take(MOST_COMMON).filter(|_| rows == 0);
        let known = listed.iter().copied().chain(common).chain(others);
        // Store 1 and Store 2 are two stores.
        let near = nearly(supplier, known).filter(|known| digits(known) == digits(supplier));
        // A supplier whom no row names at all is told with this name already.
        if let Some(near) = near.filter(|near| rows_of(near) > 0) {
            let facts = SupplierNearly { found: supplier.to_owned(), nearest: near.to_owned(), rows };
            findings.push(Finding::near(named.cell.as_ref(), facts));
        } else if !listed.is_empty() && !supplier.trim().is_empty() {
            unlisted.push((named.cell.as_ref(), supplier.to_owned()));
        }
    }
    if let Some((place, _)) = unlisted.first() {
        let suppliers = unlisted.iter().map(|(_, supplier)| supplier.clone()).collect();
        findings.push(Finding::near(*place, SuppliersNotListed { suppliers }));
    }
}
