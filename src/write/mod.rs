//! The last stage: a book of figures and the user's own sheets become the bytes of a workbook.
//!
//! In: [`crate::figure::Book`], laid out by [`crate::figure::address`], and [`crate::model::KeptBook`]. Out: bytes. Never: a value that is
//! not in the book, a formula text of its own, the clock, or a file (files are `save`'s).

mod cached;
mod kept_sheets;
mod measure;
mod pages;
mod sheet;
mod style;
mod widths;
mod workbook;

pub use workbook::{About, FORMAT_PROPERTY, FORMAT_VERSION, bid_bytes};
