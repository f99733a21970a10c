//! Pipe and framing: nail plates by the code's edition, what holds pipe, and holes that take too much of a stud. Figures of
//! the codes with their sections; what holds pipe beside supports is common practice.

use super::counted::of;
use crate::support::job::{Made, job};
use rust_decimal::{Decimal, dec};
use tallybore::finding::Severity;
use tallybore::rules::{CodeBasis, Rules};
use tallybore::water::findings::counted::StudBored;

/// 20 ft of level pipe, 10 of them at this place, with these rows more.
fn lying(place: &str, size: &str, rows: &str) -> Made {
    job(&format!(
        "Runs: S | SUPPLY | 10 | Size {size} | Where crawl space
        Runs: A | S | 10 | Size {size} | Where {place}
        Fixtures: L | lavatory | Cold run A
        {rows}"
    ))
}

fn plates(made: &Made) -> Decimal {
    of(&made.price(), "nail plate")
}

/// IRC P2603.2.1: 1-1/4 in from 2015 on, 1-1/2 before; IPC 305.6 and 305.5 likewise; UPC 312.9: 1 in.
#[test]
fn the_edge_distance_is_that_of_the_codes_edition() {
    let mut rules = Rules::embedded().clone();
    let cases = [
        ("IRC", CodeBasis::Irc, dec!(1.25)),
        ("IRC 2021", CodeBasis::Irc, dec!(1.25)),
        ("IRC 2015", CodeBasis::Irc, dec!(1.25)),
        ("IRC 2012", CodeBasis::Irc, dec!(1.5)),
        ("2006 IRC", CodeBasis::Irc, dec!(1.5)),
        ("IPC 2018", CodeBasis::Ipc, dec!(1.25)),
        ("IPC 2012", CodeBasis::Ipc, dec!(1.5)),
        ("UPC 2012", CodeBasis::Upc, Decimal::ONE),
        ("UPC 2021", CodeBasis::Upc, Decimal::ONE),
    ];
    for (written, code, edge) in cases {
        rules.set_edition(written);
        assert_eq!(rules.limit("nail plate edge distance", code).unwrap().value, edge, "{written}");
    }
}

/// 1/2 in a 2x4 stud: a hole of 7/8 leaves 1-5/16 in to each face. 10 ft pass 7.5, so 8 studs.
#[test]
fn plates_follow_the_edge_distance_and_the_users_own() {
    let by_code = |code: &str| plates(&lying("inside wall", "1/2", &format!("Job: Code basis | {code}")));
    assert_eq!([by_code("IRC"), by_code("IPC"), by_code("UPC")], [Decimal::ZERO; 3]);
    let own = "Limits: Limit | Value\nLimits: nail plate edge distance | 1.5";
    assert_eq!(plates(&lying("inside wall", "1/2", own)), Decimal::from(16));
    // A hole of 1-1/8 for 3/4 leaves 1-3/16 in: plates by IRC, none by UPC, where 1 in will do.
    let by_code = |code: &str| plates(&lying("inside wall", "3/4", &format!("Job: Code basis | {code}")));
    assert_eq!([by_code("IRC"), by_code("IPC"), by_code("UPC")], [16, 16, 0].map(Decimal::from));
}

#[test]
fn along_joists_there_are_supports_and_no_plates() {
    let counted = |place: &str, rows: &str| {
        let priced = lying(place, "3/4", rows).price();
        [of(&priced, "nail plate"), of(&priced, "support PEX 3/4\"")]
    };
    // S: 10 / 2.67 = 3.7, so 4, and one where it starts. A: as many along joists, none in studs 16 in apart.
    for place in ["inside wall", "outside wall"] {
        assert_eq!(counted(place, ""), [16, 5].map(Decimal::from), "{place}");
    }
    // Inside says nothing of framing: pipe in sight is hung, and no nail can reach it.
    for place in ["joist bay", "inside", "open"] {
        assert_eq!(counted(place, ""), [0, 9].map(Decimal::from), "{place}");
    }
    assert_eq!(counted("inside wall", "Job: Stud spacing | 36"), [8, 9].map(Decimal::from));
    // Who hangs pipe in walls too says so in Limits.
    let own = "Limits: Limit | Value\nLimits: framing holds pipe | 0";
    assert_eq!(counted("inside wall", own), [16, 9].map(Decimal::from));
}

#[test]
fn a_short_rise_takes_no_support_and_a_long_one_its_own() {
    let supports = |length: &str, rise: &str| {
        let made = job(&format!(
            "Runs: S | SUPPLY | 8 | Size 1/2 | Where crawl space
            Runs: A | S | {length} | Size 1/2 | Rise ft {rise} | Where crawl space
            Fixtures: L | lavatory | Cold run A"
        ));
        of(&made.price(), "support PEX 1/2\"") - Decimal::from(4)
    };
    // S: 3 spaces and the start. A rise of 6 in adds nothing to 5 ft of level pipe, nor does it by itself.
    assert_eq!([supports("5", "0"), supports("5.5", "0.5"), supports("0.5", "0.5")], [2, 2, 0].map(Decimal::from));
    // Upright 10 ft apart with a guide between (IRC Table P2605.1): every 5 ft.
    assert_eq!([supports("4", "-4"), supports("9", "9"), supports("11", "10")], [0, 1, 3].map(Decimal::from));
}

/// IRC R602.6: bored no more than 40 % in outside and bearing walls, 60 % in others. Pipe of 1-1/4 (1.375 outside) wants a
/// hole of 1-5/8, 46 % of a 2x4; of 2 (2.125) one of 2-3/8, 68 %; of 1 (1.125) one of 1-3/8, 39 %.
#[test]
fn a_hole_that_takes_too_much_of_a_stud_is_told() {
    let reported = |place: &str, size: &str, depth: &str| -> Vec<(Severity, Decimal, Decimal)> {
        let priced = lying(place, size, &format!("Job: Stud depth | {depth}")).price();
        assert_eq!(priced.rules.limit("stud bored, bearing wall", CodeBasis::Irc).unwrap().value, dec!(0.4));
        let bored = priced.findings.iter().filter(|finding| finding.is::<StudBored>());
        // The share that is bored and the share that may be, in words: `bored up to 46% of their depth; limit 40%`.
        let percents = |words: &str| -> Vec<Decimal> {
            let numbers = words.split('%').filter_map(|part| part.rsplit(' ').next()?.parse::<Decimal>().ok());
            numbers.map(|percent| percent / Decimal::ONE_HUNDRED).collect()
        };
        bored
            .map(|finding| {
                let shares = percents(&finding.found);
                (finding.severity, shares[0], shares[1])
            })
            .collect()
    };
    let none: Vec<(Severity, Decimal, Decimal)> = Vec::new();
    assert_eq!(reported("outside wall", "1", "3.5"), none);
    assert_eq!(reported("outside wall", "1-1/4", "3.5"), [(Severity::Fix, dec!(0.46), dec!(0.4))]);
    assert_eq!(reported("outside wall", "1-1/4", "5.5"), none);
    assert_eq!(reported("inside wall", "1-1/4", "3.5"), [(Severity::Note, dec!(0.46), dec!(0.4))]);
    assert_eq!(reported("inside wall", "2", "3.5"), [(Severity::Fix, dec!(0.68), dec!(0.6))]);
    assert_eq!(reported("joist bay", "2", "3.5"), none);
    assert_eq!(reported("crawl space", "2", "3.5"), none);
}

/// Tails go with Tail allowance, and with it the bid's feet are those of the cut plan and its waste.
#[test]
fn tails_are_pipe_that_is_bought_and_not_run() {
    let priced =
        |tail: &str| lying("crawl space", "1/2", &format!("Job: Waste | 0%\nJob: Tail allowance | {tail}")).price();
    let feet = |tail: &str| of(&priced(tail), "pipe PEX 1/2\"");
    assert_eq!([feet("0"), feet("6"), feet("9")], [dec!(20), dec!(22), dec!(23)]);
    let hours = |tail: &str| priced(tail).labor.total.value().as_decimal().unwrap();
    assert_eq!(hours("0"), hours("9"));
}
