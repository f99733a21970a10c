//! Worked examples printed in public, done over by the engine: each example is a job.

use super::Case;
use crate::support::job::{Sized, job};
use crate::support::published::published;
use std::collections::BTreeMap;

/// Our figures, by example and figure as `worked_examples.csv` names them.
type Ours = BTreeMap<(&'static str, &'static str), f64>;

pub fn cases() -> Vec<Case> {
    let mut ours = Ours::new();
    segmented_loss(&mut ours);
    two_bath_house(&mut ours);
    two_unit_house(&mut ours);
    steel_run(&mut ours);
    static_head(&mut ours);
    pex_branch(&mut ours);
    let mut cases = Vec::new();
    for row in published("worked_examples") {
        let (example, figure) = (row.text("example"), row.text("figure"));
        let key = ours.keys().find(|key| **key == (example, figure)).copied();
        let key = key.unwrap_or_else(|| panic!("{example}, {figure} is not done over"));
        cases.push(Case {
            name: format!("{example}: {figure}"),
            published: row.number("published"),
            ours: ours.remove(&key).unwrap(),
            within: row.number("within"),
        });
    }
    assert!(ours.is_empty(), "without a published figure: {ours:?}");
    cases
}

/// The runs AB, BC, then CD with DE and CF, in 2-1/2 in copper L; fixtures of flush valves and tanks that come to the
/// example's 288, 264 and 132 units. `lengths` are pipe and fittings together. The 21 ft of height are in AB.
fn segmented(between: &str, lengths: [&str; 5]) -> Sized {
    let [ab, bc, cd, de, cf] = lengths;
    job(&format!(
        "Job: Code basis | IPC
         Job: Occupancy | public
         Job: Demand between rows | {between}
         Job: Loss method | Hazen-Williams
         Job: Fittings loss | none
         Job: Main material | copper L
         Job: Supply pressure | 55
         Limits: Limit | Value
         Limits: psi per foot | 0.43
         Pipe: Material | Size | Inside diameter in
         Pipe: copper L | 2-1/2 | 2.465
         Runs: AB | SUPPLY | {ab} | Size 2-1/2 | Rise ft 21
         Runs: BC | AB | {bc} | Size 2-1/2
         Runs: CD | BC | {cd} | Size 2-1/2
         Runs: DE | CD | {de} | Size 2-1/2
         Runs: CF | BC | {cf} | Size 2-1/2
         Fixtures: at B | urinal | Cold run AB | Count 8 | Need psi 0
         Fixtures: at E | water closet flush valve | Cold run DE | Count 12 | Need psi 15
         Fixtures: too at E | urinal | Cold run DE | Count 4
         Fixtures: at F | water closet flush valve | Cold run CF | Count 12 | Need psi 15
         Fixtures: too at F | urinal | Cold run CF | Count 4
         Devices: meter | AB | meter | Rated gpm 108 | Loss psi 11
         Devices: tap | AB | other | Rated gpm 108 | Loss psi 1.61
         Devices: backflow | AB | backflow preventer | Rated gpm 108 | Loss psi 9"
    ))
    .sized()
}

fn segmented_loss(ours: &mut Ours) {
    let mut put = |figure, value| assert!(ours.insert(("segmented loss", figure), value).is_none());
    let lengths = ["66", "10.5", "21", "164.5", "162"];
    let example = segmented("next row up", lengths);
    for (run, units) in [("AB", 288.0), ("BC", 264.0), ("CD", 132.0), ("CF", 132.0), ("DE", 132.0)] {
        assert_eq!(example.units(run), units, "{run}");
    }
    put("demand AB, next row up, gpm", example.gpm("AB"));
    put("demand BC, next row up, gpm", example.gpm("BC"));
    put("demand CD, next row up, gpm", example.gpm("CD"));
    put("loss AB, psi", example.loss_psi("AB") - 11.0 - 1.61 - 9.0);
    put("loss BC, psi", example.loss_psi("BC"));
    put("loss CD, psi", example.loss_psi("CD"));
    put("loss CF, psi", example.loss_psi("CF"));
    put("loss DE, psi", example.loss_psi("DE"));
    let straight = segmented("interpolate", lengths);
    put("demand AB, straight line, gpm", straight.gpm("AB"));
    put("demand BC, straight line, gpm", straight.gpm("BC"));
    put("demand CD, straight line, gpm", straight.gpm("CD"));
    // What is left at the governing fixture when the pipe itself loses nothing.
    let budget = segmented("next row up", ["0"; 5]).least_spare();
    put("left for friction, psi", budget);
    put("losses and needs, psi", 55.0 - budget);
}

/// Cold and hot trees from one main, so that both sides join there.
fn two_baths(between: &str) -> Sized {
    job(&format!(
        "Job: Code basis | IPC
         Job: Demand between rows | {between}
         Runs: main | SUPPLY | 30
         Runs: cold | main | 50
         Runs: bath cold | cold | 10
         Runs: hot | main | 50
         Runs: bath hot | hot | 10
         Runs: bath | main | 10
         Devices: heater | hot | tank heater
         Fixtures: WC1 | water closet | Cold run bath cold | Group full bath A
         Fixtures: L1 | lavatory | Cold run bath cold | Hot run bath hot | Group full bath A
         Fixtures: B1 | bathtub | Cold run bath cold | Hot run bath hot | Group full bath A
         Fixtures: WC2 | water closet | Cold run bath | Group full bath B
         Fixtures: L2 | lavatory | Cold run bath | Hot run bath | Group full bath B
         Fixtures: B2 | bathtub | Cold run bath | Hot run bath | Group full bath B
         Fixtures: K | kitchen sink | Cold run cold | Hot run hot
         Fixtures: bar, as a kitchen sink | kitchen sink | Cold run cold | Hot run hot
         Fixtures: D | dishwasher | Hot run hot
         Fixtures: T | laundry tray | Cold run cold | Hot run hot
         Fixtures: W | clothes washer | Cold run cold | Hot run hot"
    ))
    .sized()
}

fn two_bath_house(ours: &mut Ours) {
    let mut put = |figure, value| assert!(ours.insert(("two-bath house", figure), value).is_none());
    let house = two_baths("next row up");
    put("fixture units", house.units("main"));
    put("bathroom group, both sides", house.units("bath"));
    put("bathroom group, cold side", house.units("bath cold"));
    put("bathroom group, hot side", house.units("bath hot"));
    put("demand, next row up, gpm", house.gpm("main"));
    put("demand, straight line, gpm", two_baths("interpolate").gpm("main"));
}

fn two_units(between: &str) -> Sized {
    job(&format!(
        "Job: Code basis | UPC
         Job: Demand between rows | {between}
         Job: Supply pressure | 68
         Job: Fittings loss | none
         Limits: Limit | Value
         Limits: psi per foot | 0.43
         Runs: main | SUPPLY | 0 | Size 2 | Rise ft 33
         Runs: washers | main | 0
         Runs: closets | main | 0
         Runs: lavatories | main | 0
         Runs: showers | main | 0
         Runs: sinks | main | 0
         Runs: dishes | main | 0
         Runs: bibbs | main | 0
         Devices: disk meter | main | meter | Rated gpm 35 | Loss psi 25
         Fixtures: W | clothes washer | Cold run washers | Hot run washers | Count 2
         Fixtures: WC | water closet | Cold run closets | Count 10
         Fixtures: L | lavatory | Cold run lavatories | Hot run lavatories | Count 10
         Fixtures: SH | shower | Cold run showers | Hot run showers | Count 8
         Fixtures: K | kitchen sink | Cold run sinks | Hot run sinks | Count 2
         Fixtures: D | dishwasher | Hot run dishes | Count 2
         Fixtures: HB1 | hose bibb | Cold run bibbs
         Fixtures: HB2 | hose bibb | Cold run bibbs"
    ))
    .sized()
}

fn two_unit_house(ours: &mut Ours) {
    let mut put = |figure, value| assert!(ours.insert(("two-unit house", figure), value).is_none());
    let house = two_units("next row up");
    put("clothes washers", house.units("washers"));
    put("water closets", house.units("closets"));
    put("lavatories", house.units("lavatories"));
    put("showers", house.units("showers"));
    put("kitchen sinks", house.units("sinks"));
    put("dishwashers", house.units("dishes"));
    put("hose bibbs", house.units("bibbs"));
    put("fixture units", house.units("main"));
    put("demand, next row up, gpm", house.gpm("main"));
    put("demand, straight line, gpm", two_units("interpolate").gpm("main"));
    put("height, psi", 68.0 - house.loss_psi("main") - house.end_psi("main"));
    put("available for friction, psi", house.least_spare());
}

/// 3/4 in steel at 4 gpm and 60 F. The example's fittings are 67.18 ft of pipe for 20 ft of it: 335.9 %.
fn steel(method: &str, length: &str, fittings: &str, with_softener: bool) -> Sized {
    let softener = if with_softener { "Devices: S | AB | softener | Rated gpm 4 | Loss psi 6" } else { "" };
    job(&format!(
        "Job: Loss method | {method}
         Job: Cold water temperature | 60
         Job: Fittings loss | {fittings}
         Job: Main material | galvanized
         Runs: AB | SUPPLY | {length} | Size 3/4 | Rise ft 6
         Fixtures: B | other | Cold run AB | Gpm 4 | Need psi 0
         {softener}"
    ))
    .sized()
}

fn steel_run(ours: &mut Ours) {
    let mut put = |figure, value| assert!(ours.insert(("steel run", figure), value).is_none());
    let per_100_ft = steel("Hazen-Williams", "100", "none", false).loss_psi("AB");
    put("friction in 100 ft, psi", per_100_ft);
    let friction = steel("Hazen-Williams", "20", "335.9%", false).loss_psi("AB");
    put("pipe and fittings, ft", friction / per_100_ft * 100.0);
    put("friction, psi", friction);
    let whole = steel("Hazen-Williams", "20", "335.9%", true);
    put("height, psi", 50.0 - whole.end_psi("AB") - whole.loss_psi("AB"));
    put("in all, psi", 50.0 - whole.end_psi("AB"));
    let darcy = steel("Darcy-Weisbach", "20", "335.9%", true);
    put("in all, Darcy-Weisbach at 60 F, psi", 50.0 - darcy.end_psi("AB"));
}

fn static_head(ours: &mut Ours) {
    let riser = job("Runs: A | SUPPLY | 20 | Size 1 | Rise ft 20").sized();
    ours.insert(("static head", "20 ft, psi"), 50.0 - riser.end_psi("A"));
}

fn pex_branch(ours: &mut Ours) {
    let branch = job("Job: Loss method | Hazen-Williams
         Job: Fittings loss | none
         Runs: A | SUPPLY | 1 | Size 1/2
         Fixtures: F | other | Cold run A | Gpm 4 | Need psi 0")
    .sized();
    ours.insert(("PEX branch", "friction in 1 ft, psi"), branch.loss_psi("A"));
    ours.insert(("PEX branch", "velocity, ft/s"), branch.velocity("A"));
}
