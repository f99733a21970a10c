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
    pub names: Vec<String>,
    /// By number.
    pub barred: Vec<bool>,
}

impl Allowed {
    pub(crate) fn lets(&self, price: &Price) -> bool {
        !self.barred.get(self.number(price)).copied().unwrap_or(false)
    }

    pub(crate) fn number(&self, price: &Price) -> usize {
        let name = supplier_name(price);
        self.names.iter().position(|names| *names == name).unwrap_or(self.names.len())
    }

    pub(super) fn only(&self, set: u32) -> Self {
        Self {
            names: self.names.clone(),
            barred: (0..self.names.len()).map(|at| at < TRIED && set >> at & 1 == 0).collect(),
        }
    }
}
