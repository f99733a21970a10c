//! Sums and extremes over operands and ranges.

use super::matching::matches;
use super::operand::Operand;
use super::value::{Fault, Numeric, Value};
use std::cmp::Ordering;

/// Hands over every number of the operands. In cells and ranges words, truth values and blanks do not count; made on the
/// spot, words that are no number are a `#VALUE!` and a truth value is 1 or 0. The first fault comes out.
fn each_number(args: &[Operand], mut take: impl FnMut(Numeric)) -> Result<(), Fault> {
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
pub(super) fn extreme(args: &[Operand], wanted: Ordering) -> Result<Value, Fault> {
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
    Ok(Value::from(best.unwrap_or(Numeric::ZERO)))
}

pub(super) fn sum(args: &[Operand]) -> Result<Value, Fault> {
    let mut total = Numeric::ZERO;
    each_number(args, |n| total = total + n)?;
    Ok(Value::from(total))
}

/// The first operand are the amounts; the others, in pairs of range and key, say which of them count.
pub(super) fn sum_where(args: &[Operand]) -> Result<Value, Fault> {
    let (amounts, keys) = args.split_first().ok_or(Fault::Value)?;
    let counted = amounts.all().iter().enumerate().filter(|(row, _)| matches(keys, *row));
    let counted: Vec<Operand> = counted.map(|(_, amount)| Operand::Cell(amount)).collect();
    sum(&counted)
}

/// Texts in a range count as 0.
pub(super) fn sum_product(a: &[Value], b: &[Value]) -> Result<Value, Fault> {
    let number = |v: &Value| if matches!(v, Value::Text(_)) { Ok(Numeric::ZERO) } else { v.number() };
    let mut total = Numeric::ZERO;
    for (x, y) in a.iter().zip(b) {
        total = total + number(x)? * number(y)?;
    }
    Ok(Value::from(total))
}
