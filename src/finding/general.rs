//! Findings that no one subject makes: names that nothing bears, faults of the program, and more than anyone would read.

use super::findings;
use super::phrases::did_you_mean;

/// What to do about a fault of the program.
const REPORT_IT: &str = "This is a fault of the program. Please report it with the workbook.";

findings! {
    /// A name that nothing bears.
    UnknownName {
        /// The kind of thing looked for: "run", "setting", "fixture".
        what: &'static str,
        found: String,
        nearest: Option<String>,
        remedy: String,
    } = Stop "unknown-name" {
        found: ("Found \"{found}\"; there is no {what} of that name.{}", did_you_mean(nearest.as_deref())),
        remedy: { remedy },
    }

    /// More findings on one sheet than anyone would read.
    MoreFindings { sheet: String, count: usize } = Note "more-findings" {
        found: "{count} more findings on the sheet {sheet} are not shown.",
        remedy: "Fix the ones that are shown; one cause often makes many.",
    }

    /// Something inside the program did not hold; never the user's fault.
    Internal { detail: String } = Stop "internal" {
        found: { detail },
        remedy: { REPORT_IT },
    }
}
