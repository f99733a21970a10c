//! Job settings as figures: a row of the Defaults sheet that reads the user's cell, or states the default where there is none.

use super::figure::raw_value;
use crate::figure::readings::How;
use crate::figure::{Book, Column, ColumnId, RowId, SheetId, Term, Value};
use crate::input::MoreSettings;
use crate::model::{AS_WRITTEN, BY_FORMULA, Field, Job, Setting, SettingKind, SettingValue, default_value};
use crate::place::{LAST_ROW, Place};
use crate::table::{List, columns};
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

columns! {
    struct Columns {
        item: "Item", words 26;
        value: "Value", words 18;
        meaning: "What it means", words 80;
        as_written: AS_WRITTEN, quiet words 24;
        default: "Where Job says nothing", quiet words 18;
        /// From 1, below all that Job held when it was priced; 0 where it is not.
        new_row: "New row of Job", quiet Each;
        typed: "Typed there", quiet words 18;
    }
}

/// So many rows below the last of Job in which a setting that is written later is found.
const NEW_ROWS: u32 = 100;

/// The rows below the last of Job, blank when the job is priced: what is written there later is followed.
struct NewRows {
    items: Column,
    values: Column,
}

impl NewRows {
    fn of(book: &Book, job: &Job) -> Option<Self> {
        let MoreSettings { item, value } = job.more_settings.as_ref()?;
        let column = |first: &Place| {
            let last = first.row.saturating_add(NEW_ROWS).min(LAST_ROW);
            book.input_column(first.clone(), last, Vec::new())
        };
        Some(Self { items: column(item), values: column(value) })
    }
}

/// Every setting as a term that points at a named cell.
#[derive(Debug)]
pub struct Settings {
    terms: BTreeMap<Setting, Term>,
    values: ColumnId,
    added: Term,
    /// Those that the job says nothing of, not even in a blank cell.
    left_out: Vec<Setting>,
}

impl Settings {
    /// Names the Job sheet's cells and puts what is left out on the Defaults sheet.
    pub fn put(book: &mut Book, sheet: SheetId, job: &Job, settings: impl Iterator<Item = Setting>) -> Self {
        let table = book.table(sheet, "Job settings as the program reads them, and what stands where Job says nothing");
        let columns = Columns::in_table(book, table);
        let new_rows = NewRows::of(book, job);
        let mut terms = BTreeMap::new();
        let mut left_out = Vec::new();
        for spec in settings {
            let field = job.settings.get(&spec);
            let term = match (field.and_then(|field| field.cell.as_ref().map(|cell| (field, cell))), &new_rows) {
                (Some((field, cell)), _) if !field.is_blank() => put_given(book, &columns, spec, field, cell),
                (Some((_, cell)), _) => put_default(book, &columns, spec, Some(cell)),
                (None, Some(rows)) if spec.kind != SettingKind::Size => {
                    left_out.push(spec);
                    put_left_out(book, &columns, spec, rows)
                }
                // A size is read in several steps, each a cell of its own: only cells that are there have those.
                (None, _) => put_default(book, &columns, spec, None),
            };
            book.name(&term, &spec.defined_name());
            terms.insert(spec, term);
        }
        let list = List::put(book, sheet, "", [26.0, 18.0], Unit::Each);
        let none = Term::count_where(&[(&book.whole(columns.new_row), &Term::number(0))]);
        let added = Term::number(left_out.len() as u32) - none;
        let added = list.line(book, "Settings written in new rows of Job", added);
        Self { terms, values: columns.value, added, left_out }
    }

    /// How many settings that the job left out stand below the last row of Job by now; they are followed.
    pub(crate) fn added(&self) -> &Term {
        &self.added
    }

    /// Those that the job says nothing of, not even in a blank cell.
    pub(crate) fn left_out(&self) -> &[Setting] {
        &self.left_out
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
        SettingKind::Number(unit) => cell.number_with_unit(unit.symbol()),
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

/// A setting that the job gives: the cell itself where any words will do, else a row that reads it.
fn put_given(book: &mut Book, columns: &Columns, spec: Setting, field: &Field<SettingValue>, cell: &Place) -> Term {
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
            let row = book.row(columns.table);
            put_row(book, columns, row, spec, if same { live } else { typed.same(&as_typed).pick(&value, &live) })
        }
        None => put_default(book, columns, spec, None),
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
    let row = book.row(columns.table);
    put_row(book, columns, row, setting, term)
}

/// Likewise, for a setting that has no row on Job: once it is written there, what that says.
fn put_left_out(book: &mut Book, columns: &Columns, setting: Setting, rows: &NewRows) -> Term {
    let row = book.row(columns.table);
    let default = match default_of(setting) {
        // A formula takes a blank cell for 0.
        nothing if nothing == Value::text("") => Term::constant(nothing),
        stated => book.state(row, columns.default, stated, DEFAULT),
    };
    book.unit(&default, unit_of(setting));
    let (zero, nothing) = (Term::number(0), Term::text(""));
    let found = Term::row_of(&Term::text(setting.name()), &rows.items).or_if_fault(&zero);
    let found = book.put(row, columns.new_row, found);
    let typed = Term::at(&rows.values, &found);
    // A blank cell would show as 0.
    let typed = found.above(&zero).pick(&typed.is_blank().pick(&nothing, &typed), &nothing);
    let typed = book.put(row, columns.typed, typed);
    let live = live(book, setting, &typed);
    put_row(book, columns, row, setting, typed.is_blank().pick(&default, &live))
}

const DEFAULT: &str = "default of this program";

fn unit_of(setting: Setting) -> Unit {
    match setting.kind {
        SettingKind::Number(unit) => unit,
        SettingKind::Percent => Unit::Percent,
        SettingKind::Date => Unit::Date,
        SettingKind::Text | SettingKind::Size | SettingKind::Choice(_) => Unit::None,
    }
}

fn put_row(book: &mut Book, columns: &Columns, row: RowId, setting: Setting, term: Term) -> Term {
    book.label(row, columns.item, setting.name);
    let value = book.put_or_state(row, columns.value, term, DEFAULT);
    book.unit(&value, unit_of(setting));
    book.label(row, columns.meaning, setting.help);
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
