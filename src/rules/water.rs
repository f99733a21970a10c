//! The demand curves, and what outlets need.

use super::declare::rule;
use super::listing::page;
use super::{CodeBasis, Occupancy, Rules};
use rust_decimal::Decimal;
use std::sync::Arc;

pub(crate) const CODES: &[&str] = &["IRC", "IPC", "UPC"];
pub(super) const OCCUPANCIES: &[&str] = &["private", "public"];
pub(super) const CURVES: &[&str] = &["tank", "valve"];
pub(super) const ANY_FIXTURE: &str = "any";
pub(super) const ANY_FLUSH_VALVE: &str = "any flush valve";

rule! {
    /// Gpm that so many fixture units are likely to draw, without (tank) or with (valve) a flush valve among them.
    Demand "demand" overridden by "Demand" sorted by |row| (row.curve, row.units) {
        /// With or without a flush valve downstream.
        key curve: Curve = Word(CURVES) also ["valve"];
        /// Water supply fixture units.
        key units: Decimal = Positive to 1000000 also ["wsfu", "fixture units"];
        /// Gallons per minute.
        value gpm: Decimal = Positive to 10000 also ["demand gpm", "demand"];
    }
}

page! {
    DemandCells of Demand {
        units: "Fixture units" FixtureUnits;
        gpm: "Demand" Gpm;
    }
}

rule! {
    /// Flow and flow pressure that an outlet needs; any and any flush valve stand for fixtures without a row.
    Outlet "outlets" overridden by "Outlets" {
        key code: CodeBasis = Each(CODES) also ["code basis"];
        /// `None`: either.
        key occupancy: Option<Occupancy> = Each(&["any", "private", "public"]);
        /// A fixture, `any`, or `any flush valve`.
        key fixture: Arc<str> = Fixture(&[ANY_FIXTURE, ANY_FLUSH_VALVE]) also ["outlet"];
        /// `None` where the code lists no flow.
        optional gpm: Option<Decimal> = Positive to 10000 also ["flow gpm"];
        /// Flow pressure.
        value psi: Decimal = Number to 400 also ["need psi", "pressure psi"];
        remark note: Arc<str> = Text;
    }
}

page! {
    OutletCells of Outlet {
        fixture: "Outlet";
        gpm: "Flow" Gpm;
        psi: "Flow pressure" Psi;
    }
}

/// Which demand curve a fixture belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Curve {
    /// Flush tanks and all that has no flush valve.
    Tank,
    /// Flush valves; it speaks for a run as soon as one such fixture is downstream.
    Valve,
}

impl Curve {
    /// In the tables' order.
    pub const ALL: [Self; 2] = [Self::Tank, Self::Valve];

    /// As the tables have it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Tank => "tank",
            Self::Valve => "valve",
        }
    }

    pub(super) fn from_name(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.word() == word)
    }
}

impl Rules {
    /// A demand curve, units ascending.
    pub fn demand(&self, curve: Curve) -> &[Demand] {
        // Sorted by curve, then units.
        let (tank, valve) = self.demand_rows().split_at(self.demand_rows().partition_point(|d| d.curve == Curve::Tank));
        match curve {
            Curve::Tank => tank,
            Curve::Valve => valve,
        }
    }

    /// What an outlet needs: the fixture's own row, else the row for any fixture of its kind. `None` only when the
    /// fixture is unknown.
    pub fn outlet(&self, code: CodeBasis, occupancy: Occupancy, fixture: &str) -> Option<&Outlet> {
        let kind = self.fixture(fixture)?;
        let general = if kind.curve == Curve::Valve { ANY_FLUSH_VALVE } else { ANY_FIXTURE };
        let find = |name: &str, wanted: Option<Occupancy>| {
            self.outlets().iter().find(|o| o.code == code && o.occupancy == wanted && *o.fixture == *name)
        };
        [&*kind.fixture, general].into_iter().find_map(|name| find(name, Some(occupancy)).or_else(|| find(name, None)))
    }
}
