//! A table where it stands on its sheet: its headings, how each of its cells looks, and what is folded away or ruled.

use super::style::{self, Key, Role};
use super::widths::{self, Widths};
use super::{cached, measure};
use crate::figure::address::{Addresses, TablePlace};
use crate::figure::{Book, CellKind, Fig, TableId, TableSpec, Value};
use crate::model::AS_WRITTEN;
use crate::unit::Unit;
use rust_xlsxwriter::{ConditionalFormatFormula, Formula, Worksheet};

pub(super) struct Laid<'a> {
    book: &'a Book,
    pub id: TableId,
    pub spec: &'a TableSpec,
    pub place: TablePlace,
    /// By column; see [`alignment`].
    right: Vec<Option<bool>>,
    /// A form: it keeps its empty cells' lines when it is filled in, so they are no conditional formats.
    pub fills: bool,
}

/// The room that the words of a cell take.
pub(super) struct Words {
    pub lines: u32,
    pub wrapped: bool,
    /// With the cells on their right.
    pub merged: bool,
}

impl<'a> Laid<'a> {
    pub(super) fn of(book: &'a Book, addresses: &Addresses, id: TableId) -> Self {
        let spec = book.table_spec(id);
        let right = (0..spec.columns.len()).map(|index| alignment(book, id, index as u16)).collect();
        let fills = spec.headed && spec.cells.iter().flatten().flatten().any(|fig| book.is_to_fill(*fig));
        Self { book, id, spec, place: addresses.tables[usize::from(id.0)], right, fills }
    }

    pub(super) fn row_kind(&self, row: u32) -> CellKind {
        self.spec.row_kinds.get(row as usize).copied().unwrap_or_default()
    }

    /// The title and the headings.
    pub(super) fn put_headings(&self, worksheet: &mut Worksheet, widths: &Widths) -> anyhow::Result<()> {
        if let Some(row) = self.place.title {
            worksheet.write_string_with_format(row, 0, cached::printable(&self.spec.title), &style::table_title())?;
            worksheet.set_row_height(row, 22)?;
        }
        let Some(row) = self.place.headings else { return Ok(()) };
        let mut lines = 1;
        let columns = self.spec.columns.iter().zip(&self.right).zip(0..);
        for ((column, right), at) in columns.filter(|((column, _), _)| !column.heading.is_empty()) {
            let heading = style::heading_words(&column.heading, column.unit);
            let heading = cached::printable(&heading);
            lines = lines.max(measure::lines(&heading, widths.width(at), 11.0, true));
            let format = style::heading(*right == Some(true), at > 0);
            worksheet.write_string_with_format(row, at, heading, &format)?;
        }
        worksheet.set_row_height(row, measure::height(lines, 11.0) + 3.0)?;
        Ok(())
    }

    /// How a cell looks, by its column, its row and what is in it.
    pub(super) fn key(&self, row: u32, at: u16, fig: Fig) -> Key {
        let (book, value) = (self.book, self.book.value(fig));
        let (column, right) = (&self.spec.columns[usize::from(at)], self.right[usize::from(at)]);
        let (unit, row_kind) = (book.unit_of(fig), self.row_kind(row));
        let mut key = Key::new(unit).column(column.kind).row(row_kind);
        key.with_unit = widths::with_unit(self.spec, column.unit, unit);
        // A date in a list is read like words.
        let words = matches!(value, Value::Text(_)) || unit == Unit::Date;
        // Words beside a column of figures keep a little away from them.
        key.indent = at > 0 && (right == Some(false) || words && right.is_none());
        key.right = right.or(words.then_some(false));
        key.link = book.cells[fig.0 as usize].link.is_some();
        if book.is_to_fill(fig) {
            key.role = Role::ToFill;
        }
        if book.is_choice(fig) {
            key.role = Role::Choice;
        }
        let worded = matches!(value, Value::Text(_) | Value::Flag(_) | Value::Fault(_));
        let is_check = column.kind == CellKind::Check || row_kind == CellKind::Check && worded;
        key.check = is_check && book.expr(fig).is_some();
        key
    }

    /// The room that a cell's words take.
    pub(super) fn words(&self, row: u32, column: u16, key: &Key, widths: &Widths) -> Words {
        let none = Words { lines: 1, wrapped: false, merged: false };
        let fig = self.book.cell_at(self.id, row, column);
        let Some(Value::Text(text)) = fig.map(|fig| self.book.value(fig)) else { return none };
        // What is kept for the program may run on to the right: it would make every row tall.
        if &*self.spec.columns[usize::from(column)].heading == AS_WRITTEN {
            return none;
        }
        let bold = key.bold || key.role == Role::Choice;
        let lines = measure::lines(text, widths.width(column), 11.0, bold);
        if lines > 1 && widths::spills(self.book, self.id, self.spec, row, column) {
            let lines = measure::lines(text, widths.room_from(column), 11.0, bold);
            return Words { lines, wrapped: true, merged: column < widths.line_to };
        }
        Words { lines, wrapped: lines > 1, merged: false }
    }

    /// Rows of which nothing is needed now.
    pub(super) fn fold_idle(&self, worksheet: &mut Worksheet) -> anyhow::Result<()> {
        let idle = (0..self.spec.rows).filter(|row| self.row_kind(*row) == CellKind::Idle);
        let idle: Vec<u32> = idle.map(|row| self.place.first + row).collect();
        for (first, last) in stretches(&idle) {
            worksheet.group_rows_collapsed(first, last)?;
        }
        Ok(())
    }

    pub(super) fn rule_empty_cells(&self, worksheet: &mut Worksheet) -> anyhow::Result<()> {
        let (rows, columns, first) = (self.spec.rows, self.spec.columns.len() as u16, self.place.first);
        if self.spec.headed && rows > 0 && columns > 0 && !self.fills {
            let blank = format!("ISBLANK({})", crate::place::a1(first, 0));
            let rule = ConditionalFormatFormula::new().set_rule(Formula::new(blank)).set_format(style::empty_cell());
            worksheet.add_conditional_format(first, 0, first + rows - 1, columns - 1, &rule)?;
        }
        Ok(())
    }
}

/// Whether a column's cells stand right: by its unit, else by what is in it. In a list, which has a fact a row, figures
/// stand left with the words where these are the more; `None` leaves each to its kind.
fn alignment(book: &Book, table: TableId, column: u16) -> Option<bool> {
    let spec = book.table_spec(table);
    if spec.columns.get(usize::from(column)).is_some_and(|c| c.unit != Unit::None) {
        return Some(true);
    }
    // Money that is not there yet stands where it will.
    let first = (0..spec.rows).find_map(|row| book.cell_at(table, row, column));
    if spec.headed && first.is_some_and(|fig| book.unit_of(fig) == Unit::Money) {
        return Some(true);
    }
    let values = (0..spec.rows).filter_map(|row| book.cell_at(table, row, column)).map(|fig| book.value(fig));
    let (mut numbers, mut words) = (0, 0);
    for value in values {
        match value {
            Value::Exact(_) | Value::Physical(_) => numbers += 1,
            Value::Blank => {}
            Value::Text(_) | Value::Flag(_) | Value::Fault(_) => words += 1,
        }
    }
    match (spec.headed, numbers, words) {
        (_, 0, _) => Some(false),
        (_, _, 0) => Some(true),
        (true, ..) => Some(false),
        (false, ..) if words > numbers => Some(false),
        (false, ..) => None,
    }
}

/// Rows in order as stretches without gaps.
pub(super) fn stretches(rows: &[u32]) -> Vec<(u32, u32)> {
    let mut out: Vec<(u32, u32)> = Vec::new();
    for &row in rows {
        match out.last_mut() {
            Some((_, last)) if *last + 1 == row => *last = row,
            _ => out.push((row, row)),
        }
    }
    out
}
