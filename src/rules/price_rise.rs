//! How much dearer material gets in a year.

use super::Rules;
use super::declare::rule;
use super::item::{Item, matches_kind};
use super::listing::page;
use crate::model::same_folded;
use rust_decimal::Decimal;
use std::sync::Arc;

/// Days of a year.
pub const YEAR: u32 = 365;

rule! {
    /// Share by which the price of a kind of thing rises in a year; blank words stand for all that no other row names.
    PriceRise "escalation" overridden by "Escalation" {
        /// As in Prices: `pipe`, `ball valve`.
        key_or_blank kind: Arc<str> = Text;
        key_or_blank material: Arc<str> = Material;
        /// 0.05 is one in twenty.
        value yearly: Decimal = Share;
        remark note: Arc<str> = Text;
    }
}

page! {
    PriceRiseCells of PriceRise {
        kind: "Kind" = |row| any(&row.kind);
        material: "Material" = |row| any(&row.material);
        yearly: "In a year" Percent;
    }
}

fn any(word: &Arc<str>) -> Arc<str> {
    if word.is_empty() { "any".into() } else { word.clone() }
}

impl Rules {
    /// The row for an item: that of its kind and material, else of its kind, of its material, of anything.
    pub fn price_rise(&self, item: &Item) -> Option<&PriceRise> {
        let fits = |row: &&PriceRise| {
            let kind = row.kind.is_empty() || matches_kind(&row.kind, &item.kind);
            kind && (row.material.is_empty() || same_folded(&row.material, &item.material))
        };
        let closeness = |row: &&PriceRise| (!row.kind.is_empty(), !row.material.is_empty());
        self.price_rises().iter().filter(fits).max_by_key(closeness)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_closest_row_speaks() {
        let rules = Rules::embedded();
        let row = |kind, material| {
            let row = rules.price_rise(&Item::new(kind, material, &[])).unwrap();
            (row.kind.to_string(), row.material.to_string())
        };
        let words = |kind: &str, material: &str| (kind.to_owned(), material.to_owned());
        assert_eq!(row("pipe", "copper L"), words("pipe", "copper L"));
        assert_eq!(row("ball valve", ""), words("ball valve", ""));
        assert_eq!(row("tee", "copper L"), words("", ""));
    }
}
