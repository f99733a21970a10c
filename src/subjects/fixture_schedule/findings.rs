//! What it finds.

use crate::finding::findings;

findings! {
    /// A fixture that the owner or others furnish has a price or an allowance, which the bid leaves out.
    MoneyOfOthers { fixture: String, who: String, what: &'static str } = Fix "money-of-others" {
        found: "{fixture} is furnished by {who}: its {what} is not in the bid.",
        remedy: "Clear the {what}, or put us in Furnished by.",
    }
}
