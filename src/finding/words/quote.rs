//! The words for what orders that suppliers have filled in find.

use super::{Words, listed, words};
use crate::finding::Code;
use crate::finding::Severity::{Mend, Note};

/// `None` for a finding of another subject.
pub(super) fn of(code: &Code) -> Option<Words> {
    Some(match code {
        Code::FormNotRead { reason } => words(
            Mend,
            "form-not-read",
            format!("This is no order that can be read back: {reason}."),
            "Nothing of this file is used. Ask for the order workbook or its CSV, filled in as it was sent.",
        ),
        Code::FormOfOther { what, found, ours } => words(
            Mend,
            "form-of-other",
            format!("The {what} of this order is \"{found}\"; that of the workbook is \"{ours}\"."),
            "Nothing of this file is used. Give the workbook that the order was made from.",
        ),
        Code::FormRevision { found, ours } => words(
            Note,
            "form-revision",
            format!("This order is of revision {found}; the workbook is at revision {ours}."),
            "Its prices are used where the line is still needed; changed quantities are told line by line.",
        ),
        Code::FormByOther { supplier, by } => words(
            Note,
            "form-by-other",
            format!(
                "Another filled order speaks for {supplier} too; this one was quoted by {by}, and stands under that name."
            ),
            "Write the supplier's name in Quoted by where it is another.",
        ),
        Code::QuoteExpired { until, what, on } => words(
            Mend,
            "quote-expired",
            format!("The quote holds until {until}; {what} in Job is {on}."),
            "Ask whether the prices still hold. They are used all the same.",
        ),
        Code::QuoteNotRead { column, found, why } => words(
            Mend,
            "quote-not-read",
            format!("{column} is \"{found}\": {why}."),
            "It is taken as not answered. Ask the supplier, write the number there, and read the quotes again.",
        ),
        Code::QuoteReadAs { column, found, value } => words(
            Note,
            "quote-read-as",
            format!("{column} is {found}; it is read as {value}."),
            "Nothing is wrong where that is what was meant.",
        ),
        Code::QuoteUnitChanged { column, found, ours } => words(
            Mend,
            "quote-unit-changed",
            format!("{column} is \"{found}\"; the order asked for \"{ours}\"."),
            "The price is for something else and is not used. Ask for the price of what was ordered.",
        ),
        Code::QuoteQuantityChanged { found, ours } => words(
            Mend,
            "quote-quantity-changed",
            format!("The quantity in this order is {found}; the job now needs {ours}."),
            "The price is used for what the job needs. Ask whether it holds for that many, and send the new order.",
        ),
        Code::QuoteWithoutLine { found } => words(
            Mend,
            "quote-without-line",
            format!("There is an answer here, and no line key that could be read (Line is \"{found}\")."),
            "It is left out. Copy the key from the order as it was sent into the Line column.",
        ),
        Code::QuoteTwice { line, first, other } => words(
            Mend,
            "quote-twice",
            format!("{line} is priced twice by this supplier: {first} and {other}."),
            "The higher price is used. Ask which one holds.",
        ),
        Code::QuoteNotNeeded { line } => {
            words(Note, "quote-not-needed", format!("The job no longer orders {line}."), "Its price is left out.")
        }
        Code::QuoteRowsGone { lines } => words(
            Mend,
            "quote-rows-gone",
            format!("Lines that this supplier's order has now are not in this file: {}.", listed(lines)),
            "Rows were taken out, or the job has changed since. They count as not priced; ask for them.",
        ),
        Code::QuoteUnlikely { price, ours, unit } => words(
            Mend,
            "quote-unlikely",
            format!("The price is {price}; Prices has {ours} for the same thing from the same supplier."),
            format!("Ask whether it is the price of {unit}. It is used as it stands."),
        ),
        Code::QuoteSubstitute { part, policy, fine } => words(
            if *fine { Note } else { Mend },
            "quote-substitute",
            format!("Part {part} is offered in place of the one asked for; Substitutes in Job is \"{policy}\"."),
            match *policy {
                "none" => "The price is not used, since no substitutes are wanted.",
                "as good" => "The price is used. See that size, system and certification are the same.",
                _ => "The price is used. Call before it is ordered: size, system and certification must be the same.",
            },
        ),
        Code::QuotePriceKept { quoted, why } => words(
            Mend,
            "quote-price-kept",
            format!("The quote is {quoted}, and this price was not written over: {why}."),
            "Change it by hand where the quote should hold.",
        ),
        Code::QuotesUndated => words(
            Note,
            "quotes-undated",
            "A quote bears no date, and Date in Job is blank: the new prices are not dated.".to_owned(),
            "Write the date under Quoted in Prices, or in Date in Job, so that old prices can be told.",
        ),
        Code::QuotesMany { suppliers, most } => words(
            Mend,
            "quotes-many",
            format!("{suppliers} suppliers have quoted; the cheapest split is sought among the first {most}."),
            "Read those quotes together that matter; the table of prices shows all of them.",
        ),
        Code::NothingQuoted => words(
            Mend,
            "nothing-quoted",
            "None of the files holds a price for what the job orders.".to_owned(),
            "No workbook is written.",
        ),
        _ => return None,
    })
}
