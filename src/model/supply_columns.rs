//! The sheets of a job workbook that say what can be bought, from whom, what lies in the shop, and what has come.

use super::columns::{Kind, MATERIAL_COLUMN, NOTE, Sheet, TAX, WATERS, column, required};
use super::range::range;
use super::setting::DATES;

pub const PRICES: Sheet = Sheet {
    name: "Prices",
    aliases: &["Price list", "Material prices"],
    required: true,
    help: "Something that can be bought. Price is for one Unit; Pack is how many feet or pieces one Unit holds.",
    columns: &[
        required(
            "Kind",
            &["Item", "Type"],
            Kind::Text,
            "pipe, tee, elbow, coupling, ring, stop ... as the take-off names it.",
        ),
        MATERIAL_COLUMN,
        column(
            "Size",
            &["Nominal size", "Sizes"],
            Kind::Sizes,
            "3/4, or run x run x branch for a tee: 3/4 x 1/2 x 1/2.",
        ),
        required("Unit", &["Sold by", "UOM"], Kind::Text, "each, bag, box, stick, coil or ft."),
        column(
            "Pack",
            &["Pack size", "Per unit"],
            Kind::Positive,
            "Feet or pieces in one Unit: a 20 ft stick is 20. Blank means 1.",
        ).within(range!(0.1, 1, 5000, 1000000)),
        required("Price", &["Unit price", "Cost"], Kind::Positive, "Price of one Unit, before tax.").within(range!(0, 0, 50000, 1000000)),
        column("Supplier", &["Vendor", "Store"], Kind::Text, "Who quoted it."),
        column("Part no.", &["Part number", "Part", "SKU"], Kind::Text, "The supplier's number."),
        column("Quoted", &["Quote date", "Date"], Kind::Date, "When it was quoted.").within(DATES),
        column(
            "Bought",
            &["Already bought", "Qty bought"],
            Kind::Positive,
            "How many Units are bought already for this job: they are not ordered again.",
        ).within(range!(0, 0, 10000, 1000000)),
        column(
            "Tax",
            &["Sales tax", "Taxed"],
            Kind::Share,
            "Sales tax on this row: blank or yes takes Tax rate from Job, no or 0% is untaxed, 3% is a rate of its own.",
        ).within(TAX),
        column(
            "Description",
            &["Supplier's words", "Catalog text"],
            Kind::Text,
            "What sets it apart beyond its size (full port, braided 20 in); stands on orders, so the supplier reads it.",
        ),
        column(
            "Water",
            &["Color for", "For water"],
            Kind::Choice(WATERS),
            "cold or hot where the pipe of this row has that water's color (Pipe color in Job by water); blank serves both.",
        ),
        column(
            "From units",
            &["From quantity", "Price break from"],
            Kind::Positive,
            "A price break: this row's price holds from so many Units on. Write the same thing again in another row, with its higher From units and its lower price.",
        ).within(range!(0.1, 1, 10000, 1000000)),
        column(
            "Minimum units",
            &["Least units", "Minimum order units"],
            Kind::Positive,
            "The least number of Units that is sold.",
        ).within(range!(0.1, 1, 10000, 1000000)),
        NOTE,
    ],
};

pub const SUPPLIERS: Sheet = Sheet {
    name: "Suppliers",
    aliases: &["Supplier list", "Vendors"],
    required: false,
    help: "What it takes to buy from a supplier at all; Buying weighs it against their prices.",
    columns: &[
        required("Supplier", &["Vendor", "Store", "Name"], Kind::Text, "As Prices writes it."),
        column("Contact", &["Telephone", "Phone"], Kind::Text, "Whom to ask."),
        column(
            "Trip cost",
            &["Delivery cost", "Trip", "Delivery"],
            Kind::Positive,
            "What one trip there, or one delivery from there, costs.",
        )
        .within(range!(0, 0, 2000, 100000)),
        column(
            "Minimum order",
            &["Least order", "Order minimum"],
            Kind::Positive,
            "Dollars; an order of less is charged as this much.",
        )
        .within(range!(0, 0, 10000, 1000000)),
        NOTE,
    ],
};

pub const ON_HAND: Sheet = Sheet {
    name: "On hand",
    aliases: &["On-hand", "Stock", "In the shop"],
    required: false,
    help: "What is already in the shop: it is used first.",
    columns: &[
        required("Kind", &["Item", "Type"], Kind::Text, "As in Prices."),
        MATERIAL_COLUMN,
        column("Size", &["Nominal size", "Sizes"], Kind::Sizes, "As in Prices."),
        column("Unit", &["UOM"], Kind::Text, "ft or each."),
        required("Quantity", &["Qty", "Count"], Kind::Positive, "How many feet or pieces.")
            .within(range!(0, 0, 10000, 1000000)),
        NOTE,
    ],
};

pub const RECEIVED: Sheet = Sheet {
    name: "Received",
    aliases: &["Deliveries", "Delivered"],
    required: false,
    help: "What has come to the site, what of it is used, and what went back. It changes no price and no order.",
    columns: &[
        required("Kind", &["Item", "Type"], Kind::Text, "As in Prices."),
        MATERIAL_COLUMN,
        column("Size", &["Nominal size", "Sizes"], Kind::Sizes, "As in Prices."),
        column("Unit", &["UOM"], Kind::Text, "ft or each: what the three numbers count."),
        required("Received", &["Delivered", "Qty received"], Kind::Positive, "How many feet or pieces have come.")
            .within(range!(0, 0, 10000, 1000000)),
        column("Used", &["Qty used", "Installed"], Kind::Positive, "How many are built in or spoilt.")
            .within(range!(0, 0, 10000, 1000000)),
        column(
            "Returned",
            &["Qty returned", "Sent back"],
            Kind::Positive,
            "How many went back; take their Units off Bought in Prices.",
        )
        .within(range!(0, 0, 10000, 1000000)),
        NOTE,
    ],
};
