//! A cell of a typed row, and what the type of its column makes of it.

use super::{Cells, Column, InputCell, Kind};
use crate::figure::{Book, Term};
use crate::finding::Sink;
use crate::model::{At, Field, Range, Raw, Scale};
use crate::place::Place;
use rust_decimal::Decimal;
use std::fmt::Debug;
use std::ops::{Deref, DerefMut};
use std::sync::Arc;

/// What the cells of a column are.
pub trait ColumnType: Debug + Clone + PartialEq + 'static {
    /// What is made of a cell.
    type Value: Debug + Clone + PartialEq;
    /// What a row keeps of it: [`Input`], or [`At`] for what is always there.
    type Cell: InputCell + Debug + Clone;
    /// What a cell may hold, as the column declares it.
    const KIND: Kind;
    /// The sheet must have the column.
    const NEEDED: bool = false;
    /// Without it there is no row.
    const IS_NAME: bool = false;

    /// Reads the cell of a row in the column of this index. `None` where there is no row without it.
    fn read(cells: &Cells, column: usize, sink: &mut Sink) -> Option<Self::Cell>;

    /// Its number, if it is one.
    fn number(_: &Self::Value) -> Option<Decimal> {
        None
    }

    /// Within what its number can be meant, and how that is written for people.
    fn range(_: &Self::Value, column: &Column) -> Option<(Range, Scale<'static>)> {
        column.range.map(|range| (range, column.scale()))
    }

    /// What a cell says, live, as a bid records it. `None` where the sheet has no such column.
    fn recorded(cell: &Input<Self>, book: &mut Book) -> Option<Term> {
        cell.as_typed(book)
    }
}

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

impl Column {
    /// The column of a field of this type.
    pub const fn of<K: ColumnType>(self) -> Self {
        Self {
            kind: K::KIND,
            required: self.required || K::NEEDED,
            is_name: K::IS_NAME,
            is_key: self.is_key || K::IS_NAME,
            ..self
        }
    }
}
