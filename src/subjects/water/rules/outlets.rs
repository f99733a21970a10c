//! What outlets need: flow, and pressure while it flows.

use crate::model::CODES;
use crate::rules::{CodeBasis, Curve, Occupancy, Rules, page, rule};
use rust_decimal::Decimal;
use std::sync::Arc;

const ANY_FIXTURE: &str = "any";
const ANY_FLUSH_VALVE: &str = "any flush valve";

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

impl Rules {
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
