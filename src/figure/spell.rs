//! Expressions as formula text: the only place that adds parentheses, quotes and addresses.

use super::functions::Strength;
use super::{Book, Expr, Fig, Range, Value};
use crate::figure::address::Addresses;
use crate::place::{a1, quote_sheet};

/// How references are printed.
pub trait Names {
    fn cell(&self, fig: Fig) -> String;
    fn range(&self, range: Range) -> String;
}

/// References as a spreadsheet wants them, relative to the sheet the formula stands on.
pub struct Sheetwise<'a> {
    pub book: &'a Book,
    pub addresses: &'a Addresses,
    pub sheet: &'a str,
}

impl Names for Sheetwise<'_> {
    fn cell(&self, fig: Fig) -> String {
        if let Some(name) = self.book.name_of(fig) {
            return name.to_owned();
        }
        let place = self.addresses.place(self.book, fig);
        if &*place.sheet == self.sheet { place.cell() } else { place.to_string() }
    }

    fn range(&self, range: Range) -> String {
        let (first, last) = self.addresses.range(self.book, range);
        let cells = format!("{}:{}", a1(first.row, first.column), a1(last.row, last.column));
        if &*first.sheet == self.sheet { cells } else { format!("{}!{cells}", quote_sheet(&first.sheet)) }
    }
}

/// The formula of an expression, without the leading `=`.
pub fn formula(expr: &Expr, names: &impl Names) -> String {
    spell(expr, names).0
}

/// How many operations lie inside one another: a test keeps it small enough to read.
pub fn depth(expr: &Expr) -> usize {
    match expr {
        Expr::Apply(_, parts) => 1 + parts.iter().map(|part| depth(part)).max().unwrap_or(0),
        _ => 0,
    }
}

fn spell(expr: &Expr, names: &impl Names) -> (String, Strength) {
    match expr {
        Expr::Const(value) => (constant(value), Strength::Atom),
        Expr::Cell(fig) => (names.cell(*fig), Strength::Atom),
        Expr::Range(range) => (names.range(*range), Strength::Atom),
        Expr::Inputs(range) => {
            let last = a1(range.last, range.first.column);
            (format!("{}:{last}", range.first), Strength::Atom)
        }
        Expr::Apply(op, parts) => {
            let parts: Vec<_> = parts.iter().map(|part| spell(part, names)).collect();
            op.spell(&parts)
        }
    }
}

/// A constant as a formula writes it. Negative numbers stand in parentheses: there is no unary minus to get wrong.
fn constant(value: &Value) -> String {
    match value {
        Value::Blank => "\"\"".to_owned(),
        Value::Text(text) => text_constant(text),
        Value::Fault(_) => "NA()".to_owned(),
        Value::Exact(_) | Value::Physical(_) | Value::Flag(_) => {
            let printed = value.to_string();
            if printed.starts_with('-') { format!("({printed})") } else { printed }
        }
    }
}

/// Text in quotes; pieces over 250 characters are joined, since a literal may hold 255.
fn text_constant(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let pieces: Vec<String> = chars
        .chunks(250)
        .map(|piece| format!("\"{}\"", piece.iter().collect::<String>().replace('"', "\"\"")))
        .collect();
    match pieces.len() {
        0 => "\"\"".to_owned(),
        1 => pieces.concat(),
        _ => format!("({})", pieces.join("&")),
    }
}
