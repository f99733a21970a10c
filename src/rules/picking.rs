//! How a counter picks: the order of things on a supplier's order, and what the trade calls them there.

use super::Rules;
use super::item::matches_kind;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use std::sync::Arc;

pub(super) const PICKING: Spec = Spec {
    name: "picking",
    file: "picking.csv",
    about: "a kind of thing on a supplier's order: its group, in the order a counter picks, and the trade's word for it",
    sheet: None,
    columns: &[
        Column::new("kind", Kind::Text, Role::Key),
        Column::new("group", Kind::Text, Role::Value),
        Column::new("words", Kind::Text, Role::Value),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// Where things stand that no row names.
pub const OTHER_GROUP: &str = "other";
/// The group that is sorted by size first: a counter's bins of fittings are.
pub const BY_SIZE_GROUP: &str = "fittings";

/// One kind of thing as a counter knows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Picking {
    pub kind: Arc<str>,
    pub group: Arc<str>,
    pub words: Arc<str>,
    pub origin: Origin,
}

impl Row for Picking {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            kind: cells.text("kind"),
            group: cells.text("group"),
            words: cells.text("words"),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    pub fn pickings(&self) -> &[Picking] {
        &self.pickings
    }

    /// The row of a kind, and its place in the table.
    pub fn picking(&self, kind: &str) -> Option<(usize, &Picking)> {
        self.pickings.iter().enumerate().find(|(_, row)| matches_kind(&row.kind, kind))
    }

    /// The groups in the order they are picked; [`OTHER_GROUP`] last, whether a row has it or not.
    pub fn picking_groups(&self) -> Vec<&str> {
        let mut groups: Vec<&str> = Vec::new();
        for row in &self.pickings {
            if !groups.contains(&&*row.group) && &*row.group != OTHER_GROUP {
                groups.push(&row.group);
            }
        }
        groups.push(OTHER_GROUP);
        groups
    }
}
