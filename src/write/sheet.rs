//! One sheet of the book: every cell once, with its formula, its value and its look.

use super::cached::shortened;
use super::style::{self, Key, Role, Styles};
use super::widths::{self, Widths};
use super::{cached, charts, measure, pages};
use crate::figure::address::Addresses;
use crate::figure::spell::{Sheetwise, formula};
use crate::figure::verdict::OK;
use crate::figure::{Block, Book, CellKind, Expr, Fig, Look, SheetSpec, TableId, Value};
use crate::model::AS_WRITTEN;
use crate::unit::Unit;
use anyhow::bail;
use rust_xlsxwriter::{ConditionalFormatFormula, Format, Formula, Url, Worksheet};
use std::collections::{BTreeMap, BTreeSet};

/// A formula may hold this many characters.
const FORMULA_CHARS: usize = 8_192;

/// Writes one sheet of ours.
pub(crate) struct SheetWriter<'a> {
    book: &'a Book,
    addresses: &'a Addresses,
    sheet: &'a SheetSpec,
    names: Sheetwise<'a>,
    checks: &'a BTreeSet<Fig>,
    styles: Styles,
    widths: Widths,
    foot: pages::Foot<'a>,
    has_choices: bool,
    /// A stored result bears a mark that the finished file must not have.
    pub marked: bool,
}

impl<'a> SheetWriter<'a> {
    /// `checks` are the figures that watch a choice; `foot` stands on every page.
    pub(crate) fn new(
        book: &'a Book,
        addresses: &'a Addresses,
        sheet: &'a SheetSpec,
        checks: &'a BTreeSet<Fig>,
        foot: pages::Foot<'a>,
    ) -> Self {
        let names = Sheetwise { book, addresses, sheet: &sheet.name };
        let widths = Widths::of(book, sheet);
        Self {
            book,
            addresses,
            sheet,
            names,
            checks,
            styles: Styles::default(),
            widths,
            foot,
            has_choices: false,
            marked: false,
        }
    }

    /// Every block of the sheet; `begins` are the rows they begin at.
    pub(crate) fn write(&mut self, worksheet: &mut Worksheet, begins: &[u32]) -> anyhow::Result<()> {
        for (column, width) in self.widths.columns.iter().enumerate() {
            worksheet.set_column_width(column as u16, *width)?;
        }
        let mut breaks = Vec::new();
        let mut last_row = 0;
        let mut printed_to = None;
        let mut last_column = self.widths.line_to;
        let mut after_gap = None;
        for (index, (block, &row)) in self.sheet.blocks.iter().zip(begins).enumerate() {
            if self.sheet.printed == Some(index) {
                printed_to = Some(last_row);
            }
            match block {
                Block::Gap => {
                    after_gap = Some(row);
                    continue;
                }
                Block::PageBreak if row > 0 => breaks.push(row),
                Block::PageBreak => {}
                Block::Chart(id) => {
                    if let Some(spec) = self.book.chart_spec(*id) {
                        charts::insert(worksheet, row, spec, self.book, self.addresses)?;
                        last_row = last_row.max(row + crate::figure::address::CHART_ROWS - 1);
                    }
                }
                Block::Line { figure, look } => {
                    if let (Look::Signature, Some(gap)) = (look, after_gap) {
                        // Room to sign above the rule.
                        worksheet.set_row_height(gap, 32)?;
                    }
                    self.line(worksheet, row, *figure, *look)?;
                    last_row = last_row.max(row);
                }
                Block::Table(table) => {
                    self.table(worksheet, *table)?;
                    let spec = self.book.table_spec(*table);
                    let place = self.addresses.tables[usize::from(table.0)];
                    last_row = last_row.max((place.first + spec.rows).saturating_sub(1));
                    last_column = last_column.max((spec.columns.len() as u16).saturating_sub(1));
                }
            }
            after_gap = None;
        }
        if self.has_choices {
            last_row += 2;
            self.words(worksheet, last_row, style::CHOICE_LEGEND, Look::Small)?;
        }
        let page = pages::Page {
            foot: self.foot,
            sheet: &self.sheet.name,
            landscape: self.sheet.landscape,
            headings: self.headings(),
            breaks: &breaks,
            last_row: printed_to.unwrap_or(last_row),
            last_column: last_column.saturating_sub(self.sheet.not_printed),
        };
        pages::set_up(worksheet, &page)?;
        Ok(())
    }

    /// The row of headings that holds for the whole sheet: that of its first table with headings, unless another table
    /// further down has other ones, which it would then be mistaken for.
    fn headings(&self) -> Option<u32> {
        let tables = self.sheet.blocks.iter().filter_map(|block| match block {
            Block::Table(id) => Some(*id),
            _ => None,
        });
        let headed: Vec<TableId> = tables.filter(|id| self.book.table_spec(*id).headed).collect();
        let words = |id: &TableId| -> Vec<&str> {
            self.book.table_spec(*id).columns.iter().map(|column| &*column.heading).collect()
        };
        let (first, others) = headed.split_first()?;
        let alike = others.iter().all(|other| words(other) == words(first));
        alike.then(|| self.addresses.tables[usize::from(first.0)].headings).flatten()
    }

    /// A figure as words across the page.
    fn line(&mut self, worksheet: &mut Worksheet, row: u32, figure: Fig, look: Look) -> anyhow::Result<()> {
        let words = self.book.value(figure).to_string();
        let format = style::line(look);
        self.across(worksheet, row, 0, &words, &format, look)?;
        self.cell(worksheet, row, 0, figure, &format)
    }

    fn words(&mut self, worksheet: &mut Worksheet, row: u32, words: &str, look: Look) -> anyhow::Result<()> {
        let format = style::line(look);
        self.across(worksheet, row, 0, words, &format, look)?;
        worksheet.write_string_with_format(row, 0, words, &format)?;
        Ok(())
    }

    /// Merges a row from `column` to the end of the lines of words, and gives it the height these words need.
    fn across(
        &mut self,
        worksheet: &mut Worksheet,
        row: u32,
        column: u16,
        words: &str,
        format: &Format,
        look: Look,
    ) -> anyhow::Result<()> {
        let last = if look == Look::Signature { self.widths.signature_to() } else { self.widths.line_to };
        if column < last {
            worksheet.merge_range(row, column, row, last, "", format)?;
        }
        let bold = matches!(look, Look::Title | Look::Heading | Look::Caution | Look::Flag);
        let lines = measure::lines(words, self.widths.room_from(column), style::points(look), bold);
        let air = match look {
            Look::Title | Look::Heading | Look::Caution => 6.0,
            Look::Signature => 30.0,
            Look::Words | Look::Small | Look::Flag => 0.0,
        };
        worksheet.set_row_height(row, measure::height(lines, style::points(look)) + air)?;
        Ok(())
    }

    fn table(&mut self, worksheet: &mut Worksheet, table: TableId) -> anyhow::Result<()> {
        let spec = self.book.table_spec(table);
        let place = self.addresses.tables[usize::from(table.0)];
        if let Some(row) = place.title {
            worksheet.write_string_with_format(row, 0, cached::printable(&spec.title), &style::table_title())?;
            worksheet.set_row_height(row, 22)?;
        }
        let right: Vec<Option<bool>> =
            (0..spec.columns.len()).map(|index| alignment(self.book, table, index as u16)).collect();
        if let Some(row) = place.headings {
            let mut lines = 1;
            for (index, column) in spec.columns.iter().enumerate() {
                if column.heading.is_empty() {
                    continue;
                }
                let heading = style::heading_words(&column.heading, column.unit);
                let heading = cached::printable(&heading);
                let at = index as u16;
                lines = lines.max(measure::lines(&heading, self.widths.width(at), 11.0, true));
                worksheet.write_string_with_format(
                    row,
                    at,
                    heading,
                    &style::heading(right[index] == Some(true), at > 0),
                )?;
            }
            worksheet.set_row_height(row, measure::height(lines, 11.0) + 3.0)?;
        }
        // A form keeps its empty cells' lines when it is filled in, so they are no conditional formats.
        let cells = spec.cells.iter().flatten().flatten();
        let fills = spec.headed && cells.into_iter().any(|fig| self.book.is_to_fill(*fig));
        let mut check_rows: BTreeMap<u16, Vec<u32>> = BTreeMap::new();
        for row in 0..spec.rows {
            let row_kind = spec.row_kinds.get(row as usize).copied().unwrap_or_default();
            let mut lines = 1;
            for (index, column) in spec.columns.iter().enumerate() {
                let at = index as u16;
                let Some(fig) = self.book.cell_at(table, row, at) else {
                    if fills {
                        let blank = self.styles.cell(Key::new(Unit::None).row(row_kind));
                        worksheet.write_blank(place.first + row, at, &blank)?;
                    }
                    continue;
                };
                let unit = self.book.unit_of(fig);
                let mut key = Key::new(unit).column(column.kind).row(row_kind);
                key.with_unit = widths::with_unit(spec, column.unit, unit);
                // A date in a list is read like words.
                let words = matches!(self.book.value(fig), Value::Text(_)) || unit == Unit::Date;
                // Words beside a column of figures keep a little away from them.
                key.indent = at > 0 && (right[index] == Some(false) || words && right[index].is_none());
                key.right = right[index].or(if words { Some(false) } else { None });
                key.link = self.book.cells[fig.0 as usize].link.is_some();
                if self.book.is_to_fill(fig) {
                    key.role = Role::ToFill;
                }
                if self.book.is_choice(fig) {
                    key.role = Role::Choice;
                    self.has_choices = true;
                }
                let worded = matches!(self.book.value(fig), Value::Text(_) | Value::Flag(_) | Value::Fault(_));
                let computed = self.book.expr(fig).is_some();
                key.check = self.checks.contains(&fig)
                    || column.kind == CellKind::Check && computed
                    || row_kind == CellKind::Check && worded && computed;
                if key.check {
                    check_rows.entry(at).or_default().push(place.first + row);
                }
                lines = lines.max(self.table_cell(worksheet, table, place.first + row, at, fig, key)?);
            }
            if lines > 1 {
                worksheet.set_row_height(place.first + row, measure::height(lines, 11.0))?;
            }
        }
        for (column, rows) in check_rows {
            for (first, last) in stretches(&rows) {
                alarm(worksheet, first, last, column)?;
            }
        }
        let idle: Vec<u32> = (0..spec.rows)
            .filter(|row| spec.row_kinds.get(*row as usize) == Some(&CellKind::Idle))
            .map(|row| place.first + row)
            .collect();
        for (first, last) in stretches(&idle) {
            worksheet.group_rows_collapsed(first, last)?;
        }
        if spec.headed && spec.rows > 0 && !spec.columns.is_empty() && !fills {
            let first = crate::place::a1(place.first, 0);
            let rule = ConditionalFormatFormula::new()
                .set_rule(Formula::new(format!("ISBLANK({first})")))
                .set_format(style::empty_cell());
            let (last_row, last_column) = (place.first + spec.rows - 1, spec.columns.len() as u16 - 1);
            worksheet.add_conditional_format(place.first, 0, last_row, last_column, &rule)?;
        }
        Ok(())
    }

    /// A cell of a table; gives the lines its words take.
    fn table_cell(
        &mut self,
        worksheet: &mut Worksheet,
        table: TableId,
        row: u32,
        column: u16,
        fig: Fig,
        mut key: Key,
    ) -> anyhow::Result<u32> {
        let spec = self.book.table_spec(table);
        let mut lines = 1;
        // What is kept for the program may run on to the right: it would make every row tall.
        let for_reading = &*spec.columns[usize::from(column)].heading != AS_WRITTEN;
        if let Value::Text(text) = self.book.value(fig)
            && for_reading
        {
            let within = row - self.addresses.tables[usize::from(table.0)].first;
            let bold = key.bold || key.role == Role::Choice;
            lines = measure::lines(text, self.widths.width(column), 11.0, bold);
            if lines > 1 && widths::spills(self.book, table, spec, within, column) {
                lines = measure::lines(text, self.widths.room_from(column), 11.0, bold);
                if column < self.widths.line_to {
                    let format = self.styles.cell(Key { wrap: true, ..key });
                    worksheet.merge_range(row, column, row, self.widths.line_to, "", &format)?;
                }
                key.wrap = true;
            }
            key.wrap |= lines > 1;
        }
        let format = self.styles.cell(key);
        match key.role {
            Role::ToFill => _ = worksheet.write_blank(row, column, &format)?,
            _ => self.cell(worksheet, row, column, fig, &format)?,
        }
        Ok(lines)
    }

    /// One figure in its cell: a formula with its value, or the value alone.
    fn cell(
        &mut self,
        worksheet: &mut Worksheet,
        row: u32,
        column: u16,
        fig: Fig,
        format: &Format,
    ) -> anyhow::Result<()> {
        let value = self.book.value(fig);
        if let Some(place) = &self.book.cells[fig.0 as usize].link {
            // The words written with the link are then written over by the figure itself; the link stays.
            let target = Url::new(format!("internal:{place}")).set_text("link");
            worksheet.write_url_with_format(row, column, target, format)?;
        }
        match self.book.expr(fig) {
            Some(expr) if !plain(expr, value) => {
                let text = formula(expr, &self.names);
                let text = cached::printable(&text);
                if text.chars().count() + 1 > FORMULA_CHARS {
                    bail!("the formula of {} is too long to be written", crate::place::a1(row, column));
                }
                let (result, marked) = cached::result(value);
                self.marked |= marked;
                worksheet.write_formula_with_format(row, column, Formula::new(text).set_result(result), format)?;
            }
            _ => self.value(worksheet, row, column, value, format)?,
        }
        Ok(())
    }

    fn value(
        &mut self,
        worksheet: &mut Worksheet,
        row: u32,
        column: u16,
        value: &Value,
        format: &Format,
    ) -> anyhow::Result<()> {
        match value {
            Value::Blank => {}
            Value::Exact(number) => {
                worksheet.write_number_with_format(row, column, cached::double(*number), format)?;
            }
            Value::Physical(number) => {
                worksheet.write_number_with_format(row, column, *number, format)?;
            }
            Value::Text(text) => {
                worksheet.write_string_with_format(row, column, shortened(text, 32_767), format)?;
            }
            Value::Flag(flag) => {
                worksheet.write_boolean_with_format(row, column, *flag, format)?;
            }
            Value::Fault(_) => {
                let formula = Formula::new("NA()").set_result("#N/A");
                worksheet.write_formula_with_format(row, column, formula, format)?;
            }
        }
        Ok(())
    }
}

/// A bare constant is written as a value: `=12` would be a formula without a reason. Faults and blanks stay formulas.
fn plain(expr: &Expr, value: &Value) -> bool {
    matches!(expr, Expr::Const(constant) if constant == value && !matches!(value, Value::Fault(_) | Value::Blank))
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
fn stretches(rows: &[u32]) -> Vec<(u32, u32)> {
    let mut out: Vec<(u32, u32)> = Vec::new();
    for &row in rows {
        match out.last_mut() {
            Some((_, last)) if *last + 1 == row => *last = row,
            _ => out.push((row, row)),
        }
    }
    out
}

/// Makes checks shout unless they say OK. An error in a check is no OK either.
fn alarm(worksheet: &mut Worksheet, first: u32, last: u32, column: u16) -> anyhow::Result<()> {
    let cell = crate::place::a1(first, column);
    let rule = format!("IF(ISERROR({cell}),TRUE,AND({cell}<>\"{OK}\",{cell}<>\"\",{cell}<>TRUE))");
    let shout = ConditionalFormatFormula::new().set_rule(Formula::new(rule)).set_format(style::alarm());
    worksheet.add_conditional_format(first, column, last, column, &shout)?;
    Ok(())
}
