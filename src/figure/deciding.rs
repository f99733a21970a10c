//! Which cells decided a figure: of a sum the cells that added to it, of a look-up the one that was found, of a condition the
//! side that was taken. A formula names whole columns; whoever asks why a figure is what it is wants the few rows that made it.

use super::functions::Op;
use super::matching::matches;
use super::operand::Operand;
use super::{Book, Expr, Fig, Value, evaluate};
use crate::place::Place;

/// The cells that decided, in the order the formula names them, each once; and how many others it looks at.
#[derive(Debug, Default, PartialEq)]
pub struct Deciding {
    /// In the order the formula names them.
    pub cells: Vec<Fig>,
    /// How many other cells the formula looks at.
    pub passed_over: usize,
}

/// What decided the figure; nothing for an input, a rule or a choice.
pub fn deciding(book: &Book, fig: Fig) -> Deciding {
    let mut found = Found { book, deciding: Deciding::default() };
    if let Some(expr) = book.expr(fig) {
        found.gather(expr);
    }
    let mut once = std::collections::HashSet::new();
    found.deciding.cells.retain(|cell| once.insert(*cell));
    found.deciding
}

/// Whether this is the cell of a formula that is blank and rests on no cell, nor do those that it looks at.
fn is_nothing(book: &Book, of: &[Expr]) -> bool {
    let [Expr::Cell(fig)] = of else { return false };
    book.value(*fig) == &Value::text("") && rests_on_nothing(book, *fig)
}

fn rests_on_nothing(book: &Book, fig: Fig) -> bool {
    book.expr(fig).is_some() && deciding(book, fig).cells.into_iter().all(|cell| rests_on_nothing(book, cell))
}

/// What was found so far.
struct Found<'a> {
    book: &'a Book,
    deciding: Deciding,
}

impl Found<'_> {
    fn gather(&mut self, expr: &Expr) {
        let book = self.book;
        let (op, parts) = match expr {
            Expr::Apply(op, parts) => (*op, &**parts),
            other => return self.deciding.cells.extend(cells(book, other).into_iter().flatten()),
        };
        match (op, parts) {
            (Op::SumWhere, [amounts, keys @ ..]) => self.sum_where(amounts, keys),
            (Op::CountWhere, keys) => {
                let met = rows_met(book, keys);
                self.ranges(keys, |row, _| met.contains(&row));
            }
            (Op::SumProduct, [a, b]) => self.sum_product(a, b),
            (Op::Pick, [range, row]) => {
                self.gather(row);
                self.row(range, evaluate::value(book, row).as_f64().floor());
            }
            (Op::RowOf | Op::RowAtLeast, [key, range]) => {
                self.gather(key);
                self.row(range, evaluate::value(book, expr).as_f64());
            }
            // A cell that is blank for want of anything to find says no more than that.
            (Op::If, [Expr::Apply(Op::IsBlank, of), yes, _]) if is_nothing(book, of) => self.gather(yes),
            (Op::If, [condition, yes, no]) => {
                self.gather(condition);
                self.gather(if evaluate::value(book, condition).truth() == Ok(true) { yes } else { no });
            }
            (Op::IfFault, [first, instead]) => {
                self.gather(first);
                if evaluate::value(book, first).fault().is_some() {
                    self.gather(instead);
                }
            }
            (Op::Sum, parts) => parts.iter().for_each(|part| match part {
                Expr::Apply(..) | Expr::Const(_) => self.gather(part),
                _ => self.retain(&cells(book, part), |_, cell| adds(book, cell)),
            }),
            (Op::Min | Op::Max, parts) => {
                let extreme = evaluate::value(book, expr);
                self.ranges(parts, |_, cell| *book.value(cell) == extreme);
            }
            (_, parts) => parts.iter().for_each(|part| self.gather(part)),
        }
    }

    fn sum_where(&mut self, amounts: &Expr, keys: &[Expr]) {
        let book = self.book;
        let amounts = cells(book, amounts);
        let met = rows_met(book, keys);
        let (ranges, keys): (Vec<&Expr>, Vec<&Expr>) = keys.iter().partition(|key| is_range(key));
        let ranges: Vec<Vec<Option<Fig>>> = ranges.into_iter().map(|range| cells(book, range)).collect();
        for (row, amount) in amounts.iter().enumerate().filter_map(|(row, amount)| Some((row, (*amount)?))) {
            if !(met.contains(&row) && adds(book, amount)) {
                self.deciding.passed_over += 1;
                continue;
            }
            self.deciding.cells.push(amount);
            // What the row is a row of is a reason too, where it is figured: the size that was chosen.
            let keys = ranges.iter().filter_map(|range| range.get(row).copied().flatten());
            self.deciding.cells.extend(keys.filter(|key| book.expr(*key).is_some()));
        }
        keys.into_iter().for_each(|key| self.gather(key));
    }

    fn sum_product(&mut self, a: &Expr, b: &Expr) {
        let book = self.book;
        let sides = [cells(book, a), cells(book, b)];
        let both = |row: usize, _| {
            sides.iter().all(|side| side.get(row).copied().flatten().is_some_and(|cell| adds(book, cell)))
        };
        sides.iter().for_each(|side| self.retain(side, both));
    }

    /// Of a range the row of this number, from 1.
    fn row(&mut self, range: &Expr, number: f64) {
        self.retain(&cells(self.book, range), |index, _| index as f64 + 1.0 == number);
    }

    /// Of ranges the cells that decide, of other parts what decided them.
    fn ranges(&mut self, parts: &[Expr], decides: impl Fn(usize, Fig) -> bool) {
        for part in parts {
            match is_range(part) {
                true => self.retain(&cells(self.book, part), &decides),
                false => self.gather(part),
            }
        }
    }

    /// Takes the cells of a range that decide, and counts the others.
    fn retain(&mut self, cells: &[Option<Fig>], decides: impl Fn(usize, Fig) -> bool) {
        for (row, cell) in cells.iter().enumerate().filter_map(|(row, cell)| Some((row, (*cell)?))) {
            match decides(row, cell) {
                true => self.deciding.cells.push(cell),
                false => self.deciding.passed_over += 1,
            }
        }
    }
}

fn is_range(expr: &Expr) -> bool {
    matches!(expr, Expr::Range(_) | Expr::Inputs(_))
}

/// Whether a cell makes a difference to a sum. A fault does.
fn adds(book: &Book, cell: Fig) -> bool {
    match book.value(cell) {
        Value::Fault(_) => true,
        Value::Exact(number) => !number.is_zero(),
        Value::Physical(number) => *number != 0.0,
        Value::Blank | Value::Text(_) | Value::Flag(_) => false,
    }
}

/// Rows (from 0) that meet all pairs of range and key.
fn rows_met(book: &Book, pairs: &[Expr]) -> std::collections::HashSet<usize> {
    let values: Vec<Vec<Value>> = pairs.iter().map(|part| evaluate::values(book, part)).collect();
    let operands: Vec<Operand> = values.iter().map(|values| Operand::Many(values)).collect();
    let rows = values.first().map_or(0, Vec::len);
    (0..rows).filter(|row| matches(&operands, *row)).collect()
}

/// The cells of a range, row by row, or the one cell that an expression is; nothing where no figure stands.
fn cells(book: &Book, expr: &Expr) -> Vec<Option<Fig>> {
    match expr {
        Expr::Const(_) | Expr::Apply(..) => Vec::new(),
        Expr::Cell(fig) => vec![Some(*fig)],
        Expr::Range(range) => {
            (range.first..=range.last).map(|row| book.cell_at(range.table, row, range.column)).collect()
        }
        Expr::Inputs(range) => {
            let at = |row| Place { row, ..range.first.clone() };
            range.filled.iter().map(|(row, _)| book.inputs.get(&at(*row)).copied()).collect()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::Term;
    use crate::unit::Unit;

    /// A table of kinds and counts, and a figure made from its two columns.
    fn of(make: impl Fn(&crate::figure::Column, &crate::figure::Column) -> Term) -> (Vec<String>, usize) {
        let mut book = Book::new();
        let sheet = book.sheet("Counts", false);
        let table = book.table(sheet, "Pieces");
        let kind = book.column(table, "Kind", Unit::None);
        let count = book.column(table, "Count", Unit::Each);
        for (name, number) in [("tee", 3), ("elbow", 5), ("tee", 0), ("tee", 4)] {
            let row = book.row(table);
            book.label(row, kind, name);
            book.state(row, count, Value::Exact(number.into()), "counted");
        }
        let (kind, count) = (book.whole(kind), book.whole(count));
        let list = book.list(sheet, "");
        let column = book.column(list, "", Unit::Each);
        let row = book.row(list);
        let figure = book.put(row, column, make(&kind, &count));
        let found = deciding(&book, figure.fig().expect("a figure that was put has a cell"));
        (found.cells.iter().map(|cell| book.value(*cell).to_string()).collect(), found.passed_over)
    }

    #[test]
    fn a_sum_rests_on_the_rows_that_added_to_it() {
        let (cells, others) = of(|kind, count| Term::sum_where(count, &[(kind, &Term::text("tee"))]));
        assert_eq!((cells, others), (vec!["3".to_owned(), "4".to_owned()], 2), "an elbow and a tee of none stay out");
        let (cells, others) = of(|_, count| Term::sum(count));
        assert_eq!((cells, others), (vec!["3".to_owned(), "5".to_owned(), "4".to_owned()], 1));
    }

    #[test]
    fn a_look_up_rests_on_what_it_found_and_the_greatest_on_itself() {
        let (cells, others) = of(|kind, count| Term::at(count, &Term::row_of(&Term::text("elbow"), kind)));
        assert_eq!((cells, others), (vec!["elbow".to_owned(), "5".to_owned()], 6));
        let (cells, others) = of(|_, count| Term::greatest(count));
        assert_eq!((cells, others), (vec!["5".to_owned()], 3));
    }
}
