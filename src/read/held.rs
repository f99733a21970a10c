//! The choices that a bid workbook carries: sizes and offers picked, from its Sizing and Take-off sheets.

use super::cell::plain_text;
use super::keep::KeptSheet;
use super::workbook::CHOICE_SHEETS;
use crate::model::fold;
use std::collections::BTreeMap;

const CHOSEN: &[&str] = &["Chosen size", "Chosen offer"];
const KEYS: &[&str] = &["Run", "Line"];

/// Collects the choices into `held`, by sheet and key. A table begins at a row of headings that has one of each kind
/// and ends at the first blank row.
pub(super) fn read(sheets: &[KeptSheet], held: &mut BTreeMap<(String, String), String>) {
    for sheet in sheets.iter().filter(|s| CHOICE_SHEETS.contains(&&*s.name)) {
        let mut table: Option<(u16, u16)> = None;
        let mut last = 0;
        for (row, cells) in sheet.rows() {
            if row > last + 1 {
                table = None;
            }
            last = row;
            let column = |names: &[&str]| {
                let is_heading = |text: &str| names.iter().any(|n| fold(n) == fold(text));
                cells.iter().find(|c| is_heading(&plain_text(&c.raw))).map(|c| c.column)
            };
            if let (Some(key), Some(chosen)) = (column(KEYS), column(CHOSEN)) {
                table = Some((key, chosen));
                continue;
            }
            let Some((key, chosen)) = table else { continue };
            let text = |at: u16| cells.iter().find(|c| c.column == at).map(|c| plain_text(&c.raw).to_string());
            if let (Some(key), Some(chosen)) = (text(key), text(chosen))
                && !key.is_empty()
                && !chosen.is_empty()
            {
                held.entry((sheet.name.to_string(), key)).or_insert(chosen);
            }
        }
    }
}
