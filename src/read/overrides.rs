//! The user's own rule sheets (Pipe, Units, Demand ...): headings and rows as text, for the rule tables to read.

use super::carried_sheets::{KeptCell, KeptSheet};
use super::sheets::is_rule_sheet;
use crate::finding::Sink;
use crate::input::cell::{plain_text, size_of_date};
use crate::input::findings::{BlankFormula, DateInCell, FaultInCell, SizeFromDate};
use crate::model::{Raw, RuleSheet, date_text, fold};
use crate::read::findings::sheets::NoHeadings;
use crate::subjects;
use std::collections::BTreeMap;

/// Reads a sheet that overrides a rule table; `None` for any other, and for one without headings.
pub(super) fn read(sheet: &mut KeptSheet, sink: &mut Sink) -> Option<RuleSheet> {
    if !is_rule_sheet(&sheet.name) {
        return None;
    }
    let name = subjects::rule_sheet_named(&sheet.name)?;
    let Some(heading_row) = heading_row(sheet) else {
        if !sheet.cells.is_empty() {
            let expected = vec!["those of the table it overrides"];
            let facts = NoHeadings { sheet: sheet.name.to_string(), expected, needed: true };
            sink.at(&sheet.place(0, 0), facts);
        }
        return None;
    };
    sheet.heading_row = Some(heading_row);
    let mut headings: BTreeMap<u16, String> = BTreeMap::new();
    let mut rows = Vec::new();
    for (row, cells) in sheet.rows().filter(|(row, _)| *row >= heading_row) {
        if row == heading_row {
            headings.extend(cells.iter().map(|c| (c.column, plain_text(&c.raw).to_string())));
            continue;
        }
        let texts: Vec<String> = headings
            .iter()
            .map(|(column, heading)| {
                let found = cells.binary_search_by_key(column, |c| c.column).ok().and_then(|at| cells.get(at));
                found.map_or_else(String::new, |cell| text(sheet, heading, cell, sink))
            })
            .collect();
        if texts.iter().any(|t| !t.is_empty()) {
            rows.push((row, texts));
        }
    }
    Some(RuleSheet { sheet: (*name).into(), headings: headings.into_values().collect(), rows })
}

/// The first row of two words or more, and of nothing but words: a title above it is one.
pub(super) fn heading_row(sheet: &KeptSheet) -> Option<u32> {
    let is_words = |cells: &[KeptCell]| cells.len() >= 2 && cells.iter().all(|c| matches!(c.raw, Raw::Text(_)));
    sheet.rows().take_while(|(row, _)| *row < 30).find(|(_, cells)| is_words(cells)).map(|(row, _)| row)
}

fn text(sheet: &KeptSheet, heading: &str, cell: &KeptCell, sink: &mut Sink) -> String {
    let place = sheet.place(cell.row, cell.column);
    let column = heading.to_owned();
    match &cell.raw {
        Raw::Date(serial) if fold(heading).contains("size") => {
            let date = date_text(*serial);
            if let Some(size) = size_of_date(*serial) {
                sink.at(&place, SizeFromDate { date, size: size.to_string() });
                return size.to_string();
            }
            sink.at(&place, DateInCell { column, date, size: true, needed: true });
            String::new()
        }
        Raw::Fault(fault) => {
            sink.at(&place, FaultInCell { column, fault: fault.to_string(), needed: true });
            String::new()
        }
        Raw::Blank if cell.formula.is_some() => {
            sink.at(&place, BlankFormula { column, needed: true });
            String::new()
        }
        raw => plain_text(raw).to_string(),
    }
}
