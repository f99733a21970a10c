//! A job workbook as readable text: how the demonstration books are written, and the cases of the tests.
//!
//! ```text
//! # A line that begins with # is a comment; blank lines are skipped.
//! [Runs]
//! Run | From   | Material | Size | Length ft | Note
//! S1  | SUPPLY | PE       | 1    | 62        | from the curb stop
//! A1  | S1     | PEX      |      | 12'6"     | blank Size: the engine chooses
//! ```
//!
//! `[Name]` begins a sheet. The next line holds its headings, every further one a row; cells are parted by `|`, and
//! the spaces around them do not count, so columns can be aligned. Cells left out at the end of a row are blank; a line
//! of bars alone is a blank row. Sheets, headings and rows keep their order, and any sheet or heading may be written,
//! known or not.
//!
//! A cell is what one would type into a spreadsheet, and becomes a number, a date, a percent or text by its column.
//! Four ways say more:
//!
//! | written | means |
//! |---|---|
//! | `'1/2` | this text, whatever the column |
//! | `@2026-03-04` | a real date, whatever the column |
//! | `=12*2.5 -> 30` | a formula, and the value it shows |
//! | `\|` `\\` `\#` `\[` | the sign itself; only a bar needs it inside a row |

use super::parse_date;
use crate::finding::Finding;
use crate::model::findings::{self, TextProblem};
use rust_decimal::Decimal;

/// A workbook's sheets, in order.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BookText {
    /// In the order they are written.
    pub sheets: Vec<TextSheet>,
}

/// One sheet. Every row has as many cells as there are headings.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TextSheet {
    /// As its tab is to be named.
    pub name: String,
    /// From column A on.
    pub headings: Vec<String>,
    /// Under the headings, from the top down.
    pub rows: Vec<Vec<TextCell>>,
}

/// One cell of a row.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum TextCell {
    /// Nothing.
    #[default]
    Blank,
    /// As typed: what it becomes depends on the column.
    Typed(String),
    /// Text, whatever the column.
    Text(String),
    /// A date, as days since 1899-12-30.
    Date(Decimal),
    /// A formula (with its `=`) and the value it shows, when one is written.
    Formula {
        /// With its equals sign.
        formula: String,
        /// As typed; `None` leaves the cell to be worked out when it is opened.
        shown: Option<String>,
    },
}

/// The most characters a cell can hold in the spreadsheet programs we write for.
const CELL_LIMIT: usize = 32_767;

/// Reads a book from its text form. Never stops at the first fault: what could be read comes back with all that could
/// not, and the book is only fit to be written when there are no findings.
pub fn parse(text: &str) -> (BookText, Vec<Finding>) {
    let mut reader = Reader::default();
    for (index, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        reader.line(index + 1, line.trim());
    }
    reader.end_sheet();
    if !reader.inside {
        reader.fault(1, TextProblem::NoSheets);
    }
    (reader.book, reader.findings)
}

#[derive(Default)]
struct Reader {
    book: BookText,
    /// The line on which each sheet of the book began.
    began: Vec<usize>,
    /// The sheet being read; `None` before the first and after a bad name.
    sheet: Option<TextSheet>,
    /// True once a `[` line was seen, good or bad.
    inside: bool,
    findings: Vec<Finding>,
}

impl Reader {
    fn line(&mut self, number: usize, line: &str) {
        if line.is_empty() || line.starts_with('#') {
            return;
        }
        if let Some(name) = line.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
            return self.begin_sheet(number, name.trim());
        }
        if !self.inside {
            // Everything up to the first sheet is one fault, not one for each line.
            self.inside = true;
            return self.fault(number, TextProblem::OutsideSheet);
        }
        let Some(sheet) = &mut self.sheet else { return };
        let mut cells = split(line);
        if sheet.headings.is_empty() {
            sheet.headings = cells.into_iter().map(|cell| unescape(cell.trim())).collect();
            return;
        }
        while cells.len() > sheet.headings.len() && cells.last().is_some_and(|cell| cell.trim().is_empty()) {
            cells.pop();
        }
        let (found, headings) = (cells.len(), sheet.headings.len());
        cells.resize(headings, "");
        let row: Vec<TextCell> = cells.iter().map(|cell| read_cell(cell.trim())).collect();
        let long = row.iter().position(|cell| cell.length() > CELL_LIMIT);
        let long = long.and_then(|at| sheet.headings.get(at).cloned());
        sheet.rows.push(row);
        if found > headings {
            self.fault(number, TextProblem::ExtraCells { cells: found, headings });
        }
        if let Some(column) = long {
            self.fault(number, TextProblem::LongCell { column });
        }
    }

    fn begin_sheet(&mut self, number: usize, name: &str) {
        self.end_sheet();
        self.inside = true;
        let forbidden = ['[', ']', ':', '*', '?', '/', '\\'];
        let long = name.encode_utf16().count() > 31;
        if name.is_empty() || long || name.contains(forbidden) || name.starts_with('\'') || name.ends_with('\'') {
            return self.fault(number, TextProblem::SheetName { name: name.to_owned() });
        }
        let again = self.book.sheets.iter().position(|sheet| sheet.name.to_lowercase() == name.to_lowercase());
        if let Some(first) = again.and_then(|at| self.began.get(at).copied()) {
            return self.fault(number, TextProblem::SheetAgain { name: name.to_owned(), first });
        }
        self.began.push(number);
        self.sheet = Some(TextSheet { name: name.to_owned(), ..TextSheet::default() });
    }

    fn end_sheet(&mut self) {
        let Some(sheet) = self.sheet.take() else { return };
        if sheet.headings.is_empty() {
            let number = self.began.last().copied().unwrap_or_default();
            self.fault(number, TextProblem::NoHeadings { name: sheet.name.clone() });
        }
        self.book.sheets.push(sheet);
    }

    fn fault(&mut self, line: usize, problem: TextProblem) {
        self.findings.push(Finding::everywhere(findings::BookText { line, problem }));
    }
}

impl TextCell {
    fn length(&self) -> usize {
        match self {
            Self::Typed(text) | Self::Text(text) | Self::Formula { formula: text, .. } => text.encode_utf16().count(),
            Self::Blank | Self::Date(_) => 0,
        }
    }
}

/// The cells of a line, still escaped.
fn split(line: &str) -> Vec<&str> {
    let mut cells = Vec::new();
    let (mut start, mut escaped) = (0, false);
    for (at, c) in line.char_indices() {
        match c {
            '|' if !escaped => {
                // `start` and `at` stand before and on a one-byte sign, so both are character boundaries.
                cells.push(&line[start..at]);
                start = at + 1;
                escaped = false;
            }
            _ => escaped = c == '\\' && !escaped,
        }
    }
    cells.push(&line[start..]);
    cells
}

fn read_cell(cell: &str) -> TextCell {
    if cell.is_empty() {
        return TextCell::Blank;
    }
    if let Some(text) = cell.strip_prefix('\'') {
        return TextCell::Text(unescape(text));
    }
    if let Some(date) = cell.strip_prefix('@').filter(|date| date.len() == 10).and_then(parse_date) {
        return TextCell::Date(date);
    }
    if cell.len() > 1 && cell.starts_with('=') {
        let (formula, shown) = match cell.rsplit_once(" -> ") {
            Some((formula, shown)) => (formula.trim_end(), Some(unescape(shown.trim()))),
            None => (cell, None),
        };
        return TextCell::Formula { formula: unescape(formula), shown };
    }
    TextCell::Typed(unescape(cell))
}

/// Drops the backslash of each escaped sign.
fn unescape(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut signs = text.chars();
    while let Some(c) = signs.next() {
        match c {
            // A backslash at the very end stands for itself.
            '\\' => plain.push(signs.next().unwrap_or('\\')),
            _ => plain.push(c),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(text: &str) -> TextCell {
        TextCell::Typed(text.into())
    }

    #[test]
    fn sheets_headings_and_rows_come_in_their_order() {
        let (book, findings) = parse(
            "\u{feff}# a comment\r\n[Runs]\r\nRun | Size\r\nA1 | 3/4 |\r\n\r\n # another\nB1\n|\n[ Pipe ]\nC\n150\n",
        );
        assert!(findings.is_empty(), "{findings:?}");
        let [runs, pipe] = &book.sheets[..] else { panic!("{book:?}") };
        assert_eq!((runs.name.as_str(), pipe.name.as_str()), ("Runs", "Pipe"));
        assert_eq!(runs.headings, ["Run", "Size"]);
        assert_eq!(
            runs.rows,
            [
                vec![typed("A1"), typed("3/4")],
                vec![typed("B1"), TextCell::Blank],
                vec![TextCell::Blank, TextCell::Blank]
            ]
        );
    }

    #[test]
    fn a_cell_can_say_what_it_is() {
        let cells = split(r"'1/2 | @2026-03-04 | =A1*2 -> 30 | =A1 | a\|b \\ c | @noon | -> | '");
        let cells: Vec<TextCell> = cells.iter().map(|cell| read_cell(cell.trim())).collect();
        assert_eq!(
            cells,
            [
                TextCell::Text("1/2".into()),
                TextCell::Date(46085.into()),
                TextCell::Formula { formula: "=A1*2".into(), shown: Some("30".into()) },
                TextCell::Formula { formula: "=A1".into(), shown: None },
                typed(r"a|b \ c"),
                typed("@noon"),
                typed("->"),
                TextCell::Text(String::new()),
            ]
        );
    }

    #[test]
    fn every_fault_is_told_with_its_line() {
        let text = format!(
            "stray\nstray too\n[a/b]\nskipped | row\n[Runs]\n[runs]\n[Job]\nItem\nx | y\n{}\n",
            "z".repeat(CELL_LIMIT + 1)
        );
        let (_, findings) = parse(&text);
        let line = |found: &str| found.strip_prefix("Line ")?.split_once(':')?.0.parse().ok();
        let lines: Vec<usize> = findings.iter().filter_map(|finding| line(&finding.found)).collect();
        // Line 5 has no headings, line 6 is a second Runs: both are told though one follows the other.
        assert_eq!(lines, [1, 3, 5, 6, 9, 10]);
        assert_eq!(findings.len(), lines.len());
        for finding in &findings {
            assert!(!finding.remedy.is_empty());
        }
        assert_eq!(parse("\n# nothing but a remark\n").1.len(), 1);
    }
}
