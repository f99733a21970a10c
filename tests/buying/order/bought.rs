//! What is bought is not ordered again, whichever color it has and whether or not the bid's choices are held; and what a
//! cut asks for is ordered with it.

use crate::support::job::{Made, job, shown};
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use tallybore::model::Raw;
use tallybore::pipeline::{self, Options, Priced};
use tallybore::read;

fn priced(made: &Made, hold: bool) -> Priced {
    let options = Options { hold, ..Options::default() };
    pipeline::price(&made.job, &made.kept, &[], &options).unwrap_or_else(|findings| panic!("{findings:?}"))
}

/// Units ordered, by line key.
fn ordered(made: &Made, hold: bool) -> BTreeMap<String, Decimal> {
    let priced = priced(made, hold);
    let (orders, _) = priced.orders(&made.job, &[], false, false).unwrap();
    // Of what is bought by Prices.
    let lines = orders.orders.iter().flat_map(|order| &order.lines).filter(|line| !line.quote && line.price.is_some());
    lines.map(|line| (line.key.to_string(), line.quantity)).collect()
}

/// A hot and a cold line of 22 and 26 ft, sticks of 20 ft; `more` about the sticks.
fn lines(more: &str) -> String {
    format!(
        "Job: Supply pressure | 60
        Job: Pipe color | by water
        Job: Form | stick
        Runs: A | SUPPLY | 21 | Material PEX | Size 1 | Where crawl space
        Runs: H | A | 25 | Size 1 | Where crawl space
        Devices: WH | H | tank heater | Size 1
        Fixtures: L | lavatory | Cold run A | Hot run H
        Prices: pipe | stick | 12 | Material PEX | Size 1 | Pack 20{more}
        Prices: coupling | each | 2.92 | Material PEX | Size 1
        Prices: ring | bag | 7 | Material PEX | Size 1 | Pack 10"
    )
}

#[test]
fn what_a_cut_run_is_joined_with_is_ordered() {
    // By hand: 22 and 26 ft with their tails want two sticks of 20 ft each, one joint each: a coupling and two rings a joint.
    let whole = ordered(&job(&lines("")), false);
    assert_eq!(whole["pipe|PEX|1|stick 20|cold"] + whole["pipe|PEX|1|stick 20|hot"], Decimal::from(4));
    let priced = job(&lines("")).price();
    let line = |item: &str| {
        let at = priced.take_off.lines.iter().position(|line| line.item.text() == item).unwrap();
        let bought = priced.purchases.lines.iter().find(|bought| bought.line == at);
        let counted = priced.take_off.lines[at].counted.value().as_f64();
        (counted, bought.map_or(0.0, |bought| bought.wanted.value().as_f64()))
    };
    let (counted, wanted) = line("coupling PEX 1\"");
    assert_eq!(wanted, counted + 2.0);
    let (counted, wanted) = line("ring PEX 1\"");
    assert!(wanted >= counted + 4.0, "{counted} {wanted}");
    assert!(whole["coupling|PEX|1|each 1"] >= Decimal::TWO);
}

#[test]
fn sticks_bought_for_two_colors_serve_both() {
    {
        let bought = "Bought 4";
        let of = ordered(&job(&lines(&format!(" | {bought}"))), false);
        assert!(!of.keys().any(|key| key.starts_with("pipe|")), "{bought}: {of:?}");
    }
    // A row for one water serves that one alone.
    let made = job(&(lines(" | Bought 4 | Water cold")
        + "\n        Prices: pipe | stick | 12 | Material PEX | Size 1 | Pack 20 | Water hot"));
    let of = ordered(&made, false);
    assert_eq!(of.get("pipe|PEX|1|stick 20|cold"), None, "{of:?}");
    let hot: Vec<Decimal> =
        of.iter().filter(|(key, _)| key.starts_with("pipe|PEX|1|stick 20|hot")).map(|(_, count)| *count).collect();
    assert_eq!(hot, [Decimal::TWO], "{of:?}");
}

#[test]
fn a_bid_whose_order_has_been_bought_orders_nothing_more_held_or_not() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bid.xlsx");
    std::fs::write(&path, &shown("prairie-house").bid).unwrap();
    let reading = read::open(&path);
    let mut made = Made { job: reading.job, kept: reading.book, rule_files: Vec::new() };
    let first = priced(&made, true);
    let mut units: BTreeMap<usize, Decimal> = BTreeMap::new();
    for pack in &first.purchases.packs {
        *units.entry(pack.price).or_default() += pack.packs.value().as_decimal().unwrap();
    }
    assert!(units.len() > 40, "{}", units.len());
    for (row, count) in units {
        let bought = &mut made.job.prices[row].bought;
        (bought.value, bought.raw) = (Some(count), Raw::Number(count));
    }
    for hold in [true, false] {
        let again = ordered(&made, hold);
        assert!(again.is_empty(), "hold {hold}: {again:?}");
    }
}

/// What turned up on hand after the bid was priced is not bought all the same because the bid's choices are held.
#[test]
fn what_is_on_hand_since_is_not_ordered_by_held_choices() {
    let text = lines("") + "\n        On hand: ring | 0 | Material PEX | Size 1 | Unit each";
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bid.xlsx");
    std::fs::write(&path, job(&text).bid()).unwrap();
    let reading = read::open(&path);
    let mut made = Made { job: reading.job, kept: reading.book, rule_files: Vec::new() };
    let first = ordered(&made, true);
    assert!(first["ring|PEX|1|bag 10"] >= Decimal::ONE, "{first:?}");
    let on_hand = &mut made.job.on_hand[0].quantity;
    (on_hand.value, on_hand.raw) = (Some(200.into()), Raw::Number(200.into()));
    let again = ordered(&made, true);
    assert_eq!(again.get("ring|PEX|1|bag 10"), None, "{again:?}");
    assert_eq!(
        again.iter().filter(|(key, _)| key.starts_with("pipe|")).collect::<Vec<_>>(),
        first.iter().filter(|(key, _)| key.starts_with("pipe|")).collect::<Vec<_>>()
    );
}

#[test]
fn what_is_in_came_out_of_what_is_bought_once_for_both_colors() {
    // By hand: 40 ft in already with its tails, two of four sticks bought. Of the other 40 ft the cold line wants 22 ft, two sticks, and the
    // hot one 26 ft, two sticks: nothing is left for the second of them.
    let text = lines(" | Bought 4")
        + "\n        Runs: I | A | 39 | Size 1 | Where crawl space | Status installed\n        Job: Waste | 0%
        Fixtures: H | hose bibb | Cold run I";
    let of = ordered(&job(&text), false);
    let pipe: Decimal = of.iter().filter(|(key, _)| key.starts_with("pipe|")).map(|(_, count)| *count).sum();
    assert_eq!(pipe, Decimal::TWO, "{of:?}");
}

#[test]
fn held_cuts_outlive_the_runs_that_are_in_since() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bid.xlsx");
    std::fs::write(&path, &shown("prairie-house").bid).unwrap();
    let reading = read::open(&path);
    let mut made = Made { job: reading.job, kept: reading.book, rule_files: Vec::new() };
    for run in &mut made.job.runs {
        if ["SV1", "SV2", "M1", "HD1", "HD2", "C1", "C2", "C3"].contains(&run.name.value.trim()) {
            run.status.value = Some(tallybore::model::Status::Installed);
            run.status.raw = Raw::Text("installed".into());
        }
    }
    let held = priced(&made, true);
    let short: Vec<_> = held.purchases.pipes.iter().filter(|pipe| !pipe.short.is_empty()).collect();
    assert!(short.is_empty(), "{short:?}");
}
