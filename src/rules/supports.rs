//! How far apart pipe is held.

use super::Rules;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use crate::model::Size;
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

pub(super) const SUPPORTS: Spec = Spec {
    name: "supports",
    file: "supports.csv",
    about: "greatest distance between supports of pipe up to a size (blank: of every larger size), and how many guides a riser has between two of them",
    sheet: None,
    columns: &[
        Column::new("material", Kind::Material, Role::Key),
        Column::new("up_to_size", Kind::Size, Role::KeyOrBlank),
        Column::new("horizontal_ft", Kind::Positive, Role::Value).to(dec!(100)),
        Column::new("vertical_ft", Kind::Positive, Role::Value).to(dec!(100)),
        Column::new("guides", Kind::Number, Role::Value).to(dec!(100)),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// Greatest distance between the supports of one material.
#[derive(Debug, Clone, PartialEq)]
pub struct Support {
    pub material: Arc<str>,
    /// `None`: every larger size.
    pub up_to: Option<Size>,
    pub horizontal_ft: Decimal,
    pub vertical_ft: Decimal,
    /// Guides between two supports of a riser.
    pub guides: Decimal,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for Support {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            material: cells.text("material"),
            up_to: cells.size("up_to_size"),
            horizontal_ft: cells.number("horizontal_ft")?,
            vertical_ft: cells.number("vertical_ft")?,
            guides: cells.number("guides")?,
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    pub fn supports(&self) -> &[Support] {
        &self.supports
    }

    /// The row that holds for this size: of the smallest size that is not under it.
    pub fn support(&self, material: &str, size: Size) -> Option<&Support> {
        let material = &*self.material(material)?.material;
        let of = self.supports.iter().filter(|s| *s.material == *material && s.up_to.is_none_or(|up| up >= size));
        // A blank size holds for every size: it comes last.
        of.min_by_key(|s| s.up_to.map_or(u16::MAX, Size::sixteenths))
    }
}
