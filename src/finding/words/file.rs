//! The words for files as a whole: those that are no workbook, and texts that should become one.

use super::{Words, words};
use crate::finding::Code;
use crate::finding::Severity::{Mend, Note, Stop};
use crate::model::book_text::TextProblem;

/// `None` for a finding of another subject.
pub(super) fn of(code: &Code) -> Option<Words> {
    Some(match code {
        Code::NoSuchFile { path } => {
            words(Stop, "no-such-file", format!("There is no file {path}."), "Check the name and the folder.")
        }
        Code::FolderGiven { path } => {
            words(Stop, "folder-given", format!("{path} is a folder."), "Name the workbook in it.")
        }
        Code::UnreadableFile { reason } => words(
            Stop,
            "unreadable-file",
            format!("The file could not be read: {reason}."),
            "Check that it is closed elsewhere and that you may read it.",
        ),
        Code::EmptyFile => words(
            Stop,
            "empty-file",
            "The file is empty: it holds no bytes at all.".to_owned(),
            "Save the workbook again, or take it from a backup.",
        ),
        Code::NotAWorkbook { looks_like } => words(
            Stop,
            "not-a-workbook",
            format!("This is no workbook, whatever its name ends in; it looks like {looks_like}."),
            "Open it in a spreadsheet program and save it as .xlsx or .ods.",
        ),
        Code::OldWorkbook { encrypted: false } => words(
            Stop,
            "old-workbook",
            "This is a workbook of the old .xls kind, or one locked with a password.".to_owned(),
            "Open it in a spreadsheet program, take the password off if it has one, and save it as .xlsx.",
        ),
        Code::OldWorkbook { encrypted: true } | Code::PasswordProtected => words(
            Stop,
            "password-protected",
            "The workbook is locked with a password.".to_owned(),
            "Open it in a spreadsheet program, take the password off, and save it as .xlsx.",
        ),
        Code::BinaryWorkbook => words(
            Stop,
            "binary-workbook",
            "This is a workbook of the binary .xlsb kind.".to_owned(),
            "Open it in a spreadsheet program and save it as .xlsx.",
        ),
        Code::DamagedFile { detail } => words(
            Stop,
            "damaged-file",
            format!("The file is damaged: {detail}."),
            "Open it in a spreadsheet program, which may mend it, and save it as .xlsx; or take it from a backup.",
        ),
        Code::OversizeFile { what, found, limit } => words(
            Stop,
            "oversize-file",
            format!("The file has {found} {what}; at most {limit} are read."),
            "Delete what is not needed for the job (far rows and columns, pictures), and save it again.",
        ),
        Code::ChoicesNotRead { count } => words(
            Mend,
            "choices-not-read",
            format!(
                "The bid was saved without its formulas' values; {count} of its choices cannot be told apart and are made anew."
            ),
            "Open it in a spreadsheet program and save it there, so that --hold can keep what was chosen.",
        ),
        Code::EditReadBack { what, from, was, now } => words(
            Note,
            "edit-read-back",
            match was.is_empty() {
                true => format!("\"{what}\" on the sheet {from} of the bid now says {now}."),
                false => format!("\"{what}\" on the sheet {from} of the bid said {was} and now says {now}."),
            },
            "It is read as your own, and stands here from now on; change it or take it out here.",
        ),
        Code::MacrosLeftOut => words(
            Note,
            "macros-left-out",
            "The workbook holds macros.".to_owned(),
            "They are never run and do not go into the bid.",
        ),
        Code::BookText { line, problem } => {
            let (found, remedy) = match problem {
                TextProblem::NoSheets => (
                    "there is no sheet in the text".to_owned(),
                    "Begin with a line such as [Job], then its headings, then its rows.",
                ),
                TextProblem::OutsideSheet => (
                    "something stands before the first sheet".to_owned(),
                    "Begin with a line such as [Job], then its headings, then its rows.",
                ),
                TextProblem::SheetName { name } => (
                    format!("\"{name}\" cannot be the name of a sheet"),
                    "Give it 1 to 31 characters, none of them [ ] : * ? / \\ and no single quote at either end.",
                ),
                TextProblem::SheetAgain { name, first } => (
                    format!("sheet \"{name}\" stands a second time; the first begins on line {first}"),
                    "Put all rows of a sheet under one [name] line.",
                ),
                TextProblem::ExtraCells { cells, headings } => (
                    format!("the row has {cells} cells under {headings} headings"),
                    "Take out a bar, or write \\| where the bar belongs to the text.",
                ),
                TextProblem::NoHeadings { name } => (
                    format!("sheet \"{name}\" has no line of headings"),
                    "Write its headings on the line after its name, parted by bars.",
                ),
                TextProblem::LongCell { column } => (
                    format!(
                        "the cell under \"{column}\" holds over 32,767 characters, more than a spreadsheet cell can"
                    ),
                    "Shorten it.",
                ),
            };
            words(Stop, "book-text", format!("Line {line}: {found}."), remedy)
        }
        _ => return None,
    })
}
