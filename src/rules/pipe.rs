//! Pipe: materials, their everyday names, and the dimensions of each size.

use super::Rules;
use super::cell::CellValue;
use super::declare::{Row, rule};
use super::listing::{Ruled, page};
use super::origin::Origin;
use super::table::Spec;
use crate::folding::worded;
use crate::model::Size;
use rust_decimal::Decimal;
use std::sync::Arc;

/// In `fittings`: the job's Fittings setting says which fittings are used.
const BY_SETTING: &str = "by setting";

rule! {
    /// A pipe material: Hazen-Williams C, wall roughness, the fittings it is joined with.
    Material "materials" {
        key material: Arc<str> = Text;
        /// Hazen-Williams coefficient.
        value c: Decimal = Positive to 200;
        /// Absolute roughness of the wall, in.
        value roughness_in: Decimal = Positive to 1;
        /// Bent by hand, or a fitting at every turn.
        value system: System = Word(&["tubing", "rigid"]);
        /// A system of the fitting lengths, or `by setting`; see [`Rules::fitting_system`].
        value fittings: Arc<str> = Text;
        /// The tables that list it for the water service and not for water distribution; blank where it may be both.
        optional service_only_by: Arc<str> = Text;
        remark note: Arc<str> = Text;
    }
}

rule! {
    /// An everyday name of a pipe material.
    MaterialAlias "material_aliases" {
        key alias: Arc<str> = Text;
        value material: Arc<str> = Material;
        /// Another material that the name is used of.
        optional also_means: Arc<str> = Text;
    }
}

rule! {
    /// Dimensions of one size of pipe; c only where it differs from the material's.
    PipeSize "pipe" overridden by "Pipe" {
        key material: Arc<str> = Material;
        key size: Size = Size;
        optional od_in ("outside_diameter_in"): Option<Decimal> = Positive to 60 also ["od", "od in", "outside diameter"];
        optional wall_in: Option<Decimal> = Positive to 10 also ["wall"];
        value id_in ("inside_diameter_in"): Decimal = Positive to 60
            also ["id", "id in", "bore", "bore in", "inside diameter"];
        optional c: Option<Decimal> = Positive to 200 also ["Hazen-Williams C", "C value"];
        remark note: Arc<str> = Text;
    }
}

worded! {
    /// How pipe of a material comes and bends.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum System {
        /// Bends by hand; comes in coils too.
        Tubing = "tubing",
        /// Every turn is a fitting.
        Rigid = "rigid",
    }
}

/// One size of pipe of one material.
#[derive(Debug, Clone, PartialEq)]
pub struct Pipe {
    /// In the tables' spelling.
    pub material: Arc<str>,
    /// Nominal.
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
    /// Bent or joined at every turn.
    pub system: System,
    /// What the table remarks of it; may be empty.
    pub note: Arc<str>,
    /// Where the dimensions come from (and `c`, when the user gave one).
    pub origin: Origin,
}

impl Ruled for Pipe {
    fn spec() -> &'static Spec {
        PipeSize::SPEC
    }

    fn origin(&self) -> &Origin {
        &self.origin
    }

    fn keys(&self) -> Vec<(&'static str, String)> {
        vec![("material", self.material.text()), ("size", self.size.text())]
    }
}

page! {
    PipeCells of Pipe {
        key: "Pipe" = |pipe| pipe.key();
        od_in ("outside_diameter_in"): "Outside diameter" Inches;
        id_in ("inside_diameter_in"): "Inside diameter" Inches;
        c: "C" Each;
        roughness_millionths: "Roughness, millionths of an inch" Ratio, millionths = |pipe| pipe.roughness_in;
        note: "How the bore is reckoned";
    }
}

impl Pipe {
    /// The key that formulas look up: `PEX 3/4"`.
    pub fn key(&self) -> String {
        format!("{} {}", self.material, self.size.key())
    }
}

/// Every size with its material, in the order of the materials, sizes ascending.
pub(super) fn pipes(sizes: &[PipeSize], materials: &[Material]) -> Vec<Pipe> {
    let with_material = |size: &PipeSize| {
        let place = materials.iter().position(|m| m.material == size.material)?;
        let PipeSize { size, od_in, wall_in, id_in, c, ref note, ref origin, .. } = *size;
        let Material { ref material, c: usual, roughness_in, system, .. } = materials[place];
        let (material, note, origin) = (material.clone(), note.clone(), origin.clone());
        let c = c.unwrap_or(usual);
        Some((place, Pipe { material, size, od_in, wall_in, id_in, c, roughness_in, system, note, origin }))
    };
    let mut pipes: Vec<(usize, Pipe)> = sizes.iter().filter_map(with_material).collect();
    pipes.sort_by_key(|(place, pipe)| (*place, pipe.size));
    pipes.into_iter().map(|(_, pipe)| pipe).collect()
}

impl Rules {
    /// The program's name of a material, from that or an everyday name.
    pub fn canonical_material(&self, name: &str) -> Option<&str> {
        self.names.material(name).map(|n| &**n)
    }

    /// The material of this name or everyday name.
    pub fn material(&self, name: &str) -> Option<&Material> {
        let exact = self.materials().iter().find(|m| *m.material == *name);
        exact.or_else(|| {
            let name = self.names.material(name)?;
            self.materials().iter().find(|m| m.material == *name)
        })
    }

    /// Every size of every material, in the order of the materials, sizes ascending.
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

    /// The nominal size whose outside diameter this is: tube for refrigeration is called by that.
    pub fn nominal_of_outside(&self, material: &str, size: Size) -> Option<Size> {
        let is_outside = |od| Size::from_inches(od) == Some(size);
        let mut pipes = self.pipes_of(material).iter();
        let named = pipes.find(|pipe| pipe.od_in.and_then(|od| f64::try_from(od).ok()).is_some_and(is_outside));
        named.map(|pipe| pipe.size)
    }

    /// The fitting system a material is joined with; `setting` is the job's Fittings.
    pub fn fitting_system<'a>(&'a self, material: &str, setting: &'a str) -> Option<&'a str> {
        let fittings = &*self.material(material)?.fittings;
        Some(if fittings == BY_SETTING { setting } else { fittings })
    }
}
