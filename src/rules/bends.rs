//! What turns pipe at a bend: an elbow, a bend support, or nothing.

use super::Rules;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use crate::model::Size;
use crate::model::columns::FORM;
use std::sync::Arc;

/// What a bend may take, as the take-off names it.
pub const ELBOW: &str = "elbow";
pub const BEND_SUPPORT: &str = "bend support";
/// The pipe is laid in a sweep.
pub const NOTHING: &str = "none";

pub(super) const BENDS: Spec = Spec {
    name: "bends",
    file: "bends.csv",
    about: "what a bend takes in pipe of this form up to a size (blank: of every larger size); other pipe takes elbows",
    sheet: None,
    columns: &[
        Column::new("material", Kind::Material, Role::Key),
        Column::new("form", Kind::Word(FORM), Role::Key),
        Column::new("up_to_size", Kind::Size, Role::KeyOrBlank),
        Column::new("part", Kind::Word(&[ELBOW, BEND_SUPPORT, NOTHING]), Role::Value),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// What a bend takes in one material and form.
#[derive(Debug, Clone, PartialEq)]
pub struct Bend {
    pub material: Arc<str>,
    /// `auto`, `stick` or `coil`.
    pub form: Arc<str>,
    /// `None`: every larger size.
    pub up_to: Option<Size>,
    /// [`ELBOW`], [`BEND_SUPPORT`] or [`NOTHING`].
    pub part: Arc<str>,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for Bend {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            material: cells.text("material"),
            form: cells.text("form"),
            up_to: cells.size("up_to_size"),
            part: cells.text("part"),
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    pub fn bends(&self) -> &[Bend] {
        &self.bends
    }

    /// The row that holds for pipe of this form and size; `None` where no row does: such pipe takes elbows.
    pub fn bend(&self, material: &str, form: &str, size: Size) -> Option<&Bend> {
        let of = self.bends.iter().filter(|b| *b.material == *material && *b.form == *form);
        // A blank size holds for every size: it comes last.
        of.filter(|b| b.up_to.is_none_or(|up| up >= size)).min_by_key(|b| b.up_to.map_or(u16::MAX, Size::sixteenths))
    }

    /// What a bend takes: see [`Rules::bend`].
    pub fn bend_part(&self, material: &str, form: &str, size: Size) -> &str {
        self.bend(material, form, size).map_or(ELBOW, |bend| &bend.part)
    }
}
