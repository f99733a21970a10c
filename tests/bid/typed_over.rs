//! What people type, into a job and over a finished bid: feet and inches, sizes with an inch mark or without, everyday
//! names, dates as text. A spreadsheet engine that is not ours has to read it as we do.

use crate::support::recalc::{Held, Shelf, differences, recalculated};
use tallybore::model::book_text;
use tallybore::pipeline::{self, Options};
use tallybore::place::Place;
use tallybore::write::{About, bid_bytes, job_book};
use tallybore::{finding, read};

/// A wash house. Everything is invented.
const WASH_HOUSE: &str = r#"
[Job]
Item            | Value
Supply pressure | 75
Date            | '5/1/2026
Main size       |
Tax rate        | '7 %
[Fixtures]
Tag | Fixture  | Cold run | Hot run
LA1 | lavatory | B        | H
[Runs]
Run | From   | Size | Length ft | Rise ft
A   | SUPPLY |      | 20        | 1
B   | A      |      | '12'6"    | 2
H   | A      |      | '3' 4-1/2" | 1
[Devices]
Device | On run | Kind                    | Size | Set psi
P1     | A      | Pressure reducing valve | 3/4  | 60
V1     | A      | Ball Valve              | 3/4  |
W1     | H      | Tank water heater       | 3/4  |
[Prices]
Kind | Material | Size | Unit | Pack | Price | Quoted
pipe | PEX      | 1/2  | coil | 100  | 41.00 | '4/2/2026
pipe | PEX      | 3/4  | coil | 100  | 66.00 |
PRV  |          | 3/4  | each |      | 82.00 |
storage heater | | 3/4 | each |      | 900.00 |
"#;

/// The bid of a job in text form, read from its workbook as any other; and all that is found.
pub(super) fn bid(text: &str) -> (Shelf, String) {
    let (book, faults) = book_text::parse(text);
    assert!(faults.is_empty(), "{faults:?}");
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("job.xlsx");
    std::fs::write(&file, job_book::from_text(&book).unwrap()).unwrap();
    let reading = read::open(&file);
    let priced = pipeline::price(&reading.job, &reading.book, &reading.findings, &Options::default());
    let priced = priced.unwrap_or_else(|found| panic!("{}", finding::text::lines("job", &found)));
    let bytes = bid_bytes(&priced.book, &reading.book, &About { title: "Bid".into(), ..About::default() }).unwrap();
    (Shelf::of(bytes), finding::text::lines("job", &priced.findings))
}

#[test]
fn a_job_in_peoples_own_spelling_recalculates_to_what_it_holds() {
    let (bid, reported) = bid(WASH_HOUSE);
    let told_of_devices: Vec<&str> =
        reported.lines().filter(|line| line.contains("regulator") || line.contains("tank heater")).collect();
    assert!(told_of_devices.iter().all(|line| !line.ends_with(" each")), "{told_of_devices:?}");
    assert!(!reported.contains("price-not-used") && !reported.contains("prices-not-used"), "{reported}");
    let cells = recalculated(bid.bytes());
    for cell in cells.iter().filter(|cell| cell.cell.starts_with("Sizing!")) {
        assert!(cell.formula.len() <= 160, "{}: {}", cell.cell, cell.formula);
    }
    let differences: Vec<String> = differences(cells).iter().map(ToString::to_string).collect();
    assert!(differences.is_empty(), "{}", differences.join("\n"));
}

/// The figure in a cell of the bid once something is typed over another.
pub(super) fn after(bid: &Shelf, typed: &[(&str, &str)], cell: &str) -> Held {
    let mut open = bid.open();
    typed.iter().for_each(|(cell, words)| open.type_in(&Place::parse(cell).unwrap(), words));
    open.recalculate();
    open.value(&Place::parse(cell).unwrap())
}

/// Where a heading stands on a sheet, and the row under it.
pub(super) fn under(bid: &Shelf, sheet: &str, heading: &str) -> Place {
    use calamine::Reader;
    let mut book: calamine::Xlsx<_> = calamine::Xlsx::new(std::io::Cursor::new(bid.bytes())).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    let rows: Vec<_> = range.rows().collect();
    let found = rows.iter().enumerate().find_map(|(row, cells)| {
        let column = cells.iter().position(|cell| *cell == calamine::Data::String(heading.to_owned()))?;
        Some(Place::new(sheet, row as u32 + 1, column as u16))
    });
    found.unwrap_or_else(|| panic!("{sheet} has no heading {heading}"))
}

#[test]
fn feet_and_inches_typed_over_a_length_are_read() {
    let (bid, _) = bid(WASH_HOUSE);
    let length = under(&bid, "Friction", "Length ft").to_string();
    assert_eq!(after(&bid, &[], &length), Held::Number(20.0));
    for (typed, feet) in
        [("5'6\"", 5.5), ("31'", 31.0), ("7' 3\"", 7.25), ("19.5", 19.5), ("19 1/2", 19.5), ("7¾'", 7.75)]
    {
        assert_eq!(after(&bid, &[("Runs!D4", typed)], &length), Held::Number(feet), "{typed}");
    }
    let total = |typed: &str| {
        let open = after(&bid, &[("Runs!D4", typed)], &total_cell(&bid));
        if let Held::Number(total) = open { total } else { panic!("{typed}: {open:?}") }
    };
    assert!((total("25'6\"") - total("25.5")).abs() < 0.005);
    assert!(total("25'6\"") > total("20") + 1.0);
}

/// The cell of the total on the Bid.
fn total_cell(bid: &Shelf) -> String {
    bid.open().cell_named("Bid_total")
}

#[test]
fn a_size_typed_over_a_choice_needs_no_inch_mark() {
    let (bid, _) = bid(WASH_HOUSE);
    let chosen = under(&bid, "Sizing", "Chosen size");
    let size = under(&bid, "Sizing", "Size").to_string();
    let end = under(&bid, "Sizing", "Pressure at end psi").to_string();
    let Held::Number(by_mark) = after(&bid, &[(&chosen.to_string(), "3/4\"")], &end) else { panic!("no number") };
    for typed in ["3/4", " 3/4 ", "3/4\""] {
        let typed = [(chosen.to_string(), typed)];
        let typed = typed.each_ref().map(|(cell, words)| (cell.as_str(), *words));
        assert_eq!(after(&bid, &typed, &size), Held::Text("3/4\"".into()));
        assert_eq!(after(&bid, &typed, &end), Held::Number(by_mark));
    }
    let Held::Number(smaller) = after(&bid, &[(&chosen.to_string(), "1/2")], &end) else { panic!("no number") };
    assert!(smaller < by_mark, "{smaller} {by_mark}");
}

#[test]
fn a_size_is_read_with_any_inch_mark_and_is_an_error_where_no_table_holds_it() {
    let (bid, _) = bid(WASH_HOUSE);
    let total = total_cell(&bid);
    let typed = |cell: &str, words: &str| after(&bid, &[(cell, words)], &total);
    for cell in ["Runs!C4", "Devices!D4"] {
        let plain = typed(cell, "1");
        assert!(matches!(plain, Held::Number(_)), "{cell}: {plain:?}");
        for words in ["1\"", "1 in", "1 in.", "1 inch", "1\u{201d}", "1\u{2033}"] {
            assert_eq!(typed(cell, words), plain, "{cell}: {words}");
        }
        for words in ["9/10", "blue", "3/4 ft"] {
            let again = after(&bid, &[(cell, words)], &bid.open().cell_named("Price_again"));
            let wrong = matches!(typed(cell, words), Held::Error(_));
            assert!(wrong || matches!(again, Held::Number(n) if n > 0.0), "{cell}: {words}: {again:?}");
        }
    }
}
