//! The sheets of a job workbook, each declared once: its headings, what its cells hold and decide, its typed row, and how
//! each cell is read. The reader, the blank workbook, the checks and the comparison of revisions go by this.

pub(crate) mod cell;
mod column;
mod declare;
mod entered;
mod field;
mod figure;
pub(crate) mod findings;
mod job;
mod row;
mod settings;
pub(crate) mod sheets;
mod taxed;
pub(crate) mod types;
mod words;

pub use column::Role;
pub use column::{Column, Kind, Sheet};
pub(crate) use column::{InputCell, Row};
pub(crate) use column::{Offers, Reference};
pub(crate) use column::{column, sheet};
pub(crate) use declare::sheet;
pub use entered::entered;
pub use field::{ColumnType, Input};
pub use figure::raw_value;
pub(crate) use figure::{cell_as_typed, sum_of};
pub(crate) use job::MoreSettings;
pub use job::{JOB, Job, SHEETS};
pub(crate) use row::Cells;
pub(crate) use row::rows;
pub use settings::Settings;
pub(crate) use sheets::US;
pub use sheets::{
    Device, Drain, Fixture, LaborTask, OnHand, OtherCost, Price, Received, Run, SupplierTerms, Term, TestReading,
};
pub use taxed::{TAXED, Taxed, UNTAXED};
pub use types::Amount;
pub(crate) use types::Positive;
pub use types::Text;
pub use words::{BY, DEVICE_KINDS, FORM, JOINTS, PHASES, Place, STATUS, Status, TERM_KINDS, WATERS, WHERE};
