//! What it finds.

use crate::finding::findings;

findings! {
    /// A zone of the garden draws more than one valve passes.
    ZoneTakesValves { zone: String, valves: String } = Note "zone-takes-valves" {
        found: "The zone {zone} draws more than one valve passes: it gets {valves}.",
        remedy: "Part it in two zones, if it is to be watered by halves.",
    }

    /// A zone of the garden has the name of a run.
    ZoneNamedAsRun { zone: String } = Fix "zone-named-as-run" {
        found: "The zone {zone} has the name of a run.",
        remedy: "Give one of them another name.",
    }
}
