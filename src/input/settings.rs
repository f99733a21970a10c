//! Job settings as figures: a row of the Defaults sheet that reads the user's cell, or states the default where there is none.

use super::figure::raw_value;
use crate::figure::readings::How;
use crate::figure::{Book, ColumnId, SheetId, Term, Value};
use crate::model::{AS_WRITTEN, BY_FORMULA};
use crate::model::{Job, Setting, SettingKind, SettingValue, default_value};
use crate::place::Place;
use crate::table::columns;
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

columns! {
    struct Columns {
        item: "Item", words 26;
        value: "Value", words 18;
        meaning: "What it means", words 80;
        as_written: AS_WRITTEN, quiet words 24;
    }
}

/// Every setting as a term that points at a named cell.
#[derive(Debug)]
pub struct Settings {
    terms: BTreeMap<Setting, Term>,
    values: ColumnId,
}

impl Settings {
    /// Names the Job sheet's cells and puts what is left out on the Defaults sheet.
    pub fn put(book: &mut Book, sheet: SheetId, job: &Job, settings: impl Iterator<Item = Setting>) -> Self {
        let table = book.table(sheet, "Job settings as the program reads them, and what stands where Job says nothing");
        let columns = Columns::in_table(book, table);
        let mut terms = BTreeMap::new();
        for spec in settings {
            let field = job.settings.get(&spec);
            let given = field.and_then(|f| f.cell.as_ref().map(|cell| (f, cell)));
            let term = match given {
                Some((field, cell)) if !field.is_blank() => {
                    let typed = book.input_cell(cell, raw_value(&field.raw));
                    if spec.kind == SettingKind::Date {
                        book.unit(&typed, Unit::Date);
                    }
                    let default = default_of(spec);
                    match &field.value {
                        Some(SettingValue::Text(_)) if is_any_text(spec) && says_nothing(&default) => typed,
                        Some(value) => {
                            let live = live(book, spec, &typed);
                            let value = Term::constant(cell_value(value));
                            let as_typed = Term::constant(raw_value(&field.raw));
                            // Read otherwise than the formula would (7 for 7 %, `50 psi`): so, until something else is typed.
                            let same = live.value() == value.value();
                            let live = typed.is_blank().pick(&Term::constant(default), &live);
                            let reading = if same { live } else { typed.same(&as_typed).pick(&value, &live) };
                            put_row(book, &columns, spec, reading)
                        }
                        None => put_default(book, &columns, spec, None),
                    }
                }
                Some((_, cell)) => put_default(book, &columns, spec, Some(cell)),
                None => put_default(book, &columns, spec, None),
            };
            book.name(&term, &spec.defined_name());
            terms.insert(spec, term);
        }
        Self { terms, values: columns.value }
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

/// Whether any words will do for the setting.
fn is_any_text(setting: Setting) -> bool {
    setting.spec().kind == SettingKind::Text && setting != Setting::FittingsLoss
}

/// What a setting comes to that is typed into this cell, which is not blank: what pricing would read, or a fault. The Checks
/// count a fault among the settings as a reason to price again.
fn live(book: &mut Book, spec: Setting, cell: &Term) -> Term {
    let fault = Term::not_found();
    // A bare 1 or more is that many percent to pricing, unless the cell shows percents: no formula sees that.
    let share = |number: &Term| number.at_least(&Term::number(1)).pick(&fault, number);
    match spec.kind {
        SettingKind::Text if spec == Setting::FittingsLoss => cell.is_number().pick(&share(cell), cell),
        SettingKind::Text => cell.clone(),
        SettingKind::Number(_) => cell.plain_number(),
        SettingKind::Percent => {
            let number = book.read_once(cell, How::Number(Decimal::ZERO), cell.plain_number());
            share(&number)
        }
        SettingKind::Size => book.size_typed(cell),
        SettingKind::Date => cell.is_number().pick(cell, &fault),
        // Words that choose tables and methods are watched one by one; these are for orders alone.
        SettingKind::Choice(words) if spec.is_of_orders() => {
            let known = words.iter().map(|word| cell.same(&Term::text(*word)));
            known.reduce(|one, other| one.or(&other)).map_or(cell.clone(), |known| known.pick(cell, &fault))
        }
        SettingKind::Choice(_) => cell.clone(),
    }
}

/// A row of the Defaults sheet: the stated default, or what the user's blank cell says once it is filled in.
fn put_default(book: &mut Book, columns: &Columns, setting: Setting, blank_cell: Option<&Place>) -> Term {
    let default = default_of(setting);
    let term = match blank_cell {
        Some(place) => {
            let cell = book.input_cell(place, Value::Blank);
            let live = live(book, setting, &cell);
            cell.is_blank().pick(&Term::constant(default), &live)
        }
        None => Term::constant(default),
    };
    put_row(book, columns, setting, term)
}

fn put_row(book: &mut Book, columns: &Columns, setting: Setting, term: Term) -> Term {
    let spec = setting.spec();
    let unit = match spec.kind {
        SettingKind::Number(unit) => unit,
        SettingKind::Percent => Unit::Percent,
        SettingKind::Date => Unit::Date,
        SettingKind::Text | SettingKind::Size | SettingKind::Choice(_) => Unit::None,
    };
    let row = book.row(columns.table);
    book.label(row, columns.item, spec.name);
    let value = book.put_or_state(row, columns.value, term, "default of this program");
    book.unit(&value, unit);
    book.label(row, columns.meaning, spec.help);
    // What somebody types over the value is told from it by this, when the bid is read again.
    let written = match book.expr_of(&value) {
        Some(_) => BY_FORMULA.to_owned(),
        None => value.value().to_string(),
    };
    book.label(row, columns.as_written, &written);
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
