//! Pages on paper: what is for the program alone is not printed, no name is cut, no unit stands twice.

use crate::support::job::shown;
use calamine::{Data, Reader};
use std::io::{Cursor, Read};

fn bid() -> &'static [u8] {
    &shown("prairie-house").bid
}

fn part(name: &str) -> String {
    let mut archive = zip::ZipArchive::new(Cursor::new(bid())).unwrap();
    let mut text = String::new();
    archive.by_name(name).unwrap().read_to_string(&mut text).unwrap();
    text
}

/// The cells of a sheet that hold these words: row and column from 0.
fn cells(sheet: &str, words: &str) -> Vec<(u32, u32)> {
    let mut book = calamine::Xlsx::new(Cursor::new(bid())).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    let (top, left) = range.start().unwrap();
    let found = range.used_cells().filter(|(.., cell)| **cell == Data::String(words.to_owned()));
    found.map(|(row, column, _)| (top + row as u32, left + column as u32)).collect()
}

/// The last column that is printed of a sheet, by its letters.
fn printed_to(sheet: &str) -> String {
    let book = part("xl/workbook.xml");
    let area = book.split("<definedName ").find_map(|name| {
        let of = name.split_once('>')?.1.split_once('<')?.0;
        (name.contains("Print_Area") && of.trim_matches('\'').starts_with(sheet)).then(|| of.to_owned())
    });
    area.unwrap().rsplit(':').next().unwrap().split('$').nth(1).unwrap().to_owned()
}

#[test]
fn what_is_written_for_the_program_is_not_printed() {
    let written = cells("Rules", "As written");
    assert!(written.len() > 10, "{written:?}");
    let printed = u32::from(printed_to("Rules").bytes().next().unwrap() - b'A');
    assert!(written.iter().all(|(_, column)| *column > printed), "printed to {printed}: {written:?}");
    // And what is of use to a reader is.
    assert!(cells("Rules", "Source").iter().all(|(_, column)| *column <= printed));
}

#[test]
fn names_of_what_is_ordered_are_not_links_which_do_not_wrap() {
    let sheets = part("xl/workbook.xml");
    let at = sheets.split("<sheet ").skip(1).position(|sheet| sheet.contains("name=\"Buying\"")).unwrap() + 1;
    let sheet = part(&format!("xl/worksheets/sheet{at}.xml"));
    let links: Vec<&str> = sheet.split("<hyperlink ref=\"").skip(1).map(|link| &link[..1]).collect();
    assert!(links.len() > 20 && links.iter().all(|column| *column == "B"), "{links:?}");
}

#[test]
fn a_default_has_its_unit_once() {
    // In the table of settings the value shows it.
    let heads = cells("Defaults", "What it means");
    assert_eq!(heads.len(), 1);
    assert!(cells("Defaults", "Unit").iter().all(|(row, _)| *row != heads[0].0));
}

#[test]
fn sizing_says_where_another_form_may_be_bought() {
    let mut book = calamine::Xlsx::new(Cursor::new(bid())).unwrap();
    let sizing = book.worksheet_range("Sizing").unwrap();
    let phrases = sizing.used_cells().any(|(.., cell)| cell.to_string().starts_with("Buying cuts a run without bends"));
    assert!(phrases);
}
