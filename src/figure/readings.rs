//! How cells of the user's are read, and the readings that a book has made already.

use super::{Column, ColumnId, Fig, RowId, Term};
use rust_decimal::Decimal;
use std::collections::HashMap;
use std::sync::Arc;

/// How a cell is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum How {
    /// A number, and what stands for a blank cell.
    Number(Decimal),
    Tax,
    /// A length with its fractions written out, then as decimals, then with its marks made alike; and the feet it comes to.
    Fractions,
    Decimals,
    LengthText,
    Feet,
    /// A size without its inch marks, in one spelling, and the key it comes to.
    BareSize,
    SizeText,
    Size,
}

/// The cells of one column of the user's as they are read, in the order they were first asked for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reader {
    pub cell: ColumnId,
    /// A size without its inch marks; a length with its fractions written out.
    pub bare: Option<ColumnId>,
    pub decimals: Option<ColumnId>,
    pub text: Option<ColumnId>,
    pub read: ColumnId,
}

/// All that is read so.
#[derive(Debug, Default)]
pub(super) struct Readings {
    pub made: HashMap<(Fig, How), Term>,
    pub rows: HashMap<(Fig, bool), RowId>,
    pub readers: HashMap<(Arc<str>, u16, bool), Reader>,
    pub sizes: Option<(Column, Column)>,
}
