//! How much a manifold may carry.

use super::Rules;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use crate::model::Size;
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

pub(super) const MANIFOLD_FLOWS: Spec = Spec {
    name: "manifold_flows",
    file: "manifold_flows.csv",
    about: "the most flow that a manifold of a size may carry, by what its body is made of",
    sheet: None,
    columns: &[
        Column::new("body", Kind::Word(&["plastic", "metal"]), Role::Key),
        Column::new("size", Kind::Size, Role::Key),
        Column::new("gpm", Kind::Positive, Role::Value).to(dec!(10000)),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// The most flow of one size of manifold.
#[derive(Debug, Clone, PartialEq)]
pub struct ManifoldFlow {
    /// `plastic` or `metal`.
    pub body: Arc<str>,
    pub size: Size,
    pub gpm: Decimal,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for ManifoldFlow {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            body: cells.text("body"),
            size: cells.size("size")?,
            gpm: cells.number("gpm")?,
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    pub fn manifold_flows(&self) -> &[ManifoldFlow] {
        &self.manifold_flows
    }

    /// The row of a manifold of this body (`plastic` or `metal`) and size.
    pub fn manifold_flow(&self, body: &str, size: Size) -> Option<&ManifoldFlow> {
        self.manifold_flows.iter().find(|m| *m.body == *body && m.size == size)
    }
}
