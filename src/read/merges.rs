//! Merged cells: kept as they are, or cut to what the sheet holds where they would be more cells than anybody filled.

use super::carried_sheets::KeptSheet;
use crate::finding::{Finding, Sink};
use crate::place::a1;
use crate::read::findings::kept::MergesCut;

/// First row, first column, last row, last column.
type Area = (u32, u16, u32, u16);

/// Cells that the merges of a sheet may come to: the bid writes each of them.
const CELLS: u64 = 20_000;

/// Gives the sheet its merges. Those of whole rows and columns, and all others once they are too many, are cut to the
/// rows and columns that hold something; what is one cell then, or is still too much, is no merge any longer. Told once
/// a sheet.
pub(super) fn carry(sheet: &mut KeptSheet, areas: Vec<Area>, sink: &mut Sink) {
    let last_row = sheet.cells.iter().map(|cell| cell.row).max().unwrap_or(0);
    let last_column = sheet.cells.iter().map(|cell| cell.column).max().unwrap_or(0);
    let mut room = CELLS;
    let mut cut: Vec<Area> = Vec::new();
    for area in areas {
        let (top, left, bottom, right) = area;
        let mut kept = area;
        if size(area) > room.min(CELLS / 10) {
            cut.push(area);
            kept = (top, left, bottom.min(last_row), right.min(last_column));
        }
        let (top, left, bottom, right) = kept;
        let several = top <= bottom && left <= right && (top, left) != (bottom, right);
        if several && size(kept) <= room {
            room -= size(kept);
            sheet.merged.push(kept);
        }
    }
    if let Some(&(top, left, bottom, right)) = cut.first() {
        let area = format!("{}:{}", a1(top, left), a1(bottom, right));
        sink.push(Finding::at(&sheet.place(top, left), MergesCut { area, count: cut.len() }));
    }
}

fn size((top, left, bottom, right): Area) -> u64 {
    match (bottom.checked_sub(top), right.checked_sub(left)) {
        (Some(rows), Some(columns)) => (u64::from(rows) + 1) * (u64::from(columns) + 1),
        _ => 0,
    }
}
