//! What a counter needs to fill an order without a call: fixtures by maker and model from their supplier, what is said of a thing
//! beyond its size, and what nobody says told to the user. What a counter asks is common practice.

use crate::support::job::job;
use std::collections::BTreeMap;
use tallybore::Order;
use tallybore::finding::Finding;

const JOB: &str = "Job: Order number | P
    Job: Site | 3 Fen Road
    Job: Deliver contact | the owner
    Runs: A | SUPPLY | 12 | Size 1/2
    Runs: B | A | 12 | Size 1/2
    Runs: H | A | 12 | Size 1/2
    Devices: WH | H | tank heater | Size 3/4
    Devices: HA | B | hammer arrester | Size 1/2
    Fixtures: L1 | lavatory | Cold run A | Hot run H | Maker Brookfern | Model Fell 19 | Finish white | Furnished by us | Price 94 | Supplier Harl
    Fixtures: L2 | lavatory | Cold run B | Maker Brookfern | Model Fell 19 | Finish white | Furnished by us | Price 94 | Supplier harl
    Fixtures: W1 | water closet | Cold run B | Model Tarn | Furnished by us | Price 248 | Rough-in drain 12 in from the wall
    Fixtures: K1 | kitchen sink | Cold run B | Furnished by us | Allowance 300
    Fixtures: C1 | clothes washer | Cold run B | Maker Windle | Furnished by owner
    Prices: pipe | coil | 40 | Material PEX | Size 1/2 | Pack 100 | Supplier Thrupp
    Prices: hammer arrester | each | 17 | Size 1/2 | Supplier Thrupp
    Prices: tank heater | each | 900 | Size 3/4 | Supplier Thrupp | Description 50 gal, gas";

fn made(text: &str) -> (Vec<Order>, Vec<Finding>) {
    let made = job(text);
    let (orders, findings) = made.price().orders(&made.job, &[], false, false).unwrap();
    (orders.orders, findings)
}

fn lines(orders: &[Order]) -> BTreeMap<(String, String), String> {
    let of = |order: &Order| -> Vec<((String, String), String)> {
        let supplier = order.supplier_name();
        let money =
            |price: Option<rust_decimal::Decimal>| price.map_or("no price".to_owned(), |price| price.to_string());
        let lines = order.lines.iter();
        lines
            .map(|line| {
                ((supplier.to_owned(), line.item.clone()), format!("{} at {}", line.quantity, money(line.quoted)))
            })
            .collect()
    };
    orders.iter().flat_map(of).collect()
}

#[test]
fn fixtures_that_their_rows_price_are_ordered_from_their_supplier() {
    let (orders, findings) = made(JOB);
    let lines = lines(&orders);
    let of = |supplier: &str, item: &str| lines.get(&(supplier.to_owned(), item.to_owned())).cloned();
    assert_eq!(of("Harl", "lavatory, Brookfern Fell 19, white").as_deref(), Some("2 at 94"), "{lines:?}");
    let closet = of("Thrupp", "water closet, Tarn, drain 12 in from the wall");
    assert_eq!(closet.as_deref(), Some("1 at 248"), "by default of the first in Prices: {lines:?}");
    assert!(!lines.keys().any(|(_, item)| item.starts_with("clothes washer")), "the owner's: {lines:?}");
    assert!(!lines.keys().any(|(_, item)| item.starts_with("kitchen sink")), "not picked: {lines:?}");
    let slugs: Vec<&str> = findings.iter().map(|finding| finding.slug).collect();
    for slug in ["fixture-not-picked", "fixture-without-supplier"] {
        assert_eq!(slugs.iter().filter(|found| **found == slug).count(), 1, "{slug}: {slugs:?}");
    }
    // What is set already is not ordered again.
    let (orders, _) = made(&JOB.replace("Model Tarn |", "Model Tarn | Status installed |"));
    assert!(!self::lines(&orders).keys().any(|(_, item)| item.starts_with("water closet")));
}

#[test]
fn what_the_job_knows_is_said_and_what_it_does_not_is_told() {
    let (orders, findings) = made(JOB);
    let items: Vec<String> = orders.iter().flat_map(|order| &order.lines).map(|line| line.item.clone()).collect();
    // PDI WH-201: 1/2 in is size A (from memory).
    assert!(items.iter().any(|item| item.contains("hammer arrester") && item.contains("PDI size A")), "{items:?}");
    let pipe = items.iter().find(|item| item.starts_with("PEX pipe")).unwrap();
    assert!(pipe.contains("SDR 9") && pipe.contains("type A or B") && pipe.contains("any color"), "{pipe}");
    let told = |findings: &[Finding], asks: &str| findings.iter().any(|finding| finding.found.contains(asks));
    for slug in ["counter-would-ask", "counter-would-ask-fixture"] {
        assert!(findings.iter().any(|finding| finding.slug == slug), "{slug}");
    }
    assert!(told(&findings, "fuel") && told(&findings, "venting"), "natural gas or LP");
    assert!(told(&findings, "of L1 (lavatory): faucet holes") && !told(&findings, "of W1"));
    // It is answered where the device is listed too.
    let noted = JOB.replace("tank heater | Size 3/4\n", "tank heater | Size 3/4 | Note natural gas, power vent\n");
    let (orders, findings) = made(&noted);
    assert!(!told(&findings, "fuel"));
    assert!(lines(&orders).keys().any(|(_, item)| item.ends_with("50 gal, gas, natural gas, power vent")));
}

/// A pipe of 100 ft charged with its waste, and less than that bought: told.
#[test]
fn less_pipe_than_the_bid_charges_is_told() {
    let text = "Job: Waste | 20%
        Job: Form | stick
        Job: Tail allowance | 0
        Runs: A | SUPPLY | 20 | Size 1/2
        Fixtures: L1 | lavatory | Cold run A
        Prices: pipe | stick | 9 | Material PEX | Size 1/2 | Pack 20 | Supplier Thrupp";
    let told = |text: &str| made(text).1.into_iter().find(|finding| finding.slug == "order-under-bid");
    assert!(told(text).unwrap().found.contains("1/2\" 4 ft"), "20 ft and a fifth of it, of which a stick has 20");
    assert!(told(&text.replace("| 20%", "| 0%")).is_none());
}
