//! A sheet as text for reviewers: rows of one column that share their formula are folded into one line with the values
//! beneath, so a formula is read once and an odd row stands out.
//!
//! A row of a sheet of the user's stands as `r` in the formula and behind each value, `12.5 @7`: rows that read the same
//! cells of different rows fold, and a wrong row still shows. Items of Job keep their addresses.

use super::spell::{Names, formula};
use super::{Block, Book, Fig, Home, Origin, Range, SheetId, TableId};
use crate::place::{Place, quote_sheet};
use std::cell::RefCell;
use std::fmt::Write;
use std::sync::Arc;

/// References by heading and row offset, so that like rows read alike.
struct Relative<'a> {
    book: &'a Book,
    table: TableId,
    row: u32,
    by_address: &'a str,
    /// The row of each of the user's sheets that the formula speaks of first, from 0.
    rows: RefCell<Vec<(Arc<str>, u32)>>,
}

impl<'a> Relative<'a> {
    fn new(book: &'a Book, table: TableId, row: u32, by_address: &'a str) -> Self {
        Self { book, table, row, by_address, rows: RefCell::default() }
    }

    /// How many rows the table of the formula has.
    fn own_rows(&self) -> Option<u32> {
        self.book.tables.get(usize::from(self.table.0)).map(|spec| spec.rows)
    }

    /// `Runs!D[r]`, and `Runs!D[r+2]` for a cell two rows below the first one spoken of.
    fn input(&self, place: &Place) -> String {
        if &*place.sheet == self.by_address {
            return place.to_string();
        }
        let mut rows = self.rows.borrow_mut();
        let known = rows.iter().find(|(sheet, _)| *sheet == place.sheet).map(|(_, row)| *row);
        let first = known.unwrap_or_else(|| {
            rows.push((place.sheet.clone(), place.row));
            place.row
        });
        let column: String = place.cell().chars().take_while(char::is_ascii_alphabetic).collect();
        let sheet = quote_sheet(&place.sheet);
        match i64::from(place.row) - i64::from(first) {
            0 => format!("{sheet}!{column}[r]"),
            offset => format!("{sheet}!{column}[r{offset:+}]"),
        }
    }

    /// The rows that `r` stands for, as the user counts them: ` @7`.
    fn rows_said(&self) -> String {
        self.rows.borrow().iter().map(|(_, row)| format!(" @{}", u64::from(*row) + 1)).collect()
    }
}

impl Names for Relative<'_> {
    fn cell(&self, fig: Fig, out: &mut String) {
        if let Some(name) = self.book.name_of(fig) {
            return out.push_str(name);
        }
        out.push_str(&match self.book.home(fig) {
            Home::Table(at, column) => {
                let spec = self.book.table_spec(at.table);
                let heading = &spec.columns[usize::from(*column)].heading;
                let offset = i64::from(at.index) - i64::from(self.row);
                match (at.table == self.table, offset) {
                    (true, 0) => format!("[{heading}]"),
                    (true, _) => format!("[{heading}{offset:+}]"),
                    // The same row of a table about the same things; in any other it only happens to be the same.
                    (false, 0) if self.own_rows() == Some(spec.rows) => format!("{}[{heading}]", spec.title),
                    (false, _) => format!("{}[{heading} #{}]", spec.title, at.index + 1),
                }
            }
            Home::Input(place) => self.input(place),
            Home::Line(sheet, block) => format!("{}/line {block}", self.book.sheets[usize::from(sheet.0)].name),
        });
    }

    fn range(&self, range: Range, out: &mut String) {
        let spec = self.book.table_spec(range.table);
        let heading = &spec.columns[usize::from(range.column)].heading;
        if range.first == 0 && range.last + 1 == spec.rows {
            out.push_str(&format!("{}[{heading} all]", spec.title));
        } else if range.table == self.table && range.first == self.row {
            out.push_str(&format!("[{heading} to +{}]", range.last - range.first));
        } else {
            out.push_str(&format!("{}[{heading} #{}..{}]", spec.title, range.first + 1, range.last + 1));
        }
    }
}

/// Every sheet of the book that the engine makes, as text, with its name.
/// Cells of the sheet `by_address` are no rows of a table: each is spelled by its address.
pub fn sheets<'a>(book: &'a Book, by_address: &str) -> Vec<(&'a str, String)> {
    (0..)
        .zip(&book.sheets)
        .filter(|(_, spec)| !spec.is_empty())
        .map(|(index, spec)| (&*spec.name, sheet(book, SheetId(index), by_address)))
        .collect()
}

fn sheet(book: &Book, sheet: SheetId, by_address: &str) -> String {
    let spec = &book.sheets[usize::from(sheet.0)];
    let mut out = format!("# {}\n", spec.name);
    for block in &spec.blocks {
        // Writing to a String cannot fail.
        let _ = match block {
            Block::Gap => Ok(()),
            Block::Chart(id) => match book.chart_spec(*id) {
                Some(spec) => writeln!(out, "chart: {}", spec.title),
                None => Ok(()),
            },
            Block::PageBreak => writeln!(out, "-- page --"),
            Block::Line { figure, look } => {
                let names = Relative::new(book, TableId(u16::MAX), 0, by_address);
                let from = book.expr(*figure).map(|e| format!("  = {}", formula(e, &names))).unwrap_or_default();
                writeln!(out, "{look:?}: {}{from}{}", book.value(*figure), names.rows_said())
            }
            Block::Table(table) => {
                table_text(book, *table, by_address, &mut out);
                Ok(())
            }
        };
    }
    out
}

fn table_text(book: &Book, table: TableId, by_address: &str, out: &mut String) {
    let spec = book.table_spec(table);
    let _ = writeln!(out, "\n## {} ({} rows)", spec.title, spec.rows);
    for (index, column) in spec.columns.iter().enumerate() {
        let unit = column.unit.symbol();
        let _ =
            writeln!(out, "{}{}", column.heading, if unit.is_empty() { String::new() } else { format!(" [{unit}]") });
        let mut folded: Vec<(String, Vec<String>)> = Vec::new();
        for row in 0..spec.rows {
            let Some(fig) = book.cell_at(table, row, index as u16) else { continue };
            let names = Relative::new(book, table, row, by_address);
            let how = match (book.expr(fig), book.origin(fig)) {
                (Some(expr), _) => format!("= {}", formula(expr, &names)),
                (None, Origin::Choice { .. }) => "choice".to_owned(),
                (None, Origin::Rule(_)) => "rule".to_owned(),
                (None, Origin::Stated(_)) => "stated".to_owned(),
                (None, Origin::Carried(_)) => "carried".to_owned(),
                (None, _) => "label".to_owned(),
            };
            let value = short(&book.value(fig).to_string()) + &names.rows_said();
            match folded.last_mut() {
                Some((last, values)) if *last == how => values.push(value),
                _ => folded.push((how, vec![value])),
            }
        }
        for (how, values) in folded {
            let _ = writeln!(out, "  {how}\n    {}", values.join(" | "));
        }
    }
}

/// Physical values to nine figures: enough to see a change, few enough not to see the last bit of another machine.
fn short(value: &str) -> String {
    match value.parse::<f64>() {
        Ok(x) if value.len() > 11 => {
            let rounded = format!("{x:.8e}").parse::<f64>().unwrap_or(x);
            format!("{rounded}")
        }
        _ => value.to_owned(),
    }
}
