//! Book of figures and kept sheets -> bytes: the order of the sheets, their names, what the workbook says of itself.

use super::cached;
use super::decorate::{NameLists, name_list};
use super::kept_sheets;
use super::pages::Foot;
use super::sheet::SheetWriter;
use crate::figure::address::addresses;
use crate::figure::{Block, Book, Fig, Home, Origin};
use crate::folding::shortened;
use crate::model::{KeptBook, KeptSheet};
use crate::parallel::in_parallel;
use crate::place::{Place, quote_sheet};
use crate::sheets::Page;
use anyhow::{Context, bail};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, Worksheet};
use std::collections::BTreeSet;

/// The document property that a bid of ours is known by, and the version of its layout.
pub const FORMAT_PROPERTY: &str = "tallybore-bid";
/// See [`FORMAT_PROPERTY`].
pub const FORMAT_VERSION: &str = "1";

/// What the workbook says of itself.
#[derive(Debug, Clone, Default)]
pub struct About {
    /// Document property: what it is a bid for.
    pub title: String,
    /// Document property: the contractor.
    pub author: String,
    /// At the foot of every page.
    pub job_name: String,
    /// The bid and its revision, at the head of every page; empty leaves it out.
    pub bid: String,
    /// Further document properties, name and value, in this order.
    pub properties: Vec<(String, String)>,
}

impl About {
    pub(super) fn foot(&self) -> Foot<'_> {
        Foot { job: &self.job_name, bid: &self.bid }
    }
}

/// The bid workbook. The sheets of the book stand in their order, the user's own sheets after `Findings` (or at the
/// end). The same book gives the same bytes.
///
/// # Errors
/// When the book refers to a sheet that is not there, or a name or a formula cannot be written: faults of the program
/// or of a sheet's name, never of a figure's value.
pub fn bid_bytes(book: &Book, kept: &KeptBook, about: &About) -> anyhow::Result<Vec<u8>> {
    book_bytes(book, kept, about, (FORMAT_PROPERTY, FORMAT_VERSION))
}

/// A workbook of the user's sheets alone: a job workbook.
///
/// # Errors
/// As [`bid_bytes`].
pub fn job_bytes(kept: &KeptBook, about: &About) -> anyhow::Result<Vec<u8>> {
    book_bytes(&Book::new(), kept, about, ("tallybore-job", "1"))
}

/// The workbook that holds filled orders side by side.
///
/// # Errors
/// As [`bid_bytes`].
pub fn quotes_bytes(book: &Book, about: &About) -> anyhow::Result<Vec<u8>> {
    book_bytes(book, &KeptBook::default(), about, ("tallybore-quotes", "1"))
}

/// `form` is the property that the workbook is known by.
fn book_bytes(book: &Book, kept: &KeptBook, about: &About, form: (&str, &str)) -> anyhow::Result<Vec<u8>> {
    let addresses = addresses(book);
    let kept_names = kept_names(book, kept);
    let there = under_own_name(kept, &kept_names);
    inputs_are_there(book, &there)?;

    let names = name_lists(kept);
    let checks = checks(book);
    // Each sheet is written by itself, the largest first, on all threads.
    let ours = (0..book.sheets().len()).filter(|index| !book.sheets()[*index].is_empty()).map(Part::Ours);
    let mut parts: Vec<Part> = ours.chain((0..kept.sheets.len()).map(Part::Kept)).collect();
    parts.sort_by_key(|part| std::cmp::Reverse(part.size(book, kept)));
    let mut written = in_parallel(
        &parts,
        |part| {
            let mut worksheet = Worksheet::new();
            worksheet.set_formula_result_default("");
            let marked = match *part {
                Part::Ours(index) => {
                    let sheet = &book.sheets()[index];
                    let renamed = worksheet.set_name(&*sheet.name);
                    renamed.with_context(|| format!("sheet {}", sheet.name))?.set_screen_gridlines(false);
                    let mut writer = SheetWriter::new(book, &addresses, sheet, &checks, about.foot());
                    let begins = &addresses.blocks[index];
                    writer.write(&mut worksheet, begins).with_context(|| format!("sheet {}", sheet.name))?;
                    writer.marked
                }
                Part::Kept(index) => {
                    let name = &kept_names[index];
                    worksheet.set_name(name).with_context(|| format!("sheet {name}"))?;
                    kept_sheets::write(&mut worksheet, &kept.sheets[index], &there, about.foot(), &names)?
                }
            };
            anyhow::Ok((*part, worksheet, marked))
        },
        |_| (),
    )
    .into_iter()
    .collect::<Result<Vec<_>, _>>()?;
    let after =
        book.sheets().iter().position(|sheet| *sheet.name == *Page::Findings.name()).unwrap_or(book.sheets().len());
    written.sort_by_key(|(part, ..)| part.place(after));

    let mut workbook = Workbook::new();
    workbook.set_properties(&properties(about, form)?);
    let mut marked = Vec::new();
    for (number, (_, worksheet, has_marks)) in (1..).zip(written) {
        workbook.push_worksheet(worksheet);
        if has_marks {
            marked.push(number);
        }
    }
    show_a_sheet(&mut workbook, book, kept);
    for (name, fig) in &book.names {
        let place = addresses.place(book, *fig);
        workbook.define_name(&**name, &absolute(&place)).with_context(|| format!("defined name {name}"))?;
    }
    let bytes = workbook.save_to_buffer()?;
    if marked.is_empty() { Ok(bytes) } else { cached::unmark(&bytes, &marked) }
}

/// A sheet of the bid: one of ours or one of the user's, by its number there.
#[derive(Clone, Copy)]
enum Part {
    Ours(usize),
    Kept(usize),
}

impl Part {
    /// Where it stands: the user's own sheets come after our sheet `after`.
    fn place(self, after: usize) -> (bool, bool, usize) {
        match self {
            Self::Ours(index) => (index > after, false, index),
            Self::Kept(index) => (false, true, index),
        }
    }

    /// How many cells it has, roughly.
    fn size(self, book: &Book, kept: &KeptBook) -> usize {
        match self {
            Self::Ours(index) => {
                let tables = book.sheets()[index].blocks.iter().filter_map(|block| match block {
                    Block::Table(table) => Some(book.table_spec(*table)),
                    _ => None,
                });
                tables.map(|spec| spec.rows as usize * spec.columns.len()).sum()
            }
            Self::Kept(index) => kept.sheets[index].cells.len(),
        }
    }
}

/// A workbook must open on a sheet that can be seen.
fn show_a_sheet(workbook: &mut Workbook, book: &Book, kept: &KeptBook) {
    let first_seen =
        if book.sheets().is_empty() { kept.sheets.iter().position(|sheet| !sheet.hidden) } else { Some(0) };
    if let Some(first) = first_seen
        && let Ok(worksheet) = workbook.worksheet_from_index(first)
    {
        worksheet.set_active(true).set_first_tab(true);
    }
}

/// `form` is the property that the workbook is known by.
pub(super) fn properties(about: &About, form: (&str, &str)) -> anyhow::Result<DocProperties> {
    let mut properties = DocProperties::new()
        .set_title(cached::printable(&about.title))
        .set_author(cached::printable(&about.author))
        // Fixed: the library would write the time of day.
        .set_creation_datetime(&ExcelDateTime::from_ymd(2026, 1, 1)?)
        .set_custom_property(form.0, form.1);
    for (name, value) in &about.properties {
        properties = properties.set_custom_property(&*cached::printable(name), &*cached::printable(value));
    }
    Ok(properties)
}

/// Names of the kept sheets in the bid: their own, unless a sheet of ours bears it or it cannot be written.
fn kept_names(book: &Book, kept: &KeptBook) -> Vec<String> {
    let mut taken: BTreeSet<String> = book.sheets().iter().map(|sheet| sheet.name.to_lowercase()).collect();
    let mut names = Vec::with_capacity(kept.sheets.len());
    for sheet in &kept.sheets {
        let plain: String = sheet.name.chars().filter(|c| !"[]:*?/\\".contains(*c) && !c.is_control()).collect();
        let plain = plain.trim_matches('\'').trim();
        let plain = if plain.is_empty() { "Sheet" } else { plain };
        let mut name = shortened(plain, 31);
        let mut count = 1;
        while taken.contains(&name.to_lowercase()) {
            let mark = if count == 1 { " (yours)".to_owned() } else { format!(" (yours {count})") };
            name = shortened(plain, 31 - mark.len()) + &mark;
            count += 1;
        }
        taken.insert(name.to_lowercase());
        names.push(name);
    }
    names
}

/// Kept sheets that have their own name in the bid, in lower case.
fn under_own_name(kept: &KeptBook, names: &[String]) -> BTreeSet<String> {
    let own = kept.sheets.iter().zip(names).filter(|(sheet, name)| *sheet.name == ***name);
    own.map(|(_, name)| name.to_lowercase()).collect()
}

/// Where the drop-downs of the input sheets find the names of rows.
fn name_lists(kept: &KeptBook) -> NameLists {
    let list = |sheet: &KeptSheet| {
        let declared = sheet.declared?;
        let (heading, column) = (sheet.heading_row?, *sheet.column_of.get(declared.name_column()?.name)?);
        let last = sheet.cells.iter().map(|cell| cell.row).max()?;
        (last > heading).then(|| (declared.name, name_list(&sheet.name, column, heading + 1, last)))
    };
    kept.sheets.iter().filter_map(list).collect()
}

/// Every sheet that figures read inputs from must stand in the bid under its own name.
fn inputs_are_there(book: &Book, there: &BTreeSet<String>) -> anyhow::Result<()> {
    for cell in &book.cells {
        if let Home::Input(place) = &cell.home
            && !there.contains(&place.sheet.to_lowercase())
        {
            bail!("the bid refers to {place}, and no sheet of that name is carried along");
        }
    }
    Ok(())
}

/// Which figures are checks of a choice, whatever their column says.
fn checks(book: &Book) -> BTreeSet<Fig> {
    let check_of = |origin: &Origin| if let Origin::Choice { check } = origin { Some(*check) } else { None };
    book.cells.iter().filter_map(|cell| check_of(&cell.origin)).collect()
}

/// `='Sheet'!$F$12`, as a defined name wants it.
fn absolute(place: &Place) -> String {
    let column = crate::place::column_letters(place.column);
    format!("={}!${column}${}", quote_sheet(&place.sheet), u64::from(place.row) + 1)
}
