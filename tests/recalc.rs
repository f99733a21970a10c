//! Whole bids of the demonstration books, recalculated by an independent spreadsheet engine: every formula's stored value
//! is what that engine makes of it, and pricing the same book twice gives the same bytes.

mod support;

use std::path::Path;
use support::recalc::{recalculate_in_process, recalculated};
use tallybore::pipeline::{Options, Priced, price};
use tallybore::{read, write};

fn priced(book: &str) -> (Priced, Vec<u8>) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-books").join(book);
    let reading = read::open(&path);
    let priced = price(&reading.job, &reading.book, &reading.findings, &Options::default());
    let priced = priced.unwrap_or_else(|findings| panic!("{book} stops: {findings:?}"));
    let bytes = write::bid_bytes(&priced.book, &reading.book, &write::About::default()).unwrap();
    (priced, bytes)
}

fn recalculates(book: &str) {
    let (_, bytes) = priced(book);
    let formulas = recalculated(&bytes).len();
    assert!(formulas > 4_000, "only {formulas} formulas in the bid of {book}");
    assert_eq!(recalculate_in_process(&bytes), Vec::new(), "{book}");
}

#[test]
fn the_bid_of_the_house_recalculates_to_what_it_holds() {
    recalculates("prairie-house.xlsx");
}

#[test]
fn the_bid_of_the_bakery_recalculates_to_what_it_holds() {
    recalculates("corner-bakery.xlsx");
}

#[test]
fn pricing_twice_gives_the_same_bytes() {
    for book in ["prairie-house.xlsx", "corner-bakery.xlsx"] {
        let (first, again) = (priced(book).1, priced(book).1);
        assert!(first == again, "{book}");
    }
}
