//! Rings, clamps, sleeves and stiffeners: what a pipe end takes on its fitting.

use crate::model::{Job, Setting};
use crate::rules::Item;

/// What an end of pipe of this material takes: of PEX ring, clamp or sleeve, as Joining says; of PE by its outside (copper tube
/// size) the stiffener that keeps it round under the nut. `None` of what is joined without.
pub(crate) fn ring_kind(job: &Job, material: &str) -> Option<&'static str> {
    match material {
        "PEX" => Some(match &*job.text(Setting::Joining) {
            "clamp" => "clamp",
            "expansion" => "sleeve",
            _ => "ring",
        }),
        "PE" => Some("stiffener"),
        _ => None,
    }
}

/// What a pipe end takes is counted by pipe ends, not in rows of its own.
pub(crate) fn is_ring(item: &Item) -> bool {
    matches!(item.kind.as_str(), "ring" | "clamp" | "sleeve" | "stiffener")
}
