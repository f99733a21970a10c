//! The demand curves, what outlets need, and water itself.

use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use super::{CodeBasis, Occupancy, Rules};
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

pub(super) const CODES: &[&str] = &["IRC", "IPC", "UPC"];
pub(super) const OCCUPANCIES: &[&str] = &["private", "public"];
pub(super) const CURVES: &[&str] = &["tank", "valve"];
pub(super) const ANY_FIXTURE: &str = "any";
pub(super) const ANY_FLUSH_VALVE: &str = "any flush valve";

pub(super) const NOTE: Column = Column::new("note", Kind::Text, Role::Remark);
pub(super) const CODE: Column = Column::new("code", Kind::Each(CODES), Role::Key).or(&["code basis"]);

pub(super) const DEMAND: Spec = Spec {
    name: "demand",
    file: "demand.csv",
    about: "gpm that so many fixture units are likely to draw, without (tank) or with (valve) a flush valve among them",
    sheet: Some("Demand"),
    columns: &[
        Column::new("curve", Kind::Word(CURVES), Role::Key).or(&["valve"]),
        Column::new("units", Kind::Positive, Role::Key).to(dec!(1000000)).or(&["wsfu", "fixture units"]),
        Column::new("gpm", Kind::Positive, Role::Value).to(dec!(10000)).or(&["demand gpm", "demand"]),
    ],
};

pub(super) const OUTLETS: Spec = Spec {
    name: "outlets",
    file: "outlets.csv",
    about: "flow and flow pressure that an outlet needs; any and any flush valve stand for fixtures without a row",
    sheet: Some("Outlets"),
    columns: &[
        CODE,
        Column::new("occupancy", Kind::Each(&["any", "private", "public"]), Role::Key),
        Column::new("fixture", Kind::Fixture(&[ANY_FIXTURE, ANY_FLUSH_VALVE]), Role::Key).or(&["outlet"]),
        Column::new("gpm", Kind::Positive, Role::Optional).to(dec!(10000)).or(&["flow gpm"]),
        Column::new("psi", Kind::Number, Role::Value).to(dec!(400)).or(&["need psi", "pressure psi"]),
        NOTE,
    ],
};

pub(super) const WATER_PROPERTIES: Spec = Spec {
    name: "water_properties",
    file: "water_properties.csv",
    about: "water at a temperature: pressure of a foot of it, and its kinematic viscosity",
    sheet: Some("Water properties"),
    columns: &[
        Column::new("temperature_f", Kind::Positive, Role::Key).to(dec!(250)),
        Column::new("psi_per_ft", Kind::Positive, Role::Value).to(dec!(1)),
        Column::new("kinematic_viscosity_ft2_s", Kind::Positive, Role::Value).to(dec!(0.001)),
    ],
};

/// Which demand curve a fixture belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Curve {
    /// Flush tanks and all that has no flush valve.
    Tank,
    /// Flush valves; it speaks for a run as soon as one such fixture is downstream.
    Valve,
}

impl Curve {
    pub const ALL: [Self; 2] = [Self::Tank, Self::Valve];

    pub fn word(self) -> &'static str {
        match self {
            Self::Tank => "tank",
            Self::Valve => "valve",
        }
    }

    pub(super) fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.word() == word)
    }
}

/// One row of a demand curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    pub curve: Curve,
    pub units: Decimal,
    pub gpm: Decimal,
    pub origin: Origin,
}

impl Row for Demand {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            curve: Curve::named(&cells.text("curve"))?,
            units: cells.number("units")?,
            gpm: cells.number("gpm")?,
            origin: cells.origin(),
        })
    }
}

/// What an outlet needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlet {
    pub code: CodeBasis,
    /// `None`: either.
    pub occupancy: Option<Occupancy>,
    /// A fixture, `any`, or `any flush valve`.
    pub fixture: Arc<str>,
    /// `None` where the code lists no flow.
    pub gpm: Option<Decimal>,
    /// Flow pressure.
    pub psi: Decimal,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for Outlet {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            code: CodeBasis::named(&cells.text("code"))?,
            occupancy: Occupancy::named(&cells.text("occupancy")),
            fixture: cells.text("fixture"),
            gpm: cells.number("gpm"),
            psi: cells.number("psi")?,
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

/// Water at one temperature, at atmospheric pressure.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterProperty {
    pub temperature_f: Decimal,
    pub psi_per_ft: Decimal,
    pub kinematic_viscosity_ft2_s: Decimal,
    pub origin: Origin,
}

impl Row for WaterProperty {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            temperature_f: cells.number("temperature_f")?,
            psi_per_ft: cells.number("psi_per_ft")?,
            kinematic_viscosity_ft2_s: cells.number("kinematic_viscosity_ft2_s")?,
            origin: cells.origin(),
        })
    }
}

impl Rules {
    /// A demand curve, units ascending.
    pub fn demand(&self, curve: Curve) -> &[Demand] {
        match curve {
            Curve::Tank => &self.demand_tank,
            Curve::Valve => &self.demand_valve,
        }
    }

    /// What an outlet needs: the fixture's own row, else the row for any fixture of its kind. `None` only when the
    /// fixture is unknown.
    pub fn outlet(&self, code: CodeBasis, occupancy: Occupancy, fixture: &str) -> Option<&Outlet> {
        let kind = self.fixture(fixture)?;
        let general = if kind.curve == Curve::Valve { ANY_FLUSH_VALVE } else { ANY_FIXTURE };
        let find = |name: &str, wanted: Option<Occupancy>| {
            self.outlets.iter().find(|o| o.code == code && o.occupancy == wanted && *o.fixture == *name)
        };
        [&*kind.fixture, general].into_iter().find_map(|name| find(name, Some(occupancy)).or_else(|| find(name, None)))
    }

    /// Water by temperature, ascending.
    pub fn water_properties(&self) -> &[WaterProperty] {
        &self.water_properties
    }
}
