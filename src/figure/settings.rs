//! Job settings as figures: the user's cell where there is one, a row of the Defaults sheet where there is none.

use super::input::raw_value;
use super::{Book, ColumnId, SheetId, Term, Value};
use crate::model::{AS_WRITTEN, BY_FORMULA};
use crate::model::{Job, Raw, SETTINGS, Setting, SettingKind, SettingValue, default_value};
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Item, value, unit, meaning, and the value as it was written.
type Columns = [ColumnId; 4];

/// Every setting as a term that points at a named cell.
#[derive(Debug)]
pub struct Settings {
    terms: BTreeMap<Setting, Term>,
    values: ColumnId,
}

impl Settings {
    /// Names the Job sheet's cells and puts what is left out on the Defaults sheet.
    pub fn put(book: &mut Book, sheet: SheetId, job: &Job) -> Self {
        let table =
            book.table(sheet, "Settings that the job leaves out, or falls back from when their cell is cleared");
        let columns = [
            book.column_like(table, "Item", Unit::None, 26.0, Default::default()),
            book.column_like(table, "Value", Unit::None, 18.0, Default::default()),
            book.column_like(table, "What it means", Unit::None, 80.0, Default::default()),
            book.column_like(table, AS_WRITTEN, Unit::None, 24.0, super::CellKind::Quiet),
        ];
        let mut terms = BTreeMap::new();
        for spec in SETTINGS {
            let field = job.settings.get(&spec.setting);
            let given = field.and_then(|f| f.cell.as_ref().map(|cell| (f, cell)));
            let term = match given {
                Some((field, cell)) if !field.is_blank() => {
                    let typed = book.input_cell(cell, raw_value(&field.raw));
                    let default = default_of(spec.setting);
                    if spec.kind == SettingKind::Date {
                        book.unit(&typed, Unit::Date);
                    }
                    match (&field.value, &field.raw) {
                        // The cell holds the very number, or the words: formulas point at it. Where an empty cell would
                        // stand for something else than nothing, a row of ours reads it.
                        (Some(SettingValue::Number(n) | SettingValue::Date(n)), Raw::Number(m) | Raw::Date(m))
                            if n == m =>
                        {
                            put_or_default(book, table, &columns, spec.setting, typed, &default)
                        }
                        (Some(SettingValue::Text(_)), _) => {
                            put_or_default(book, table, &columns, spec.setting, typed, &default)
                        }
                        // Read otherwise than a spreadsheet would (7 for 7 %, '3/4 in'): a row of ours reads it.
                        (Some(value), _) => {
                            let as_typed = Term::constant(raw_value(&field.raw));
                            let size = spec.kind == SettingKind::Size;
                            let live = if size { book.size_typed(&typed) } else { typed.clone() };
                            let value = Term::constant(cell_value(value));
                            let same = live.value() == value.value();
                            let live = match says_nothing(&default) {
                                true => live,
                                false => typed.is_blank().pick(&Term::constant(default), &live),
                            };
                            let reading = if same { live } else { typed.same(&as_typed).pick(&value, &live) };
                            put_row(book, table, &columns, spec.setting, reading)
                        }
                        (None, _) => put_default(book, table, &columns, spec.setting, None),
                    }
                }
                Some((_, cell)) => put_default(book, table, &columns, spec.setting, Some(cell)),
                None => put_default(book, table, &columns, spec.setting, None),
            };
            book.name(&term, &spec.setting.defined_name());
            terms.insert(spec.setting, term);
        }
        Self { terms, values: columns[1] }
    }

    /// The column of the Defaults sheet that the values stand in.
    pub fn values(&self) -> ColumnId {
        self.values
    }

    /// The setting's figure. Those without a value and without a default are blank.
    pub fn get(&self, setting: Setting) -> Term {
        // `put` made a term for every setting; an empty text stands in should that ever change.
        self.terms.get(&setting).cloned().unwrap_or_else(|| Term::text(""))
    }

    /// True when neither the job nor the defaults say anything.
    pub fn is_blank(&self, setting: Setting) -> bool {
        matches!(self.get(setting).value(), Value::Blank) || *self.get(setting).value() == Value::text("")
    }
}

/// What stands for the setting where the job says nothing; an empty text where nothing does.
fn default_of(setting: Setting) -> Value {
    default_value(setting).map_or(Value::text(""), |value| cell_value(&value))
}

/// Whether a cleared cell comes to the same by itself, as a formula reads it.
fn says_nothing(default: &Value) -> bool {
    matches!(default, Value::Exact(n) if n.is_zero()) || *default == Value::text("")
}

/// The user's cell itself, or a row that reads it and falls to the default when it is cleared.
fn put_or_default(
    book: &mut Book,
    table: super::TableId,
    columns: &Columns,
    setting: Setting,
    typed: Term,
    default: &Value,
) -> Term {
    match says_nothing(default) {
        true => typed,
        false => {
            let reading = typed.is_blank().pick(&Term::constant(default.clone()), &typed);
            put_row(book, table, columns, setting, reading)
        }
    }
}

/// A row of the Defaults sheet: the stated default, or what the user's blank cell says once it is filled in.
fn put_default(
    book: &mut Book,
    table: super::TableId,
    columns: &Columns,
    setting: Setting,
    blank_cell: Option<&crate::place::Place>,
) -> Term {
    let default = default_of(setting);
    let term = match blank_cell {
        Some(place) => {
            let cell = book.input_cell(place, Value::Blank);
            let size = setting.spec().kind == SettingKind::Size;
            let live = if size { book.size_typed(&cell) } else { cell.clone() };
            cell.is_blank().pick(&Term::constant(default), &live)
        }
        None => Term::constant(default),
    };
    put_row(book, table, columns, setting, term)
}

fn put_row(book: &mut Book, table: super::TableId, columns: &Columns, setting: Setting, term: Term) -> Term {
    let spec = setting.spec();
    let unit = match spec.kind {
        SettingKind::Number(unit) => unit,
        SettingKind::Percent => Unit::Percent,
        SettingKind::Date => Unit::Date,
        SettingKind::Text | SettingKind::Size | SettingKind::Choice(_) => Unit::None,
    };
    let row = book.row(table);
    book.label(row, columns[0], spec.name);
    let value = book.put_or_state(row, columns[1], term, "default of this program");
    book.unit(&value, unit);
    book.label(row, columns[2], spec.help);
    // What somebody types over the value is told from it by this, when the bid is read again.
    let written = match book.expr_of(&value) {
        Some(_) => BY_FORMULA.to_owned(),
        None => value.value().to_string(),
    };
    book.label(row, columns[3], &written);
    value
}

/// A setting's value as a cell holds it; sizes as their keys.
fn cell_value(value: &SettingValue) -> Value {
    match value {
        SettingValue::Text(text) => Value::Text(text.clone()),
        SettingValue::Number(n) | SettingValue::Date(n) => Value::Exact(*n),
        SettingValue::Size(size) => Value::text(size.key()),
    }
}

/// A setting that is a number, as f64, for kernels outside the book.
pub fn as_f64(job: &Job, setting: Setting) -> Option<f64> {
    use rust_decimal::prelude::ToPrimitive;
    job.number(setting).as_ref().and_then(Decimal::to_f64)
}
