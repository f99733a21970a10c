//! The job workbook with the quoted prices: what was quoted is in it with its date, everything else as it was, and it prices.

use super::filled::*;
use crate::program::Folder;
use calamine::{Data, Reader, Xlsx};
use std::io::{Cursor, Read, Write};
use tallybore::model::order_form as form;

fn prices(folder: &Folder, name: &str) -> Vec<Vec<Data>> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(folder.bytes(name))).unwrap();
    let range = book.worksheet_range("Prices").unwrap();
    range.rows().map(<[Data]>::to_vec).collect()
}

fn row<'a>(rows: &'a [Vec<Data>], words: &[&str]) -> &'a [Data] {
    let is = |row: &&Vec<Data>| words.iter().all(|word| row.iter().any(|cell| cell == word));
    rows.iter().find(is).unwrap_or_else(|| panic!("no {words:?} in {rows:?}"))
}

fn date(cell: &Data) -> String {
    match cell {
        Data::DateTime(time) => tallybore::model::date_text((time.as_f64() as i64).into()),
        other => other.to_string(),
    }
}

/// The workbook with a formula in the cell that holds this number.
fn with_formula(bytes: &[u8], number: &str, formula: &str) -> Vec<u8> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let plain = format!("<v>{number}</v>");
    let mut found = 0;
    for index in 0..archive.len() {
        let mut file = archive.by_index(index).unwrap();
        let mut content = Vec::new();
        file.read_to_end(&mut content).unwrap();
        let name = file.name().unwrap().into_owned();
        out.start_file(name.clone(), zip::write::SimpleFileOptions::default()).unwrap();
        if name.starts_with("xl/worksheets/") && name.ends_with(".xml") {
            let text = String::from_utf8(content).unwrap();
            found += text.matches(&plain).count();
            content = text.replace(&plain, &format!("<f>{formula}</f>{plain}")).into_bytes();
        }
        out.write_all(&content).unwrap();
    }
    assert_eq!(found, 1);
    out.finish().unwrap().into_inner()
}

#[test]
fn quoted_prices_are_in_it_with_their_date_and_it_prices() {
    let folder = ordered(JOB);
    let before = folder.bytes("job.xlsx");
    let mut quillmoor = Form::of(&folder, QUILLMOOR);
    quillmoor.price(PIPE, 10.25).head(form::QUOTED_ON, "2026-05-02");
    for key in ASKED {
        quillmoor.price(key, 2.0);
    }
    quillmoor.save(&folder, "q.xlsx");
    let mut stenvik = Form::of(&folder, STENVIK);
    stenvik.price(STOP, 6.0).price(ASKED[0], 1.5).save(&folder, "s.xlsx");
    folder.done(&["quotes", "job.xlsx", "q.xlsx", "s.xlsx"]);
    assert!(folder.bytes("job.xlsx") == before);
    let rows = prices(&folder, "job-quotes-job.xlsx");
    let heading = |name: &str| rows.iter().find_map(|row| row.iter().position(|cell| *cell == name)).unwrap();
    let (price, quoted) = (heading("Price"), heading("Quoted"));
    let pipe = row(&rows, &["pipe", "Quillmoor Supply"]);
    assert_eq!((&pipe[price], date(&pipe[quoted]).as_str()), (&Data::Float(10.25), "2026-05-02"));
    // Not quoted: as it was.
    let ring = row(&rows, &["ring", "Quillmoor Supply"]);
    assert_eq!((&ring[price], date(&ring[quoted]).as_str()), (&Data::Float(14.9), "2026-01-05"));
    // A quote without a date is of the order's.
    let stop = row(&rows, &["stop valve", "Stenvik Yard"]);
    assert_eq!((&stop[price], date(&stop[quoted]).as_str()), (&Data::Float(6.0), "2026-05-10"));
    // What nobody had a price for has a row now, from the one it is bought from.
    let adapter = row(&rows, &["adapter", "Stenvik Yard"]);
    assert_eq!(adapter[price], Data::Float(1.5));
    row(&rows, &["support", "Quillmoor Supply"]);
    assert_eq!(rows.iter().filter(|row| row.iter().any(|cell| *cell == "adapter")).count(), 1);
    let out = folder.run(&["price", "job-quotes-job.xlsx"]);
    assert_eq!(out.code, 0, "{}", out.err);
    assert!(!out.err.contains("no-price"), "{}", out.err);
    // Quoted once more from the new job, nothing is left to be asked.
    let again = folder.done(&["order", "job-quotes-job.xlsx"]);
    assert!(!again.contains("to be quoted"), "{again}");
}

#[test]
fn a_price_made_by_a_formula_is_kept_and_told() {
    let folder = ordered(JOB);
    let made = with_formula(&folder.bytes("job.xlsx"), "9.41", "8.96*1.05");
    std::fs::write(folder.path("job.xlsx"), made).unwrap();
    Form::of(&folder, QUILLMOOR).price(PIPE, 10.25).price(RING, 15.0).save(&folder, "q.xlsx");
    let document = read(&folder, &["q.xlsx"]);
    let reported = findings(&document);
    let kept: Vec<_> = reported.iter().filter(|(_, code, _, _)| code == "quote-price-kept").collect();
    assert_eq!(kept.len(), 1, "{reported:?}");
    assert!(kept[0].0 == "job.xlsx" && kept[0].2.starts_with('F'), "{kept:?}");
    assert!(kept[0].3.contains("$10.25 for one stick from Quillmoor Supply"), "{kept:?}");
}

#[test]
fn prices_without_any_date_are_told_and_do_not_keep_the_old_one() {
    let folder = ordered(&JOB.replace("Date | 2026-05-10\n", ""));
    Form::of(&folder, QUILLMOOR).price(PIPE, 10.25).save(&folder, "q.xlsx");
    let document = read(&folder, &["q.xlsx"]);
    assert_eq!(findings(&document)[0].1, "quotes-undated");
    let rows = prices(&folder, "job-quotes-job.xlsx");
    let pipe = row(&rows, &["pipe", "Quillmoor Supply"]);
    assert!(!pipe.iter().any(|cell| date(cell) == "2026-01-05"), "{pipe:?}");
}

#[test]
fn nothing_is_written_over_and_no_input_taken_for_an_output() {
    let folder = ordered(JOB);
    Form::of(&folder, QUILLMOOR).price(RING, 15.0).save(&folder, "q.xlsx");
    std::fs::write(folder.path("job-quotes-job.xlsx"), "mine").unwrap();
    let ran = folder.run(&["quotes", "job.xlsx", "q.xlsx"]);
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(ran.err.contains("job-quotes-job.xlsx is already there; nothing was written"), "{}", ran.err);
    assert_eq!(folder.bytes("job-quotes-job.xlsx"), b"mine");
    assert!(!folder.names().contains(&"job-quotes.xlsx".to_owned()));
    let filled = folder.bytes("q.xlsx");
    for own in ["q.xlsx", "job.xlsx"] {
        let ran = folder.run(&["quotes", "job.xlsx", "q.xlsx", "-o", own, "--replace"]);
        assert_eq!(ran.code, 2, "{}", ran.err);
    }
    assert!(folder.bytes("q.xlsx") == filled);
    folder.done(&["quotes", "job.xlsx", "q.xlsx", "-o", "mine.xlsx"]);
    assert!(folder.names().contains(&"mine-job.xlsx".to_owned()));
}

#[test]
fn of_two_prices_for_one_row_the_higher_stands_even_where_it_is_the_old_one() {
    let text = JOB
        .replace("Tail allowance | 0", "Tail allowance | 0\nPipe color | by water")
        .replace(
            "Tag | Fixture | Cold run\nL1 | lavatory | A",
            "Tag | Fixture | Cold run | Hot run\nL1 | lavatory | A | H",
        )
        .replace("A | SUPPLY | 1/2 | 12", "A | SUPPLY | 1/2 | 12\nH | A | 1/2 | 12")
        .replace("[Prices]", "[Devices]\nDevice | On run | Kind | Size\nWH | H | tank heater | 1/2\n\n[Prices]");
    let folder = ordered(&text);
    let (cold, hot) = (format!("{PIPE}|cold"), format!("{PIPE}|hot"));
    let mut quillmoor = Form::of(&folder, QUILLMOOR);
    quillmoor.price(&cold, 9.0).price(&hot, 9.41).save(&folder, "q.xlsx");
    let ran = folder.run(&["quotes", "job.xlsx", "q.xlsx"]);
    assert!(ran.err.contains("quote-twice"), "{}", ran.err);
    let rows = prices(&folder, "job-quotes-job.xlsx");
    let price = rows.iter().find_map(|row| row.iter().position(|cell| *cell == "Price")).unwrap();
    assert_eq!(row(&rows, &["pipe", "Quillmoor Supply"])[price], Data::Float(9.41));
}

/// The price of such a fixture is the user's own, in Fixtures: a quote of it is told and written nowhere.
#[test]
fn a_quoted_fixture_is_told_and_its_price_stays() {
    let text = JOB.replace(
        "Tag | Fixture | Cold run",
        "Tag | Fixture | Cold run | Maker | Model | Furnished by | Price | Supplier",
    );
    let row = "L1 | lavatory | A";
    let folder = ordered(&text.replace(row, &format!("{row} | Brookfern | Rill 2 | us | 77.5 | Quillmoor Supply")));
    let before = prices(&folder, "job.xlsx");
    Form::of(&folder, QUILLMOOR).price("lavatory|Brookfern Rill 2||each 1", 81.25).save(&folder, "q.xlsx");
    let document = read(&folder, &["q.xlsx"]);
    let told = findings(&document).into_iter().find(|finding| finding.1 == "fixture-quoted").expect("told");
    assert!(told.3.contains("L1") && told.3.contains("81.25"), "{told:?}");
    assert_eq!(prices(&folder, "job.xlsx"), before);
}
