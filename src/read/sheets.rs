//! Which sheet of the workbook is which: by name or alias, case and spacing forgiven.

use super::carried_sheets::KeptSheet;
use super::heading_row;
use crate::finding::{Finding, Sink, nearest, nearly};
use crate::model::columns::Sheet;
use crate::model::fold;
use crate::read::findings::sheets::{HiddenSheet, MissingSheet, NearSheet, TwoSheets};
use crate::sheets::Page;
use crate::subjects;

/// Marks each sheet that is a declared one, and says which needed ones are missing.
pub(super) fn assign(sheets: &mut [KeptSheet], unreadable: &[(std::sync::Arc<str>, String)], sink: &mut Sink) {
    for declared in subjects::sheets() {
        let wanted = fold(declared.name);
        // Indices of sheets. The declared name itself goes before an alias, then the workbook's order.
        let mut meant: Vec<usize> = (0..sheets.len()).filter(|i| is_meant(&sheets[*i], declared)).collect();
        meant.sort_by_key(|i| fold(&sheets[*i].name) != wanted);
        let Some((&read, others)) = meant.split_first() else { continue };
        sheets[read].declared = Some(declared);
        for other in others {
            let facts = TwoSheets {
                found: sheets[*other].name.to_string(),
                read: sheets[read].name.to_string(),
                meant: declared.name,
            };
            sink.push(Finding::at(&sheets[*other].place(0, 0), facts));
        }
    }
    let present: Vec<String> =
        sheets.iter().map(|s| s.name.to_string()).chain(unreadable.iter().map(|(n, _)| n.to_string())).collect();
    let missing = |d: &&Sheet| {
        !sheets.iter().any(|s| s.declared.is_some_and(|found| found.name == d.name))
            && !unreadable.iter().any(|(name, _)| d.spellings().any(|n| fold(n) == fold(name)))
    };
    for declared in subjects::sheets().filter(missing) {
        let free = || sheets.iter().filter(|s| s.declared.is_none() && !is_rule_sheet(&s.name) && !is_result(&s.name));
        if declared.required {
            let candidates: Vec<&str> = free().map(|s| &*s.name).collect();
            // A sheet is suggested when its name is near the declared one, or near an alias of it.
            let near = declared.spellings().find_map(|name| nearest(name, candidates.iter().copied()));
            sink.everywhere(MissingSheet {
                sheet: declared.name,
                nearest: near.map(str::to_owned),
                present: present.clone(),
            });
        } else {
            for sheet in free() {
                let slip = nearly(&sheet.name, declared.spellings()).is_some();
                let alike = heading_row::fits(sheet, declared);
                if slip || (alike && declared.spellings().any(|name| holds(&sheet.name, name))) {
                    let facts = NearSheet { found: sheet.name.to_string(), nearest: declared.name, alike };
                    sink.push(Finding::at(&sheet.place(0, 0), facts));
                }
            }
        }
    }
    for sheet in sheets.iter().filter(|s| s.declared.is_none() && !is_rule_sheet(&s.name) && !is_result(&s.name)) {
        let meant = subjects::rule_sheets().find(|rule| nearly(&sheet.name, [*rule]).is_some());
        if let Some(nearest) = meant.filter(|_| !sheet.cells.is_empty()) {
            let facts = NearSheet { found: sheet.name.to_string(), nearest, alike: false };
            sink.push(Finding::at(&sheet.place(0, 0), facts));
        }
    }
    for sheet in sheets.iter().filter(|s| s.hidden && (s.declared.is_some() || is_rule_sheet(&s.name))) {
        sink.push(Finding::at(&sheet.place(0, 0), HiddenSheet { sheet: sheet.name.to_string() }));
    }
}

fn is_meant(sheet: &KeptSheet, declared: &Sheet) -> bool {
    let name = fold(&sheet.name);
    !is_rule_sheet(&sheet.name) && declared.spellings().any(|n| fold(n) == name)
}

/// True for a sheet of the user's that overrides a rule table.
pub(super) fn is_rule_sheet(name: &str) -> bool {
    subjects::rule_sheet_named(name).is_some()
}

/// True when every word of `name` stands in `text`.
fn holds(text: &str, name: &str) -> bool {
    let words: Vec<String> = text.split_whitespace().map(fold).collect();
    name.split_whitespace().map(fold).all(|word| words.contains(&word))
}

fn is_result(name: &str) -> bool {
    Page::from_name(name).is_some()
}

/// True when a sheet of this name would be read.
pub(super) fn is_read(name: &str) -> bool {
    let name = fold(name);
    subjects::sheets().any(|d| d.spellings().any(|n| fold(n) == name)) || is_rule_sheet(&name)
}
