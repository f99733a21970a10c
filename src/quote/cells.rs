//! The cells of a filled order by row and heading, and what stands in them in plain words.

use crate::model::{KeptCell, KeptSheet, Raw, date_text};
use crate::order::plain;
use crate::place::Place;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The rows under the headings, with the column of each.
pub(super) struct Sheet<'a> {
    pub sheet: &'a KeptSheet,
    pub headings: u32,
    pub columns: BTreeMap<&'static str, u16>,
}

impl<'a> Sheet<'a> {
    pub(super) fn cell(&self, row: u32, heading: &str) -> Option<&'a KeptCell> {
        self.sheet.cell(row, *self.columns.get(heading)?)
    }

    /// Where a cell is, or would be.
    pub(super) fn place(&self, row: u32, heading: &str) -> Place {
        self.sheet.place(row, self.columns.get(heading).copied().unwrap_or(0))
    }

    pub(super) fn text(&self, row: u32, heading: &str) -> String {
        self.cell(row, heading).map(|cell| text(&cell.raw)).unwrap_or_default()
    }
}

/// A cell's value in plain words.
pub(super) fn text(raw: &Raw) -> String {
    match raw {
        Raw::Blank => String::new(),
        Raw::Number(number) => number.normalize().to_string(),
        Raw::Text(text) => plain(text),
        Raw::Date(serial) => date_text(*serial),
        Raw::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        Raw::Fault(fault) => fault.to_string(),
    }
}

/// The number in a cell, or that a text is.
pub(super) fn number(raw: &Raw) -> Option<Decimal> {
    match raw {
        Raw::Number(number) => Some(*number),
        Raw::Text(text) => crate::model::parse_number(text),
        _ => None,
    }
}
