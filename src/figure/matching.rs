//! What `=`, MATCH and SUMIFS take for alike, and the rows that look-ups find.

use super::operand::Operand;
use super::spelling::Piece::{self, Held, Text};
use super::spelling::Strength::{Add, Multiply};
use super::value::{Fault, Numeric, Value};
use rust_decimal::Decimal;

pub(super) const AT_LEAST: &[Piece] = &[Text("ROUND("), Held(0, Add), Text("-"), Held(1, Multiply), Text(",6)>=0")];
pub(super) const ABOVE: &[Piece] = &[Text("ROUND("), Held(0, Add), Text("-"), Held(1, Multiply), Text(",6)>0")];

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

/// Texts without case. SUMIFS compares very many, and most differ early: up to there both are ASCII, and no copy is made.
fn same_text(a: &str, b: &str) -> bool {
    for (x, y) in a.bytes().zip(b.bytes()) {
        if !(x.is_ascii() && y.is_ascii()) {
            return a.to_lowercase() == b.to_lowercase();
        }
        if !x.eq_ignore_ascii_case(&y) {
            return false;
        }
    }
    a.len() == b.len()
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

/// Which row bears the key, from 1.
pub(super) fn row_of(key: &Value, rows: &[Value]) -> Result<Value, Fault> {
    let found = |row: &Value| *row != Value::Blank && *key != Value::Blank && same(row, key);
    rows.iter().position(found).map(row_number).ok_or(Fault::NotFound)
}

/// Of rows sorted high to low the last that is still at least `wanted`.
pub(super) fn row_at_least(wanted: Numeric, rows: &[Value]) -> Result<Value, Fault> {
    let wanted = wanted.round(6).to_f64();
    let reached = rows.iter().take_while(|row| row.is_number() && row.as_f64() >= wanted).count();
    reached.checked_sub(1).map(row_number).ok_or(Fault::NotFound)
}

fn row_number(index: usize) -> Value {
    Value::Exact(Decimal::from(index + 1))
}

/// The value of a row, from 1. INDEX points at the cell: a blank one stays blank within a formula.
pub(super) fn pick(rows: &[Value], row: Numeric) -> Result<Value, Fault> {
    let row = row.to_f64();
    let found = if row >= 1.0 { rows.get(row as usize - 1) } else { None };
    found.ok_or(Fault::Value)?.sound().cloned()
}

#[cfg(test)]
mod tests {
    use super::same_text;
    use proptest::prelude::*;

    proptest! {
        // K is the sign of kelvin, whose lower case is a letter of ASCII; a capital I with a dot becomes two characters.
        #[test]
        fn texts_are_alike_where_their_lower_case_is(a in "[aAkK\u{212A}\u{130}iIßz 1]{0,6}", b in "[aAkK\u{212A}\u{130}iIßz 1]{0,6}") {
            prop_assert_eq!(same_text(&a, &b), a.to_lowercase() == b.to_lowercase());
            let turned: String = a.chars().map(|c| if c.is_lowercase() { c.to_ascii_uppercase() } else { c.to_ascii_lowercase() }).collect();
            prop_assert_eq!(same_text(&a, &turned), a.to_lowercase() == turned.to_lowercase());
        }
    }
}
