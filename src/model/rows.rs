//! One typed row of each input sheet. `row` counts from 0, as in [`crate::place::Place`].

use super::{At, Field, Size, counter_price};
use rust_decimal::Decimal;
use std::sync::Arc;

/// Whether a thing is bought and done, already there, comes out, or is somebody else's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Status {
    #[default]
    New,
    Existing,
    Remove,
    ByOthers,
    /// Part of this job, and done: priced like what is new, and neither ordered nor sized again.
    Installed,
}

impl Status {
    /// In the order of [`super::columns::STATUS`].
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
    pub fn lies_there(self) -> bool {
        matches!(self, Self::Existing | Self::Installed)
    }
}

/// Where a run lies. In the order of [`super::columns::WHERE`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Place {
    /// Where nobody says; who writes it means a wall.
    #[default]
    Inside,
    InsideWall,
    OutsideWall,
    /// Along the joists, so through none of them.
    JoistBay,
    CrawlSpace,
    Attic,
    Buried,
    InSlab,
    Open,
}

impl Place {
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
        super::columns::WHERE.get(self as usize).copied().unwrap_or_default()
    }
}

/// What a Tax cell says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taxed {
    /// `yes`: at the job's Tax rate.
    ByJob,
    /// A rate of the row's own; `no` is 0.
    At(Decimal),
}

impl Taxed {
    /// Reads `yes`, `no`, `3%`, `0.03`.
    pub fn parse(text: &str) -> Option<Self> {
        match super::fold(text).as_str() {
            super::columns::TAXED => Some(Self::ByJob),
            super::columns::UNTAXED => Some(Self::At(Decimal::ZERO)),
            _ => super::parse_percent(text).filter(|share| !share.is_sign_negative()).map(Self::At),
        }
    }
}

#[derive(Debug, Clone)]
pub struct Fixture {
    pub row: u32,
    pub tag: At<Arc<str>>,
    pub fixture: At<Arc<str>>,
    pub room: Field<Arc<str>>,
    pub group: Field<Arc<str>>,
    pub count: Field<Decimal>,
    pub cold_run: Field<Arc<str>>,
    pub hot_run: Field<Arc<str>>,
    pub gpm: Field<Decimal>,
    pub need_psi: Field<Decimal>,
    pub drain: Field<Arc<str>>,
    pub status: Field<Status>,
    pub note: Field<Arc<str>>,
}

#[derive(Debug, Clone)]
pub struct Run {
    pub row: u32,
    pub name: At<Arc<str>>,
    pub from: At<Arc<str>>,
    pub material: Field<Arc<str>>,
    pub size: Field<Size>,
    /// Developed length, ft.
    pub length_ft: Field<Decimal>,
    pub rise_ft: Field<Decimal>,
    pub level: Field<Arc<str>>,
    pub bends: Field<Decimal>,
    pub place: Field<Place>,
    pub form: Field<Arc<str>>,
    pub joints: Field<Arc<str>>,
    pub status: Field<Status>,
    pub insulation_in: Field<Decimal>,
    pub phase: Field<Arc<str>>,
    pub note: Field<Arc<str>>,
}

#[derive(Debug, Clone)]
pub struct Device {
    pub row: u32,
    pub name: At<Arc<str>>,
    pub on_run: At<Arc<str>>,
    /// One of [`super::columns::DEVICE_KINDS`].
    pub kind: At<Arc<str>>,
    /// The kind as it stands in the cell: an everyday name, other letters.
    pub written: At<Arc<str>>,
    pub size: Field<Size>,
    pub rated_gpm: Field<Decimal>,
    pub loss_psi: Field<Decimal>,
    pub set_psi: Field<Decimal>,
    /// Of a manifold.
    pub ports: Field<Decimal>,
    pub status: Field<Status>,
    pub note: Field<Arc<str>>,
}

#[derive(Debug, Clone)]
pub struct Drain {
    pub row: u32,
    pub name: At<Arc<str>>,
    pub to: At<Arc<str>>,
    pub material: Field<Arc<str>>,
    pub size: Field<Size>,
    pub length_ft: Field<Decimal>,
    pub slope_in_per_ft: Field<Decimal>,
    pub place: Field<Place>,
    pub vent: Field<Arc<str>>,
    pub status: Field<Status>,
    pub note: Field<Arc<str>>,
}

#[derive(Debug, Clone)]
pub struct Price {
    pub row: u32,
    pub kind: At<Arc<str>>,
    pub material: Field<Arc<str>>,
    /// Run x run x branch for tees; one size, or none, for most things.
    pub sizes: Field<Vec<Size>>,
    pub unit: Field<Arc<str>>,
    pub pack: Field<Decimal>,
    pub price: Field<Decimal>,
    /// The price holds from so many Units on.
    pub from_units: Field<Decimal>,
    /// The least that is sold.
    pub minimum_units: Field<Decimal>,
    /// Units bought already for this job.
    pub bought: Field<Decimal>,
    /// Blank takes the job's Tax rate.
    pub tax: Field<Taxed>,
    pub supplier: Field<Arc<str>>,
    pub part: Field<Arc<str>>,
    /// What the supplier is told beyond kind and size.
    pub description: Field<Arc<str>>,
    /// `cold` or `hot` where its pipe is of that water's color.
    pub water: Field<Arc<str>>,
    /// Days since 1899-12-30.
    pub quoted: Field<Decimal>,
    pub note: Field<Arc<str>>,
}

impl Price {
    /// Feet or pieces in one Unit: Pack, or one where it is blank or has no meaning.
    pub fn pack_holds(&self) -> Decimal {
        self.pack.value.filter(|pack| *pack > Decimal::ZERO).unwrap_or(Decimal::ONE)
    }

    /// True for what is sold by the foot and cut to length.
    pub fn is_by_foot(&self) -> bool {
        let unit = self.unit.text().trim();
        unit.is_empty() || counter_price::same_unit(unit, "ft")
    }

    /// True for a row whose price holds only from some number of Units on.
    pub fn is_break(&self) -> bool {
        self.from_units.value.is_some_and(|from| from > Decimal::ONE)
    }

    /// The first number of Units that is sold at this price.
    pub fn first_units(&self) -> Decimal {
        let given = [self.from_units.value, self.minimum_units.value];
        given.into_iter().flatten().fold(Decimal::ONE, Decimal::max)
    }
}

/// What it takes to buy from a supplier at all.
#[derive(Debug, Clone)]
pub struct SupplierTerms {
    pub row: u32,
    pub supplier: At<Arc<str>>,
    pub contact: Field<Arc<str>>,
    /// Dollars.
    pub trip_cost: Field<Decimal>,
    pub minimum_order: Field<Decimal>,
    pub note: Field<Arc<str>>,
}

/// What has come to the site of one thing, in feet or pieces.
#[derive(Debug, Clone)]
pub struct Received {
    pub row: u32,
    pub kind: At<Arc<str>>,
    pub material: Field<Arc<str>>,
    pub sizes: Field<Vec<Size>>,
    pub unit: Field<Arc<str>>,
    pub received: Field<Decimal>,
    pub used: Field<Decimal>,
    pub returned: Field<Decimal>,
    pub note: Field<Arc<str>>,
}

#[derive(Debug, Clone)]
pub struct LaborTask {
    pub row: u32,
    pub task: At<Arc<str>>,
    pub unit: Field<Arc<str>>,
    pub hours: Field<Decimal>,
    pub phase: Field<Arc<str>>,
    pub by: Field<Arc<str>>,
    pub note: Field<Arc<str>>,
}

#[derive(Debug, Clone)]
pub struct OtherCost {
    pub row: u32,
    pub item: At<Arc<str>>,
    pub phase: Field<Arc<str>>,
    pub unit: Field<Arc<str>>,
    pub quantity: Field<Decimal>,
    pub price: Field<Decimal>,
    /// Blank is untaxed.
    pub tax: Field<Taxed>,
    pub note: Field<Arc<str>>,
}

#[derive(Debug, Clone)]
pub struct OnHand {
    pub row: u32,
    pub kind: At<Arc<str>>,
    pub material: Field<Arc<str>>,
    pub sizes: Field<Vec<Size>>,
    pub unit: Field<Arc<str>>,
    pub quantity: Field<Decimal>,
    pub note: Field<Arc<str>>,
}

#[derive(Debug, Clone)]
pub struct Term {
    pub row: u32,
    pub kind: At<Arc<str>>,
    pub text: At<Arc<str>>,
    pub amount: Field<Decimal>,
    /// What an alternate changes, as `--set` takes it.
    pub change: Field<Arc<str>>,
}

#[derive(Debug, Clone)]
pub struct TestReading {
    pub row: u32,
    pub test: At<Arc<str>>,
    pub read_at: Field<Arc<str>>,
    pub gauge_psi: Field<Decimal>,
    pub temperature_f: Field<Decimal>,
    pub medium: Field<Arc<str>>,
    pub note: Field<Arc<str>>,
}
