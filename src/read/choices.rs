//! The choices that a bid workbook carries: sizes and offers picked, and what they were picked on.

use super::carried_sheets::{KeptCell, KeptSheet};
use super::workbook::page_of;
use crate::choice::{Choice, SavedChoices};
use crate::input::cell::plain_text;
use crate::model::fold;
use crate::sheets::{Page, ReadBack};
use crate::subjects;

/// Collects the choices of a bid. A table begins at a row of headings with one over choices and ends at the first blank
/// row; its first column names the rows. Gives how many choices could not be told apart, their rows having no name.
pub(super) fn read(sheets: &[KeptSheet], saved: &mut SavedChoices) -> usize {
    let mut lost = 0;
    for sheet in sheets {
        let Some(page) = page_of(&sheet.name).filter(|page| page.read_back() == ReadBack::Choices) else { continue };
        let mut table: Option<Headings> = None;
        let mut last = 0;
        for (row, cells) in sheet.rows() {
            if row > last + 1 {
                table = None;
            }
            last = row;
            if let Some(headings) = Headings::of(page, cells) {
                table = Some(headings);
                continue;
            }
            let Some(Headings { chosen, kinds }) = &table else { continue };
            let text = |at: u16| cells.iter().find(|c| c.column == at).map(|c| plain_text(&c.raw).trim().to_owned());
            let Some(name) = text(0).filter(|name| !name.is_empty()) else {
                // A row named by a formula that was never worked out: its choice is there, and nobody can tell whose.
                let has_live_name = cells.iter().any(|c| c.column == 0 && c.formula.is_some());
                lost += usize::from(has_live_name && text(*chosen).is_some_and(|chosen| !chosen.is_empty()));
                continue;
            };
            for (kind, column) in kinds {
                if let Some(choice) = text(*column).filter(|choice| !choice.is_empty()) {
                    saved.insert_first(*kind, &name, choice);
                }
            }
        }
    }
    lost
}

/// The columns of a table of choices.
struct Headings {
    /// The first column of choices.
    chosen: u16,
    kinds: Vec<(Choice, u16)>,
}

impl Headings {
    fn of(page: Page, cells: &[KeptCell]) -> Option<Self> {
        let kinds = || subjects::choices().filter(|kind| kind.page() == page);
        let is_headed = |cell: &KeptCell, kind: Choice| fold(&plain_text(&cell.raw)) == fold(kind.heading());
        let makes_a_table = |cell: &&KeptCell| kinds().any(|kind| !kind.is_secondary() && is_headed(cell, kind));
        let first = cells.iter().find(makes_a_table)?;
        let column_of = |kind: Choice| match kind.is_secondary() {
            true => cells.iter().find(|cell| *plain_text(&cell.raw) == *kind.heading()),
            false => Some(first).filter(|cell| is_headed(cell, kind)),
        };
        let kinds = kinds().filter_map(|kind| Some((kind, column_of(kind)?.column))).collect();
        Some(Self { chosen: first.column, kinds })
    }
}
