//! Who may be bought from.

use crate::model::Price;

/// Suppliers of whom every set is tried; beyond so many, the rest are all left in.
pub(super) const TRIED: usize = 6;

/// A supplier's name as two are compared: as SUMIFS compares them.
pub(super) fn supplier_name(price: &Price) -> String {
    price.supplier.text().trim().to_lowercase()
}

/// Who may be bought from.
#[derive(Debug, Clone, Default)]
pub(super) struct Allowed {
    /// Names with terms of their own, by number from 0; everybody else has the number after them.
    pub named: Vec<String>,
    /// By number.
    pub barred: Vec<bool>,
}

impl Allowed {
    pub(crate) fn lets(&self, price: &Price) -> bool {
        !self.barred.get(self.number(price)).copied().unwrap_or(false)
    }

    pub(crate) fn number(&self, price: &Price) -> usize {
        let name = supplier_name(price);
        self.named.iter().position(|named| *named == name).unwrap_or(self.named.len())
    }

    pub(super) fn only(&self, set: u32) -> Self {
        Self {
            named: self.named.clone(),
            barred: (0..self.named.len()).map(|at| at < TRIED && set >> at & 1 == 0).collect(),
        }
    }
}
