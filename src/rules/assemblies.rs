//! The parts that go with a fixture or a device on the water side, besides the thing itself, its pipe, tees and elbows,
//! and the rings of its joints: those are counted from the runs.

use super::Rules;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use crate::model::{Size, fold};
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

/// In `material`: the part is of the material of the run that feeds it.
const OF_THE_RUN: &str = "run";

pub(super) const ASSEMBLIES: Spec = Spec {
    name: "assemblies",
    file: "assemblies.csv",
    about: "a part that goes with a fixture or device: for its cold side, its hot side, or each one once; quantity 0 takes it out",
    sheet: Some("Assemblies"),
    columns: &[
        Column::new("assembly", Kind::FixtureOrDevice, Role::Key).or(&["fixture", "device"]),
        Column::new("phase", Kind::Word(&["rough-in", "trim", "test"]), Role::Key),
        Column::new("side", Kind::Word(&["cold", "hot", "each"]), Role::Key),
        Column::new("kind", Kind::Text, Role::Key).or(&["part"]),
        Column::new("material", Kind::Text, Role::KeyOrBlank),
        Column::new("size", Kind::Size, Role::KeyOrBlank),
        Column::new("quantity", Kind::Number, Role::Value).to(dec!(1000)).or(&["qty"]),
        Column::new("ends", Kind::Number, Role::Optional).to(dec!(100)).or(&["pipe ends"]),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// When a part is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// Once where the fixture has a cold run.
    Cold,
    /// Once where the fixture has a hot run.
    Hot,
    /// Once for each fixture or device.
    Each,
}

impl Side {
    pub fn word(self) -> &'static str {
        match self {
            Self::Cold => "cold",
            Self::Hot => "hot",
            Self::Each => "each",
        }
    }
}

/// What a part is made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PartMaterial {
    /// It does not depend on the pipe.
    None,
    /// The material of the run that feeds it.
    OfTheRun,
    Named(Arc<str>),
}

impl PartMaterial {
    /// As the table says it.
    pub fn word(&self) -> &str {
        match self {
            Self::None => "",
            Self::OfTheRun => OF_THE_RUN,
            Self::Named(name) => name,
        }
    }
}

/// One part of an assembly.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// A fixture or a device kind.
    pub assembly: Arc<str>,
    /// `rough-in`, `trim` or `test`.
    pub phase: Arc<str>,
    pub side: Side,
    /// As in Prices: `stub-out`, `stop valve` ...
    pub kind: Arc<str>,
    pub material: PartMaterial,
    /// `None`: the device's own size.
    pub size: Option<Size>,
    pub quantity: Decimal,
    /// Pipe ends joined to one of it: each takes a ring and the work of a joint. 0 for what is screwed on.
    pub ends: u8,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for Part {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        let material = cells.text("material");
        Some(Self {
            assembly: cells.text("assembly"),
            phase: cells.text("phase"),
            side: match &*cells.text("side") {
                "cold" => Side::Cold,
                "hot" => Side::Hot,
                _ => Side::Each,
            },
            kind: cells.text("kind"),
            material: match &*fold(&material) {
                "" => PartMaterial::None,
                OF_THE_RUN => PartMaterial::OfTheRun,
                _ => PartMaterial::Named(material),
            },
            size: cells.size("size"),
            quantity: cells.number("quantity")?,
            // More than four pipe ends on one part there is not.
            ends: cells.number("ends").and_then(|n| u8::try_from(n).ok()).unwrap_or(0).min(4),
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    /// Every part of every assembly, those with quantity 0 too.
    pub fn assemblies(&self) -> &[Part] {
        &self.assemblies
    }

    /// The parts that go with a fixture (by its own name) or a device kind, in the table's order.
    pub fn assembly<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a Part> {
        self.assemblies.iter().filter(move |p| *p.assembly == *name && !p.quantity.is_zero())
    }
}
