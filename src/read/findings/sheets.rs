//! What the reading finds of sheets and headings.

use crate::finding::findings;
use crate::finding::phrases::{did_you_mean, listed, perhaps_meant};

findings! {
    /// A sheet that every job needs is missing.
    MissingSheet { sheet: &'static str, nearest: Option<String>, present: Vec<String> } = Stop "missing-sheet" {
        found: (
            "There is no sheet {sheet}; the workbook has {}.{}",
            listed(&present),
            perhaps_meant(nearest.as_deref()),
        ),
        remedy: "Name the sheet {sheet}, or add it; `start` writes a blank workbook with every sheet.",
    }

    /// A sheet that is not read has nearly the name of one that is, or its headings.
    NearSheet {
        found: String,
        nearest: &'static str,
        /// It has all headings that are needed.
        alike: bool,
        /// Some of its headings are those of the sheet, which is missing.
        to_mend: bool,
        /// The sheet itself is there and read.
        is_read: bool,
    } = Fix if to_mend else Note "near-sheet" {
        found: {
            let alike = if alike { format!(", though its headings are those of {nearest}") } else { String::new() };
            let meant = if is_read { String::new() } else { did_you_mean(Some(nearest)) };
            format!("The sheet \"{found}\" is not read{alike}.{meant}")
        },
        remedy: {
            match is_read {
                true => format!("If its rows are meant to count, move them to the sheet {nearest}. If not, it is carried along."),
                false => format!("If it is meant, name it {nearest}. Otherwise it is carried along as it stands."),
            }
        },
    }

    /// A sheet that is not read has the headings of one of the program's, and rows.
    SheetLeftOut {
        found: String,
        nearest: &'static str,
        /// The sheet itself is there and read.
        is_read: bool,
    } = Stop "sheet-left-out" {
        found: "The sheet \"{found}\" has the headings of {nearest} and is not read: the bid would lack its rows.",
        remedy: (
            "{} {nearest}. If it is not meant to count, say so in its name: \"{found} (not used)\".",
            if is_read { "Move its rows to the sheet" } else { "Name it" },
        ),
    }

    /// Two sheets have names that mean the same sheet.
    TwoSheets { found: String, read: String, meant: &'static str } = Fix "two-sheets" {
        found: "\"{found}\" and \"{read}\" are both names of the sheet {meant}; only \"{read}\" was read.",
        remedy: "Put all rows on one sheet, or give the other one another name.",
    }

    /// A sheet could not be read.
    UnreadableSheet { sheet: String, reason: String, needed: bool } = Stop if needed else Fix "unreadable-sheet" {
        found: "The sheet {sheet} could not be read: {reason}.",
        remedy: "Open the workbook in a spreadsheet program and save it again.",
    }

    /// A hidden sheet was read.
    HiddenSheet { sheet: String } = Note "hidden-sheet" {
        found: "The sheet {sheet} is hidden, and was read.",
        remedy: "Unhide it if you want to see what it says.",
    }

    /// No row of the sheet has its headings.
    NoHeadings { sheet: String, expected: Vec<&'static str>, needed: bool } = Stop if needed else Fix "no-headings" {
        found: "No row of the sheet {sheet} (of its first 30) has the headings of this sheet; it was not read.",
        remedy: ("One row must hold the headings; these are needed: {}.", expected.join(", ")),
    }

    /// A column that the sheet needs is missing.
    MissingColumn { column: &'static str, nearest: Option<String>, present: Vec<String> } = Stop "missing-column" {
        found: (
            "There is no column {column}; the headings are {}.{}",
            listed(&present),
            perhaps_meant(nearest.as_deref()),
        ),
        remedy: "Write {column} as the heading of that column.",
    }

    /// A column that is not read has nearly the heading of one that is.
    NearHeading { found: String, nearest: &'static str, cells: Option<String> } = Fix "near-heading" {
        found: (
            "The column \"{found}\"{} is not read.{}",
            cells.as_ref().map(|cells| format!(" ({cells})")).unwrap_or_default(),
            did_you_mean(Some(nearest)),
        ),
        remedy: "If it is meant, write {nearest} as its heading. If not, give it a heading unlike {nearest}.",
    }

    /// Cells are filled in, in a column without a heading.
    HeadingMissing { cells: String, count: usize } = Fix "heading-missing" {
        found: {
            match count {
                1 => format!("{cells} is filled in, in a column without a heading; it is not read."),
                _ => {
                    format!("{cells} are filled in ({count} cells), in a column without a heading; they are not read.")
                }
            }
        },
        remedy: "Write the heading of that column, one of this sheet's or one of your own. Cells must not be merged.",
    }

    /// Columns of your own are carried along and not read.
    OwnColumns { headings: Vec<String> } = Note "own-columns" {
        found: ("Columns of your own, carried along and not read: {}.", listed(&headings)),
        remedy: "OK if they are for you alone.",
    }

    /// Two columns of one sheet mean the same.
    DuplicateHeading {
        found: String,
        column: &'static str,
        first: String,
        same: bool,
    } = Fix if same else Note "duplicate-heading" {
        found: "\"{found}\" is a second column {column}; the one at {first} was read.",
        remedy: "Keep one of them, or give the other another heading.",
    }

    /// A heading names another unit than the column's.
    WrongUnit { found: String, column: &'static str, unit: String } = Stop "wrong-unit" {
        found: "The heading \"{found}\" is in {unit}; the column {column} is not.",
        remedy: "Convert the figures and write {column} as the heading.",
    }
}
