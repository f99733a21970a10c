//! Whole bids of the demonstration books, recalculated by an independent spreadsheet engine: every formula's stored value
//! is what that engine makes of it, and pricing the same book twice gives the same bytes.

use crate::support::job::{demonstration, job};
use crate::support::recalc::{Shelf, rechecked};
use std::path::Path;
use tallybore::model::Job;
use tallybore::pipeline::{Options, Priced, price};
use tallybore::place::Place;
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
    let (formulas, differences) = rechecked(&bytes);
    assert!(formulas > 4_000, "only {formulas} formulas in the bid of {book}");
    assert_eq!(differences, Vec::new(), "{book}");
}

#[test]
fn the_bid_of_the_house_recalculates_to_what_it_holds() {
    recalculates("prairie-house.xlsx");
}

#[test]
fn the_bid_of_the_bakery_recalculates_to_what_it_holds() {
    recalculates("corner-bakery.xlsx");
}

/// Tests type many changes into one workbook of the other engine; each must find it as it was.
#[test]
fn what_is_typed_into_a_workbook_is_gone_from_it_when_it_goes_back() {
    let made = job("Job: Supply pressure | 60
        Job: Labor rate | 80
        Runs: A | SUPPLY | 12 | Size 3/4
        Fixtures: L1 | lavatory | Cold run A
        Prices: pipe | coil | 40 | Material PEX | Size 1/2 | Pack 100");
    let shelf = Shelf::of(made.bid());
    let bid = || -> Vec<String> {
        let mut open = shelf.open();
        open.recalculate();
        (0..120).map(|row| open.value(&Place::new("Bid", row, 0)).to_string()).collect()
    };
    let before = bid();
    let run = &made.job.runs[0];
    let [size, length] = [&run.size.cell, &run.length_ft.cell].map(|cell| cell.clone().unwrap());
    let beyond = Place { row: length.row + 30, ..length.clone() };
    {
        let mut open = shelf.open();
        open.type_in(&length, "500");
        open.type_in(&length, "");
        open.type_words(&size, "46024");
        open.type_in(&beyond, "7");
        open.recalculate();
        let typed: Vec<_> = (0..120).map(|row| open.value(&Place::new("Bid", row, 0)).to_string()).collect();
        assert_ne!(typed, before);
    }
    assert_eq!(bid(), before);
}

/// A sheet with every heading and most cells blank, where formulas ask what was typed; units of sale, packs, a share.
#[test]
fn the_bid_of_a_small_house_recalculates_to_what_it_holds() {
    let house = job("Job: Supply pressure | 58
        Job: Tax rate | 6.5%
        Job: Overhead | 8%
        Job: Profit | 10%
        Job: Fittings loss | 50%
        Job: Demand between rows | interpolate
        Job: Code basis | UPC
        Runs: S1 | SUPPLY | 40 | Material PE | Rise ft 5 | Where buried | Joints none | Form coil
        Runs: M1 | S1 | 6 | Rise ft 3 | Bends 1
        Runs: C1 | M1 | 12'6\" | Bends 2
        Runs: C2 | C1 | 8 | Rise ft 2
        Runs: C3 | C1 | 15 | Rise ft 1.5 | Size 1/2
        Runs: H1 | M1 | 10 | Bends 1 | Insulation in 0.5
        Runs: H2 | H1 | 9 | Rise ft 2
        Fixtures: WC | water closet | Cold run C2
        Fixtures: L | lavatory | Cold run C2 | Hot run H2 | Count 2
        Fixtures: T | bathtub | Cold run C2 | Hot run H2 | Need psi 15
        Fixtures: HB | hose bibb | Cold run C3 | Count 2
        Fixtures: P | other | Cold run C3 | Gpm 1.25
        Devices: heater | H1 | tank heater | Size 3/4
        Devices: valve | M1 | regulator | Set psi 55
        Prices: pipe | coil | 42 | Material PEX | Size 1/2 | Pack 100
        Prices: pipe | coil | 74 | Material PEX | Size 3/4 | Pack 100
        Prices: pipe | stick | 29.57 | Material PEX | Size 1 | Pack 20
        Prices: pipe | ft | 1.39 | Material PE | Size 1
        Prices: ring | bag | 14.90 | Material PEX | Size 1/2 | Pack 50
        Other costs: travel | 6 | 18.50 | Phase rough-in
        On hand: pipe | 33 | Material PEX | Size 1/2 | Unit ft
        Terms: allowance | trim of the owner's choice | Amount 250");
    let bytes = house.bid();
    let (formulas, differences) = rechecked(&bytes);
    assert!(formulas > 1_000, "only {formulas} formulas");
    assert_eq!(differences, Vec::new());
}

/// The jobs that tests make in code stand for jobs that are read: of one text both ways must make the same.
#[test]
fn a_job_made_in_code_is_the_job_that_is_read() {
    for name in ["prairie-house", "corner-bakery"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-books").join(name).with_extension("xlsx");
        let (made, read) = (rows(&demonstration(name).job), rows(&read::open(&path).job));
        assert_eq!(made.len(), read.len(), "{name}");
        for (made, read) in made.iter().zip(&read) {
            assert_eq!(made, read, "{name}");
        }
    }
}

/// Every typed row with its values, cells and how they stood.
fn rows(job: &Job) -> Vec<String> {
    let mut rows: Vec<String> = job.settings.iter().map(|(setting, field)| format!("{setting:?} {field:?}")).collect();
    rows.extend(job.fixtures.iter().map(|row| format!("{row:?}")));
    rows.extend(job.runs.iter().map(|row| format!("{row:?}")));
    rows.extend(job.devices.iter().map(|row| format!("{row:?}")));
    rows.extend(job.drains.iter().map(|row| format!("{row:?}")));
    rows.extend(job.prices.iter().map(|row| format!("{row:?}")));
    rows.extend(job.labor.iter().map(|row| format!("{row:?}")));
    rows.extend(job.other_costs.iter().map(|row| format!("{row:?}")));
    rows.extend(job.on_hand.iter().map(|row| format!("{row:?}")));
    rows.extend(job.terms.iter().map(|row| format!("{row:?}")));
    rows.extend(job.test_log.iter().map(|row| format!("{row:?}")));
    rows
}
