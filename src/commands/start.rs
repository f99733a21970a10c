//! `start`: writes a job workbook to begin with, blank, filled as a sample, or made from readable text.

use super::job::text_trouble;
use super::{Exit, Terminal};
use crate::finding::Finding;
use crate::model::book_text::{self, BookText};
use crate::read;
use crate::write::save::{self, SaveError};
use crate::write::{WriteError, job_book};
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// The sample's text: the demonstration house.
const SAMPLE: &str = include_str!("../../demo-books/prairie-house.txt");

/// What the workbook is to hold.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum From {
    /// Every sheet and every setting, nothing filled in.
    #[default]
    Blank,
    /// A whole job to look at and to price.
    Sample,
    /// What a text file says; see [`crate::model::book_text`] for its form.
    Text(PathBuf),
}

/// What `start` was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Options {
    /// What the workbook is filled with.
    pub from: From,
    /// The file to write. Without it `job.xlsx` or `job-sample.xlsx` in the current folder, or the text's own name with
    /// `.xlsx` beside the text.
    pub output: Option<PathBuf>,
    /// Write over an existing file.
    pub replace: bool,
}

/// What kept `start` from writing a workbook. Nothing was changed on the disk.
#[derive(Debug)]
pub enum StartError {
    /// The text file cannot be opened, or is not text.
    Unreadable {
        /// As typed.
        path: PathBuf,
        /// Why it cannot be read.
        reason: Box<Finding>,
    },
    /// The text was read, and lines of it are wrong.
    Findings {
        /// The text's name, as typed.
        file: String,
        /// What is wrong with its lines.
        findings: Vec<Finding>,
    },
    /// The workbook cannot be made of it.
    Unwritable(WriteError),
    /// The workbook was made and could not be saved.
    Unsaved(SaveError),
}

impl fmt::Display for StartError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable { path, reason } => f.write_str(&text_trouble(path, reason).words),
            Self::Findings { file, findings } => f.write_str(&crate::finding::text::lines(file, findings)),
            Self::Unwritable(error) => error.fmt(f),
            Self::Unsaved(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for StartError {}

/// Writes the workbook and says what to do with it.
pub(crate) fn run(options: &Options, terminal: &mut Terminal) -> io::Result<Exit> {
    match start(options) {
        Ok(path) => {
            let path = path.display();
            match options.from {
                From::Blank => writeln!(terminal.out, "Wrote {path}. Fill it in, then: tallybore price {path}")?,
                From::Sample | From::Text(_) => writeln!(terminal.out, "Wrote {path}. Now: tallybore price {path}")?,
            }
            Ok(Exit::Done)
        }
        Err(StartError::Findings { file, findings }) => {
            terminal.findings(&file, &findings)?;
            Ok(Exit::Stopped)
        }
        Err(error) => {
            writeln!(terminal.err, "{error}")?;
            Ok(Exit::System)
        }
    }
}

/// Writes the workbook and gives the path it was written to.
///
/// # Errors
/// [`StartError`]; no file was written or changed then.
pub fn start(options: &Options) -> Result<PathBuf, StartError> {
    let bytes = match &options.from {
        From::Blank => job_book::blank(),
        From::Sample => job_book::from_text(&parse("the sample", SAMPLE)?),
        From::Text(path) => {
            let unreadable = |reason| StartError::Unreadable { path: path.clone(), reason };
            let text = read::text(path).map_err(unreadable)?;
            job_book::from_text(&parse(&file_name(path), &text)?)
        }
    }
    .map_err(StartError::Unwritable)?;
    let output = options.output.clone().unwrap_or_else(|| default_output(&options.from));
    save::save(&output, &bytes, options.replace).map_err(StartError::Unsaved)?;
    Ok(output)
}

fn parse(file: &str, text: &str) -> Result<BookText, StartError> {
    let (book, findings) = book_text::parse(text);
    if findings.is_empty() { Ok(book) } else { Err(StartError::Findings { file: file.to_owned(), findings }) }
}

fn default_output(from: &From) -> PathBuf {
    match from {
        From::Blank => "job.xlsx".into(),
        From::Sample => "job-sample.xlsx".into(),
        From::Text(path) => path.with_extension("xlsx"),
    }
}

fn file_name(path: &Path) -> String {
    path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn text_becomes_a_workbook_beside_it_and_is_not_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let text = folder.path().join("shed.txt");
        fs::write(&text, "[Job]\nItem | Value\nJob name | A shed\n").unwrap();
        let mut options = Options { from: From::Text(text), ..Options::default() };
        let made = start(&options).unwrap();
        assert_eq!(made, folder.path().join("shed.xlsx"));
        let first = fs::read(&made).unwrap();
        assert!(first.starts_with(b"PK"));
        assert!(matches!(start(&options), Err(StartError::Unsaved(SaveError::Exists(_)))));
        options.replace = true;
        start(&options).unwrap();
        assert_eq!(fs::read(&made).unwrap(), first, "the same text gives the same bytes");
    }

    #[test]
    fn bad_text_is_told_line_by_line_and_nothing_is_written() {
        let folder = tempfile::tempdir().unwrap();
        let text = folder.path().join("bad.txt");
        fs::write(&text, "[Runs]\nRun | From\nA | SUPPLY | 12\n[Job]\n").unwrap();
        let output = folder.path().join("out.xlsx");
        let options = Options { from: From::Text(text), output: Some(output.clone()), replace: false };
        let error = start(&options).unwrap_err();
        let message = error.to_string();
        assert!(message.contains("bad.txt") && message.contains("Line 3") && message.contains("Line 4"), "{message}");
        assert!(!output.exists());
    }

    #[test]
    fn a_missing_or_binary_text_is_an_error_of_the_file() {
        let folder = tempfile::tempdir().unwrap();
        let binary = folder.path().join("binary.txt");
        fs::write(&binary, [0xff, 0xfe, 0x00]).unwrap();
        for path in [folder.path().join("nowhere.txt"), binary] {
            let options = Options { from: From::Text(path), ..Options::default() };
            assert!(matches!(start(&options), Err(StartError::Unreadable { .. })));
        }
    }
}
