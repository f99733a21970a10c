//! Job workbooks: the blank one, and one made from readable text.
//!
//! Every sheet has its name and what it is for in row 1, a hint in row 2, its headings in row 3 and its rows from row 4
//! on: the first row of text under a sheet's headings stands in row 4. The blank book has every declared sheet and
//! every setting; a book from text has what the text gives, and no more.

use super::cached::double;
use super::decorate::{self, NameLists};
use super::{WriteError, input_style, pages};
use crate::input::entered;
use crate::model::book_text::{BookText, TextCell, TextSheet};
use crate::model::columns::{self, Column, Kind, Sheet};
use crate::model::{Raw, Setting, SettingKind};
use crate::subjects;
use crate::unit::Unit;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, FormatAlign, Formula, Workbook, Worksheet, XlsxError};

/// The row of the headings, from 0.
const HEADING_ROW: u32 = 2;
/// Ruled rows of a blank sheet, and those under the last filled row of a filled one.
const BLANK_ROWS: u32 = 40;
const SPARE_ROWS: u32 = 3;
/// How far below its ruled rows a sheet still has its lists and formats.
const GROWTH: u32 = 300;
/// The widest a column is made for what stands in it, in characters.
const WIDEST: f64 = 100.0;
/// Height of a line of text, in points, and the most lines that a row is made high for.
const LINE_HEIGHT: f64 = 15.0;
const MOST_LINES: f64 = 20.0;

const HINT: &str =
    "Dark headings must be filled in, light ones may stay blank. Point at a heading to read what belongs under it.";
const JOB_HINT: &str =
    "A blank Value takes the default. Point at an item to read what it means. Percents are typed 7%, dates 2026-05-30.";

/// The bytes of a blank job workbook: every sheet, and every setting with its default beside it.
///
/// # Errors
/// A fault of the program's: the declarations fit a workbook.
pub fn blank() -> Result<Vec<u8>, WriteError> {
    let sheets = subjects::sheets().map(|sheet| {
        let rows = if sheet.name == columns::JOB.name { every_setting() } else { Vec::new() };
        TextSheet {
            name: sheet.name.to_owned(),
            headings: sheet.columns.iter().map(|column| column.name.to_owned()).collect(),
            rows,
        }
    });
    book(&BookText { sheets: sheets.collect() }, BLANK_ROWS)
}

/// The bytes of a workbook that holds what a text says. The same text gives the same bytes.
///
/// # Errors
/// When the text asks for more than a workbook can hold; what [`crate::model::book_text::parse`] passed without
/// a finding fits, unless it has more rows or columns than a sheet.
pub fn from_text(text: &BookText) -> Result<Vec<u8>, WriteError> {
    book(text, SPARE_ROWS)
}

/// The rows of a blank Job sheet, in the order of its declared columns: Item, Value, Unit, Note.
fn every_setting() -> Vec<Vec<TextCell>> {
    subjects::settings()
        .map(|spec| {
            let unit = decorate::setting_unit(spec.kind).to_owned();
            vec![
                TextCell::Text(spec.name.to_owned()),
                TextCell::Blank,
                if unit.is_empty() { TextCell::Blank } else { TextCell::Text(unit) },
                TextCell::Text(decorate::setting_help(&spec)),
            ]
        })
        .collect()
}

fn book(text: &BookText, spare_rows: u32) -> Result<Vec<u8>, WriteError> {
    let mut workbook = Workbook::new();
    workbook.set_properties(
        &DocProperties::new()
            .set_title("Plumbing job workbook")
            .set_author("tallybore")
            // A fixed date: the same text must give the same bytes.
            .set_creation_datetime(&ExcelDateTime::from_ymd(2020, 1, 1)?),
    );
    let plans: Vec<Plan> = text.sheets.iter().map(|sheet| Plan::new(sheet, spare_rows)).collect();
    let names: NameLists = plans.iter().filter_map(Plan::name_list).collect();
    for plan in &plans {
        let worksheet = workbook.add_worksheet().set_name(&plan.text.name)?;
        worksheet.set_tab_color(input_style::INPUT_TAB).set_formula_result_default("");
        plan.write(worksheet, &names)?;
    }
    Ok(workbook.save_to_buffer()?)
}

/// A sheet of text, matched with the sheet and the columns it means.
struct Plan<'a> {
    text: &'a TextSheet,
    declared: Option<&'static Sheet>,
    /// The declared column under each heading.
    columns: Vec<Option<&'static Column>>,
    /// The last ruled row, and the last row that has lists and formats.
    ruled: u32,
    last_row: u32,
}

impl<'a> Plan<'a> {
    fn new(text: &'a TextSheet, spare_rows: u32) -> Self {
        let declared = subjects::sheets().find(|sheet| sheet.is_called(&text.name));
        let columns = text.headings.iter().map(|heading| declared?.find(heading)).collect();
        let filled = u32::try_from(text.rows.len()).unwrap_or(u32::MAX / 2);
        // The blank Job sheet lists all there is to set; more ruled rows would only ask what they are for.
        let spare = if declared.is_some_and(|sheet| sheet.name == columns::JOB.name) { 0 } else { spare_rows };
        let ruled = HEADING_ROW + filled + spare;
        Self { text, declared, columns, ruled, last_row: ruled + GROWTH }
    }

    /// The sheet's declared name, and the formula that lists the names of its rows.
    fn name_list(&self) -> Option<(&'static str, String)> {
        let sheet = self.declared?;
        let name = sheet.name_column()?.name;
        let at = self.columns.iter().position(|column| column.is_some_and(|column| column.name == name))?;
        let at = u16::try_from(at).ok()?;
        Some((sheet.name, decorate::name_list(&self.text.name, at, HEADING_ROW + 1, self.last_row)))
    }

    fn write(&self, worksheet: &mut Worksheet, names: &NameLists) -> Result<(), XlsxError> {
        let is_job = self.declared.is_some_and(|sheet| sheet.name == columns::JOB.name);
        self.write_top(worksheet, if is_job { JOB_HINT } else { HINT })?;
        if let Some(sheet) = self.declared {
            let column_of: Vec<(&'static str, u16)> =
                self.columns.iter().zip(0..).filter_map(|(column, at)| Some(((*column)?.name, at))).collect();
            let rows = decorate::Rows { headings: HEADING_ROW, last: self.last_row };
            decorate::decorate(worksheet, sheet, &rows, &column_of, names)?;
        }
        let settings = if is_job { self.settings() } else { Vec::new() };
        let item_column = self.at("Item").unwrap_or(0);
        for (index, column) in self.columns.iter().enumerate() {
            // More columns than a sheet has are refused by the writer itself.
            let at = u16::try_from(index).unwrap_or(u16::MAX);
            let format = column.map_or_else(|| Format::new().set_text_wrap(), decorate::cell_format);
            let format = input_style::input(format);
            for (row, cells) in (HEADING_ROW + 1..).zip(&self.text.rows) {
                let Some(cell) = cells.get(index) else { continue };
                let setting = settings.get((row - HEADING_ROW - 1) as usize).copied().flatten();
                match (setting, column.map(|column| column.name)) {
                    (Some(setting), Some("Value")) => {
                        decorate::decorate_setting(worksheet, row, item_column, at, setting.spec())?;
                        let kind = setting.spec().kind;
                        write_cell(worksheet, (row, at), cell, Some(kind.into()), &setting_format(kind))?;
                    }
                    (Some(setting), Some("Unit")) if *cell == TextCell::Blank => {
                        let unit = decorate::setting_unit(setting.spec().kind);
                        worksheet.write_string_with_format(row, at, unit, &format)?;
                    }
                    _ => write_cell(worksheet, (row, at), cell, column.map(|column| column.kind), &format)?,
                }
            }
            let below = HEADING_ROW + 1 + u32::try_from(self.text.rows.len()).unwrap_or(u32::MAX / 2);
            for row in below..=self.ruled {
                worksheet.write_blank(row, at, &format)?;
            }
            worksheet.set_column_width(at, self.width(index))?;
        }
        self.set_row_heights(worksheet)?;
        worksheet.set_freeze_panes(HEADING_ROW + 1, 1)?;
        pages::lay_out(worksheet, HEADING_ROW)
    }

    /// The sheet's name and purpose, the hint and the headings.
    fn write_top(&self, worksheet: &mut Worksheet, hint: &str) -> Result<(), XlsxError> {
        worksheet.set_row_height(0, 22)?;
        match self.declared {
            Some(sheet) => {
                let purpose = format!("   {}", sheet.help);
                // A format of its own: the column's may wrap.
                let parts =
                    [(&input_style::title(), self.text.name.as_str()), (&input_style::hint(), purpose.as_str())];
                worksheet.write_rich_string_with_format(0, 0, &parts, &input_style::hint())?;
                worksheet.write_string_with_format(1, 0, hint, &input_style::hint())?;
            }
            None => {
                worksheet.write_string_with_format(0, 0, &self.text.name, &input_style::title())?;
            }
        }
        worksheet.set_row_height(HEADING_ROW, 32)?;
        for (at, (heading, column)) in (0..).zip(self.text.headings.iter().zip(&self.columns)) {
            let needed = column.is_some_and(|column| column.required);
            worksheet.write_string_with_format(HEADING_ROW, at, heading, &input_style::heading(needed))?;
        }
        Ok(())
    }

    /// The setting that each row of a Job sheet names, when it names one.
    fn settings(&self) -> Vec<Option<Setting>> {
        let at = self.at("Item").map(usize::from);
        let name = |row: &Vec<TextCell>| match row.get(at?)? {
            TextCell::Typed(name) | TextCell::Text(name) => Setting::find(name),
            TextCell::Blank | TextCell::Date(_) | TextCell::Formula { .. } => None,
        };
        self.text.rows.iter().map(name).collect()
    }

    /// Where the declared column of this name stands.
    fn at(&self, name: &str) -> Option<u16> {
        let at = self.columns.iter().position(|column| column.is_some_and(|column| column.name == name))?;
        u16::try_from(at).ok()
    }

    /// The usual width of the column, more where what stands in it needs more.
    fn width(&self, index: usize) -> f64 {
        let usual = self.columns.get(index).copied().flatten().map_or(10.0, decorate::width);
        let longest = self.text.rows.iter().filter_map(|row| row.get(index)).map(shown_length).max().unwrap_or(0);
        usual.max((longest as f64 + 3.0).min(usual * 2.0).min(WIDEST))
    }

    /// Rows high enough for the cells that wrap: not every program fits them by itself.
    fn set_row_heights(&self, worksheet: &mut Worksheet) -> Result<(), XlsxError> {
        let wraps = |column: Option<&Column>| column.is_none_or(|c| c.is_prose || c.name == "Value");
        let widths: Vec<Option<f64>> =
            self.columns.iter().enumerate().map(|(index, column)| wraps(*column).then(|| self.width(index))).collect();
        for (row, cells) in (HEADING_ROW + 1..).zip(&self.text.rows) {
            let lines = cells.iter().zip(&widths).map(|(cell, width)| match (width, shown_length(cell) as f64) {
                // A line breaks between words, so some of its width stays empty.
                (Some(width), length) if length + 3.0 > *width => (length * 1.1 / width).ceil(),
                _ => 1.0,
            });
            let lines = lines.fold(1.0, f64::max);
            if lines > 1.0 {
                worksheet.set_row_height(row, LINE_HEIGHT * lines.min(MOST_LINES))?;
            }
        }
        Ok(())
    }
}

/// How many characters of a cell are seen, as far as the text tells.
fn shown_length(cell: &TextCell) -> usize {
    match cell {
        TextCell::Typed(text) | TextCell::Text(text) => text.chars().count(),
        TextCell::Formula { shown: Some(text), .. } => text.chars().count(),
        TextCell::Blank | TextCell::Date(_) | TextCell::Formula { shown: None, .. } => 0,
    }
}

/// The look of a setting's value.
fn setting_format(kind: SettingKind) -> Format {
    let format = Format::new().set_align(FormatAlign::Left).set_indent(1).set_text_wrap();
    input_style::input(format.set_num_format(decorate::setting_format(kind)))
}

/// Writes a cell as its column or its setting asks. What cannot be read so is written as the text it is, for the reader to
/// judge.
fn write_cell(
    worksheet: &mut Worksheet,
    (row, at): (u32, u16),
    cell: &TextCell,
    kind: Option<Kind>,
    format: &Format,
) -> Result<(), XlsxError> {
    let TextCell::Typed(text) = cell else { return write_plain(worksheet, row, at, cell, format) };
    match entered(kind, text) {
        (Raw::Number(number) | Raw::Date(number), number_format) => {
            let format = match number_format {
                Some(other) => &format.clone().set_num_format(other),
                None => format,
            };
            worksheet.write_number_with_format(row, at, double(number), format)?;
        }
        _ => _ = worksheet.write_string_with_format(row, at, text, format)?,
    }
    Ok(())
}

/// Writes a cell for what it is, whatever its column.
fn write_plain(
    worksheet: &mut Worksheet,
    row: u32,
    at: u16,
    cell: &TextCell,
    format: &Format,
) -> Result<(), XlsxError> {
    match cell {
        TextCell::Blank => worksheet.write_blank(row, at, format)?,
        TextCell::Typed(text) | TextCell::Text(text) => worksheet.write_string_with_format(row, at, text, format)?,
        TextCell::Date(days) => {
            let format = format.clone().set_num_format(Unit::Date.number_format());
            worksheet.write_number_with_format(row, at, double(*days), &format)?
        }
        TextCell::Formula { formula, shown } => {
            // A result spelled like a number that is none would make an invalid file.
            let plain = |shown: &&str| shown.parse().map_or(true, f64::is_finite);
            let shown = shown.as_deref().filter(plain).unwrap_or_default();
            let formula = Formula::new(formula).set_result(shown);
            // In a cell of text format a program would show the formula itself.
            worksheet.write_formula_with_format(row, at, formula, &format.clone().set_num_format("General"))?
        }
    };
    Ok(())
}
