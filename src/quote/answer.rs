//! What stands in the supplier's cells of one line.

use super::cells::{Sheet, number, text};
use crate::finding::{Finding, excerpt};
use crate::model::order_form::{self as form, LineKey};
use crate::model::{KeptCell, Raw, counter_price, fold};
use crate::place::Place;
use crate::quote::findings::{QuoteNotRead, QuoteReadAs, QuoteUnitChanged};
use rust_decimal::Decimal;

/// Whether a line can be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Available {
    Yes,
    No,
    /// So many of the quantity.
    Only(Decimal),
    /// When, or whatever else was written.
    Words(String),
}

/// The answer to one line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Of one Unit, more than 0.
    pub price: Option<Decimal>,
    pub available: Available,
    /// Another part than the one asked for.
    pub substitute: String,
    pub remark: String,
}

const YES: &[&str] = &["", "yes", "y", "x", "ok", "true", "instock", "stock", "available"];
const NO: &[&str] = &["no", "n", "none", "false", "0", "out", "outofstock", "n/a", "na", "notavailable", "notstocked"];

/// Reads a row. What cannot be read counts as not answered, and a finding says so at its cell.
pub(super) fn read(
    sheet: &Sheet,
    row: u32,
    key: &LineKey,
    quantity: Option<Decimal>,
    findings: &mut Vec<Finding>,
) -> Answer {
    let price_place = sheet.place(row, form::PRICE);
    let mut price =
        sheet.cell(row, form::PRICE).and_then(|cell| money(cell, &price_place, form::PRICE, &key.unit, findings));
    if let Some(bad) = price.filter(|price| *price <= Decimal::ZERO) {
        let reason = if bad.is_zero() { "nothing is sold for nothing" } else { "a price is more than 0" };
        let found = bad.normalize().to_string();
        let facts = QuoteNotRead { column: form::PRICE, found, reason: reason.to_owned() };
        findings.push(Finding::at(&price_place, facts));
        price = None;
    }
    if price.is_some() && !sold_as_asked(sheet, row, key, findings) {
        price = None;
    }
    let words = sheet.text(row, form::AVAILABLE);
    let available = match fold(&words) {
        word if YES.contains(&word.as_str()) => Available::Yes,
        word if NO.contains(&word.as_str()) => Available::No,
        _ => match sheet.cell(row, form::AVAILABLE).and_then(|cell| number(&cell.raw)) {
            Some(count) if quantity.is_some_and(|quantity| count >= quantity) => Available::Yes,
            Some(count) => Available::Only(count),
            None => Available::Words(words),
        },
    };
    Answer { price, available, substitute: sheet.text(row, form::SUBSTITUTE), remark: sheet.text(row, form::REMARK) }
}

/// Whether the row still says what it was asked for: one Unit, and what it holds. A form without a lock can be changed.
fn sold_as_asked(sheet: &Sheet, row: u32, key: &LineKey, findings: &mut Vec<Finding>) -> bool {
    let unit = sheet.text(row, form::UNIT);
    if !unit.is_empty() && !counter_price::same_unit(&unit, &key.unit) && fold(&unit) != fold(&key.unit) {
        let facts = QuoteUnitChanged { column: form::UNIT, found: excerpt(&unit), ours: key.unit.clone() };
        findings.push(Finding::at(&sheet.place(row, form::UNIT), facts));
        return false;
    }
    let holds = sheet.text(row, form::PACK);
    let count = holds.split_whitespace().next().and_then(crate::model::parse_number);
    if count.is_some_and(|count| count != key.pack) {
        let ours = key.pack.normalize().to_string();
        let facts = QuoteUnitChanged { column: form::PACK, found: excerpt(&holds), ours };
        findings.push(Finding::at(&sheet.place(row, form::PACK), facts));
        return false;
    }
    true
}

/// Money in a cell, whatever its sign; `None` where there is none or it cannot be read.
pub(super) fn money(
    cell: &KeptCell,
    place: &Place,
    column: &'static str,
    unit: &str,
    findings: &mut Vec<Finding>,
) -> Option<Decimal> {
    let mut say = |finding: Finding| findings.push(Finding { place: Some(place.clone()), ..finding });
    let not_read = |found: String, reason: &str| QuoteNotRead { column, found, reason: reason.to_owned() };
    let shown = excerpt(&text(&cell.raw));
    let value = match &cell.raw {
        Raw::Blank if cell.formula.is_some() => {
            say(not_read("a formula".to_owned(), "it was never worked out").into());
            return None;
        }
        Raw::Blank => return None,
        Raw::Number(number) => *number,
        Raw::Text(words) => match counter_price::price(words, unit) {
            Ok((number, in_words)) => {
                if in_words {
                    let value = number.normalize().to_string();
                    say(QuoteReadAs { column, found: format!("\"{shown}\""), value }.into());
                }
                number
            }
            Err(reason) => {
                say(not_read(shown, &reason).into());
                return None;
            }
        },
        Raw::Date(_) => {
            say(not_read(shown, "it is a date").into());
            return None;
        }
        Raw::Fault(_) => {
            say(not_read(shown, "it is an error value").into());
            return None;
        }
        Raw::Flag(_) => {
            say(not_read(shown, "it is no number").into());
            return None;
        }
    };
    if cell.formula.is_some() {
        say(QuoteReadAs { column, found: "a formula".to_owned(), value: value.normalize().to_string() }.into());
    }
    // More would overflow sums; nobody's part costs as much.
    if value.abs() > Decimal::from(10_000_000) {
        say(not_read(shown, "it is more than ten million").into());
        return None;
    }
    Some(value.round_dp(4).normalize())
}
