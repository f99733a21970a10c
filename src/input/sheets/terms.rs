//! The Terms sheet: the words of the bid, with the money in them.

use crate::input::types::{Amount, Name, NeededOneOf, Positive, TermKinds, Text};
use crate::input::{Role, Row, column, sheet};
use crate::model::range::range;

sheet! {
    /// A line of the bid's words.
    Term = sheet("Terms", &["Conditions", "Bid terms"], "term", "A line of the bid's words.");

    kind: NeededOneOf<TermKinds> = column(
        "Kind",
        &["Type"],
        "included, excluded, assumption, allowance, alternate, payment or caution.",
    )
    .key()
    .decides();
    text: Name = column("Text", &["Wording", "Line"], "What the bid says.").prose(90.0);
    amount: Amount = column(
        "Amount",
        &["Value", "$"],
        "Dollars of an allowance or an alternate (a deduct is negative); for a payment, the share due, such as 30%.",
    )
    .within(range!(-10000000, -100000, 100000, 10000000))
    .decides_if_present()
    .by_row(of_amount);
    /// Dollars.
    chosen: Positive = column(
        "Chosen",
        &["Actual", "Selected"],
        "Of an allowance: what the choice costs, sales tax included; the price takes it in place of the Amount. Blank until it is chosen.",
    )
    .within(range!(0, 0, 100000, 10000000))
    .decides_if_present();
    /// What an alternate changes, as `--set` takes it.
    change: Text = column(
        "Change",
        &["Changes"],
        "What an alternate changes, for the engine to price it: main size=1; run M1 material=copper L. Several are parted by semicolons.",
    )
    .prose(46.0)
    .decides();
}

/// Words that name a share.
const SHARES: [&str; 6] = ["%", "percent", "half", "third", "quarter", "fifth"];

/// Where the words of a payment say how much it is, a share that is changed beside them has to be changed in them.
fn of_amount(row: &dyn Row) -> Role {
    let words = row.name().map_or("", |name| name.text()).to_lowercase();
    let names_a_share = row.has_word("Kind", "payment") && SHARES.iter().any(|share| words.contains(share));
    if names_a_share { Role::Decides } else { Role::Present }
}
