//! What is wrong with a job as a whole, once it is read.

use super::support::{Book, job};
use tallybore::check_rows;
use tallybore::finding::{Finding, sort};
use tallybore::model::network::Network;

fn checked(book: &Book) -> Vec<Finding> {
    let reading = book.read();
    let (network, problems) = Network::build(&reading.job);
    let mut findings = reading.findings;
    findings.extend(check_rows(&reading.job, tallybore::rules::Rules::embedded(), &network, &problems));
    sort(&mut findings);
    findings
}

fn slugs(book: &Book) -> Vec<String> {
    checked(book)
        .iter()
        .map(|f| {
            let place = f.place.as_ref().map(|p| format!(" {p}")).unwrap_or_default();
            format!("{} {}{place}", f.severity.word(), f.slug)
        })
        .collect()
}

fn runs(rows: &str) -> Book {
    job().sheet("Runs", &format!("Run|From|Length ft|Rise ft|Bends|Status|Material\n{rows}"))
}

fn fixtures(rows: &str) -> Book {
    runs("A|SUPPLY|20\nH|A|5\nB|H|9\nX|A|3|||remove")
        .sheet("Devices", "Device|On run|Kind\nWH|H|tank heater")
        .sheet("Fixtures", &format!("Tag|Fixture|Cold run|Hot run|Count|Gpm|Status\n{rows}"))
}

#[test]
fn a_sound_job_has_no_findings() {
    assert_eq!(slugs(&job()), [""; 0]);
    assert_eq!(slugs(&fixtures("L1|lavatory|A|B|2")), [""; 0]);
}

#[test]
fn a_name_is_given_once_whatever_its_case() {
    let book = runs("A|SUPPLY|20\na |A|5").sheet("Fixtures", "Tag|Fixture|Cold run\nL1|lavatory|A\nl1|lavatory|A");
    assert_eq!(slugs(&book), ["stop duplicate-name Fixtures!A3", "stop duplicate-name Runs!A3"]);
    let labor = job().sheet("Labor", "Task|Unit|Hours\nset softener|each|2\nSet Softener|each|3");
    assert_eq!(slugs(&labor), ["stop duplicate-name Labor!A3"]);
}

#[test]
fn unknown_runs_are_answered_with_the_nearest() {
    let findings = checked(&runs("M1|SUPPLY|20\nB|M1A|5").sheet("Fixtures", "Tag|Fixture|Cold run\nL1|lavatory|M2"));
    let found: Vec<String> = findings.iter().map(|f| f.found.clone()).collect();
    assert_eq!(
        found,
        [
            "Found \"M2\"; there is no run of that name. Did you mean \"M1\"?",
            "Found \"M1A\"; there is no run of that name. Did you mean \"M1\"?",
        ]
    );
    let device = job().sheet("Devices", "Device|On run|Kind\nS|Q|softener");
    assert_eq!(slugs(&device), ["stop unknown-name Devices!B2"]);
}

#[test]
fn a_blank_name_is_said_once() {
    assert_eq!(slugs(&runs("A||20")), ["stop missing-value Runs!B2"]);
    // Without runs, nobody's run is called unknown.
    assert_eq!(slugs(&runs("")), ["stop no-rows Runs!A1"]);
}

#[test]
fn rings_are_refused_by_name() {
    let findings = checked(&runs("A|SUPPLY|20\nB|D|5\nC|B|5\nD|C|5\nE|D|5"));
    assert_eq!(findings.len(), 1);
    assert!(findings[0].found.contains("B > C > D > B"), "{}", findings[0].found);
    assert_eq!(slugs(&runs("A|SUPPLY|20\nMain|MAIN|5")), ["stop reserved-name Runs!B3"]);
    assert_eq!(slugs(&runs("A|Main|20\nMain|SUPPLY|5")), [""; 0], "a run may be called Main");
}

#[test]
fn nothing_may_hang_on_a_run_that_comes_out() {
    assert_eq!(slugs(&fixtures("L1|lavatory|X")), ["stop run-removed Fixtures!C2"]);
    assert_eq!(slugs(&fixtures("L1|lavatory|X||||remove")), [""; 0], "unless it comes out too");
    assert_eq!(slugs(&runs("A|SUPPLY|20\nX|A|3|||remove\nY|X|2")), ["stop run-removed Runs!B4"]);
}

#[test]
fn numbers_that_cannot_be_are_refused() {
    assert_eq!(slugs(&runs("A|SUPPLY|5|-6")), ["stop rise-over-length Runs!D2"]);
    assert_eq!(slugs(&runs("A|SUPPLY|5|5")), [""; 0]);
    assert_eq!(slugs(&runs("A|SUPPLY|0")), ["fix zero-length Runs!C2"]);
    assert_eq!(slugs(&runs("A|SUPPLY|0|||existing")), [""; 0]);
    assert_eq!(slugs(&runs("A|SUPPLY|5||1.5")), ["stop not-whole Runs!E2"]);
    assert_eq!(slugs(&fixtures("L1|lavatory|A||0.5")), ["stop not-whole Fixtures!E2"]);
    assert_eq!(slugs(&runs("A|SUPPLY|-5")), ["stop negative-value Runs!C2"]);
    let pack = job().sheet("Prices", "Kind|Unit|Pack|Price\npipe|coil|0|40");
    assert_eq!(slugs(&pack), ["stop out-of-range Prices!C2"]);
    let cold = job().sheet("Job", "Item|Value\nCold water temperature|20\nCrew|0");
    assert_eq!(slugs(&cold), ["stop out-of-range Job!B2", "stop out-of-range Job!B3"]);
}

#[test]
fn keys_of_look_ups_are_no_patterns() {
    let book = runs("A|SUPPLY|5||||PEX*").sheet("Prices", "Kind|Material|Unit|Pack|Price\npipe?|PEX~|coil|100|4");
    let expected = ["stop pattern-name Prices!A2", "stop pattern-name Prices!B2", "stop pattern-name Runs!G2"];
    assert_eq!(slugs(&book), expected);
}

#[test]
fn fixtures_need_water() {
    assert_eq!(slugs(&fixtures("L1|lavatory")), ["fix fixture-without-run Fixtures!A2"]);
    assert_eq!(slugs(&fixtures("S1|Other|A")), ["stop other-without-gpm Fixtures!F2"]);
    assert_eq!(slugs(&fixtures("S1|other|A|||3")), [""; 0]);
}

#[test]
fn hot_runs_have_a_heater_above_and_cold_runs_have_none() {
    assert_eq!(slugs(&fixtures("L1|lavatory|A|A\nL2|lavatory|A|A")), ["fix hot-run-without-heater Fixtures!D2"]);
    assert_eq!(slugs(&fixtures("L1|lavatory|B|H")), ["fix cold-run-is-hot Fixtures!C2"]);
    let none = fixtures("L1|lavatory|A|B\nL2|lavatory|A|H").without("Devices");
    assert_eq!(slugs(&none), ["fix hot-run-without-heater Fixtures!D2"]);
    // A heater on an unknown run explains the rest.
    let astray = fixtures("L1|lavatory|A|B").sheet("Devices", "Device|On run|Kind\nWH|HH|tank heater");
    assert_eq!(slugs(&astray), ["stop unknown-name Devices!B2"]);
}

#[test]
fn a_device_of_no_known_kind_may_be_the_heater() {
    let book = fixtures("L1|lavatory|A|B").sheet("Devices", "Device|On run|Kind\nWH|H|hot thing");
    assert_eq!(slugs(&book), ["stop unknown-choice Devices!C2"]);
}

#[test]
fn a_size_that_no_pipe_has_is_told_with_every_other_stop() {
    let rows = "A|SUPPLY|20|'7/8|PEX\nB|A|-5|'7/8|galvanized\nC|A|5||PEX";
    let book = job()
        .sheet("Runs", &format!("Run|From|Length ft|Size|Material\n{rows}"))
        .sheet("Fixtures", "Tag|Fixture|Cold run\nL1|lavatory|C");
    assert_eq!(
        slugs(&book),
        ["stop size-not-in-table Runs!D2", "stop negative-value Runs!C3", "stop size-not-in-table Runs!D3"]
    );
    let findings = checked(&book);
    let remedy = |cell: &str| {
        let at = findings.iter().find(|f| f.place.as_ref().is_some_and(|place| place.to_string() == cell));
        at.unwrap().remedy.clone()
    };
    // PEX 3/4 is 0.875 in over all (ASTM F876, copper tube size); no galvanized pipe is.
    assert!(remedy("Runs!D2").contains("7/8 is the outside diameter of 3/4 PEX"), "{}", remedy("Runs!D2"));
    assert!(remedy("Runs!D3").starts_with("Write a size"), "{}", remedy("Runs!D3"));
    let by_main = job().sheet("Job", "Item|Value\nSupply pressure|60\nMain size|'7/8");
    assert_eq!(slugs(&by_main), ["stop size-not-in-table Job!B3"]);
}

#[test]
fn a_slip_in_an_everyday_name_is_answered_with_the_proper_word() {
    let near = |findings: &[Finding]| {
        let words = findings.iter().map(|f| f.found.clone()).find(|words| words.contains("Did you mean"));
        words.and_then(|words| words.split('"').nth(3).map(str::to_owned)).unwrap_or_default()
    };
    for (written, proper) in [
        ("Toliet", "water closet"),
        ("toilett", "water closet"),
        ("comode", "water closet"),
        ("sikn", "kitchen sink"),
        ("tubb", "bathtub"),
        ("shower haed", "shower"),
        ("wahser", "clothes washer"),
        ("vanitty", "lavatory"),
        ("spiggot", "hose bibb"),
        ("lavatry", "lavatory"),
    ] {
        let book = runs("A|SUPPLY|20").sheet("Fixtures", &format!("Tag|Fixture|Cold run\nX|{written}|A"));
        assert_eq!(near(&checked(&book)), proper, "{written}");
    }
    for (written, proper) in [
        ("water softner", "softener"),
        ("RPX", ""),
        ("presure regulator", "regulator"),
        ("gate vlave", "shutoff valve"),
    ] {
        let book = runs("A|SUPPLY|20").sheet("Devices", &format!("Device|On run|Kind\nX|A|{written}"));
        assert_eq!(near(&checked(&book)), proper, "{written}");
    }
}

/// Without a sheet of suppliers a slip in a name would part one supplier's order in two.
#[test]
fn a_supplier_that_one_row_names_is_told_beside_one_that_many_do() {
    let prices = |last: &str| {
        let rows: String = ["1/2", "3/4", "1"].map(|size| format!("pipe|PEX|{size}|ft|1|Birch Supply\n")).concat();
        job().sheet("Prices", &format!("Kind|Material|Size|Unit|Price|Supplier\n{rows}pipe|PEX|1-1/4|ft|2|{last}"))
    };
    let reported = |last: &str| slugs(&prices(last)).iter().any(|slug| slug == "fix supplier-nearly Prices!F5");
    assert!(reported("Birch Suply"));
    assert!(!reported("Birch Supply") && !reported("Alder Yard"));
}

#[test]
fn a_task_under_an_everyday_name_gets_the_proper_one() {
    for (task, proper) in [("trim toilet", "trim water closet"), ("rough in toliet", "rough in water closet")] {
        let book = job().sheet("Labor", &format!("Task|Unit|Hours\n{task}|each|2"));
        let found = checked(&book);
        let reported = found.iter().find(|finding| finding.slug == "task-not-used").unwrap();
        let words = format!("{} {}", reported.found, reported.remedy);
        assert!(words.contains(&format!("\"{proper}\"")), "{words}");
    }
}

/// A price list of thousands of sellers: none is compared with all rows of all others.
#[test]
fn thousands_of_suppliers_are_looked_through() {
    let rows: String = (0..3000)
        .map(|n| format!("pipe|PEX|1/2|ft|1|Yard {}\n", ["oak", "elm", "fir"][n % 3].repeat(1 + n / 3)))
        .collect();
    let book = job().sheet("Prices", &format!("Kind|Material|Size|Unit|Price|Supplier\n{}", rows.trim_end()));
    assert!(!slugs(&book).iter().any(|slug| slug.contains("supplier-nearly")));
}
