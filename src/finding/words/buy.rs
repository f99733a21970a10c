//! The words for what buying and deliveries find.

use super::{Words, hint, words};
use crate::finding::Code;
use crate::finding::Severity::{Mend, Note};

/// `None` for a finding of another subject.
pub(super) fn of(code: &Code) -> Option<Words> {
    Some(match code {
        Code::BreakForPipe { item, units, saved } => words(
            Note,
            "break-for-pipe",
            format!("{units} Units of {item} reach this price break, and would cost {saved} less at it."),
            "Cuts are sought at the price of the first Unit, and Buying reckons with it. Ask for the lower price; or write it \
             as the row's own price.",
        ),
        Code::UnderLeastSold { item, units, least } => words(
            Mend,
            "under-least-sold",
            format!("{units} Units of {item} are in the cut plan; {least} are the least that is sold."),
            "Buy that many all the same, or leave the offer out: cuts do not reckon with the least that is sold.",
        ),
        Code::SupplierNotUsed { supplier, nearest } => words(
            Note,
            "supplier-not-used",
            format!("No row of Prices names \"{supplier}\".{}", hint(nearest.as_deref())),
            "Write the name as Prices has it, or leave the row: it changes nothing.",
        ),
        Code::ReceivedNotBought { item, received, bought } => words(
            Mend,
            "received-not-bought",
            format!(
                "{received} of {item} have come and been kept, and {bought} were bought: the rest is still ordered."
            ),
            "Write the Units that were bought under Bought in Prices; those are not ordered again.",
        ),
        Code::ReceivedTooFew { item } => words(
            Mend,
            "received-too-few",
            format!("More of {item} is used and returned than has come."),
            "Count again, and write what has come under Received.",
        ),
        Code::ReceivedNotNeeded { item } => words(
            Note,
            "received-not-needed",
            format!("The take-off needs no {item}: this row stands in no table."),
            "Write kind, material and size as Prices has them; or take it back.",
        ),
        _ => return None,
    })
}
