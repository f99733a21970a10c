//! Figures: every number of a bid is a value together with the spreadsheet expression that gives it, made by one
//! operation. Multiply two and both the product and `=F12*G12` exist, so values and formulas cannot drift apart.
//!
//! A [`Term`] is such a pair that has no cell yet; [`Book::put`] gives it one. A term can only point at cells that
//! were put before it, so no cycle can be built. Addresses are given at the very end, by [`address`].

pub mod address;
mod book;
mod charts;
mod counting;
pub mod deciding;
pub mod dump;
mod evaluate;
pub(crate) mod exported;
mod fill;
pub(crate) mod fit;
pub mod functions;
pub mod input;
mod layout;
mod lines;
pub mod lookup;
mod matching;
mod number;
pub mod operand;
mod read_back;
pub(crate) mod reading;
pub(crate) mod readings;
mod sheet_look;
mod shown;
pub mod spell;
pub mod spelling;
mod stated;
mod sums;
mod term;
mod texts;
pub mod trace;
mod typed;
mod value;
pub(crate) mod verdict;

pub use book::Book;
pub use evaluate::{evaluate, stale};
pub use layout::{
    Block, CellKind, ChartId, ChartSpec, ColumnId, ColumnLook, Home, Look, Origin, RowId, SheetId, SheetSpec, TableId,
    TableSpec,
};
pub use lines::LineRoom;
pub use number::Number;
pub use term::{Column, Term};
pub use value::{Fault, Numeric, Value};

use crate::place::Place;
use functions::Op;
use std::sync::Arc;

/// A cell of the book; its address is known only when everything has been put.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Fig(pub(crate) u32);

/// A stretch of one table column: rows `first` to `last`, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Range {
    /// The table.
    pub table: TableId,
    /// Its column, from 0.
    pub column: u16,
    /// First data row, from 0.
    pub first: u32,
    /// Last data row, included.
    pub last: u32,
}

/// A stretch of a sheet of the user's: rows `first` to `last` of one column or of several side by side, all included,
/// most of them blank.
#[derive(Debug, Clone, PartialEq)]
pub struct InputRange {
    /// The first cell.
    pub first: Place,
    /// The last row, from 0, included.
    pub last: u32,
    /// The last column, the first one for a stretch of one.
    pub last_column: u16,
    /// The rows that hold something, and what.
    pub filled: Vec<(u32, Value)>,
}

/// How a value came about. A leaf is kept where it is used; only operations take room of their own.
#[derive(Debug, Clone, PartialEq)]
pub enum Expr {
    /// A number or a word of ours.
    Const(Value),
    /// The value of a cell.
    Cell(Fig),
    /// The cells of a stretch of a table column.
    Range(Range),
    /// The cells of a stretch of a sheet of the user's.
    Inputs(Arc<InputRange>),
    /// An operation over its operands, in order.
    Apply(Op, Arc<[Expr]>),
}
