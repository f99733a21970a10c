//! Whole bids recalculated by a spreadsheet engine that is not ours: every formula must give the value stored with it.

mod support;

use support::job::{demonstration, job};
use support::recalc::{recalculate_in_process, recalculated};

/// A house in a few lines, with most of what a bid can hold.
fn house() -> support::job::Made {
    job("Job: Supply pressure | 58
        Job: Highest pressure | 72
        Job: Tax rate | 6.5%
        Job: Overhead | 8%
        Job: Profit | 10%
        Job: Contingency | 5%
        Job: Permit | 120
        Runs: S1 | SUPPLY | 40 | Material PE | Rise ft 5 | Where buried | Joints none | Form coil
        Runs: M1 | S1 | 6 | Rise ft 3 | Bends 1
        Runs: C1 | M1 | 12'6\" | Bends 2
        Runs: C2 | C1 | 8 | Rise ft 2
        Runs: C3 | C1 | 15 | Rise ft 1.5 | Size 1/2
        Runs: H1 | M1 | 10 | Bends 1 | Insulation in 0.5
        Runs: H2 | H1 | 9 | Rise ft 2
        Fixtures: WC | water closet | Cold run C2 | Group full bath A
        Fixtures: L | lavatory | Cold run C2 | Hot run H2 | Group full bath A
        Fixtures: T | bathtub | Cold run C2 | Hot run H2 | Group full bath A
        Fixtures: HB | hose bibb | Cold run C3 | Count 2
        Devices: heater | H1 | tank heater | Size 3/4
        Devices: meter | M1 | meter | Size 3/4 | Status by others
        Prices: pipe | coil | 42 | Material PEX | Size 1/2 | Pack 100
        Prices: pipe | coil | 74 | Material PEX | Size 3/4 | Pack 100
        Prices: pipe | stick | 29.57 | Material PEX | Size 1 | Pack 20
        Prices: pipe | ft | 1.39 | Material PE | Size 1
        Prices: elbow | each | 1.85 | Material PEX | Size 1/2
        Prices: ring | bag | 14.90 | Material PEX | Size 1/2 | Pack 50
        Other costs: travel | 6 | 18.50 | Phase rough-in
        On hand: pipe | 33 | Material PEX | Size 1/2 | Unit ft
        Terms: allowance | trim of the owner's choice | Amount 250")
}

fn hold_to_its_formulas(name: &str, bytes: &[u8], least: usize) {
    // For the scripts of tests/outside, and for a look at it.
    std::fs::write(std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-bid.xlsx")), bytes).unwrap();
    let cells = recalculated(bytes);
    println!("{name}: {} formulas", cells.len());
    assert!(cells.len() >= least, "{name}: only {} formulas", cells.len());
    let differences = recalculate_in_process(bytes);
    let told: Vec<String> = differences.iter().take(20).map(|difference| difference.to_string()).collect();
    assert!(differences.is_empty(), "{name}: {} differ\n{}", differences.len(), told.join("\n"));
}

#[test]
fn a_small_house_recalculates_to_what_its_bid_holds() {
    hold_to_its_formulas("small-house", &house().bid(), 400);
}

#[test]
fn the_demonstration_house_recalculates_to_what_its_bid_holds() {
    hold_to_its_formulas("prairie-house", &demonstration("prairie-house").bid(), 2000);
}

#[test]
fn the_demonstration_bakery_recalculates_to_what_its_bid_holds() {
    hold_to_its_formulas("corner-bakery", &demonstration("corner-bakery").bid(), 1000);
}
