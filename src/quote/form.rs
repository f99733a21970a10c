//! One filled order -> what the supplier answered, line by line; and what cannot be read, each with its cell.

use super::answer::{self, Answer};
use super::cells::{Sheet, number, text};
use crate::finding::{Finding, excerpt};
use crate::model::order_form::{self as form, LineKey};
use crate::model::{KeptCell, KeptSheet, Phase, Raw, fold, parse_date};
use crate::order::plain;
use crate::place::Place;
use crate::quote::findings::{FormNotRead, QuoteNotRead, QuoteWithoutLine};
use crate::read::FilledFile;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A filled order, read.
#[derive(Debug, Clone)]
pub(crate) struct Form {
    pub file: Arc<str>,
    /// Which of the files it is.
    pub at: usize,
    /// Whom the order was written for; `None` for any supplier.
    pub asked: Option<String>,
    /// Who answers: the name at the head, which somebody may have put another in place of.
    pub supplier: Option<String>,
    pub number: Option<String>,
    pub job: Option<String>,
    pub revision: Option<String>,
    pub phases: Vec<Phase>,
    pub quoted_by: String,
    /// Days since 1899-12-30.
    pub dated: Option<Decimal>,
    pub valid_until: Option<(Decimal, Place)>,
    /// For the whole order.
    pub charge: Option<Decimal>,
    /// In the order of the sheet; keys may repeat.
    pub lines: Vec<FormLine>,
    /// Where the file as a whole is spoken of.
    pub place: Place,
}

/// A line of it.
#[derive(Debug, Clone)]
pub(crate) struct FormLine {
    pub key: LineKey,
    pub place: Place,
    /// As it stands there now.
    pub quantity: Option<Decimal>,
    pub answer: Answer,
}

/// Reads a file; `None` where it is none of ours, which a finding says.
pub(crate) fn read(at: usize, file: &FilledFile, findings: &mut Vec<Finding>) -> Option<Form> {
    let not_read = |reason: &str| Finding::everywhere(FormNotRead { reason: reason.to_owned() });
    if let Some(version) = file.properties.get(form::PROPERTY).filter(|version| *version != form::VERSION) {
        let version = excerpt(version);
        findings.push(not_read(&format!("its form is version {version}, and version {} is read here", form::VERSION)));
        return None;
    }
    let Some(sheet) = find(&file.sheets) else {
        findings.push(not_read("no row bears the headings of its lines"));
        return None;
    };
    for heading in [form::LINE, form::PRICE] {
        if !sheet.columns.contains_key(heading) {
            findings.push(Finding::at(
                &sheet.sheet.place(sheet.headings, 0),
                FormNotRead { reason: format!("its column {heading} is missing") },
            ));
            return None;
        }
    }
    Some(Form { at, ..read_sheet(file, &sheet, findings) })
}

/// The sheet with the headings: the one that bears the form's name, else any.
fn find(sheets: &[KeptSheet]) -> Option<Sheet<'_>> {
    let named = sheets.iter().filter(|sheet| &*sheet.name == form::SHEET);
    let others = sheets.iter().filter(|sheet| &*sheet.name != form::SHEET);
    named.chain(others).find_map(|sheet| {
        let (headings, columns) =
            sheet.rows().map(|(row, cells)| (row, headings(cells))).max_by_key(|(row, columns)| {
                // Of equal rows the first.
                (columns.len(), std::cmp::Reverse(*row))
            })?;
        // Notes that happen to hold a word of ours are no headings.
        (columns.len() >= 4).then_some(Sheet { sheet, headings, columns })
    })
}

fn headings(cells: &[KeptCell]) -> BTreeMap<&'static str, u16> {
    let mut columns = BTreeMap::new();
    let ours = form::COLUMNS.iter().map(|column| column.heading).chain([form::ORDER_NUMBER, form::SUPPLIER]);
    let ours: Vec<&'static str> = ours.collect();
    for cell in cells {
        let Raw::Text(words) = &cell.raw else { continue };
        if let Some(heading) = ours.iter().find(|heading| fold(heading) == fold(words)) {
            columns.entry(*heading).or_insert(cell.column);
        }
    }
    columns
}

fn read_sheet(file: &FilledFile, sheet: &Sheet, findings: &mut Vec<Finding>) -> Form {
    let head = Head { sheet, file };
    let property = |name: &str| file.properties.get(name).map(|value| plain(value)).filter(|value| !value.is_empty());
    let named = |name: Option<String>| name.filter(|name| fold(name) != fold(form::ANY_SUPPLIER));
    let is_ours = file.properties.contains_key(form::PROPERTY);
    // A workbook that lost its properties, or a CSV, still says at its head what it is.
    let entry = |label: &str| head.text(label).filter(|text| !text.is_empty());
    let asked = if is_ours { property(form::SUPPLIER_PROPERTY) } else { named(entry(form::SUPPLIER)) };
    let revision = entry(form::BID).and_then(|bid| bid.rsplit_once("revision ").map(|(_, revision)| plain(revision)));
    let phases = property(form::PHASES_PROPERTY).or_else(|| entry(form::PHASES)).unwrap_or_default();
    let phases = phases.split(',').filter_map(|phase| Phase::from_name(phase.trim())).collect();
    let mut read = Form {
        file: file.file.clone(),
        at: 0,
        supplier: named(entry(form::SUPPLIER)).or_else(|| asked.clone()),
        asked,
        number: property(form::NUMBER_PROPERTY).or_else(|| entry(form::ORDER_NUMBER)),
        job: property(form::JOB_PROPERTY).or_else(|| entry(form::JOB)),
        revision: property(form::REVISION_PROPERTY).or(revision),
        phases,
        quoted_by: entry(form::QUOTED_BY).unwrap_or_default(),
        dated: head.date(form::QUOTED_ON, findings).map(|(date, _)| date),
        valid_until: head.date(form::VALID_UNTIL, findings),
        charge: head.money(form::CHARGE, findings),
        lines: Vec::new(),
        place: sheet.sheet.place(sheet.headings, 0),
    };
    for (row, _) in sheet.sheet.rows().filter(|(row, _)| *row > sheet.headings) {
        let written = sheet.text(row, form::LINE);
        if fold(&written) == fold(form::LINE) {
            // The headings once more, as on each page of a list. Groups and totals have no key: a form that was sorted
            // has them anywhere among the lines.
            continue;
        }
        let Some(key) = LineKey::parse(&written) else {
            let answered = form::COLUMNS.iter().filter(|column| column.filled);
            if answered.into_iter().any(|column| !sheet.text(row, column.heading).is_empty()) {
                let found = excerpt(&written);
                findings.push(Finding::at(&sheet.place(row, form::LINE), QuoteWithoutLine { found }));
            }
            continue;
        };
        let quantity = sheet.cell(row, form::QUANTITY).and_then(|cell| number(&cell.raw));
        let answer = answer::read(sheet, row, &key, quantity, findings);
        read.lines.push(FormLine { key, place: sheet.place(row, form::PRICE), quantity, answer });
    }
    read
}

/// Labels and values above the lines; in a CSV, columns of the first line.
struct Head<'a> {
    sheet: &'a Sheet<'a>,
    file: &'a FilledFile,
}

impl Head<'_> {
    fn cell(&self, label: &str) -> Option<(&KeptCell, Place)> {
        let kept = self.sheet.sheet;
        if self.file.is_csv {
            let column = *self.sheet.columns.get(label)?;
            let cell = kept.cells.iter().find(|cell| cell.row > self.sheet.headings && cell.column == column)?;
            return Some((cell, kept.place(cell.row, cell.column)));
        }
        let mut above = kept.cells.iter().filter(|cell| cell.row < self.sheet.headings);
        let of = above.find(|cell| fold(&text(&cell.raw)) == fold(label))?;
        // The value stands beside its label, wherever columns have been put in between.
        let value = kept.cells.iter().find(|cell| cell.row == of.row && cell.column > of.column)?;
        Some((value, kept.place(value.row, value.column)))
    }

    fn text(&self, label: &str) -> Option<String> {
        self.cell(label).map(|(cell, _)| text(&cell.raw))
    }

    fn date(&self, label: &'static str, findings: &mut Vec<Finding>) -> Option<(Decimal, Place)> {
        let (cell, place) = self.cell(label)?;
        let date = match &cell.raw {
            Raw::Date(serial) | Raw::Number(serial) => {
                // A number in the years of today is a date that lost its format.
                Some(serial.floor()).filter(|days| (Decimal::from(36_526)..Decimal::from(73_050)).contains(days))
            }
            Raw::Text(text) => parse_date(text).or_else(|| month_first(text)),
            _ => None,
        };
        if date.is_none() && !text(&cell.raw).is_empty() {
            let found = excerpt(&text(&cell.raw));
            let reason = "it is no date such as 2026-05-30 or 5/30/2026".to_owned();
            findings.push(Finding::at(&place, QuoteNotRead { column: label, found, reason }));
        }
        date.map(|date| (date, place))
    }

    fn money(&self, label: &'static str, findings: &mut Vec<Finding>) -> Option<Decimal> {
        let (cell, place) = self.cell(label)?;
        answer::money(cell, &place, label, "order", findings).filter(|money| *money >= Decimal::ZERO)
    }
}

/// `5/30/2026`, as dates are written at a counter here.
fn month_first(text: &str) -> Option<Decimal> {
    let mut parts = text.trim().splitn(3, '/').map(|part| part.trim().parse::<u32>().ok());
    let (month, day, year) = (parts.next()??, parts.next()??, parts.next()??);
    let year = if year < 100 { 2000 + year } else { year };
    parse_date(&format!("{year:04}-{month:02}-{day:02}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::date_text;

    #[test]
    fn dates_of_a_counter_are_read_month_first() {
        let read = |text: &str| month_first(text).map(date_text);
        assert_eq!(read("5/30/2026").as_deref(), Some("2026-05-30"));
        assert_eq!(read(" 12/01/26 ").as_deref(), Some("2026-12-01"));
        for text in ["30/5/2026", "Friday", "5/30", "5/30/20266"] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
