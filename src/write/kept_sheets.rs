//! The user's own sheets, cell for cell at the addresses they had, so that a bid is a job book again.
//!
//! A formula is kept where all that it refers to stands in the bid and keeps its meaning there; otherwise its value is.

use super::decorate::{self, NameLists};
use super::style::{KeptLook, Styles};
use super::{cached, measure, pages};
use crate::folding::shortened;
use crate::model::columns::{Kind, Sheet};
use crate::model::{KeptCell, KeptSheet, Raw, Setting, user_formula};
use anyhow::Context;
use rust_xlsxwriter::{Format, Formula, IgnoreError, Worksheet};
use std::collections::BTreeSet;

/// Rows below the last one that still have drop-downs, for what is added by hand.
const SPARE_ROWS: u32 = 30;

/// Longest text a cell may hold.
const TEXT_UNITS: usize = 32_767;

/// Writes one kept sheet. `there` are the sheets that stand in the bid under the names they had, in lower case. True when
/// a stored result bears a mark.
pub(crate) fn write(
    worksheet: &mut Worksheet,
    sheet: &KeptSheet,
    there: &BTreeSet<String>,
    foot: pages::Foot,
    names: &NameLists,
) -> anyhow::Result<bool> {
    let mut styles = Styles::default();
    let mut marked = false;
    for &(first_row, first_column, last_row, last_column) in &sheet.merged {
        // The library refuses merges of one cell and merges that overlap: such a one is left out, its cells stay.
        let _ = worksheet.merge_range(first_row, first_column, last_row, last_column, "", &Format::new());
    }
    for cell in &sheet.cells {
        marked |= write_cell(worksheet, sheet, cell, there, &mut styles)
            .with_context(|| format!("{} {}", sheet.name, crate::place::a1(cell.row, cell.column)))?;
    }
    let last_row = sheet.cells.iter().map(|cell| cell.row).max().unwrap_or(0);
    let last_column = sheet.cells.iter().map(|cell| cell.column).max().unwrap_or(0);
    worksheet.ignore_error_range(0, 0, last_row, last_column, IgnoreError::NumberStoredAsText)?;
    match sheet.declared {
        Some(declared) => decorate(worksheet, declared, sheet, last_row, names)?,
        None => set_widths(worksheet, sheet)?,
    }
    if let Some(heading) = sheet.heading_row.filter(|heading| *heading < last_row) {
        // Inputs left blank look like inputs too.
        for &column in sheet.column_of.values() {
            let rule = rust_xlsxwriter::ConditionalFormatFormula::new()
                .set_rule(Formula::new(format!("ISBLANK({})", crate::place::a1(heading + 1, column))))
                .set_format(super::style::empty_input());
            worksheet.add_conditional_format(heading + 1, column, last_row, column, &rule)?;
        }
    }
    let page = pages::Page {
        foot,
        sheet: &sheet.shown,
        landscape: last_column > 5,
        headings: sheet.heading_row,
        breaks: &[],
        last_row,
        last_column,
    };
    pages::set_up(worksheet, &page)?;
    if sheet.hidden {
        worksheet.set_hidden(true);
    }
    Ok(marked)
}

/// Notes, drop-downs, formats and widths of a sheet of the job workbook, as the blank one has them.
fn decorate(
    worksheet: &mut Worksheet,
    declared: &'static Sheet,
    sheet: &KeptSheet,
    last_row: u32,
    names: &NameLists,
) -> anyhow::Result<()> {
    let Some(heading_row) = sheet.heading_row else { return set_widths(worksheet, sheet) };
    set_widths(worksheet, sheet)?;
    let columns: Vec<(&'static str, u16)> = sheet.column_of.iter().map(|(name, column)| (*name, *column)).collect();
    let rows = decorate::Rows { headings: heading_row, last: last_row + SPARE_ROWS };
    decorate::decorate(worksheet, declared, &rows, &columns, names)?;
    if declared.name == "Job"
        && let (Some(item), Some(value)) = (sheet.column_of.get("Item"), sheet.column_of.get("Value"))
    {
        for cell in sheet.cells.iter().filter(|cell| cell.column == *item && cell.row > heading_row) {
            if let Raw::Text(text) = &cell.raw
                && let Some(setting) = Setting::find(text)
            {
                decorate::decorate_setting(worksheet, cell.row, *item, *value, setting.spec())?;
            }
        }
    }
    Ok(())
}

fn set_widths(worksheet: &mut Worksheet, sheet: &KeptSheet) -> anyhow::Result<()> {
    let mut widths: Vec<f64> = Vec::new();
    for cell in &sheet.cells {
        let column = usize::from(cell.column);
        if widths.len() <= column {
            widths.resize(column + 1, 0.0);
        }
        widths[column] = widths[column].max(measure::width(&raw_words(&cell.raw)));
    }
    for (column, width) in widths.iter().enumerate() {
        worksheet.set_column_width(column as u16, (width + 2.0).clamp(8.0, 40.0))?;
    }
    Ok(())
}

fn write_cell(
    worksheet: &mut Worksheet,
    sheet: &KeptSheet,
    cell: &KeptCell,
    there: &BTreeSet<String>,
    styles: &mut Styles,
) -> anyhow::Result<bool> {
    let (look, code) = look(sheet, cell);
    let format = &*styles.kept(look, code);
    let (row, column) = (cell.row, cell.column);
    let formula = cell.formula.as_deref().filter(|formula| user_formula::stands(formula, there));
    if let Some(formula) = formula {
        let (result, marked) = match &cell.raw {
            Raw::Number(n) | Raw::Date(n) => (cached::digits(*n), false),
            Raw::Fault(name) => (name.to_string(), false),
            Raw::Flag(flag) => cached::result(&crate::figure::Value::Flag(*flag)),
            Raw::Text(text) => cached::result(&crate::figure::Value::Text(text.clone())),
            Raw::Blank => (String::new(), false),
        };
        worksheet.write_formula_with_format(row, column, Formula::new(formula).set_result(result), format)?;
        return Ok(marked);
    }
    match &cell.raw {
        Raw::Blank => worksheet.write_blank(row, column, format)?,
        Raw::Number(n) | Raw::Date(n) => worksheet.write_number_with_format(row, column, cached::double(*n), format)?,
        Raw::Flag(flag) => worksheet.write_boolean_with_format(row, column, *flag, format)?,
        Raw::Text(text) => worksheet.write_string_with_format(row, column, shortened(text, TEXT_UNITS), format)?,
        // An error that was typed, or whose formula cannot stand here: a formula that gives the same error.
        Raw::Fault(name) => {
            let (formula, result) = match &**name {
                "#DIV/0!" => ("1/0", "#DIV/0!"),
                "#VALUE!" => ("1+\"x\"", "#VALUE!"),
                "#NUM!" => ("SQRT(0-1)", "#NUM!"),
                _ => ("NA()", "#N/A"),
            };
            worksheet.write_formula_with_format(row, column, Formula::new(formula).set_result(result), format)?
        }
    };
    Ok(false)
}

/// How a kept cell looks: by its column where that was recognised, with the number format it had.
fn look<'a>(sheet: &KeptSheet, cell: &'a KeptCell) -> (KeptLook, &'a str) {
    let known = sheet.column_of.iter().find(|(_, column)| **column == cell.column);
    let look = match sheet.heading_row {
        Some(row) if row == cell.row => KeptLook::Heading,
        Some(row) if row < cell.row && known.is_some() => KeptLook::Input,
        _ => KeptLook::Plain,
    };
    let kind = known.and_then(|(name, _)| sheet.declared?.columns.iter().find(|column| column.name == *name));
    let sizes = look == KeptLook::Input && matches!(kind.map(|column| column.kind), Some(Kind::Size | Kind::Sizes));
    let code = match (&cell.raw, cell.format.as_deref()) {
        // Sizes stay text: a size typed over this one must not turn into a date.
        (Raw::Text(_) | Raw::Blank, _) if sizes && cell.formula.is_none() => "@",
        (_, Some(code)) if !code.is_empty() => code,
        (Raw::Date(_), _) => "yyyy-mm-dd",
        _ => "General",
    };
    (look, code)
}

fn raw_words(raw: &Raw) -> String {
    match raw {
        Raw::Blank => String::new(),
        Raw::Number(n) => n.normalize().to_string(),
        Raw::Date(_) => "2026-01-01".to_owned(),
        Raw::Text(text) | Raw::Fault(text) => text.to_string(),
        Raw::Flag(flag) => if *flag { "TRUE" } else { "FALSE" }.to_owned(),
    }
}
