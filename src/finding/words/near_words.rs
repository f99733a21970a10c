//! The words for rows of Prices, On hand and Labor that are nearly right.

use super::{Words, hint, listed, words};
use crate::finding::Code;
use crate::finding::Severity::{Mend, Note};

/// `None` for a finding of another subject.
pub(super) fn of(code: &Code) -> Option<Words> {
    Some(match code {
        Code::MaterialNotKnown { kind, found, nearest } => words(
            Mend,
            "material-not-known",
            format!("There is no pipe material \"{found}\". Did you mean \"{nearest}\"?"),
            format!("Correct Material; until then this {kind} is not used."),
        ),
        Code::MaterialsNotUsed { materials } => words(
            Note,
            "materials-not-used",
            format!("No pipe here is of these materials: {}.", listed(materials)),
            "Their rows are carried along and are in no total.",
        ),
        Code::StockNotUsed { kind, nearest } => {
            let near = &nearest.is_some();
            words(
                if *near { Mend } else { Note },
                "stock-not-used",
                format!("The job needs no \"{kind}\".{}", hint(nearest.as_deref())),
                "Write the kind as the Take-off sheet names it; as it stands, what is on hand is not used.",
            )
        }
        Code::UnitNotKnown { found, nearest } => words(
            Mend,
            "unit-not-known",
            format!("Unit holds \"{found}\", which is no unit the program knows.{}", hint(nearest.as_deref())),
            "Write each, ft, stick, coil, bag or box.",
        ),
        Code::StockUnit { found, quantity, counted_in } => words(
            Mend,
            "stock-unit",
            format!("On hand is counted in {counted_in}: {quantity} {found} is taken as {quantity} {counted_in}."),
            format!(
                "Enter how many {} there are, with Unit {counted_in}.",
                if *counted_in == "ft" { "feet" } else { "pieces" }
            ),
        ),
        Code::LaborUnit { found, task, counted_in } => words(
            Mend,
            "labor-unit",
            format!("The task \"{task}\" is counted by {counted_in}; these hours are per {found}."),
            format!("Enter the hours for one {counted_in}, with Unit {counted_in}."),
        ),
        Code::SupplierNearly { found, nearest, rows } => words(
            Mend,
            "supplier-nearly",
            format!(
                "Suppliers has no \"{found}\", named in {rows} {} of Prices. Did you mean \"{nearest}\"?",
                if *rows == 1 { "row" } else { "rows" }
            ),
            "Write the name alike in both sheets, or list this supplier in Suppliers too.",
        ),
        _ => return None,
    })
}
