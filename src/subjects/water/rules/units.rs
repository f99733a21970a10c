//! Water supply fixture units, by code, use and fixture.

use crate::model::CODES;
use crate::rules::{CURVES, CodeBasis, Curve, OCCUPANCIES, Occupancy, Rules, page, rule};
use rust_decimal::Decimal;
use std::collections::BTreeSet;
use std::sync::Arc;

rule! {
    /// Water supply fixture units of a fixture: hot, cold, and both together; additional: each one after the first.
    FixtureUnits "fixture_units" overridden by "Units" {
        key code: CodeBasis = Each(CODES) also ["code basis"];
        key occupancy: Occupancy = Each(OCCUPANCIES);
        key fixture: Arc<str> = Fixture(&[]);
        /// Of its hot side alone.
        value hot: Decimal = Number to 1000 also ["hot units", "hot wsfu"];
        /// Of its cold side alone.
        value cold: Decimal = Number to 1000 also ["cold units", "cold wsfu"];
        /// On a run that feeds both of its sides.
        value combined: Decimal = Number to 1000 also ["total", "units", "combined units", "wsfu"];
        /// Combined value of each one after the first on a run; blank where the code makes no difference.
        optional additional: Decimal = Number to 1000 also ["each additional"] or combined;
        /// `None`: the curve of the fixture's kind.
        optional curve ("valve"): Option<Curve> = Word(CURVES) also ["curve"];
        remark note: Arc<str> = Text;
    }
}

page! {
    UnitCells of FixtureUnits {
        fixture: "Fixture";
        hot: "Hot" FixtureUnits;
        cold: "Cold" FixtureUnits;
        combined: "Both sides" FixtureUnits;
        additional: "Each additional" FixtureUnits;
    }
}

impl Rules {
    /// Units of a fixture; `None` where the code has no value for it.
    pub fn fixture_units(&self, code: CodeBasis, occupancy: Occupancy, fixture: &str) -> Option<&FixtureUnits> {
        let name = self.canonical_fixture(fixture)?;
        self.unit_rows().iter().find(|u| u.code == code && u.occupancy == occupancy && *u.fixture == *name)
    }

    /// Units of a fixture by the code or, where it has no row for it, by the nearest that has: another code for the same
    /// use, then the code itself for the other use, then any code for it.
    pub fn units_or_lent(&self, code: CodeBasis, occupancy: Occupancy, fixture: &str) -> Option<&FixtureUnits> {
        let other_use = match occupancy {
            Occupancy::Private => Occupancy::Public,
            Occupancy::Public => Occupancy::Private,
        };
        let same_use = code.and_kin().map(|code| (code, occupancy));
        let ways = same_use.into_iter().chain(code.and_kin().map(|code| (code, other_use)));
        ways.into_iter().find_map(|(code, occupancy)| self.fixture_units(code, occupancy, fixture))
    }

    /// The editions of the code that its fixture units are of, as their sources say.
    pub fn editions(&self, code: CodeBasis) -> BTreeSet<u16> {
        let of_code = self.unit_rows().iter().filter(|u| u.code == code && !u.origin.is_users());
        let edition = |u: &FixtureUnits| {
            let mut words = u.origin.source.split_whitespace().skip_while(|word| *word != code.name());
            words.nth(1).and_then(|year| year.parse().ok())
        };
        of_code.filter_map(edition).collect()
    }

    /// Every row of the code and occupancy.
    pub fn all_fixture_units(&self, code: CodeBasis, occupancy: Occupancy) -> impl Iterator<Item = &FixtureUnits> {
        self.unit_rows().iter().filter(move |u| u.code == code && u.occupancy == occupancy)
    }
}
