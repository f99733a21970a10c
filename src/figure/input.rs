//! Inputs as terms: the user's cell itself, or a formula that reads it as the engine did.
//!
//! Whoever needs an input takes it from here, so that a cell is read in one way only. Where a spreadsheet would not read a
//! cell as pricing does (`12'6"`, `1 1/4`, the text of a number), a cell of ours reads it, and all formulas point there.

use super::reading::How;
use super::{Book, Column, Expr, InputRange, Term, Value};
use crate::model::columns::{TAXED, UNTAXED};
use crate::model::{Field, Price, Raw, Size, Taxed};
use crate::place::Place;
use rust_decimal::Decimal;
use std::sync::Arc;

impl Book {
    /// A stretch of a column of the user's, from `first` down to row `last`; `filled` are the rows that hold something.
    pub fn input_column(&self, first: Place, last: u32, filled: Vec<(u32, Value)>) -> Column {
        let last_column = first.column;
        self.input_block(first, (last, last_column), filled)
    }

    /// A stretch of several columns of the user's side by side, from `first` to the cell in row and column `last`.
    pub fn input_block(&self, first: Place, last: (u32, u16), filled: Vec<(u32, Value)>) -> Column {
        let values = filled.iter().map(|(_, value)| value.clone()).collect();
        let (last, last_column) = last;
        Column { values, range: Some(Expr::Inputs(Arc::new(InputRange { first, last, last_column, filled }))) }
    }

    /// A stretch without rows.
    pub fn none(&self) -> Column {
        Column { values: Arc::new([]), range: None }
    }

    /// A number from the user's cell, live. A cell that holds the number is pointed at. One that holds its text
    /// (`40%`) is read as the engine read it, until somebody types something else there. A blank one gives
    /// `default`, likewise until somebody types; without a cell there is only the default.
    pub fn number_input(&mut self, field: &Field<Decimal>, default: Decimal) -> Term {
        let Some(place) = &field.cell else { return Term::number(field.value.unwrap_or(default)) };
        let cell = self.input_cell(place, raw_value(&field.raw));
        if matches!((&field.raw, field.value), (Raw::Number(n), Some(value)) if default.is_zero() && *n == value) {
            return cell;
        }
        let plain = cell.plain_number();
        let live = match default.is_zero() {
            true => plain,
            false => cell.is_blank().pick(&Term::number(default), &plain),
        };
        let read = as_read(field, &cell, live, default);
        self.read_once(&cell, How::Number(default), read)
    }

    /// Feet from the user's cell, live: a number, or feet and inches typed into the bid later on. Blank is 0.
    pub fn length_input(&mut self, field: &Field<Decimal>) -> Term {
        let zero = Decimal::ZERO;
        let Some(place) = &field.cell else { return Term::number(field.value.unwrap_or(zero)) };
        let cell = self.input_cell(place, raw_value(&field.raw));
        let fractions = self.read_once(&cell, How::Fractions, cell.length_fractions());
        let decimals = self.read_once(&cell, How::Decimals, fractions.length_decimals());
        let text = self.read_once(&cell, How::LengthText, decimals.length_text());
        let read = as_read(field, &cell, cell.feet(&text), zero);
        self.read_once(&cell, How::Feet, read)
    }

    /// The rate of tax that a Tax cell gives, live: a share typed there, else what its word says. A cell without a word
    /// is taxed at the job's `rate` where `taxed` says that rows are, else not at all. Other words are an error.
    pub fn tax_input(&mut self, field: &Field<Taxed>, rate: &Term, taxed: bool) -> Term {
        let none = Term::number(0);
        let blank = if taxed { rate } else { &none };
        let Some(place) = &field.cell else { return blank.clone() };
        let cell = self.input_cell(place, raw_value(&field.raw));
        let words = [(UNTAXED, &none), (TAXED, rate), ("", blank)];
        let word = words
            .iter()
            .rev()
            .fold(Term::not_found(), |rest, (word, rate)| cell.same(&Term::text(*word)).pick(rate, &rest));
        // A bare 1 or more is that many percent to pricing, unless the cell shows percents: no formula sees that.
        let share = cell.at_least(&Term::number(1)).pick(&Term::not_found(), &cell);
        let live = cell.is_number().pick(&share, &word);
        let as_typed = || cell.same(&Term::constant(raw_value(&field.raw)));
        let read = match &field.value {
            // Read otherwise than a spreadsheet would: 7 for 7 %.
            Some(Taxed::At(share)) if *live.value() != Value::Exact(*share) => {
                as_typed().pick(&Term::number(*share), &live)
            }
            None if !field.is_blank() => as_typed().pick(blank, &live),
            _ => live,
        };
        self.read_once(&cell, How::Tax, read)
    }

    /// Price of one foot or piece of what a row of Prices offers, live; `None` for a row that offers nothing.
    pub fn unit_price(&mut self, offer: &Price) -> Option<Term> {
        if offer.price.value.is_none() || offer.pack.value.is_some_and(|pack| pack <= Decimal::ZERO) {
            return None;
        }
        let price = self.number_input(&offer.price, Decimal::ZERO);
        Some(match (&offer.pack.value, &offer.pack.cell) {
            (None, None) => price,
            _ => price / self.number_input(&offer.pack, Decimal::ONE),
        })
    }

    /// A size key from the user's cell, live: `3/4"`, or an empty text where the cell is blank. What the engine had to
    /// repair (a fraction as a date) is read as repaired until somebody types something else.
    pub fn size_input(&mut self, field: &Field<Size>) -> Term {
        let Some(place) = &field.cell else { return Term::text(field.value.map(Size::key).unwrap_or_default()) };
        let cell = self.input_cell(place, raw_value(&field.raw));
        let live = self.size_typed(&cell);
        match field.value {
            Some(size) if *live.value() != Value::text(size.key()) => {
                let as_typed = Term::constant(raw_value(&field.raw));
                cell.same(&as_typed).pick(&Term::text(size.key()), &live)
            }
            // Unreadable: a finding has said so; it is no size until something else is typed.
            None if !field.is_blank() => {
                let as_typed = Term::constant(raw_value(&field.raw));
                cell.same(&as_typed).pick(&Term::text(""), &live)
            }
            _ => live,
        }
    }

    /// The key of whatever size is typed into this cell: `3/4"` for `3/4`, `3/4 in`, `¾` and 0.75. What is no size is a fault,
    /// so that nothing is counted without it in silence.
    pub fn size_typed(&mut self, cell: &Term) -> Term {
        let bare = self.read_once(cell, How::BareSize, cell.bare_size());
        let text = self.read_once(cell, How::SizeText, bare.size_text());
        let Some((inches, keys)) = self.nominal_sizes() else { return cell.size_key() };
        let decimal = Term::at(&keys, &Term::row_of(&text.digits(), &inches));
        let key = decimal.or_if_fault(&Term::at(&keys, &Term::row_of(&text.fraction_key(), &keys)));
        self.read_once(cell, How::Size, text.is_blank().pick(&Term::text(""), &key))
    }
}

/// `live`, where that gives what the engine read; else what it read, until somebody types something else.
fn as_read(field: &Field<Decimal>, cell: &Term, live: Term, default: Decimal) -> Term {
    let wanted = field.value.unwrap_or(default);
    if *live.value() == Value::Exact(wanted) {
        return live;
    }
    match &field.raw {
        // An error cannot be compared with anything.
        Raw::Fault(_) => cell.is_number().pick(cell, &Term::number(wanted)),
        raw => cell.same(&Term::constant(raw_value(raw))).pick(&Term::number(wanted), &live),
    }
}

/// What a spreadsheet sees in a cell that stood like this.
pub fn raw_value(raw: &Raw) -> Value {
    match raw {
        Raw::Blank => Value::Blank,
        Raw::Number(n) | Raw::Date(n) => Value::Exact(*n),
        Raw::Text(text) => Value::Text(text.clone()),
        Raw::Flag(flag) => Value::Flag(*flag),
        Raw::Fault(_) => Value::Fault(super::Fault::NotFound),
    }
}
