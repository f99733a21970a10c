//! What supplier orders find.

use crate::finding::findings;
use crate::finding::phrases::{did_you_mean, listed};

findings! {
    /// Order number in Job is blank.
    OrderWithoutNumber {} = Note "order-without-number" {
        found: "The orders bear no number: Order number in Job is blank.",
        remedy: "Write your number for the order there, so that calls, slips and invoices can be matched to it.",
    }

    /// Deliver to and Site in Job are blank.
    OrderWithoutAddress {} = Note "order-without-address" {
        found: "The orders say nowhere where they go: Deliver to and Site in Job are blank.",
        remedy: "Write an address in Deliver to, or that you pick the order up.",
    }

    /// Deliver contact in Job is blank.
    OrderWithoutContact {} = Note "order-without-contact" {
        found: "The orders have no contact. Deliver contact in Job is blank.",
        remedy: "Write a name and a telephone number there: suppliers are asked to call before they send a substitute.",
    }

    /// Prices that are ordered name no supplier.
    OrderWithoutSupplier { offers: usize } = Note "order-without-supplier" {
        found: {
            match offers {
                1 => {
                    "A row of Prices that is ordered names no supplier; it is in an order for any supplier.".to_owned()
                }
                many => format!(
                    "{many} rows of Prices that are ordered name no supplier; they are in an order for any supplier."
                ),
            }
        },
        remedy: "Write who quoted them under Supplier.",
    }

    /// Things without a price stand in the orders as quotes.
    OrderAsksForQuotes { things: usize, suppliers: Vec<String> } = Note "order-asks-for-quotes" {
        found: {
            let things = if things == 1 { "A thing has".to_owned() } else { format!("{things} things have") };
            let orders = if suppliers.len() == 1 { "the order" } else { "each order" };
            format!("{things} no price and stand as quote in {orders} of: {}.", listed(&suppliers))
        },
        remedy: {
            match suppliers.len() {
                1 => "Write the price that comes back into Prices, and order again.",
                _ => {
                    "They are asked for, not ordered. Write the prices that come back into Prices, and order again; or \
                     name one supplier under Quotes from in Job."
                }
            }
        },
    }

    /// The held choices order less than the job needs.
    OrderShort { item: String, short: String } = Fix "order-short" {
        found: "What is ordered of {item} is {short} short of what the job needs: the choices of the bid are held.",
        remedy: "Order without --hold to pick packs again, or change the packs on the bid's Buying sheet.",
    }

    /// Quotes from names a supplier who has no row in Prices.
    QuotesFromNobody { supplier: String, nearest: Option<String> } = Note "quotes-from-nobody" {
        found: ("Quotes from names \"{supplier}\", who has no row in Prices.{}", did_you_mean(nearest.as_deref())),
        remedy: "OK for a new supplier. If not, use the name in Prices.",
    }

    /// The counter would ask something of an ordered thing that nobody says.
    CounterWouldAsk { item: String, asks: String, answers: String } = Note "counter-would-ask" {
        found: "The order does not say of {item}: {asks}. The counter would have to ask.",
        remedy: "Write it here, under Description in Prices ({answers}).",
    }

    /// The counter would ask something of an ordered fixture that its row does not say.
    CounterWouldAskFixture { tag: String, fixture: String, asks: String } = Note "counter-would-ask-fixture" {
        found: "The order does not say of {tag} ({fixture}): {asks}. The counter would have to ask.",
        remedy: "Write it under Model or Rough-in in Fixtures.",
    }

    /// A fixture that we furnish has an allowance and is not picked.
    FixtureNotPicked { tag: String, fixture: String } = Note "fixture-not-picked" {
        found: "{tag} ({fixture}) is not picked: it has no Price, Maker or Model, and is on no order.",
        remedy: "Fill in Maker, Model and Price in Fixtures once it is picked, and order again.",
    }

    /// A fixture that its row prices names no supplier.
    FixtureWithoutSupplier { tags: Vec<String>, supplier: String } = Note "fixture-without-supplier" {
        found: ("Fixtures priced on their own rows name no Supplier and are on the order of {supplier}: {}.", listed(&tags)),
        remedy: "Write who sells it under Supplier in Fixtures.",
    }

    /// Less pipe is ordered than the bid charges.
    OrderUnderBid { lines: Vec<String> } = Note "order-under-bid" {
        found: ("The bid charges more pipe, waste included, than is ordered or on hand: {}.", listed(&lines)),
        remedy: "OK if the pipe is cut as the Cut plan has it. For spare pipe add a stick or coil when you order.",
    }

    /// Nothing is to be ordered.
    NothingToOrder { phases: String } = Note "nothing-to-order" {
        found: {
            match phases.as_str() {
                "" => "Nothing is to be ordered: all that the job needs is on hand or bought.".to_owned(),
                phases => format!("Nothing is to be ordered for {phases}: no pack is needed first then."),
            }
        },
        remedy: "No order is written.",
    }
}
