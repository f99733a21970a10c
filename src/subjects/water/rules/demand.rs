//! The demand curves: how much water so many fixture units are likely to draw.

use crate::finding::Finding;
use crate::rules::findings::BadRuleRow;
use crate::rules::{CURVES, Curve, ReadFrom, Row, Rules, page, rule};
use rust_decimal::Decimal;

rule! {
    /// Gpm that so many fixture units are likely to draw, without (tank) or with (valve) a flush valve among them.
    Demand "demand" overridden by "Demand" sorted by |row| (row.curve, row.units) checked by rising {
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

/// A curve that falls, or stands still, is none: the row that breaks it is told.
fn rising(rows: &[Demand], findings: &mut Vec<Finding>) {
    for pair in rows.windows(2) {
        let [below, above] = pair else { continue };
        if below.curve != above.curve || above.gpm > below.gpm {
            continue;
        }
        // The user's row is to blame where only one of the two is theirs.
        let row = if above.origin.is_users() || !below.origin.is_users() { above } else { below };
        let expected = format!(
            "gpm that rises with the units: {} units draw {} gpm, {} units {} gpm",
            below.units, below.gpm, above.units, above.gpm
        );
        let (place, at) = match &row.origin.read_from {
            ReadFrom::Sheet(place) => (Some(place.clone()), String::new()),
            other => (None, other.to_string()),
        };
        let (table, column) = (Demand::SPEC.name, "Gpm".to_owned());
        let facts = BadRuleRow { table, row: at, column, found: row.gpm.to_string(), expected };
        findings.push(Finding::near(place.as_ref(), facts));
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
}
