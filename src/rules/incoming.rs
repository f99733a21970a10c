//! Headings and rows of text on their way into a table, wherever they stand, and what is said of a cell of theirs.

use super::origin::ReadFrom;
use super::table::{Column, Table};
use crate::finding::{Finding, Internal};
use crate::model::{RuleSheet, fold};
use crate::place::Place;
use crate::rules::findings::BadRuleRow;
use std::sync::Arc;

/// Where incoming rows stand.
#[derive(Debug, Clone)]
pub(super) enum Book {
    Embedded(&'static str),
    File(Arc<str>),
    Sheet(Arc<str>),
}

/// Headings and rows of text on their way into a table. Row numbers: line of a file from 1, row of a sheet from 0.
pub(super) struct Incoming {
    pub book: Book,
    pub headings: Vec<String>,
    pub rows: Vec<(u32, Vec<String>)>,
    /// Lines that are no CSV.
    pub unreadable: Vec<(u32, String)>,
}

impl Incoming {
    /// One of the program's own tables.
    pub(crate) fn embedded(file: &'static str, text: &str) -> Self {
        Self::csv(Book::Embedded(file), text)
    }

    /// A table of a `--rules` folder.
    pub(crate) fn file(name: &Arc<str>, text: &str) -> Self {
        Self::csv(Book::File(name.clone()), text)
    }

    /// A sheet of the job workbook. Its first heading stands in column A.
    pub(crate) fn sheet(sheet: &RuleSheet) -> Self {
        Self {
            book: Book::Sheet(sheet.sheet.clone()),
            headings: sheet.headings.clone(),
            rows: sheet.rows.clone(),
            unreadable: Vec::new(),
        }
    }

    fn csv(book: Book, text: &str) -> Self {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
        let mut incoming = Self { book, headings: Vec::new(), rows: Vec::new(), unreadable: Vec::new() };
        for (number, record) in reader.records().enumerate() {
            match record {
                Ok(record) => {
                    let line = record.position().map_or(0, csv::Position::line);
                    let cells: Vec<String> = record.iter().map(str::to_owned).collect();
                    if number == 0 {
                        incoming.headings = cells;
                    } else {
                        incoming.rows.push((u32::try_from(line).unwrap_or(u32::MAX), cells));
                    }
                }
                Err(error) => {
                    let line = error.position().map_or(0, csv::Position::line);
                    incoming.unreadable.push((u32::try_from(line).unwrap_or(u32::MAX), error.to_string()));
                }
            }
        }
        incoming
    }

    pub(crate) fn is_embedded(&self) -> bool {
        matches!(self.book, Book::Embedded(_))
    }

    /// The file or sheet as findings name it, and its place.
    pub(crate) fn location(&self) -> (String, Option<Place>) {
        match &self.book {
            Book::Embedded(file) => ((*file).to_owned(), None),
            Book::File(file) => (file.to_string(), None),
            Book::Sheet(sheet) => (sheet.to_string(), Some(Place::new(sheet.clone(), 0, 0))),
        }
    }

    pub(crate) fn read_from(&self, row: u32) -> ReadFrom {
        match &self.book {
            Book::Embedded(file) => ReadFrom::Table { file, line: row.into() },
            Book::File(file) => ReadFrom::File { file: file.clone(), line: row.into() },
            Book::Sheet(sheet) => ReadFrom::Sheet(Place::new(sheet.clone(), row, 0)),
        }
    }

    /// A finding about one cell. In the program's own tables it is the program's fault.
    pub(crate) fn bad_cell(&self, table: &Table, row: u32, cell: Cell<'_>) -> Finding {
        let at = self.read_from(row);
        if self.is_embedded() {
            let detail = format!("{at}, {}: found \"{}\", expected {}", cell.column.name, cell.found, cell.expected);
            return Finding::everywhere(Internal { detail });
        }
        let place = match &at {
            ReadFrom::Sheet(place) => Some(Place { column: column_number(cell.position), ..place.clone() }),
            _ => None,
        };
        let facts = BadRuleRow {
            table: table.name(),
            row: if place.is_none() { at.to_string() } else { String::new() },
            column: heading(cell.column.name),
            found: cell.found.to_owned(),
            expected: cell.expected,
        };
        Finding::near(place.as_ref(), facts)
    }
}

/// One cell that cannot be used.
pub(super) struct Cell<'a> {
    pub column: &'a Column,
    /// Where the column stands among the incoming headings, if it does.
    pub position: Option<usize>,
    pub found: &'a str,
    pub expected: String,
}

fn column_number(position: Option<usize>) -> u16 {
    position.and_then(|p| u16::try_from(p).ok()).unwrap_or(0)
}

/// A column's heading as a sheet would write it: `Inside diameter in`.
pub fn heading(column: &str) -> String {
    let words = column.replace('_', " ");
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// Where a heading of this name stands.
pub(super) fn position(headings: &[String], name: &str, aliases: &[&str]) -> Option<usize> {
    let exact = headings.iter().position(|h| h == name);
    exact
        .or_else(|| headings.iter().position(|h| fold(h) == fold(name)))
        .or_else(|| headings.iter().position(|h| aliases.iter().any(|a| fold(h) == fold(a))))
}
