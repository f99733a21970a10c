//! What the engine has to say to the person with the spreadsheet open.
//!
//! A [`Finding`] is a code with its facts and a place; the words are made in one spot, `words`.

pub mod code;
pub mod json;
mod sink;
pub mod sizes;
mod suggest;
pub mod text;
mod words;

pub use code::Code;
pub use sink::Sink;
pub use suggest::{nearest, nearly, shortens};
pub use text::excerpt;
pub use words::Words;

use crate::place::Place;

/// How much a finding matters. Ordered: the worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// No bid can be made.
    Stop,
    /// The bid is made, and flagged.
    Mend,
    /// Good to know.
    Note,
}

impl Severity {
    pub fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Mend => "mend",
            Self::Note => "note",
        }
    }
}

/// One thing found: what (with its facts), and where.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    pub code: Code,
    pub place: Option<Place>,
}

impl Finding {
    pub fn at(place: &Place, code: Code) -> Self {
        Self { code, place: Some(place.clone()) }
    }

    /// At a cell that may not be there (the user's sheet has no such column).
    pub fn near(place: Option<&Place>, code: Code) -> Self {
        Self { code, place: place.cloned() }
    }

    pub fn everywhere(code: Code) -> Self {
        Self { code, place: None }
    }

    pub fn severity(&self) -> Severity {
        self.code.severity()
    }
}

/// Sorts findings: the worst first, then by sheet and cell; drops exact repeats.
pub fn sort(findings: &mut Vec<Finding>) {
    findings.sort_by_cached_key(|finding| {
        let words = finding.code.words();
        (words.severity, finding.place.clone(), words.slug, words.found)
    });
    findings.dedup();
}
