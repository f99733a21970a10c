//! How hot water may be where people wash in it, and the valve that keeps it so.

use crate::model::CODES;
use crate::rules::{CodeBasis, Occupancy, Rules, page, rule};
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// The hottest water that the code allows at a fixture, and the valve that must limit it; the row of the latest edition
    /// not after the job's holds.
    TemperedWater "tempered_water" overridden by "Tempered water" {
        key code: CodeBasis = Each(CODES) also ["code basis"];
        /// `None`: either.
        key occupancy: Option<Occupancy> = Each(&["any", "private", "public"]);
        key fixture: Arc<str> = Fixture(&[]);
        /// The first edition of the code that it holds for; `None`: from the beginning.
        key_or_blank from_edition: Option<u16> = Number to 2100 also ["edition"];
        value fahrenheit: Decimal = Positive to 212 also ["F", "hottest F"];
        /// As in the assemblies. Where it is not among the fixture's parts, something is missing.
        value valve: Arc<str> = Part;
        /// That the valve is listed to.
        value standard: Arc<str> = Text;
        remark note: Arc<str> = Text;
    }
}

page! {
    TemperedCells of TemperedWater {
        fixture: "Fixture";
        fahrenheit: "Hottest" Fahrenheit;
        by: "By a" = |row| format!("{}, {}", row.valve, row.standard);
    }
}

impl Rules {
    /// What the code says of a fixture; `None` where it says nothing.
    pub fn tempered_water(&self, code: CodeBasis, occupancy: Occupancy, fixture: &str) -> Option<&TemperedWater> {
        let find = |wanted: Option<Occupancy>| {
            let of = |row: &&TemperedWater| row.code == code && row.occupancy == wanted && *row.fixture == *fixture;
            let rows = self.tempered_rows().iter().filter(of).filter(|row| self.edition_reaches(row.from_edition));
            rows.max_by_key(|row| (row.origin.is_users(), row.from_edition))
        };
        find(Some(occupancy)).or_else(|| find(None))
    }
}
