//! The words for what a revision finds: changes that cannot be made, bids that cannot be compared, what is bought or in.

use super::{Words, words};
use crate::finding::Code;
use crate::finding::Severity::{Mend, Note, Stop};

/// `None` for a finding of another subject.
pub(super) fn of(code: &Code) -> Option<Words> {
    Some(match code {
        Code::BoughtLeftOver { item, quantity, worth, returned } => words(
            Note,
            "bought-left-over",
            format!("{quantity} of {item} that is bought is left over; it cost ${worth}."),
            match returned.as_str() {
                "0" => "Keep it in stock: no whole unit of it can go back.".to_owned(),
                units => format!(
                    "Whole units to take back: {units}; the rest goes into stock. Cost build-up lists both, with their value."
                ),
            },
        ),
        Code::EditNotRead { typed, expected } => words(
            Stop,
            "edit-not-read",
            format!("\"{typed}\" is no change that can be made."),
            format!("Write it as {expected}, then = and the value."),
        ),
        Code::EditBadValue { name, typed, expected } => words(
            Stop,
            "edit-bad-value",
            format!("{name} cannot be \"{typed}\"; expected {expected}."),
            format!("Write {expected}."),
        ),
        Code::EditOfFormula { cell } => words(
            Stop,
            "edit-of-formula",
            format!("{cell} holds a formula of yours; a value in its place would lose it."),
            "Change the cells it is worked out from, or write the value over it in a spreadsheet program.",
        ),
        Code::EditOfResult { cell } => words(
            Stop,
            "edit-of-result",
            format!("{cell} is on a sheet that this program makes anew each time."),
            "Change the input it comes from; `tallybore trace` shows which.",
        ),
        Code::EditNotInput { cell } => words(
            Stop,
            "edit-not-input",
            format!("{cell} is no cell that this program reads."),
            "Name a cell under a heading of an input sheet, such as Runs!D12.",
        ),
        Code::EditOfNothing { cell, noun, last } => words(
            Stop,
            "edit-of-nothing",
            format!("{cell} belongs to no {noun}: its row has no name."),
            match last {
                0 => format!("Name a cell in the row of a {noun}."),
                last => format!("Name a cell in the row of a {noun}; the last one is row {last}."),
            },
        ),
        Code::EditFeedsFormula { cell, formula } => words(
            Stop,
            "edit-feeds-formula",
            format!("Your formula in {formula} looks at {cell}; its value would be the old one."),
            "Make the change in a spreadsheet program, save it as another file, and give both: revise OLD NEW.",
        ),
        Code::DifferentJobs { old, new, shared, of } => words(
            Stop,
            "different-jobs",
            format!("\"{old}\" and \"{new}\" are different jobs; of {of} runs they share {shared} by name."),
            "Give two workbooks of one job: with the same Job name or Bid number, or with the same runs.",
        ),
        Code::OldTotalMoved { shown, priced } => words(
            Mend,
            "old-total-moved",
            format!("The old bid shows a total of {shown}; priced again with its choices held it comes to {priced}."),
            "The changes are reckoned from the second. The bid was edited since it was priced, or its prices and \
             rules were read by another version.",
        ),
        Code::SameDate { date } => words(
            Note,
            "same-date",
            format!("The revision bears the date of the bid it revises, {date}."),
            "Give it its own: --set \"Date=2026-07-01\", with its day.",
        ),
        Code::NothingChanged => words(Note, "nothing-changed", "No input of the two differs.".to_owned(), ""),
        Code::InstalledTooSmall { run, size, wanted, cost } => words(
            Mend,
            "installed-too-small",
            format!("Run {run} is in at {size}; the changed job wants {wanted} there."),
            format!(
                "To take it out and put in {wanted} costs {cost} at the job's prices, digging and patching not counted. Or leave it, \
                 and live with what Sizing shows."
            ),
        ),
        Code::TriedInVain { tried, reason } => words(
            Mend,
            "tried-in-vain",
            format!("{tried} cannot be priced: {reason}"),
            "Its row of the What if sheet says so; the others stand.",
        ),
        _ => return None,
    })
}
