//! Sleeves for pipe that passes through a foundation or a floor.

use super::Rules;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use crate::model::Size;
use std::sync::Arc;

pub(super) const SLEEVES: Spec = Spec {
    name: "sleeves",
    file: "sleeves.csv",
    about: "the sleeve that pipe of a size passes through a foundation wall or a slab in",
    sheet: None,
    columns: &[
        Column::new("pipe_size", Kind::Size, Role::Key),
        Column::new("sleeve_size", Kind::Size, Role::Value),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// The sleeve of one size of pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct Sleeve {
    pub pipe: Size,
    pub sleeve: Size,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for Sleeve {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            pipe: cells.size("pipe_size")?,
            sleeve: cells.size("sleeve_size")?,
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    pub fn sleeves(&self) -> &[Sleeve] {
        &self.sleeves
    }

    /// Size of the sleeve; `None` where the table has none for this size.
    pub fn sleeve(&self, pipe: Size) -> Option<Size> {
        self.sleeves.iter().find(|s| s.pipe == pipe).map(|s| s.sleeve)
    }
}
