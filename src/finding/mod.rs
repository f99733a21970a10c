//! What the engine has to say to the person with the spreadsheet open.
//!
//! A [`Finding`] is made of facts that are declared with their words beside what finds them: see `declare`.

mod declare;
mod general;
pub(crate) mod json;
pub(crate) mod phrases;
mod sink;
mod suggest;
pub mod text;

pub(crate) use declare::findings;
pub use declare::{Declaration, Declared};
pub(crate) use general::LIST;
pub use general::{Internal, MoreFindings, UnknownName};
pub use sink::Sink;
pub use suggest::{nearest, nearest_kind, nearly, shortens};
pub use text::excerpt;

use crate::folding::worded;
use crate::place::Place;

worded! {
    /// How much a finding matters. Ordered: the worst first.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum Severity {
        /// No bid can be made.
        Stop = "stop",
        /// The bid is made, and flagged.
        Fix = "fix",
        /// Good to know.
        Note = "note",
    }
}

/// One thing found, in words, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What follows for the bid.
    pub severity: Severity,
    /// Stable name of the kind of finding: `unknown-name`.
    pub slug: &'static str,
    /// The stages can work with it, though it stops the bid.
    pub(crate) goes_on: bool,
    /// The cell it is about; `None` where it is about the job as a whole.
    pub place: Option<Place>,
    /// One or two sentences.
    pub found: String,
    /// What to do about it; empty where nothing is to be done.
    pub remedy: String,
    /// The rule behind it: document, edition, table.
    pub source: Option<String>,
    /// What is listed under what was found: a row each, its cells from left to right.
    pub table: Vec<Vec<String>>,
}

impl Finding {
    /// What was found at a cell.
    pub fn at(place: &Place, what: impl Into<Self>) -> Self {
        Self { place: Some(place.clone()), ..what.into() }
    }

    /// At a cell that may not be there (the user's sheet has no such column).
    pub fn near(place: Option<&Place>, what: impl Into<Self>) -> Self {
        Self { place: place.cloned(), ..what.into() }
    }

    /// What was found of the job as a whole.
    pub fn everywhere(what: impl Into<Self>) -> Self {
        what.into()
    }

    /// True when it was made of these facts.
    pub fn is<Facts: Declared>(&self) -> bool {
        self.slug == Facts::SLUG
    }

    /// True when it is one of these kinds.
    pub fn is_among(&self, kinds: &[Declaration]) -> bool {
        kinds.iter().any(|kind| kind.slug == self.slug)
    }

    /// What was found, and under it the first `rows` of its table.
    pub fn found_and_table(&self, rows: usize) -> String {
        let mut lines = vec![self.found.clone()];
        lines.extend(self.table.iter().take(rows).map(|row| row.join(", ")));
        if let Some(more) = self.table.len().checked_sub(rows).filter(|more| *more > 0) {
            lines.push(format!("and {more} more"));
        }
        lines.join("\n")
    }
}

/// Sorts findings: the worst first, then by sheet and cell; drops exact repeats.
pub fn sort(findings: &mut Vec<Finding>) {
    fn key(finding: &Finding) -> (Severity, &Option<Place>, &str, &str) {
        (finding.severity, &finding.place, finding.slug, &finding.found)
    }
    findings.sort_by(|a, b| key(a).cmp(&key(b)));
    findings.dedup();
}
