//! What the hours find.

use crate::finding::findings;

findings! {
    /// A task has no hours.
    NoHours { task: String } = Fix "no-hours" {
        found: "There are no hours for the task \"{task}\"; it stands at zero.",
        remedy: "Add a row to Labor with this task.",
    }
}
