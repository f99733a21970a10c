//! What two workbooks of one job say differently, cell by cell: rows are matched by what names them, columns by their
//! headings, so the sheets may have been sorted or moved about between the two.

use crate::input::{Column, Kind, Role, Sheet};
use crate::model::{
    KeptBook, KeptSheet, Raw, Setting, SettingKind, Size, fold, parse_feet, parse_number, parse_percent,
};
use crate::place::Place;
use crate::subjects;
use crate::unit::Unit;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Settings that speak of the paper, not of the job.
pub(crate) const OF_THE_PAPER: &[Setting] =
    &[Setting::Revision, Setting::Date, Setting::ChangeReason, Setting::ChangeDays];

/// What kind of change it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Change {
    /// A cell holds something else.
    Value,
    /// A row that the old one has not.
    Added,
    /// A row that the new one has not.
    Dropped,
    /// A sheet of the user's own rules.
    Rules,
}

/// One input that differs.
#[derive(Debug, Clone, PartialEq)]
pub struct InputChange {
    /// `Main size`, `Size of run M1`, `run M9`.
    pub what: String,
    /// What kind of difference it is.
    pub change: Change,
    /// As the cells stood; blank where there is none.
    pub old: Raw,
    /// Likewise, in the new workbook.
    pub new: Raw,
    /// Where it stands in the old workbook; `None` where it does not.
    pub old_place: Option<Place>,
    /// Where it stands in the new workbook.
    pub new_place: Option<Place>,
    /// Of both values.
    pub unit: Unit,
    /// The sheet and the column, for summing up many alike.
    pub group: (&'static str, &'static str),
}

impl InputChange {
    /// `Main size from 3/4 to 1`, `Main size: now 1`.
    pub fn words(&self) -> String {
        match self.change {
            Change::Value => match (&self.old, &self.new) {
                (Raw::Blank, new) => format!("{}: now {}", self.what, shown(new, self.unit)),
                (old, Raw::Blank) => format!("{}: no longer {}", self.what, shown(old, self.unit)),
                (old, new) => format!("{} from {} to {}", self.what, shown(old, self.unit), shown(new, self.unit)),
            },
            Change::Added => format!("{} is new", self.what),
            Change::Dropped => format!("{} is gone", self.what),
            Change::Rules => format!("{} is not the same", self.what),
        }
    }

    /// Whether it says how far the work and the buying have come, which changes nothing that was agreed.
    pub fn is_shop_matter(&self) -> bool {
        let done = |raw: &Raw| matches!(&*fold(&raw_text(raw)), "" | "new" | "installed");
        match self.group {
            (_, "Status") => done(&self.old) && done(&self.new),
            (sheet, column) => {
                Sheet::from_name(sheet).and_then(|sheet| sheet.column(column)).is_some_and(|column| column.is_progress)
            }
        }
    }

    /// The old value in words.
    pub fn old_words(&self) -> String {
        shown(&self.old, self.unit)
    }

    /// The new value in words.
    pub fn new_words(&self) -> String {
        shown(&self.new, self.unit)
    }
}

/// A value as the paper says it.
fn shown(raw: &Raw, unit: Unit) -> String {
    match (raw, unit) {
        (Raw::Blank, _) => "blank".to_owned(),
        (Raw::Number(share), Unit::Percent) => {
            let percent = share.checked_mul(rust_decimal::Decimal::ONE_HUNDRED).unwrap_or(*share);
            format!("{}%", percent.normalize())
        }
        (Raw::Number(money), Unit::Money) => format!("{money:.2}"),
        _ => raw_text(raw),
    }
}

/// A row of a declared sheet: its name in words, and its cells by heading.
struct Row<'a> {
    name: String,
    first: u32,
    cells: BTreeMap<&'static str, &'a Raw>,
}

/// All that differs, in the order of the sheets, of the new one's rows and of the headings; then what is gone.
pub fn differences(old: &KeptBook, new: &KeptBook) -> Vec<InputChange> {
    let of_sheet = |declared| of_sheet(declared, old, new);
    subjects::sheets().flat_map(of_sheet).chain(rule_sheets(old, new)).collect()
}

fn of_sheet(declared: &'static Sheet, old: &KeptBook, new: &KeptBook) -> Vec<InputChange> {
    let (before, after) = (rows(old, declared), rows(new, declared));
    let mut found = Vec::new();
    for (name, row) in ordered(&after).into_iter().filter(|(_, row)| changes_the_job(declared, row)) {
        match before.get(name) {
            Some(was) => found.extend(cells(declared, [old, new], [was, row])),
            None => found.push(InputChange {
                change: Change::Added,
                new: named_by(declared, row),
                new_place: place(new, declared, row, value_column(declared)),
                ..whole_row(declared, row)
            }),
        }
    }
    let gone = |(name, row): &(&String, &Row)| !after.contains_key(*name) && changes_the_job(declared, row);
    found.extend(ordered(&before).into_iter().filter(gone).map(|(_, row)| InputChange {
        change: Change::Dropped,
        old: named_by(declared, row),
        old_place: place(old, declared, row, value_column(declared)),
        ..whole_row(declared, row)
    }));
    found
}

/// The cells of a row that both books have, as far as they differ.
fn cells(declared: &Sheet, books: [&KeptBook; 2], rows: [&Row; 2]) -> Vec<InputChange> {
    let ([old, new], [was, row]) = (books, rows);
    let difference = |column: &&Column| {
        let [old_raw, new_raw] = rows.map(|row| row.cells.get(column.name).map_or(Raw::Blank, |raw| (*raw).clone()));
        (!alike(declared, column, row, &old_raw, &new_raw)).then(|| InputChange {
            what: match declared.name {
                "Job" => row.name.clone(),
                _ => format!("{} of {} {}", column.name, declared.noun, row.name),
            },
            change: Change::Value,
            old: old_raw,
            new: new_raw,
            old_place: place(old, declared, was, column.name),
            new_place: place(new, declared, row, column.name),
            unit: unit_of(declared, column.name, row),
            group: (declared.name, column.name),
        })
    };
    declared.columns.iter().filter(|column| is_compared(column)).filter_map(|column| difference(&column)).collect()
}

/// A row that only one of the books has; in which of them, its caller says.
fn whole_row(declared: &Sheet, row: &Row) -> InputChange {
    InputChange {
        what: if declared.name == "Job" { row.name.clone() } else { format!("{} {}", declared.noun, row.name) },
        change: Change::Value,
        old: Raw::Blank,
        new: Raw::Blank,
        old_place: None,
        new_place: None,
        unit: unit_of(declared, value_column(declared), row),
        group: (declared.name, "rows"),
    }
}

fn place(book: &KeptBook, declared: &Sheet, row: &Row, column: &str) -> Option<Place> {
    let kept = book.declared(declared.name)?;
    Some(kept.place(row.first, *kept.column_of.get(column)?))
}

/// What a row that is added or gone says of itself.
fn named_by(declared: &Sheet, row: &Row) -> Raw {
    row.cells.get(value_column(declared)).map_or(Raw::Blank, |raw| (*raw).clone())
}

/// A setting is its value; any other row is named by its first column.
fn value_column(declared: &Sheet) -> &'static str {
    if declared.name == "Job" { "Value" } else { declared.name_column().map_or("", |column| column.name) }
}

/// False for settings that change nothing but the paper, and for rows of Job that are none.
fn changes_the_job(declared: &Sheet, row: &Row) -> bool {
    declared.name != "Job" || Setting::find(&row.name).is_some_and(|setting| !OF_THE_PAPER.contains(&setting))
}

/// What names a row is the same in both; words for the reader decide nothing.
fn is_compared(column: &Column) -> bool {
    !column.is_name && column.role != Role::Free
}

fn ordered<'a, 'b>(rows: &'b BTreeMap<String, Row<'a>>) -> Vec<(&'b String, &'b Row<'a>)> {
    let mut list: Vec<_> = rows.iter().collect();
    list.sort_by_key(|(_, row)| row.first);
    list
}

/// The rows of a declared sheet by what names them; of several alike, the second is the second of both workbooks.
fn rows<'a>(book: &'a KeptBook, declared: &'static Sheet) -> BTreeMap<String, Row<'a>> {
    let mut found = BTreeMap::new();
    let Some(sheet) = book.declared(declared.name) else { return found };
    let Some(headings) = sheet.heading_row else { return found };
    let Some(first_key) = declared.name_column().map(|column| column.name) else { return found };
    let keys: Vec<&Column> = declared.columns.iter().filter(|column| column.is_key).collect();
    for (row, kept) in sheet.rows().filter(|(row, _)| *row > headings) {
        let mut cells: BTreeMap<&'static str, &Raw> = BTreeMap::new();
        for column in declared.columns {
            let at = sheet.column_of.get(column.name);
            if let Some(cell) = kept.iter().find(|cell| Some(&cell.column) == at) {
                cells.insert(column.name, &cell.raw);
            }
        }
        let Some(name) = cells.get(first_key).map(|raw| raw_text(raw)).filter(|name| !name.is_empty()) else {
            continue;
        };
        if fold(&name) == fold(first_key) {
            continue;
        }
        let text = |key: &&Column| cells.get(key.name).map(|raw| raw_text(raw)).unwrap_or_default();
        let name = match declared.name {
            "Job" => Setting::find(&name).map_or(name, |setting| setting.name().to_owned()),
            "Terms" => name.chars().take(40).collect(),
            _ => keys.iter().map(text).filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" "),
        };
        let mut key = match declared.name {
            "Job" => name.clone(),
            _ => keys.iter().map(|key| normal(key.kind, &Raw::Text(text(key).into()))).collect::<Vec<_>>().join("|"),
        };
        if found.contains_key(&key) {
            // Of two settings of one name only the first is read.
            if declared.name == "Job" {
                continue;
            }
            let again = (2..).map(|count| format!("{key}|{count}")).find(|key| !found.contains_key(key));
            key = again.unwrap_or(key);
        }
        found.insert(key, Row { name, first: row, cells });
    }
    found
}

/// What the rows of a sheet are called, and their rows (from 0).
pub(super) fn named_rows(book: &KeptBook, declared: &'static Sheet) -> Vec<(String, u32)> {
    let rows = rows(book, declared);
    ordered(&rows).into_iter().map(|(_, row)| (row.name.clone(), row.first)).collect()
}

/// True when two cells say the same, however they are written.
fn alike(declared: &Sheet, column: &Column, row: &Row, old: &Raw, new: &Raw) -> bool {
    if declared.name != "Job" {
        return normal(column.kind, old) == normal(column.kind, new);
    }
    let kind = Setting::find(&row.name).map(|setting| setting.spec().kind);
    let kind = match kind {
        Some(SettingKind::Number(_)) => Kind::Number,
        Some(SettingKind::Size) => Kind::Size,
        Some(SettingKind::Date) => Kind::Date,
        Some(SettingKind::Choice(list)) => Kind::Choice(list),
        Some(SettingKind::Percent) => {
            let share = |raw: &Raw| match raw {
                Raw::Text(text) => parse_percent(text).map(|share| share.normalize().to_string()),
                Raw::Number(share) => Some(share.normalize().to_string()),
                _ => None,
            };
            return match (share(old), share(new)) {
                (Some(a), Some(b)) => a == b,
                _ => normal(Kind::Text, old) == normal(Kind::Text, new),
            };
        }
        Some(SettingKind::Text) | None => Kind::Text,
    };
    normal(kind, old) == normal(kind, new)
}

/// A cell as it counts: 3/4 and 3/4" are one size, 12'6" and 12.5 one length, New and new one word.
fn normal(kind: Kind, raw: &Raw) -> String {
    let text = raw_text(raw);
    let number = |number: Option<rust_decimal::Decimal>| number.map(|n| n.normalize().to_string());
    let meant = match kind {
        Kind::Number | Kind::Positive | Kind::Price | Kind::Amount => number(parse_number(&text)),
        Kind::Share => number(parse_percent(&text)),
        Kind::Length => number(parse_feet(&text)),
        Kind::Size | Kind::Sizes => {
            let sizes: Option<Vec<String>> =
                text.split(['x', 'X', '×']).map(|size| Size::parse(size).map(Size::key)).collect();
            sizes.map(|sizes| sizes.join(" x "))
        }
        Kind::Choice(_) => Some(fold(&text)),
        Kind::Text | Kind::Date => None,
    };
    meant.unwrap_or_else(|| text.trim().to_lowercase())
}

fn unit_of(declared: &Sheet, column: &str, row: &Row) -> Unit {
    if declared.name == "Job" {
        return match Setting::find(&row.name).map(|setting| setting.spec().kind) {
            Some(SettingKind::Percent) => Unit::Percent,
            Some(SettingKind::Date) => Unit::Date,
            Some(SettingKind::Number(Unit::Money)) => Unit::Money,
            _ => Unit::None,
        };
    }
    match declared.column(column).map(|column| column.kind) {
        Some(Kind::Price) => Unit::Money,
        Some(Kind::Date) => Unit::Date,
        _ => Unit::None,
    }
}

/// Sheets of the user's own rules that are not the same.
fn rule_sheets(old: &KeptBook, new: &KeptBook) -> Vec<InputChange> {
    let of = |book: &KeptBook| -> BTreeMap<String, Vec<String>> {
        let is = |sheet: &&KeptSheet| sheet.declared.is_none() && subjects::rule_sheet_named(&sheet.name).is_some();
        let words = |sheet: &KeptSheet| {
            let row = |(_, cells): (u32, &[crate::model::KeptCell])| {
                cells.iter().map(|cell| raw_text(&cell.raw)).collect::<Vec<_>>().join("|")
            };
            sheet.rows().map(row).collect()
        };
        book.sheets.iter().filter(is).map(|sheet| (sheet.name.to_string(), words(sheet))).collect()
    };
    let (old, new) = (of(old), of(new));
    let names: BTreeSet<&String> = old.keys().chain(new.keys()).collect();
    let rows = |words: Option<&Vec<String>>| match words {
        Some(words) => Raw::Text(format!("{} rows", words.len()).into()),
        None => Raw::Blank,
    };
    let change = |name: &String| InputChange {
        what: format!("your rules on the sheet {name}"),
        change: Change::Rules,
        old: rows(old.get(name)),
        new: rows(new.get(name)),
        old_place: None,
        new_place: None,
        unit: Unit::None,
        group: ("Rules", "rows"),
    };
    names.into_iter().filter(|name| old.get(*name) != new.get(*name)).map(change).collect()
}

/// A cell as words.
pub(crate) fn raw_text(raw: &Raw) -> String {
    match raw {
        Raw::Blank => String::new(),
        Raw::Number(number) => number.normalize().to_string(),
        Raw::Text(text) | Raw::Fault(text) => text.trim().to_owned(),
        Raw::Date(days) => crate::model::date_text(*days),
        Raw::Flag(flag) => if *flag { "TRUE" } else { "FALSE" }.to_owned(),
    }
}
