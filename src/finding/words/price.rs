//! The words for what the take-off, the hours and the price find, and for faults of the program.

use super::{Words, listed, words};
use crate::finding::Code;
use crate::finding::Severity::{Mend, Stop};

/// What to do about a fault of the program.
pub(super) const REPORT_IT: &str = "This is a fault of the program. Please report it with the workbook.";

/// `None` for a finding of another subject.
pub(super) fn of(code: &Code) -> Option<Words> {
    Some(match code {
        Code::NoAssembly { what } => words(
            Mend,
            "no-assembly",
            format!("No parts are listed for a {what}; none are counted."),
            "List its parts on a sheet named Assemblies.",
        ),
        Code::NoPipeLongEnough { run, needed_ft, longest_ft } => words(
            Mend,
            "no-pipe-long-enough",
            format!(
                "Run {run} needs {needed_ft} ft with its tails; the longest piece in Prices is {longest_ft} ft, and it \
                     may not be joined. It is not in the cut plan."
            ),
            "Add a longer coil to Prices, or allow joints in the run.",
        ),
        Code::NoPrice { items } => Words {
            table: items.iter().map(|(item, quantity)| vec![item.clone(), quantity.clone()]).collect(),
            ..words(
                Mend,
                "no-price",
                match items.len() {
                    1 => "There is no price for 1 item. It is carried at $0.".to_owned(),
                    count => format!("There is no price for {count} items. They are carried at $0."),
                },
                "Add it to Prices. `price --list-missing` writes the missing rows into a copy of the job. Enter 0 for what the \
                 owner furnishes. Set Status to by others for a device that others furnish and set.",
            )
        },
        Code::MarkupOverPrice { percent } => words(
            Stop,
            "markup-over-price",
            format!("Overhead and profit are {percent}% of the price; nothing is left for the cost."),
            "Set Markup to on cost, or lower Overhead and Profit.",
        ),
        Code::AlternateNotPriced { alternate, reason } => words(
            Mend,
            "alternate-not-priced",
            format!("What \"{alternate}\" would change cannot be priced: {reason}"),
            "Write changes such as main size=1; run M1 material=copper L, parted by semicolons; or write its Amount yourself.",
        ),
        Code::AlternateFails { alternate, why } => words(
            Mend,
            "alternate-fails",
            format!("With the alternate \"{alternate}\" the job does not pass: {why}. The bid offers no price for it."),
            "Add the prices it needs, or change something else along with it; Cost build-up shows what it comes to.",
        ),
        Code::OffersByRow { lines } => words(
            Mend,
            "offers-by-row",
            format!(
                "An earlier version of the program wrote this bid; its offers are held by row number. They are chosen \
                 again for: {}.",
                listed(lines)
            ),
            "Compare the offers on Cost build-up with the old bid. Type another name where the old offer is to stay.",
        ),
        Code::NoHours { task } => words(
            Mend,
            "no-hours",
            format!("There are no hours for the task \"{task}\"; it stands at zero."),
            "Add a row to Labor with this task.",
        ),
        Code::Internal { detail } => words(Stop, "internal", detail.clone(), REPORT_IT),
        _ => return None,
    })
}
