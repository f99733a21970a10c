//! The files of the orders: their names, what they say of themselves, and that they are written all or not at all.

use super::Options;
use crate::commands::Trouble;
use crate::commands::job::Opened;
use crate::model::order_form as form;
use crate::model::{Job, KeptCell, Phase, Raw, Setting};
use crate::order::{Order, Orders, csv_rows};
use crate::read;
use crate::write::{About, csv_bytes, order_bytes, save};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Where one order went.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Files {
    pub workbook: PathBuf,
    pub csv: PathBuf,
}

/// Writes all orders; or nothing, where a name is taken.
pub(crate) fn write(options: &Options, opened: &Opened, orders: &Orders) -> Result<Vec<Files>, Trouble> {
    let default_folder = options.book.parent().unwrap_or(Path::new("")).to_owned();
    let folder = options.folder.clone().unwrap_or(default_folder);
    let stem = options.book.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let names = names(&stem, &orders.orders);
    let mut files = Vec::new();
    let mut contents = Vec::new();
    for (order, name) in orders.orders.iter().zip(&names) {
        let about = about(&opened.job, order);
        let bytes = order_bytes(&order.book, &about)
            .map_err(|error| Trouble::system(format!("{name}: the order could not be made: {error:#}.")))?;
        let of = Files { workbook: folder.join(format!("{name}.xlsx")), csv: folder.join(format!("{name}.csv")) };
        if options.replace && is_filled_in(&of.workbook) {
            return Err(Trouble::system(format!(
                "{} has been filled in and is not written over. Move it away first, or give another folder with -o.",
                of.workbook.display()
            )));
        }
        contents.push((of.workbook.clone(), bytes));
        contents.push((of.csv.clone(), csv_bytes(&csv_rows(order))));
        files.push(of);
    }
    if let (Some(folder), false) = (&options.folder, contents.is_empty()) {
        if let Some((taken, _)) = contents.iter().find(|(path, _)| !options.replace && path.symlink_metadata().is_ok())
        {
            return Err(taken_already(taken));
        }
        std::fs::create_dir_all(folder)
            .map_err(|reason| Trouble::system(format!("{} could not be made: {reason}.", folder.display())))?;
    }
    save::save_all(&contents, options.replace).map_err(|error| match &error {
        save::SaveError::Exists(path) => taken_already(path),
        _ => Trouble::system(error),
    })?;
    Ok(files)
}

fn taken_already(path: &Path) -> Trouble {
    Trouble::system(format!(
        "{} is already there; no order was written. Give another folder with -o, or --replace to write over it.",
        path.display()
    ))
}

/// `<name>-order-<supplier>`, or `-request-` where nothing is ordered, then the phases where the orders are not for all; unlike each other.
fn names(stem: &str, orders: &[Order]) -> Vec<String> {
    let mut taken = BTreeSet::new();
    let name = |order: &Order| {
        let phases = order.phases.iter().map(|phase: &Phase| format!("-{}", phase.word())).collect::<String>();
        let what = if order.asks_only() { "request" } else { "order" };
        let plain = format!("{stem}-{what}-{}{phases}", safe(order.supplier_name()));
        let numbered = (2..).map(|number| format!("{plain}-{number}"));
        // Names of different suppliers can come to the same letters; the count does not end before one is free.
        let free = [plain.clone()].into_iter().chain(numbered).find(|name| taken.insert(name.to_lowercase()));
        free.unwrap_or(plain)
    };
    orders.iter().map(name).collect()
}

/// A supplier's name as part of a file name: letters and digits of any script in lower case, all else a hyphen.
fn safe(name: &str) -> String {
    let mut plain = String::new();
    for c in name.chars().flat_map(char::to_lowercase).take(SAFE_NAME) {
        match c.is_alphanumeric() {
            true => plain.push(c),
            false if !plain.is_empty() && !plain.ends_with('-') => plain.push('-'),
            false => {}
        }
    }
    let plain = plain.trim_end_matches('-');
    if plain.is_empty() { "supplier".to_owned() } else { plain.to_owned() }
}

/// Characters of a name that go into a file name: with four bytes each there is room for the rest.
const SAFE_NAME: usize = 32;

/// What an order says of itself: nothing that its sheet does not say too.
fn about(job: &Job, order: &Order) -> About {
    let number = job.text(Setting::OrderNumber).trim().to_owned();
    let phases: Vec<&str> = order.phases.iter().map(|phase| phase.word()).collect();
    let revision = job.text(Setting::Revision).trim().to_owned();
    let entries = [
        (form::NUMBER_PROPERTY, number),
        (form::JOB_PROPERTY, job.text(Setting::JobName).to_string()),
        (form::REVISION_PROPERTY, revision),
        (form::SUPPLIER_PROPERTY, order.supplier.as_deref().unwrap_or_default().to_owned()),
        (form::PHASES_PROPERTY, phases.join(", ")),
    ];
    let shortened = |value: String| value.chars().take(LONGEST_PROPERTY).collect::<String>();
    let properties: Vec<(String, String)> = entries
        .into_iter()
        .filter(|(_, value)| !value.is_empty())
        .map(|(name, value)| (name.to_owned(), shortened(value)))
        .collect();
    About {
        title: shortened(order.title()),
        author: shortened(job.text(Setting::PreparedBy).to_string()),
        job_name: job.text(Setting::JobName).to_string(),
        bid: order.title(),
        properties,
    }
}

/// A property holds 255 characters, those outside the first plane counted twice.
const LONGEST_PROPERTY: usize = 127;

/// Whether a supplier has written anything into an order that is there: it is the only copy of their answer.
fn is_filled_in(path: &Path) -> bool {
    if !path.is_file() {
        return false;
    }
    let reading = read::open(path);
    let Some(sheet) = reading.book.sheets.iter().find(|sheet| &*sheet.name == form::SHEET) else { return false };
    let text = |cell: &KeptCell| match &cell.raw {
        Raw::Text(text) => text.to_string(),
        _ => String::new(),
    };
    let headings = sheet.cells.iter().find(|cell| text(cell) == form::LINE).map_or(u32::MAX, |cell| cell.row);
    // Columns of the lines, and rows of the head, that are the supplier's.
    let (mut columns, mut rows) = (BTreeSet::new(), BTreeSet::new());
    for cell in &sheet.cells {
        let words = text(cell);
        if cell.row == headings && form::COLUMNS.iter().any(|column| column.filled && column.heading == words) {
            columns.insert(cell.column);
        } else if cell.row < headings && form::HEAD_FILLED.contains(&words.as_str()) {
            rows.insert(cell.row);
        }
    }
    let is_theirs = |cell: &&KeptCell| match cell.row > headings {
        true => columns.contains(&cell.column),
        false => rows.contains(&cell.row) && !form::HEAD_FILLED.contains(&text(cell).as_str()),
    };
    let says_something = |cell: &KeptCell| match &cell.raw {
        Raw::Blank => false,
        Raw::Text(text) => !text.trim().is_empty(),
        _ => true,
    };
    sheet.cells.iter().filter(is_theirs).any(says_something)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn suppliers_names_are_safe_in_file_names() {
        let pairs = [
            ("Quillmoor Supply", "quillmoor-supply"),
            ("Harl & Thrupp Pipe", "harl-thrupp-pipe"),
            ("../../etc/passwd", "etc-passwd"),
            ("C:\\aux\u{0}*?", "c-aux"),
            ("\u{202e}xslx", "xslx"),
            ("...", "supplier"),
            ("R\u{f8}r \u{5d0}\u{5d1}", "r\u{f8}r-\u{5d0}\u{5d1}"),
        ];
        for (name, file) in pairs {
            assert_eq!(safe(name), file, "{name}");
        }
        assert!(safe(&"x".repeat(400)).len() <= SAFE_NAME);
    }
}
