//! What is bought beyond the need, because some of it gets lost or spoilt.

use super::Rules;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use crate::model::fold;
use rust_decimal::Decimal;
use std::sync::Arc;

pub(super) const SPARES: Spec = Spec {
    name: "spares",
    file: "spares.csv",
    about: "share of a kind of part that is bought beyond the need; of kinds not listed none",
    sheet: Some("Spares"),
    columns: &[
        Column::new("kind", Kind::Text, Role::Key),
        Column::new("share", Kind::Share, Role::Value),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// The spares of one kind of part.
#[derive(Debug, Clone, PartialEq)]
pub struct Spare {
    pub kind: Arc<str>,
    /// 0.05 is one in twenty.
    pub share: Decimal,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for Spare {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            kind: cells.text("kind"),
            share: cells.number("share")?,
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    pub fn spares(&self) -> &[Spare] {
        &self.spares
    }

    /// The spares of this kind of part, if any are wanted.
    pub fn spare(&self, kind: &str) -> Option<&Spare> {
        self.spares.iter().find(|spare| fold(&spare.kind) == fold(kind))
    }
}
