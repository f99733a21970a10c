//! Factors on hours by place, form and material.

use super::rows::{cells, task, tasks};
use crate::support::job::{Made, job};
use crate::support::recalc::recalculate_in_process;
use rust_decimal::{Decimal, dec};

/// 100 ft of pipe lying like this, with these rows more.
fn run(lying: &str, more: &str) -> Made {
    job(&format!("Runs: A | SUPPLY | 100 | Size 1/2 | {lying}\nLabor: run PEX 1/2 | ft | 0.02\n{more}"))
}

fn hours_of_run(made: &Made) -> (Decimal, Decimal) {
    let row = task(&tasks(&made.price().book), "run PEX 1/2").clone();
    assert_eq!(row.hours, (row.quantity * row.each * row.factor).round_dp(4));
    (row.factor, row.hours)
}

/// The factors are the program's own starting values; 100 ft at 0.02 h a foot are 2 h where nothing hinders.
#[test]
fn each_place_has_its_factor() {
    for (place, factor, hours) in [
        ("inside", dec!(1), dec!(2)),
        ("open", dec!(0.9), dec!(1.8)),
        ("outside wall", dec!(1.1), dec!(2.2)),
        ("crawl space", dec!(1.3), dec!(2.6)),
        ("attic", dec!(1.25), dec!(2.5)),
        ("buried", dec!(1), dec!(2)),
        ("in slab", dec!(1.1), dec!(2.2)),
    ] {
        assert_eq!(hours_of_run(&run(&format!("Where {place}"), "")), (factor, hours), "{place}");
    }
}

#[test]
fn a_stick_of_pex_takes_longer_and_factors_are_multiplied() {
    assert_eq!(hours_of_run(&run("Where inside | Form coil", "")), (dec!(1), dec!(2)));
    assert_eq!(hours_of_run(&run("Where inside | Form stick", "")), (dec!(1.15), dec!(2.3)));
    // The form of the whole job.
    assert_eq!(hours_of_run(&run("Where inside", "Job: Form | stick")), (dec!(1.15), dec!(2.3)));
    // 1.3 x 1.15 x 0.8 = 1.196
    let more = "Job: Labor factor | 0.8";
    assert_eq!(hours_of_run(&run("Where crawl space | Form stick", more)), (dec!(1.196), dec!(2.392)));
    // Auto goes in coil where nobody sells either: 1.3 alone.
    assert_eq!(hours_of_run(&run("Where crawl space | Form auto", "")), (dec!(1.3), dec!(2.6)));
}

#[test]
fn copper_in_coils_goes_quicker() {
    let made = job("Runs: A | SUPPLY | 60 | Material copper L | Size 1 | Where buried | Form coil
        Labor: run copper L 1 | ft | 0.1");
    let rows = tasks(&made.price().book);
    assert_eq!((task(&rows, "run copper L 1").factor, task(&rows, "run copper L 1").hours), (dec!(0.85), dec!(5.1)));
    // Joints are as the place has them: the form of the pipe does not touch them.
    assert_eq!(task(&rows, "joint copper L 1").factor, dec!(1));
}

#[test]
fn a_sheet_and_a_file_of_ones_own_go_before() {
    // The file says 2 for crawl spaces and 3 for attics; the sheet goes before it for crawl spaces, and adds a material.
    let file = "place,factor\ncrawl space,2\nattic,3\n";
    let own = |place: &str| {
        let made = crate::support::job::job_of_book(&format!(
            "[Job]\nItem | Value\nSupply pressure | 60\n
[Fixtures]\nTag | Fixture | Cold run\nL | lavatory | A\n
[Runs]\nRun | From | Size | Length ft | Where\nA | SUPPLY | 1/2 | 100 | {place}\n
[Prices]\nKind | Unit | Price\nwashers | each | 1\n
[Labor]\nTask | Unit | Hours\nrun PEX 1/2 | ft | 0.02\n
[Labor conditions]\nWhere | Material | Factor\ncrawl space |  | 1.5\n | PEX | 0.9\n"
        ));
        made.with_rules("labor_conditions.csv", file)
    };
    assert_eq!(hours_of_run(&own("crawl space")), (dec!(1.35), dec!(2.7)));
    assert_eq!(hours_of_run(&own("attic")), (dec!(2.7), dec!(5.4)));
    assert_eq!(hours_of_run(&own("inside")), (dec!(0.9), dec!(1.8)));
    let priced = own("crawl space").price();
    // The bid shows the rows that it used, with where they come from, and no others.
    let shown =
        cells(&priced.book, "Rules", "What makes work slower or quicker; factors of all rows that fit are multiplied");
    let bases: Vec<_> = shown.iter().map(|row| row[5].as_str()).collect();
    let yours = ["your own row, 'Labor conditions'!A4", "your own row, 'Labor conditions'!A5"];
    assert_eq!(bases, [yours[0], yours[1], "common practice"], "{shown:?}");
    let shown: Vec<_> = shown.iter().map(|row| (row[0].as_str(), row[2].as_str(), row[3].as_str())).collect();
    assert!(shown.contains(&("crawl space", "any", "1.5")) && shown.contains(&("any", "PEX", "0.9")), "{shown:?}");
    assert!(!shown.iter().any(|row| row.0 == "attic"), "{shown:?}");
    assert_eq!(recalculate_in_process(&own("crawl space").bid()), Vec::new());
}

/// A run in the crawl space and one in a wall, of one size: each has its feet, joints, supports and plates by itself.
#[test]
fn places_have_rows_of_their_own() {
    let made = job("Job: Form | coil
        Runs: A | SUPPLY | 40 | Size 3/4 | Where crawl space
        Runs: B | A | 12 | Size 3/4 | Where inside wall | Insulation in 1
        Runs: C | A | 20 | Size 3/4 | Where crawl space | Insulation in 1
        Runs: OLD1 | SUPPLY | 10 | Size 1/2 | Where crawl space | Status remove
        Runs: OLD2 | OLD1 | 6 | Size 1/2 | Where inside wall | Status remove
        Fixtures: L | lavatory | Cold run B");
    let rows = tasks(&made.price().book);
    let of = |name: &str, lies: &str| {
        let row = rows.iter().find(|row| row.task == name && row.lies == lies);
        row.map(|row| (row.quantity, row.factor, row.from.as_str()))
    };
    assert_eq!(of("run PEX 3/4", "crawl space, coil"), Some((dec!(60), dec!(1.3), "A, C")));
    assert_eq!(of("run PEX 3/4", "inside wall, coil"), Some((dec!(12), dec!(1), "B")));
    // A: one end at the supply, a tee of three; C: a cap.
    assert_eq!(of("joint PEX 3/4", "crawl space"), Some((dec!(5), dec!(1.3), "A, C")));
    // B: one end of the reducer down to the stub-out; the other is the stub-out's size.
    assert_eq!(of("joint PEX 3/4", "inside wall"), Some((dec!(1), dec!(1), "B")));
    assert_eq!(of("joint PEX 1/2", "inside wall"), Some((dec!(2), dec!(1), "B, L")));
    // 40 and 20 ft at 32 in: 15 and 8 spaces, and one support where A starts; studs hold B.
    assert_eq!(of("support pipe", "crawl space"), Some((dec!(24), dec!(1.3), "A, C")));
    assert_eq!(of("insulate pipe", "crawl space"), Some((dec!(20), dec!(1.3), "C")));
    assert_eq!(of("insulate pipe", "inside wall"), Some((dec!(12), dec!(1), "B")));
    assert_eq!(of("remove pipe PEX", "crawl space"), Some((dec!(10), dec!(1.3), "OLD1")));
    assert_eq!(of("remove pipe PEX", "inside wall"), Some((dec!(6), dec!(1), "OLD2")));
    // Plates are where the studs are: 12 ft level pass 9 studs, two plates each.
    assert_eq!(of("plate studs", "inside wall"), Some((dec!(18), dec!(1), "B")));
    // What stands by itself has no place, and only the job's own factor.
    assert_eq!(of("trim lavatory", ""), Some((dec!(1), dec!(1), "L")));
}

#[test]
fn a_place_that_nobody_knows_is_told_with_those_there_are() {
    let made = crate::support::job::job_of_book(
        "[Job]\nItem | Value\nSupply pressure | 60\n
[Fixtures]\nTag | Fixture | Cold run\nL | lavatory | A\n
[Runs]\nRun | From | Size | Length ft\nA | SUPPLY | 1/2 | 10\n
[Prices]\nKind | Unit | Price\nwashers | each | 1\n
[Labor conditions]\nPlace | Factor\nloft | 1.5\nattic | 0\n",
    );
    let (_, _, findings) = tallybore::pipeline::check(&made.job, &tallybore::pipeline::Options::default());
    let reported: Vec<_> = findings.iter().filter(|f| f.slug == "bad-rule-row").map(|f| f.found.clone()).collect();
    assert_eq!(reported.len(), 2, "{reported:?}");
    assert!(reported[0].contains("loft"), "{reported:?}");
    assert!(reported[1].contains("\"0\""), "{reported:?}");
}

/// Hours of the starting values, with their counts: two bowls at 0.5, a tub at 2, a heater at 1.25 (0.75 to 1.5 on public pages
/// of contractors, drained and carried out).
#[test]
fn what_comes_out_takes_hours() {
    let made = job("Runs: A | SUPPLY | 20 | Size 3/4 | Where inside
        Runs: OLD | SUPPLY | 4 | Size 3/4 | Where inside | Status remove
        Fixtures: L | lavatory | Cold run A
        Fixtures: OL | lavatory | Count 2 | Status remove
        Fixtures: OT | bathtub | Status remove
        Devices: OH | OLD | tank heater | Status remove");
    let rows = tasks(&made.price().book);
    let of = |name: &str| (task(&rows, name).quantity, task(&rows, name).hours, task(&rows, name).from.clone());
    assert_eq!(of("remove lavatory"), (dec!(2), dec!(1), "OL".to_owned()));
    assert_eq!(of("remove bathtub"), (dec!(1), dec!(2), "OT".to_owned()));
    assert_eq!(of("remove tank heater"), (dec!(1), dec!(1.25), "OH".to_owned()));
    assert!(rows.iter().all(|row| row.phase == "rough-in" || !row.task.starts_with("remove")));
}
