//! What this job has put in already: it stays in the price, keeps its size, and is neither ordered nor tied into.

use super::against::{reading, reported, revise, rows, table};
use super::command::{sheet, write};
use super::held::service;
use crate::program::Folder;
use crate::support::job::{Made, job};
use rust_decimal::Decimal;

/// A garden line with a branch; the first run with a status of its own.
fn garden(status: &str, bought: &str) -> Made {
    job(&format!(
        "Job: Supply pressure | 60
        Job: Job name | Garden
        Job: Waste | 10%
        Job: Tax rate | 10%
        Runs: A | SUPPLY | 200 | Material PEX | Size 3/4 | Bends 2{status}
        Runs: B | A | 60 | Size 3/4
        Runs: C | A | 20 | Size 3/4
        Fixtures: H | hose bibb | Cold run B
        Fixtures: S | hose bibb | Cold run C
        Prices: pipe | coil | 80 | Material PEX | Size 3/4 | Pack 100{bought}
        Prices: ring | bag | 12 | Material PEX | Size 3/4 | Pack 50
        Prices: elbow | each | 3 | Material PEX | Size 3/4
        Prices: tee | each | 4 | Material PEX | Size 3/4 x 3/4 x 3/4
        Prices: coupling | each | 2 | Material PEX | Size 3/4
        On hand: pipe | 30 | Material PEX | Size 3/4"
    ))
}

const INSTALLED: &str = " | Status installed";

fn to_buy(made: &Made, item: &str) -> (f64, f64) {
    let priced = made.price();
    let line =
        priced.take_off.lines.iter().find(|line| line.item.text() == item).unwrap_or_else(|| panic!("no {item}"));
    (line.needed.value().as_f64(), line.to_buy.value().as_f64())
}

#[test]
fn what_is_in_stays_in_the_price_and_its_hours_too() {
    let (new, done) = (garden("", "").price(), garden(INSTALLED, "").price());
    assert_eq!(new.bid.build_up.total.value(), done.bid.build_up.total.value());
    assert_eq!(new.labor.total.value(), done.labor.total.value(), "and nothing is tied into it");
    // As the customer reads it nothing has changed either.
    let scope = |priced: &tallybore::pipeline::Priced| {
        rows(&priced.book, table(&priced.book, "Bid", "New: piped, connected and tested"))
    };
    assert_eq!(scope(&new), scope(&done));
}

#[test]
fn what_is_in_is_not_ordered_whether_or_not_it_is_entered_as_bought() {
    // By hand: 280 ft, 3 ft of tails and a tenth are 311.3 ft. In are 200 ft, 1 ft and their tenth, 221.1 ft: more than the
    // 30 ft on hand.
    assert_eq!(to_buy(&garden("", ""), "pipe PEX 3/4\""), (311.3, 281.3));
    assert_eq!(to_buy(&garden(INSTALLED, ""), "pipe PEX 3/4\""), (311.3, 90.2));
    // With three coils bought 330 ft are there, and 311.3 are wanted.
    assert_eq!(to_buy(&garden(INSTALLED, " | Bought 3"), "pipe PEX 3/4\""), (311.3, 0.0));
    // Two coils bought: 230 ft there, 8.9 of them left.
    assert_eq!(to_buy(&garden(INSTALLED, " | Bought 2"), "pipe PEX 3/4\""), (311.3, 81.3));
    // Only coils are sold: both bends are swept, and are in. The tee at the end waits for its branches.
    assert_eq!(to_buy(&garden(INSTALLED, ""), "bend support PEX 3/4\""), (2.0, 0.0));
    let tee = "tee PEX 3/4\" x 3/4\" x 3/4\"";
    assert_eq!(to_buy(&garden(INSTALLED, ""), tee), (1.0, 1.0));
}

#[test]
fn the_order_is_for_what_is_still_to_come_and_everything_adds_up() {
    for (status, bought) in
        [("", ""), (INSTALLED, ""), (INSTALLED, " | Bought 2"), (INSTALLED, " | Bought 3"), ("", " | Bought 1")]
    {
        let priced = garden(status, bought).price();
        let coils: f64 = {
            let pipe = priced.take_off.lines.iter().position(|line| line.item.text() == "pipe PEX 3/4\"").unwrap();
            let packs = priced.purchases.packs.iter().filter(|packs| packs.line == pipe);
            packs.map(|packs| packs.packs.value().as_f64()).sum()
        };
        // New, 280 ft and six tails of 6 in, less 30 ft. With A in, 80 ft and four tails are to come, and of 30 ft on
        // hand nothing is left: a coil; of two coils bought 10 ft are left: still a coil, and of three more than enough.
        let expected = match (status, bought) {
            ("", "") => 3.0,
            ("", _) => 2.0,
            (_, " | Bought 3") => 0.0,
            _ => 1.0,
        };
        assert_eq!(coils, expected, "{status} {bought}");
        let checks = rows(&priced.book, table(&priced.book, "Checks", "What must add up"));
        assert!(
            checks.iter().all(|row| row.last().is_some_and(|check| check == "OK")),
            "{status} {bought}: {checks:?}"
        );
        let differences = crate::support::recalc::recalculate_in_process(&garden(status, bought).bid());
        assert!(differences.is_empty(), "{status} {bought}: {differences:?}");
    }
}

#[test]
fn replacing_what_is_in_costs_the_new_pipe_and_the_hours_to_take_out_the_old() {
    let cabin = |psi: u32, status: &str| {
        reading(&job(&format!(
            "Job: Supply pressure | {psi}
            Job: Job name | Cabin
            Job: Labor rate | 50
            Job: Waste | 0%
            Runs: A | SUPPLY | 150 | Material PEX{status}
            Runs: B | A | 40 | Rise ft 9
            Fixtures: L1 | lavatory | Cold run B
            Fixtures: T1 | bathtub | Cold run B
            Fixtures: W1 | water closet | Cold run B
            Prices: pipe | ft | 0.5 | Material PEX | Size 1/2
            Prices: pipe | ft | 0.8 | Material PEX | Size 3/4
            Prices: pipe | ft | 1.4 | Material PEX | Size 1
            Labor: run PEX 1/2 | ft | 0.02
            Labor: run PEX 3/4 | ft | 0.02
            Labor: run PEX 1 | ft | 0.02
            Labor: remove pipe | ft | 0.01
            Labor: support pipe | each | 0"
        )))
    };
    let (bid, weak) = (cabin(60, ""), cabin(34, INSTALLED));
    let revised = revise(&bid, &weak).unwrap_or_else(|findings| panic!("{}", reported(&findings)));
    let [small] = &revised.comparison.installed[..] else { panic!("{:?}", revised.comparison.installed) };
    let price: Decimal = match &*small.wanted {
        "3/4\"" => Decimal::new(8, 1),
        "1\"" => Decimal::new(14, 1),
        other => panic!("{other}"),
    };
    // By hand: 150 ft of pipe; 150 ft at 0.02 h to run and at 0.01 h to take out, at $50.
    let by_hand = Decimal::from(150) * price + Decimal::from(150) * Decimal::new(3, 2) * Decimal::from(50);
    let rest = small.cost - by_hand;
    // And what joins it at its ends, which comes anew with it.
    assert!(rest >= Decimal::ZERO && rest < Decimal::from(60), "{small:?}, by hand {by_hand}");
}

#[test]
fn the_change_order_speaks_of_the_signed_price_and_not_of_what_was_done_in_the_shop() {
    let folder = Folder::empty();
    write(&folder, "service.xlsx", &service());
    folder.done(&["price", "service.xlsx", "--set", "main size=1"]);
    let args = ["--set", "run SV1 Status=installed", "--set", "main size=1-1/4"];
    folder.done(&[&["revise", "service-bid.xlsx"][..], &args].concat());
    let page: Vec<String> =
        sheet(&folder, "service-bid-r1.xlsx", "Change order").into_iter().map(|row| row.join(" ")).collect();
    let page = page.join("\n");
    assert!(page.contains("Main size from 1 to 1-1/4"), "{page}");
    assert!(!page.contains("Status"), "{page}");
}

/// The same is told of Main size; see the finding main-size-without-say.
#[test]
fn a_size_typed_for_pipe_that_is_in_is_no_new_pipe_and_says_so() {
    let shed = |size: &str, status: &str| {
        reading(&job(&format!(
            "Job: Job name | Shed
            Runs: A | SUPPLY | 30 | Material PEX | Size {size}{status}
            Fixtures: H | hose bibb | Cold run A
            Prices: pipe | ft | 0.8 | Material PEX | Size 3/4
            Prices: pipe | ft | 1.4 | Material PEX | Size 1"
        )))
    };
    let bid = shed("3/4", "");
    let told_by = |size: &str, status: &str| {
        let revised = revise(&bid, &shed(size, status)).unwrap_or_else(|findings| panic!("{}", reported(&findings)));
        tallybore::finding::text::lines("shed", &revised.priced.findings)
    };
    let said = told_by("1", INSTALLED);
    assert!(said.contains("installed-size-typed"), "{said}");
    assert!(said.contains("Run A is in already: 3/4 in the bid, 1 by its Size now."), "{said}");
    // The size that it has is no change, nor is another one while the run is still to come.
    for (size, status) in [("3/4", INSTALLED), ("1", ""), ("1", " | Status new")] {
        let said = told_by(size, status);
        assert!(said.contains("no-main-shutoff") && !said.contains("installed-size-typed"), "{size} {status}: {said}");
    }
}
