//! Figures against a spreadsheet engine that is not ours: what a term is worth here, its formula must be worth there.

mod support;

use support::recalc::{recalculate_in_process, recalculated, with_stored_value};
use support::sample;
use tallybore::write::bid_bytes;

fn sample_bytes() -> Vec<u8> {
    bid_bytes(&sample::book(), &sample::kept(), &sample::about()).unwrap()
}

#[test]
fn a_written_bid_recalculates_to_what_it_holds() {
    let bytes = sample_bytes();
    // For a look at it with a spreadsheet program.
    std::fs::write(std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("sample.xlsx"), &bytes).unwrap();
    let cells = recalculated(&bytes);
    assert!(cells.len() > 90, "{} formulas", cells.len());
    let differences = recalculate_in_process(&bytes);
    assert!(differences.is_empty(), "{}", differences.iter().map(|d| d.to_string()).collect::<Vec<_>>().join("\n"));
}

#[test]
fn one_wrong_stored_value_is_caught() {
    let bytes = sample_bytes();
    // Sizing!C7 is the flow of run C, 3.72 gpm.
    let wrong = with_stored_value(&bytes, "xl/worksheets/sheet2.xml", "C7", "3.721");
    let differences = recalculate_in_process(&wrong);
    let cells: Vec<&str> = differences.iter().map(|difference| difference.cell.as_str()).collect();
    assert_eq!(cells, ["Sizing!C7"], "{differences:?}");
}

#[test]
fn the_same_book_gives_the_same_bytes() {
    let first = sample_bytes();
    std::thread::sleep(std::time::Duration::from_millis(2100));
    assert!(first == sample_bytes());
}
