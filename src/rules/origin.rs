//! Where a row of a rule table comes from, and how far it can be trusted.

use crate::folding::worded;
use crate::place::Place;
use std::fmt;
use std::sync::Arc;

worded! {
    /// How a figure is known.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Basis {
        /// Read in the document itself or in public copies of it.
        Standard = "standard",
        /// Another public source.
        Published = "published",
        /// Our arithmetic; the method is named in the source or the note.
        Computed = "computed",
        /// Trade knowledge without a source.
        CommonPractice = "common practice",
        /// A standard's figure that nobody here could read.
        FromMemory = "from memory",
        /// The user's own word, in a sheet of the job workbook or in a folder of tables.
        YourOwn = "your own",
    }
}

/// Where a row was read.
#[derive(Debug, Clone, PartialEq)]
pub enum ReadFrom {
    /// A table that the program carries: file in `templates/rules/` and line, counted from 1.
    Table {
        /// Its name, with its ending.
        file: &'static str,
        /// From 1.
        line: u64,
    },
    /// A table of a `--rules` folder: file and line, counted from 1.
    File {
        /// Its name, with its ending.
        file: Arc<str>,
        /// From 1.
        line: u64,
    },
    /// A sheet of the job workbook: its first cell of that row.
    Sheet(Place),
}

impl ReadFrom {
    /// The row's place in a sheet of the user's; `None` where no workbook has it.
    pub fn place(&self) -> Option<&Place> {
        match self {
            Self::Sheet(place) => Some(place),
            _ => None,
        }
    }
}

impl fmt::Display for ReadFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Table { file, line } => write!(f, "{file} line {line}"),
            Self::File { file, line } => write!(f, "your {file} line {line}"),
            Self::Sheet(place) => write!(f, "{place}"),
        }
    }
}

/// A row's source, basis and place.
#[derive(Debug, Clone, PartialEq)]
pub struct Origin {
    /// Document, edition, table number; for the user's own rows what they wrote, or where the row stands.
    pub source: Arc<str>,
    /// How far it can be trusted.
    pub basis: Basis,
    /// The file or sheet, and the line.
    pub read_from: ReadFrom,
    /// True when this row stands in place of one that the program carries.
    pub replaced: bool,
}

impl Origin {
    /// Source and basis, as a figure of the bid carries them: `IRC 2021 Table P2903.6 (standard)`.
    pub fn words(&self) -> Arc<str> {
        format!("{} ({})", self.source, self.basis.word()).into()
    }

    /// True for a row of the user's, replacing or added.
    pub fn is_users(&self) -> bool {
        !matches!(self.read_from, ReadFrom::Table { .. })
    }
}
