//! What formulas count in a stretch of cells: those that are filled, that hold words, that lie outside bounds.

use super::matching::matches;
use super::operand::Operand;
use super::spelling::Piece::{self, Held, Raw, Text};
use super::spelling::Strength;
use super::value::{Fault, Numeric, Value};
use rust_decimal::Decimal;

/// COUNTA would count formulas that come to an empty text.
pub(super) const FILLED: &[Piece] = &[Text("SUMPRODUCT(("), Raw(0), Text("<>\"\")*1)")];
/// All words are above any number. (ISTEXT of a range looks at one cell only in some programs.)
pub(super) const WORDS: &[Piece] = &[Text("SUMPRODUCT(("), Raw(0), Text(">9E+99)*1)")];
pub(super) const WORD_ROWS: &[Piece] = &[Text("SUMPRODUCT(("), Raw(0), Text(">9E+99)*ROW("), Raw(0), Text("))")];
pub(super) const BETWEEN: &[Piece] = &[
    Text("COUNTIFS("),
    Raw(0),
    Text(",\">=\"&"),
    Held(1, Strength::Add),
    Text(","),
    Raw(0),
    Text(",\"<=\"&"),
    Held(2, Strength::Add),
    Text(")"),
];

pub(super) const OUTSIDE: &[Piece] = &[
    Text("COUNTIF("),
    Raw(0),
    Text(",\"<\"&"),
    Held(1, Strength::Add),
    Text(")+SUMIF("),
    Raw(0),
    Text(",\">\"&"),
    Held(2, Strength::Add),
    Text(")"),
];

/// How many rows meet every pair of range and key.
pub(super) fn rows_that_match(pairs: &[Operand]) -> Value {
    let rows = pairs.first().map_or(0, |first| first.all().len());
    Value::Exact(Decimal::from((0..rows).filter(|row| matches(pairs, *row)).count()))
}

/// How many of the operands are numbers.
pub(super) fn numbers(args: &[Operand]) -> Value {
    let numbers = args.iter().flat_map(Operand::all).filter(|value| value.is_number());
    Value::Exact(Decimal::from(numbers.count()))
}

/// How many cells hold something: a number or words.
pub(super) fn filled(cells: &[Value]) -> Result<Value, Fault> {
    count(cells, |cell| !cell.is_blank())
}

/// How many cells hold words.
pub(super) fn words(cells: &[Value]) -> Result<Value, Fault> {
    count(cells, |cell| matches!(cell, Value::Text(_) | Value::Flag(_)))
}

fn count(cells: &[Value], counts: impl Fn(&Value) -> bool) -> Result<Value, Fault> {
    match cells.iter().find_map(Value::fault) {
        Some(fault) => Err(fault),
        None => Ok(Value::Exact(Decimal::from(cells.iter().filter(|cell| counts(cell)).count()))),
    }
}

/// How many numbers lie between the bounds, each included.
pub(super) fn between(cells: &[Value], [least, most]: [&Value; 2]) -> Result<Value, Fault> {
    let (least, most) = (least.number()?.to_f64(), most.number()?.to_f64());
    let numbers = cells.iter().filter(|cell| cell.is_number()).map(Value::as_f64);
    Ok(Value::Exact(Decimal::from(numbers.filter(|number| (least..=most).contains(number)).count())))
}

/// How many numbers lie below the least, and those above the most added up.
pub(super) fn outside(cells: &[Value], [least, most]: [&Value; 2]) -> Result<Value, Fault> {
    let (least, most) = (least.number()?.to_f64(), most.number()?.to_f64());
    let mut sum = Numeric::ZERO;
    for cell in cells.iter().filter(|cell| cell.is_number()) {
        let added = match cell.as_f64() {
            number if number < least => Numeric::Exact(Decimal::ONE),
            number if number > most => cell.number()?,
            _ => continue,
        };
        sum = sum + added;
    }
    Ok(Value::from(sum))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_is_filled_by_a_number_or_words_and_not_by_an_empty_text() {
        let cells = [Value::text("A1"), Value::Blank, Value::Exact(Decimal::ZERO), Value::text(""), Value::Flag(false)];
        assert_eq!(filled(&cells), Ok(Value::Exact(Decimal::from(3))));
    }

    #[test]
    fn another_number_beyond_the_bounds_is_another_sum() {
        let numbers = |numbers: &[i64]| -> Vec<Value> {
            let words = [Value::text("9"), Value::Blank];
            numbers.iter().map(|n| Value::Exact((*n).into())).chain(words).collect()
        };
        let bounds = [&Value::Exact(Decimal::ONE), &Value::Exact(Decimal::TEN)];
        for (cells, sum) in [(&[1, 5, 10][..], 0), (&[-3, 5], 1), (&[70, 5], 70), (&[80, 0], 81)] {
            assert_eq!(outside(&numbers(cells), bounds), Ok(Value::Exact(sum.into())), "{cells:?}");
        }
    }
}
