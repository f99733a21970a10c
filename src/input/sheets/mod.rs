//! The declarations, a file for a sheet or for two that go together; and the columns that several sheets have.

mod costs;
mod devices;
mod drains;
mod fixtures;
mod labor;
mod prices;
mod runs;
mod stock;
mod suppliers;
mod terms;
mod test_log;

pub use costs::OtherCost;
pub use devices::Device;
pub use drains::Drain;
pub use fixtures::Fixture;
pub(crate) use fixtures::US;
pub use labor::LaborTask;
pub use prices::Price;
pub use runs::Run;
pub use stock::{OnHand, Received};
pub use suppliers::SupplierTerms;
pub use terms::Term;
pub use test_log::TestReading;

use super::{Column, column};
use crate::model::vocabulary;

pub(crate) const NOTE: Column =
    column("Note", &["Notes", "Remark", "Comment"], "Anything you want to remember; the bid carries it along.")
        .prose(46.0)
        .free()
        .progress();

pub(crate) const STATUS: Column = column(
    "Status",
    &["State"],
    "new (or blank): part of this job. existing: already there, counted for pressure, not bought. remove: comes out. by others: another trade's work. installed: part of this job and done, priced but not ordered again.",
)
.decides();

pub(crate) const PHASE: Column =
    column("Phase", &["Stage"], "underground, rough-in, trim or test. Blank lets the engine choose by place and task.")
        .decides();

pub(crate) const SIZE: Column = column(
    "Size",
    &["Nominal size", "Size in", "Diameter"],
    "Nominal size: 1/2, 3/4, 1, 1-1/4. Blank lets the engine choose; filled is your word.",
);

pub(crate) const MATERIAL: Column = column(
    "Material",
    &["Pipe", "Mat"],
    "PEX, copper L, copper M, copper K, CPVC, galvanized, PE. Blank takes Main material from Job.",
)
.offers(vocabulary::MATERIALS);
