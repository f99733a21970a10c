//! Stretches of the user's cells as columns, what a formula sees in a cell, and the size that is typed into one. A single cell
//! is read by the figure of its column's type, in `input/figure.rs`.

use super::readings::How;
use super::{Book, Column, Expr, InputRange, Term, Value};
use crate::model::Raw;
use crate::place::Place;
use std::sync::Arc;

impl Book {
    /// A stretch of a column of the user's, from `first` down to row `last`; `filled` are the rows that hold something.
    pub fn input_column(&self, first: Place, last: u32, filled: Vec<(u32, Value)>) -> Column {
        let last_column = first.column;
        self.input_block(first, (last, last_column), filled)
    }

    /// A stretch of several columns of the user's side by side, from `first` to the cell in row and column `last`.
    pub fn input_block(&self, first: Place, last: (u32, u16), filled: Vec<(u32, Value)>) -> Column {
        let values = filled.iter().map(|(_, value)| value.clone()).collect();
        let (last, last_column) = last;
        Column { values, range: Some(Expr::Inputs(Arc::new(InputRange { first, last, last_column, filled }))) }
    }

    /// A stretch without rows.
    pub fn none(&self) -> Column {
        Column { values: Arc::new([]), range: None }
    }

    /// The key of whatever size is typed into this cell: `3/4"` for `3/4`, `3/4 in`, `¾` and 0.75. What is no size is a fault,
    /// so that nothing is counted without it in silence.
    pub fn size_typed(&mut self, cell: &Term) -> Term {
        let bare = self.read_once(cell, How::BareSize, cell.bare_size());
        let text = self.read_once(cell, How::SizeText, bare.size_text());
        let Some((inches, keys)) = self.nominal_sizes() else { return cell.size_key() };
        let decimal = Term::at(&keys, &Term::row_of(&text.digits(), &inches));
        let key = decimal.or_if_fault(&Term::at(&keys, &Term::row_of(&text.fraction_key(), &keys)));
        self.read_once(cell, How::Size, text.is_blank().pick(&Term::text(""), &key))
    }
}

/// What a spreadsheet sees in a cell that stood like this.
pub fn raw_value(raw: &Raw) -> Value {
    match raw {
        Raw::Blank => Value::Blank,
        Raw::Number(n) | Raw::Date(n) => Value::Exact(*n),
        Raw::Text(text) => Value::Text(text.clone()),
        Raw::Flag(flag) => Value::Flag(*flag),
        Raw::Fault(_) => Value::Fault(super::Fault::NotFound),
    }
}
