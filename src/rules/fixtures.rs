//! Fixtures, their everyday names, their units by each code, and groups of them.

use super::cell::words;
use super::declare::rule;
use super::listing::page;
use super::water::{CODES, CURVES, Curve, OCCUPANCIES};
use super::{CodeBasis, Occupancy, Rules};
use crate::model::{Size, fold};
use rust_decimal::Decimal;
use std::collections::BTreeSet;
use std::sync::Arc;

/// Fixture groups that a code may give a value of their own.
pub const GROUPS: &[&str] = &["full bath", "half bath", "kitchen", "laundry"];

rule! {
    /// A fixture: the sides it draws from, its connection size, the demand curve it belongs to.
    FixtureKind "fixtures" {
        key fixture: Arc<str> = Text;
        value sides: Sides = Word(&["cold", "hot", "both"]);
        /// Nominal size of its supply; both sides alike.
        value connection ("connection_size"): Size = Size;
        value curve ("valve"): Curve = Word(CURVES);
    }
}

rule! {
    /// An everyday name of a fixture.
    FixtureAlias "fixture_aliases" {
        key alias: Arc<str> = Text;
        value fixture: Arc<str> = Fixture(&[]);
    }
}

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

rule! {
    /// Fixture units of a group of fixtures, in place of the sum of its members.
    FixtureGroup "fixture_groups" overridden by "Group units" {
        key code: CodeBasis = Each(CODES) also ["code basis"];
        key occupancy: Occupancy = Each(OCCUPANCIES);
        key group: Arc<str> = Word(GROUPS);
        /// What must be there: each a fixture, or several of which one is enough.
        key members: Vec<Vec<Arc<str>>> = Members;
        /// On a hot run.
        value hot: Decimal = Number to 1000;
        /// On a cold run.
        value cold: Decimal = Number to 1000;
        /// On a run that feeds both.
        value combined: Decimal = Number to 1000;
        remark note: Arc<str> = Text;
    }
}

page! {
    GroupCells of FixtureGroup {
        group: "Group";
        hot: "Hot" FixtureUnits;
        cold: "Cold" FixtureUnits;
        combined: "Both sides" FixtureUnits;
        names: "Members" = |row| row.members.iter().map(|slot| slot.join(" or ")).collect::<Vec<_>>().join(", ");
    }
}

/// The sides that a fixture draws from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// Cold alone.
    Cold,
    /// Hot alone.
    Hot,
    /// Hot and cold.
    Both,
}

words! { Sides: Sides::from_name, Sides::word; }

impl Sides {
    const ALL: [Self; 3] = [Self::Cold, Self::Hot, Self::Both];

    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Cold => "cold",
            Self::Hot => "hot",
            Self::Both => "both",
        }
    }

    pub(super) fn from_name(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|sides| sides.word() == word)
    }
}

impl FixtureGroup {
    /// Which of these fixtures make the group, one for each member; `None` when a member is missing. The others of
    /// the list are on their own.
    pub fn pick(&self, fixtures: &[&str]) -> Option<Vec<usize>> {
        let mut picked: Vec<usize> = Vec::with_capacity(self.members.len());
        for slot in &self.members {
            let fits = |(i, name): &(usize, &&str)| !picked.contains(i) && slot.iter().any(|s| **s == ***name);
            let (found, _) = fixtures.iter().enumerate().find(fits)?;
            picked.push(found);
        }
        Some(picked)
    }
}

/// Splits a Group cell such as `full bath A` into the group's name and the label after it. `None` when it begins with
/// no group's name.
pub fn split_group(text: &str) -> Option<(&'static str, &str)> {
    let text = text.trim();
    for (end, _) in text.char_indices().skip(1).chain([(text.len(), ' ')]) {
        let (head, rest) = text.split_at(end);
        let ends_a_word = rest.chars().next().is_none_or(|c| !c.is_alphanumeric());
        if ends_a_word && let Some(group) = GROUPS.iter().find(|g| fold(g) == fold(head)) {
            return Some((group, rest.trim()));
        }
    }
    None
}

impl Rules {
    /// The code tables' name of a fixture, from that or an everyday name.
    pub fn canonical_fixture(&self, name: &str) -> Option<&str> {
        self.names.fixture(name).map(|n| &**n)
    }

    /// The kind of this name or everyday name.
    pub fn fixture(&self, name: &str) -> Option<&FixtureKind> {
        let name = self.names.fixture(name)?;
        self.fixtures().iter().find(|f| f.fixture == *name)
    }

    /// Units of a fixture; `None` where the code has no value for it.
    pub fn fixture_units(&self, code: CodeBasis, occupancy: Occupancy, fixture: &str) -> Option<&FixtureUnits> {
        let name = self.names.fixture(fixture)?;
        self.unit_rows().iter().find(|u| u.code == code && u.occupancy == occupancy && u.fixture == *name)
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

    /// The code's values for a group (one of [`GROUPS`]): several where it depends on the members, none where the code
    /// has none.
    pub fn fixture_groups<'a>(
        &'a self,
        code: CodeBasis,
        occupancy: Occupancy,
        group: &'a str,
    ) -> impl Iterator<Item = &'a FixtureGroup> {
        let of = move |g: &&FixtureGroup| g.code == code && g.occupancy == occupancy && *g.group == *group;
        self.group_rows().iter().filter(of)
    }
}
