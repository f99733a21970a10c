//! What is said of sizes and pressures: at the cell that is the cause, once for each outlet, and with what mends it.

use crate::support::job::job;
use tallybore::finding::{Declared, Finding};
use tallybore::size::findings::sizes::{LittleToSpare, ShortOfPressure, SizeUnderCode, TooFast};

const HOUSE: &str = "
    Job: Supply pressure | 60
    Runs: A | SUPPLY | 40
    Runs: B | A | 30
    Runs: C | B | 10
    Fixtures: X1 | other | Cold run C | Gpm 20 | Need psi 5
    Fixtures: L1 | lavatory | Cold run C
    Prices: pipe | coil | 40 | Material PEX | Size 1/2 | Pack 100
    Prices: pipe | coil | 80 | Material PEX | Size 3/4 | Pack 100
";

fn findings(lines: &str) -> Vec<Finding> {
    job(lines).sized().findings
}

fn places<Facts: Declared>(findings: &[Finding]) -> Vec<String> {
    let found = findings.iter().filter(|finding| finding.is::<Facts>());
    found.map(|finding| finding.place.as_ref().map(ToString::to_string).unwrap_or_default()).collect()
}

#[test]
fn a_size_by_main_size_is_told_at_main_size() {
    let told = findings(&format!("{HOUSE}\nJob: Main size | 1/2"));
    let under = places::<SizeUnderCode>(&told);
    assert_eq!(under, ["Job!B5"]);
    let fast = places::<TooFast>(&told);
    assert!(!fast.is_empty() && fast.iter().all(|place| place == "Job!B5"), "{fast:?}");
    let words = &told.iter().find(|f| f.is::<TooFast>()).unwrap().found;
    assert!(words.contains("(1/2 by Main size)"), "{words}");
}

#[test]
fn too_fast_names_the_pipe_that_prices_lacks() {
    let wanting = |told: &[Finding]| -> Vec<Option<String>> {
        let fast = told.iter().filter(|f| f.is::<TooFast>());
        let pipe = |remedy: &str| Some(remedy.strip_prefix("Add ")?.split_once(" to Prices")?.0.to_owned());
        fast.map(|f| pipe(&f.remedy)).collect()
    };
    // 20 gpm run at 17 ft/s in 3/4 in; of the priced sizes none will do.
    let told = wanting(&findings(HOUSE));
    assert!(!told.is_empty());
    for pipe in &told {
        let pipe = pipe.as_deref().expect("a pipe to price");
        assert!(pipe.starts_with("PEX pipe of 1"), "{pipe}");
    }
    // Once it is priced the run gets it.
    let larger = "\nPrices: pipe | coil | 160 | Material PEX | Size 1-1/4 | Pack 100\n\
                  Prices: pipe | coil | 220 | Material PEX | Size 1-1/2 | Pack 100";
    assert_eq!(wanting(&findings(&format!("{HOUSE}{larger}"))), []);
    // A size of the user's own is too small because he says so.
    let own = HOUSE.replace("Runs: C | B | 10", "Runs: C | B | 10 | Size 1/2");
    let told = findings(&own);
    let of_c = told.iter().find(|f| f.is::<TooFast>() && f.found.contains(" in run C ")).unwrap();
    assert!(!of_c.remedy.contains("Prices"), "{of_c:?}");
}

#[test]
fn a_shortage_is_told_at_outlets_and_not_on_the_way() {
    let told = findings(&HOUSE.replace("Supply pressure | 60", "Supply pressure | 3"));
    let short: Vec<_> = told.iter().filter(|f| f.is::<ShortOfPressure>()).collect();
    assert_eq!(short.len(), 1, "{short:?}");
    assert!(short[0].found.contains("run C "), "{short:?}");
}

#[test]
fn little_to_spare_is_a_note_and_enough_is_none() {
    let spare = |psi: &str| {
        let lines = HOUSE.replace("Supply pressure | 60", &format!("Supply pressure | {psi}"));
        let lines = lines.replace("Fixtures: X1 | other | Cold run C | Gpm 20 | Need psi 5", "");
        let told = findings(&lines.replace("Runs: C | B | 10", "Runs: C | B | 30 | Rise ft 20"));
        let note = told.iter().filter(|f| f.is::<LittleToSpare>()).count();
        let short = told.iter().filter(|f| f.is::<ShortOfPressure>()).count();
        (note, short)
    };
    // 20 ft take 8.7 psi, the lavatory needs 8, and a gallon or two a minute loses next to nothing.
    assert_eq!(spare("30"), (0, 0));
    assert_eq!(spare("12"), (0, 1));
    let near = (140..220).map(|tenths| spare(&format!("{}.{}", tenths / 10, tenths % 10)));
    assert!(near.into_iter().any(|said| said == (1, 0)));
}
