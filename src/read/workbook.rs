//! The only file that sees the spreadsheet parser: a guarded file -> sheets of cells.

use super::carried_sheets::{KeptCell, KeptSheet};
use super::catch_panic::without_report;
use super::extent::Marks;
use super::guard::{Format, Guarded};
use super::merges;
use super::names;
use super::spacing::without_spacing;
use crate::finding::{Finding, Sink, excerpt};
use crate::model::{BID_PROPERTY, Raw, parse_date};
use crate::read::findings::file::{DamagedFile, OversizeFile, PasswordProtected};
use crate::read::findings::kept::LongText;
use crate::sheets::{Page, ReadBack};
use calamine::{Data, DataRef, ExcelDateTime, Ods, Reader, Sheet, SheetType, SheetVisible, Style, Xlsx};
use rust_decimal::Decimal;
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::io::Cursor;
use std::sync::Arc;

/// Characters a cell can hold in the programs we write for; and in all cells together.
const CELL_TEXT: usize = 32_767;
const ALL_TEXT: usize = 64_000_000;
/// Days between the two counts of dates that .xlsx knows.
const FROM_1904: u32 = 1_462;

/// What of a bid is read beside the user's sheets.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Pages {
    /// The pages that hold choices, history or figures that can be typed over.
    ReadBack,
    /// None: for who asks only whose bid it is.
    None,
}

/// A parsed workbook.
pub(super) struct Loaded {
    pub is_bid: bool,
    /// Document properties that whoever made it has added.
    pub properties: BTreeMap<String, String>,
    /// The sheets that could be read; of a bid, the pages among them that were asked for.
    pub sheets: Vec<KeptSheet>,
    /// Sheets that could not, with the reason.
    pub unreadable: Vec<(Arc<str>, String)>,
}

/// Parses a guarded file.
pub(super) fn load(guarded: &Guarded, pages: Pages, sink: &mut Sink) -> Result<Loaded, Box<Finding>> {
    let bytes = match guarded.format {
        Format::Xlsx => Cow::Borrowed(&guarded.bytes[..]),
        Format::Ods => without_spacing(&guarded.bytes),
    };
    let input = Cursor::new(&bytes[..]);
    let loaded = without_report(|| match guarded.format {
        Format::Xlsx => {
            let book = Xlsx::new(input).map_err(|e| damaged(&e));
            book.and_then(|book| XlsxBook::new(book).load(pages, &guarded.marks, sink))
        }
        Format::Ods => match Ods::new(input) {
            Err(calamine::OdsError::Password) => Err(PasswordProtected {}.into()),
            Err(calamine::OdsError::Mismatch { .. }) => {
                Err(DamagedFile { detail: "its tables hold something between the cells".to_owned() }.into())
            }
            Err(error) => Err(damaged(&error)),
            Ok(book) => load_ods(book, pages, &guarded.marks, sink),
        },
    });
    let loaded =
        loaded.unwrap_or_else(|| Err(DamagedFile { detail: "its parts contradict each other".into() }.into()))?;
    if loaded.sheets.is_empty() && loaded.unreadable.is_empty() && !loaded.is_bid {
        return Err(DamagedFile { detail: "the part that holds its sheets is missing".into() }.into());
    }
    Ok(loaded)
}

fn damaged(error: &impl std::fmt::Display) -> Box<Finding> {
    DamagedFile { detail: excerpt(&error.to_string()) }.into()
}

/// The page of ours that a sheet is, by its exact name.
pub(super) fn page_of(name: &str) -> Option<Page> {
    Page::from_name(name).filter(|page| page.name() == name)
}

/// True when the sheet of a bid is one that the bid makes anew and that tells nothing we need.
fn skip(is_bid: bool, pages: Pages, name: &str) -> bool {
    is_bid && page_of(name).is_some_and(|page| pages == Pages::None || page.read_back() == ReadBack::Nothing)
}

/// The sheets of a file as they come, each under a name that can be written.
#[derive(Default)]
struct Naming {
    taken: BTreeSet<String>,
    /// Old names and new.
    renamed: Vec<(String, Arc<str>)>,
}

impl Naming {
    fn empty_sheet(&mut self, about: &Sheet) -> KeptSheet {
        let name = names::writable(&about.name, &mut self.taken);
        if *name != *about.name {
            self.renamed.push((about.name.clone(), name.clone()));
        }
        KeptSheet { shown: name.clone(), name, hidden: about.visible != SheetVisible::Visible, ..KeptSheet::default() }
    }
}

/// An .xlsx on its way to sheets.
struct XlsxBook<'b> {
    book: Xlsx<Cursor<&'b [u8]>>,
    /// Shared texts by where they stand in memory: a text that a million cells share is kept once.
    texts: HashMap<usize, Arc<str>>,
    /// Number formats by style.
    formats: Option<Vec<Option<Arc<str>>>>,
    budget: usize,
}

impl<'b> XlsxBook<'b> {
    fn new(book: Xlsx<Cursor<&'b [u8]>>) -> Self {
        Self { book, texts: HashMap::new(), formats: None, budget: ALL_TEXT }
    }

    fn load(mut self, pages: Pages, marks: &Marks, sink: &mut Sink) -> Result<Loaded, Box<Finding>> {
        // Properties that cannot be read say nothing about the sheets: such a workbook is taken for the user's own.
        let properties: BTreeMap<String, String> = self
            .book
            .workbook_properties()
            .map(|properties| properties.custom_properties.into_iter().collect())
            .unwrap_or_default();
        let is_bid = properties.contains_key(BID_PROPERTY);
        let mut loaded = Loaded { is_bid, properties, sheets: Vec::new(), unreadable: Vec::new() };
        let mut naming = Naming::default();
        for about in self.book.sheets_metadata().to_vec() {
            if about.typ != SheetType::WorkSheet || skip(is_bid, pages, &about.name) {
                continue;
            }
            let mut sheet = naming.empty_sheet(&about);
            let read = without_report(|| self.sheet(&about.name, &mut sheet, marks, sink));
            match read.unwrap_or_else(|| Err("its cells contradict each other".to_owned())) {
                Ok(()) => loaded.sheets.push(sheet),
                Err(reason) => loaded.unreadable.push((sheet.name, reason)),
            }
            if self.budget == 0 {
                let limit = ALL_TEXT as u64;
                return Err(OversizeFile { what: "characters", found: limit + 1, limit }.into());
            }
        }
        names::follow(&mut loaded.sheets, &naming.renamed);
        Ok(loaded)
    }

    fn sheet(&mut self, name: &str, sheet: &mut KeptSheet, marks: &Marks, sink: &mut Sink) -> Result<(), String> {
        let say = |error: calamine::XlsxError| excerpt(&error.to_string());
        let days = if self.book.has_1904_epoch() { Decimal::from(FROM_1904) } else { Decimal::ZERO };
        let mut reader = self.book.worksheet_cells_reader(name).map_err(say)?;
        let formats = self.formats.get_or_insert_with(|| {
            let code = |style: &Style| style.number_format.as_ref().map(|n| n.format_code.clone());
            let is_set = |code: &String| !code.is_empty() && code != "General";
            reader.styles().iter().map(|style| code(style).filter(is_set).map(Arc::from)).collect()
        });
        while let Some((cell, style)) = reader.next_cell_with_style_id().map_err(say)? {
            let (Some((row, column)), true) = (on_sheet(cell.get_position()), self.budget > 0) else { continue };
            let raw = match cell.get_value() {
                DataRef::Empty => continue,
                DataRef::SharedString(text) => {
                    let kept = self.texts.entry(text.as_ptr() as usize).or_insert_with(|| cut(text));
                    if kept.len() < text.len() && text.chars().count() > CELL_TEXT {
                        sink.push(long_text(sheet, row, column, text));
                    }
                    self.budget = self.budget.saturating_sub(kept.len());
                    Raw::Text(kept.clone())
                }
                DataRef::String(text) => {
                    if text.chars().count() > CELL_TEXT {
                        sink.push(long_text(sheet, row, column, text));
                    }
                    self.budget = self.budget.saturating_sub(text.len());
                    Raw::Text(cut(text))
                }
                DataRef::DateTime(time) => date(*time, days),
                other => plain(&Data::from(other.clone())),
            };
            let format = formats.get(style).cloned().flatten();
            sheet.cells.push(KeptCell { row, column, raw, formula: None, format });
        }
        drop(reader);
        in_order(&mut sheet.cells);
        if marks.formulas {
            let mut formulas = Vec::new();
            let mut reader = self.book.worksheet_cells_reader(name).map_err(say)?;
            while let Some(cell) = reader.next_formula().map_err(say)? {
                let formula = cell.get_value();
                if let (false, Some((row, column))) = (formula.trim().is_empty(), on_sheet(cell.get_position())) {
                    formulas.push((row, column, formula.as_str().into()));
                }
            }
            drop(reader);
            add_formulas(&mut sheet.cells, formulas);
        }
        sheet.cells.retain(holds_something);
        if marks.merged {
            let merged = self.book.merge_cells_by_sheet_name(name).unwrap_or_default();
            let areas = merged.iter().filter_map(|area| {
                let ((top, left), (bottom, right)) = (on_sheet(area.start)?, on_sheet(area.end)?);
                (top <= bottom && left <= right).then_some((top, left, bottom, right))
            });
            merges::carry(sheet, areas.collect(), sink);
        }
        Ok(())
    }
}

fn load_ods(
    mut book: Ods<Cursor<&[u8]>>,
    pages: Pages,
    marks: &Marks,
    sink: &mut Sink,
) -> Result<Loaded, Box<Finding>> {
    let properties: BTreeMap<String, String> =
        book.workbook_properties().map(|p| p.custom_properties.into_iter().collect()).unwrap_or_default();
    let is_bid = properties.contains_key(BID_PROPERTY);
    let mut loaded = Loaded { is_bid, properties, sheets: Vec::new(), unreadable: Vec::new() };
    let mut naming = Naming::default();
    for (table, about) in book.sheets_metadata().to_vec().iter().enumerate() {
        if skip(is_bid, pages, &about.name) {
            continue;
        }
        let mut sheet = naming.empty_sheet(about);
        let formulas = book.worksheet_formula(&about.name).map_err(|e| damaged(&e))?;
        let values = book.worksheet_range(&about.name).map_err(|e| damaged(&e))?;
        let corner = values.start().unwrap_or_default();
        for (row, column, value) in values.used_cells() {
            let at = (corner.0 + row as u32, corner.1 + column as u32);
            let Some((row, column)) = on_sheet(at) else { continue };
            let has_formula = formulas.get_value(at).is_some_and(|f| !f.is_empty());
            let raw = match value {
                Data::String(text) if has_formula && is_fault(text) => Raw::Fault(text.as_str().into()),
                Data::String(text) => {
                    if text.chars().count() > CELL_TEXT {
                        sink.push(long_text(&sheet, row, column, text));
                    }
                    Raw::Text(cut(text))
                }
                Data::DateTime(time) => date(*time, Decimal::ZERO),
                other => plain(other),
            };
            let format = marks.percents.iter().any(|block| {
                block.table == table
                    && block.rows.contains(&u64::from(row))
                    && block.columns.contains(&u64::from(column))
            });
            let format = format.then(|| Arc::from("0.00%"));
            sheet.cells.push(KeptCell { row, column, raw, formula: None, format });
        }
        let corner = formulas.start().unwrap_or_default();
        let found = formulas.used_cells().filter_map(|(row, column, formula)| {
            let (row, column) = on_sheet((corner.0 + row as u32, corner.1 + column as u32))?;
            Some((row, column, formula.as_str().into()))
        });
        add_formulas(&mut sheet.cells, found.collect());
        sheet.cells.retain(holds_something);
        loaded.sheets.push(sheet);
    }
    names::follow(&mut loaded.sheets, &naming.renamed);
    Ok(loaded)
}

/// The cell's row and column as we count them; `None` off the sheet.
fn on_sheet((row, column): (u32, u32)) -> Option<(u32, u16)> {
    let column = u16::try_from(column).ok().filter(|c| *c <= crate::place::LAST_COLUMN)?;
    (row <= crate::place::LAST_ROW).then_some((row, column))
}

/// True for a cell worth keeping. Spaces alone are nothing: no program shows them.
fn holds_something(cell: &KeptCell) -> bool {
    let blank = match &cell.raw {
        Raw::Blank => true,
        Raw::Text(text) => text.trim().is_empty(),
        _ => false,
    };
    !blank || cell.formula.is_some()
}

/// Puts formulas to the values they were last worked out to; one without a value makes a blank cell.
fn add_formulas(cells: &mut Vec<KeptCell>, formulas: Vec<(u32, u16, Arc<str>)>) {
    let filled = cells.len();
    for (row, column, formula) in formulas {
        // Cells are only added, so there are at least as many as there were.
        match cells[..filled].binary_search_by_key(&(row, column), |c| (c.row, c.column)) {
            Ok(at) => cells[at].formula = Some(formula),
            Err(_) => {
                cells.push(KeptCell { row, column, raw: Raw::Blank, formula: Some(formula), format: None });
            }
        }
    }
    in_order(cells);
}

/// Row by row; of two cells at one address the first stays.
fn in_order(cells: &mut Vec<KeptCell>) {
    if !cells.is_sorted_by(|a, b| (a.row, a.column) < (b.row, b.column)) {
        cells.sort_by_key(|c| (c.row, c.column));
        cells.dedup_by_key(|c| (c.row, c.column));
    }
}

fn cut(text: &str) -> Arc<str> {
    match text.char_indices().nth(CELL_TEXT) {
        Some((end, _)) => text[..end].into(),
        None => text.into(),
    }
}

fn long_text(sheet: &KeptSheet, row: u32, column: u16, text: &str) -> Finding {
    Finding::at(&sheet.place(row, column), LongText { length: text.chars().count(), kept: CELL_TEXT })
}

/// Everything but texts and .xlsx dates.
fn plain(value: &Data) -> Raw {
    match value {
        Data::Empty => Raw::Blank,
        Data::Int(whole) => Raw::Number(Decimal::from(*whole)),
        Data::Float(number) => number_of(*number),
        Data::String(text) => Raw::Text(text.as_str().into()),
        Data::Bool(flag) => Raw::Flag(*flag),
        Data::Error(fault) => Raw::Fault(fault.to_string().into()),
        Data::DateTime(time) => date(*time, Decimal::ZERO),
        Data::DateTimeIso(text) => match parse_date(text) {
            Some(days) => Raw::Date(days + text.get(11..).and_then(clock).unwrap_or_default()),
            None => Raw::Text(text.as_str().into()),
        },
        Data::DurationIso(text) => match duration(text) {
            Some(days) => Raw::Date(days),
            None => Raw::Text(text.as_str().into()),
        },
    }
}

/// The decimal nearest to what a double shows; a double too large for it stays as its text, and is no number to us.
fn number_of(number: f64) -> Raw {
    match Decimal::try_from(number) {
        Ok(decimal) => Raw::Number(decimal.normalize()),
        Err(_) => Raw::Text(number.to_string().into()),
    }
}

fn date(time: ExcelDateTime, days: Decimal) -> Raw {
    match number_of(time.as_f64()) {
        Raw::Number(serial) if time.is_datetime() => Raw::Date(serial + days),
        Raw::Number(serial) => Raw::Date(serial),
        other => other,
    }
}

/// A share of a day from `12:30` or `12:30:15`.
fn clock(text: &str) -> Option<Decimal> {
    let mut parts = text.splitn(3, ':').map(|p| p.parse::<Decimal>().ok());
    let (hours, minutes) = (parts.next()??, parts.next()??);
    let seconds = parts.next().flatten().unwrap_or_default();
    share_of_day(hours, minutes, seconds)
}

/// A share of a day from `PT12H30M00S`.
fn duration(text: &str) -> Option<Decimal> {
    let (hours, rest) = text.strip_prefix("PT")?.split_once('H')?;
    let (minutes, rest) = rest.split_once('M')?;
    let seconds = rest.strip_suffix('S').and_then(|s| s.parse().ok()).unwrap_or_default();
    share_of_day(hours.parse().ok()?, minutes.parse().ok()?, seconds)
}

fn share_of_day(hours: Decimal, minutes: Decimal, seconds: Decimal) -> Option<Decimal> {
    let seconds = hours
        .checked_mul(Decimal::from(3600))?
        .checked_add(minutes.checked_mul(Decimal::from(60))?)?
        .checked_add(seconds)?;
    seconds.checked_div(Decimal::from(86_400)).map(|d| d.round_dp(10).normalize())
}

/// Error values as .ods writes them: the names all programs know, and the numbered ones of its own.
fn is_fault(text: &str) -> bool {
    const NAMES: &[&str] = &["#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!"];
    NAMES.contains(&text) || text.strip_prefix("Err:").is_some_and(|n| n.bytes().all(|b| b.is_ascii_digit()))
}
