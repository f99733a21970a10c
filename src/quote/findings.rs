//! What orders that suppliers have filled in find.

use crate::finding::findings;
use crate::finding::phrases::listed;

findings! {
    /// A file is not an order that can be read back.
    FormNotRead { reason: String } = Fix "form-not-read" {
        found: "This is no order that can be read back: {reason}.",
        remedy: "Nothing of this file is used. Ask for the order workbook or its CSV, filled in as it was sent.",
    }

    /// A filled order belongs to another job, or has another number.
    FormOfOther { what: &'static str, found: String, ours: String } = Fix "form-of-other" {
        found: "The {what} of this order is \"{found}\"; that of the workbook is \"{ours}\".",
        remedy: "Nothing of this file is used. Give the workbook that the order was made from.",
    }

    /// A filled order is of another revision.
    FormRevision { found: String, ours: String } = Note "form-revision" {
        found: "This order is of revision {found}; the workbook is at revision {ours}.",
        remedy: "Its prices are used where the line is still needed; changed quantities are told line by line.",
    }

    /// Two filled orders are of one supplier, quoted by different people.
    FormByOther { supplier: String, by: String } = Note "form-by-other" {
        found: "Another filled order speaks for {supplier} too; this one was quoted by {by}, and stands under that \
             name.",
        remedy: "Write the supplier's name in Quoted by where it is another.",
    }

    /// A quote ran out before the job's date.
    QuoteExpired { until: String, what: &'static str, on: String } = Fix "quote-expired" {
        found: "The quote holds until {until}; {what} in Job is {on}.",
        remedy: "Ask whether the prices still hold. They are used all the same.",
    }

    /// An answer in a filled order cannot be read.
    QuoteNotRead { column: &'static str, found: String, reason: String } = Fix "quote-not-read" {
        found: "{column} is \"{found}\": {reason}.",
        remedy: "It is taken as not answered. Ask the supplier, write the number there, and read the quotes again.",
    }

    /// An answer in a filled order was a text or a formula.
    QuoteReadAs { column: &'static str, found: String, value: String } = Note "quote-read-as" {
        found: "{column} is {found}; it is read as {value}.",
        remedy: "Nothing is wrong where that is what was meant.",
    }

    /// The supplier changed what the price is for.
    QuoteUnitChanged { column: &'static str, found: String, ours: String } = Fix "quote-unit-changed" {
        found: "{column} is \"{found}\"; the order asked for \"{ours}\".",
        remedy: "The price is for something else and is not used. Ask for the price of what was ordered.",
    }

    /// The quantity in a filled order is not what the job needs now.
    QuoteQuantityChanged { found: String, ours: String } = Fix "quote-quantity-changed" {
        found: "The quantity in this order is {found}; the job now needs {ours}.",
        remedy: "The price is used for what the job needs. Ask whether it holds for that many, and send the new order.",
    }

    /// An answer stands in a row without its line key.
    QuoteWithoutLine { found: String } = Fix "quote-without-line" {
        found: "There is an answer here, and no line key that could be read (Line is \"{found}\").",
        remedy: "It is left out. Copy the key from the order as it was sent into the Line column.",
    }

    /// A supplier prices one line twice.
    QuoteTwice { line: String, first: String, other: String } = Fix "quote-twice" {
        found: "{line} is priced twice by this supplier: {first} and {other}.",
        remedy: "The higher price is used. Ask which one holds.",
    }

    /// A quoted line is no longer ordered.
    QuoteNotNeeded { line: String } = Note "quote-not-needed" {
        found: "The job no longer orders {line}.",
        remedy: "Its price is left out.",
    }

    /// A fixture that its own row of Fixtures prices is quoted.
    FixtureQuoted { tags: Vec<String>, price: String } = Note "fixture-quoted" {
        found: ("{} is quoted at {price}, which is not written into the job.", listed(&tags)),
        remedy: "Write it under Price in Fixtures if you buy it there.",
    }

    /// Lines of the order are not in the filled file.
    QuoteRowsGone { lines: Vec<String> } = Fix "quote-rows-gone" {
        found: ("Lines that this supplier's order has now are not in this file: {}.", listed(&lines)),
        remedy: "Rows were taken out, or the job has changed since. They count as not priced; ask for them.",
    }

    /// A quoted price is far from the one in the job.
    QuoteUnlikely { price: String, ours: String, unit: String } = Fix "quote-unlikely" {
        found: "The price is {price}; Prices has {ours} for the same thing from the same supplier.",
        remedy: "Ask whether it is the price of {unit}. It is used as it stands.",
    }

    /// A supplier offers another part.
    QuoteSubstitute {
        part: String,
        policy: &'static str,
        /// The job takes it as it is.
        fine: bool,
    } = Note if fine else Fix "quote-substitute" {
        found: "Part {part} is offered in place of the one asked for; Substitutes in Job is \"{policy}\".",
        remedy: {
            match policy {
                "none" => "The price is not used, since no substitutes are wanted.",
                "as good" => "The price is used. See that size, system and certification are the same.",
                _ => "The price is used. Call before it is ordered: size, system and certification must be the same.",
            }
        },
    }

    /// A price of the job was not written over.
    QuotePriceKept { quoted: String, reason: String } = Fix "quote-price-kept" {
        found: "The quote is {quoted}, and this price was not written over: {reason}.",
        remedy: "Change it by hand where the quote should hold.",
    }

    /// A quote has no date, and Date in Job is blank.
    QuotesUndated {} = Note "quotes-undated" {
        found: "A quote bears no date, and Date in Job is blank: the new prices are not dated.",
        remedy: "Write the date under Quoted in Prices, or in Date in Job, so that old prices can be told.",
    }

    /// More suppliers have quoted than the split is sought among.
    QuotesMany { suppliers: usize, most: usize } = Fix "quotes-many" {
        found: "{suppliers} suppliers have quoted; the cheapest split is sought among the first {most}.",
        remedy: "Read those quotes together that matter; the table of prices shows all of them.",
    }

    /// No file has a price for what the job orders.
    NothingQuoted {} = Fix "nothing-quoted" {
        found: "None of the files holds a price for what the job orders.",
        remedy: "No workbook is written.",
    }
}
