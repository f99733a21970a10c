//! A few lines of text -> a workbook -> a reading.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Formula, Workbook, Worksheet};
use std::path::{Path, PathBuf};
use tallybore::read::{self, Reading};
use tempfile::TempDir;

/// A workbook to be. Cells of a row are parted by `|`: a number is a number, `'…` a text, `@2026-01-02` a date, `%0.4` a
/// number shown as a percent, `=A1+1 -> 3` a formula with the value it was last worked out to; all else is a text.
#[derive(Clone, Default)]
pub struct Book {
    sheets: Vec<(String, Vec<String>)>,
    hidden: Vec<String>,
    properties: Vec<(String, String)>,
    merged: Vec<(String, u32, u16, u32, u16)>,
}

/// The least that makes a job: a lavatory at the end of a run.
pub fn job() -> Book {
    Book::default()
        .sheet("Job", "Item|Value\nJob name|Shed\nSupply pressure|60")
        .sheet("Fixtures", "Tag|Fixture|Cold run\nL1|lavatory|A")
        .sheet("Runs", "Run|From|Length ft\nA|SUPPLY|20")
        .sheet("Prices", "Kind|Material|Size|Unit|Pack|Price\npipe|PEX|'1/2|coil|100|48.50")
}

impl Book {
    /// Adds a sheet, in place of one of the same name.
    pub fn sheet(mut self, name: &str, rows: &str) -> Self {
        let rows = rows.lines().map(str::to_owned).collect();
        match self.sheets.iter_mut().find(|(n, _)| n == name) {
            Some((_, old)) => *old = rows,
            None => self.sheets.push((name.to_owned(), rows)),
        }
        self
    }

    pub fn without(mut self, name: &str) -> Self {
        self.sheets.retain(|(n, _)| n != name);
        self
    }

    pub fn hide(mut self, name: &str) -> Self {
        self.hidden.push(name.to_owned());
        self
    }

    pub fn property(mut self, name: &str, value: &str) -> Self {
        self.properties.push((name.to_owned(), value.to_owned()));
        self
    }

    pub fn merge(mut self, sheet: &str, area: (u32, u16, u32, u16)) -> Self {
        self.merged.push((sheet.to_owned(), area.0, area.1, area.2, area.3));
        self
    }

    pub fn bytes(&self) -> Vec<u8> {
        let mut book = Workbook::new();
        let mut properties = DocProperties::new();
        for (name, value) in &self.properties {
            properties = properties.set_custom_property(name, value);
        }
        book.set_properties(&properties);
        for (name, rows) in &self.sheets {
            let sheet = book.add_worksheet();
            sheet.set_name(name).unwrap();
            sheet.set_hidden(self.hidden.contains(name));
            for (row, line) in rows.iter().enumerate() {
                for (column, cell) in line.split('|').enumerate() {
                    write(sheet, row as u32, column as u16, cell);
                }
            }
            for (_, top, left, bottom, right) in self.merged.iter().filter(|m| m.0 == *name) {
                let text = rows[*top as usize].split('|').nth(*left as usize).unwrap();
                sheet.merge_range(*top, *left, *bottom, *right, text, &Format::new()).unwrap();
            }
        }
        book.save_to_buffer().unwrap()
    }

    pub fn read(&self) -> Reading {
        read_bytes("job.xlsx", &self.bytes())
    }
}

fn write(sheet: &mut Worksheet, row: u32, column: u16, cell: &str) {
    let format = |code: &str| Format::new().set_num_format(code);
    if let Some(text) = cell.strip_prefix('\'') {
        sheet.write_string(row, column, text).unwrap();
    } else if let Some(date) = cell.strip_prefix('@') {
        let date = ExcelDateTime::parse_from_str(date).unwrap();
        sheet.write_datetime_with_format(row, column, date, &format("d-mmm")).unwrap();
    } else if let Some(share) = cell.strip_prefix('%') {
        sheet.write_number_with_format(row, column, share.parse::<f64>().unwrap(), &format("0%")).unwrap();
    } else if cell.starts_with('=') {
        let (formula, value) = cell.split_once(" -> ").unwrap_or((cell, "0"));
        sheet.write_formula(row, column, Formula::new(formula).set_result(value)).unwrap();
    } else if let Ok(number) = cell.trim().parse::<f64>() {
        sheet.write_number(row, column, number).unwrap();
    } else if !cell.is_empty() {
        sheet.write_string(row, column, cell).unwrap();
    }
}

/// Writes a file and reads it.
pub fn read_bytes(name: &str, bytes: &[u8]) -> Reading {
    let folder = TempDir::new().unwrap();
    read::open(&file(&folder, name, bytes))
}

pub fn file(folder: &TempDir, name: &str, bytes: &[u8]) -> PathBuf {
    let path: &Path = folder.path();
    std::fs::write(path.join(name), bytes).unwrap();
    path.join(name)
}

/// The findings in short: `stop missing-column Runs!A1`.
pub fn found(reading: &Reading) -> Vec<String> {
    let mut findings = reading.findings.clone();
    tallybore::finding::sort(&mut findings);
    findings
        .iter()
        .map(|f| {
            let place = f.place.as_ref().map(|p| format!(" {p}")).unwrap_or_default();
            format!("{} {}{place}", f.severity.word(), f.slug)
        })
        .collect()
}

/// The words of the only finding.
pub fn words(reading: &Reading) -> String {
    let [finding] = &reading.findings[..] else { panic!("{:?}", found(reading)) };
    format!("{} {}", finding.found, finding.remedy)
}

/// A decimal out of its text.
pub fn dec(text: &str) -> rust_decimal::Decimal {
    text.parse().unwrap()
}
