//! A form that somebody else filled in -> its sheets cell for cell, and what the file says of itself. Nothing is made of
//! what stands there; a CSV becomes a sheet of texts.

use super::catch_panic::without_report;
use super::guard;
use super::workbook;
use crate::finding::{Finding, Sink};
use crate::model::{KeptCell, KeptSheet, Raw};
use crate::read::findings::file::{DamagedFile, EmptyFile, NotAWorkbook, OversizeFile};
use crate::read::findings::sheets::UnreadableSheet;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

/// The sheet's name of what has no sheets.
const CSV_SHEET: &str = "CSV";
/// Rows and columns of a CSV beyond any order.
const CSV_ROWS: usize = 100_000;
const CSV_COLUMNS: usize = 200;

/// A file as it came back.
#[derive(Debug, Clone, Default)]
pub struct FilledFile {
    /// The file's name, for findings.
    pub file: Arc<str>,
    /// Document properties of whoever made it; a CSV has none.
    pub properties: BTreeMap<String, String>,
    /// Cell for cell; a CSV is one sheet.
    pub sheets: Vec<KeptSheet>,
    /// Known by the file's ending.
    pub is_csv: bool,
    /// Why it could not be read, or not all of it.
    pub findings: Vec<Finding>,
}

/// Reads an .xlsx, .ods or .csv. A file that cannot be read has no sheets and the finding that says why.
pub fn filled(path: &Path) -> FilledFile {
    let mut sink = Sink::default();
    let file = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    let mut read = FilledFile { file: file.as_ref().into(), ..FilledFile::default() };
    let is_csv = path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("csv"));
    let done = match is_csv {
        true => csv_into(path, &mut read),
        false => book_into(path, &mut read, &mut sink),
    };
    if let Err(trouble) = done {
        read.sheets.clear();
        sink.push(*trouble);
    }
    read.findings = sink.close();
    read
}

fn book_into(path: &Path, read: &mut FilledFile, sink: &mut Sink) -> Result<(), Box<Finding>> {
    let guarded = without_report(|| guard::open(path))
        .unwrap_or_else(|| Err(DamagedFile { detail: "its packing contradicts itself".to_owned() }.into()))?;
    let loaded = workbook::load(&guarded, workbook::Pages::ReadBack, sink)?;
    for (name, reason) in &loaded.unreadable {
        let facts = UnreadableSheet { sheet: name.to_string(), reason: reason.clone(), needed: false };
        sink.everywhere(facts);
    }
    (read.sheets, read.properties) = (loaded.sheets, loaded.properties);
    Ok(())
}

fn csv_into(path: &Path, read: &mut FilledFile) -> Result<(), Box<Finding>> {
    let bytes = guard::load(path)?;
    if bytes.is_empty() {
        return Err(EmptyFile {}.into());
    }
    if bytes.contains(&0) {
        return Err(NotAWorkbook { looks_like: "something other than text" }.into());
    }
    let text = match String::from_utf8(bytes) {
        Ok(text) => text,
        // What older programs save: each byte a letter of western Europe.
        Err(other) => other.as_bytes().iter().map(|byte| char::from(*byte)).collect(),
    };
    let text = text.trim_start_matches('\u{feff}');
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter(text))
        .from_reader(text.as_bytes());
    let mut sheet = KeptSheet { name: CSV_SHEET.into(), shown: CSV_SHEET.into(), ..KeptSheet::default() };
    for (row, record) in (0u32..).zip(reader.records()) {
        let record = record.map_err(|error| DamagedFile { detail: error.to_string() })?;
        if row as usize >= CSV_ROWS || record.len() > CSV_COLUMNS {
            let (what, found, limit) = match record.len() > CSV_COLUMNS {
                true => ("columns", record.len(), CSV_COLUMNS),
                false => ("rows", row as usize + 1, CSV_ROWS),
            };
            return Err(OversizeFile { what, found: found as u64, limit: limit as u64 }.into());
        }
        for (column, cell) in (0u16..).zip(record.iter()) {
            let cell = unguarded(cell.trim());
            if !cell.is_empty() {
                let raw = Raw::Text(cell.into());
                sheet.cells.push(KeptCell { row, column, raw, formula: None, format: None });
            }
        }
    }
    read.is_csv = true;
    read.sheets = vec![sheet];
    Ok(())
}

/// The sign that parts the cells of the first line: programs in some countries write another than the comma.
fn delimiter(text: &str) -> u8 {
    let head = text.lines().next().unwrap_or_default();
    let count = |sign: u8| head.bytes().filter(|byte| *byte == sign).count();
    // Of equals the last is the greatest, so the comma stands there.
    [b'\t', b';', b','].into_iter().max_by_key(|sign| count(*sign)).unwrap_or(b',')
}

/// Without the apostrophe that our CSV puts before what could begin a formula.
fn unguarded(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.starts_with(|c: char| !c.is_alphanumeric()) => rest,
        _ => cell,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_delimiter_is_the_one_of_the_headings() {
        assert_eq!(delimiter("a,b,c\r\n1;2;3;4"), b',');
        assert_eq!(delimiter("a;b;c\n1,2"), b';');
        assert_eq!(delimiter("a\tb\n"), b'\t');
        assert_eq!(delimiter("alone"), b',');
    }

    #[test]
    fn the_guard_of_a_cell_is_taken_off_and_no_other_apostrophe() {
        assert_eq!(unguarded("'=1+1"), "=1+1");
        assert_eq!(unguarded("'n"), "'n");
        assert_eq!(unguarded("12'6"), "12'6");
    }
}
