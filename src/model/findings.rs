//! What is wrong with a workbook in text form.

use crate::finding::findings;

findings! {
    /// A line of a workbook in text form cannot be read.
    BookText {
        /// Counted from 1.
        line: usize,
        problem: TextProblem,
    } = Stop "book-text" {
        found: ("Line {line}: {}.", problem.found_and_remedy().0),
        remedy: { problem.found_and_remedy().1 },
    }
}

/// What can be wrong with a line of a book in text form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum TextProblem {
    /// There is no `[Sheet]` line at all.
    NoSheets,
    /// Something stands before the first `[Sheet]` line.
    OutsideSheet,
    /// The name cannot be a sheet's: empty, over 31 characters, or with one of `[]:*?/\`.
    SheetName { name: String },
    /// A second sheet of that name; the first began on line `first`.
    SheetAgain { name: String, first: usize },
    /// More cells than headings.
    ExtraCells { cells: usize, headings: usize },
    /// No line of headings follows the `[Sheet]` line.
    NoHeadings { name: String },
    /// More than a cell can hold.
    LongCell { column: String },
}

impl TextProblem {
    fn found_and_remedy(&self) -> (String, &'static str) {
        match self {
            Self::NoSheets => (
                "there is no sheet in the text".to_owned(),
                "Begin with a line such as [Job], then its headings, then its rows.",
            ),
            Self::OutsideSheet => (
                "something stands before the first sheet".to_owned(),
                "Begin with a line such as [Job], then its headings, then its rows.",
            ),
            Self::SheetName { name } => (
                format!("\"{name}\" cannot be the name of a sheet"),
                "Give it 1 to 31 characters, none of them [ ] : * ? / \\ and no single quote at either end.",
            ),
            Self::SheetAgain { name, first } => (
                format!("sheet \"{name}\" stands a second time; the first begins on line {first}"),
                "Put all rows of a sheet under one [name] line.",
            ),
            Self::ExtraCells { cells, headings } => (
                format!("the row has {cells} cells under {headings} headings"),
                "Take out a bar, or write \\| where the bar belongs to the text.",
            ),
            Self::NoHeadings { name } => (
                format!("sheet \"{name}\" has no line of headings"),
                "Write its headings on the line after its name, parted by bars.",
            ),
            Self::LongCell { column } => (
                format!("the cell under \"{column}\" holds over 32,767 characters, more than a spreadsheet cell can"),
                "Shorten it.",
            ),
        }
    }
}
