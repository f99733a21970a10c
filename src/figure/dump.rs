//! A sheet as text for reviewers: rows of one column that share their formula are folded into one line with the values
//! beneath, so a formula is read once and an odd row stands out.

use super::spell::{Names, formula};
use super::{Block, Book, Fig, Home, Origin, Range, SheetId, TableId};
use std::fmt::Write;

/// References by heading and row offset, so that like rows read alike.
struct Relative<'a> {
    book: &'a Book,
    table: TableId,
    row: u32,
}

impl Names for Relative<'_> {
    fn cell(&self, fig: Fig) -> String {
        if let Some(name) = self.book.name_of(fig) {
            return name.to_owned();
        }
        match self.book.home(fig) {
            Home::Table(at, column) => {
                let spec = self.book.table_spec(at.table);
                let heading = &spec.columns[usize::from(*column)].heading;
                let offset = i64::from(at.index) - i64::from(self.row);
                match (at.table == self.table, offset) {
                    (true, 0) => format!("[{heading}]"),
                    (true, _) => format!("[{heading}{offset:+}]"),
                    (false, 0) => format!("{}[{heading}]", spec.title),
                    (false, _) => format!("{}[{heading} #{}]", spec.title, at.index + 1),
                }
            }
            Home::Input(place) => place.to_string(),
            Home::Line(sheet, block) => format!("{}/line {block}", self.book.sheets[usize::from(sheet.0)].name),
        }
    }

    fn range(&self, range: Range) -> String {
        let spec = self.book.table_spec(range.table);
        let heading = &spec.columns[usize::from(range.column)].heading;
        if range.first == 0 && range.last + 1 == spec.rows {
            return format!("{}[{heading} all]", spec.title);
        }
        match range.table == self.table && range.first == self.row {
            true => format!("[{heading} to +{}]", range.last - range.first),
            false => format!("{}[{heading} #{}..{}]", spec.title, range.first + 1, range.last + 1),
        }
    }
}

/// One sheet of the book as text.
pub fn sheet(book: &Book, sheet: SheetId) -> String {
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
                let names = Relative { book, table: TableId(u16::MAX), row: 0 };
                let from = book.expr(*figure).map(|e| format!("  = {}", formula(e, &names))).unwrap_or_default();
                writeln!(out, "{look:?}: {}{from}", book.value(*figure))
            }
            Block::Table(table) => {
                table_text(book, *table, &mut out);
                Ok(())
            }
        };
    }
    out
}

fn table_text(book: &Book, table: TableId, out: &mut String) {
    let spec = book.table_spec(table);
    let _ = writeln!(out, "\n## {} ({} rows)", spec.title, spec.rows);
    for (index, column) in spec.columns.iter().enumerate() {
        let unit = column.unit.symbol();
        let _ =
            writeln!(out, "{}{}", column.heading, if unit.is_empty() { String::new() } else { format!(" [{unit}]") });
        let mut folded: Vec<(String, Vec<String>)> = Vec::new();
        for row in 0..spec.rows {
            let Some(fig) = book.cell_at(table, row, index as u16) else { continue };
            let names = Relative { book, table, row };
            let how = match (book.expr(fig), book.origin(fig)) {
                (Some(expr), _) => format!("= {}", formula(expr, &names)),
                (None, Origin::Choice { .. }) => "choice".to_owned(),
                (None, Origin::Rule(_)) => "rule".to_owned(),
                (None, Origin::Carried(_)) => "carried".to_owned(),
                (None, _) => "label".to_owned(),
            };
            let value = short(&book.value(fig).to_string());
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
