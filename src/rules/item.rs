//! What a thing is called: its kind, its material where that matters, and its sizes.

use super::Rules;
use crate::model::columns::DEVICE_KINDS;
use crate::model::{Job, OnHand, Price, Received, Size, fold, folded_bytes, vocabulary};
use rust_decimal::Decimal;
use std::fmt::Display;
use std::ops::RangeInclusive;

/// A thing that can be bought. Its text is the key that formulas sum by: `tee PEX 3/4" x 1/2" x 1/2"`.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Item {
    /// What it is: `tee`.
    pub kind: String,
    /// Empty where the material does not matter.
    pub material: String,
    /// Run x run x branch for a tee, large x small for a reducer, one for most things, none for some.
    pub sizes: Vec<Size>,
    /// `crimp x MPT` where kind and material do not say how it joins; empty where they do.
    pub ends: String,
}

/// Between the ends of a thing, and between its sizes.
pub const BY: &str = " x ";

/// What turns pipe, and a bend takes where nothing says otherwise.
pub const ELBOW: &str = "elbow";

/// What holds pipe. A clip for copper is none for PEX.
pub const SUPPORT: &str = "support";

/// What goes around pipe, of some wall.
pub const INSULATION: &str = "pipe insulation";

/// How insulation says its wall, where other things say their ends.
pub(crate) const IN_WALL: &str = " in wall";

/// A kind of part that is counted. Fixtures, devices and parts of assemblies are counted besides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PartKind {
    /// As lines and prices call it: `tee`.
    pub name: &'static str,
    /// Its need depends on the sizes of runs: a change of size in the bid must find its lines there.
    pub is_sized: bool,
    /// Counted in feet; everything else in pieces.
    pub is_feet: bool,
    /// One thing for pipe of any material.
    pub is_of_any_material: bool,
}

impl PartKind {
    /// Counted in pieces, of some material or none, whatever the sizes of runs.
    pub(crate) const fn new(name: &'static str) -> Self {
        Self { name, is_sized: false, is_feet: false, is_of_any_material: false }
    }

    pub(crate) const fn sized(self) -> Self {
        Self { is_sized: true, ..self }
    }

    pub(crate) const fn in_feet(self) -> Self {
        Self { is_feet: true, ..self }
    }

    pub(crate) const fn of_any_material(self) -> Self {
        Self { is_of_any_material: true, ..self }
    }
}

/// The kinds that are no one subject's: pipe, what joins it, what carries it.
pub(crate) const PARTS: &[PartKind] = &[
    PartKind::new("pipe").sized().in_feet(),
    PartKind::new("tee").sized(),
    PartKind::new("elbow").sized(),
    PartKind::new("coupling").sized(),
    PartKind::new("reducer").sized(),
    PartKind::new("adapter").sized(),
    PartKind::new("dielectric union").sized(),
    PartKind::new("union").sized(),
    PartKind::new("cap").sized(),
    PartKind::new("ring").sized(),
    PartKind::new("clamp").sized(),
    PartKind::new("sleeve").sized(),
    PartKind::new("stiffener").sized(),
    PartKind::new("ball valve").sized().of_any_material(),
    PartKind::new(SUPPORT).sized(),
    PartKind::new("foundation sleeve").sized().of_any_material(),
    PartKind::new("floor sleeve").sized().of_any_material(),
    PartKind::new(INSULATION).sized().in_feet().of_any_material(),
];

/// The order in which a counter picks: pipe, fittings, rings, the rest by name.
const ORDER: &[&str] = &[
    "pipe",
    "tee",
    "elbow",
    "bend support",
    "coupling",
    "reducer",
    "adapter",
    "dielectric union",
    "union",
    "cap",
    "manifold port",
    "ring",
    "clamp",
    "sleeve",
    "stiffener",
    "stub-out",
    "drop-ear",
    "test cap",
    "test plug",
    "support",
    "nail plate",
    "foundation sleeve",
    "floor sleeve",
    "pipe insulation",
    "ball valve",
    "stop valve",
    "supply line",
];

/// Where an item stands among the lines: its kind's place, kind, material, the larger sizes first, ends.
pub type Rank = (usize, String, String, Vec<std::cmp::Reverse<Size>>, String);

impl Item {
    /// A thing of this kind; `material` empty where it does not matter.
    pub fn new(kind: &str, material: &str, sizes: &[Size]) -> Self {
        Self { kind: kind.to_owned(), material: material.to_owned(), sizes: sizes.to_vec(), ends: String::new() }
    }

    /// Insulation for pipe of this size; `wall_in` in inches, where it is said.
    pub(crate) fn insulation(size: Size, wall_in: Option<Decimal>) -> Self {
        let wall = wall_in.filter(|wall| *wall > Decimal::ZERO).map(|wall| in_wall(wall.normalize()));
        Self::new(INSULATION, "", &[size]).with_ends(&wall.unwrap_or_default())
    }

    /// The same thing with these ends.
    pub fn with_ends(self, ends: &str) -> Self {
        Self { ends: ends.to_owned(), ..self }
    }

    /// The key: kind, material, sizes and ends, as far as it has them.
    pub fn text(&self) -> String {
        [&self.kind, &self.material, &self.sizes_and_ends()]
            .iter()
            .filter(|part| !part.is_empty())
            .map(|s| s.as_str())
            .collect::<Vec<_>>()
            .join(" ")
    }

    /// `3/4" crimp x MPT`; a size for each end stands before its end: `3/8" compression x 7/8" ballcock`.
    pub fn sizes_and_ends(&self) -> String {
        let ends: Vec<&str> = self.ends.split(BY).collect();
        let sizes: Vec<String> = self.sizes.iter().map(|s| s.key()).collect();
        match sizes.len() > 1 && sizes.len() == ends.len() {
            true => sizes.iter().zip(&ends).map(|(size, end)| format!("{size} {end}")).collect::<Vec<_>>().join(BY),
            false => format!("{} {}", sizes.join(BY), self.ends).trim().to_owned(),
        }
    }

    /// The same thing as lines and prices write it: a tee by three sizes (of two, run and branch), the larger end of its run
    /// first, a reducer with its larger end first. Turned about they are the same piece.
    pub fn turned(mut self) -> Self {
        match (self.kind.as_str(), self.sizes.as_mut_slice()) {
            ("tee", [one]) => self.sizes = vec![*one; 3],
            ("tee", [run, branch]) => self.sizes = vec![*run, *run, *branch],
            ("tee", [run, other, _]) | ("reducer", [run, other]) if *run < *other => std::mem::swap(run, other),
            _ => {}
        }
        self
    }

    /// What something offered (its kind and sizes as written) is, where that is of a sized kind and has its sizes.
    /// `material` is in the rules' own spelling, or empty.
    pub fn offered(rules: &Rules, kind: &str, material: &str, sizes: &[Size]) -> Option<Self> {
        let kind = rules.names().part(kind);
        let kind = rules.part_kind(kind).filter(|kind| kind.is_sized)?;
        let material = if kind.is_of_any_material { "" } else { material };
        // The wall of insulation is no size of pipe.
        let sizes = if kind.name == INSULATION { &sizes[..sizes.len().min(1)] } else { sizes };
        (!sizes.is_empty()).then(|| Self::new(kind.name, material, sizes).turned())
    }

    /// For sorting lines as a counter picks them.
    pub fn rank(&self) -> Rank {
        let order = ORDER.iter().position(|kind| *kind == self.kind).unwrap_or(ORDER.len());
        let sizes = self.sizes.iter().copied().map(std::cmp::Reverse).collect();
        (order, self.kind.clone(), self.material.clone(), sizes, self.ends.clone())
    }
}

impl Rules {
    /// The kind of part of this name, whatever its case and a plural s.
    pub fn part_kind(&self, name: &str) -> Option<&PartKind> {
        self.part_kinds.iter().find(|kind| matches_kind(kind.name, name))
    }

    /// Whether its need depends on the sizes of runs.
    pub fn is_sized(&self, item: &Item) -> bool {
        self.part_kind(&item.kind).is_some_and(|kind| kind.is_sized)
    }

    /// Counted in feet; everything else in pieces.
    pub fn is_feet(&self, item: &Item) -> bool {
        self.part_kind(&item.kind).is_some_and(|kind| kind.is_feet)
    }
}

/// Whether two words name one kind: case, spaces and a plural s do not matter. Every line is held against every price, so
/// no copy is made.
pub fn matches_kind(a: &str, b: &str) -> bool {
    let letter = |kind: &str| kind.bytes().next().filter(u8::is_ascii_alphanumeric);
    // Most differ in their first letters.
    if letter(a).zip(letter(b)).is_some_and(|(x, y)| !x.eq_ignore_ascii_case(&y)) {
        return false;
    }
    if !(a.is_ascii() && b.is_ascii()) {
        let singular = |kind: &str| fold(kind).trim_end_matches('s').to_owned();
        return singular(a) == singular(b);
    }
    let (mut a, mut b) = (folded_bytes(a), folded_bytes(b));
    loop {
        match (a.next(), b.next()) {
            (None, None) => return true,
            (Some(b's'), None) => return a.next().is_none(),
            (None, Some(b's')) => return b.next().is_none(),
            (Some(x), Some(y)) if x == y => {}
            _ => return false,
        }
    }
}

/// A row that names a thing as somebody wrote it.
pub trait Named {
    /// Kind, material and ends as written; the last two empty where nothing is said.
    fn written(&self) -> [&str; 3];
    /// Empty where nothing is said.
    fn sizes_written(&self) -> &[Size];
}

/// Makes the rows of these sheets name things.
macro_rules! named {
    ($($row:ty),+) => {
        $(impl Named for $row {
            fn written(&self) -> [&str; 3] {
                [&self.kind.value, self.material.text(), self.ends.text()]
            }

            fn sizes_written(&self) -> &[Size] {
                self.sizes.value.as_deref().unwrap_or_default()
            }
        })+
    };
}

named!(Price, OnHand, Received);

/// How many sizes a sized kind is written with, and how.
pub(crate) fn sizes_of_kind(kind: &str) -> (RangeInclusive<usize>, &'static str) {
    match kind {
        "tee" => (1..=3, "run x run x branch, run x branch, or one size"),
        "reducer" => (2..=2, "its large and its small size"),
        "adapter" => (1..=2, "one size, or one for each end"),
        INSULATION => (1..=2, "the size of its pipe, and its wall where it counts"),
        _ => (1..=1, "one size"),
    }
}

/// Whether something offered or on hand is this item. A blank material on either side fits any, and so do blank ends; a
/// blank size fits things whose need does not depend on the sizes of runs.
pub fn fits(rules: &Rules, item: &Item, row: &impl Named) -> bool {
    let [kind, material, ends] = row.written();
    matches_item(rules, item, kind, Some(material), row.sizes_written()) && same_ends(rules, &item.ends, ends)
}

/// Ends fit in either order; blank ones on either side fit any.
fn same_ends(rules: &Rules, ours: &str, written: &str) -> bool {
    let written = written.trim();
    if ours.is_empty() || written.is_empty() {
        return true;
    }
    // What has the same end on both sides may say it once.
    let folded = |ends: &str| {
        let mut each: Vec<String> = ends.to_lowercase().split(BY).map(|end| fold(rules.names().end(end))).collect();
        each.dedup();
        each
    };
    let (ours, mut written) = (folded(ours), folded(written));
    ours == written || {
        written.reverse();
        ours == written
    }
}

fn matches_item(rules: &Rules, item: &Item, kind: &str, material: Option<&str>, sizes: &[Size]) -> bool {
    // Most rows are of another size, which is seen soonest.
    let of_its_sizes = same_sizes(item, sizes);
    if !of_its_sizes && !sizes.is_empty() {
        return false;
    }
    // A device may be offered by an everyday name; what is a part by itself stays that part.
    let by_name = || {
        DEVICE_KINDS.contains(&item.kind.as_str())
            && rules.part_kind(kind).is_none()
            && !ORDER.iter().any(|part| matches_kind(part, kind))
            && vocabulary::device_kind(kind) == Some(item.kind.as_str())
    };
    if !rules.is_called(&item.kind, kind) && !by_name() {
        return false;
    }
    let material_fits = match material.map(str::trim).filter(|m| !m.is_empty()) {
        None => true,
        Some(_) if item.material.is_empty() => true,
        Some(written) => match rules.canonical_material(written) {
            Some(known) => *known == *item.material || item.kind == SUPPORT && both_copper(known, &item.material),
            None => fold(written) == fold(&item.material),
        },
    };
    material_fits && (of_its_sizes || !rules.is_sized(item))
}

/// The rows of Prices that offer an item. How many will be bought is not known yet: a price break is no offer.
pub(crate) fn offers_of<'a>(job: &'a Job, rules: &Rules, item: &Item) -> impl Iterator<Item = &'a Price> {
    job.prices.iter().filter(move |price| !price.is_break() && fits(rules, item, *price))
}

/// How insulation of this wall, in inches, says it.
fn in_wall(inches: impl Display) -> String {
    format!("{inches}{IN_WALL}")
}

/// Copper tube of one size has one outside, whatever its wall.
fn both_copper(one: &str, other: &str) -> bool {
    [one, other].iter().all(|material| material.starts_with("copper "))
}

/// Sizes fit in the order written, and turned about where turning the fitting makes them fit: a reducer end for end,
/// a tee run for run.
fn same_sizes(item: &Item, sizes: &[Size]) -> bool {
    if item.sizes == sizes {
        return true;
    }
    match (item.sizes.as_slice(), sizes, item.kind.as_str()) {
        // Of two ends of different sizes a counter may name one: a stop by its inlet, a supply line by its stop's end.
        ([first, _], [one], _) if !item.ends.is_empty() => first == one,
        // Insulation of 1 in wall may be 3/4 x 1.
        ([pipe], [own, wall], INSULATION) => {
            pipe == own && (item.ends.is_empty() || item.ends == in_wall(wall.inches()))
        }
        ([a, b], [c, d], "reducer") => (a, b) == (d, c),
        ([run, other, branch], [c, d, e], "tee") => (run, other, branch) == (d, c, e),
        ([run, other, branch], [one], "tee") => run == one && other == one && branch == one,
        // A counter says the run once.
        ([run, other, branch], [one, two], "tee") => run == one && other == one && branch == two,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice: a tee is called run x run x branch; run x branch where both ends of the run are alike.
    #[test]
    fn a_tee_of_two_sizes_is_run_by_branch() {
        let [three, two] = ["3/4", "1/2"].map(|size| Size::parse(size).unwrap());
        let tee = |sizes: &[Size]| Item::new("tee", "PEX", sizes).turned();
        assert_eq!(tee(&[three, two]), tee(&[three, three, two]));
        assert_eq!(tee(&[two, three]), tee(&[two, two, three]));
        assert!(same_sizes(&tee(&[three, three, two]), &[three, two]));
        assert!(!same_sizes(&tee(&[three, two, two]), &[three, two]));
    }
}
