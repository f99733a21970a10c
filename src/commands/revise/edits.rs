//! `--set`: a setting, or a cell, of the workbook that is revised. Whatever is wrong with one is a finding, and all are
//! told at once.

use crate::commands::findings::{EditBadValue, EditFeedsFormula};
use crate::commands::set::{self, Assignment, SetError};
use crate::finding::{Finding, UnknownName};
use crate::model::columns::JOB;
use crate::model::{Job, KeptBook, Setting};
use crate::place::Place;
use crate::read::{self, Reading};
use crate::revise::edit::{self, CellEdit};
use crate::revise::findings::{EditNotRead, EditOfFormula};

/// One change, understood.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Edit {
    Setting(Assignment),
    Cell(CellEdit),
}

/// Reads a change as typed: `main size=1`, `Runs!D12=3/4`, `run M1 size=3/4`.
pub(crate) fn parse(reading: &Reading, typed: &str) -> Result<Edit, Box<Finding>> {
    if !typed.contains('=') {
        return Err(Box::new(Finding::everywhere(EditNotRead {
            typed: crate::finding::excerpt(typed),
            expected: "a setting, or a cell such as Runs!D12".to_owned(),
        })));
    }
    match edit::parse(&reading.book, typed) {
        None => setting(typed, None).map(Edit::Setting),
        Some(Err(finding)) => Err(finding),
        Some(Ok(edit)) => match setting_at(&reading.book, &reading.job, &edit.place) {
            // The cell of a setting: what may stand there the setting knows.
            Some(of) => setting(&format!("{}={}", of.name(), edit.text), Some(&edit.place)).map(Edit::Setting),
            None => Ok(Edit::Cell(edit)),
        },
    }
    .and_then(|edit| untouched(&reading.book, &reading.job, edit))
}

fn setting(typed: &str, place: Option<&Place>) -> Result<Assignment, Box<Finding>> {
    set::parse(typed).map_err(|error| {
        let finding: Finding = match error {
            SetError::NoValue { typed } => {
                EditNotRead { typed, expected: "a setting, or a cell such as Runs!D12".to_owned() }.into()
            }
            SetError::UnknownName { name, nearest } => UnknownName {
                what: "setting",
                found: name,
                nearest: nearest.map(str::to_owned),
                remedy: "Name an item of the Job sheet, or a cell such as Runs!D12.".to_owned(),
            }
            .into(),
            SetError::BadValue { name, typed, expected } => {
                EditBadValue { name: name.to_owned(), typed, expected }.into()
            }
        };
        Box::new(Finding::near(place, finding))
    })
}

/// The setting whose value stands at this place of the Job sheet.
fn setting_at(book: &KeptBook, job: &Job, place: &Place) -> Option<Setting> {
    let sheet = book.sheets.iter().find(|sheet| sheet.name == place.sheet)?;
    let is_job = sheet.declared.is_some_and(|declared| declared.name == JOB.name);
    let at = |field: &crate::model::Field<_>| field.cell.as_ref() == Some(place);
    job.settings.iter().find(|(_, field)| is_job && at(field)).map(|(setting, _)| *setting)
}

/// The cell that an edit writes to, where there is one already.
fn place_of(job: &Job, edit: &Edit) -> Option<Place> {
    match edit {
        Edit::Setting(assignment) => job.settings.get(&assignment.setting)?.cell.clone(),
        Edit::Cell(edit) => Some(edit.place.clone()),
    }
}

/// Refuses to write over a formula of the user's, and to change a cell that one looks at: only a spreadsheet program can
/// work those out anew.
fn untouched(book: &KeptBook, job: &Job, edit: Edit) -> Result<Edit, Box<Finding>> {
    let Some(place) = place_of(job, &edit) else { return Ok(edit) };
    let sheet = book.sheets.iter().find(|sheet| sheet.name == place.sheet);
    let cell = sheet.and_then(|sheet| sheet.cell(place.row, place.column));
    if cell.is_some_and(|cell| cell.formula.is_some()) {
        return Err(Box::new(Finding::at(&place, EditOfFormula { cell: place.to_string() })));
    }
    match read::fed_by(book, &place) {
        Some(formula) => {
            let (cell, formula) = (place.to_string(), formula.to_string());
            Err(Box::new(Finding::at(&place, EditFeedsFormula { cell, formula })))
        }
        None => Ok(edit),
    }
}

/// The workbook with these changes made. `Err` tells the changes that belong to no row.
pub(crate) fn apply(reading: &Reading, edits: &[Edit]) -> Result<Reading, Vec<Finding>> {
    let mut changed = reading.clone();
    let mut cells = Vec::new();
    for edit in edits {
        match edit {
            Edit::Setting(assignment) => {
                set::apply(assignment, &mut changed.job, &mut changed.book, &mut changed.findings);
            }
            Edit::Cell(edit) => cells.push(edit.clone()),
        }
    }
    if cells.is_empty() {
        return Ok(changed);
    }
    edit::apply(&mut changed.book, &cells);
    let nameless = edit::nameless(&changed.book, &cells);
    if !nameless.is_empty() {
        return Err(nameless);
    }
    let book = std::mem::take(&mut changed.book);
    Ok(read::retype(&changed, book))
}
