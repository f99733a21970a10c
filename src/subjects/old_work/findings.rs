//! What it finds.

use crate::finding::findings;

findings! {
    /// The shutoff at the street does not hold, and old pipe has to be cut behind it.
    StreetShutoffLeaks { runs: String } = Fix "street-shutoff-leaks" {
        found: "The street shutoff does not hold, and old pipe is cut behind it: {runs}.",
        remedy: "Agree with the water utility before the bid is signed: who shuts the main or mends the valve, when, and \
             who pays. The bid has the hours of hold street water alone.",
    }
}
