//! A figure worked out again from its expression: what an operation gave when it was made must be what it gives now.

use super::operand::Operand;
use super::{Book, Expr, Fig, Value};

/// The value of a figure, from its expression over the cells it names; a figure without an expression is what it holds.
pub fn evaluate(book: &Book, fig: Fig) -> Value {
    match book.expr(fig).map(|expr| value(book, expr)) {
        // A formula that comes to a blank cell shows 0.
        Some(Value::Blank) => Value::Exact(rust_decimal::Decimal::ZERO),
        Some(value) => value,
        None => book.value(fig).clone(),
    }
}

/// Figures that do not hold what their expression gives: faults of the program.
pub fn stale(book: &Book) -> Vec<Fig> {
    (0..book.cells.len() as u32).map(Fig).filter(|fig| evaluate(book, *fig) != *book.value(*fig)).collect()
}

/// What an operand is made of, so that it outlives the call.
enum Part {
    One(Value),
    Cell(Value),
    Many(Vec<Value>),
}

/// What an expression gives over the cells it names.
pub(super) fn value(book: &Book, expr: &Expr) -> Value {
    match expr {
        Expr::Const(value) => value.clone(),
        Expr::Cell(fig) => book.value(*fig).clone(),
        // A range by itself is no value; formulas hold them only as operands.
        Expr::Range(_) | Expr::Inputs(_) => Value::Fault(super::Fault::Value),
        Expr::Apply(op, parts) => {
            let parts: Vec<Part> = parts.iter().map(|expr| part(book, expr)).collect();
            let operands: Vec<Operand> = parts
                .iter()
                .map(|part| match part {
                    Part::One(value) => Operand::One(value),
                    Part::Cell(value) => Operand::Cell(value),
                    Part::Many(values) => Operand::Many(values),
                })
                .collect();
            op.apply(&operands)
        }
    }
}

/// The values of a range, or the one value that an expression gives.
pub(super) fn values(book: &Book, expr: &Expr) -> Vec<Value> {
    match part(book, expr) {
        Part::One(value) | Part::Cell(value) => vec![value],
        Part::Many(values) => values,
    }
}

fn part(book: &Book, expr: &Expr) -> Part {
    match expr {
        Expr::Cell(fig) => Part::Cell(book.value(*fig).clone()),
        Expr::Range(range) => Part::Many(
            (range.first..=range.last)
                .map(|row| {
                    book.cell_at(range.table, row, range.column).map_or(Value::Blank, |fig| book.value(fig).clone())
                })
                .collect(),
        ),
        Expr::Inputs(range) => Part::Many(range.filled.iter().map(|(_, value)| value.clone()).collect()),
        _ => Part::One(value(book, expr)),
    }
}
