//! Fixtures and their everyday names.

use super::Rules;
use super::cell::words;
use super::declare::rule;
use crate::model::Size;
use std::sync::Arc;

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

pub(crate) const CURVES: &[&str] = &["tank", "valve"];

/// Which demand curve a fixture belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Curve {
    /// Flush tanks and all that has no flush valve.
    Tank,
    /// Flush valves; it speaks for a run as soon as one such fixture is downstream.
    Valve,
}

words! { Curve: Curve::from_name, Curve::word; }

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

    pub(crate) fn from_name(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.word() == word)
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
}
