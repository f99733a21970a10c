//! What the hours find.

use crate::finding::findings;

findings! {
    /// A task has no hours.
    NoHours { task: String } = Fix "no-hours" {
        found: "No hours for the task \"{task}\". It counts as 0 hours.",
        remedy: "Add a row to Labor with this task.",
    }
}
