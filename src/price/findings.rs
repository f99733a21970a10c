//! What the price finds.

use crate::finding::findings;
use crate::finding::phrases::listed;

findings! {
    /// The job needs things that have no price; beside each the row of Prices that comes nearest.
    NoPrice { items: Vec<(String, String, String)> } = Fix "no-price" {
        found: {
            match items.len() {
                1 => "There is no price for 1 item. It is carried at $0.".to_owned(),
                count => format!("There is no price for {count} items. They are carried at $0."),
            }
        },
        remedy: "Add it to Prices, or correct the row that is meant for it; what you call a part or an end goes into a sheet \
             Part names or End names. `price --list-missing` writes the missing rows into a copy of the job. Enter 0 for \
             what the owner furnishes. Set Status to by others for a device that others furnish and set.",
        table: {
            let cells = |(item, quantity, near): &(String, String, String)| {
                let near = Some(near.clone()).filter(|near| !near.is_empty());
                [item.clone(), quantity.clone()].into_iter().chain(near).collect()
            };
            items.iter().map(cells).collect()
         },
    }

    /// More is bought than the job needs.
    BoughtLeftOver { item: String, quantity: String, worth: String, returned: String } = Note "bought-left-over" {
        found: "{quantity} of {item} that is bought is left over; it cost ${worth}.",
        remedy: {
            match returned.as_str() {
                "0" => "Keep it in stock: no whole unit of it can go back.".to_owned(),
                units => format!(
                    "Whole units to take back: {units}; the rest goes into stock. Cost build-up lists both, with their \
                     value."
                ),
            }
        },
    }

    /// Material is needed later than its quote is good.
    QuoteExpires { lines: usize, supplier: String, quoted: String, until: String, needed: String, phase: &'static str } = Note "quote-expires" {
        found: {
            let of = if supplier.is_empty() { String::new() } else { format!(" of {supplier}") };
            let lines = if lines == 1 { "1 line".to_owned() } else { format!("{lines} lines") };
            format!(
                "The prices{of} quoted {quoted} are good until {until} by Price age limit; the {phase} begins {needed} and \
                 needs {lines} of them."
            )
        },
        remedy: "Order before that, ask the supplier to hold the price, or set Escalation in Job to carry it to Start date.",
    }

    /// A bid of an earlier version holds its offers by row number.
    OffersByRow { lines: Vec<String> } = Fix "offers-by-row" {
        found: (
            "An earlier version of the program wrote this bid; its offers are held by row number. They are chosen again \
             for: {}.",
            listed(&lines)
        ),
        remedy: "Compare the offers on Cost build-up with the old bid. Type another name where the old offer is to stay.",
    }
}
