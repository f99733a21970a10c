//! Hot water where people wash in it: the code's limit, and the valve for it, told where it is missing and counted where the
//! job says so. Figures: IPC 416.5 and 607.1 (public lavatories: tempered water, at most 110 F, through a device of ASSE 1070)
//! as quoted in public copies and interpretations; IRC P2708.4 (showers and tub-showers: 120 F, ASSE 1016), likewise.

use super::counted::of;
use crate::support::job::{Made, job};
use tallybore::finding::Severity;
use tallybore::pipeline::Priced;

fn washroom(more: &str) -> Made {
    job(&format!(
        "Job: Hot water temperature | 140
        Runs: C | SUPPLY | 12 | Size 3/4
        Runs: H | C | 9 | Size 1/2
        Devices: WH | H | tank heater | Size 1/2
        {more}"
    ))
}

fn told(priced: &Priced) -> Vec<(&str, String)> {
    let found = priced.findings.iter().filter(|finding| finding.slug == "hot-water-not-limited");
    found
        .inspect(|finding| assert_eq!(finding.severity, Severity::Fix))
        .map(|f| (&*f.found, f.source.clone().unwrap()))
        .collect()
}

const LAVATORY: &str = "Fixtures: L | lavatory | Cold run C | Hot run H | Count 2";

#[test]
fn hot_water_at_a_public_lavatory_needs_its_valve_or_is_told() {
    let public = "Job: Code basis | IPC 2015\nJob: Occupancy | public";
    let priced = washroom(&format!("{public}\n{LAVATORY}")).price();
    let [(found, source)] = &told(&priced)[..] else { panic!("{:?}", told(&priced)) };
    assert_eq!(*found, "No mixing valve (ASSE 1070) limits the hot water to 110 F at L. The heater is set to 140 F.");
    assert_eq!(source, "IPC 416.5 and 607.1");
    assert_eq!(of(&priced, "mixing valve 3/8\" compression"), 0.into());
    // A later edition has it elsewhere.
    let later = washroom(&format!("{}\n{LAVATORY}", public.replace("2015", "2021"))).price();
    assert_eq!(told(&later)[0].1, "IPC 419.5 and 607.1.2");
    // The job says so: one for each of the two, and both their hoses.
    let counted = washroom(&format!("{public}\nJob: Mixing valves | where required\n{LAVATORY}")).price();
    assert!(told(&counted).is_empty());
    assert_eq!(of(&counted, "mixing valve 3/8\" compression"), 2.into());
    assert_eq!(of(&counted, "supply line 3/8\" compression"), 4.into());
    // Parts of the job's own do, too; so does a limit of its own that asks for nothing at this fixture.
    let listed = "Assemblies: Fixture | Phase | Side | Part | Size | Quantity\nAssemblies: lavatory | trim | hot | mixing valve | 1/2 | 1";
    assert!(told(&washroom(&format!("{public}\n{LAVATORY}\n{listed}")).price()).is_empty());
    // Without hot water, in a dwelling, or where the fixture stays, there is nothing to limit.
    for other in [LAVATORY.replace(" | Hot run H", ""), format!("{LAVATORY} | Status existing")] {
        assert!(told(&washroom(&format!("{public}\n{other}")).price()).is_empty(), "{other}");
    }
    assert!(told(&washroom(&format!("Job: Code basis | IPC 2015\n{LAVATORY}")).price()).is_empty());
}

#[test]
fn a_shower_has_its_valve_unless_somebody_takes_it_out() {
    let shower = "Fixtures: S | shower | Cold run C | Hot run H";
    assert!(told(&washroom(shower).price()).is_empty());
    let out = "Assemblies: Fixture | Phase | Side | Part | Size | Quantity
        Assemblies: shower | rough-in | each | tub and shower valve | 1/2 | 0";
    // A mixing valve in the line is no shower valve: the setting counts none.
    let priced = washroom(&format!("Job: Mixing valves | where required\n{shower}\n{out}")).price();
    let [(found, source)] = &told(&priced)[..] else { panic!("{:?}", told(&priced)) };
    assert!(found.starts_with("No tub and shower valve (ASSE 1016) limits the hot water to 120 F at S."), "{found}");
    assert_eq!(source, "IRC P2708.4");
    assert_eq!(of(&priced, "mixing valve 3/8\" compression"), 0.into());
}
