//! Cells: what may stand in them, and what is said of the rest.

use super::support::{dec, found, job, words};
use tallybore::model::{Raw, Status, Whereabouts};

const RUNS: &str = "Run|From|Material|Size|Length ft|Rise ft|Bends|Where|Status\n";
const PRICES: &str = "Kind|Material|Size|Unit|Pack|Price|Quoted\n";

fn run(row: &str) -> tallybore::read::Reading {
    job().sheet("Runs", &format!("{RUNS}{row}")).read()
}

fn price(row: &str) -> tallybore::read::Reading {
    job().sheet("Prices", &format!("{PRICES}{row}")).read()
}

#[test]
fn sizes_are_read_however_they_are_written() {
    for text in ["'3/4", "3/4\"", "¾", "0.75", "'0.75", "3/4 in"] {
        let reading = run(&format!("A|SUPPLY||{text}|20"));
        assert_eq!(found(&reading), [""; 0], "{text}");
        assert_eq!(reading.job.runs[0].size.value.unwrap().to_string(), "3/4", "{text}");
    }
    let reading = run("A|SUPPLY||blue|20");
    assert_eq!(found(&reading), ["stop wrong-kind Runs!D2"]);
    assert!(words(&reading).contains("a pipe size such as 3/4"));
}

#[test]
fn a_size_that_became_a_date_is_mended_with_a_finding() {
    for (date, size) in [("2026-01-02", "1/2"), ("2026-04-03", "3/4"), ("2004-01-01", "1-1/4")] {
        let reading = run(&format!("A|SUPPLY||@{date}|20"));
        assert_eq!(found(&reading), ["fix size-from-date Runs!D2"], "{date}");
        assert_eq!(reading.job.runs[0].size.value.unwrap().to_string(), size);
        assert!(matches!(reading.job.runs[0].size.raw, Raw::Date(_)));
    }
    let reading = run("A|SUPPLY||@2026-05-30|20");
    assert_eq!(found(&reading), ["stop date-in-cell Runs!D2"]);
    assert!(words(&reading).contains("2026-05-30") && words(&reading).contains("'1/2"));
}

#[test]
fn a_date_is_no_quantity_and_no_price() {
    for row in ["A|SUPPLY|||@2026-01-02", "A|SUPPLY|||20||@2026-01-02"] {
        assert_eq!(run(row).findings.len(), 1, "{row}");
        assert!(found(&run(row))[0].starts_with("stop date-in-cell"), "{row}");
    }
    assert_eq!(found(&price("pipe|PEX|'1/2|coil|100|@2026-01-02")), ["stop date-in-cell Prices!F2"]);
    assert_eq!(found(&price("pipe|PEX|'1/2|coil|@2026-01-02|12")), ["stop date-in-cell Prices!E2"]);
}

#[test]
fn tees_take_several_sizes() {
    for text in ["3/4 x 1/2 x 1/2", "3/4\" X 1/2\" x 1/2\"", "¾×½×½", "3/4x1/2x1/2"] {
        let reading = price(&format!("tee|PEX|{text}|each|1|2.40"));
        assert_eq!(found(&reading), [""; 0], "{text}");
        let sizes: Vec<String> =
            reading.job.prices[0].sizes.value.as_ref().unwrap().iter().map(ToString::to_string).collect();
        assert_eq!(sizes, ["3/4", "1/2", "1/2"], "{text}");
    }
    assert_eq!(found(&price("tee|PEX|3/4 x blue|each|1|2.40")), ["stop wrong-kind Prices!C2"]);
}

#[test]
fn numbers_and_lengths_may_be_text() {
    let reading = run("A|SUPPLY|||12'6\"|'-2'6\"|'3");
    assert_eq!(found(&reading), [""; 0]);
    let run = &reading.job.runs[0];
    assert_eq!(run.length_ft.value, Some(dec("12.5")));
    assert_eq!(run.rise_ft.value, Some(dec("-2.5")));
    assert_eq!(run.bends.value, Some(dec("3")));
    assert_eq!(run.length_ft.raw, Raw::Text("12'6\"".into()), "what a formula would see");
    let reading = price("pipe|PEX|'1/2|coil|100|$1,200.50|'2026-05-30");
    assert_eq!(found(&reading), [""; 0]);
    assert_eq!(reading.job.prices[0].price.value, Some(dec("1200.5")));
    assert_eq!(reading.job.prices[0].quoted.value, Some(dec("46172")));
}

#[test]
fn numbers_are_the_decimals_that_were_typed() {
    let reading = price("pipe|PEX|'1/2|coil|100|0.285");
    assert_eq!(reading.job.prices[0].price.value, Some(dec("0.285")));
    let reading = price("pipe|PEX|'1/2|coil|100|=0.1+0.2 -> 0.30000000000000004");
    assert_eq!(reading.job.prices[0].price.value, Some(dec("0.3")));
}

#[test]
fn choices_forgive_case_and_spacing_and_suggest_the_nearest() {
    let reading = run("A|SUPPLY|||20|||Crawlspace|EXISTING");
    assert_eq!(found(&reading), [""; 0]);
    assert_eq!(reading.job.runs[0].place.value, Some(Whereabouts::CrawlSpace));
    assert_eq!(reading.job.runs[0].status.value, Some(Status::Existing));
    let reading = run("A|SUPPLY|||20|||atic");
    assert_eq!(found(&reading), ["stop unknown-choice Runs!H2"]);
    assert!(words(&reading).contains("Did you mean \"attic\"?"));
}

#[test]
fn devices_go_by_their_everyday_names() {
    let devices = |row: &str| job().sheet("Devices", &format!("Device|On run|Kind\n{row}")).read();
    for (written, kind) in [
        ("PRV", "regulator"),
        ("Pressure reducing valve", "regulator"),
        ("water softener", "softener"),
        ("Main shutoff", "shutoff valve"),
        ("ball valve", "shutoff valve"),
        ("Backflow", "backflow preventer"),
        ("tankless water heater", "tankless heater"),
        ("Tank Heater", "tank heater"),
    ] {
        let reading = devices(&format!("D|M1|{written}"));
        assert_eq!(*reading.job.devices[0].kind.value, *kind, "{written}");
        assert_eq!(*reading.job.devices[0].kind.written, *written);
    }
    let reading = devices("D|M1|water heater");
    assert!(words(&reading).contains("Did you mean \"tank heater\" or \"tankless heater\"?"), "{}", words(&reading));
    // An angle stop comes with its fixture, and is never a valve in the line.
    for stop in ["stop valve", "Angle stop"] {
        let reading = devices(&format!("D|A|{stop}"));
        assert_eq!(found(&reading), ["stop angle-stop-as-device Devices!C2"], "{stop}");
    }
}

#[test]
fn a_date_typed_as_text_is_read_where_it_can_be_but_one_day() {
    let reading = price("pipe|PEX|'1/2|coil|100|40|'5/30/2026");
    assert_eq!(found(&reading), ["note date-from-text Prices!G2"]);
    assert_eq!(reading.job.prices[0].quoted.value, Some(dec("46172")));
    assert_eq!(found(&price("pipe|PEX|'1/2|coil|100|40|'30/5/2026")), ["fix wrong-kind Prices!G2"]);
}

#[test]
fn an_error_value_is_named_as_such() {
    let reading = run("A|SUPPLY|||=B9*2 -> #REF!");
    assert_eq!(found(&reading), ["stop fault-in-cell Runs!E2"]);
    assert!(words(&reading).contains("#REF!"));
    assert_eq!(reading.job.runs[0].length_ft.raw, Raw::Fault("#REF!".into()));
}

#[test]
fn negative_values_are_findings_where_they_mean_nothing() {
    assert_eq!(found(&run("A|SUPPLY|||-3")), ["stop negative-value Runs!E2"]);
    assert_eq!(found(&run("A|SUPPLY|||20|-3")), [""; 0], "a run may go down");
    assert_eq!(found(&price("pipe|PEX|'1/2|coil|100|-4")), ["stop negative-value Prices!F2"]);
}

#[test]
fn a_missing_value_is_named_by_its_cell() {
    assert_eq!(found(&run("A|SUPPLY")), ["stop missing-value Runs!E2"]);
    assert_eq!(found(&run("|SUPPLY|||20")), ["stop missing-value Runs!A2"]);
    let reading = price("pipe|PEX|'1/2|coil|100|");
    assert_eq!(found(&reading), [""; 0], "a part without a price asks for a quote; the checks tell of it");
    assert_eq!(reading.job.prices.len(), 1);
}

#[test]
fn one_bad_cell_hides_no_other() {
    let reading = run("A|SUPPLY||blue|x|y|-1|moon|old\nB|A||red|5");
    let expected = ["D2", "D3", "E2", "F2"].map(|c| format!("stop wrong-kind Runs!{c}"));
    let found = found(&reading);
    for line in &expected {
        assert!(found.contains(line), "{line} in {found:?}");
    }
    assert!(found.contains(&"stop negative-value Runs!G2".to_owned()));
    assert!(found.contains(&"stop unknown-choice Runs!H2".to_owned()));
    assert_eq!(found.len(), 7);
}

#[test]
fn formulas_give_the_values_they_were_last_worked_out_to() {
    let reading = run("A|SUPPLY|||=2*10 -> 20\nB|A|||=E2/2 -> 10");
    assert_eq!(found(&reading), [""; 0]);
    assert_eq!(reading.job.runs[1].length_ft.value, Some(dec("10")));
}

#[test]
fn payments_are_shares_and_other_amounts_are_dollars() {
    let terms = "Kind|Text|Amount\npayment|On signing|30%\npayment|At rough-in|%0.4\nPayment|Rest|30\nalternate|No softener|-450";
    let reading = job().sheet("Terms", terms).read();
    assert_eq!(found(&reading), ["note bare-percent Terms!C4"]);
    let amounts: Vec<_> = reading.job.terms.iter().map(|t| t.amount.value.unwrap().number()).collect();
    assert_eq!(amounts, ["0.3", "0.4", "0.3", "-450"].map(dec));
}

#[test]
fn long_texts_and_odd_signs_are_carried() {
    let long = "x".repeat(30_000);
    let reading = run(&format!("A{long}|SUPPLY|\u{1}PEX\u{7}||20"));
    assert_eq!(found(&reading), [""; 0]);
    assert_eq!(reading.job.runs[0].name.value.len(), 30_001);
    let reading = run(&format!("A|SUPPLY|||{long}"));
    assert_eq!(found(&reading), ["stop wrong-kind Runs!E2"]);
    assert!(words(&reading).len() < 300, "a finding quotes only the beginning");
}

#[test]
fn names_may_be_numbers() {
    let reading = job().sheet("Runs", "Run|From|Length ft\n1|SUPPLY|20\n2|1|5").read();
    assert_eq!(found(&reading), [""; 0]);
    assert_eq!((&*reading.job.runs[1].name.value, &*reading.job.runs[1].from.value), ("2", "1"));
}

#[test]
fn the_words_of_the_trade_are_understood() {
    let read = |column: &str, word: &str| {
        let heads = "Run|From|Length ft|";
        job().sheet("Runs", &format!("{heads}{column}\nA|SUPPLY|20|{word}")).read()
    };
    for (word, place) in [
        ("underground", Whereabouts::Buried),
        ("Under slab", Whereabouts::InSlab),
        ("underslab", Whereabouts::InSlab),
        ("exterior wall", Whereabouts::OutsideWall),
        ("exposed", Whereabouts::Open),
    ] {
        let reading = read("Where", word);
        assert_eq!(found(&reading), [""; 0], "{word}");
        assert_eq!(reading.job.runs[0].place.value, Some(place), "{word}");
    }
    assert_eq!(read("Where", "joists").job.runs[0].place.value, Some(Whereabouts::JoistBay));
    // Above a ceiling it may be warm or freeze.
    assert_eq!(found(&read("Where", "ceiling")), ["stop unknown-choice Runs!D2"]);
    assert!(words(&read("Where", "ceiling")).contains("or \"attic\"?"), "{}", words(&read("Where", "ceiling")));
    for (word, joints) in [("ok", "allowed"), ("yes", "allowed"), ("no", "none"), ("NONE", "none")] {
        let reading = read("Joints", word);
        assert_eq!(found(&reading), [""; 0], "{word}");
        assert_eq!(reading.job.runs[0].joints.value.as_deref(), Some(joints), "{word}");
    }
    assert_eq!(read("Status", "demo").job.runs[0].status.value, Some(Status::Remove));
    assert_eq!(read("Phase", "top-out").job.runs[0].phase.value.as_deref(), Some("rough-in"));
}

#[test]
fn prices_are_read_as_a_counter_writes_them() {
    for (text, phrases) in [("12.40/ea", true), ("$12.40 ea", true), ("US$12.40", true), ("$12.40", false)] {
        let reading = price(&format!("cap|PEX|'1/2|each|1|{text}"));
        assert_eq!(reading.job.prices[0].price.value, Some(dec("12.4")), "{text}");
        let findings: &[&str] = if phrases { &["note price-from-text Prices!F2"] } else { &[] };
        assert_eq!(found(&reading), findings, "{text}");
    }
    for text in ["call", "TBD", "n/a"] {
        let reading = price(&format!("cap|PEX|'1/2|each|1|{text}"));
        assert_eq!((reading.job.prices[0].price.value, found(&reading)), (None, Vec::new()), "{text}");
    }
    let reading = price("cap|PEX|'1/2|each|1|'12,40");
    assert_eq!(found(&reading), ["stop price-not-read Prices!F2"]);
    assert!(words(&reading).contains("the comma may stand for a point"), "{}", words(&reading));
    let reading = price("pipe|PEX|'1/2|stick|20|0.47/ft");
    assert!(words(&reading).contains("it is for one ft, and one stick was asked for"), "{}", words(&reading));
    assert_eq!(found(&price("cap|PEX|'1/2|each|1|'-3")), ["stop negative-value Prices!F2"]);
    let costs =
        |price: &str| job().sheet("Other costs", &format!("Item|Unit|Quantity|Price\nlift|day|2|{price}")).read();
    assert_eq!(costs("$85/day").job.other_costs[0].price.value, Some(dec("85")));
}
