//! The Prices sheet: what can be bought, of whom, for how much.

use super::{MATERIAL, NOTE};
use crate::input::types::{Day, Name, OneOf, PipeSizes, Positive, SalesTax, Text, UnitPrice, Waters};
use crate::input::words::TAX;
use crate::input::{Role, Row, column, sheet};
use crate::model::range::range;
use crate::model::{DATES, Raw, counter_price, vocabulary};
use rust_decimal::Decimal;

sheet! {
    /// Something that can be bought.
    Price = sheet(
        "Prices",
        &["Price list", "Material prices"],
        "price",
        "Something that can be bought. Price is for one Unit; Pack is how many feet or pieces one Unit holds.",
    )
    .needed()
    .by_words("Price");

    kind: Name = column(
        "Kind",
        &["Item", "Type"],
        "pipe, tee, elbow, coupling, ring, stop ... as the take-off names it.",
    )
    .offers(vocabulary::PART_KINDS)
    .wide(22.0)
    .decides();
    material: Text = MATERIAL.key().decides();
    sizes: PipeSizes = column(
        "Size",
        &["Nominal size", "Sizes"],
        "3/4; run x run x branch for a tee: 3/4 x 1/2 x 1/2; pipe x wall for insulation: 3/4 x 1.",
    )
    .key()
    .decides();
    ends: Text = column(
        "Ends",
        &["Connections", "End types", "End connections"],
        "What it joins, one end after the other: crimp x MPT, compression x ballcock. Blank offers it with any ends.",
    )
    .key()
    .decides();
    unit: Text = column("Unit", &["Sold by", "UOM"], "each, bag, box, stick, coil or ft.")
        .needed()
        .offers(vocabulary::SOLD_BY)
        .wide(8.0)
        .decides();
    pack: Positive<1> = column(
        "Pack",
        &["Pack size", "Per unit"],
        "Feet or pieces in one Unit: a 20 ft stick is 20. Blank means 1.",
    )
    .within(range!(0.1, 1, 5000, 1000000));
    price: UnitPrice = column("Price", &["Unit price", "Cost"], "Price of one Unit, before tax.")
        .needed()
        .may_wait()
        .within(range!(0, 0, 50000, 1000000))
        .decides_if_present();
    supplier: Text = column("Supplier", &["Vendor", "Store"], "Who quoted it.").wide(17.0).key().decides().progress();
    part: Text = column("Part no.", &["Part number", "Part", "SKU"], "The supplier's number.")
        .decides_among_alike()
        .progress();
    /// Days since 1899-12-30.
    quoted: Day = column("Quoted", &["Quote date", "Date"], "When it was quoted.").within(DATES).progress();
    /// Units bought already for this job.
    bought: Positive = column(
        "Bought",
        &["Already bought", "Qty bought"],
        "How many Units are bought already for this job: they are not ordered again.",
    )
    .within(range!(0, 0, 10000, 1000000))
    .decides_if_present()
    .progress();
    /// Blank takes the job's Tax rate.
    tax: SalesTax<true> = column(
        "Tax",
        &["Sales tax", "Taxed"],
        "Sales tax on this row: blank or yes takes Tax rate from Job, no or 0% is untaxed, 3% is a rate of its own.",
    )
    .within(TAX);
    /// What the supplier is told beyond kind and size.
    description: Text = column(
        "Description",
        &["Supplier's words", "Catalog text"],
        "What sets it apart beyond its size (full port, braided 20 in); stands on orders, so the supplier reads it.",
    );
    /// `cold` or `hot` where its pipe is of that water's color.
    water: OneOf<Waters> = column(
        "Water",
        &["Color for", "For water"],
        "cold or hot where the pipe of this row has that water's color (Pipe color in Job by water); blank serves both.",
    )
    .decides()
    .by_row(of_pipe);
    /// The price holds from so many Units on.
    from_units: Positive<1> = column(
        "From units",
        &["From quantity", "Price break from"],
        "A price break: this row's price holds from so many Units on. Write the same thing again in another row, with its higher From units and its lower price.",
    )
    .within(range!(0.1, 1, 10000, 1000000))
    .counted();
    /// The least that is sold.
    minimum_units: Positive<1> = column(
        "Minimum units",
        &["Least units", "Minimum order units"],
        "The least number of Units that is sold.",
    )
    .within(range!(0.1, 1, 10000, 1000000))
    .counted();
    note: Text = NOTE;
}

/// Of what is no pipe, the color of water says nothing.
fn of_pipe(row: &dyn Row) -> Role {
    if row.has_word("Kind", "pipe") { Role::Decides } else { Role::Given }
}

impl Price {
    /// Feet or pieces in one Unit: Pack, or one where it is blank or has no meaning.
    pub fn pack_holds(&self) -> Decimal {
        self.pack.value.filter(|pack| *pack > Decimal::ZERO).unwrap_or(Decimal::ONE)
    }

    /// True for what is sold by the foot and cut to length.
    pub fn is_by_foot(&self) -> bool {
        let unit = self.unit.text().trim();
        unit.is_empty() || counter_price::same_unit(unit, "ft")
    }

    /// True for a row whose price is to come: it asks for a quote. One that could not be read has its finding.
    pub fn is_open(&self) -> bool {
        match &self.price.raw {
            // A sheet without the column has its finding.
            Raw::Blank => self.price.cell.is_some(),
            Raw::Text(text) => self.price.value.is_none() && counter_price::is_open(text),
            _ => false,
        }
    }

    /// True for a row whose price holds only from some number of Units on.
    pub fn is_break(&self) -> bool {
        self.from_units.value.is_some_and(|from| from > Decimal::ONE)
    }

    /// The first number of Units that is sold at this price.
    pub fn first_units(&self) -> Decimal {
        let given = [self.from_units.value, self.minimum_units.value];
        given.into_iter().flatten().fold(Decimal::ONE, Decimal::max)
    }
}
