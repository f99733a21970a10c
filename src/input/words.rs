//! The words that cells with a fixed choice may hold, and what they mean.

use super::findings::AngleStopAsDevice;
use super::{Cells, ColumnType, Kind};
use crate::finding::{Sink, excerpt};
use crate::model::range::range;
use crate::model::{At, Field, Range, Raw, vocabulary};
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

/// Words of a Status column, in the order of [`Status::ALL`].
pub const STATUS: &[&str] = &["new", "existing", "remove", "by others", "installed"];
/// Words of Where in Runs, in the order of [`Place::ALL`].
pub const WHERE: &[&str] =
    &["inside", "inside wall", "outside wall", "joist bay", "crawl space", "attic", "buried", "in slab", "open"];
/// Words of Form in Runs.
pub const FORM: &[&str] = &["auto", "stick", "coil"];
/// Words of Joints in Runs.
pub const JOINTS: &[&str] = &["allowed", "none"];
/// Words of a Phase column, in the order of [`crate::model::Phase::ALL`].
pub const PHASES: &[&str] = &["underground", "rough-in", "trim", "test"];
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

/// Whether a thing is bought and done, already there, comes out, or is somebody else's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Status {
    /// To be bought and put in.
    #[default]
    New,
    /// There from before, and stays.
    Existing,
    /// There from before, and comes out.
    Remove,
    /// Somebody else buys it and puts it in.
    ByOthers,
    /// Part of this job, and done: priced like what is new, and neither ordered nor sized again.
    Installed,
}

impl Variants for Status {
    const WORDS: &'static [&'static str] = STATUS;
    const ALL: &'static [Self] = &Self::ALL;
    const BLANK_IS: Option<&'static str> = Some(STATUS[0]);
}

impl Status {
    /// In the order of [`STATUS`].
    pub const ALL: [Self; 5] = [Self::New, Self::Existing, Self::Remove, Self::ByOthers, Self::Installed];

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

/// Where a run lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Place {
    /// Somewhere in the house; whether it passes framing nobody says.
    #[default]
    Inside,
    /// Through the studs of a wall inside the house.
    InsideWall,
    /// Through the studs of a wall to the outside.
    OutsideWall,
    /// Along the joists, so through none of them.
    JoistBay,
    /// Under the first floor, hung from its joists.
    CrawlSpace,
    /// Above the ceiling, where it may freeze.
    Attic,
    /// In the ground.
    Buried,
    /// In concrete.
    InSlab,
    /// In sight, on a wall or along a ceiling.
    Open,
}

impl Variants for Place {
    const WORDS: &'static [&'static str] = WHERE;
    const ALL: &'static [Self] = &Self::ALL;
}

impl Place {
    /// In the order of [`WHERE`].
    pub const ALL: [Self; 9] = [
        Self::Inside,
        Self::InsideWall,
        Self::OutsideWall,
        Self::JoistBay,
        Self::CrawlSpace,
        Self::Attic,
        Self::Buried,
        Self::InSlab,
        Self::Open,
    ];

    /// The word used in the workbook.
    pub fn word(self) -> &'static str {
        // The variants stand in the order of the words.
        WHERE.get(self as usize).copied().unwrap_or_default()
    }
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
