//! What makes work slower or quicker: where a run lies, whether it is a stick or a coil, what it is of.

use super::Rules;
use super::declare::rule;
use super::listing::page;
use crate::model::columns::WHERE;
use crate::model::same_folded;
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// Factor on the hours of work at a place, of a form of pipe, of a material, or of those together; all that fit are
    /// multiplied.
    LaborCondition "labor_conditions" overridden by "Labor conditions" {
        /// One of [`WHERE`], or empty for every place.
        key_or_blank place: Arc<str> = Word(WHERE) also ["where"];
        /// Empty for either.
        key_or_blank form: Arc<str> = Word(&["stick", "coil"]);
        /// Empty for every material.
        key_or_blank material: Arc<str> = Material;
        /// On the hours; 1.25 is a quarter more.
        value factor: Decimal = Positive to 100;
        remark note: Arc<str> = Text;
    }
}

page! {
    ConditionCells of LaborCondition {
        place: "Place" = |row| any(&row.place);
        form: "Form" = |row| any(&row.form);
        material: "Material" = |row| any(&row.material);
        factor: "Factor" Ratio;
    }
}

fn any(word: &Arc<str>) -> Arc<str> {
    if word.is_empty() { "any".into() } else { word.clone() }
}

impl LaborCondition {
    /// Whether the row holds for work at a place, of a form and a material; an empty word is one that is not known.
    pub fn fits(&self, place: &str, form: &str, material: &str) -> bool {
        let fits = |own: &str, found: &str| own.is_empty() || same_folded(own, found);
        fits(&self.place, place) && fits(&self.form, form) && fits(&self.material, material)
    }
}

impl Rules {
    /// The rows that hold for work at a place, of a form and a material; an empty word is one that is not known.
    pub fn conditions_of<'a>(
        &'a self,
        place: &'a str,
        form: &'a str,
        material: &'a str,
    ) -> impl Iterator<Item = &'a LaborCondition> {
        self.labor_conditions().iter().filter(move |row| row.fits(place, form, material))
    }

    /// Their factors multiplied.
    pub fn labor_factor(&self, place: &str, form: &str, material: &str) -> Decimal {
        let factors = self.conditions_of(place, form, material).map(|row| row.factor);
        factors.fold(Decimal::ONE, Decimal::saturating_mul)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::dec;
    use std::any::TypeId;

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
        let mut rules = Rules::default();
        rules.rows.insert(TypeId::of::<Vec<LaborCondition>>(), Arc::new(rows));
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
