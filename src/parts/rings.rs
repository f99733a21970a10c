//! Rings, clamps and sleeves: what holds a pipe end on its fitting.

use crate::model::{Job, Setting};
use crate::rules::Item;

/// What PEX is joined with: ring, clamp or sleeve, as Joining says.
pub(crate) fn ring_kind(job: &Job) -> &'static str {
    match &*job.text(Setting::Joining) {
        "clamp" => "clamp",
        "expansion" => "sleeve",
        _ => "ring",
    }
}

/// Whether ends of pipe of this material take rings.
pub(crate) fn takes_rings(material: &str) -> bool {
    material == "PEX"
}

/// Rings, clamps and sleeves are counted by pipe ends, not in rows of their own.
pub(crate) fn is_ring(item: &Item) -> bool {
    matches!(item.kind.as_str(), "ring" | "clamp" | "sleeve")
}
