//! Inputs as terms: the user's cell itself, or a formula that reads it as the engine did.

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
    /// (`12'6"`, `40%`) is read as the engine read it, until somebody types a number there. A blank one gives
    /// `default`, likewise until somebody types; without a cell there is only the default.
    pub fn number_input(&mut self, field: &Field<Decimal>, default: Decimal) -> Term {
        let Some(place) = &field.cell else { return Term::number(field.value.unwrap_or(default)) };
        let cell = self.input_cell(place, raw_value(&field.raw));
        match (&field.raw, field.value) {
            (Raw::Number(n), Some(value)) if *n == value => cell,
            (Raw::Blank, _) => cell.is_blank().pick(&Term::number(default), &cell),
            (_, Some(value)) => {
                let as_typed = Term::constant(raw_value(&field.raw));
                cell.same(&as_typed).pick(&Term::number(value), &cell)
            }
            // Unreadable: a finding has said so; the default stands.
            (_, None) => cell.is_number().pick(&cell, &Term::number(default)),
        }
    }

    /// Feet from the user's cell, live: a number, or feet and inches typed into the bid later on.
    pub fn length_input(&mut self, field: &Field<Decimal>) -> Term {
        let zero = Decimal::ZERO;
        let Some(place) = &field.cell else { return Term::number(field.value.unwrap_or(zero)) };
        let cell = self.input_cell(place, raw_value(&field.raw));
        let live = cell.feet();
        match field.value {
            Some(value) if *live.value() == Value::Exact(value) => live,
            None if field.is_blank() => cell.is_blank().pick(&Term::number(zero), &live),
            _ => self.number_input(field, zero),
        }
    }

    /// The rate of tax that a Tax cell gives, live: a share typed there, else what its word says. A cell without a word
    /// is taxed at the job's `rate` where `taxed` says that rows are, else not at all.
    pub fn tax_input(&mut self, field: &Field<Taxed>, rate: &Term, taxed: bool) -> Term {
        let none = Term::number(0);
        let Some(place) = &field.cell else { return if taxed { rate.clone() } else { none } };
        let cell = self.input_cell(place, raw_value(&field.raw));
        let word = match taxed {
            true => cell.same(&Term::text(UNTAXED)).pick(&none, rate),
            false => cell.same(&Term::text(TAXED)).pick(rate, &none),
        };
        let live = cell.is_number().pick(&cell, &word);
        match (&field.raw, field.value) {
            (Raw::Number(share), Some(Taxed::At(value))) if *share == value => live,
            // Read otherwise than a spreadsheet would: 7 for 7 %, or its text.
            (Raw::Number(_) | Raw::Text(_), Some(Taxed::At(value))) if *live.value() != Value::Exact(value) => {
                let as_typed = Term::constant(raw_value(&field.raw));
                cell.same(&as_typed).pick(&Term::number(value), &live)
            }
            _ => live,
        }
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
    /// mend (a fraction as a date, 0.75) is read as mended until somebody types something else.
    pub fn size_input(&mut self, field: &Field<Size>) -> Term {
        let Some(place) = &field.cell else { return Term::text(field.value.map(Size::key).unwrap_or_default()) };
        let cell = self.input_cell(place, raw_value(&field.raw));
        let live = cell.size_key();
        match field.value {
            Some(size) if *live.value() != Value::text(size.key()) => {
                let as_typed = Term::constant(raw_value(&field.raw));
                cell.same(&as_typed).pick(&Term::text(size.key()), &live)
            }
            _ => live,
        }
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
