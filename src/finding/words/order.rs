//! The words for what supplier orders find.

use super::{Words, hint, listed, words};
use crate::finding::Code;
use crate::finding::Severity::{Mend, Note};

/// `None` for a finding of another subject.
pub(super) fn of(code: &Code) -> Option<Words> {
    Some(match code {
        Code::OrderWithoutNumber => words(
            Note,
            "order-without-number",
            "The orders bear no number: Order number in Job is blank.".to_owned(),
            "Write your number for the order there, so that calls, slips and invoices can be matched to it.",
        ),
        Code::OrderWithoutAddress => words(
            Note,
            "order-without-address",
            "The orders say nowhere where they go: Deliver to and Site in Job are blank.".to_owned(),
            "Write an address in Deliver to, or that you pick the order up.",
        ),
        Code::OrderWithoutContact => words(
            Note,
            "order-without-contact",
            "The orders name nobody to call: Deliver contact in Job is blank.".to_owned(),
            "Write a name and a telephone number there: suppliers are asked to call before they send a substitute.",
        ),
        Code::OrderWithoutSupplier { offers } => words(
            Note,
            "order-without-supplier",
            match offers {
                1 => {
                    "A row of Prices that is ordered names no supplier; it is in an order for any supplier.".to_owned()
                }
                many => format!(
                    "{many} rows of Prices that are ordered name no supplier; they are in an order for any supplier."
                ),
            },
            "Write who quoted them under Supplier.",
        ),
        Code::OrderAsksForQuotes { things, suppliers } => {
            let things = if *things == 1 { "A thing has".to_owned() } else { format!("{things} things have") };
            let (orders, remedy) = match suppliers.len() {
                1 => ("the order", "Write the price that comes back into Prices, and order again."),
                _ => (
                    "each order",
                    "They are asked for, not ordered. Write the prices that come back into Prices, and order again; or name \
                     one supplier under Quotes from in Job.",
                ),
            };
            let found = format!("{things} no price and stand as quote in {orders} of: {}.", listed(suppliers));
            words(Note, "order-asks-for-quotes", found, remedy)
        }
        Code::OrderShort { item, short } => words(
            Mend,
            "order-short",
            format!(
                "What is ordered of {item} is {short} short of what the job needs: the choices of the bid are held."
            ),
            "Order without --hold, which chooses anew; or change the packs on the bid's Buying sheet.",
        ),
        Code::QuotesFromNobody { supplier, nearest } => words(
            Note,
            "quotes-from-nobody",
            format!("Quotes from names \"{supplier}\", who has no row in Prices.{}", hint(nearest.as_deref())),
            "Nothing is wrong where you mean to ask somebody new; else write the name as Prices has it.",
        ),
        Code::NothingToOrder { phases } => words(
            Note,
            "nothing-to-order",
            match phases.as_str() {
                "" => "Nothing is to be ordered: all that the job needs is on hand or bought.".to_owned(),
                phases => format!("Nothing is to be ordered for {phases}: no pack is needed first then."),
            },
            "No order is written.",
        ),
        _ => return None,
    })
}
