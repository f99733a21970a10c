//! The sheets of a job workbook, each declared once: its headings, what its cells hold and decide, its typed row, and how
//! each cell is read. The reader, the blank workbook, the checks and the comparison of revisions go by this.

pub(crate) mod cell;
mod column;
mod declare;
mod field;
mod figure;
pub mod findings;
mod job;
mod row;
pub(crate) mod sheets;
pub(crate) mod types;
mod words;

pub use column::{Column, Kind, Offers, Reference, Role, Sheet, column, sheet};
pub(crate) use declare::sheet;
pub use field::{Input, InputCell};
pub use figure::{cell_as_typed, sum_of};
pub use job::{JOB, Job, SHEETS};
pub(crate) use row::rows;
pub use row::{Cells, Row};
pub use sheets::{
    Device, Drain, Fixture, LaborTask, OnHand, OtherCost, Price, Received, Run, SupplierTerms, Term, TestReading,
};
pub use types::{Amount, ColumnType};
pub use types::{PipeSize, Positive, Text};
pub use words::PAYMENT;
pub use words::{
    BY, DEVICE_KINDS, FORM, JOINTS, MEDIA, PHASES, Place, STATUS, Status, TAXED, TERM_KINDS, Taxed, UNTAXED, WATERS,
    WHERE,
};
