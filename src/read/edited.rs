//! What somebody typed over a bid's own rule figures and defaults: it is read back as a row of the user's own, so that the
//! next bid, and every one after it, goes by it as the edited one did.

use super::carried_sheets::{KeptCell, KeptSheet};
use super::overrides;
use super::workbook::page_of;
use crate::finding::{Finding, Sink};
use crate::input::LaborTask;
use crate::input::cell::plain_text;
use crate::model::columns::JOB;
use crate::model::{AsWritten, BY_FORMULA, Raw, Setting, Size, fold, parse_number};
use crate::read::findings::kept::EditReadBack;
use crate::rules;
use crate::sheets::Page;
use crate::sheets::ReadBack;
use crate::subjects;
use rust_decimal::Decimal;
use std::sync::Arc;

/// The one of the user's sheets that takes rule figures and is no sheet of rules.
const LABOR: &str = LaborTask::SHEET.name;

/// One edit.
#[derive(Debug)]
pub(super) enum Edit {
    /// A value typed on the Defaults sheet.
    Setting(SettingEdit),
    /// A row of rule figures: what it was, what of it has changed (by its place among the figures), and what it is.
    Row { row: AsWritten, changed: Vec<usize>, now: Vec<Decimal> },
}

#[derive(Debug)]
pub(super) struct SettingEdit {
    setting: Setting,
    raw: Raw,
    format: Option<Arc<str>>,
    was: String,
}

/// What differs from what was written.
pub(super) fn find(sheets: &[KeptSheet]) -> Vec<Edit> {
    let mut edits = Vec::new();
    for sheet in sheets {
        let Some(page) = page_of(&sheet.name).filter(|page| page.read_back() == ReadBack::Edits) else { continue };
        for (_, cells) in sheet.rows() {
            edits.extend(if page == Page::Rules { of_rules(cells) } else { of_defaults(cells) });
        }
    }
    edits
}

fn of_rules(cells: &[KeptCell]) -> Option<Edit> {
    let row = cells.iter().rev().find_map(|cell| match &cell.raw {
        Raw::Text(text) => AsWritten::parse(text),
        _ => None,
    })?;
    let at = |column: u16| cells.iter().find(|cell| cell.column == column);
    let mut now = Vec::with_capacity(row.figures.len());
    for figure in &row.figures {
        now.push(match at(figure.column).map(|cell| &cell.raw) {
            Some(Raw::Number(number)) => *number,
            Some(Raw::Text(text)) => parse_number(text).unwrap_or(figure.was),
            // A cell that is cleared counts as nothing in the formulas.
            None | Some(Raw::Blank) => Decimal::ZERO,
            _ => figure.was,
        });
    }
    let changed: Vec<usize> = (0..now.len()).filter(|at| now[*at] != row.figures[*at].was).collect();
    (!changed.is_empty()).then_some(Edit::Row { row, changed, now })
}

fn of_defaults(cells: &[KeptCell]) -> Option<Edit> {
    let at = |column: u16| cells.iter().find(|cell| cell.column == column);
    let text = |column: u16| at(column).map(|cell| plain_text(&cell.raw).trim().to_owned()).unwrap_or_default();
    let setting = Setting::find(&text(0))?;
    // What it means, in sentences, and beside it what was written. Bids of earlier versions have units before these.
    let meaning = if text(2).contains('.') { 2 } else { 3 };
    let (value, was) = (at(1)?, text(meaning + 1));
    let same = match (was == BY_FORMULA, &value.raw) {
        (true, _) => value.formula.is_some(),
        (false, Raw::Number(number) | Raw::Date(number)) => parse_number(&was) == Some(*number),
        (false, _) => text(1) == was,
    };
    // A row that was put in by hand has nothing written beside it, and says nothing.
    if same || was.is_empty() && !cells.iter().any(|cell| cell.column == meaning) || value.raw == Raw::Blank {
        return None;
    }
    // Of a formula, what stood where the job said nothing.
    let was = if was == BY_FORMULA { text(meaning + 2) } else { was };
    Some(Edit::Setting(SettingEdit { setting, raw: value.raw.clone(), format: value.format.clone(), was }))
}

/// Adds the sheets that the edits need and the workbook has not, with their headings.
pub(super) fn make_room(sheets: &mut Vec<KeptSheet>, edits: &[Edit]) {
    for edit in edits {
        let Edit::Row { row, .. } = edit else { continue };
        if find_sheet(sheets, &row.sheet).is_some() {
            continue;
        }
        let name: Arc<str> = row.sheet.as_str().into();
        let mut sheet = KeptSheet { shown: name.clone(), name, ..KeptSheet::default() };
        let headings = row.keys.iter().map(|(heading, _)| heading).chain(row.figures.iter().map(|f| &f.heading));
        for (column, heading) in (0u16..).zip(headings) {
            sheet.put(0, column, Raw::Text(rules::heading(heading).into()), None);
        }
        sheets.push(sheet);
    }
}

fn find_sheet(sheets: &[KeptSheet], name: &str) -> Option<usize> {
    let is_meant = |sheet: &KeptSheet| match name == LABOR {
        true => sheet.declared.map_or_else(|| fold(&sheet.name) == fold(LABOR), |declared| declared.name == LABOR),
        false => fold(&sheet.name) == fold(name),
    };
    sheets.iter().position(is_meant)
}

/// Puts the edits into the user's sheets, whose headings are known by now, and tells each.
pub(super) fn put(sheets: &mut [KeptSheet], edits: Vec<Edit>, sink: &mut Sink) {
    for edit in edits {
        match edit {
            Edit::Setting(edit) => {
                let job = sheets.iter_mut().find(|s| s.declared.is_some_and(|d| d.name == JOB.name));
                job.and_then(|sheet| put_setting(sheet, edit, sink));
            }
            Edit::Row { row, changed, now } => {
                if let Some(at) = find_sheet(sheets, &row.sheet) {
                    put_row(&mut sheets[at], &row, &changed, &now, sink);
                }
            }
        }
    }
}

fn put_setting(sheet: &mut KeptSheet, edit: SettingEdit, sink: &mut Sink) -> Option<()> {
    let SettingEdit { setting, raw, format, was } = edit;
    let now = plain_text(&raw).to_string();
    let place = sheet.put_setting(setting, raw, format.as_deref())?;
    let facts = EditReadBack { what: setting.name().to_owned(), from: Page::Defaults.name(), was, now };
    sink.push(Finding::at(&place, facts));
    Some(())
}

fn put_row(sheet: &mut KeptSheet, row: &AsWritten, changed: &[usize], now: &[Decimal], sink: &mut Sink) {
    let Some(headings) = sheet.heading_row.or_else(|| overrides::heading_row(sheet)) else { return };
    let mut column_of = |heading: &str| -> u16 {
        let there = column(sheet, &row.sheet, headings, heading);
        there.unwrap_or_else(|| {
            let last = sheet.cells.iter().filter(|cell| cell.row == headings).map(|cell| cell.column).max();
            let next = last.map_or(0, |last| last + 1);
            sheet.put(headings, next, Raw::Text(rules::heading(heading).into()), None);
            next
        })
    };
    let keys: Vec<(u16, &str)> = row.keys.iter().map(|(heading, words)| (column_of(heading), &**words)).collect();
    let figures: Vec<u16> = row.figures.iter().map(|figure| column_of(&figure.heading)).collect();
    let there = sheet.rows().map(|(at, _)| at).filter(|at| *at > headings).find(|at| is_row(sheet, *at, row, &keys));
    let at = there.unwrap_or_else(|| {
        let at = sheet.next_row();
        for (column, words) in keys.iter().filter(|(_, words)| !words.is_empty()) {
            sheet.put(at, *column, Raw::Text((*words).into()), Some("@"));
        }
        at
    });
    for (index, (figure, column)) in row.figures.iter().zip(&figures).enumerate() {
        let Some(number) = now.get(index).and_then(|now| now.checked_mul(figure.times)) else { continue };
        if there.is_none() || changed.contains(&index) {
            sheet.put(at, *column, Raw::Number(number.normalize()), None);
        }
        if changed.contains(&index) {
            let words: Vec<&str> =
                row.keys.iter().map(|(_, words)| &**words).filter(|words| !words.is_empty()).collect();
            let what = format!("{}, {}", words.join(", "), figure.heading.replace('_', " ").to_lowercase());
            let was = (figure.was.checked_mul(figure.times)).unwrap_or(figure.was).normalize().to_string();
            let facts = EditReadBack { what, from: Page::Rules.name(), was, now: number.normalize().to_string() };
            sink.push(Finding::at(&sheet.place(at, *column), facts));
        }
    }
}

/// Where a heading stands in the user's sheet, under whatever name.
fn column(sheet: &KeptSheet, of: &str, headings: u32, heading: &str) -> Option<u16> {
    if sheet.declared.is_some() {
        return sheet.column_of.get(heading).copied();
    }
    let names = subjects::names_of_column(of, heading);
    let bears = |cell: &&KeptCell| {
        let text = fold(&plain_text(&cell.raw));
        names.iter().any(|name| fold(name) == text)
    };
    sheet.cells.iter().filter(|cell| cell.row == headings).find(bears).map(|cell| cell.column)
}

/// Whether a row of the user's is the one these words name. In a sheet of rules a blank speaks for all.
fn is_row(sheet: &KeptSheet, at: u32, row: &AsWritten, keys: &[(u16, &str)]) -> bool {
    let labor = row.sheet == LABOR;
    let same = |(column, words): &(u16, &str)| {
        let text = sheet.cell(at, *column).map(|cell| plain_text(&cell.raw).trim().to_owned()).unwrap_or_default();
        let blank = text.is_empty() || fold(&text) == "any";
        let number = |text: &str| parse_number(text).map(|number| number.normalize());
        let size = || Size::parse(&text).is_some_and(|size| Some(size) == Size::parse(words));
        match blank {
            true => !labor,
            false => fold(&text) == fold(words) || number(&text).is_some() && number(&text) == number(words) || size(),
        }
    };
    let keys = if labor { &keys[..1.min(keys.len())] } else { keys };
    let has_key = keys.iter().any(|(column, _)| sheet.cell(at, *column).is_some());
    has_key && keys.iter().all(same)
}
