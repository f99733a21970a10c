//! What `=`, MATCH and SUMIFS take for alike.

use super::operand::Operand;
use super::value::{Numeric, Value};

/// Equality as `=` and MATCH see it: texts without case, numbers by value, a blank like an empty text.
pub(super) fn same(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Text(a), Value::Text(b)) => same_text(a, b),
        (Value::Text(text), Value::Blank) | (Value::Blank, Value::Text(text)) => text.is_empty(),
        (Value::Text(_), _) | (_, Value::Text(_)) => false,
        (Value::Flag(a), Value::Flag(b)) => a == b,
        (Value::Flag(flag), Value::Blank) | (Value::Blank, Value::Flag(flag)) => !flag,
        (Value::Flag(_), _) | (_, Value::Flag(_)) => false,
        _ => match (a.number(), b.number()) {
            (Ok(Numeric::Exact(a)), Ok(Numeric::Exact(b))) => a == b,
            (Ok(a), Ok(b)) => a.to_f64() == b.to_f64(),
            _ => false,
        },
    }
}

/// Texts without case. SUMIFS compares very many, and most differ: no copy is made where one look tells.
fn same_text(a: &str, b: &str) -> bool {
    if a.eq_ignore_ascii_case(b) {
        return true;
    }
    // Two first letters of ASCII that differ are different texts, whatever follows.
    match (a.as_bytes(), b.as_bytes()) {
        ([x, ..], [y, ..]) if x.is_ascii() && y.is_ascii() && !x.eq_ignore_ascii_case(y) => false,
        _ if a.is_ascii() && b.is_ascii() => false,
        _ => a.to_lowercase() == b.to_lowercase(),
    }
}

/// Whether a row meets every pair of range and key.
pub(super) fn matches(pairs: &[Operand], row: usize) -> bool {
    pairs.chunks(2).all(|pair| match pair {
        [range, key] => range.all().get(row).is_some_and(|found| meets(found, key.one())),
        _ => false,
    })
}

/// Whether a cell meets the key of SUMIFS or COUNTIFS. A key without words finds blank cells, a blank key finds zeros;
/// a number finds the text of it and the other way round.
fn meets(found: &Value, key: &Value) -> bool {
    match (found, key) {
        (Value::Blank, Value::Text(key)) => key.is_empty(),
        (Value::Blank, _) => false,
        (Value::Text(_), Value::Exact(_) | Value::Physical(_))
        | (Value::Exact(_) | Value::Physical(_), Value::Text(_)) => {
            matches!((found.number(), key.number()), (Ok(a), Ok(b)) if a.to_f64() == b.to_f64())
        }
        _ => same(found, key),
    }
}
