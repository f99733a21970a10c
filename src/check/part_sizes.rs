//! Rows of Prices and On hand whose sizes no part of their kind has: too many or too few of them, or a size that its
//! pipe does not come in. No line can ever take such a row.

use super::Facts;
use crate::check::findings::prices::{OddRow, SizesNotUsed};
use crate::finding::Sink;
use crate::model::{Field, Size};
use crate::rules::{Named, Rules, sizes_of_kind};

pub(super) fn rows(facts: &Facts, sink: &mut Sink) {
    let job = facts.job;
    let prices = job.prices.iter().map(|row| (row as &dyn Named, &*row.sizes, row.row));
    tell(facts.rules, "Prices", prices, sink);
    tell(facts.rules, "On hand", job.on_hand.iter().map(|row| (row as &dyn Named, &*row.sizes, row.row)), sink);
}

/// Sized rows, each with its sizes' cell and its row.
fn tell<'a>(
    rules: &Rules,
    sheet: &'static str,
    rows: impl Iterator<Item = (&'a dyn Named, &'a Field<Vec<Size>>, u32)>,
    sink: &mut Sink,
) {
    let (mut odd, mut first, mut is_slip): (Vec<OddRow>, _, _) = (Vec::new(), None, false);
    for (row, cell, at) in rows {
        let Some(place) = cell.cell.as_ref().filter(|_| cell.value.is_some() || cell.is_blank()) else { continue };
        let Some((slip, trouble)) = trouble(rules, row) else { continue };
        let [kind, material, _] = row.written().map(str::trim);
        let sizes = row.sizes_written().iter().map(ToString::to_string).collect::<Vec<_>>().join(" x ");
        let words: Vec<&str> = [kind, material, &sizes].into_iter().filter(|word| !word.is_empty()).collect();
        odd.push((words.join(" "), u64::from(at) + 1, trouble));
        is_slip |= slip;
        first.get_or_insert(place);
    }
    if let Some(place) = first {
        sink.at(place, SizesNotUsed { sheet, rows: odd, is_slip });
    }
}

/// What keeps any line from taking the row, and whether it must be a slip: pipe may well come in other sizes.
fn trouble(rules: &Rules, row: &dyn Named) -> Option<(bool, String)> {
    let [kind, material, _] = row.written();
    let kind = rules.part_kind(rules.names().part(kind)).filter(|kind| kind.is_sized)?;
    let sizes = row.sizes_written();
    let (count, how) = sizes_of_kind(kind.name);
    if sizes.is_empty() {
        return Some((true, format!("no size; write {how}")));
    }
    if !count.contains(&sizes.len()) {
        let reducer = if kind.name == "coupling" { "; of two sizes it is a reducer" } else { "" };
        return Some((true, format!("write {how}{reducer}")));
    }
    let material = rules.canonical_material(material).filter(|_| !kind.is_of_any_material)?;
    // The far end of an adapter is the other thing's.
    let own = if kind.name == "adapter" { &sizes[..1] } else { sizes };
    let unknown = own.iter().find(|size| rules.pipe(material, **size).is_none())?;
    Some(match rules.nominal_of_outside(material, *unknown) {
        Some(nominal) => (true, format!("{unknown} is the outside diameter of {nominal} {material}")),
        None => (false, format!("{material} does not come in {unknown}")),
    })
}
