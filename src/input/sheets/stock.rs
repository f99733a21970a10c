//! The sheets of what is there: On hand, in the shop before the job; Received, at the site.

use super::{MATERIAL, NOTE};
use crate::input::types::{Name, PipeSizes, Positive, Text};
use crate::input::{Column, column, sheet};
use crate::model::range::range;
use crate::model::vocabulary;

const KIND: Column = column("Kind", &["Item", "Type"], "As in Prices.").offers(vocabulary::PART_KINDS).wide(22.0);
const ENDS: Column = column("Ends", &["Connections", "End types"], "As in Prices; blank for any.").key();
const SIZE: Column = column("Size", &["Nominal size", "Sizes"], "As in Prices.").key();

sheet! {
    /// What is already in the shop of one thing.
    OnHand = sheet("On hand", &["On-hand", "Stock", "In the shop"], "part", "What is already in the shop: it is used first.");

    kind: Name = KIND.decides();
    material: Text = MATERIAL.key().decides();
    sizes: PipeSizes = SIZE.decides();
    ends: Text = ENDS.decides();
    unit: Text = column("Unit", &["UOM"], "ft or each.").offers(vocabulary::SOLD_BY).wide(8.0);
    quantity: Positive = column("Quantity", &["Qty", "Count"], "How many feet or pieces.")
        .needed()
        .within(range!(0, 0, 10000, 1000000))
        .decides_if_present();
    note: Text = NOTE;
}

sheet! {
    /// What has come to the site of one thing, in feet or pieces.
    Received = sheet(
        "Received",
        &["Deliveries", "Delivered"],
        "delivery",
        "What has come to the site, what of it is used, and what went back. It changes no price and no order.",
    );

    kind: Name = KIND;
    material: Text = MATERIAL.key();
    sizes: PipeSizes = SIZE;
    ends: Text = ENDS;
    unit: Text = column("Unit", &["UOM"], "ft or each: what the three numbers count.").wide(8.0);
    received: Positive = column("Received", &["Delivered", "Qty received"], "How many feet or pieces have come.")
        .needed()
        .within(range!(0, 0, 10000, 1000000));
    used: Positive = column("Used", &["Qty used", "Installed"], "How many are built in or spoilt.")
        .within(range!(0, 0, 10000, 1000000));
    returned: Positive = column(
        "Returned",
        &["Qty returned", "Sent back"],
        "How many went back; take their Units off Bought in Prices.",
    )
    .within(range!(0, 0, 10000, 1000000));
    note: Text = NOTE;
}
