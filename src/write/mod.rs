//! Workbooks and bytes: the only stage that knows about styles, column widths and files to be written.
//!
//! In: what is to be shown. Out: the bytes of a workbook, and files saved without harm to what is already there.
//! Never: figuring anything.

pub(crate) mod decorate;
pub mod job_book;
pub(crate) mod pages;
pub mod save;
pub(crate) mod style;

use rust_decimal::Decimal;
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

/// The nearest double, by way of the decimal's own digits: `Decimal::to_f64` can be a last bit off.
pub(crate) fn f64_of(number: Decimal) -> f64 {
    // A decimal prints as plain digits, which always parse; were that ever to fail, the writer refuses a NaN.
    number.to_string().parse().unwrap_or(f64::NAN)
}
