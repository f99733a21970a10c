//! The sample subject appears wherever a subject should, though nothing of the program but its line in the list knows of it.

use super::findings;
use crate::commands::{
    Command, Exit, Given, Terminal, all_findings::all_findings, check, order, price, revise, start, trace,
};
use crate::rules::Rules;
use crate::sheets::Page;
use crate::subjects;
use calamine::{Reader, Xlsx, open_workbook};
use std::fs;
use std::path::PathBuf;
use tempfile::TempDir;

/// A lavatory, and a garden that takes two valves in one zone: 4 sprays at 30 gallons an hour, at 60 a valve.
const JOB: &str = "[Job]
Item | Value
Supply pressure | 60
Labor by | hired

[Fixtures]
Tag | Fixture | Cold run
L1 | lavatory | A

[Runs]
Run | From | Size | Length ft
A | SUPPLY | 1/2 | 12

[Garden]
Zone | Emitter | Emitters | Hose ft
Z1 | spray | 4 | 17.5
Z2 | dripper | 10

[Prices]
Kind | Material | Size | Unit | Pack | Price | Supplier
pipe | PEX | 1/2 | stick | 20 | 9.41 | Quillmoor Supply
zone valve | | | each | 1 | 31.50 | Quillmoor Supply
garden hose | | | ft | 1 | 0.62 | Quillmoor Supply
";

/// A job workbook in a folder of its own.
struct Bench {
    folder: TempDir,
}

impl Bench {
    fn new(text: &str) -> Self {
        let bench = Self { folder: tempfile::tempdir().unwrap() };
        let (from, output) = (bench.path("job.txt"), Some(bench.path("job.xlsx")));
        fs::write(&from, text).unwrap();
        start::start(&start::Options { from: start::From::Text(from), output, replace: false }).unwrap();
        bench
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// What a command writes to the terminal: results, then findings.
    fn run(&self, command: &Command) -> String {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let exit = crate::commands::run(command, &mut Terminal { out: &mut out, err: &mut err });
        let reported = String::from_utf8([out, err].concat()).unwrap();
        assert_eq!(exit, Exit::Done, "{reported}");
        reported
    }

    fn price(&self) -> String {
        self.run(&Command::Price(price::Options { books: vec![self.path("job.xlsx")], ..price::Options::default() }))
    }

    /// The rows of a sheet of a workbook, their cells with bars between them.
    fn sheet(&self, file: &str, sheet: &str) -> Vec<String> {
        let mut book: Xlsx<_> = open_workbook(self.path(file)).unwrap();
        let range = book.worksheet_range(sheet).unwrap_or_else(|error| panic!("{file} {sheet}: {error}"));
        range.rows().map(|row| row.iter().map(ToString::to_string).collect::<Vec<_>>().join("|")).collect()
    }

    fn sheets(&self, file: &str) -> Vec<String> {
        open_workbook::<Xlsx<_>, _>(self.path(file)).unwrap().sheet_names()
    }
}

/// The row that begins with these words.
fn row<'a>(rows: &'a [String], words: &str) -> &'a str {
    let found = rows.iter().find(|row| row.trim_start_matches('|').starts_with(words));
    found.unwrap_or_else(|| panic!("no row {words} in\n{}", rows.join("\n")))
}

#[test]
fn the_blank_workbook_has_its_sheet() {
    let bench = Bench::new(JOB);
    let output = Some(bench.path("blank.xlsx"));
    start::start(&start::Options { from: start::From::Blank, output, replace: false }).unwrap();
    let sheets = bench.sheets("blank.xlsx");
    let at = |name: &str| sheets.iter().position(|sheet| sheet == name).unwrap();
    assert!(at("Runs") < at("Garden") && at("Garden") < at("Prices"), "{sheets:?}");
    row(&bench.sheet("blank.xlsx", "Garden"), "Zone|Emitter|Emitters|Hose ft|Status|Note");
    row(&bench.sheet("blank.xlsx", "Job"), "Garden limit|");
}

#[test]
fn the_guide_lists_its_sheet_its_table_and_its_findings() {
    assert!(subjects::sheets().any(|sheet| sheet.name == "Garden"));
    let table = Rules::embedded().table("emitters").unwrap();
    assert_eq!((table.rows().len(), table.spec.sheet), (2, Some("Emitters")));
    let slugs: Vec<&str> = all_findings().iter().map(|of| of.slug).collect();
    assert!(findings::LIST.iter().all(|of| slugs.contains(&of.slug)), "{slugs:?}");
}

#[test]
fn check_tells_what_it_finds_and_knows_its_names_and_kinds() {
    let twice = JOB.replace("Z2 | dripper", "z1 | dripper").replace("[Prices]", "A | spray | 900\n\n[Prices]");
    let bench = Bench::new(&twice.replace("10\n\nA | spray", "10\nA | spray"));
    let books = vec![bench.path("job.xlsx")];
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let options = check::Options { books, ..check::Options::default() };
    check::run(&options, &mut Terminal { out: &mut out, err: &mut err }).unwrap();
    let reported = String::from_utf8([out, err].concat()).unwrap();
    for words in ["zone-named-as-run", "duplicate-name", "out-of-range"] {
        assert!(reported.contains(words), "{words} in\n{reported}");
    }
    let reported = Bench::new(JOB).price();
    assert!(reported.contains("zone-takes-valves"), "{reported}");
    assert!(!reported.contains("not-used"), "a part and a task of a subject are known: {reported}");
}

#[test]
fn price_takes_off_its_parts_reckons_its_hours_and_shows_its_page() {
    let bench = Bench::new(JOB);
    bench.price();
    let bid = "job-bid.xlsx";
    // 4 x 30 and 10 x 2 gallons an hour, at 60 a valve.
    let zones = bench.sheet(bid, Page::Garden.name());
    assert_eq!([row(&zones, "Z1"), row(&zones, "Z2")], ["Z1|4|120|2", "Z2|10|20|1"]);
    assert!(row(&bench.sheet(bid, "Counts"), "Z1|").contains("zone valve"));
    assert!(row(&bench.sheet(bid, "Take-off"), "zone valve").contains("|3|"));
    // 3 valves at 0.75 h.
    assert!(row(&bench.sheet(bid, "Hours"), "set zone valve|").contains("|2.25|"), "{:?}", bench.sheet(bid, "Hours"));
    assert!(row(&bench.sheet(bid, "Cost build-up"), "zone valve").contains("94.5"));
    assert!(row(&bench.sheet(bid, "At a glance"), "Zone valves in all").contains("3"));
    row(&bench.sheet(bid, "At a glance"), "Watering");
    assert!(row(&bench.sheet(bid, "Bid"), "3|").contains("zone valves in the garden"));
    // 17.5 ft at $0.62; hose is no pipe, and adds up all the same.
    assert!(row(&bench.sheet(bid, "Take-off"), "garden hose").starts_with("garden hose|ft|"));
    assert!(row(&bench.sheet(bid, "Cost build-up"), "garden hose").contains("10.85"));
    assert!(row(&bench.sheet(bid, "Bid"), "17.5|").contains("ft of garden hose"));
    let checks = bench.sheet(bid, "Checks");
    assert!(row(&checks, "New pipe in Runs").contains("|12|12|OK|"), "{checks:?}");
    row(&bench.sheet(bid, "Rules"), "dripper|2");
    row(&checks, "Garden Z1");
    let sheets = bench.sheets(bid);
    let at = |name: &str| sheets.iter().position(|sheet| sheet == name).unwrap();
    assert!(at("Sizing") < at("Watering") && at("Watering") < at("Take-off"), "{sheets:?}");
}

#[test]
fn it_warns_once_on_the_bid_and_tells_programs_what_it_has() {
    let bench = Bench::new(JOB);
    let books = vec![bench.path("job.xlsx")];
    let told = bench.run(&Command::Price(price::Options { books, json: true, ..price::Options::default() }));
    let told: serde_json::Value = serde_json::from_str(&told).unwrap();
    assert_eq!(told["garden_zones"], serde_json::json!(["Z1", "Z2"]));
    assert_eq!(told["runs"][0]["run"], "A", "beside what water says");
    let bid = bench.sheet("job-bid.xlsx", "Bid");
    row(&bid, "- Sprays freeze");
    assert_eq!(bid.iter().filter(|row| row.contains("Trenches")).count(), 1, "{bid:?}");
}

#[test]
fn a_job_without_it_has_nothing_of_it() {
    let (before, rest) = JOB.split_once("[Garden]").unwrap();
    let bench = Bench::new(&format!("{before}[Prices]{}", rest.split_once("[Prices]").unwrap().1));
    bench.price();
    assert!(!bench.sheets("job-bid.xlsx").contains(&Page::Garden.name().to_owned()));
    for sheet in ["At a glance", "Bid", "Take-off", "Hours"] {
        let rows = bench.sheet("job-bid.xlsx", sheet).join("\n");
        assert!(!rows.contains("Watering") && !rows.contains("arden") && !rows.contains("set zone valve"), "{rows}");
    }
}

#[test]
fn its_own_rules_go_before_its_table_and_a_bid_is_priced_again_the_same() {
    let bench = Bench::new(&format!("{JOB}\n[Emitters]\nEmitter | Gph\nspray | 14\n"));
    bench.price();
    assert_eq!(row(&bench.sheet("job-bid.xlsx", "Watering"), "Z1"), "Z1|4|56|1");
    let books = vec![bench.path("job-bid.xlsx")];
    let before = fs::read(&books[0]).unwrap();
    let again = price::Options { books: books.clone(), replace: true, hold: true, ..price::Options::default() };
    bench.run(&Command::Price(again));
    assert!(fs::read(&books[0]).unwrap() == before, "the same job with its choices held is the same bid");
}

#[test]
fn revise_compares_its_rows_its_lines_and_its_figures() {
    let bench = Bench::new(JOB);
    let options = revise::Options {
        old: bench.path("job.xlsx"),
        set: vec!["zone Z1 emitters=7".to_owned()],
        output: Some(bench.path("revised.xlsx")),
        ..revise::Options::default()
    };
    bench.run(&Command::Revise(options));
    let changes = bench.sheet("revised.xlsx", "Changes");
    assert!(row(&changes, "Emitters of zone Z1|").starts_with("Emitters of zone Z1|4|7|"), "{changes:?}");
    // 210 gallons an hour take 4 valves in place of 2.
    assert!(row(&changes, "zone valve|").starts_with("zone valve|3|5|2|"), "{changes:?}");
    assert!(row(&changes, "Z1|").starts_with("Z1|120|210|90"), "{changes:?}");
}

#[test]
fn what_it_flags_stands_on_the_bid_and_the_change_order_and_fails_a_try() {
    let bench = Bench::new(JOB);
    let options = revise::Options {
        old: bench.path("job.xlsx"),
        set: vec!["zone Z1 emitters=20".to_owned()],
        tries: vec!["zone Z2 emitters=5,10".to_owned()],
        output: Some(bench.path("revised.xlsx")),
        ..revise::Options::default()
    };
    // 20 sprays at 30 gallons an hour are over the 400 of a garden, whatever the drippers are.
    let reported = bench.run(&Command::Revise(options));
    assert!(reported.contains("None of them passes") && reported.contains("the garden draws too much"), "{reported}");
    for sheet in ["Bid", "Change order"] {
        row(&bench.sheet("revised.xlsx", sheet), "The garden draws 620 gallons an hour.");
    }
}

#[test]
fn its_setting_is_read_and_followed() {
    let bench = Bench::new(&JOB.replace("Labor by", "Garden limit | 130\nLabor by"));
    bench.price();
    row(&bench.sheet("job-bid.xlsx", "Bid"), "The garden draws 140 gallons an hour.");
    let bench = Bench::new(JOB);
    bench.price();
    row(&bench.sheet("job-bid.xlsx", "Defaults"), "Garden limit|400");
}

#[test]
fn order_buys_its_parts() {
    let bench = Bench::new(JOB);
    let options = order::Options { book: bench.path("job.xlsx"), ..order::Options::default() };
    let reported = bench.run(&Command::Order(options));
    let csv = fs::read_to_string(bench.path("job-order-quillmoor-supply.csv")).unwrap();
    assert!(csv.lines().any(|line| line.contains("zone valve") && line.contains("3")), "{reported}\n{csv}");
}

#[test]
fn trace_leads_from_its_page_to_the_users_cell_and_the_row_of_its_table() {
    let bench = Bench::new(JOB);
    let rows = bench.path("job.xlsx");
    let bid = {
        bench.price();
        bench.sheet("job-bid.xlsx", "Watering")
    };
    let at = bid.iter().position(|row| row.starts_with("Z1|")).unwrap() + 1;
    let (cell, depth, given) = (format!("Watering!D{at}"), None, Given::default());
    let reported = bench.run(&Command::Trace(trace::Options { book: rows, cell, depth, given }));
    assert!(reported.contains("Z1, Emitters  Garden!C4"), "{reported}");
    assert!(reported.contains("no published source: a sample (common practice)"), "{reported}");
}
