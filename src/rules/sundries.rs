//! Sundries: what a job takes beside pipe, fittings and the parts of fixtures and devices, by what it goes with.

use super::Rules;
use super::declare::rule;
use super::item::matches_kind;
use super::listing::page;
use crate::model::columns::DEVICE_KINDS;
use crate::model::{Size, vocabulary};
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

/// A meter that this job joins, in metal pipe on both sides.
pub const METAL_METER: &str = "meter in metal pipe";
/// A dishwasher where the code wants its drain to pass an air gap.
pub const UPC_DISHWASHER: &str = "dishwasher under the UPC";

/// What sundries go by that is no part.
pub const GOES_BY: &[&str] = &[
    JOB,
    THREADED_JOINT,
    SWEAT_JOINT,
    SOCKET_JOINT,
    BURIED_FOOT,
    RATED_WALL,
    SPARE_PORT,
    REPLACED_MAIN,
    METAL_METER,
    UPC_DISHWASHER,
];

impl Rules {
    /// What a row that says this goes by, in the program's own word; `None` for what nobody counts.
    pub fn sundry_goes_by(&self, word: &str) -> Option<&str> {
        let part = || self.all_sundries_go_by().find(|known| matches_kind(known, word));
        self.canonical_fixture(word).or_else(|| vocabulary::device_kind(word)).or_else(part)
    }

    /// All that sundries may go by.
    pub fn all_sundries_go_by(&self) -> impl Iterator<Item = &str> {
        let fixtures = self.fixtures().iter().map(|row| &*row.fixture);
        let parts = self.part_kinds.iter().map(|kind| kind.name);
        let parts = parts.chain(self.assemblies().iter().map(|part| &*part.kind));
        GOES_BY.iter().chain(DEVICE_KINDS).copied().chain(fixtures).chain(parts)
    }
}
