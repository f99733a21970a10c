//! Figures against a spreadsheet engine that is not ours: what a term is worth here, its formula must be worth there.

use crate::support::edges;
use crate::support::recalc::{recalculate_in_process, recalculated, rechecked, with_stored_value};
use crate::support::recipes::recipe;
use crate::support::sample;
use crate::support::trees::{self, agrees};
use proptest::prelude::*;
use tallybore::figure::address::addresses;
use tallybore::figure::stale;
use tallybore::write::bid_bytes;

fn sample_bytes() -> Vec<u8> {
    bid_bytes(&sample::book(), &sample::kept(), &sample::about()).unwrap()
}

#[test]
fn a_written_bid_recalculates_to_what_it_holds() {
    let bytes = sample_bytes();
    // For a look at it with a spreadsheet program.
    std::fs::write(std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("sample.xlsx"), &bytes).unwrap();
    let (formulas, differences) = rechecked(&bytes);
    assert!(formulas > 90, "{formulas} formulas");
    assert!(
        differences.is_empty(),
        "{}",
        differences.iter().map(std::string::ToString::to_string).collect::<Vec<_>>().join("\n")
    );
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

#[test]
fn blanks_words_and_text_numbers_mean_what_they_mean_in_a_spreadsheet() {
    let (book, kept, figures) = edges::book();
    let bytes = bid_bytes(&book, &kept, &sample::about()).unwrap();
    let cells = recalculated(&bytes);
    let addresses = addresses(&book);
    let mut compared = 0;
    for (name, figure) in &figures {
        let place = addresses.place(&book, figure.fig().unwrap());
        let at = format!("{}!{}", place.sheet, place.cell());
        if let Some(cell) = cells.iter().find(|cell| cell.cell == at) {
            compared += 1;
            let ours = figure.value();
            assert!(agrees(ours, &cell.fresh), "{name}: {}\nours {ours:?}\ntheirs {:?}", cell.formula, cell.fresh);
        }
    }
    assert!(compared > 750, "{compared}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_figures_are_worth_the_same_in_a_spreadsheet(recipe in recipe()) {
        let (book, kept, figures) = trees::build(&recipe);
        prop_assert_eq!(stale(&book), Vec::new());
        prop_assert_eq!(book.defects(), Vec::<String>::new());
        let bytes = bid_bytes(&book, &kept, &sample::about()).unwrap();
        let cells = recalculated(&bytes);
        let addresses = addresses(&book);
        for figure in figures {
            let fig = figure.fig().unwrap();
            let place = addresses.place(&book, fig);
            let at = format!("{}!{}", place.sheet, place.cell());
            let Some(cell) = cells.iter().find(|cell| cell.cell == at) else {
                // Not a formula: a constant put as it is.
                continue;
            };
            prop_assert!(cell.formula.len() < 8192);
            let ours = book.value(fig);
            prop_assert!(agrees(ours, &cell.stored), "{} {}\nours {:?}\nin the file {:?}", at, cell.formula, ours, cell.stored);
            prop_assert!(agrees(ours, &cell.fresh), "{} {}\nours {:?}\ntheirs {:?}", at, cell.formula, ours, cell.fresh);
        }
    }
}
