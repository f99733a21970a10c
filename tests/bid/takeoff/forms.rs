//! Stick or coil where Form is auto.

use super::counted::{of, without_spares};
use crate::support::job::{Made, job};
use crate::support::recalc::{Held, Open, Shelf, recalculate_in_process};
use proptest::prelude::*;
use rust_decimal::{Decimal, dec};
use tallybore::Choice;
use tallybore::figure::address::addresses;
use tallybore::pipeline::{self, Options, Priced};
use tallybore::place::Place;
use tallybore::read;

/// What PEX of 1/2 costs here: a foot in sticks and in coils, an elbow, a bend support.
struct Prices {
    stick: Decimal,
    coil: Decimal,
    elbow: Decimal,
    support: Decimal,
}

fn house(prices: &Prices, rows: &str) -> Made {
    let Prices { stick, coil, elbow, support } = prices;
    let (stick, coil) = (stick * dec!(20), coil * dec!(100));
    without_spares(job(&format!(
        "Job: Supply pressure | 80
        Job: Waste | 0%
        {rows}
        Prices: pipe | stick | {stick} | Material PEX | Size 1/2 | Pack 20
        Prices: pipe | coil | {coil} | Material PEX | Size 1/2 | Pack 100
        Prices: elbow | each | {elbow} | Material PEX | Size 1/2
        Prices: bend support | each | {support} | Material PEX | Size 1/2
        Prices: coupling | each | 0.66 | Material PEX | Size 1/2
        Prices: ring | each | 0.2 | Material PEX | Size 1/2"
    )))
}

fn form_of(priced: &Priced, run: &str) -> &'static str {
    priced.subjects.water.forms[priced.network.find(run).unwrap()]
}

fn total(made: &Made) -> Decimal {
    made.price().bid.build_up.total.value().as_decimal().unwrap()
}

/// A house of home runs: 32 lines with 2 bends each, and sticks the cheaper by far. A line from a manifold is unrolled in
/// one piece (common practice): no elbow in it. The branch that leaves no manifold goes by its cost.
#[test]
fn home_runs_go_in_coil_whatever_they_cost() {
    let lines: String = (1..=32)
        .map(|n| {
            format!(
                "Runs: P{n} | M | 20 | Size 1/2 | Bends 2 | Where inside wall
                Fixtures: L{n} | lavatory | Cold run P{n}\n"
            )
        })
        .collect();
    let prices = Prices { stick: dec!(0.1), coil: dec!(0.9), elbow: dec!(0.5), support: dec!(2) };
    let priced = house(
        &prices,
        &format!(
            "Runs: S | SUPPLY | 8 | Size 1 | Where inside wall
            Runs: M | S | 5 | Size 1 | Where inside wall
            Runs: B | S | 16 | Size 1/2 | Bends 3 | Where inside wall
            Fixtures: HB | hose bibb | Cold run B
            Devices: MAN | M | manifold | Size 1 | Ports 32
            {lines}"
        ),
    )
    .price();
    assert!((1..=32).all(|n| form_of(&priced, &format!("P{n}")) == "coil"));
    assert_eq!(of(&priced, "bend support PEX 1/2\""), dec!(64));
    // 16 ft at 0.8 more a foot against three elbows: B is a stick.
    assert_eq!((form_of(&priced, "B"), of(&priced, "elbow PEX 1/2\"")), ("stick", dec!(3)));
    // Neither does the cut plan join a home run.
    let pipe = priced.purchases.pipes.iter().find(|pipe| pipe.size == "1/2\"").unwrap();
    assert_eq!(pipe.plan.joints, 0);
}

/// Four runs, each shorter than a stick, at one price a foot both ways: what the bid charges for each form is then all there
/// is to it, and every way of typing the forms can be priced. No way of the sixteen is cheaper than auto.
#[derive(Debug, Clone)]
struct Case {
    runs: Vec<(u32, u32)>,
    cents: (u32, u32),
    rate: u32,
}

fn case() -> impl Strategy<Value = Case> {
    let runs = prop::collection::vec((4u32..19, 0u32..4), 4);
    (runs, (20u32..300, 20u32..900), 0u32..60).prop_map(|(runs, cents, rate)| Case { runs, cents, rate })
}

fn of_case(case: &Case, typed: Option<u32>) -> Made {
    let runs: String = case
        .runs
        .iter()
        .zip(["A", "B", "C", "D"])
        .enumerate()
        .map(|(at, ((feet, bends), name))| {
            let form = match typed.map(|ways| ways >> at & 1) {
                None => "auto",
                Some(0) => "stick",
                Some(_) => "coil",
            };
            let from = if name == "A" { "SUPPLY" } else { "A" };
            format!("Runs: {name} | {from} | {feet} | Size 1/2 | Bends {bends} | Where inside wall | Form {form}\n")
        })
        .collect();
    let cents = |cents: u32| Decimal::new(cents.into(), 2);
    let prices = Prices { stick: dec!(0.5), coil: dec!(0.5), elbow: cents(case.cents.0), support: cents(case.cents.1) };
    let rows = format!("Job: Labor rate | {}\n{runs}Fixtures: L | lavatory | Cold run D", case.rate);
    house(&prices, &rows)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, ..ProptestConfig::default() })]

    #[test]
    fn auto_costs_no_more_than_any_forms_typed(case in case()) {
        let auto = total(&of_case(&case, None));
        let least = (0..16).map(|ways| total(&of_case(&case, Some(ways)))).min().unwrap();
        // Hours are rounded to four decimals a line, money to cents.
        prop_assert!((auto - least).abs() <= dec!(0.05), "auto {auto}, typed {least}");
    }

    /// Common practice: the same runs in sticks of 20 ft never take fewer couplings than in coils of 100 ft.
    #[test]
    fn sticks_never_take_fewer_couplings(lengths in prop::collection::vec(2u32..60, 1..9)) {
        let joints = |form: &str| {
            let runs: String = lengths.iter().enumerate().map(|(at, feet)| {
                let from = if at == 0 { "SUPPLY".to_owned() } else { format!("R{}", at - 1) };
                format!("Runs: R{at} | {from} | {feet} | Size 1/2 | Where inside wall\n")
            }).collect();
            let prices = Prices { stick: dec!(0.4), coil: dec!(0.5), elbow: dec!(1), support: dec!(1) };
            let last = lengths.len() - 1;
            let rows = format!("Job: Form | {form}\n{runs}Fixtures: L | lavatory | Cold run R{last}");
            let priced = house(&prices, &rows).price();
            priced.purchases.pipes.iter().map(|pipe| pipe.plan.joints).sum::<u32>()
        };
        prop_assert!(joints("stick") >= joints("coil"));
    }
}

const TWO: &str = "Job: Labor rate | 30
    Runs: A | SUPPLY | 10 | Size 1/2 | Where inside wall
    Runs: B | A | 15 | Size 1/2 | Bends 1 | Where inside wall
    Fixtures: L | lavatory | Cold run B";

/// Read back as a bid.
fn again(bid: &[u8]) -> read::Reading {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bid.xlsx");
    std::fs::write(&path, bid).unwrap();
    read::open(&path)
}

#[test]
fn a_form_is_held_by_the_name_of_its_run() {
    let cheap_sticks = Prices { stick: dec!(0.1), coil: dec!(0.9), elbow: dec!(1), support: dec!(1) };
    let made = house(&cheap_sticks, TWO);
    assert_eq!([form_of(&made.price(), "A"), form_of(&made.price(), "B")], ["stick", "stick"]);
    let mut reading = again(&made.bid());
    let held = |run: &str| reading.job.saved.get(Choice::Form, run).map(str::to_owned);
    assert_eq!([held("A"), held("B")], [Some("stick".to_owned()), Some("stick".to_owned())]);
    // The rows turned about, and sticks dearer than coils: who holds keeps the forms, who prices anew does not.
    reading.job.runs.reverse();
    let sticks = reading.job.prices.iter_mut().find(|price| price.unit.text() == "stick").unwrap();
    sticks.price.value = Some(dec!(90));
    let priced = |hold| {
        let options = Options { hold, rule_files: made.rule_files.clone(), ..Options::default() };
        pipeline::price(&reading.job, &reading.book, &[], &options).unwrap()
    };
    assert_eq!([form_of(&priced(true), "A"), form_of(&priced(true), "B")], ["stick", "stick"]);
    assert_eq!([form_of(&priced(false), "A"), form_of(&priced(false), "B")], ["coil", "coil"]);
}

/// A form chosen is a cell of the bid: another typed over it moves fittings, hours and total as typing it in Runs does.
#[test]
fn another_form_typed_over_the_choice_is_what_pricing_it_gives() {
    let prices = Prices { stick: dec!(0.1), coil: dec!(0.9), elbow: dec!(1), support: dec!(1) };
    let made = house(&prices, TWO);
    let (bytes, priced) = (made.bid(), made.price());
    let apart = recalculate_in_process(&bytes);
    assert!(apart.is_empty(), "{apart:?}");
    let place = |term: &tallybore::figure::Term| addresses(&priced.book).place(&priced.book, term.fig().unwrap());
    let b = priced.network.find("B").unwrap();
    let mut open = Open::of(&bytes);
    open.type_in(&place(priced.subjects.water.form_choices[b].as_ref().unwrap()), "coil");
    open.recalculate();
    let typed = house(&prices, &TWO.replace("Bends 1", "Bends 1 | Form coil")).price();
    assert_eq!((of(&typed, "bend support PEX 1/2\""), of(&typed, "elbow PEX 1/2\"")), (dec!(1), dec!(0)));
    for (shown, wanted) in
        [(&priced.bid.build_up.total, &typed.bid.build_up.total), (&priced.labor.total, &typed.labor.total)]
    {
        let Held::Number(shown) = open.value(&place(shown)) else { panic!("no number") };
        assert!((shown - wanted.value().as_f64()).abs() < 0.005, "{shown} is not {:?}", wanted.value());
    }
}

/// A form that is none moves nothing, and must not stand there in silence.
#[test]
fn a_form_typed_over_with_what_is_none_asks_to_be_priced_again() {
    let made = house(&Prices { stick: dec!(0.1), coil: dec!(0.9), elbow: dec!(1), support: dec!(1) }, TWO);
    let (bid, priced) = (Shelf::of(made.bid()), made.price());
    let again = Place::parse(&bid.open().cell_named("Price_again")).unwrap();
    let choice = priced.subjects.water.form_choices[priced.network.find("B").unwrap()].clone().unwrap();
    let choice = addresses(&priced.book).place(&priced.book, choice.fig().unwrap());
    for (typed, changed) in [("stick", 0.0), ("cable", 1.0)] {
        let mut open = bid.open();
        open.type_in(&choice, typed);
        open.recalculate();
        assert_eq!(open.value(&again), Held::Number(changed), "{typed}");
    }
}
