//! The Fixtures sheet: what is set, where, and the runs that feed it.

use super::{NOTE, STATUS};
use crate::input::types::{Name, Needed, OneOf, Parties, Positive, Text, UnitPrice};
use crate::input::{Status, column, sheet};
use crate::model::range::range;
use crate::model::vocabulary;

sheet! {
    /// One fixture, or several alike at the end of the same runs.
    Fixture = sheet(
        "Fixtures",
        &["Fixture list"],
        "fixture",
        "One fixture a row, or several alike at the end of the same runs.",
    )
    .needed()
    .by_name("L1 Count");

    tag: Name = column("Tag", &["Mark", "Fixture tag", "ID"], "A short name of your own: WC1, L2.");
    fixture: Needed = column(
        "Fixture",
        &["Type", "Fixture type"],
        "water closet, lavatory, bathtub, shower, kitchen sink, dishwasher, clothes washer, laundry tray, bar sink, hose bibb, urinal, service sink, drinking fountain, bidet; other needs Gpm.",
    )
    .offers(vocabulary::FIXTURES)
    .wide(24.0)
    .decides();
    room: Text = column("Room", &["Location"], "Where it stands.").wide(17.0).free();
    group: Text = column(
        "Group",
        &["Fixture group"],
        "full bath, half bath, kitchen or laundry, with a name after it (full bath A): fixtures of one group share the code's group value.",
    )
    .wide(17.0)
    .decides();
    count: Positive<1> = column("Count", &["Qty", "Quantity", "No."], "How many alike; blank means 1.")
        .within(range!(0, 0, 100, 1000))
        .whole();
    cold_run: Text = column("Cold run", &["Cold", "Cold from"], "The run whose end feeds its cold side.")
        .offers_names_of("Runs")
        .decides();
    hot_run: Text = column("Hot run", &["Hot", "Hot from"], "The run whose end feeds its hot side.")
        .offers_names_of("Runs")
        .decides();
    gpm: Positive = column(
        "Gpm",
        &["Flow gpm"],
        "Makes it a continuous flow of this much in place of fixture units (irrigation, a fill valve).",
    )
    .within(range!(0, 0, 100, 1000))
    .decides_if_present();
    need_psi: Positive = column(
        "Need psi",
        &["Required psi", "Flow pressure psi"],
        "Flow pressure it needs; blank takes the code's table.",
    )
    .within(range!(0, 0, 80, 200));
    drain: Text = column("Drain", &["Drain run"], "The drain it empties into.").offers_names_of("Drains");
    maker: Text = column("Maker", &["Manufacturer", "Make"], "Whose it is; stands on the fixture schedule.").free();
    model: Text = column("Model", &["Model no.", "Model number"], "Its model, as the maker has it.").free();
    finish: Text = column("Finish", &["Color", "Colour"], "Chrome, white, brushed nickel ...").free();
    furnished_by: OneOf<Parties> = column(
        "Furnished by",
        &["Furnish", "Supplied by"],
        "Who buys the fixture: us, owner or others. Blank is us where Prices has a row of its name or this row has a Price or an Allowance; else the bid does not buy it.",
    )
    .decides();
    set_by: OneOf<Parties> = column(
        "Set by",
        &["Installed by", "Set"],
        "Who sets and connects it: us (blank), owner or others. The hours of its trim are in the bid only where we do.",
    )
    .decides();
    rough_in: Text = column(
        "Rough-in",
        &["Rough-in dimension", "Rough in"],
        "Where its rough-in goes, from the maker's sheet (drain 10 in from the wall); blank takes the Rough-in table.",
    )
    .free()
    .wide(17.0);
    /// Dollars.
    price: UnitPrice = column(
        "Price",
        &["Fixture price", "Unit price", "Each"],
        "Dollars for one as picked, before tax; used ahead of Prices. It is ordered from Supplier at this price.",
    )
    .within(range!(0, 0, 20000, 1000000))
    .decides_if_present();
    supplier: Text = column(
        "Supplier",
        &["Ordered from", "Vendor"],
        "Who it is ordered from, where this row prices it; blank is Quotes from in Job, else the first supplier in Prices.",
    )
    .free()
    .wide(17.0);
    /// Dollars.
    allowance: Positive = column(
        "Allowance",
        &["Allowed", "Allowance each"],
        "Dollars allowed for one until it is picked, sales tax included, no markup. Once Price is filled in, the difference shows as over or under.",
    )
    .within(range!(0, 0, 20000, 1000000))
    .decides_if_present();
    status: Status = STATUS;
    note: Text = NOTE;
}

/// Who furnishes or sets a fixture, as the columns have it.
pub(crate) const US: &str = "us";

impl Fixture {
    /// Who furnishes it, where anybody says so or the row has money for it.
    pub fn furnisher(&self) -> Option<&str> {
        let has_money = self.price.value.is_some() || self.allowance.value.is_some();
        self.furnished_by.value.as_deref().or(has_money.then_some(US))
    }

    /// Who furnishes it, where the row says somebody else than us.
    pub fn others_furnish(&self) -> Option<&str> {
        self.furnished_by.value.as_deref().filter(|who| *who != US)
    }

    /// Whether its price is in this row, not in Prices.
    pub fn is_priced_here(&self) -> bool {
        self.furnisher() == Some(US) && (self.price.value.is_some() || self.allowance.value.is_some())
    }

    /// Whether setting it is work of this job.
    pub fn is_set_by_us(&self) -> bool {
        self.set_by.value.as_deref().is_none_or(|who| who == US)
    }
}
