//! Which sheet of the workbook is which: by name or alias, case and spacing forgiven.

use super::carried_sheets::KeptSheet;
use crate::finding::{Finding, Sink};
use crate::model::columns::Sheet;
use crate::model::fold;
use crate::read::findings::sheets::{HiddenSheet, TwoSheets};
use crate::sheets::Page;
use crate::subjects;

/// Marks each sheet that is a declared one.
pub(super) fn assign(sheets: &mut [KeptSheet], sink: &mut Sink) {
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

pub(super) fn is_result(name: &str) -> bool {
    Page::from_name(name).is_some()
}

/// True when a sheet of this name would be read.
pub(super) fn is_read(name: &str) -> bool {
    let name = fold(name);
    subjects::sheets().any(|d| d.spellings().any(|n| fold(n) == name)) || is_rule_sheet(&name)
}
