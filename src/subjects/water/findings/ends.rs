//! What the checks find of ends.

use crate::finding::findings;

findings! {
    /// An end in Prices, On hand or a sheet of rules is none that joins anything.
    EndNotKnown { found: String, nearest: Option<String> } = Fix "end-not-known" {
        found: {
            let meant = nearest.as_ref().map_or(String::new(), |near| format!(" Did you mean \"{near}\"?"));
            format!("Nothing joins an end \"{found}\".{meant}")
        },
        remedy: "Write the end as the Joints table has it, or add what it meets to a sheet Joints. A row of Prices with it is not \
             used until then.",
    }
}
