//! What a spreadsheet holds where a text is typed: a number, a percent, a date or words, by what the cell's column holds.

use super::Kind;
use crate::model::{Raw, SettingKind, parse_number, parse_percent, parse_typed_date};
use crate::unit::Unit;
use rust_decimal::Decimal;

/// The cell, and its number format where typing gives it one; `None` for a column that nobody declared. What is no such
/// thing stays text, for the reader to judge.
pub fn entered(kind: Option<Kind>, text: &str) -> (Raw, Option<&'static str>) {
    // A workbook keeps no trailing zeros.
    let number = |number: Decimal| Raw::Number(number.normalize());
    let percent = || parse_percent(text).map(|share| (number(share), Some(Unit::Percent.number_format())));
    let cell = match kind {
        _ if text.is_empty() => Some((Raw::Blank, None)),
        Some(Kind::Text | Kind::Size | Kind::Sizes | Kind::Choice(_)) => Some((Raw::Text(text.into()), Some("@"))),
        Some(Kind::Date) => parse_typed_date(text).map(|days| (Raw::Date(days), Some(Unit::Date.number_format()))),
        Some(Kind::Share) => percent(),
        _ if text.ends_with('%') => percent(),
        None | Some(Kind::Number | Kind::Positive | Kind::Length | Kind::Price | Kind::Amount) => {
            parse_number(text).map(|typed| (number(typed), None))
        }
    };
    cell.unwrap_or_else(|| (Raw::Text(text.into()), None))
}

impl From<SettingKind> for Kind {
    /// What the value of a setting may hold.
    fn from(kind: SettingKind) -> Self {
        match kind {
            SettingKind::Number(_) => Self::Number,
            SettingKind::Percent => Self::Share,
            SettingKind::Date => Self::Date,
            SettingKind::Size => Self::Size,
            SettingKind::Text => Self::Text,
            SettingKind::Choice(words) => Self::Choice(words),
        }
    }
}
