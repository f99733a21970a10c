//! The last stage: a book of figures and the user's own sheets become the bytes of a workbook.
//!
//! In: [`crate::figure::Book`], laid out by [`crate::figure::address`], and [`crate::model::KeptBook`]; or the text of a
//! job workbook. Out: bytes, and files saved without harm to what is already there. Never: a value that is not in the
//! book, a formula text of its own, the clock.

mod cached;
mod charts;
mod csv_text;
pub(crate) mod decorate;
pub(crate) mod input_style;
pub mod job_book;
mod kept_sheets;
mod measure;
mod order_book;
pub(crate) mod pages;
mod parts;
pub(crate) mod save;
mod sheet;
mod style;
mod table;
mod widths;
mod workbook;

pub use csv_text::csv_bytes;
pub use order_book::order_bytes;
pub use parts::clear_when_interrupted;
pub use workbook::{About, FORMAT_PROPERTY, FORMAT_VERSION, bid_bytes, job_bytes, quotes_bytes};

use rust_xlsxwriter::XlsxError;
use std::fmt;

/// A workbook could not be made; the text says why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WriteError(String);

impl fmt::Display for WriteError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "The workbook could not be made: {}", self.0)
    }
}

impl std::error::Error for WriteError {}

impl From<XlsxError> for WriteError {
    fn from(error: XlsxError) -> Self {
        Self(error.to_string())
    }
}
