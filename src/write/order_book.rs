//! An order workbook: its one sheet, locked but for the cells that the supplier fills in.

use super::cached;
use super::sheet::SheetWriter;
use super::workbook::{About, properties};
use crate::figure::address::{Addresses, addresses};
use crate::figure::{Book, TableId};
use crate::model::order_form;
use crate::unit::Unit;
use anyhow::Context;
use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, DataValidationRule, ExcelDateTime, ProtectionOptions, Workbook, Worksheet,
};
use std::collections::BTreeSet;

/// The bytes of an order. The same book gives the same bytes.
///
/// # Errors
/// A name or a formula that cannot be written: a fault of the program's.
pub fn order_bytes(book: &Book, about: &About) -> anyhow::Result<Vec<u8>> {
    let addresses = addresses(book);
    let mut workbook = Workbook::new();
    workbook.set_properties(&properties(about, (order_form::PROPERTY, order_form::VERSION))?);
    let mut marked = Vec::new();
    for (index, sheet) in book.sheets().iter().enumerate() {
        let worksheet = workbook.add_worksheet();
        worksheet.set_name(&*sheet.name).with_context(|| format!("sheet {}", sheet.name))?;
        worksheet.set_formula_result_default("").set_screen_gridlines(false);
        let checks = BTreeSet::new();
        let mut writer = SheetWriter::new(book, &addresses, sheet, &checks, about.foot());
        writer.write(worksheet, &addresses.blocks[index]).with_context(|| format!("sheet {}", sheet.name))?;
        if writer.marked {
            marked.push(index + 1);
        }
        // Columns and rows may be made wider for what is written into them.
        let options = ProtectionOptions { format_columns: true, format_rows: true, ..ProtectionOptions::new() };
        worksheet.protect_with_options(&options);
    }
    guard(&mut workbook, book, &addresses)?;
    let bytes = workbook.save_to_buffer()?;
    if marked.is_empty() { Ok(bytes) } else { cached::unmark(&bytes, &marked) }
}

/// Says at once when a price is no number or a date no date; it may be written all the same.
fn guard(workbook: &mut Workbook, book: &Book, addresses: &Addresses) -> anyhow::Result<()> {
    for (index, sheet) in book.sheets().iter().enumerate() {
        let worksheet = workbook.worksheet_from_index(index)?;
        for block in &sheet.blocks {
            if let crate::figure::Block::Table(table) = block {
                guard_table(worksheet, book, addresses, *table)?;
            }
        }
    }
    Ok(())
}

fn guard_table(worksheet: &mut Worksheet, book: &Book, addresses: &Addresses, table: TableId) -> anyhow::Result<()> {
    let spec = book.table_spec(table);
    for column in 0..spec.columns.len() as u16 {
        for row in 0..spec.rows {
            let Some(fig) = book.cell_at(table, row, column).filter(|fig| book.is_to_fill(*fig)) else { continue };
            let unit = book.unit_of(fig);
            let Some(validation) = validation(unit)? else { continue };
            let place = addresses.place(book, fig);
            worksheet.add_data_validation(place.row, place.column, place.row, place.column, &validation)?;
        }
    }
    Ok(())
}

fn validation(unit: Unit) -> anyhow::Result<Option<DataValidation>> {
    let asks = DataValidation::new().set_error_style(DataValidationErrorStyle::Warning);
    Ok(match unit {
        Unit::Money => Some(
            asks.allow_decimal_number(DataValidationRule::GreaterThanOrEqualTo(0.0))
                .set_error_title("A price")?
                .set_error_message("Write a number, such as 12.50, so that the sums can follow it.")?,
        ),
        Unit::Date => Some(
            asks.allow_date(DataValidationRule::GreaterThanOrEqualTo(ExcelDateTime::from_ymd(2000, 1, 1)?))
                .set_error_title("A date")?
                .set_error_message("Write a date, such as 2026-06-30.")?,
        ),
        _ => None,
    })
}
