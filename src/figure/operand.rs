//! What an operation is handed: values, cells and ranges, and which of them count as numbers and conditions.

use super::value::{Fault, Value};

/// An operand: one value or a range of them. SUM, MIN, MAX, AND and OR pass over the words and blanks of cells that they
/// are pointed at, and trip over words that are handed to them as they are.
#[derive(Debug, Clone, Copy)]
pub enum Operand<'a> {
    /// A value made on the spot.
    One(&'a Value),
    /// A value that stands in a cell.
    Cell(&'a Value),
    /// The values of a range of cells.
    Many(&'a [Value]),
}

impl<'a> Operand<'a> {
    pub(super) fn one(&self) -> &'a Value {
        match self {
            Self::One(value) | Self::Cell(value) => value,
            Self::Many(values) => values.first().unwrap_or(&Value::Blank),
        }
    }

    /// Whether it is a place to look at rather than a value.
    pub(super) fn refers(&self) -> bool {
        !matches!(self, Self::One(_))
    }

    pub(super) fn all(&self) -> &'a [Value] {
        match self {
            Self::One(value) | Self::Cell(value) => std::slice::from_ref(value),
            Self::Many(values) => values,
        }
    }
}

/// The conditions among the operands. Words and blanks in cells do not count; with nothing left it is a `#VALUE!`.
pub(super) fn flags(args: &[Operand]) -> Result<Vec<bool>, Fault> {
    let counted = args.iter().filter(|arg| !(arg.refers() && matches!(arg.one(), Value::Text(_) | Value::Blank)));
    let flags: Vec<bool> = counted.map(|arg| arg.one().truth()).collect::<Result<_, _>>()?;
    if flags.is_empty() { Err(Fault::Value) } else { Ok(flags) }
}
