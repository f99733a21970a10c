//! Fixtures and their everyday names.

use super::Rules;
use super::declare::rule;
use crate::folding::worded;
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

worded! {
    /// Which demand curve a fixture belongs to.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Curve {
        /// Flush tanks and all that has no flush valve.
        Tank = "tank",
        /// Flush valves; it speaks for a run as soon as one such fixture is downstream.
        Valve = "valve",
    }
}

worded! {
    /// The sides that a fixture draws from.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Sides {
        /// Cold alone.
        Cold = "cold",
        /// Hot alone.
        Hot = "hot",
        /// Hot and cold.
        Both = "both",
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
