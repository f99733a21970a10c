//! Each input cell as a term: the one way to it.

use super::{Amount, Input};
use crate::figure::{Book, Term, Value};
use crate::model::At;
use rust_decimal::Decimal;
use std::sync::Arc;

impl At<Arc<str>> {
    /// The name, live.
    pub fn figure(&self, book: &mut Book) -> Term {
        book.input_cell(&self.place, Value::Text(self.value.clone()))
    }

    /// The cell as it stands, where it says a kind by another name.
    pub fn as_written(&self, book: &mut Book) -> Term {
        book.input_cell(&self.place, Value::Text(self.written.clone()))
    }
}

impl Input<Amount> {
    /// Dollars or a share, live.
    pub fn figure(&self, book: &mut Book) -> Term {
        book.number_input(&(**self).clone().map(Amount::number), Decimal::ZERO)
    }
}
