//! What is said of sizes and pressures: at the cell that is the cause, once for each outlet, and with what fixes it.

use crate::support::job::job;
use tallybore::finding::{Declared, Finding};
use tallybore::water::findings::sizes::{LittleToSpare, ShortOfPressure, SizeUnderCode, TooFast};

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
    let reported = findings(&format!("{HOUSE}\nJob: Main size | 1/2"));
    let under = places::<SizeUnderCode>(&reported);
    assert_eq!(under, ["Job!B5"]);
    let fast = places::<TooFast>(&reported);
    assert!(!fast.is_empty() && fast.iter().all(|place| place == "Job!B5"), "{fast:?}");
    let words = &reported.iter().find(|f| f.is::<TooFast>()).unwrap().found;
    assert!(words.contains("(1/2 by Main size)"), "{words}");
}

#[test]
fn too_fast_names_the_pipe_that_prices_lacks() {
    let wanting = |reported: &[Finding]| -> Vec<Option<String>> {
        let fast = reported.iter().filter(|f| f.is::<TooFast>());
        let pipe = |remedy: &str| Some(remedy.strip_prefix("Add ")?.split_once(" to Prices")?.0.to_owned());
        fast.map(|f| pipe(&f.remedy)).collect()
    };
    // 20 gpm run at 17 ft/s in 3/4 in; of the priced sizes none will do.
    let reported = wanting(&findings(HOUSE));
    assert!(!reported.is_empty());
    for pipe in &reported {
        let pipe = pipe.as_deref().expect("a pipe to price");
        assert!(pipe.starts_with("PEX pipe of 1"), "{pipe}");
    }
    // Once it is priced the run gets it.
    let larger = "\nPrices: pipe | coil | 160 | Material PEX | Size 1-1/4 | Pack 100\n\
                  Prices: pipe | coil | 220 | Material PEX | Size 1-1/2 | Pack 100";
    assert_eq!(wanting(&findings(&format!("{HOUSE}{larger}"))), []);
    // A size of the user's own is too small because he says so.
    let own = HOUSE.replace("Runs: C | B | 10", "Runs: C | B | 10 | Size 1/2");
    let reported = findings(&own);
    let of_c = reported.iter().find(|f| f.is::<TooFast>() && f.found.contains(" in run C ")).unwrap();
    assert!(!of_c.remedy.contains("Prices"), "{of_c:?}");
}

#[test]
fn a_shortage_is_told_at_outlets_and_not_on_the_way() {
    let reported = findings(&HOUSE.replace("Supply pressure | 60", "Supply pressure | 3"));
    let short: Vec<_> = reported.iter().filter(|f| f.is::<ShortOfPressure>()).collect();
    assert_eq!(short.len(), 1, "{short:?}");
    assert!(short[0].found.starts_with("Run C ends at "), "{short:?}");
}

/// A main that takes nearly all there is, and three lavatories behind it, each higher than the one before.
const TREE: &str = "
    Job: Supply pressure | 20
    Runs: M | SUPPLY | 40 | Size 1/2
    Runs: A | M | 10 | Rise ft 2
    Runs: B | M | 10 | Rise ft 12
    Runs: C | M | 10 | Rise ft 7
    Fixtures: L1 | lavatory | Cold run A
    Fixtures: L2 | lavatory | Cold run B
    Fixtures: L3 | lavatory | Cold run C
    Prices: pipe | coil | 40 | Material PEX | Size 1/2 | Pack 100
    Prices: pipe | coil | 80 | Material PEX | Size 3/4 | Pack 100
";

fn words(reported: &[Finding], slug: &str) -> Vec<(String, Vec<Vec<String>>, String)> {
    let of = reported.iter().filter(|finding| finding.slug == slug).cloned();
    of.map(|finding| (finding.found, finding.table, finding.remedy)).collect()
}

#[test]
fn all_shortages_are_one_finding_the_worst_first() {
    let reported = findings(&TREE.replace("pressure | 20", "pressure | 4"));
    let short = words(&reported, "short-of-pressure");
    assert_eq!(short.len(), 1, "{short:?}");
    let (found, table, _) = &short[0];
    assert_eq!(found, "3 outlets are short of pressure.");
    let runs: Vec<&str> = table.iter().map(|row| &*row[0]).collect();
    assert_eq!(runs, ["run B", "run C", "run A"]);
    // Each row: what is left, what is needed, and the difference of the two.
    let number = |cell: &str| cell.split(' ').find_map(|word| word.parse::<f64>().ok()).unwrap();
    for row in table {
        let [left, need, by] = [&row[1], &row[2], &row[3]].map(|cell| number(cell));
        assert!((need - left - by).abs() < 0.11, "{row:?}");
    }
}

#[test]
fn larger_pipe_is_not_advised_where_no_sizes_will_do() {
    // Nothing is left for any pipe: 12 ft take 5.2 psi of the 4 there are.
    let reported = findings(&TREE.replace("pressure | 20", "pressure | 4"));
    assert_eq!(words(&reported, "no-sizes-will").len(), 1);
    let (_, _, fix) = &words(&reported, "short-of-pressure")[0];
    assert!(!fix.contains("larger pipe") && fix.contains("no-sizes-will"), "{fix}");
}

#[test]
fn the_worst_shortage_is_the_same_number_wherever_it_is_told() {
    for tenths in 10..60 {
        let reported = findings(&TREE.replace("pressure | 20", &format!("pressure | {}.{}", tenths / 10, tenths % 10)));
        // The number after `before`, in what is found or in the first row under it.
        let psi = |slug: &str, before: &str| -> Option<f64> {
            let (found, table, _) = words(&reported, slug).into_iter().next()?;
            let all = format!("{found} {}", table.first().map(|row| row.join(" ")).unwrap_or_default());
            all.split_once(before)?.1.split(' ').next()?.parse().ok()
        };
        let worst = psi("no-sizes-will", "worst shortage to ");
        let short = psi("short-of-pressure", "short by ");
        let lost = psi("pressure-lost", " ends ");
        assert!(worst.is_some());
        assert_eq!((&worst, &worst), (&short, &lost), "{tenths}");
    }
}

#[test]
fn many_runs_that_are_too_fast_are_one_finding() {
    let flow = " | Gpm 6 | Need psi 1";
    let at = |lines: &str| {
        let lines = lines.replace("lavatory", "other").replace("pressure | 20", "pressure | 90");
        ["A", "B", "C"]
            .iter()
            .fold(lines, |lines, run| lines.replace(&format!("Cold run {run}"), &format!("Cold run {run}{flow}")))
    };
    let sized = ["A", "B", "C"].iter().fold(TREE.to_owned(), |lines, run| {
        lines.replace(&format!("Runs: {run} | M | 10"), &format!("Runs: {run} | M | 10 | Size 3/8"))
    });
    let fast = words(&findings(&at(&sized)), "too-fast");
    assert_eq!(fast.len(), 1, "{fast:?}");
    assert_eq!(fast[0].1.len(), 4, "{fast:?}");
    assert_eq!(fast[0].1[0][0], "run M", "the fastest first");
    // Up to three stand at their own cells.
    assert_eq!(words(&findings(&at(TREE)), "too-fast").len(), 1);
}

#[test]
fn a_speed_just_over_the_limit_is_shown_to_differ_from_it() {
    // In 1/2 in PEX (0.475 in): a gallon a minute runs at 1.81 ft/s.
    let mut seen = false;
    for step in 0..40 {
        let gpm = format!("{:.3}", 4.41 + 0.001 * f64::from(step));
        let lines = format!(
            "Job: Supply pressure | 90
             Runs: A | SUPPLY | 10 | Size 1/2
             Fixtures: X1 | other | Cold run A | Gpm {gpm} | Need psi 1"
        );
        for finding in findings(&lines) {
            if finding.is::<TooFast>() {
                // `Water runs at 8.01 ft/s in run A (1/2); the limit is 8.00 ft/s.`
                let number = |after: &str| finding.found.split_once(after).unwrap().1.split(' ').next().unwrap();
                assert_ne!(number(" at "), number(" is "));
                seen |= number(" at ").starts_with("8.0");
            }
        }
    }
    assert!(seen, "none was near the limit");
}

#[test]
fn a_margin_is_asked_for_by_its_own_setting() {
    let reported = (150..260)
        .map(|tenths| findings(&TREE.replace("pressure | 20", &format!("pressure | {}.{}", tenths / 10, tenths % 10))));
    let fixes: Vec<String> =
        reported.flat_map(|reported| words(&reported, "little-to-spare")).map(|words| words.2).collect();
    assert!(!fixes.is_empty());
    assert!(fixes.iter().all(|fix| fix.contains("Pressure to spare") && !fix.contains("lower Supply")), "{fixes:?}");
}

#[test]
fn little_to_spare_is_a_note_and_enough_is_none() {
    let spare = |psi: &str| {
        let lines = HOUSE.replace("Supply pressure | 60", &format!("Supply pressure | {psi}"));
        let lines = lines.replace("Fixtures: X1 | other | Cold run C | Gpm 20 | Need psi 5", "");
        let reported = findings(&lines.replace("Runs: C | B | 10", "Runs: C | B | 30 | Rise ft 20"));
        let note = reported.iter().filter(|f| f.is::<LittleToSpare>()).count();
        let short = reported.iter().filter(|f| f.is::<ShortOfPressure>()).count();
        (note, short)
    };
    // 20 ft take 8.7 psi, the lavatory needs 8, and a gallon or two a minute loses next to nothing.
    assert_eq!(spare("30"), (0, 0));
    assert_eq!(spare("12"), (0, 1));
    let near = (140..220).map(|tenths| spare(&format!("{}.{}", tenths / 10, tenths % 10)));
    assert!(near.into_iter().any(|phrases| phrases == (1, 0)));
}
