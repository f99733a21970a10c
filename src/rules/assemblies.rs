//! The parts that go with a fixture or a device on the water side, besides the thing itself, its pipe, tees and elbows,
//! and the rings of its joints: those are counted from the runs.

use super::Rules;
use super::cell::{CellValue, size_key};
use super::declare::rule;
use super::item::BY;
use super::listing::page;
use crate::folding::worded;
use crate::model::{Size, fold};
use rust_decimal::Decimal;
use std::sync::Arc;

/// In `material`: the part is of the material of the run that feeds it.
const OF_THE_RUN: &str = "run";

rule! {
    /// A part that goes with a fixture or device: for its cold side, its hot side, or each one once; quantity 0 takes it
    /// out.
    Part "assemblies" overridden by "Assemblies" {
        /// A fixture or a device kind.
        key assembly: Arc<str> = FixtureOrDevice also ["fixture", "device"];
        key phase: Arc<str> = Word(&["rough-in", "trim", "test"]);
        key side: Side = Word(&["cold", "hot", "each"]);
        /// As in Prices: `stub-out`, `stop valve` ...
        key kind: Arc<str> = Part also ["part"];
        key_or_blank material: PartMaterial = Text;
        /// `None`: the device's own size.
        key_or_blank size: Option<Size> = Size;
        /// How many of it; 0 takes the part out.
        value quantity: Decimal = Number to 1000 also ["qty"];
        /// Its ends toward the pipe, `run` for the one that fittings have for the run's pipe; several with an x between.
        optional inlet: Arc<str> = Ends;
        /// Its ends away from the pipe.
        optional outlet: Arc<str> = Ends;
        /// Of its ends away from the pipe, where they have another size than those toward it.
        optional outlet_size: Option<Size> = Size;
        /// Pipe ends joined to one of it, where that is not what its ends say: each takes a ring and the work of a joint.
        optional ends: u8 = Number to 4 also ["pipe ends"] or 0;
        /// Counts only where this fixture draws from the same run on that side; it goes before the like part without it.
        key_or_blank beside: Arc<str> = Fixture(&[]);
        remark note: Arc<str> = Text;
    }
}

page! {
    PartCells of Part {
        assembly: "Goes with";
        quantity: "Quantity" Quantity;
        kind: "Part";
        size: "Size" = |part| size_key(part.size);
        phase: "Phase";
        side: "Side";
    }
}

worded! {
    /// When a part is counted.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Side {
        /// Once where the fixture has a cold run.
        Cold = "cold",
        /// Once where the fixture has a hot run.
        Hot = "hot",
        /// Once for each fixture or device.
        Each = "each",
    }
}

/// What a part is made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PartMaterial {
    /// It does not depend on the pipe.
    None,
    /// The material of the run that feeds it.
    OfTheRun,
    /// This one.
    Named(Arc<str>),
}

impl PartMaterial {
    /// Whether it is always of this material.
    pub fn is_named(&self, material: &str) -> bool {
        matches!(self, Self::Named(name) if fold(name) == fold(material))
    }

    /// Of a part at a run of this material; empty where that does not matter.
    pub fn of_run<'a>(&'a self, run_material: &'a str) -> &'a str {
        match self {
            Self::None => "",
            Self::OfTheRun => run_material,
            Self::Named(name) => name,
        }
    }
}

impl CellValue for PartMaterial {
    fn read(text: &Arc<str>) -> Option<Self> {
        Some(match &*fold(text) {
            "" => Self::None,
            OF_THE_RUN => Self::OfTheRun,
            _ => Self::Named(text.clone()),
        })
    }

    fn text(&self) -> String {
        match self {
            Self::None => String::new(),
            Self::OfTheRun => OF_THE_RUN.to_owned(),
            Self::Named(name) => name.to_string(),
        }
    }
}

/// In `inlet` and `outlet`: the end that fittings have for the run's pipe.
pub(crate) const RUN_END: &str = "run";

impl Part {
    /// Its ends as the table has them, toward the pipe first.
    pub fn ends_of_it(&self) -> impl Iterator<Item = &str> {
        [&self.inlet, &self.outlet].into_iter().flat_map(|ends| ends.split(BY)).filter(|end| !end.is_empty())
    }

    /// Whether pipe of the run is joined to it.
    pub fn joins_run(&self) -> bool {
        self.pipe_ends() > 0
    }

    /// Pipe ends that are joined to it.
    pub fn pipe_ends(&self) -> u8 {
        match self.ends {
            0 => self.ends_of_it().filter(|end| *end == RUN_END).count() as u8,
            told => told,
        }
    }

    /// How it says what it joins, given the end of fittings for the run's pipe: each kind of end once; nothing of a fitting
    /// that is all of the run's own, which its material says.
    pub fn ends_said(&self, run_end: Option<&str>) -> String {
        let of_the_run = self.material == PartMaterial::OfTheRun && self.ends_of_it().all(|end| end == RUN_END);
        let side = |ends: &'_ str| {
            let ends = ends.split(BY).filter(|end| !end.is_empty());
            let said = ends.map(|end| if end == RUN_END { run_end } else { Some(end) }.map(str::to_owned));
            let mut said = said.collect::<Option<Vec<_>>>()?;
            said.dedup();
            Some(said)
        };
        let sides = side(&self.inlet).zip(side(&self.outlet)).filter(|_| !of_the_run);
        let Some((mut ends, outlet)) = sides else { return String::new() };
        ends.extend(outlet);
        if self.outlet_size.is_none() {
            ends.dedup();
        }
        ends.join(BY)
    }
}

impl Part {
    /// Whether another row is of the same part.
    fn is_like(&self, other: &Self) -> bool {
        let key = |part: &Self| (part.phase.clone(), part.side, part.kind.clone(), part.material.clone(), part.size);
        self.assembly == other.assembly && key(self) == key(other)
    }
}

impl Rules {
    /// The parts that go with a fixture (by its own name) or a device kind, in the table's order.
    pub fn assembly<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a Part> {
        self.assembly_beside(name, &[])
    }

    /// The same of a fixture that shares runs with others: with which, on which side.
    pub fn assembly_beside<'a>(
        &'a self,
        name: &'a str,
        beside: &'a [(Side, Arc<str>)],
    ) -> impl Iterator<Item = &'a Part> {
        let rows = move || self.assemblies().iter().filter(move |part| *part.assembly == *name);
        let shares = |part: &Part| beside.iter().any(|(side, with)| *side == part.side && *with == part.beside);
        rows().filter(move |part| {
            let stands = match part.beside.is_empty() {
                true => beside.is_empty() || !rows().any(|other| shares(other) && other.is_like(part)),
                false => shares(part),
            };
            stands && !part.quantity.is_zero()
        })
    }
}
