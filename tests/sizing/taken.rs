//! What devices and runs take on the way where the pressure is short; devices with half their data; fixtures that the
//! code has no units for.

use crate::support::job::job;
use tallybore::finding::Finding;
use tallybore::pipeline::Priced;
use tallybore::water::findings::sizes::PressureLost;

const HOUSE: &str = "
    Job: Supply pressure | 34
    Fixtures: L1 | lavatory | Cold run C
    Fixtures: T1 | bathtub | Cold run B
    Runs: A | SUPPLY | 40 | Size 3/4 | Rise ft 6
    Runs: B | A | 30 | Size 1/2 | Rise ft 2
    Runs: C | B | 12 | Size 1/2 | Rise ft 3
    Devices: S1 | A | softener | Rated gpm 4 | Loss psi 9
    Devices: F1 | B | filter | Rated gpm 8 | Loss psi 3
    Prices: pipe | coil | 48.50 | Material PEX | Size 1/2 | Pack 100
    Prices: pipe | coil | 88 | Material PEX | Size 3/4 | Pack 100
";

fn lost(priced: &Priced) -> Option<&Finding> {
    priced.findings.iter().find(|finding| finding.is::<PressureLost>())
}

/// `run M1 (3/4) 5.2`, or ` takes 5.2` for the first: what takes it, and how much, psi.
fn taken(part: &str) -> (&str, f64) {
    let (what, psi) = part.trim_end_matches('.').rsplit_once(' ').unwrap();
    (what.trim_end_matches(" takes"), psi.parse().unwrap())
}

#[test]
fn what_is_taken_on_the_way_makes_up_the_whole_loss() {
    let priced = job(HOUSE).price();
    let words = &lost(&priced).expect("none is short").found;
    let (least, at) = priced.subjects.water.least_spare.as_ref().unwrap();
    let (run, by_psi) = (at.value().to_string(), -least.value().as_f64());
    assert!(words.starts_with(&format!("Run {run} ends {by_psi:.1} psi short of ")), "{words}");
    let takes = words.split_once("Of 34.0 psi at the supply, ").unwrap().1;
    let (takes, more) = takes.split_once(" and ").map_or((takes, None), |(takes, more)| (takes, Some(taken(more).1)));
    let takes: Vec<(&str, f64)> = takes.split(", ").map(taken).collect();
    let sum = takes.iter().map(|(_, psi)| psi).sum::<f64>() + more.unwrap_or(0.0);
    let position = priced.network.find(&run).unwrap();
    let taken = 34.0 - priced.subjects.water.end_psi[position].value().as_f64();
    // Each is rounded to a tenth.
    assert!((sum - taken).abs() <= 0.05 * (takes.len() + 1) as f64, "{sum} of {taken}: {takes:?}");
    assert!(takes.windows(2).all(|pair| pair[0].1 >= pair[1].1), "{takes:?}");
    assert!(takes[0].0.starts_with("S1 (softener)"), "{takes:?}");
    // It comes before every run that is told to be short.
    let slugs: Vec<&str> = priced.findings.iter().map(|finding| finding.slug).collect();
    let first = slugs.iter().position(|slug| *slug == "pressure-lost").unwrap();
    assert!(slugs.iter().position(|slug| *slug == "short-of-pressure").is_some_and(|short| short > first), "{slugs:?}");
    assert_eq!(lost(&job(&HOUSE.replace("pressure | 34", "pressure | 70")).price()), None);
}

#[test]
fn a_loss_without_its_flow_is_counted_at_the_peak() {
    let loss = |devices: &str| {
        let lines = HOUSE.replace("pressure | 34", "pressure | 80").replace("Rated gpm 4 | Loss psi 9", devices);
        let priced = job(&lines).price();
        let slugs: Vec<&str> = priced.findings.iter().map(|finding| finding.slug).collect();
        (priced.subjects.water.device_losses[0].2.value().as_f64(), slugs.contains(&"device-half-rated"))
    };
    assert_eq!(loss("Loss psi 9"), (9.0, true));
    assert_eq!(loss("Loss psi 0"), (0.0, false));
    assert!(loss("Rated gpm 4").1, "the table's loss is used, and told");
    assert!(!loss("Rated gpm 4 | Loss psi 9").1);
}

#[test]
fn a_fixture_that_the_code_lacks_counts_by_another_codes_row() {
    let units = |code: &str, fixture: &str| {
        let priced = job(&format!(
            "Job: Supply pressure | 60
             Job: Code basis | {code}
             Fixtures: X1 | {fixture} | Cold run A
             Runs: A | SUPPLY | 20
             Prices: pipe | coil | 48.50 | Material PEX | Size 1/2 | Pack 100
             Prices: pipe | coil | 88 | Material PEX | Size 3/4 | Pack 100"
        ))
        .price();
        let reported = priced.findings.iter().any(|finding| finding.slug == "units-lent");
        (priced.subjects.water.fixture_units[0].value().as_f64(), reported)
    };
    // IRC Table P2903.6 and UPC Table 610.3 as the rule tables have them: 2.5 for a bibb; the IPC has no row.
    assert_eq!(units("IPC", "hose bibb"), (2.5, true));
    assert_eq!(units("IRC", "hose bibb"), (2.5, false));
    // IPC 2021 Table E103.3(2): a bidet counts 1.5 on its cold side.
    assert_eq!(units("IRC", "bidet"), (1.5, true));
    // UPC 2021 Table 610.3: a bar sink counts 1, three quarters of it cold; a service sink 1.5.
    assert_eq!(units("IRC", "bar sink"), (0.75, true));
    assert_eq!(units("IRC 2021", "service sink"), (1.125, true));
}

#[test]
fn a_loss_is_of_another_size_only_where_the_run_gets_another() {
    let reported = |lines: &str| {
        let sized = job(&format!(
            "Job: Supply pressure | 90
             Runs: A | SUPPLY | 20
             Fixtures: L1 | lavatory | Cold run A
             Devices: M1 | A | meter | {lines}"
        ))
        .sized();
        let of = sized.findings.iter().filter(|finding| finding.slug == "loss-of-other-size").count();
        (sized.sizes.sizes[sized.at("A")].unwrap().to_string(), of)
    };
    let size = |key: &str| key.to_owned();
    // The program gives the run 3/4 and takes the loss of a 3/4 in meter: nothing is amiss.
    assert_eq!(reported("Note none"), (size("3/4"), 0));
    assert_eq!(reported("Note none\nJob: Main size | 1"), (size("1"), 0), "Main size says the meter's size too");
    assert_eq!(reported("Note none\nJob: Main size | 1-1/4"), (size("1-1/4"), 1), "there is no such row");
    assert_eq!(reported("Size 1-1/4"), (size("3/4"), 1));
    assert_eq!(reported("Size 3/4"), (size("3/4"), 0));
    assert_eq!(reported("Size 1-1/4 | Rated gpm 30 | Loss psi 4"), (size("3/4"), 0));
    assert_eq!(reported("Size 1-1/4 | Rated gpm 30"), (size("3/4"), 0), "half of the data sheet is told by itself");
}
