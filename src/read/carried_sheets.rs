//! The input sheets as they stood, cell for cell, so that the bid can show them at the addresses they had.

use crate::finding::{Finding, Sink};
use crate::model::user_formula;
pub use crate::model::{KeptBook, KeptCell, KeptSheet};
use crate::place::{Place, a1};
use crate::read::findings::kept::{FormulasDropped, RenamedSheet};
use crate::sheets::Page;
use std::collections::BTreeSet;

/// Gives the user's sheets that bear a name of ours another, and drops the formulas that could not stand in the bid.
pub(super) fn settle(sheets: &mut [KeptSheet], arrays: &BTreeSet<(u32, u16)>, sink: &mut Sink) {
    let mut names: BTreeSet<String> = sheets.iter().map(|s| s.name.to_lowercase()).collect();
    for sheet in sheets.iter_mut().filter(|s| Page::from_name(&s.name).is_some()) {
        sheet.shown = free_name(&sheet.name, &mut names).into();
        let facts = RenamedSheet { sheet: sheet.name.to_string(), kept_as: sheet.shown.to_string() };
        sink.push(Finding::at(&sheet.place(0, 0), facts));
    }
    let kept: BTreeSet<String> = sheets.iter().filter(|s| s.shown == s.name).map(|s| s.name.to_lowercase()).collect();
    for sheet in sheets {
        let mut dropped: Vec<(Place, &'static str)> = Vec::new();
        let place = |cell: &KeptCell| Place { sheet: sheet.name.clone(), row: cell.row, column: cell.column };
        for cell in &mut sheet.cells {
            let Some(written) = &cell.formula else { continue };
            let judged = if arrays.contains(&(cell.row, cell.column)) {
                Err("is an array formula")
            } else {
                user_formula::carried(written, &kept)
            };
            match judged {
                Ok(formula) => cell.formula = Some(formula),
                Err(reason) => {
                    cell.formula = None;
                    dropped.push((place(cell), reason));
                }
            }
        }
        if let Some((place, reason)) = dropped.first() {
            let cell = a1(place.row, place.column);
            sink.push(Finding::at(place, FormulasDropped { count: dropped.len(), cell, reason }));
        }
    }
}

/// `Hours (yours)`, or with a number where that is taken; at most the 31 characters that a sheet name may have.
fn free_name(name: &str, taken: &mut BTreeSet<String>) -> String {
    let mut suffix = " (yours)".to_owned();
    let mut number = 1;
    loop {
        let stem: String = name.chars().take(31 - suffix.len()).collect();
        let candidate = format!("{stem}{suffix}");
        if taken.insert(candidate.to_lowercase()) {
            return candidate;
        }
        number += 1;
        suffix = format!(" (yours {number})");
    }
}
