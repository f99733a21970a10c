//! The revisions that a bid tells of: its Revisions sheet -> [`Revision`]s, its own last.

use super::carried_sheets::KeptSheet;
use crate::input::cell::plain_text;
use crate::model::{Raw, Revision, fold, parse_date};
use crate::sheets::Page;
use rust_decimal::Decimal;

/// Reads the table under the sheet's headings, down to the first blank row. Nothing where there is no such sheet.
pub(super) fn read(sheets: &[KeptSheet]) -> Vec<Revision> {
    let Some(sheet) = sheets.iter().find(|sheet| *sheet.name == *Page::Revisions.name()) else { return Vec::new() };
    let mut found = Vec::new();
    let mut columns: Option<[Option<u16>; 5]> = None;
    let mut last = 0;
    for (row, cells) in sheet.rows() {
        let raw = |at: Option<u16>| cells.iter().find(|cell| Some(cell.column) == at).map_or(&Raw::Blank, |c| &c.raw);
        let Some([number, date, total, changes, reason]) = columns else {
            let at = Revision::HEADINGS.map(|heading| {
                // A heading may have its unit behind it: Total $.
                let is = |text: &str| {
                    let words = text.strip_suffix('$').unwrap_or(text);
                    fold(words) == fold(heading)
                };
                cells.iter().find(|cell| is(plain_text(&cell.raw).trim())).map(|cell| cell.column)
            });
            if at[0].is_some() && at[2].is_some() {
                (columns, last) = (Some(at), row);
            }
            continue;
        };
        if row > last + 1 {
            break;
        }
        last = row;
        let text = |at: Option<u16>| plain_text(raw(at));
        found.push(Revision {
            number: text(number),
            date: days(raw(date)),
            total: amount(raw(total)),
            changes: text(changes),
            reason: text(reason),
        });
    }
    found
}

fn days(raw: &Raw) -> Option<Decimal> {
    match raw {
        Raw::Number(days) | Raw::Date(days) => Some(*days).filter(|days| *days >= Decimal::ONE),
        Raw::Text(text) => parse_date(text),
        _ => None,
    }
}

fn amount(raw: &Raw) -> Option<Decimal> {
    if let Raw::Number(amount) = raw { Some(*amount) } else { None }
}
