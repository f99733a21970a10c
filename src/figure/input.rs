//! Stretches of the user's cells as columns.

use super::{Book, Column, Expr, InputRange, Value};
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
}
