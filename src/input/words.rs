//! The words that cells with a fixed choice may hold, and what they mean.

use super::findings::AngleStopAsDevice;
use super::{Cells, ColumnType, Kind};
use crate::finding::{Sink, excerpt};
use crate::folding::worded;
use crate::model::range::range;
use crate::model::{At, Field, Phase, Range, Raw, vocabulary};
use std::fmt::Debug;
use std::sync::Arc;

/// A word of a list, each of which is a variant.
pub trait Variants: Debug + Clone + Copy + PartialEq + 'static {
    const WORDS: &'static [&'static str];
    /// In the order of the words.
    const ALL: &'static [Self];
    /// The word that a blank cell stands for too.
    const BLANK_IS: Option<&'static str> = None;
}

/// Words of a Status column.
pub const STATUS: &[&str] = Status::WORDS;
/// Words of Where in Runs.
pub const WHERE: &[&str] = Place::WORDS;
/// Words of Form in Runs.
pub const FORM: &[&str] = &["auto", "stick", "coil"];
/// Words of Joints in Runs.
pub const JOINTS: &[&str] = &["allowed", "none"];
/// Words of a Phase column.
pub const PHASES: &[&str] = Phase::WORDS;
/// The waters that pipe has a color for.
pub const WATERS: &[&str] = &["cold", "hot"];
/// Words of By in Labor.
pub const BY: &[&str] = &["owner", "hired"];
/// Words of Furnished by and Set by in Fixtures.
pub(super) const PARTIES: &[&str] = &["us", "owner", "others"];
/// Words of Kind in Devices.
pub const DEVICE_KINDS: &[&str] = &[
    "meter",
    "softener",
    "filter",
    "tank heater",
    "tankless heater",
    "backflow preventer",
    "double check valve",
    "regulator",
    "check valve",
    "shutoff valve",
    "manifold",
    "expansion tank",
    "hammer arrester",
    "other",
];
/// Words of Kind in Terms.
pub const TERM_KINDS: &[&str] = &["included", "excluded", "assumption", "allowance", "alternate", "payment", "caution"];
/// What a line is tested with.
pub(crate) const MEDIA: &[&str] = &["air", "water"];

/// A rate of sales tax.
pub(super) const TAX: Range = range!(0, 0, 0.15, 0.5);
/// What is due at a payment, of the whole.
pub(crate) const PAYMENT: Range = range!(0, 0, 1, 1);

worded! {
    /// Whether a thing is bought and done, already there, comes out, or is somebody else's.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
    pub enum Status {
        /// To be bought and put in.
        #[default]
        New = "new",
        /// There from before, and stays.
        Existing = "existing",
        /// There from before, and comes out.
        Remove = "remove",
        /// Somebody else buys it and puts it in.
        ByOthers = "by others",
        /// Part of this job, and done: priced like what is new, and neither ordered nor sized again.
        Installed = "installed",
    }
}

impl Variants for Status {
    const WORDS: &'static [&'static str] = Self::WORDS;
    const ALL: &'static [Self] = &Self::ALL;
    const BLANK_IS: Option<&'static str> = Some(STATUS[0]);
}

impl Status {
    /// True when water flows through it once the job is done.
    pub fn carries_water(self) -> bool {
        self != Self::Remove
    }

    /// True for what this job brings in, done or still to do.
    pub fn is_of_this_job(self) -> bool {
        matches!(self, Self::New | Self::Installed)
    }

    /// True for what lies there and does not change its size by itself.
    pub fn is_in_place(self) -> bool {
        matches!(self, Self::Existing | Self::Installed)
    }
}

worded! {
    /// Where a run lies.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
    pub enum Place {
        /// Somewhere in the house; whether it passes framing nobody says.
        #[default]
        Inside = "inside",
        /// Through the studs of a wall inside the house.
        InsideWall = "inside wall",
        /// Through the studs of a wall to the outside.
        OutsideWall = "outside wall",
        /// Along the joists, so through none of them.
        JoistBay = "joist bay",
        /// Under the first floor, hung from its joists.
        CrawlSpace = "crawl space",
        /// Above the ceiling, where it may freeze.
        Attic = "attic",
        /// In the ground.
        Buried = "buried",
        /// In concrete.
        InSlab = "in slab",
        /// In sight, on a wall or along a ceiling.
        Open = "open",
    }
}

impl Variants for Place {
    const WORDS: &'static [&'static str] = Self::WORDS;
    const ALL: &'static [Self] = &Self::ALL;
}

/// A kind of [`DEVICE_KINDS`], or an everyday name of one.
#[derive(Debug, Clone, PartialEq)]
pub struct DeviceKind;

impl ColumnType for DeviceKind {
    type Value = Arc<str>;
    type Cell = At<Arc<str>>;
    const KIND: Kind = Kind::Choice(DEVICE_KINDS);
    const NEEDED: bool = true;

    fn read(cells: &Cells, column: usize, sink: &mut Sink) -> Option<Self::Cell> {
        let cell = cells.cell(column);
        let written = match cell.raw() {
            Raw::Text(text) => Some(text.clone()),
            _ => None,
        };
        let text = written.as_deref().unwrap_or_default();
        let field = if vocabulary::is_angle_stop(text) {
            cell.find(sink, AngleStopAsDevice { found: excerpt(text) });
            Field { value: None, cell: cell.place.clone(), raw: cell.raw().clone() }
        } else if let Some(kind) = vocabulary::device_kind(text) {
            cell.expecting(sink, "a kind of device", |_, _| Some(kind.into()))
        } else {
            cell.word(DEVICE_KINDS, sink)
        };
        let kind = cells.always(field);
        Some(At { written: written.unwrap_or_else(|| kind.value.clone()), ..kind })
    }
}
