//! Offers in full: price breaks, the least that is sold, and suppliers who cost something to be used at all.

use super::{adds_up, close, number, of, rows, table};
use crate::support::job::{Made, job};
use crate::support::recalc::{Held, Open};
use proptest::prelude::*;
use tallybore::place::Place;

/// 55 ft of 3/4 in. and 18 ft of 1/2 in.: 22 supports and 8, a bag of rings of each size.
const JOB: &str = "Job: Supply pressure | 60
    Job: Tail allowance | 0
    Job: Saw kerf | 0
    Runs: A | SUPPLY | 55 | Size 3/4
    Runs: B | A | 18 | Size 1/2
    Fixtures: L1 | lavatory | Cold run B
    Prices: pipe | stick | 12 | Material PEX | Size 3/4 | Pack 20 | Supplier Quillmoor Supply
    Prices: pipe | stick | 5.90 | Material PEX | Size 3/4 | Pack 10 | Supplier Stenvik Yard
    Prices: pipe | stick | 8 | Material PEX | Size 1/2 | Pack 20 | Supplier Quillmoor Supply
    Prices: coupling | each | 0.10 | Material PEX | Size 3/4 | Supplier Quillmoor Supply
    Prices: ring | bag | 4 | Material PEX | Size 3/4 | Pack 10 | Supplier Quillmoor Supply
    Prices: ring | bag | 3 | Material PEX | Size 1/2 | Pack 10 | Supplier Quillmoor Supply
    Prices: ring | bag | 2.90 | Material PEX | Size 1/2 | Pack 10 | Supplier Stenvik Yard
    Prices: support | each | 0.50 | Size 1/2 | Supplier Quillmoor Supply
    Prices: support | each | 0.60 | Size 3/4 | Supplier Quillmoor Supply
    Prices: support | each | 0.40 | Size 3/4 | Supplier Quillmoor Supply | From units 10
    Prices: support | each | 0.30 | Size 3/4 | Supplier Quillmoor Supply | From units 40";

fn with(more: &str) -> Made {
    job(&format!("{JOB}\n{more}"))
}

/// Units and price by what is ordered and from whom.
fn ordered(made: &Made) -> Vec<(String, String, f64, f64)> {
    let words = |row: &[(String, String)], heading| of(row, heading).to_owned();
    let order = table(&made.bid(), "Buying", "What to order");
    let one = |row: &Vec<(String, String)>| {
        assert_eq!(of(row, "Check"), "OK", "{row:?}");
        (words(row, "Line"), words(row, "Supplier"), number(row, "Chosen packs"), number(row, "Price of one"))
    };
    order.iter().map(one).collect()
}

fn suppliers(made: &Made, line: &str) -> Vec<String> {
    ordered(made).into_iter().filter(|row| row.0 == line).map(|row| row.1).collect()
}

#[test]
fn nobody_drives_to_a_second_yard_for_ten_cents() {
    // As the prices are: a bag of rings is 0.10 less at Stenvik.
    assert_eq!(suppliers(&with(""), "ring PEX 1/2\""), ["Stenvik Yard"]);
    // A trip of 45.00 costs more than it saves; one of 0.05 does not.
    let far = with("Suppliers: Quillmoor Supply | Trip cost 20\nSuppliers: Stenvik Yard | Trip cost 45");
    assert!(ordered(&far).iter().all(|row| row.1 == "Quillmoor Supply"), "{:?}", ordered(&far));
    let near = with("Suppliers: Quillmoor Supply | Trip cost 20\nSuppliers: Stenvik Yard | Trip cost 0.05");
    assert_eq!(suppliers(&near, "ring PEX 1/2\""), ["Stenvik Yard"]);
    // A least order of 30.00 would be filled up with 27.10 of nothing.
    let least = with("Suppliers: Stenvik Yard | Minimum order 30");
    assert_eq!(suppliers(&least, "ring PEX 1/2\""), ["Quillmoor Supply"]);
    // By hand: pipe 36.00 and 8.00, two couplings 0.20 that join its three sticks, rings 4.00 and 3.00, supports 22 at 0.40
    // and 7 at 0.50; and one trip.
    let bid = far.bid();
    let all = rows(&bid, "Buying");
    let line = |words: &str| all.iter().find(|row| row[0].starts_with(words)).unwrap_or_else(|| panic!("no {words}"));
    let sum = line("Packs, sticks and coils with them");
    assert!(close(sum[1].parse().unwrap(), 63.5 + 20.0), "{sum:?}");
    assert_eq!(sum[2], "the least there is");
    let more: f64 = line("Each at its cheapest")[1].parse().unwrap();
    assert!(close(more, 45.0 - 0.1), "{more}");
    // Pipe is planned with the trips in mind too: without them, six sticks of ten are 0.60 less than three of twenty.
    let cheap_joints = |more: &str| {
        let text = format!("{JOB}\n{more}").replace("Runs: A | SUPPLY | 55", "Runs: A | SUPPLY | 10");
        let text = text.replace("Runs: B | A", "Runs: C | A | 10 | Size 3/4\nRuns: B | C");
        suppliers(&job(&text), "pipe PEX 3/4\"")
    };
    assert_eq!(cheap_joints(""), ["Stenvik Yard"]);
    assert_eq!(cheap_joints("Suppliers: Stenvik Yard | Trip cost 9"), ["Quillmoor Supply"]);
}

#[test]
fn a_price_break_counts_once_it_is_reached() {
    let made = with("");
    let bought = ordered(&made);
    let support = bought.iter().find(|row| row.0 == "support PEX 3/4\"").unwrap();
    assert_eq!((support.2, support.3), (22.0, 0.4));
    // The bid's unit price is that of the break that the need reaches, and no lower one.
    let bid = made.bid();
    let lines = table(&bid, "Cost build-up", "Material, line by line");
    let line = lines.iter().find(|row| of(row, "Line") == "support PEX 3/4\"").unwrap();
    assert_eq!((number(line, "Price of one"), of(line, "Check")), (0.4, "OK"));
    // Buying more to reach a break pays where the whole costs less: 25 at 0.20 is 5.00, 22 at 0.40 is 8.80.
    let made = with("Prices: support | each | 0.20 | Size 3/4 | Supplier Quillmoor Supply | From units 25");
    let bought = ordered(&made);
    let support = bought.iter().find(|row| row.0 == "support PEX 3/4\"").unwrap();
    assert_eq!((support.2, support.3), (25.0, 0.2));
    adds_up(&made.bid());
}

#[test]
fn no_fewer_are_bought_than_are_sold() {
    // 7 at 0.50 are 3.50; 25 at 0.20 are 5.00, at 0.13 they are 3.25.
    for (price, units, each) in [("0.20", 7.0, 0.5), ("0.13", 25.0, 0.13)] {
        let made =
            with(&format!("Prices: support | each | {price} | Size 1/2 | Supplier Stenvik Yard | Minimum units 25"));
        let bought = ordered(&made);
        let support = bought.iter().find(|row| row.0 == "support PEX 1/2\"").unwrap();
        assert_eq!((support.2, support.3), (units, each), "{price}");
    }
}

#[test]
fn a_break_that_is_no_longer_reached_says_so() {
    let made = with("");
    let bid = made.bid();
    let mut open = Open::of(&bid);
    // Cut to a fifth, the run needs fewer supports than the break asks for.
    let runs = made.kept.declared("Runs").unwrap();
    let length = Place::new("Runs", runs.heading_row.unwrap() + 1, runs.column_of["Length ft"]);
    let sheet = rows(&bid, "Cost build-up");
    let head = sheet.iter().position(|row| row[0] == "Line").unwrap();
    let check = sheet[head].iter().position(|cell| cell == "Check").unwrap() as u16;
    let row = sheet.iter().position(|row| row[0] == "support PEX 3/4\"").unwrap() as u32;
    let verdict = Place::new("Cost build-up", row, check);
    assert_eq!(open.value(&verdict), Held::Text("OK".to_owned()));
    open.type_in(&length, "11");
    open.recalculate();
    assert_eq!(open.value(&verdict), Held::Text("break not reached".to_owned()));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    /// Against every set of suppliers, priced as a job of their rows alone.
    #[test]
    fn no_set_of_suppliers_costs_less(
        prices in prop::collection::vec(prop::collection::vec(prop::option::of(10u32..90), 3), 3),
        trips in prop::collection::vec(0u32..900, 3),
    ) {
        let head = "Job: Supply pressure | 60\nJob: Tail allowance | 0
            Runs: A | SUPPLY | 18 | Size 1/2\nFixtures: L1 | lavatory | Cold run A
            Prices: pipe | stick | 8 | Material PEX | Size 1/2 | Pack 20";
        let kinds = ["support | each | $ | Size 1/2", "ring | each | $ | Material PEX | Size 1/2", "stop valve | each | $ | Size 1/2"];
        let names = ["North", "South", "West"];
        let row = |line: usize, of: usize| {
            prices[line][of].map(|cents| {
                let price = format!("{}.{:02}", cents / 100, cents % 100);
                format!("\nPrices: {} | Supplier {}", kinds[line].replace('$', &price), names[of])
            })
        };
        let text = |set: u32| -> String {
            let rows = (0..3).flat_map(|line| (0..3).filter(move |of| set >> of & 1 == 1).filter_map(move |of| row(line, of)));
            format!("{head}{}", rows.collect::<String>())
        };
        let terms: String = trips.iter().zip(names).map(|(trip, name)| format!("\nSuppliers: {name} | Trip cost {}.{:02}", trip / 100, trip % 100)).collect();
        let offered = (0..3).filter(|line| prices[*line].iter().any(Option::is_some)).count();
        prop_assume!(offered > 0);
        let mut least = f64::MAX;
        for set in 0..8u32 {
            let covered = (0..3).filter(|line| (0..3).any(|of| set >> of & 1 == 1 && prices[*line][of].is_some())).count();
            if covered < offered {
                continue;
            }
            let order = table(&job(&text(set)).bid(), "Buying", "What to order");
            let packs: f64 = order.iter().map(|row| number(row, "Cost")).sum();
            let used = (0..3).filter(|of| order.iter().any(|row| super::of(row, "Supplier") == names[*of]));
            least = least.min(packs + used.map(|of| f64::from(trips[of]) / 100.0).sum::<f64>());
        }
        let bid = job(&(text(7) + &terms)).bid();
        let order = table(&bid, "Buying", "What to order");
        let packs: f64 = order.iter().map(|row| number(row, "Cost")).sum();
        let used = (0..3).filter(|of| order.iter().any(|row| super::of(row, "Supplier") == names[*of]));
        let cost = packs + used.map(|of| f64::from(trips[of]) / 100.0).sum::<f64>();
        prop_assert!(close(cost, least), "{} against {}", cost, least);
    }
}

#[test]
fn a_break_or_a_trip_written_later_asks_for_the_job_to_be_priced_again() {
    let made = with("Suppliers: Stenvik Yard | Contact 555-0101");
    let bid = made.bid();
    for (sheet, heading, row_of) in
        [("Prices", "From units", 1), ("Prices", "Minimum units", 2), ("Suppliers", "Trip cost", 0)]
    {
        let mut open = Open::of(&bid);
        let kept = made.kept.declared(sheet).unwrap();
        let cell = Place::new(sheet, kept.heading_row.unwrap() + 1 + row_of, kept.column_of[heading]);
        let checks = rows(&bid, "Checks");
        let row = checks.iter().position(|row| row[0] == format!("{heading} in {sheet}")).unwrap();
        let check = Place::new("Checks", row as u32, 3);
        assert_eq!(open.value(&check), Held::Text("OK".to_owned()));
        open.type_in(&cell, "7");
        open.recalculate();
        assert_eq!(open.value(&check), Held::Text("price again".to_owned()), "{heading}");
    }
}
