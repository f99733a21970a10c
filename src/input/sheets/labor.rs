//! The Labor sheet: hours that go before the program's own.

use super::{NOTE, PHASE};
use crate::input::types::{Name, OneOf, Phases, Positive, Text, Workers};
use crate::input::{column, sheet};
use crate::model::range::range;

sheet! {
    /// Hours for one unit of a task.
    LaborTask = sheet(
        "Labor",
        &["Labour", "Labor hours", "Tasks"],
        "task",
        "Hours for one unit of a task. Hours entered here replace the built-in ones.",
    )
    .by_words("Hours")
    .by_use();

    task: Name = column("Task", &["Work", "Activity"], "The task's name, as the bid's Hours sheet writes it.")
        .wide(24.0)
        .decides();
    unit: Text = column("Unit", &["Per"], "ft or each.").needed().wide(8.0);
    hours: Positive = column(
        "Hours",
        &["Hours per unit", "Hrs"],
        "Hours for one unit, one person, before conditions.",
    )
    .needed()
    .within(range!(0, 0, 80, 1000))
    .decides_if_present();
    phase: OneOf<Phases> = PHASE;
    by: OneOf<Workers> = column("By", &["Who"], "owner or hired; blank takes Labor by from Job.").decides_or_leaves();
    note: Text = NOTE;
}
