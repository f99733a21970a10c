//! What makes work slower or quicker: where a run lies, whether it is a stick or a coil, what it is of.

use super::Rules;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use crate::model::columns::WHERE;
use crate::model::same_folded;
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

pub(super) const LABOR_CONDITIONS: Spec = Spec {
    name: "labor_conditions",
    file: "labor_conditions.csv",
    about: "factor on the hours of work at a place, of a form of pipe, of a material, or of those together; all that fit are multiplied",
    sheet: Some("Labor conditions"),
    columns: &[
        Column::new("place", Kind::Word(WHERE), Role::KeyOrBlank).or(&["where"]),
        Column::new("form", Kind::Word(&["stick", "coil"]), Role::KeyOrBlank),
        Column::new("material", Kind::Material, Role::KeyOrBlank),
        Column::new("factor", Kind::Positive, Role::Value).to(dec!(100)),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// A factor on hours, where everything that its row names fits.
#[derive(Debug, Clone, PartialEq)]
pub struct LaborCondition {
    /// One of [`WHERE`], or empty for every place.
    pub place: Arc<str>,
    /// `stick`, `coil`, or empty for either.
    pub form: Arc<str>,
    /// Empty for every material.
    pub material: Arc<str>,
    pub factor: Decimal,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for LaborCondition {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            place: cells.text("place"),
            form: cells.text("form"),
            material: cells.text("material"),
            factor: cells.number("factor")?,
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

impl LaborCondition {
    /// Whether the row holds for work at a place, of a form and a material; an empty word is one that is not known.
    pub fn fits(&self, place: &str, form: &str, material: &str) -> bool {
        let fits = |own: &str, found: &str| own.is_empty() || same_folded(own, found);
        fits(&self.place, place) && fits(&self.form, form) && fits(&self.material, material)
    }
}

impl Rules {
    pub fn labor_conditions(&self) -> &[LaborCondition] {
        &self.labor_conditions
    }

    /// The rows that hold for work at a place, of a form and a material; an empty word is one that is not known.
    pub fn conditions_of<'a>(
        &'a self,
        place: &'a str,
        form: &'a str,
        material: &'a str,
    ) -> impl Iterator<Item = &'a LaborCondition> {
        self.labor_conditions.iter().filter(move |row| row.fits(place, form, material))
    }

    /// Their factors multiplied.
    pub fn labor_factor(&self, place: &str, form: &str, material: &str) -> Decimal {
        let factors = self.conditions_of(place, form, material).map(|row| row.factor);
        factors.fold(Decimal::ONE, |product, factor| product.saturating_mul(factor))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::dec;

    #[test]
    fn every_row_that_fits_has_its_factor_multiplied() {
        let row = |place: &str, form: &str, material: &str, factor| LaborCondition {
            place: place.into(),
            form: form.into(),
            material: material.into(),
            factor,
            ..Rules::embedded().labor_conditions()[0].clone()
        };
        let rows = vec![
            row("attic", "", "", dec!(1.25)),
            row("", "stick", "PEX", dec!(1.2)),
            row("", "", "PEX", dec!(0.9)),
            row("", "", "", dec!(1.1)),
        ];
        let rules = Rules { labor_conditions: rows, ..Rules::default() };
        assert_eq!(rules.labor_factor("attic", "stick", "pex"), dec!(1.485));
        assert_eq!(rules.labor_factor("Attic", "coil", "CPVC"), dec!(1.375));
        assert_eq!(rules.labor_factor("", "", ""), dec!(1.1));
    }

    #[test]
    fn every_place_has_a_factor() {
        for place in WHERE {
            let rows: Vec<_> = Rules::embedded().conditions_of(place, "", "").collect();
            assert_eq!(rows.len(), 1, "{place}");
        }
    }
}
