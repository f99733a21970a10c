//! How a counter picks: the order of things on a supplier's order, and what the trade calls them there.

use super::Rules;
use super::declare::rule;
use super::item::matches_kind;
use std::sync::Arc;

/// Where things stand that no row names.
pub const OTHER_GROUP: &str = "other";
/// The group that is sorted by size first: a counter's bins of fittings are.
pub const BY_SIZE_GROUP: &str = "fittings";

/// The group of what holds pipe.
pub const SUPPORTS_GROUP: &str = "supports";

rule! {
    /// A kind of thing on a supplier's order: its group, in the order a counter picks, and the trade's word for it.
    Picking "picking" {
        key kind: Arc<str> = Text;
        /// The heading it stands under.
        value group: Arc<str> = Text;
        /// What the counter calls it.
        value words: Arc<str> = Text;
        remark note: Arc<str> = Text;
    }
}

impl Rules {
    /// The row of a kind, and its place in the table.
    pub fn picking(&self, kind: &str) -> Option<(usize, &Picking)> {
        self.pickings().iter().enumerate().find(|(_, row)| matches_kind(&row.kind, kind))
    }

    /// The groups in the order they are picked; [`OTHER_GROUP`] last, whether a row has it or not.
    pub fn picking_groups(&self) -> Vec<&str> {
        let mut groups: Vec<&str> = Vec::new();
        for row in self.pickings() {
            if !groups.contains(&&*row.group) && &*row.group != OTHER_GROUP {
                groups.push(&row.group);
            }
        }
        groups.push(OTHER_GROUP);
        groups
    }
}
