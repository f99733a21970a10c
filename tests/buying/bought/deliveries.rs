//! What has come, against what was bought and what is in: by hand.

use super::{number, of, rows, table};
use crate::support::job::job;

/// 30 ft of 1/2 in.: 18 ft installed, 12 ft to go. Three sticks of 20 ft bought at 8.00.
const JOB: &str = "Job: Supply pressure | 60
    Job: Tail allowance | 0
    Job: Waste | 0
    Runs: A | SUPPLY | 18 | Size 3/4 | Status installed
    Runs: B | A | 12 | Size 3/4
    Fixtures: L1 | lavatory | Cold run B
    Prices: pipe | stick | 8 | Material PEX | Size 3/4 | Pack 20 | Bought 3
    Prices: support | each | 0.50 | Size 3/4 | Bought 10";

fn of_pipe(more: &str) -> Vec<(String, String)> {
    let bid = job(&format!("{JOB}\n{more}")).bid();
    let deliveries = table(&bid, "Buying", "Deliveries");
    deliveries.into_iter().find(|row| of(row, "Line") == "pipe PEX 3/4\"").unwrap()
}

fn numbers(row: &[(String, String)], headings: &[&str]) -> Vec<f64> {
    headings.iter().map(|heading| number(row, heading)).collect()
}

#[test]
fn what_came_is_reconciled_with_what_was_bought_and_what_is_in() {
    // All three sticks came, 18 ft are in the wall: 42 ft on site, 12 wanted, 30 can go back: 1.5 sticks at 8.00.
    let row = of_pipe("Received: pipe | 60 | Material PEX | Size 3/4 | Used 18");
    let headings = ["Bought", "Received", "Still to come", "On site", "Wanted yet", "Short", "Can go back", "Worth"];
    assert_eq!(numbers(&row, &headings), [60.0, 60.0, 0.0, 42.0, 12.0, 0.0, 30.0, 12.0]);
    // Two came, one of them went back and off what is bought: 20 still to come, 2 on site.
    let text = format!("{JOB}\nReceived: pipe | 40 | Material PEX | Size 3/4 | Used 18 | Returned 20");
    let bid = job(&text.replace("Bought 3", "Bought 2")).bid();
    let deliveries = table(&bid, "Buying", "Deliveries");
    let row = &deliveries[0];
    assert_eq!(numbers(row, &headings), [40.0, 40.0, 20.0, 2.0, 12.0, 0.0, 0.0, 0.0]);
    assert_eq!(of(row, "Check"), "OK");
    // Used ahead of its Status: 28 ft are used, 18 by what Status says; 2 of the 12 are wanted yet.
    let row = of_pipe("Received: pipe | 60 | Material PEX | Size 3/4 | Used 28");
    assert_eq!(numbers(&row, &["On site", "Wanted yet", "Can go back"]), [32.0, 2.0, 30.0]);
    // Rows of one thing add up.
    let row = of_pipe(
        "Received: pipe | 40 | Material PEX | Size 3/4\nReceived: pipe | 20 | Material PEX | Size 3/4 | Used 18",
    );
    assert_eq!(numbers(&row, &headings), [60.0, 60.0, 0.0, 42.0, 12.0, 0.0, 30.0, 12.0]);
    let row = of_pipe("Received: pipe | 20 | Material PEX | Size 3/4 | Used 18 | Returned 5");
    assert_eq!(of(&row, "Check"), "more than came");
}

#[test]
fn what_came_changes_no_order_and_no_price() {
    let plain = job(JOB).bid();
    let reported = job(&format!(
        "{JOB}\nReceived: pipe | 60 | Material PEX | Size 3/4 | Used 18\nReceived: support | 4 | Size 3/4"
    ))
    .bid();
    for title in ["Line by line", "What to order"] {
        let has = |bid: &[u8]| rows(bid, "Buying").iter().any(|row| row[0] == title);
        assert_eq!(has(&plain), has(&reported));
    }
    assert_eq!(table(&plain, "Buying", "Line by line"), table(&reported, "Buying", "Line by line"));
    assert_eq!(rows(&plain, "Bid"), rows(&reported, "Bid"));
    let sum = rows(&reported, "Buying");
    let worth = sum.iter().find(|row| row[0] == "Worth of what can go back").unwrap();
    assert_eq!(worth[1].parse::<f64>().unwrap(), 12.0);
}
