//! Sundries: what a job takes beside pipe, fittings and the parts of fixtures and devices, by what it goes with.

use super::declare::rule;
use super::listing::page;
use crate::model::Size;
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// What a job takes of a sundry for each thing that it goes by; quantity 0 takes it out. What several share is bought whole.
    Sundry "sundries" overridden by "Sundries" {
        /// As in Prices: `thread tape`, `tracer wire` ...
        key part: Arc<str> = Part also ["kind"];
        key_or_blank size: Option<Size> = Size;
        /// One of [`GOES_BY`], a part, a device or a fixture.
        key per: Arc<str> = Part also ["for each"];
        key phase: Arc<str> = Word(&["underground", "rough-in", "trim", "test"]);
        /// In pieces, or in feet of what is counted in feet.
        value quantity: Decimal = Number to 1000 also ["qty"];
        /// Work that goes with it, so much as there is of what it goes by; blank where other hours hold it.
        optional task: Arc<str> = Text;
        remark note: Arc<str> = Text;
    }
}

page! {
    SundryCells of Sundry {
        part: "Sundry";
        quantity: "Quantity" Quantity;
        per: "For each";
        phase: "Phase";
    }
}

/// A job that puts in any pipe.
pub const JOB: &str = "job";
/// Male into female pipe thread.
pub const THREADED_JOINT: &str = "threaded joint";
/// A pipe end in a solder cup; of reducers, whose number follows the sizes, none.
pub const SWEAT_JOINT: &str = "sweat joint";
/// A pipe end in a CPVC socket, likewise.
pub const SOCKET_JOINT: &str = "socket joint";
/// Plastic pipe under ground.
pub const BURIED_FOOT: &str = "ft of buried plastic";
/// A fire-rated wall or floor that a run passes, as Runs says.
pub const RATED_WALL: &str = "rated wall";
/// A port that a manifold has and nothing is on.
pub const SPARE_PORT: &str = "spare port";
/// Metal pipe at the supply that comes out.
pub const REPLACED_MAIN: &str = "replaced metal main";

/// What sundries go by that is no part.
pub const GOES_BY: &[&str] =
    &[JOB, THREADED_JOINT, SWEAT_JOINT, SOCKET_JOINT, BURIED_FOOT, RATED_WALL, SPARE_PORT, REPLACED_MAIN];
