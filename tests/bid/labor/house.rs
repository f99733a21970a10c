//! A house of two and a half baths from its own hours: 738 ft of 1/2 from two manifolds, all hot pipe insulated. That its
//! water rough-in takes 30 to 40 hours is common practice, what a working plumber expects. (Public pages give 48 to 120
//! man-hours for all rough plumbing of 2,000 sq ft, drains and vents included, without a study behind them.)

use super::rows::tasks;
use crate::support::job::{Made, job};
use rust_decimal::{Decimal, dec};
use std::fmt::Write as _;
use tallybore::model::Phase;

/// Tag, fixture, group, feet of its cold and of its hot line.
const FIXTURES: &[(&str, &str, &str, u32, u32)] = &[
    ("WC1", "water closet", "full bath A", 24, 0),
    ("LA1", "lavatory", "full bath A", 26, 38),
    ("LA2", "lavatory", "full bath A", 28, 40),
    ("SH1", "shower", "full bath A", 30, 42),
    ("WC2", "water closet", "full bath B", 34, 0),
    ("LB1", "lavatory", "full bath B", 33, 46),
    ("TB1", "bathtub", "full bath B", 36, 48),
    ("WC3", "water closet", "half bath C", 20, 0),
    ("LC1", "lavatory", "half bath C", 21, 34),
    ("KS1", "kitchen sink", "kitchen", 32, 44),
    ("DW1", "dishwasher", "kitchen", 0, 45),
    ("CW1", "clothes washer", "laundry", 12, 14),
    ("HB1", "hose bibb", "", 48, 0),
    ("HB2", "hose bibb", "", 43, 0),
];

fn house(rows: &str) -> Made {
    let mut lines = format!(
        "Job: Supply pressure | 60\nJob: Form | coil\nJob: Insulate | hot\n{rows}
        Runs: S | SUPPLY | 20 | Size 1 | Rise ft 4 | Bends 2 | Where inside wall
        Runs: CM | S | 6 | Size 1 | Rise ft 2 | Bends 2 | Where inside wall
        Runs: HM | S | 8 | Size 3/4 | Rise ft 2 | Bends 3 | Where inside wall
        Devices: M1 | CM | manifold | Size 1 | Ports 14
        Devices: M2 | HM | manifold | Size 3/4 | Ports 10
        Devices: WH | HM | tank heater | Size 3/4
        Devices: V | S | shutoff valve | Size 1\n"
    );
    for (tag, fixture, group, cold, hot) in FIXTURES {
        let mut line = format!("Fixtures: {tag} | {fixture}");
        if !group.is_empty() {
            let _ = write!(line, " | Group {group}");
        }
        for (water, main, feet) in [("Cold", "CM", *cold), ("Hot", "HM", *hot)].into_iter().filter(|(_, _, f)| *f > 0) {
            let _ = write!(line, " | {water} run {water}{tag}");
            let _ = writeln!(
                lines,
                "Runs: {water}{tag} | {main} | {feet} | Size 1/2 | Rise ft 3 | Bends 3 | Where joist bay"
            );
        }
        let _ = writeln!(lines, "{line}");
    }
    job(&lines)
}

#[test]
fn a_house_of_two_and_a_half_baths_takes_a_plumbers_hours() {
    let priced = house("").price();
    let rows = tasks(&priced.book);
    let of = |task: &str| -> (Decimal, Decimal) {
        let own = || rows.iter().filter(|row| row.task == task);
        (own().map(|row| row.quantity).sum(), own().map(|row| row.hours).sum())
    };
    assert_eq!(of("run PEX 1/2"), (dec!(738), dec!(14.76)));
    // Fastening is in the hours of the foot: supports are bought, and take no hours beside it.
    let (supports, hours) = of("support pipe");
    assert!(supports > dec!(200) && hours.is_zero(), "{supports} {hours}");
    let rough_in = priced.labor.in_phase(Phase::RoughIn).value().as_decimal().unwrap();
    assert!((dec!(30)..=dec!(40)).contains(&rough_in), "{rough_in} h");
    // Who counts them apart gives them hours in Labor.
    let apart = house("Labor: support pipe | each | 0.03").price();
    let more = apart.labor.in_phase(Phase::RoughIn).value().as_decimal().unwrap() - rough_in;
    assert_eq!(more, supports * dec!(0.03));
}

/// Every task of the table says what it includes.
#[test]
fn every_task_says_what_it_includes() {
    let rules = tallybore::rules::Rules::embedded();
    let silent: Vec<_> = rules.all_labor().iter().filter(|row| row.includes.is_empty()).map(|row| &row.task).collect();
    assert!(silent.is_empty(), "{silent:?}");
}
