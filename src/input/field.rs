//! A cell of a typed row: what was read from it, by the type of its column.

use super::{Column, ColumnType};
use crate::figure::{Book, Term};
use crate::model::{At, Field, Range, Raw, Scale};
use crate::place::Place;
use rust_decimal::Decimal;
use std::ops::{Deref, DerefMut};
use std::sync::Arc;

/// A cell under a column of this type.
#[derive(Debug, Clone, PartialEq)]
pub struct Input<K: ColumnType>(Field<K::Value>);

impl<K: ColumnType> Deref for Input<K> {
    type Target = Field<K::Value>;

    fn deref(&self) -> &Self::Target {
        &self.0
    }
}

impl<K: ColumnType> DerefMut for Input<K> {
    fn deref_mut(&mut self) -> &mut Self::Target {
        &mut self.0
    }
}

impl<K: ColumnType> From<Field<K::Value>> for Input<K> {
    fn from(field: Field<K::Value>) -> Self {
        Self(field)
    }
}

impl<K: ColumnType> Input<K> {
    /// The same cell, had it held this.
    pub fn holding(&self, value: Option<K::Value>, raw: Raw) -> Self {
        Self(Field { value, cell: self.cell.clone(), raw })
    }
}

/// A cell of any type, for what treats all alike.
pub trait InputCell {
    /// `None` where the sheet has no such column.
    fn place(&self) -> Option<&Place>;

    /// Its words; none of a number.
    fn text(&self) -> &str;

    /// As a formula sees it; `None` where the sheet has no such column.
    fn as_typed(&self, book: &mut Book) -> Option<Term>;

    /// What it says, live: the same for all spellings that its type can tell to be.
    fn recorded(&self, book: &mut Book) -> Option<Term>;

    /// Its number, within what that can be meant, and how it is written for people; of a number that has a range.
    fn ranged(&self, column: &Column) -> Option<(Decimal, Range, Scale<'static>)>;
}

impl<K: ColumnType> InputCell for Input<K> {
    fn place(&self) -> Option<&Place> {
        self.cell.as_ref()
    }

    fn text(&self) -> &str {
        if let Raw::Text(text) = &self.raw { text } else { "" }
    }

    fn as_typed(&self, book: &mut Book) -> Option<Term> {
        (**self).as_typed(book)
    }

    fn recorded(&self, book: &mut Book) -> Option<Term> {
        K::recorded(self, book)
    }

    fn ranged(&self, column: &Column) -> Option<(Decimal, Range, Scale<'static>)> {
        let value = self.value.as_ref()?;
        let (range, scale) = K::range(value, column)?;
        Some((K::number(value)?, range, scale))
    }
}

impl InputCell for At<Arc<str>> {
    fn place(&self) -> Option<&Place> {
        Some(&self.place)
    }

    fn text(&self) -> &str {
        &self.value
    }

    fn as_typed(&self, book: &mut Book) -> Option<Term> {
        Some(self.as_written(book))
    }

    fn recorded(&self, book: &mut Book) -> Option<Term> {
        Some(self.as_written(book))
    }

    fn ranged(&self, _: &Column) -> Option<(Decimal, Range, Scale<'static>)> {
        None
    }
}
