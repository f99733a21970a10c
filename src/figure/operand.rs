//! What an operation is handed: values, cells and ranges, and which of them count as numbers and conditions.

use super::value::{Fault, Numeric, Value};
use rust_decimal::Decimal;

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
    fn refers(&self) -> bool {
        !matches!(self, Self::One(_))
    }

    pub(super) fn all(&self) -> &'a [Value] {
        match self {
            Self::One(value) | Self::Cell(value) => std::slice::from_ref(value),
            Self::Many(values) => values,
        }
    }
}

/// Hands over every number of the operands. In cells and ranges words, truth values and blanks do not count; made on the
/// spot, words that are no number are a `#VALUE!` and a truth value is 1 or 0. The first fault comes out.
pub(super) fn each_number(args: &[Operand], mut take: impl FnMut(Numeric)) -> Result<(), Fault> {
    for arg in args {
        for value in arg.all() {
            match value {
                Value::Fault(fault) => return Err(*fault),
                Value::Exact(_) | Value::Physical(_) => take(value.number()?),
                Value::Blank => {}
                Value::Text(_) | Value::Flag(_) if arg.refers() => {}
                Value::Text(_) | Value::Flag(_) => take(value.number()?),
            }
        }
    }
    Ok(())
}

/// The least or greatest number; 0 when there is none.
pub(super) fn extreme(args: &[Operand], wanted: std::cmp::Ordering) -> Result<Value, Fault> {
    let mut best: Option<Numeric> = None;
    each_number(args, |number| {
        let better = best.is_none_or(|best| match (number, best) {
            (Numeric::Exact(n), Numeric::Exact(b)) => n.cmp(&b) == wanted,
            _ => number.to_f64().partial_cmp(&best.to_f64()) == Some(wanted),
        });
        if better {
            best = Some(number);
        }
    })?;
    Ok(Value::from(best.unwrap_or(Numeric::Exact(Decimal::ZERO))))
}

/// The conditions among the operands. Words and blanks in cells do not count; with nothing left it is a `#VALUE!`.
pub(super) fn flags(args: &[Operand]) -> Result<Vec<bool>, Fault> {
    let counted = args.iter().filter(|arg| !(arg.refers() && matches!(arg.one(), Value::Text(_) | Value::Blank)));
    let flags: Vec<bool> = counted.map(|arg| arg.one().truth()).collect::<Result<_, _>>()?;
    if flags.is_empty() { Err(Fault::Value) } else { Ok(flags) }
}
