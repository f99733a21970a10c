//! Pipe: materials, their everyday names, and the dimensions of each size.

use super::Rules;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use crate::model::Size;
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

/// In `fittings`: the job's Fittings setting says which fittings are used.
const BY_SETTING: &str = "by setting";

pub(super) const MATERIALS: Spec = Spec {
    name: "materials",
    file: "materials.csv",
    about: "a pipe material: Hazen-Williams C, wall roughness, the fittings it is joined with",
    sheet: None,
    columns: &[
        Column::new("material", Kind::Text, Role::Key),
        Column::new("c", Kind::Positive, Role::Value).to(dec!(200)),
        Column::new("roughness_in", Kind::Positive, Role::Value).to(dec!(1)),
        Column::new("system", Kind::Word(&["tubing", "rigid"]), Role::Value),
        Column::new("fittings", Kind::Text, Role::Value),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

pub(super) const MATERIAL_ALIASES: Spec = Spec {
    name: "material_aliases",
    file: "material_aliases.csv",
    about: "an everyday name of a pipe material",
    sheet: None,
    columns: &[Column::new("alias", Kind::Text, Role::Key), Column::new("material", Kind::Material, Role::Value)],
};

pub(super) const PIPE: Spec = Spec {
    name: "pipe",
    file: "pipe.csv",
    about: "dimensions of one size of pipe; c only where it differs from the material's",
    sheet: Some("Pipe"),
    columns: &[
        Column::new("material", Kind::Material, Role::Key),
        Column::new("size", Kind::Size, Role::Key),
        Column::new("outside_diameter_in", Kind::Positive, Role::Optional).to(dec!(60)).or(&[
            "od",
            "od in",
            "outside diameter",
        ]),
        Column::new("wall_in", Kind::Positive, Role::Optional).to(dec!(10)).or(&["wall"]),
        Column::new("inside_diameter_in", Kind::Positive, Role::Value).to(dec!(60)).or(&[
            "id",
            "id in",
            "bore",
            "bore in",
            "inside diameter",
        ]),
        Column::new("c", Kind::Positive, Role::Optional).to(dec!(200)).or(&["Hazen-Williams C", "C value"]),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// How pipe of a material comes and bends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum System {
    /// Bends by hand; comes in coils too.
    Tubing,
    /// Every turn is a fitting.
    Rigid,
}

/// A pipe material.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    pub material: Arc<str>,
    /// Hazen-Williams coefficient.
    pub c: Decimal,
    /// Absolute roughness of the wall, in.
    pub roughness_in: Decimal,
    pub system: System,
    /// A system of the fitting lengths, or `by setting`; see [`Rules::fitting_system`].
    pub fittings: Arc<str>,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for Material {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            material: cells.text("material"),
            c: cells.number("c")?,
            roughness_in: cells.number("roughness_in")?,
            system: if &*cells.text("system") == "tubing" { System::Tubing } else { System::Rigid },
            fittings: cells.text("fittings"),
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

/// One size of pipe of one material.
#[derive(Debug, Clone, PartialEq)]
pub struct Pipe {
    pub material: Arc<str>,
    pub size: Size,
    /// Outside diameter, in; `None` where the standard fixes the bore instead.
    pub od_in: Option<Decimal>,
    /// The wall that the bore is reckoned with, in.
    pub wall_in: Option<Decimal>,
    /// Inside diameter, in; the note says how it is reckoned.
    pub id_in: Decimal,
    /// Hazen-Williams coefficient: the size's own, else the material's.
    pub c: Decimal,
    /// Absolute roughness of the wall, in; the material's.
    pub roughness_in: Decimal,
    pub system: System,
    pub note: Arc<str>,
    /// Where the dimensions come from (and `c`, when the user gave one).
    pub origin: Origin,
    /// Where roughness and, unless the row has its own, `c` come from.
    pub friction_origin: Origin,
}

impl Pipe {
    /// The key that formulas look up: `PEX 3/4"`.
    pub fn key(&self) -> String {
        format!("{} {}", self.material, self.size.key())
    }
}

/// Makes a pipe of a row and its material.
pub(super) fn pipe_of(cells: &Cells<'_>, materials: &[Material]) -> Option<Pipe> {
    let name = cells.text("material");
    let material = materials.iter().find(|m| m.material == name)?;
    Some(Pipe {
        material: material.material.clone(),
        size: cells.size("size")?,
        od_in: cells.number("outside_diameter_in"),
        wall_in: cells.number("wall_in"),
        id_in: cells.number("inside_diameter_in")?,
        c: cells.number("c").unwrap_or(material.c),
        roughness_in: material.roughness_in,
        system: material.system,
        note: cells.text("note"),
        origin: cells.origin(),
        friction_origin: material.origin.clone(),
    })
}

impl Rules {
    /// The program's name of a material, from that or an everyday name.
    pub fn canonical_material(&self, name: &str) -> Option<&str> {
        self.names.material(name).map(|n| &**n)
    }

    pub fn materials(&self) -> &[Material] {
        &self.materials
    }

    /// The material of this name or everyday name.
    pub fn material(&self, name: &str) -> Option<&Material> {
        let exact = self.materials.iter().find(|m| *m.material == *name);
        exact.or_else(|| {
            let name = self.names.material(name)?;
            self.materials.iter().find(|m| m.material == *name)
        })
    }

    /// Every size of every material, sizes ascending within a material.
    pub fn pipes(&self) -> &[Pipe] {
        &self.pipes
    }

    /// Sizes of a material, ascending; empty when it is unknown.
    pub fn pipes_of(&self, material: &str) -> &[Pipe] {
        let Some(material) = self.material(material) else { return &[] };
        let start = self.pipes.iter().position(|p| p.material == material.material).unwrap_or(0);
        let count = self.pipes.iter().skip(start).take_while(|p| p.material == material.material).count();
        self.pipes.get(start..start + count).unwrap_or_default()
    }

    /// One size of a material; `None` when the material does not come in it.
    pub fn pipe(&self, material: &str, size: Size) -> Option<&Pipe> {
        self.pipes_of(material).iter().find(|p| p.size == size)
    }

    /// The fitting system a material is joined with; `setting` is the job's Fittings.
    pub fn fitting_system<'a>(&'a self, material: &str, setting: &'a str) -> Option<&'a str> {
        let fittings = &*self.material(material)?.fittings;
        Some(if fittings == BY_SETTING { setting } else { fittings })
    }
}
