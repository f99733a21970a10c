//! The choices that a bid workbook carries: sizes and offers picked, and what they were picked on.

use super::keep::KeptSheet;
use super::workbook::page_of;
use crate::input::cell::plain_text;
use crate::model::{BID_FORMS, BID_SIZES, fold};
use crate::sheets::{Page, ReadBack};
use std::collections::BTreeMap;

/// Heading over sticks and coils as chosen: a run has a size chosen too, so that they are kept apart.
const CHOSEN_FORM: &str = "Chosen form";

/// Headings over columns of choices. The table's first column names the row.
const CHOSEN: &[&str] = &[
    "Chosen size",
    CHOSEN_FORM,
    "Chosen offer",
    "Chosen tee",
    "Chosen packs",
    "Chosen cut",
    "When chosen",
    "As priced",
    "Least there is",
    "As planned",
];

/// Collects the choices into `held`, by sheet and row name. A table begins at a row of headings that has such a column
/// and ends at the first blank row. Gives how many choices could not be told apart, their rows having no name.
pub(super) fn read(sheets: &[KeptSheet], held: &mut BTreeMap<(String, String), String>) -> usize {
    let mut lost = 0;
    for sheet in sheets {
        let Some(page) = page_of(&sheet.name).filter(|page| page.read_back() == ReadBack::Choices) else { continue };
        let mut table: Option<(u16, Option<u16>, &str)> = None;
        let mut last = 0;
        for (row, cells) in sheet.rows() {
            if row > last + 1 {
                table = None;
            }
            last = row;
            let is_chosen = |text: &str| CHOSEN.iter().any(|name| fold(name) == fold(text));
            if let Some(cell) = cells.iter().find(|c| is_chosen(&plain_text(&c.raw))) {
                // Beside the size chosen stands the size a run has, which may be the user's word.
                let size = cells.iter().find(|c| page == Page::Sizing && *plain_text(&c.raw) == *"Size");
                let forms = fold(&plain_text(&cell.raw)) == fold(CHOSEN_FORM);
                table = Some((cell.column, size.map(|c| c.column), if forms { BID_FORMS } else { &sheet.name }));
                continue;
            }
            let Some((chosen, size, of)) = table else { continue };
            let text = |at: u16| cells.iter().find(|c| c.column == at).map(|c| plain_text(&c.raw).trim().to_owned());
            let Some(key) = text(0).filter(|key| !key.is_empty()) else {
                // A row named by a formula that was never worked out: its choice is there, and nobody can tell whose.
                let named = cells.iter().any(|c| c.column == 0 && c.formula.is_some());
                lost += usize::from(named && text(chosen).is_some_and(|chosen| !chosen.is_empty()));
                continue;
            };
            if let Some(chosen) = text(chosen).filter(|chosen| !chosen.is_empty()) {
                held.entry((of.to_owned(), key.clone())).or_insert(chosen);
            }
            if let Some(size) = size.and_then(text).filter(|size| !size.is_empty()) {
                held.entry((BID_SIZES.to_owned(), key)).or_insert(size);
            }
        }
    }
    lost
}
