//! Sheets: which is which, and those of a bid.

use super::support::{Book, found, job, words};
use tallybore::Choice;

#[test]
fn sheets_are_known_by_alias_case_and_spacing() {
    let book = job().without("Runs").sheet("PIPE  RUNS", "Run|From|Length ft\nA|SUPPLY|20");
    let reading = book.read();
    assert_eq!(found(&reading), [""; 0]);
    assert_eq!(reading.job.runs[0].name.place.to_string(), "'PIPE  RUNS'!A2");
}

#[test]
fn a_missing_sheet_stops_and_names_the_near_one() {
    let reading = job().without("Fixtures").sheet("Fixturs", "Tag|Fixture").read();
    assert_eq!(found(&reading), ["stop missing-sheet"]);
    assert!(words(&reading).contains("Perhaps \"Fixturs\" is"));
}

#[test]
fn a_sheet_with_nearly_a_name_of_ours_is_told_and_if_its_headings_are_ours_is_to_be_mended() {
    let costs = "Item|Quantity|Price\nTravel|3|25";
    let devices = "Device|On run|Kind\nH|A|tank heater";
    for (name, rows, severity) in [
        ("Device list", devices, "stop"),
        ("List of devices", devices, "stop"),
        ("Devices 2", devices, "stop"),
        ("In the line", devices, "stop"),
        ("Photos", costs, "fix"),
        ("Device photos", "What I thought of", "note"),
        ("My fixtures", "Tag|Fixture|Cold run\nL9|lavatory|A", "stop"),
        ("Runs of 2019", "Run|From|Length ft\nA|SUPPLY|20", "stop"),
        ("Runs of 2019 (not used)", "Run|From|Length ft\nA|SUPPLY|20", "note"),
        ("Basement", "Run|From|Length ft\nA|SUPPLY|20", "stop"),
        ("Devises", "Device|On run|Kind\nH|A|tank heater", "stop"),
        ("Devises", "Device|On run|Kind", "fix"),
        ("Devises", "What I thought of", "note"),
        ("Other cost", costs, "stop"),
        ("Other job costs", costs, "stop"),
        ("Pipes", "Material|Size|Inside diameter in\nPEX|'1/2|0.475", "stop"),
        ("My pipe", "Material|Size|ID\nPEX|'1/2|0.475", "stop"),
        ("Pipes", "Material|Length\nPEX|20", "note"),
    ] {
        let reading = job().sheet(name, rows).read();
        let [found] = &found(&reading)[..] else { panic!("{name}: {:?}", found(&reading)) };
        let slug = if severity == "stop" { "sheet-left-out" } else { "near-sheet" };
        assert!(found.starts_with(&format!("{severity} {slug}")), "{name}: {found}");
    }
    let own = job().sheet("Photos", "Item|Taken by\nTub|Ada").sheet("Run times", "Day|Hours\nMonday|6");
    assert_eq!(found(&own.read()), [""; 0]);
    let renamed = job().without("Fixtures").sheet("My fixtures", "Tag|Fixture").read();
    assert_eq!(found(&renamed), ["stop missing-sheet"]);
    assert!(words(&renamed).contains("Perhaps \"My fixtures\" is"));
}

/// A lavatory that is there already, of which nothing is bought.
const EXISTING: &str = "Tag|Fixture|Cold run|Status\nL1|lavatory|A|existing";

#[test]
fn blanks_around_a_name_are_nothing_to_anybody() {
    // The library that writes the test's workbooks takes them as they come, as other programs do.
    for name in [" Runs", "Runs ", "\u{a0}Runs", "Runs\t"] {
        let rows = "Run|From|Length ft|Size|Status\nA|SUPPLY|20|'3/4|existing";
        let reading = job()
            .without("Runs")
            .sheet(name, rows)
            .sheet("Fixtures", EXISTING)
            .sheet("My notes", &format!("=SUM('{name}'!C2) -> 20"))
            .read();
        assert_eq!(found(&reading), [""; 0], "{name:?}");
        assert_eq!(reading.job.runs[0].name.place.to_string(), "Runs!A2");
        let notes = reading.book.sheets.iter().find(|sheet| &*sheet.name == "My notes").unwrap();
        assert_eq!(notes.cells[0].formula.as_deref(), Some("SUM(Runs!C2)"), "{name:?}");
        let priced = tallybore::pipeline::price(
            &reading.job,
            &reading.book,
            &reading.findings,
            &tallybore::pipeline::Options::default(),
        )
        .unwrap();
        let about = tallybore::write::About::default();
        assert!(tallybore::write::bid_bytes(&priced.book, &reading.book, &about).is_ok(), "{name:?}");
    }
    let two = job().sheet("runs ", "Run|From|Length ft\nB|SUPPLY|9").read();
    assert_eq!(found(&two), ["fix two-sheets 'runs.'!A1"]);
}

#[test]
fn of_two_sheets_for_one_the_proper_name_is_read() {
    let reading = job().sheet("Piping", "Run|From|Length ft\nB|SUPPLY|9").read();
    assert_eq!(found(&reading), ["fix two-sheets Piping!A1"]);
    assert_eq!((reading.job.runs.len(), &*reading.job.runs[0].name.value), (1, "A"));
}

#[test]
fn hidden_sheets_are_read_with_a_note() {
    let reading = job().hide("Prices").read();
    assert_eq!(found(&reading), ["note hidden-sheet Prices!A1"]);
    assert_eq!(reading.job.prices.len(), 1);
    assert!(reading.book.declared("Prices").unwrap().hidden);
}

#[test]
fn extra_sheets_are_carried_along() {
    let reading = job().sheet("My notes", "call the inspector").sheet("Devices", "").read();
    assert_eq!(found(&reading), [""; 0]);
    let names: Vec<&str> = reading.book.sheets.iter().map(|s| &*s.name).collect();
    assert_eq!(names, ["Job", "Fixtures", "Runs", "Prices", "My notes", "Devices"]);
}

#[test]
fn every_sheet_of_a_job_is_read() {
    let reading = job()
        .sheet("Devices", "Device|On run|Kind|Loss psi\nH|A|Tank heater|2")
        .sheet("Drains", "Drain|To|Length ft|Slope in/ft|Size\nD|SEWER|30|=1/4 -> 0.25|'3")
        .sheet("Labor", "Task|Unit|Hours|By\nset softener|each|2.5|Owner")
        .sheet("Other costs", "Item|Quantity|Price|Phase\nTravel|3|25|rough in")
        .sheet("On hand", "Kind|Size|Quantity\nelbow|'1/2|7")
        .sheet("Terms", "Kind|Text\nExcluded|Digging")
        .sheet("Test log", "Test|Read at|Gauge psi|Medium\nfirst|noon|100|Air")
        .read();
    assert_eq!(found(&reading), [""; 0]);
    let job = &reading.job;
    assert_eq!(&*job.devices[0].kind.value, "tank heater");
    assert_eq!(job.drains[0].slope_in_per_ft.value.unwrap().to_string(), "0.25");
    assert_eq!(job.labor[0].by.text(), "owner");
    assert_eq!(job.other_costs[0].phase.text(), "rough-in");
    assert_eq!(job.on_hand[0].quantity.value.unwrap().to_string(), "7");
    assert_eq!(&*job.terms[0].kind.value, "excluded");
    assert_eq!(job.test_log[0].medium.text(), "air");
}

#[test]
fn rule_sheets_of_the_user_are_read_as_text() {
    let pipe =
        "Bores measured here\n\nMaterial|Size|Inside diameter in|C\nPEX|'1/2|0.475|150\nPEX|@2026-03-04|0.671|%1.5\n";
    let reading = job().sheet("pipe", pipe).read();
    assert_eq!(found(&reading), ["fix size-from-date pipe!B5"]);
    let [sheet] = &reading.job.overrides[..] else { panic!() };
    assert_eq!(&*sheet.sheet, "Pipe");
    assert_eq!(sheet.headings, ["Material", "Size", "Inside diameter in", "C"]);
    assert_eq!(
        sheet.rows,
        [
            (3, ["PEX", "1/2", "0.475", "150"].map(str::to_owned).to_vec()),
            (4, ["PEX", "3/4", "0.671", "1.5"].map(str::to_owned).to_vec()),
        ]
    );
}

fn bid() -> Book {
    tallybore::pages()
        .iter()
        .fold(job().property("tallybore-bid", "1"), |book, page| book.sheet(page.name(), "made by the engine"))
        .sheet(
            "Sizing",
            "Sizing\n\nRun|Gpm|Chosen size\nA|4|'1/2\nB|3|3/4\"\nC|2|\n\nLine|Note\nX|not a choice\n\nRun|Chosen size\nD|1\"",
        )
        .sheet("Cost build-up", "Line|Chosen offer\nT1|4\nT2|")
}

#[test]
fn a_bid_is_known_by_its_property_and_its_results_are_not_input() {
    let reading = bid().read();
    assert_eq!(found(&reading), [""; 0]);
    assert!(reading.job.is_bid);
    let names: Vec<&str> = reading.book.sheets.iter().map(|s| &*s.name).collect();
    assert_eq!(names, ["Job", "Fixtures", "Runs", "Prices"]);
}

#[test]
fn the_choices_of_a_bid_are_held() {
    let saved = bid().read().job.saved;
    let all = tallybore::choices().flat_map(|kind| saved.of(kind).map(move |(name, choice)| (kind, name, choice)));
    let expected = [
        (Choice::RunSize, "A", "1/2"),
        (Choice::RunSize, "B", "3/4\""),
        (Choice::RunSize, "D", "1\""),
        (Choice::Offer, "T1", "4"),
    ];
    assert_eq!(all.collect::<Vec<_>>(), expected);
}

#[test]
fn a_sheet_of_the_users_with_a_name_of_ours_is_kept_under_another() {
    let reading = job().sheet("hours", "mine").sheet("Findings", "mine").sheet("Findings (yours)", "older").read();
    assert_eq!(found(&reading), ["note renamed-sheet Findings!A1", "note renamed-sheet hours!A1"]);
    let shown: Vec<&str> = reading.book.sheets[4..].iter().map(|s| &*s.shown).collect();
    assert_eq!(shown, ["hours (yours)", "Findings (yours 2)", "Findings (yours)"]);
    assert!(!reading.job.is_bid && reading.job.saved.is_empty());
}
