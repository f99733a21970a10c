//! Meters under flush valves: demand by the curve for them, and the most that a displacement meter may carry (AWWA C700 Table 1, from
//! memory: 3/4 30 gpm, 1 50 gpm).

use crate::support::job::{Made, job};

pub fn restroom(meter: &str, more: &str) -> Made {
    job(&format!(
        "Job: Code basis | IPC
        Job: Occupancy | public
        Job: Supply pressure | 75
        Runs: S | SUPPLY | 6 | Size 2
        Runs: A | S | 12 | Size 2
        Fixtures: W | water closet flush valve | Cold run A | Count 2
        Devices: M | S | meter | Size {meter} | Status existing
        {more}"
    ))
}

fn told(made: &Made) -> Vec<String> {
    let priced = made.price();
    let found = priced.findings.iter().filter(|finding| finding.slug == "meter-over-safe-flow");
    found.map(|finding| format!("{} {}", finding.found, finding.remedy)).collect()
}

#[test]
fn flush_valves_want_a_meter_that_may_carry_their_flow() {
    // 20 units on the curve for flush valves draw 35 gpm: IPC 2021 Table E103.3(3).
    let small = told(&restroom("3/4", ""));
    assert_eq!(small.len(), 1);
    assert!(small[0].contains("Meter M (3/4) carries 35.0 gpm at peak; its safe maximum flow is 30 gpm."), "{small:?}");
    assert!(small[0].contains("a 1 meter"), "{small:?}");
    assert!(told(&restroom("1", "")).is_empty());
    let own = "Meter flows: Size | Gpm\nMeter flows: 3/4 | 40";
    assert!(told(&restroom("3/4", own)).is_empty(), "the user's own figure goes before the table's");
}
