//! What a job workbook says, typed. Every value knows its cell.
//!
//! In: nothing. Out: [`Job`] and its rows. Never: reading files, judging whether the values make sense.

mod as_written;
pub mod book_text;
mod carried_sheets;
mod code_basis;
pub mod columns;
pub(crate) mod counter_price;
mod date;
mod field;
pub(crate) mod findings;
mod history;
mod length;
pub(crate) mod meaning;
pub mod network;
pub mod order_form;
mod phase;
pub(crate) mod range;
pub(crate) mod setting;
mod size;
pub(crate) mod user_formula;
mod user_functions;
pub(crate) mod vocabulary;

pub use crate::folding::{fold, folded_bytes, same_folded};
pub use crate::input::{
    Device, Drain, Fixture, Job, LaborTask, OnHand, OtherCost, Place as Whereabouts, Price, Received, Run, Status,
    SupplierTerms, Taxed, Term, TestReading,
};
pub use as_written::{AsWritten, WrittenFigure};
pub use carried_sheets::{KeptBook, KeptCell, KeptSheet};
pub use code_basis::{CODES, cited_for, code_basis, split_code_basis};
pub use columns::{AS_WRITTEN, BID_PROPERTY, BY_FORMULA};
pub use date::{civil_date, date_text, parse_date, parse_typed_date};
pub use field::{At, Field, Raw};
pub use history::{Revision, next_revision, same_revision};
pub use length::parse_feet;
pub use phase::Phase;
pub use range::{Fit, Range, Scale};
pub(crate) use setting::SETTINGS;
pub use setting::{DATES, Setting, SettingKind, SettingSpec, SettingValue};
pub use size::Size;

use rust_decimal::Decimal;
use std::sync::Arc;

/// A user's sheet that overrides rows of a rule table: headings and rows of text, with the cells they came from.
#[derive(Debug, Clone)]
pub struct RuleSheet {
    /// Its name in the workbook.
    pub sheet: Arc<str>,
    /// As written, from the first column on.
    pub headings: Vec<String>,
    /// Row in the sheet, from 0, and its cells as text, one for each heading.
    pub rows: Vec<(u32, Vec<String>)>,
}

/// The stated default of a setting, as a value.
pub fn default_value(setting: Setting) -> Option<SettingValue> {
    let spec = setting.spec();
    parse_setting(spec.kind, spec.default).ok().flatten()
}

/// Reads a setting from text. `Ok(None)` when the text is blank.
///
/// # Errors
/// What was expected: `a number`, `yes or no`.
pub fn parse_setting(kind: SettingKind, text: &str) -> Result<Option<SettingValue>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let value = match kind {
        SettingKind::Text => SettingValue::Text(text.into()),
        SettingKind::Number(_) => SettingValue::Number(parse_number(text).ok_or("a number")?),
        SettingKind::Percent => SettingValue::Number(parse_percent(text).ok_or("a percent such as 7% or 0.07")?),
        SettingKind::Size => SettingValue::Size(Size::parse(text).ok_or("a pipe size such as 3/4 or 1-1/4")?),
        SettingKind::Date => SettingValue::Date(parse_typed_date(text).ok_or("a date such as 2026-05-30")?),
        SettingKind::Choice(CODES) => SettingValue::Text(code_basis(text).ok_or_else(expected_code)?.into()),
        SettingKind::Choice(list) => {
            let wanted = fold(text);
            let found = list.iter().find(|word| fold(word) == wanted);
            SettingValue::Text((*found.ok_or_else(|| format!("one of: {}", list.join(", ")))?).into())
        }
    };
    Ok(Some(value))
}

fn expected_code() -> String {
    format!("one of: {}; an edition may follow, as in IRC 2021", CODES.join(", "))
}

/// A plain number: digits, a point, thousands commas, a dollar sign. No exponents, no words.
pub fn parse_number(text: &str) -> Option<Decimal> {
    let plain: String = text.trim().trim_start_matches('$').chars().filter(|c| *c != '\u{a0}').collect();
    let plain = plain.trim().replace('\u{2212}', "-");
    if !parts_thousands(plain.strip_prefix('-').unwrap_or(&plain)) {
        return None;
    }
    let plain = plain.replace(',', "");
    let digits = plain.strip_prefix('-').unwrap_or(&plain);
    if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit() || b == b'.') {
        return None;
    }
    plain.parse().ok()
}

/// Whether commas, if any, part thousands: in `12,5` one stands for a point somewhere, and 125 would be a silent mistake.
fn parts_thousands(digits: &str) -> bool {
    let mut groups = digits.split('.').next().unwrap_or_default().split(',');
    let first = groups.next().unwrap_or_default();
    let rest: Vec<&str> = groups.collect();
    let behind_the_point = digits.split_once('.').is_some_and(|(_, decimals)| decimals.contains(','));
    !behind_the_point
        && (rest.is_empty() || ((1..=3).contains(&first.len()) && rest.iter().all(|group| group.len() == 3)))
}

/// A share: `7%` and `7` are 0.07, `0.07` is itself. A bare number of 1 or more is read as percent.
pub fn parse_percent(text: &str) -> Option<Decimal> {
    match text.trim().strip_suffix('%') {
        Some(number) => parse_number(number)?.checked_div(Decimal::ONE_HUNDRED),
        None => {
            let number = parse_number(text)?;
            if number.abs() >= Decimal::ONE { number.checked_div(Decimal::ONE_HUNDRED) } else { Some(number) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_default_can_be_read() {
        for spec in SETTINGS {
            assert!(parse_setting(spec.kind, spec.default).is_ok(), "{}", spec.name);
        }
    }

    #[test]
    fn words_fold_to_the_same_with_and_without_copies() {
        let words = ["Run PEX 3/4", "run-pex 3/4", "run PEX 34", "", " ", "Größe 1", "grösse 1", "größe1"];
        for (a, b) in words.iter().flat_map(|a| words.iter().map(move |b| (a, b))) {
            assert_eq!(same_folded(a, b), fold(a) == fold(b), "{a} {b}");
        }
    }

    #[test]
    fn commas_part_thousands_and_nothing_else() {
        for (text, number) in
            [("1,234", "1234"), ("$12,345.60", "12345.60"), ("-1,234,567", "-1234567"), ("1234.5", "1234.5")]
        {
            assert_eq!(parse_number(text), Some(number.parse().unwrap()), "{text}");
        }
        for text in ["12,5", "1,2345", ",5", "1234,567", "1.5,000", "1,23,456"] {
            assert_eq!(parse_number(text), None, "{text}");
        }
    }

    #[test]
    fn percents_are_read_as_people_write_them() {
        let seven = Some("0.07".parse().unwrap());
        assert_eq!([parse_percent("7%"), parse_percent("7"), parse_percent("0.07")], [seven; 3]);
    }
}
