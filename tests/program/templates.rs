//! The workbooks in `templates/` and `demo-books/` are made by the program itself; these tests make them again and
//! compare byte for byte. `TALLYBORE_UPDATE=1 cargo test --test program templates` writes them anew.

use calamine::{Data, Reader, Xlsx, open_workbook};
use std::fs;
use std::path::{Path, PathBuf};
use tallybore::commands::start::{From, Options, start};
use tallybore::input_sheets;
use tallybore::model::book_text::{TextCell, TextSheet, parse};
use tallybore::model::columns::Kind;
use tallybore::model::{Setting, Size, parse_date, parse_feet, parse_number, parse_setting};

fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn demonstration_texts() -> Vec<PathBuf> {
    let mut texts: Vec<PathBuf> = fs::read_dir(project("demo-books"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "txt"))
        .collect();
    texts.sort();
    assert!(texts.len() >= 2, "the demonstration texts are gone");
    texts
}

/// Makes a workbook with `start` and holds the file in the project against it.
fn hold_current(file: &str, from: From) {
    let kept = project(file);
    if std::env::var("TALLYBORE_UPDATE").is_ok_and(|update| update == "1") {
        start(&Options { from: from.clone(), output: Some(kept.clone()), replace: true }).unwrap();
    }
    let folder = tempfile::tempdir().unwrap();
    let made = start(&Options { from, output: Some(folder.path().join("made.xlsx")), replace: false }).unwrap();
    let kept = fs::read(&kept).unwrap_or_default();
    assert!(
        fs::read(made).unwrap() == kept,
        "{file} is not what the program makes; run TALLYBORE_UPDATE=1 cargo test --test program templates"
    );
}

#[test]
fn the_blank_job_workbook_is_current() {
    hold_current("templates/job.xlsx", From::Blank);
}

#[test]
fn the_sample_job_workbook_is_current() {
    hold_current("templates/job-sample.xlsx", From::Sample);
}

#[test]
fn every_demonstration_book_is_current() {
    for text in demonstration_texts() {
        let file = format!("demo-books/{}.xlsx", text.file_stem().unwrap().to_str().unwrap());
        hold_current(&file, From::Text(text));
    }
}

#[test]
fn no_book_lies_about_without_its_text() {
    for entry in fs::read_dir(project("demo-books")).unwrap() {
        let path = entry.unwrap().path();
        // A book that is being written has another name until it is whole.
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        // What the commands of the README write there is not a demonstration.
        if !name.ends_with(".xlsx") || name.contains("-bid") {
            continue;
        }
        assert!(path.with_extension("txt").exists(), "{} has no text", path.display());
    }
}

/// The value at a cell such as `B27` of a workbook in the project.
fn cell(book: &mut Xlsx<std::io::BufReader<fs::File>>, sheet: &str, cell: &str) -> Data {
    let (row, column) = tallybore::place::parse_a1(cell).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    range.get_value((row, u32::from(column))).cloned().unwrap_or(Data::Empty)
}

/// The first row of a sheet whose first cell reads so, and that row's number as written in addresses.
fn row_of(book: &mut Xlsx<std::io::BufReader<fs::File>>, sheet: &str, first: &str) -> usize {
    let range = book.worksheet_range(sheet).unwrap();
    let found = range.rows().position(|row| row.first().is_some_and(|cell| *cell == Data::String(first.into())));
    found.unwrap_or_else(|| panic!("no {first} in {sheet}")) + 1
}

#[test]
fn cells_are_what_their_columns_say() {
    let mut book: Xlsx<_> = open_workbook(project("templates/job-sample.xlsx")).unwrap();
    let mut job = |item: &str| {
        let row = row_of(&mut book, "Job", item);
        cell(&mut book, "Job", &format!("B{row}"))
    };
    assert_eq!(job("Tax rate"), Data::Float(0.065));
    assert_eq!(job("Supply pressure"), Data::Float(55.0));
    assert_eq!(job("Bid number"), Data::String("H-14".into()));
    assert!(matches!(job("Date"), Data::DateTime(date) if date.as_f64() == 46172.0), "2026-05-30 is day 46172");

    let row = row_of(&mut book, "Runs", "HB1B");
    assert_eq!(cell(&mut book, "Runs", &format!("E{row}")), Data::String("4'6\"".into()));
    assert_eq!(cell(&mut book, "Runs", &format!("F{row}")), Data::Float(2.5));
    let row = row_of(&mut book, "Runs", "EX1");
    assert_eq!(cell(&mut book, "Runs", &format!("D{row}")), Data::String("1/2".into()));
    assert_eq!(cell(&mut book, "Prices", "G4"), Data::Float(8.06));
    assert!(matches!(cell(&mut book, "Prices", "J4"), Data::DateTime(_)));
    let row = row_of(&mut book, "Terms", "payment");
    assert_eq!(cell(&mut book, "Terms", &format!("C{row}")), Data::Float(0.4));
}

#[test]
fn the_blank_book_has_every_sheet_heading_and_setting() {
    let mut book: Xlsx<_> = open_workbook(project("templates/job.xlsx")).unwrap();
    let names: Vec<&str> = input_sheets().map(|sheet| sheet.name).collect();
    assert_eq!(book.sheet_names(), names);
    for sheet in input_sheets() {
        for (column, at) in sheet.columns.iter().zip(0..) {
            let heading = format!("{}3", tallybore::place::column_letters(at));
            assert_eq!(cell(&mut book, sheet.name, &heading), Data::String(column.name.into()));
        }
    }
    for (spec, row) in tallybore::settings().zip(4..) {
        assert_eq!(cell(&mut book, "Job", &format!("A{row}")), Data::String(spec.name.into()));
        assert_eq!(cell(&mut book, "Job", &format!("B{row}")), Data::Empty, "{}", spec.name);
    }
}

#[test]
fn a_text_can_hold_what_a_spreadsheet_can() {
    let folder = tempfile::tempdir().unwrap();
    let text = folder.path().join("odd.txt");
    let lines = [
        "[Runs]",
        "Run | From | Size | Length ft | Mine",
        "A | SUPPLY | @2026-03-04 | =2*6 -> 12 | 5%",
        "B | A | '3/4 | =#REF! -> #REF! | 1,250.5",
        "C | B | blue | twelve | '7",
        "D | C | =\"1/2\" -> 1/2 | =1/0 -> inf | 3 x 4",
        "[Pipe]",
        "Material | Size | C",
        "PEX | 3/4 | 150",
    ];
    fs::write(&text, lines.join("\n")).unwrap();
    let made = start(&Options { from: From::Text(text), ..Options::default() }).unwrap();
    let mut book: Xlsx<_> = open_workbook(&made).unwrap();
    let text = |text: &str| Data::String(text.into());
    assert!(matches!(cell(&mut book, "Runs", "C4"), Data::DateTime(date) if date.as_f64() == 46085.0));
    assert_eq!(cell(&mut book, "Runs", "D4"), Data::Float(12.0));
    assert_eq!(cell(&mut book, "Runs", "E4"), Data::Float(0.05));
    assert_eq!(cell(&mut book, "Runs", "C5"), text("3/4"));
    assert_eq!(cell(&mut book, "Runs", "D5"), Data::Error(calamine::CellErrorType::Ref));
    assert_eq!(cell(&mut book, "Runs", "E5"), Data::Float(1250.5));
    assert_eq!(cell(&mut book, "Runs", "C6"), text("blue"));
    assert_eq!(cell(&mut book, "Runs", "D6"), text("twelve"));
    assert_eq!(cell(&mut book, "Runs", "E6"), text("7"));
    assert_eq!(cell(&mut book, "Runs", "C7"), text("1/2"));
    assert_eq!(cell(&mut book, "Runs", "D7"), text(""));
    assert_eq!(cell(&mut book, "Runs", "E7"), text("3 x 4"));
    assert_eq!(cell(&mut book, "Pipe", "B4"), text("3/4"));
    assert_eq!(cell(&mut book, "Pipe", "C4"), Data::Float(150.0));
    let formulas = book.worksheet_formula("Runs").unwrap();
    assert_eq!(formulas.get_value((3, 3)).map(String::as_str), Some("2*6"));
}

/// What a cell of text says, blank ones aside.
fn typed(cell: &TextCell) -> Option<&str> {
    match cell {
        TextCell::Typed(text) => Some(text),
        TextCell::Blank => None,
        other => panic!("the demonstration books need no {other:?}"),
    }
}

/// The cells under a heading, row by row; blank when the sheet has no such heading.
fn column<'a>(sheet: &'a TextSheet, heading: &str) -> Vec<&'a str> {
    let at = sheet.headings.iter().position(|name| name == heading);
    sheet.rows.iter().map(|row| at.and_then(|at| typed(&row[at])).unwrap_or("")).collect()
}

#[test]
fn demonstration_books_use_declared_headings_and_can_be_read_cell_for_cell() {
    for path in demonstration_texts() {
        let (book, findings) = parse(&fs::read_to_string(&path).unwrap());
        assert!(findings.is_empty(), "{findings:?}");
        for sheet in &book.sheets {
            let declared = input_sheets().find(|declared| declared.name == sheet.name).unwrap();
            let headings: Vec<&str> = declared.columns.iter().map(|column| column.name).collect();
            assert_eq!(sheet.headings, headings, "{}", sheet.name);
            for row in &sheet.rows {
                for (cell, column) in row.iter().zip(declared.columns) {
                    let Some(text) = typed(cell) else {
                        assert!(!column.required || column.name == "Value", "{} in {row:?}", column.name);
                        continue;
                    };
                    let good = match column.kind {
                        Kind::Text => true,
                        Kind::Number | Kind::Amount => parse_number(text.trim_end_matches('%')).is_some(),
                        Kind::Positive | Kind::Price => {
                            parse_number(text).is_some_and(|number| !number.is_sign_negative())
                        }
                        Kind::Length => parse_feet(text).is_some(),
                        Kind::Size => Size::parse(text).is_some(),
                        Kind::Sizes => text.split(" x ").all(|size| Size::parse(size).is_some()),
                        Kind::Date => parse_date(text).is_some(),
                        Kind::Share => tallybore::model::Taxed::parse(text).is_some(),
                        Kind::Choice(list) => list.contains(&text),
                    };
                    assert!(good, "{}: {text} under {}", path.display(), column.name);
                }
            }
        }
        let job = book.sheets.iter().find(|sheet| sheet.name == "Job").unwrap();
        for (item, value) in column(job, "Item").into_iter().zip(column(job, "Value")) {
            let setting = Setting::find(item).unwrap_or_else(|| panic!("no setting {item}"));
            assert!(parse_setting(setting.spec().kind, value).is_ok(), "{item} {value}");
        }
    }
}

#[test]
fn demonstration_runs_are_trees_and_every_name_is_there() {
    for path in demonstration_texts() {
        let (book, _) = parse(&fs::read_to_string(&path).unwrap());
        let sheet = |name: &str| book.sheets.iter().find(|sheet| sheet.name == name).unwrap();
        let (runs, fixtures) = (sheet("Runs"), sheet("Fixtures"));
        let (names, from, status) = (column(runs, "Run"), column(runs, "From"), column(runs, "Status"));
        // Every run is fed by one that stands above it, so there can be no ring.
        for (at, feeder) in from.iter().enumerate() {
            let above = names[..at].iter().position(|name| name == feeder);
            assert!(!names[..at].contains(&names[at]), "{} stands twice", names[at]);
            assert!(*feeder == "SUPPLY" || above.is_some(), "{} comes from {feeder}", names[at]);
            assert!(above.is_none_or(|above| status[above] != "remove" || status[at] == "remove"), "{}", names[at]);
            let length = parse_feet(column(runs, "Length ft")[at]).unwrap();
            let rise = parse_number(column(runs, "Rise ft")[at]).unwrap();
            assert!(rise.abs() <= length, "{} rises more than its length", names[at]);
        }
        let ends: Vec<&str> = [column(fixtures, "Cold run"), column(fixtures, "Hot run")].concat();
        for end in ends.iter().filter(|end| !end.is_empty()) {
            assert!(names.iter().zip(&status).any(|(name, status)| name == end && *status != "remove"), "no run {end}");
        }
        for (name, status) in names.iter().zip(&status) {
            let serves = ends.contains(name) || from.contains(name) || *status == "remove";
            assert!(serves, "{name} leads nowhere");
        }
        for run in column(sheet("Devices"), "On run") {
            assert!(names.contains(&run), "a device on {run}");
        }
        let drains = column(sheet("Drains"), "Drain");
        for drain in column(fixtures, "Drain").into_iter().filter(|drain| !drain.is_empty()) {
            assert!(drains.contains(&drain), "no drain {drain}");
        }
        for to in column(sheet("Drains"), "To") {
            assert!(to == "SEWER" || drains.contains(&to), "no drain {to}");
        }
    }
}
