//! What a Tax column says of its row.

use crate::model::{fold, parse_percent};
use rust_decimal::Decimal;

/// Words of a Tax column: what the job's Tax rate says, and nothing.
pub const TAXED: &str = "yes";
/// See [`TAXED`].
pub const UNTAXED: &str = "no";

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
        match fold(text).as_str() {
            TAXED => Some(Self::ByJob),
            UNTAXED => Some(Self::At(Decimal::ZERO)),
            _ => parse_percent(text).filter(|share| !share.is_sign_negative()).map(Self::At),
        }
    }
}
