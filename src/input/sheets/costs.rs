//! The Other costs sheet: what is neither material nor labor.

use super::{NOTE, PHASE};
use crate::input::types::{Name, OneOf, Phases, Positive, SalesTax, Text, UnitPrice};
use crate::input::words::TAX;
use crate::input::{column, sheet};
use crate::model::range::range;

sheet! {
    /// A cost of the job beside material and labor.
    OtherCost = sheet(
        "Other costs",
        &["Other", "Extras", "Job costs"],
        "cost",
        "Travel, rental, digging, subs, consumables, fees.",
    )
    .by_words("Quantity");

    item: Name = column("Item", &["Cost", "What"], "What it is.").prose(34.0).decides();
    phase: OneOf<Phases> = PHASE.key();
    unit: Text = column("Unit", &["UOM"], "day, trip, hour, lot.").wide(8.0);
    quantity: Positive = column("Quantity", &["Qty"], "How many.")
        .needed()
        .within(range!(0, 0, 10000, 1000000))
        .decides_if_present_with("Price");
    price: UnitPrice = column("Price", &["Unit price", "Each"], "Price of one.")
        .needed()
        .within(range!(0, 0, 100000, 10000000));
    tax: SalesTax<false> = column(
        "Tax",
        &["Sales tax", "Taxed"],
        "Sales tax on this row: blank or no is untaxed, yes takes Tax rate from Job, 3% is a rate of its own.",
    )
    .within(TAX);
    note: Text = NOTE;
}
