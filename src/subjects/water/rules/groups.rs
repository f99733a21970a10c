//! Groups of fixtures that a code gives a value of their own.

use crate::model::{CODES, fold};
use crate::rules::{CodeBasis, OCCUPANCIES, Occupancy, Rules, page, rule};
use rust_decimal::Decimal;
use std::sync::Arc;

/// Fixture groups that a code may give a value of their own.
pub const GROUPS: &[&str] = &["full bath", "half bath", "kitchen", "laundry"];

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
