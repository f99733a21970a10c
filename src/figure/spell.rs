//! Expressions as formula text: the only place that adds parentheses, quotes and addresses.

use super::functions::Op;
use super::spelling::{Piece, Spelling, Strength};
use super::{Book, Expr, Fig, Range, Value};
use crate::figure::address::Addresses;
use crate::place::{push_a1, push_sheet};
use std::fmt::Write;

/// How references are printed.
pub trait Names {
    /// Appends the reference to a cell.
    fn cell(&self, fig: Fig, out: &mut String);
    /// Appends the reference to a stretch of a table column.
    fn range(&self, range: Range, out: &mut String);
}

/// References as a spreadsheet wants them, relative to the sheet the formula stands on.
pub struct Sheetwise<'a> {
    /// The figures referred to.
    pub book: &'a Book,
    /// Where they stand.
    pub addresses: &'a Addresses,
    /// The sheet the formula stands on: references to it have no sheet's name.
    pub sheet: &'a str,
}

impl Sheetwise<'_> {
    fn sheet(&self, name: &str, out: &mut String) {
        if name != self.sheet {
            push_sheet(out, name);
            out.push('!');
        }
    }
}

impl Names for Sheetwise<'_> {
    fn cell(&self, fig: Fig, out: &mut String) {
        if let Some(name) = self.book.name_of(fig) {
            return out.push_str(name);
        }
        let (sheet, row, column) = self.addresses.spot(self.book, fig);
        self.sheet(sheet, out);
        push_a1(out, row, column);
    }

    fn range(&self, range: Range, out: &mut String) {
        let (sheet, first, last) = self.addresses.range(self.book, range);
        self.sheet(sheet, out);
        push_a1(out, first, range.column);
        out.push(':');
        push_a1(out, last, range.column);
    }
}

/// The formula of an expression, without the leading `=`.
pub fn formula(expr: &Expr, names: &impl Names) -> String {
    let mut out = String::with_capacity(64);
    spell(expr, names, Strength::Compare, &mut out);
    out
}

/// How many operations lie inside one another: a test keeps it small enough to read.
pub fn depth(expr: &Expr) -> usize {
    match expr {
        Expr::Apply(_, parts) => 1 + parts.iter().map(depth).max().unwrap_or(0),
        _ => 0,
    }
}

/// Appends an expression, in parentheses where it holds together less tightly than it must.
fn spell(expr: &Expr, names: &impl Names, at_least: Strength, out: &mut String) {
    match expr {
        Expr::Const(value) => out.push_str(&constant(value)),
        Expr::Cell(fig) => names.cell(*fig, out),
        Expr::Range(range) => names.range(*range, out),
        Expr::Inputs(range) => {
            push_sheet(out, &range.first.sheet);
            out.push('!');
            push_a1(out, range.first.row, range.first.column);
            out.push(':');
            push_a1(out, range.last, range.last_column);
        }
        Expr::Apply(op, parts) => {
            let (spelling, strength) = op.spelling();
            if strength < at_least {
                out.push('(');
            }
            apply(*op, spelling, parts, names, out);
            if strength < at_least {
                out.push(')');
            }
        }
    }
}

fn apply(op: Op, spelling: Spelling, parts: &[Expr], names: &impl Names, out: &mut String) {
    let all = |between: char, at_least: Strength, out: &mut String| {
        for (index, part) in parts.iter().enumerate() {
            if index > 0 {
                out.push(between);
            }
            spell(part, names, at_least, out);
        }
    };
    match spelling {
        Spelling::Call(name) => {
            out.push_str(name);
            out.push('(');
            all(',', Strength::Compare, out);
            out.push(')');
        }
        Spelling::Joined => all('&', Strength::Add, out),
        Spelling::Pieces(pieces) => {
            for piece in pieces {
                let (part, at_least) = match piece {
                    Piece::Raw(part) => (*part, Strength::Compare),
                    Piece::Held(part, at_least) => (*part, *at_least),
                    Piece::Text(text) => {
                        out.push_str(text);
                        continue;
                    }
                    Piece::Digits => {
                        // Writing to a String cannot fail.
                        let _ = write!(out, "{}", op.digits());
                        continue;
                    }
                    Piece::Zeros => {
                        out.extend(std::iter::repeat_n('0', usize::from(op.digits())));
                        continue;
                    }
                };
                if let Some(part) = parts.get(part) {
                    spell(part, names, at_least, out);
                }
            }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::{Book, Term, address};
    use crate::place::Place;

    #[test]
    fn looser_operands_stand_in_parentheses() {
        let mut book = Book::new();
        let cell = |book: &mut Book, row| book.input_cell(&Place::new("Runs", row, 2), Value::Blank);
        let (a, b) = (cell(&mut book, 0), cell(&mut book, 1));
        let spelled = |term: &Term, book: &Book| {
            let addresses = address::addresses(book);
            formula(term.expr(), &Sheetwise { book, addresses: &addresses, sheet: "Runs" })
        };
        assert_eq!(spelled(&((&a + &b) * (&a / &b)), &book), "(C1+C2)*(C1/C2)");
        assert_eq!(spelled(&(&a - (&b - &a)), &book), "C1-(C2-C1)");
        assert_eq!(spelled(&(&a * &b).round(3).show(2), &book), "TEXT(ROUND(ROUND(C1*C2,3),2),\"0.00\")");
        assert_eq!(spelled(&Term::join(&[&a, &Term::text(" ft"), &(&a + &b)]), &book), "C1&\" ft\"&C1+C2");
        let column = book.input_column(Place::new("On hand", 3, 0), 89, Vec::new());
        assert_eq!(spelled(&Term::count_filled(&column), &book), "SUMPRODUCT(('On hand'!A4:A90<>\"\")*1)");
    }
}
