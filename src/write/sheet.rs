//! One sheet of the book: every cell once, with its formula, its value and its look.

use super::style::{self, Key, Role, Styles};
use super::table::{Laid, stretches};
use super::widths::Widths;
use super::{cached, charts, measure, pages};
use crate::figure::address::Addresses;
use crate::figure::spell::{Sheetwise, formula};
use crate::figure::verdict::OK;
use crate::figure::{Block, Book, Expr, Fig, Look, SheetSpec, TableId, Value};
use crate::folding::shortened;
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
        self.across(worksheet, row, &self.book.value(figure).to_string(), look)?;
        self.cell(worksheet, (row, 0), figure, &style::line(look))
    }

    fn words(&mut self, worksheet: &mut Worksheet, row: u32, words: &str, look: Look) -> anyhow::Result<()> {
        self.across(worksheet, row, words, look)?;
        worksheet.write_string_with_format(row, 0, words, &style::line(look))?;
        Ok(())
    }

    /// Merges a row to the end of the lines of words, and gives it the height these words need.
    fn across(&self, worksheet: &mut Worksheet, row: u32, words: &str, look: Look) -> anyhow::Result<()> {
        let last = if look == Look::Signature { self.widths.signature_to() } else { self.widths.line_to };
        if last > 0 {
            worksheet.merge_range(row, 0, row, last, "", &style::line(look))?;
        }
        let bold = matches!(look, Look::Title | Look::Heading | Look::Caution | Look::Flag);
        let lines = measure::lines(words, self.widths.room_from(0), style::points(look), bold);
        let air = match look {
            Look::Title | Look::Heading | Look::Caution => 6.0,
            Look::Signature => 30.0,
            Look::Words | Look::Small | Look::Flag => 0.0,
        };
        worksheet.set_row_height(row, measure::height(lines, style::points(look)) + air)?;
        Ok(())
    }

    fn table(&mut self, worksheet: &mut Worksheet, id: TableId) -> anyhow::Result<()> {
        let table = Laid::of(self.book, self.addresses, id);
        table.put_headings(worksheet, &self.widths)?;
        let mut check_rows: BTreeMap<u16, Vec<u32>> = BTreeMap::new();
        for row in 0..table.spec.rows {
            for column in self.table_row(worksheet, &table, row)? {
                check_rows.entry(column).or_default().push(table.place.first + row);
            }
        }
        for (column, rows) in check_rows {
            for (first, last) in stretches(&rows) {
                alarm(worksheet, first, last, column)?;
            }
        }
        table.fold_idle(worksheet)?;
        table.rule_empty_cells(worksheet)
    }

    /// A row of a table, from 0; gives the columns of its checks.
    fn table_row(&mut self, worksheet: &mut Worksheet, table: &Laid, row: u32) -> anyhow::Result<Vec<u16>> {
        let mut checks = Vec::new();
        let mut lines = 1;
        let at = table.place.first + row;
        for column in 0..table.spec.columns.len() as u16 {
            let Some(fig) = self.book.cell_at(table.id, row, column) else {
                if table.fills {
                    let blank = self.styles.cell(Key::new(Unit::None).row(table.row_kind(row)));
                    worksheet.write_blank(at, column, &blank)?;
                }
                continue;
            };
            let mut key = table.key(row, column, fig);
            key.check |= self.checks.contains(&fig);
            self.has_choices |= key.role == Role::Choice;
            checks.extend(key.check.then_some(column));
            let words = table.words(row, column, &key, &self.widths);
            if words.merged {
                let format = self.styles.cell(Key { wrap: true, ..key });
                worksheet.merge_range(at, column, at, self.widths.line_to, "", &format)?;
            }
            key.wrap |= words.wrapped;
            lines = lines.max(words.lines);
            let format = self.styles.cell(key);
            match key.role {
                Role::ToFill => _ = worksheet.write_blank(at, column, &format)?,
                _ => self.cell(worksheet, (at, column), fig, &format)?,
            }
        }
        if lines > 1 {
            worksheet.set_row_height(at, measure::height(lines, 11.0))?;
        }
        Ok(checks)
    }

    /// One figure in its cell: a formula with its value, or the value alone.
    fn cell(
        &mut self,
        worksheet: &mut Worksheet,
        (row, column): (u32, u16),
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
            _ => put_value(worksheet, (row, column), value, format)?,
        }
        Ok(())
    }
}

fn put_value(
    worksheet: &mut Worksheet,
    (row, column): (u32, u16),
    value: &Value,
    format: &Format,
) -> anyhow::Result<()> {
    match value {
        Value::Blank => return Ok(()),
        Value::Exact(number) => worksheet.write_number_with_format(row, column, cached::double(*number), format)?,
        Value::Physical(number) => worksheet.write_number_with_format(row, column, *number, format)?,
        Value::Text(text) => worksheet.write_string_with_format(row, column, shortened(text, 32_767), format)?,
        Value::Flag(flag) => worksheet.write_boolean_with_format(row, column, *flag, format)?,
        Value::Fault(_) => {
            let formula = Formula::new("NA()").set_result("#N/A");
            worksheet.write_formula_with_format(row, column, formula, format)?
        }
    };
    Ok(())
}

/// A bare constant is written as a value: `=12` would be a formula without a reason. Faults and blanks stay formulas.
fn plain(expr: &Expr, value: &Value) -> bool {
    matches!(expr, Expr::Const(constant) if constant == value && !matches!(value, Value::Fault(_) | Value::Blank))
}

/// Makes checks shout unless they say OK. An error in a check is no OK either.
fn alarm(worksheet: &mut Worksheet, first: u32, last: u32, column: u16) -> anyhow::Result<()> {
    let cell = crate::place::a1(first, column);
    let rule = format!("IF(ISERROR({cell}),TRUE,AND({cell}<>\"{OK}\",{cell}<>\"\",{cell}<>TRUE))");
    let shout = ConditionalFormatFormula::new().set_rule(Formula::new(rule)).set_format(style::alarm());
    worksheet.add_conditional_format(first, column, last, column, &shout)?;
    Ok(())
}
