//! Fixtures, their everyday names, their units by each code, and groups of them.

use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use super::water::{CODE, CURVES, Curve, NOTE, OCCUPANCIES};
use super::{CodeBasis, Occupancy, Rules};
use crate::model::{Size, fold};
use rust_decimal::{Decimal, dec};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Fixture groups that a code may give a value of their own.
pub const GROUPS: &[&str] = &["full bath", "half bath", "kitchen", "laundry"];

pub(super) const FIXTURES: Spec = Spec {
    name: "fixtures",
    file: "fixtures.csv",
    about: "a fixture: the sides it draws from, its connection size, the demand curve it belongs to",
    sheet: None,
    columns: &[
        Column::new("fixture", Kind::Text, Role::Key),
        Column::new("sides", Kind::Word(&["cold", "hot", "both"]), Role::Value),
        Column::new("connection_size", Kind::Size, Role::Value),
        Column::new("valve", Kind::Word(CURVES), Role::Value),
    ],
};

pub(super) const FIXTURE_ALIASES: Spec = Spec {
    name: "fixture_aliases",
    file: "fixture_aliases.csv",
    about: "an everyday name of a fixture",
    sheet: None,
    columns: &[Column::new("alias", Kind::Text, Role::Key), Column::new("fixture", Kind::Fixture(&[]), Role::Value)],
};

pub(super) const FIXTURE_UNITS: Spec = Spec {
    name: "fixture_units",
    file: "fixture_units.csv",
    about: "water supply fixture units of a fixture: hot, cold, and both together; additional: each one after the first",
    sheet: Some("Units"),
    columns: &[
        CODE,
        Column::new("occupancy", Kind::Each(OCCUPANCIES), Role::Key),
        Column::new("fixture", Kind::Fixture(&[]), Role::Key),
        Column::new("hot", Kind::Number, Role::Value).to(dec!(1000)).or(&["hot units", "hot wsfu"]),
        Column::new("cold", Kind::Number, Role::Value).to(dec!(1000)).or(&["cold units", "cold wsfu"]),
        Column::new("combined", Kind::Number, Role::Value).to(dec!(1000)).or(&[
            "total",
            "units",
            "combined units",
            "wsfu",
        ]),
        Column::new("additional", Kind::Number, Role::Optional).to(dec!(1000)).or(&["each additional"]),
        Column::new("valve", Kind::Word(CURVES), Role::Optional).or(&["curve"]),
        NOTE,
    ],
};

pub(super) const FIXTURE_GROUPS: Spec = Spec {
    name: "fixture_groups",
    file: "fixture_groups.csv",
    about: "fixture units of a group of fixtures, in place of the sum of its members",
    sheet: Some("Group units"),
    columns: &[
        CODE,
        Column::new("occupancy", Kind::Each(OCCUPANCIES), Role::Key),
        Column::new("group", Kind::Word(GROUPS), Role::Key),
        Column::new("members", Kind::Members, Role::Key),
        Column::new("hot", Kind::Number, Role::Value).to(dec!(1000)),
        Column::new("cold", Kind::Number, Role::Value).to(dec!(1000)),
        Column::new("combined", Kind::Number, Role::Value).to(dec!(1000)),
        NOTE,
    ],
};

/// A kind of fixture.
#[derive(Debug, Clone, PartialEq)]
pub struct FixtureKind {
    pub fixture: Arc<str>,
    pub draws_hot: bool,
    pub draws_cold: bool,
    /// Nominal size of its supply; both sides alike.
    pub connection: Size,
    pub curve: Curve,
    pub origin: Origin,
}

impl Row for FixtureKind {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        let sides = cells.text("sides");
        Some(Self {
            fixture: cells.text("fixture"),
            draws_hot: &*sides != "cold",
            draws_cold: &*sides != "hot",
            connection: cells.size("connection_size")?,
            curve: Curve::named(&cells.text("valve"))?,
            origin: cells.origin(),
        })
    }
}

/// Water supply fixture units of one fixture by one code.
#[derive(Debug, Clone, PartialEq)]
pub struct FixtureUnits {
    pub code: CodeBasis,
    pub occupancy: Occupancy,
    pub fixture: Arc<str>,
    pub hot: Decimal,
    pub cold: Decimal,
    /// On a run that feeds both of its sides.
    pub combined: Decimal,
    /// Combined value of each one after the first on a run; equal to `combined` where the code makes no difference.
    pub additional: Decimal,
    /// `None`: the curve of the fixture's kind.
    pub curve: Option<Curve>,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for FixtureUnits {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        let combined = cells.number("combined")?;
        Some(Self {
            code: CodeBasis::named(&cells.text("code"))?,
            occupancy: Occupancy::named(&cells.text("occupancy"))?,
            fixture: cells.text("fixture"),
            hot: cells.number("hot")?,
            cold: cells.number("cold")?,
            combined,
            additional: cells.number("additional").unwrap_or(combined),
            curve: Curve::named(&cells.text("valve")),
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

/// Fixture units of a group.
#[derive(Debug, Clone, PartialEq)]
pub struct FixtureGroup {
    pub code: CodeBasis,
    pub occupancy: Occupancy,
    /// One of [`GROUPS`].
    pub group: Arc<str>,
    /// What must be there: each a fixture, or several of which one is enough.
    pub members: Vec<Vec<Arc<str>>>,
    pub hot: Decimal,
    pub cold: Decimal,
    pub combined: Decimal,
    pub note: Arc<str>,
    pub origin: Origin,
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

impl Row for FixtureGroup {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        let members = cells.text("members");
        Some(Self {
            code: CodeBasis::named(&cells.text("code"))?,
            occupancy: Occupancy::named(&cells.text("occupancy"))?,
            group: cells.text("group"),
            members: members.split(';').map(|slot| slot.split('/').map(Arc::from).collect()).collect(),
            hot: cells.number("hot")?,
            cold: cells.number("cold")?,
            combined: cells.number("combined")?,
            note: cells.text("note"),
            origin: cells.origin(),
        })
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

    /// Every fixture the tables know, `other` last.
    pub fn fixtures(&self) -> &[FixtureKind] {
        &self.fixtures
    }

    /// The kind of this name or everyday name.
    pub fn fixture(&self, name: &str) -> Option<&FixtureKind> {
        let name = self.names.fixture(name)?;
        self.fixtures.iter().find(|f| f.fixture == *name)
    }

    /// Units of a fixture; `None` where the code has no value for it.
    pub fn fixture_units(&self, code: CodeBasis, occupancy: Occupancy, fixture: &str) -> Option<&FixtureUnits> {
        let name = self.names.fixture(fixture)?;
        self.fixture_units.iter().find(|u| u.code == code && u.occupancy == occupancy && u.fixture == *name)
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
        let of_code = self.fixture_units.iter().filter(|u| u.code == code && !u.origin.is_users());
        let edition = |u: &FixtureUnits| {
            let mut words = u.origin.source.split_whitespace().skip_while(|word| *word != code.name());
            words.nth(1).and_then(|year| year.parse().ok())
        };
        of_code.filter_map(edition).collect()
    }

    /// Every row of the code and occupancy.
    pub fn all_fixture_units(&self, code: CodeBasis, occupancy: Occupancy) -> impl Iterator<Item = &FixtureUnits> {
        self.fixture_units.iter().filter(move |u| u.code == code && u.occupancy == occupancy)
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
        self.fixture_groups.iter().filter(of)
    }
}
