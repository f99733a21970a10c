//! What the checks find of ends.

use crate::finding::findings;

findings! {
    /// Pipe of a material that no row of Pipe ends has: its adapters do not say their ends.
    PipeEndsNotKnown { material: String } = Fix "pipe-ends-not-known" {
        found: "Nothing says which end fittings have for {material}: its adapters go on the order without their ends.",
        remedy: "Add a row for {material} to a sheet Pipe ends: End, as the Joints table has it, and Pipe end.",
    }

    /// An end in Prices, On hand, Received or a sheet of rules is none that joins anything.
    EndNotKnown { found: String, nearest: Option<String> } = Fix "end-not-known" {
        found: {
            let meant = nearest.as_ref().map_or(String::new(), |near| format!(" Did you mean \"{near}\"?"));
            format!("Nothing joins an end \"{found}\".{meant}")
        },
        remedy: "Write the end as the Joints table has it, or add what it meets to a sheet Joints. A row of Prices with it is not \
             used until then.",
    }
}
