//! Names of sheets: as the bid can write them, so that what is read under a name is found under it there. Blanks before and
//! behind a name are seen by nobody, and no program we write for takes other signs or longer names.

use crate::folding::shortened;
use crate::model::KeptSheet;
use crate::place::quote_sheet;
use std::collections::BTreeSet;
use std::sync::Arc;

/// Characters a sheet's name may have.
const LONGEST: usize = 31;

/// The name a sheet goes by: its own, unless that cannot be written. Two that come to the same differ in the points at
/// their ends, which no comparison of names sees.
pub(super) fn writable(name: &str, taken: &mut BTreeSet<String>) -> Arc<str> {
    let plain: String = name.chars().map(|c| if "[]:*?/\\".contains(c) || c.is_control() { ' ' } else { c }).collect();
    let plain = plain.trim_matches(|c: char| c == '\'' || c.is_whitespace());
    let plain = if plain.is_empty() { "Sheet" } else { plain };
    let mut points = String::new();
    loop {
        let name = format!("{}{points}", shortened(plain, LONGEST - points.len().min(LONGEST)).trim_end());
        if taken.insert(name.to_lowercase()) || points.len() >= LONGEST {
            return name.into();
        }
        points.push('.');
    }
}

/// Formulas that name a sheet as the file has it name it as the bid will. `renamed`: old and new.
pub(super) fn follow(sheets: &mut [KeptSheet], renamed: &[(String, Arc<str>)]) {
    let old_and_new: Vec<(String, String)> = renamed
        .iter()
        .map(|(old, new)| (format!("'{}'!", old.replace('\'', "''")), format!("{}!", quote_sheet(new))))
        .collect();
    let formulas = sheets.iter_mut().flat_map(|sheet| &mut sheet.cells).filter_map(|cell| cell.formula.as_mut());
    for formula in formulas {
        for (old, new) in &old_and_new {
            if formula.contains(old.as_str()) {
                *formula = formula.replace(old.as_str(), new).into();
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_as_they_can_be_written() {
        let mut taken = BTreeSet::new();
        let mut name = |text: &str| writable(text, &mut taken).to_string();
        assert_eq!(name("Prices"), "Prices");
        assert_eq!(name("\u{a0}Runs \t"), "Runs");
        assert_eq!(name("prices "), "prices.");
        assert_eq!(name("'Job'"), "Job");
        assert_eq!(name("Other: costs"), "Other  costs");
        assert_eq!(name(" \n"), "Sheet");
        assert_eq!(name(&"x".repeat(40)).len(), 31);
        assert_eq!(name(&"X".repeat(50)).len(), 31);
    }
}
