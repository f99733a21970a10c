//! A value that remembers the cell it was read from, and how that cell stood.

use crate::place::Place;
use rust_decimal::Decimal;
use std::sync::Arc;

/// What stood in a cell, before anything was made of it. Formulas that refer to the cell must know: a spreadsheet
/// cannot multiply by `12'6"`, however well we read it.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Raw {
    /// Nothing, or spaces.
    #[default]
    Blank,
    /// A number, a percentage as its share.
    Number(Decimal),
    /// Words, as typed.
    Text(Arc<str>),
    /// A date, as the serial number that spreadsheet programs keep (days since 1899-12-30).
    Date(Decimal),
    /// True or false.
    Flag(bool),
    /// An error value such as `#REF!`.
    Fault(Arc<str>),
}

/// One cell of a typed row. `cell` is `None` when the user's sheet has no such column; `value` is `None` when the
/// cell is blank or could not be read (a finding says so).
#[derive(Debug, Clone, PartialEq)]
pub struct Field<T> {
    /// What was made of the cell.
    pub value: Option<T>,
    /// Where it stands.
    pub cell: Option<Place>,
    /// What stood there.
    pub raw: Raw,
}

impl<T> Default for Field<T> {
    fn default() -> Self {
        Self { value: None, cell: None, raw: Raw::Blank }
    }
}

impl<T> Field<T> {
    /// True when nothing was typed (or there is no such column).
    pub fn is_blank(&self) -> bool {
        self.raw == Raw::Blank
    }

    /// The value, if there is one.
    pub fn as_ref(&self) -> Option<&T> {
        self.value.as_ref()
    }

    /// The same cell, with its value turned into another.
    pub fn map<U>(self, turn: impl FnOnce(T) -> U) -> Field<U> {
        self.and_then(|value| Some(turn(value)))
    }

    /// The same cell, with its value turned into another, or into none.
    pub fn and_then<U>(self, turn: impl FnOnce(T) -> Option<U>) -> Field<U> {
        Field { value: self.value.and_then(turn), cell: self.cell, raw: self.raw }
    }
}

impl<T: Clone> Field<T> {
    /// A copy of the value, if there is one.
    pub fn get(&self) -> Option<T> {
        self.value.clone()
    }
}

impl Field<Arc<str>> {
    /// The text, or an empty one.
    pub fn text(&self) -> &str {
        self.value.as_deref().unwrap_or("")
    }
}

/// A value that is always there (a required name), with its cell.
#[derive(Debug, Clone, PartialEq)]
pub struct At<T> {
    /// What was made of the cell.
    pub value: T,
    /// As it stands in the cell: an everyday name of a kind, other letters.
    pub written: Arc<str>,
    /// Where it stands.
    pub place: Place,
}
