//! `--set "NAME=VALUE"`: a Job setting for one run. It is written where the user would have typed it, into the Job's
//! settings and into the kept Job sheet alike, so that the bid carries it and its formulas point at it.

use crate::finding::{Finding, nearest};
use crate::input::MoreSettings;
use crate::model::columns::JOB;
use crate::model::{
    Field, Job, KeptBook, Raw, Setting, SettingKind, SettingValue, fold, parse_number, parse_percent, parse_setting,
};
use crate::subjects;
use crate::unit::Unit;
use std::fmt;

/// One setting and what it is to be; `None` leaves it to its default.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Assignment {
    pub setting: Setting,
    pub value: Option<SettingValue>,
}

/// What is wrong with a `--set`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum SetError {
    /// There is no `=` in it.
    NoValue {
        typed: String,
    },
    UnknownName {
        name: String,
        nearest: Option<&'static str>,
    },
    BadValue {
        name: &'static str,
        typed: String,
        expected: String,
    },
}

impl fmt::Display for SetError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoValue { typed } => {
                write!(f, "--set \"{typed}\" has no \"=\". Write it like --set \"Tax rate=7%\".")
            }
            Self::UnknownName { name, nearest } => {
                write!(f, "There is no setting \"{name}\".")?;
                match nearest {
                    Some(nearest) => write!(f, " Did you mean \"{nearest}\"?"),
                    None => f.write_str(" The Job sheet that `tallybore start` writes lists them all."),
                }
            }
            Self::BadValue { name, typed, expected } => {
                write!(f, "{name} cannot be \"{typed}\"; expected {expected}.")
            }
        }
    }
}

impl std::error::Error for SetError {}

/// Reads `NAME=VALUE`. The name may be any that the Job sheet knows; the value is what one would type there. An empty
/// value leaves the setting to its default.
pub(crate) fn parse(typed: &str) -> Result<Assignment, SetError> {
    let (name, value) = typed.split_once('=').ok_or_else(|| SetError::NoValue { typed: typed.to_owned() })?;
    let Some(setting) = Setting::find(name) else {
        let names = subjects::settings().flat_map(|setting| setting.names());
        let nearest =
            Setting::perhaps(name).or_else(|| nearest(name, names).and_then(Setting::find)).map(Setting::name);
        return Err(SetError::UnknownName { name: name.trim().to_owned(), nearest });
    };
    let spec = setting.spec();
    let value = read(setting, value.trim()).map_err(|expected| SetError::BadValue {
        name: spec.name,
        typed: value.trim().to_owned(),
        expected,
    })?;
    Ok(Assignment { setting, value })
}

/// The value, or what was expected.
fn read(setting: Setting, text: &str) -> Result<Option<SettingValue>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let kind = setting.spec().kind;
    match kind {
        SettingKind::Number(unit) => {
            // Temperatures and heights go below zero; nothing else does.
            let negative = matches!(unit, Unit::Fahrenheit | Unit::Feet);
            let bare = text.strip_suffix(unit.symbol()).unwrap_or(text);
            match parse_number(bare) {
                Some(number) if negative || !number.is_sign_negative() => Ok(Some(SettingValue::Number(number))),
                _ => Err(expected_number(unit, negative)),
            }
        }
        SettingKind::Percent => match parse_percent(text) {
            Some(share) if !share.is_sign_negative() => Ok(Some(SettingValue::Number(share))),
            _ => Err("a percent such as 7% or 0.07".to_owned()),
        },
        _ if setting == Setting::FittingsLoss => match parse_percent(text) {
            Some(share) if !share.is_sign_negative() => Ok(Some(SettingValue::Number(share))),
            _ => ["by fitting", "none"]
                .into_iter()
                .find(|word| fold(word) == fold(text))
                .map(|word| Some(SettingValue::Text(word.into())))
                .ok_or_else(|| "by fitting, none, or a percent of length such as 50%".to_owned()),
        },
        SettingKind::Text | SettingKind::Size | SettingKind::Date | SettingKind::Choice(_) => parse_setting(kind, text),
    }
}

fn expected_number(unit: Unit, negative: bool) -> String {
    let unit = match unit {
        Unit::Each => String::new(),
        unit if unit.symbol().is_empty() => String::new(),
        unit => format!(" in {}", unit.symbol()),
    };
    let least = if negative { "" } else { ", 0 or more" };
    format!("a number{unit}{least}")
}

/// Writes the setting into the job and its Job sheet: over the value in its row, or in a new row below all others. What
/// reading had found wrong in that cell no longer holds. Without a Job sheet there is no cell to write; reading has then
/// told that the sheet is missing.
pub(crate) fn apply(assignment: &Assignment, job: &mut Job, kept: &mut KeptBook, findings: &mut Vec<Finding>) {
    let (setting, raw) = (assignment.setting, raw(assignment.value.as_ref()));
    let Some(sheet) = kept.declared_mut(JOB.name) else { return };
    let Some(place) = sheet.put_setting(setting, raw.clone(), number_format(assignment)) else { return };
    job.more_settings = MoreSettings::below(sheet);
    findings.retain(|finding| finding.place.as_ref() != Some(&place));
    job.settings.insert(setting, Field { value: assignment.value.clone(), cell: Some(place), raw });
}

/// What a spreadsheet would hold had the value been typed.
fn raw(value: Option<&SettingValue>) -> Raw {
    match value {
        None => Raw::Blank,
        Some(SettingValue::Text(text)) => Raw::Text(text.clone()),
        Some(SettingValue::Number(number)) => Raw::Number(*number),
        Some(SettingValue::Size(size)) => Raw::Text(size.to_string().into()),
        Some(SettingValue::Date(serial)) => Raw::Date(*serial),
    }
}

fn number_format(assignment: &Assignment) -> Option<&'static str> {
    let percent = assignment.setting.spec().kind == SettingKind::Percent || assignment.setting == Setting::FittingsLoss;
    match &assignment.value {
        Some(SettingValue::Number(_)) if percent => Some(Unit::Percent.number_format()),
        Some(SettingValue::Date(_)) => Some(Unit::Date.number_format()),
        Some(SettingValue::Size(_) | SettingValue::Text(_)) => Some("@"),
        Some(SettingValue::Number(_)) | None => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Internal;
    use crate::model::{KeptCell, KeptSheet};
    use crate::place::Place;
    use rust_decimal::{Decimal, dec};

    fn text_cell(row: u32, column: u16, text: &str) -> KeptCell {
        KeptCell { row, column, raw: Raw::Text(text.into()), formula: None, format: None }
    }

    /// A Job sheet with its headings in row 3 and Value ahead of Item.
    fn book() -> KeptBook {
        let mut formula = text_cell(3, 1, "7");
        formula.raw = Raw::Number(dec!(0.07));
        formula.formula = Some("B9/100".into());
        let cells = vec![
            text_cell(0, 0, "Job"),
            text_cell(2, 1, "Value"),
            text_cell(2, 2, "Item"),
            text_cell(2, 3, "Unit"),
            formula,
            text_cell(3, 2, "sales TAX"),
            text_cell(5, 0, "a remark below"),
        ];
        let job = KeptSheet {
            name: "Job".into(),
            declared: Some(&JOB),
            heading_row: Some(2),
            column_of: [("Value", 1), ("Item", 2), ("Unit", 3)].into(),
            cells,
            ..KeptSheet::default()
        };
        KeptBook { sheets: vec![KeptSheet { name: "Notes".into(), ..KeptSheet::default() }, job] }
    }

    fn set(typed: &str, job: &mut Job, book: &mut KeptBook, findings: &mut Vec<Finding>) {
        apply(&parse(typed).unwrap(), job, book, findings);
    }

    fn at(book: &KeptBook, row: u32, column: u16) -> Option<&KeptCell> {
        book.sheets[1].cells.iter().find(|cell| (cell.row, cell.column) == (row, column))
    }

    #[test]
    fn a_row_that_is_there_gets_the_value_and_loses_its_formula() {
        let (mut job, mut book) = (Job::default(), book());
        let value_cell = Place::new("Job", 3, 1);
        let internal = || Internal { detail: "x".into() };
        let mut findings = vec![Finding::at(&value_cell, internal()), Finding::everywhere(internal())];
        set("Tax rate=6.5%", &mut job, &mut book, &mut findings);
        let cell = at(&book, 3, 1).unwrap();
        assert_eq!((&cell.raw, &cell.formula), (&Raw::Number(dec!(0.065)), &None));
        assert_eq!(cell.format.as_deref(), Some("0.00%"));
        assert_eq!(job.number(Setting::TaxRate), Some(dec!(0.065)));
        assert_eq!(job.settings[&Setting::TaxRate].cell, Some(value_cell));
        assert_eq!(findings, [Finding::everywhere(internal())]);
    }

    #[test]
    fn a_row_that_is_not_there_comes_below_all_others() {
        let (mut job, mut book) = (Job::default(), book());
        set("supply pressure=62 psi", &mut job, &mut book, &mut Vec::new());
        set("Main size=1-1/4", &mut job, &mut book, &mut Vec::new());
        assert_eq!(at(&book, 6, 2).unwrap().raw, Raw::Text("Supply pressure".into()));
        assert_eq!(at(&book, 6, 1).unwrap().raw, Raw::Number(Decimal::from(62)));
        assert_eq!(at(&book, 6, 3).unwrap().raw, Raw::Text("psi".into()));
        assert_eq!(at(&book, 7, 1).unwrap().raw, Raw::Text("1-1/4".into()));
        let places: Vec<_> = book.sheets[1].cells.iter().map(|cell| (cell.row, cell.column)).collect();
        assert!(places.is_sorted(), "{places:?}");
    }

    #[test]
    fn an_empty_value_leaves_the_default() {
        let (mut job, mut book) = (Job::default(), book());
        set("Tax rate=", &mut job, &mut book, &mut Vec::new());
        assert_eq!(at(&book, 3, 1), None);
        assert!(job.settings[&Setting::TaxRate].is_blank());
        assert_eq!(job.number(Setting::TaxRate), Some(Decimal::ZERO));
    }

    #[test]
    fn mistakes_are_told_with_what_would_do() {
        let message = |typed: &str| parse(typed).unwrap_err().to_string();
        assert!(message("Tax rate 7%").contains("--set \"Tax rate=7%\""));
        assert!(message("Tax rte=7%").contains("Did you mean \"Tax rate\"?"));
        assert!(message("zebra=1").contains("tallybore start"));
        assert!(message("Supply pressure=high").contains("expected a number in psi, 0 or more"));
        assert!(message("Crew=many").contains("expected a number, 0 or more"));
        assert!(message("Supply pressure=-5").contains("0 or more"));
        assert!(message("Code basis=ICC").contains("one of: IRC, IPC, UPC"));
        assert!(message("Main size=huge").contains("a pipe size"));
        assert!(message("Fittings loss=some").contains("by fitting, none"));
        assert!(parse("Design low=-25").is_ok());
        let half = Some(SettingValue::Number(dec!(0.5)));
        assert_eq!(parse("Fittings loss=50%").unwrap().value, half);
        assert_eq!(parse("Fittings loss=None").unwrap().value, Some(SettingValue::Text("none".into())));
    }
}
