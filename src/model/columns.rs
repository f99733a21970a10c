//! Names in a workbook that are ours and are no input: columns and properties of a bid.

pub use crate::input::{
    BY, Column, DEVICE_KINDS, FORM, JOB, JOINTS, Kind, PHASES, SHEETS, STATUS, Sheet, TAXED, TERM_KINDS, UNTAXED,
    WATERS, WHERE,
};

/// Heading of the column in which a bid keeps what its rule figures and settings were when it was written, so that what
/// somebody types over them is seen when the bid is read again.
pub const AS_WRITTEN: &str = "As written";

/// Stands there for a value that was written as a formula.
pub const BY_FORMULA: &str = "by formula";

/// The custom document property that marks a bid of ours.
pub const BID_PROPERTY: &str = "tallybore-bid";
