//! Each input cell as a term, by the type of its column: the user's cell itself, or a formula that reads it as the reading
//! did. Whoever needs an input takes it from here, so that a cell is read in one way only. Where a spreadsheet would not read
//! a cell as pricing does (`12'6"`, `1 1/4`, the text of a number), a cell of ours reads it, and all formulas point there.

use super::types::{Amount, Feet, Height, Number, PipeSize, Positive, SalesTax, UnitPrice};
use super::{ColumnType, Input, Price, TAXED, Taxed, UNTAXED};
use crate::figure::readings::How;
use crate::figure::{Book, Column, Fault, SheetId, Term, Value};
use crate::model::{At, Field, KeptSheet, Raw, Size};
use crate::place::Place;
use crate::table::columns;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::sync::Arc;

/// What a spreadsheet sees in a cell that stood like this.
pub fn raw_value(raw: &Raw) -> Value {
    match raw {
        Raw::Blank => Value::Blank,
        Raw::Number(n) | Raw::Date(n) => Value::Exact(*n),
        Raw::Text(text) => Value::Text(text.clone()),
        Raw::Flag(flag) => Value::Flag(*flag),
        Raw::Fault(_) => Value::Fault(Fault::NotFound),
    }
}

columns! {
    struct SizeColumns {
        inches: "Inches", words 26;
        size: "Size", words 18;
    }
}

/// The sizes that can be typed as a number of inches, and their keys.
fn put_nominal_sizes(book: &mut Book, sheet: SheetId) -> (Column, Column) {
    let table = book.table(sheet, "Nominal sizes by their inches");
    let SizeColumns { inches, size: keys, .. } = SizeColumns::in_table(book, table);
    let source = "how the trade writes sizes";
    for size in Size::NOMINAL {
        let row = book.row(table);
        let sixteenths = Decimal::from(size.sixteenths());
        book.state(row, inches, Value::Exact((sixteenths / Decimal::from(16)).normalize()), source);
        book.state(row, keys, Value::text(size.key()), source);
    }
    (book.whole(inches), book.whole(keys))
}

impl Book {
    /// The key of whatever size is typed into this cell: `3/4"` for `3/4`, `3/4 in`, `¾` and 0.75. What is no size is a fault,
    /// so that nothing is counted without it in silence.
    pub fn size_typed(&mut self, cell: &Term) -> Term {
        let bare = self.read_once(cell, How::BareSize, cell.bare_size());
        let text = self.read_once(cell, How::SizeText, bare.size_text());
        let Some((inches, keys)) = self.sizes_once(put_nominal_sizes) else { return cell.size_key() };
        let decimal = Term::at(&keys, &Term::row_of(&text.digits(), &inches));
        let key = decimal.or_if_fault(&Term::at(&keys, &Term::row_of(&text.fraction_key(), &keys)));
        self.read_once(cell, How::Size, text.is_blank().pick(&Term::text(""), &key))
    }
}

impl At<Arc<str>> {
    /// The name, live.
    pub fn figure(&self, book: &mut Book) -> Term {
        book.input_cell(&self.place, Value::Text(self.value.clone()))
    }

    /// The cell as it stands, where it says a kind by another name.
    pub fn as_written(&self, book: &mut Book) -> Term {
        book.input_cell(&self.place, Value::Text(self.written.clone()))
    }
}

/// Any cell of the user's that stands so, as a formula sees it.
pub(crate) fn cell_as_typed(book: &mut Book, place: &Place, raw: &Raw) -> Term {
    book.input_cell(place, raw_value(raw))
}

impl<T> Field<T> {
    /// The cell itself, as a formula sees it; `None` where the sheet has no such column.
    pub fn as_typed(&self, book: &mut Book) -> Option<Term> {
        self.cell.as_ref().map(|place| cell_as_typed(book, place, &self.raw))
    }
}

impl KeptSheet {
    /// Any cell of the sheet, as a formula sees it.
    pub fn as_typed(&self, book: &mut Book, row: u32, column: u16) -> Term {
        let value = self.cell(row, column).map_or(Value::Blank, |cell| raw_value(&cell.raw));
        book.input_cell(&self.place(row, column), value)
    }
}

impl Input<Number> {
    /// The number, live.
    pub fn figure(&self, book: &mut Book) -> Term {
        number(self, self.value, Decimal::ZERO, book)
    }
}

impl<const BLANK: u32> Input<Positive<BLANK>> {
    /// The number, live.
    pub fn figure(&self, book: &mut Book) -> Term {
        number(self, self.value, Decimal::from(BLANK), book)
    }
}

impl Input<UnitPrice> {
    /// Dollars, live.
    pub fn figure(&self, book: &mut Book) -> Term {
        number(self, self.value, Decimal::ZERO, book)
    }
}

impl Input<Amount> {
    /// Dollars or a share, live.
    pub fn figure(&self, book: &mut Book) -> Term {
        let number = number(self, self.value.map(Amount::number), Decimal::ZERO, book);
        match self.value {
            // 30 is read as 30 percent: nobody asks for thirty times the total.
            Some(Amount::Share(_)) => {
                number.above(&Term::number(1)).pick(&(&number / Term::number(Decimal::ONE_HUNDRED)), &number)
            }
            _ => number,
        }
    }
}

impl Input<Feet> {
    /// Feet, live.
    pub fn figure(&self, book: &mut Book) -> Term {
        feet(self, book)
    }
}

impl Input<Height> {
    /// Feet, live.
    pub fn figure(&self, book: &mut Book) -> Term {
        feet(self, book)
    }
}

impl Input<PipeSize> {
    /// The key of the size, live: `3/4"`, or an empty text where the cell is blank. What reading had to repair (a fraction as a
    /// date) is read as repaired until somebody types something else.
    pub fn figure(&self, book: &mut Book) -> Term {
        let Some(cell) = self.as_typed(book) else { return Term::text(self.value.map(Size::key).unwrap_or_default()) };
        let live = book.size_typed(&cell);
        match self.value {
            Some(size) if *live.value() != Value::text(size.key()) => {
                let as_typed = Term::constant(raw_value(&self.raw));
                cell.same(&as_typed).pick(&Term::text(size.key()), &live)
            }
            // Unreadable: a finding has said so; it is no size until something else is typed.
            None if !self.is_blank() => {
                let as_typed = Term::constant(raw_value(&self.raw));
                cell.same(&as_typed).pick(&Term::text(""), &live)
            }
            _ => live,
        }
    }
}

impl<const IF_BLANK: bool> Input<SalesTax<IF_BLANK>> {
    /// The rate of tax, live: a share typed there, else what its word says. A cell without a word is taxed at the job's
    /// `rate` where rows of its sheet are, else not at all. Other words are an error.
    pub fn rate(&self, book: &mut Book, rate: &Term) -> Term {
        let none = Term::number(0);
        let blank = if IF_BLANK { rate } else { &none };
        let Some(cell) = self.as_typed(book) else { return blank.clone() };
        let words = [(UNTAXED, &none), (TAXED, rate), ("", blank)];
        let word = words
            .iter()
            .rev()
            .fold(Term::not_found(), |rest, (word, rate)| cell.same(&Term::text(*word)).pick(rate, &rest));
        let live = cell.is_number().pick(&cell, &word);
        let as_typed = || cell.same(&Term::constant(raw_value(&self.raw)));
        let read = match &self.value {
            // Read otherwise than a spreadsheet would: 7 for 7 %.
            Some(Taxed::At(share)) if *live.value() != Value::Exact(*share) => {
                as_typed().pick(&Term::number(*share), &live)
            }
            None if !self.is_blank() => as_typed().pick(blank, &live),
            _ => live,
        };
        book.read_once(&cell, How::Tax, read)
    }
}

impl Price {
    /// Price of one foot or piece of what the row offers, live; `None` for a row that offers nothing.
    pub fn unit_price(&self, book: &mut Book) -> Option<Term> {
        if self.price.value.is_none() || self.pack.value.is_some_and(|pack| pack <= Decimal::ZERO) {
            return None;
        }
        let price = self.price.figure(book);
        Some(match (&self.pack.value, &self.pack.cell) {
            (None, None) => price,
            _ => price / self.pack.figure(book),
        })
    }
}

/// A number from the user's cell, live. A cell that holds the number is pointed at. One that holds its text (`40%`) is read
/// as the reading read it, until somebody types something else there. A blank one gives `default`, likewise until
/// somebody types; without a cell there is only the default.
fn number<T>(field: &Field<T>, value: Option<Decimal>, default: Decimal, book: &mut Book) -> Term {
    let Some(cell) = field.as_typed(book) else { return Term::number(value.unwrap_or(default)) };
    if matches!((&field.raw, value), (Raw::Number(n), Some(value)) if default.is_zero() && *n == value) {
        return cell;
    }
    let plain = cell.plain_number();
    let live = match default.is_zero() {
        true => plain,
        false => cell.is_blank().pick(&Term::number(default), &plain),
    };
    let read = as_read(&field.raw, value.unwrap_or(default), &cell, live);
    book.read_once(&cell, How::Number(default), read)
}

/// Feet from the user's cell, live: a number, or feet and inches typed into the bid later on. Blank is 0.
fn feet(field: &Field<Decimal>, book: &mut Book) -> Term {
    let value = field.value.unwrap_or_default();
    let Some(cell) = field.as_typed(book) else { return Term::number(value) };
    let fractions = book.read_once(&cell, How::Fractions, cell.length_fractions());
    let decimals = book.read_once(&cell, How::Decimals, fractions.length_decimals());
    let text = book.read_once(&cell, How::LengthText, decimals.length_text());
    let read = as_read(&field.raw, value, &cell, cell.feet(&text));
    book.read_once(&cell, How::Feet, read)
}

/// `live`, where that gives what was read; else what was read, until somebody types something else.
fn as_read(raw: &Raw, wanted: Decimal, cell: &Term, live: Term) -> Term {
    if *live.value() == Value::Exact(wanted) {
        return live;
    }
    match raw {
        // An error cannot be compared with anything.
        Raw::Fault(_) => cell.is_number().pick(cell, &Term::number(wanted)),
        raw => cell.same(&Term::constant(raw_value(raw))).pick(&Term::number(wanted), &live),
    }
}

/// The sum of a column of the user's numbers, live; `None` where the job has none.
pub(crate) fn sum_of<'a, K: ColumnType>(book: &Book, cells: impl Iterator<Item = &'a Input<K>>) -> Option<Term> {
    // Sheets of one kind may be several.
    type Cells<'a, K> = Vec<(&'a Place, &'a Input<K>)>;
    let mut columns: BTreeMap<(Arc<str>, u16), Cells<K>> = BTreeMap::new();
    for cell in cells {
        if let Some(place) = &cell.cell {
            columns.entry((place.sheet.clone(), place.column)).or_default().push((place, cell));
        }
    }
    let sums: Vec<Term> = columns
        .into_values()
        .filter_map(|mut cells| {
            cells.sort_by_key(|(place, _)| place.row);
            let (first, last) = (cells.first()?.0.clone(), cells.last()?.0.row);
            let filled = cells.iter().filter(|(_, cell)| !cell.is_blank());
            let filled = filled.map(|(place, cell)| (place.row, raw_value(&cell.raw))).collect();
            Some(Term::sum(&book.input_column(first, last, filled)))
        })
        .collect();
    (!sums.is_empty()).then(|| Term::total(&sums.iter().collect::<Vec<_>>()))
}
