//! Why the total moved: each change of the inputs by itself on the old job, and what they do only together.
//!
//! Here the changes are sorted out and the workbooks made in which only one of them is; what they come to is priced by
//! whoever calls.

use super::inputs::{Change, InputChange};
use crate::model::{KeptBook, Raw, Setting, columns};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// More changes than this are summed up by sheet and column.
const SINGLY: usize = 12;

/// What a difference is called that comes of choosing anew alone.
pub(crate) const CHOSEN_ANEW: &str = "Re-sizing and new supplier picks";

/// What each change does to the old total by itself.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Attribution {
    /// What choosing sizes and offers anew does before anything is changed; `None` where the old ones were chosen so.
    pub chosen_anew: Option<Decimal>,
    pub alone: Vec<Alone>,
}

/// One change, or several summed up.
#[derive(Debug, Clone, PartialEq)]
pub struct Alone {
    pub what: String,
    /// `None` when it cannot stand by itself.
    pub difference: Option<Decimal>,
    /// Lines that have no price with it, and stand at nothing.
    pub unpriced: Decimal,
}

impl Alone {
    /// What is changed; and that the difference is not all of it, where prices are missing.
    pub fn words(&self) -> String {
        match self.unpriced.is_zero() {
            true => self.what.clone(),
            false => format!("{} (lines without a price: {})", self.what, self.unpriced.normalize()),
        }
    }
}

/// A change by itself: the workbook to be priced.
pub(crate) struct Part {
    pub what: String,
    pub book: KeptBook,
    /// True when the workbook is the new one with all other changes taken back, false when it is the old one with this
    /// change made.
    pub on_new: bool,
}

/// The changes one by one; empty where there is but one.
pub(crate) fn parts(old: &KeptBook, new: &KeptBook, changes: &[InputChange]) -> Vec<Part> {
    let (single, structural): (Vec<&InputChange>, Vec<&InputChange>) =
        changes.iter().partition(|change| stands_alone(change));
    let mut groups: BTreeMap<usize, (String, Vec<&InputChange>)> = BTreeMap::new();
    for (index, change) in single.iter().enumerate() {
        let alike = |other: &&InputChange| other.group == change.group && other.group.0 != "Job";
        let first = single.iter().position(alike).filter(|_| single.len() > SINGLY).unwrap_or(index);
        let (sheet, column) = change.group;
        let entry = groups.entry(first).or_insert_with(|| (change.words(), Vec::new()));
        entry.1.push(change);
        if entry.1.len() > 1 {
            entry.0 = format!("{sheet}: {column} in {} rows", entry.1.len());
        }
    }
    if groups.len() + usize::from(!structural.is_empty()) < 2 {
        return Vec::new();
    }
    let mut parts: Vec<Part> = groups
        .into_values()
        .map(|(what, changes)| {
            let mut book = old.clone();
            changes.iter().for_each(|change| make(&mut book, new, change));
            Part { what, book, on_new: false }
        })
        .collect();
    if !structural.is_empty() {
        let mut book = new.clone();
        single.iter().for_each(|change| take_back(&mut book, old, change));
        let words: Vec<String> = structural.iter().take(4).map(|change| change.words()).collect();
        let more = structural.len().saturating_sub(4);
        let more = if more > 0 { format!("; and {more} more") } else { String::new() };
        parts.push(Part { what: format!("{}{more}", words.join("; ")), book, on_new: true });
    }
    parts
}

/// A cell that both workbooks have, or a setting. Rows that come or go hang together, and are one change.
fn stands_alone(change: &InputChange) -> bool {
    match change.change {
        Change::Value => change.old_place.is_some() && change.new_place.is_some(),
        Change::Added | Change::Dropped => change.group.0 == "Job",
        Change::Rules => false,
    }
}

/// Makes a change of the new workbook in the old one.
fn make(book: &mut KeptBook, new: &KeptBook, change: &InputChange) {
    let format = format_at(new, change.new_place.as_ref());
    match &change.old_place {
        Some(place) => put(book, place, change.new.clone(), format.as_deref()),
        None => add_setting(book, &change.what, change.new.clone(), format.as_deref()),
    }
}

/// Takes a change back in the new workbook.
fn take_back(book: &mut KeptBook, old: &KeptBook, change: &InputChange) {
    let format = format_at(old, change.old_place.as_ref());
    match &change.new_place {
        Some(place) => put(book, place, change.old.clone(), format.as_deref()),
        None => add_setting(book, &change.what, change.old.clone(), format.as_deref()),
    }
}

fn format_at(book: &KeptBook, place: Option<&crate::place::Place>) -> Option<String> {
    let place = place?;
    let sheet = book.sheets.iter().find(|sheet| sheet.name == place.sheet)?;
    sheet.cell(place.row, place.column)?.format.as_deref().map(str::to_owned)
}

fn put(book: &mut KeptBook, place: &crate::place::Place, raw: Raw, format: Option<&str>) {
    if let Some(sheet) = book.sheets.iter_mut().find(|sheet| sheet.name == place.sheet) {
        sheet.put(place.row, place.column, raw, format);
    }
}

/// A setting that the Job sheet has no row for.
fn add_setting(book: &mut KeptBook, name: &str, raw: Raw, format: Option<&str>) {
    if let (Some(sheet), Some(setting)) = (book.declared_mut(columns::JOB.name), Setting::find(name)) {
        sheet.put_setting(setting, raw, format);
    }
}
