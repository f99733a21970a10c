//! Formulas that fit a cell, however many cells they are about: operands that stand together become a range, and what is
//! too long or nested too deep even so is worked out piece by piece, each piece in a cell of its own.
//!
//! Excel 2010 takes 255 arguments, 8,192 characters and 64 levels; LibreOffice and Gnumeric no fewer. The limits here
//! stay well below, since lengths are reckoned and not spelled.

use super::functions::Op;
use super::layout::Pieces;
use super::spelling::{Piece, Spelling};
use super::{Book, ColumnLook, Expr, Fault, Fig, Home, Range, SheetId, Term, Value, evaluate};
use crate::unit::Unit;

/// Operands of one function.
pub(crate) const ARGUMENTS: usize = 200;
/// Characters of one formula.
pub(crate) const CHARACTERS: usize = 4_000;
/// Operations inside one another. An operation may be spelled with three functions inside one another.
pub(crate) const LEVELS: usize = 18;
/// So many operands that stand one below the other are a range.
const TOGETHER: usize = 3;
/// An address with its column, its row, and the marks around a sheet's name.
const ADDRESS: usize = 14;

impl Book {
    /// The sheet at whose foot the book may put tables of its own.
    pub fn own_tables_on(&mut self, sheet: SheetId) {
        self.own_sheet = Some(sheet);
    }

    /// The same expression, as a formula that every spreadsheet program takes, and that reads the user's numbers as pricing
    /// does.
    pub(super) fn fitted(&mut self, expr: &Expr) -> Expr {
        let expr =
            if self.own_sheet.is_some() && passes_over_words(expr) { self.reading_numbers(expr) } else { expr.clone() };
        let expr = self.counting(&expr);
        let expr = if is_listed(&expr) { self.gathered(&expr) } else { expr };
        let expr = if picks_of_one(&expr) { self.without_index_of_one(&expr) } else { expr };
        match self.own_sheet {
            Some(sheet) if !self.fits(&expr) => self.in_pieces(sheet, expr),
            _ => expr,
        }
    }

    /// Whether a spreadsheet program takes it.
    fn fits(&self, expr: &Expr) -> bool {
        most_arguments(expr) <= ARGUMENTS && self.length(expr) <= CHARACTERS && levels(expr) <= LEVELS
    }

    /// Cells of the user's that a sum, a least or a greatest is taken over, as cells of ours that read them: these functions
    /// pass over the text of a number, which pricing reads.
    fn reading_numbers(&mut self, expr: &Expr) -> Expr {
        let Expr::Apply(op, parts) = expr else { return expr.clone() };
        let read = |part: &Expr| match takes_ranges(*op) {
            true => self.as_number(part),
            false => self.reading_numbers(part),
        };
        Expr::Apply(*op, parts.iter().map(read).collect())
    }

    /// A number of the user's that is handed on as it stands, as a sum with nothing. So the text of a number counts: a cell
    /// that merely points at it would hold the text, and sums over such cells pass over it.
    fn counting(&self, expr: &Expr) -> Expr {
        match expr {
            Expr::Cell(fig) if self.is_typed_number(*fig) => {
                Expr::Apply(Op::Add, [expr.clone(), Expr::Const(Value::Exact(0.into()))].into())
            }
            Expr::Apply(Op::If, parts) => match &parts[..] {
                [condition, then, otherwise] if !is_number_test(condition) => {
                    let (then, otherwise) = (self.counting(then), self.counting(otherwise));
                    Expr::Apply(Op::If, [condition.clone(), then, otherwise].into())
                }
                _ => expr.clone(),
            },
            Expr::Apply(Op::IfFault, parts) => {
                Expr::Apply(Op::IfFault, parts.iter().map(|part| self.counting(part)).collect())
            }
            _ => expr.clone(),
        }
    }

    fn is_typed_number(&self, fig: Fig) -> bool {
        let number = self.value(fig).is_number();
        // Dates are shown, and never added up.
        number && matches!(self.home(fig), Home::Input(_)) && self.unit_of(fig) != Unit::Date
    }

    /// INDEX over a single cell, which Gnumeric does not know, as the condition that it is the first row that is asked for.
    fn without_index_of_one(&self, expr: &Expr) -> Expr {
        let Expr::Apply(op, parts) = expr else { return expr.clone() };
        let parts: Vec<Expr> = parts.iter().map(|part| self.without_index_of_one(part)).collect();
        match (op, &parts[..]) {
            (Op::Pick, [Expr::Range(range), row]) if range.first == range.last => {
                let cell = self.cell_at(range.table, range.first, range.column);
                let cell = cell.map_or(Expr::Const(Value::text("")), Expr::Cell);
                let first = Expr::Apply(Op::Same, [row.clone(), Expr::Const(Value::Exact(1.into()))].into());
                Expr::Apply(Op::If, [first, cell, Expr::Const(Value::Fault(Fault::NotFound))].into())
            }
            _ => Expr::Apply(*op, parts.into()),
        }
    }

    /// Cells of one column that are listed one below the other, as a range.
    fn gathered(&self, expr: &Expr) -> Expr {
        let Expr::Apply(op, parts) = expr else { return expr.clone() };
        let parts: Vec<Expr> = parts.iter().map(|part| self.gathered(part)).collect();
        if !takes_ranges(*op) {
            return Expr::Apply(*op, parts.into());
        }
        let mut listed: Vec<Expr> = Vec::with_capacity(parts.len());
        let mut rest = &parts[..];
        while let Some((first, others)) = rest.split_first() {
            let count = self.together(rest);
            match self.stretch_of(first, count) {
                Some(range) => {
                    listed.push(range);
                    rest = &rest[count..];
                }
                None => {
                    listed.push(first.clone());
                    rest = others;
                }
            }
        }
        Expr::Apply(*op, listed.into())
    }

    /// How many of the cells at the front stand one below the other.
    fn together(&self, parts: &[Expr]) -> usize {
        let spots = parts.iter().map_while(|part| self.table_cell(part));
        let mut count = 0;
        let mut before: Option<Range> = None;
        for spot in spots {
            let follows = before.is_none_or(|above| {
                (above.table, above.column, above.last + 1) == (spot.table, spot.column, spot.first)
            });
            if !follows {
                break;
            }
            before = Some(spot);
            count += 1;
        }
        count
    }

    fn stretch_of(&self, first: &Expr, count: usize) -> Option<Expr> {
        let range = self.table_cell(first).filter(|_| count >= TOGETHER)?;
        Some(Expr::Range(Range { last: range.first + count as u32 - 1, ..range }))
    }

    /// A cell of a table of ours, as a range of one row.
    fn table_cell(&self, expr: &Expr) -> Option<Range> {
        let Expr::Cell(fig) = expr else { return None };
        match self.home(*fig) {
            Home::Table(row, column) => {
                Some(Range { table: row.table, column: *column, first: row.index, last: row.index })
            }
            Home::Input(_) | Home::Line(..) => None,
        }
    }

    /// Puts pieces of the expression into cells of their own until the rest fits.
    fn in_pieces(&mut self, sheet: SheetId, expr: Expr) -> Expr {
        let Expr::Apply(op, parts) = &expr else { return expr };
        let mut parts: Vec<Expr> = parts.iter().map(|part| self.fitted(part)).collect();
        if takes_any_number(*op) && (parts.len() > ARGUMENTS || self.lengths(&parts) > CHARACTERS) {
            return self.in_lists(sheet, *op, parts);
        }
        loop {
            let rest = Expr::Apply(*op, parts.clone().into());
            if self.fits(&rest) {
                return rest;
            }
            // The longest piece, or else the deepest, moves out.
            let too_long = self.length(&rest) > CHARACTERS;
            let weight = |part: &Expr| if too_long { self.length(part) } else { levels(part) };
            let movable = (0..parts.len()).filter(|at| matches!(parts[*at], Expr::Apply(..)));
            let Some(at) = movable.max_by_key(|at| weight(&parts[*at])) else { return rest };
            parts[at] = self.piece(sheet, parts[at].clone());
        }
    }

    /// A long list of operands as several shorter ones, each in a cell of its own; those cells stand together.
    fn in_lists(&mut self, sheet: SheetId, op: Op, parts: Vec<Expr>) -> Expr {
        let mut lists: Vec<Vec<Expr>> = vec![Vec::new()];
        let mut length = 0;
        for part in parts {
            let own = self.length(&part) + 1;
            // A least or greatest names its cells twice.
            let full = length + own > CHARACTERS / 3 || lists.last().is_some_and(|list| list.len() == ARGUMENTS / 2);
            if full && lists.last().is_some_and(|list| !list.is_empty()) {
                lists.push(Vec::new());
                length = 0;
            }
            length += own;
            if let Some(list) = lists.last_mut() {
                list.push(part);
            }
        }
        let pieces: Vec<Expr> = lists.into_iter().map(|list| self.piece(sheet, list_of(op, list))).collect();
        self.fitted(&Expr::Apply(op, pieces.into()))
    }

    /// The expression in a cell of its own.
    fn piece(&mut self, sheet: SheetId, expr: Expr) -> Expr {
        let pieces = self.pieces.unwrap_or_else(|| {
            let table = self.table(sheet, "Parts of formulas that are too long for one cell");
            let what = self.column_like(table, "Part", ColumnLook::plain(Unit::None, 26.0));
            let column = self.column_like(table, "Value", ColumnLook::plain(Unit::None, 18.0));
            Pieces { column, what }
        });
        self.pieces = Some(pieces);
        let row = self.row(pieces.column.table());
        let number = row.index + 1;
        self.label(row, pieces.what, &format!("part {number}"));
        let value = evaluate::value(self, &expr);
        let whole = Term::made(value, expr);
        self.put(row, pieces.column, whole).expr().clone()
    }

    /// About how many characters the expression takes as a formula; never fewer than it does.
    fn length(&self, expr: &Expr) -> usize {
        match expr {
            Expr::Const(Value::Text(text)) => 2 * text.chars().count() + 12,
            Expr::Const(_) => 34,
            Expr::Cell(fig) => self.address_length(*fig),
            Expr::Range(range) => {
                let SheetId(sheet) = self.table_spec(range.table).sheet;
                self.sheets()[usize::from(sheet)].name.chars().count() + 2 * ADDRESS
            }
            Expr::Inputs(range) => range.first.sheet.chars().count() * 2 + 2 * ADDRESS,
            Expr::Apply(op, parts) => match op.spelling().0 {
                Spelling::Call(name) => name.len() + 4 + self.lengths(parts),
                Spelling::Joined => 4 + self.lengths(parts),
                Spelling::Pieces(pieces) => {
                    let piece = |piece: &Piece| match piece {
                        Piece::Text(text) => text.chars().count(),
                        Piece::Raw(at) | Piece::Held(at, _) => parts.get(*at).map_or(0, |part| self.length(part) + 2),
                        Piece::Digits => 3,
                        Piece::Zeros => usize::from(op.digits()),
                    };
                    2 + pieces.iter().map(piece).fold(0, usize::saturating_add)
                }
            },
        }
    }

    fn lengths(&self, parts: &[Expr]) -> usize {
        parts.iter().map(|part| self.length(part) + 1).fold(0, usize::saturating_add)
    }

    fn address_length(&self, fig: Fig) -> usize {
        if let Some(name) = self.name_of(fig) {
            return name.chars().count();
        }
        let sheet = match self.home(fig) {
            // Quotes within the name are doubled.
            Home::Input(place) => place.sheet.chars().count() * 2,
            Home::Table(row, _) => {
                let SheetId(sheet) = self.table_spec(row.table).sheet;
                self.sheets()[usize::from(sheet)].name.chars().count()
            }
            Home::Line(sheet, _) => self.sheets()[usize::from(sheet.0)].name.chars().count(),
        };
        sheet + ADDRESS
    }
}

/// One of several lists. Words count neither for a least nor for a greatest: a list without a number must not count as 0.
fn list_of(op: Op, parts: Vec<Expr>) -> Expr {
    let whole = Expr::Apply(op, parts.clone().into());
    if !matches!(op, Op::Min | Op::Max) {
        return whole;
    }
    let count = Expr::Apply(Op::CountNumbers, parts.into());
    let none = Expr::Const(Value::Exact(0.into()));
    let any = Expr::Apply(Op::Above, [count, none].into());
    Expr::Apply(Op::If, [any, whole, Expr::Const(Value::text(""))].into())
}

/// Whether the operation takes a list of any length, and lists of such lists.
fn takes_any_number(op: Op) -> bool {
    takes_ranges(op) || matches!(op, Op::And | Op::Or | Op::Join)
}

/// Whether a range stands for the cells in it, one by one.
fn takes_ranges(op: Op) -> bool {
    matches!(op, Op::Sum | Op::Min | Op::Max | Op::CountNumbers)
}

fn is_number_test(condition: &Expr) -> bool {
    matches!(condition, Expr::Apply(Op::IsNumber, _))
}

/// Whether it looks into a range of one cell.
fn picks_of_one(expr: &Expr) -> bool {
    let Expr::Apply(op, parts) = expr else { return false };
    let of_one = || matches!(parts.first(), Some(Expr::Range(range)) if range.first == range.last);
    *op == Op::Pick && of_one() || parts.iter().any(picks_of_one)
}

/// Whether there is a function in it that passes over words in cells.
fn passes_over_words(expr: &Expr) -> bool {
    let Expr::Apply(op, parts) = expr else { return false };
    takes_ranges(*op) || parts.iter().any(passes_over_words)
}

/// Whether anything in it lists enough cells to make a range of them.
fn is_listed(expr: &Expr) -> bool {
    let Expr::Apply(op, parts) = expr else { return false };
    let cells = || parts.iter().filter(|part| matches!(part, Expr::Cell(_))).count();
    takes_ranges(*op) && cells() >= TOGETHER || parts.iter().any(is_listed)
}

fn most_arguments(expr: &Expr) -> usize {
    let Expr::Apply(_, parts) = expr else { return 0 };
    parts.iter().map(most_arguments).max().unwrap_or(0).max(parts.len())
}

fn levels(expr: &Expr) -> usize {
    let Expr::Apply(_, parts) = expr else { return 0 };
    1 + parts.iter().map(levels).max().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::ColumnId;
    use crate::figure::spell::{Sheetwise, formula};
    use crate::figure::{address, stale};
    use rust_decimal::Decimal;

    /// A table of so many numbers, 1, 2, 3 and on, and a list to put figures into.
    struct Made {
        book: Book,
        numbers: Vec<Term>,
        total: ColumnId,
    }

    impl Made {
        fn of(count: u64, every: usize) -> Self {
            let mut book = Book::new();
            let own = book.sheet("Own", false);
            book.own_tables_on(own);
            let sheet = book.sheet("A sheet with a long name", false);
            let table = book.table(sheet, "Numbers");
            let column = book.column(table, "Number", Unit::Each);
            let mut numbers = Vec::new();
            for number in 1..=count {
                let row = book.row(table);
                numbers.push(book.state(row, column, Value::Exact(number.into()), "counted"));
                (1..every).for_each(|_| {
                    book.row(table);
                });
            }
            let list = book.list(own, "");
            let total = book.column(list, "", Unit::Each);
            Self { book, numbers, total }
        }

        fn put(&mut self, term: Term) -> Term {
            let row = self.book.row(self.total.table());
            self.book.put(row, self.total, term)
        }

        fn spelled(&self, term: &Term) -> String {
            let addresses = address::addresses(&self.book);
            let names = Sheetwise { book: &self.book, addresses: &addresses, sheet: "Own" };
            formula(self.book.expr(term.fig().unwrap()).unwrap(), &names)
        }

        fn all_fit(&self) {
            let addresses = address::addresses(&self.book);
            for fig in (0..self.book.cells.len() as u32).map(Fig) {
                let Some(expr) = self.book.expr(fig) else { continue };
                let spelled = formula(expr, &Sheetwise { book: &self.book, addresses: &addresses, sheet: "Own" });
                assert!(self.book.fits(expr), "{spelled}");
                assert!(spelled.len() <= self.book.length(expr), "reckoned {}: {spelled}", self.book.length(expr));
            }
            assert_eq!(stale(&self.book), []);
            assert!(self.book.defects().is_empty(), "{:?}", self.book.defects());
        }
    }

    #[test]
    fn cells_that_stand_together_are_a_range() {
        let mut made = Made::of(300, 1);
        let sum = Term::total(&made.numbers.iter().collect::<Vec<_>>());
        let sum = made.put(sum);
        assert_eq!(made.spelled(&sum), "SUM('A sheet with a long name'!A3:A302)");
        let [a, b, c, d] = [9, 3, 4, 5].map(|at: usize| made.numbers[at].clone());
        let some = made.put(Term::total(&[&a, &b, &c, &d]));
        assert_eq!(made.spelled(&some), "SUM('A sheet with a long name'!A12,'A sheet with a long name'!A6:A8)");
        made.all_fit();
    }

    #[test]
    fn scattered_cells_are_summed_in_parts() {
        for count in [3, 100, 256, 700, 3_000] {
            let mut made = Made::of(count, 2);
            let numbers: Vec<&Term> = made.numbers.iter().collect();
            let (sum, least, most) = (Term::total(&numbers), Term::least_of(&numbers), Term::greatest_of(&numbers));
            for (term, expected) in [(sum, count * (count + 1) / 2), (least, 1), (most, count)] {
                let put = made.put(term);
                assert_eq!(*put.value(), Value::Exact(Decimal::from(expected)));
            }
            made.all_fit();
        }
    }

    #[test]
    fn the_least_of_cells_of_words_and_numbers_is_a_number_however_many_they_are() {
        let mut made = Made::of(0, 1);
        let mut cells: Vec<Term> = (0..600).map(|_| made.put(Term::text("none"))).rev().collect();
        cells.push(made.put(Term::number(7)));
        let least = made.put(Term::least_of(&cells.iter().collect::<Vec<_>>()));
        assert_eq!(*least.value(), Value::Exact(7.into()));
        made.all_fit();
    }

    #[test]
    fn what_is_nested_too_deep_or_too_long_moves_out() {
        let mut made = Made::of(400, 2);
        let numbers = made.numbers.clone();
        let chain = numbers.iter().cloned().reduce(|a, b| a.min(&b)).unwrap();
        let chosen = numbers.iter().rev().fold(Term::text("none"), |rest, number| {
            number.above(&Term::number(395)).pick(&Term::join(&[number, &Term::text(" is it")]), &rest)
        });
        let words: Vec<&Term> = numbers.iter().collect();
        let expected: String = (1..=400).map(|number| number.to_string()).collect();
        for (term, expected) in
            [(chain, "1".to_owned()), (chosen, "396 is it".to_owned()), (Term::join(&words), expected)]
        {
            let put = made.put(term);
            assert_eq!(put.value().to_string(), expected);
        }
        made.all_fit();
    }
}
