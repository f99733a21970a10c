//! The Suppliers sheet: what it takes to buy from somebody at all.

use super::NOTE;
use crate::input::types::{Name, Positive, Text};
use crate::input::{column, sheet};
use crate::model::range::range;

sheet! {
    /// What it takes to buy from a supplier at all.
    SupplierTerms = sheet(
        "Suppliers",
        &["Supplier list", "Vendors"],
        "supplier",
        "What it takes to buy from a supplier at all; Buying weighs it against their prices.",
    );

    supplier: Name = column("Supplier", &["Vendor", "Store", "Name"], "As Prices writes it.").wide(17.0);
    contact: Text = column("Contact", &["Telephone", "Phone"], "Whom to ask.");
    /// Dollars.
    trip_cost: Positive = column(
        "Trip cost",
        &["Delivery cost", "Trip", "Delivery"],
        "What one trip there, or one delivery from there, costs.",
    )
    .within(range!(0, 0, 2000, 100000))
    .counted();
    minimum_order: Positive = column(
        "Minimum order",
        &["Least order", "Order minimum"],
        "Dollars; an order of less is charged as this much.",
    )
    .within(range!(0, 0, 10000, 1000000))
    .counted();
    note: Text = NOTE;
}
