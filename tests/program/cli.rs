//! The commands as they are typed: what they write, what they say, and how they end.

use crate::program::{Folder, project};
use calamine::{Data, Reader, Xlsx, open_workbook};
use serde_json::Value;
use std::fs;
use std::process::Stdio;

/// Shares of the price that leave nothing for the cost: one stop, of either demonstration book, without breaking it.
const STOPPED: [&str; 6] = ["--set", "Markup=on price", "--set", "Overhead=60%", "--set", "Profit=50%"];
/// Stops the house, which is under the IRC, and not the bakery, which is under the IPC.
const FOR_THE_PUBLIC: [&str; 2] = ["--set", "Occupancy=public"];

/// The bid of a book: the bakery's Job says that it is revision 1.
fn bid_of(book: &str) -> String {
    if book == "bakery" { "bakery-bid-r1.xlsx".to_owned() } else { format!("{book}-bid.xlsx") }
}

fn total(document: &Value) -> &str {
    document["total"].as_str().unwrap_or_else(|| panic!("no total: {document}"))
}

/// A cell of a workbook, by its address.
fn cell(folder: &Folder, book: &str, sheet: &str, address: &str) -> Data {
    let mut book: Xlsx<_> = open_workbook(folder.path(book)).unwrap();
    let (row, column) = tallybore::place::parse_a1(address).unwrap();
    book.worksheet_range(sheet).unwrap().get_value((row, column.into())).cloned().unwrap_or(Data::Empty)
}

/// Sheet and address of the cell that a name of a bid stands for.
fn named_cell(folder: &Folder, book: &str, name: &str) -> (String, String) {
    let book: Xlsx<_> = open_workbook(folder.path(book)).unwrap();
    let (_, formula) = book.defined_names().iter().find(|(known, _)| known == name).expect("a defined name").clone();
    let place = tallybore::place::Place::parse(formula.trim_start_matches('=')).unwrap();
    (place.sheet.to_string(), place.cell())
}

#[test]
fn a_sample_can_be_started_checked_and_priced() {
    let folder = Folder::empty();
    let phrases = folder.done(&["start", "--sample"]);
    assert!(phrases.contains("job-sample.xlsx"), "{phrases}");
    let phrases = folder.done(&["check", "job-sample.xlsx"]);
    assert!(phrases.starts_with("job-sample.xlsx: a bid can be made; 0 stop, "), "{phrases}");
    assert_eq!(folder.names(), ["job-sample.xlsx"], "check writes nothing");
    let phrases = folder.done(&["price", "job-sample.xlsx"]);
    for word in ["Total  ", "Cash out of pocket", "Hours", "Lowest pressure", "Findings", "job-sample-bid.xlsx"] {
        assert!(phrases.contains(word), "{word} in\n{phrases}");
    }
    assert_eq!(folder.names(), ["job-sample-bid.xlsx", "job-sample.xlsx"]);
}

#[test]
fn a_blank_workbook_is_not_priced_and_is_told_why() {
    let folder = Folder::empty();
    folder.done(&["start"]);
    let ran = folder.run(&["price", "job.xlsx"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.err.contains("stop  ") && ran.err.contains("job.xlsx: "), "{}", ran.err);
    assert_eq!(ran.out, "");
    assert_eq!(folder.run(&["check", "job.xlsx"]).code, 1);
    assert_eq!(folder.names(), ["job.xlsx"]);
}

#[test]
fn a_job_in_text_becomes_a_workbook_and_bad_text_is_told_by_line() {
    let folder = Folder::empty();
    fs::write(folder.path("shed.txt"), "[Job]\nItem | Value\nJob name | A shed\n").unwrap();
    folder.done(&["start", "--from-text", "shed.txt"]);
    assert_eq!(folder.run(&["start", "--from-text", "shed.txt"]).code, 3, "it is there already");
    folder.done(&["start", "--from-text", "shed.txt", "--replace"]);
    fs::write(folder.path("bad.txt"), "Job name | A shed\n").unwrap();
    let ran = folder.run(&["start", "--from-text", "bad.txt", "-o", "bad.xlsx"]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("Line 1"), "{}", ran.err);
    assert_eq!(folder.run(&["start", "--from-text", "nowhere.txt"]).code, 3);
    assert_eq!(folder.run(&["start", "--sample", "--from-text", "shed.txt"]).code, 2);
    assert_eq!(folder.names(), ["bad.txt", "shed.txt", "shed.xlsx"]);
}

#[test]
fn pricing_twice_gives_the_same_bytes_and_overwrites_nothing_unasked() {
    let (folder, _) = Folder::with_bid();
    let (job, first) = (folder.bytes("house.xlsx"), folder.bytes("house-bid.xlsx"));
    fs::write(folder.path("house-bid.xlsx"), "not to be lost").unwrap();
    let ran = folder.run(&["price", "house.xlsx"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("--replace") && ran.out.is_empty(), "{}\n{}", ran.out, ran.err);
    assert_eq!(folder.bytes("house-bid.xlsx"), b"not to be lost");
    folder.done(&["price", "house.xlsx", "--replace"]);
    assert!(folder.bytes("house-bid.xlsx") == first, "priced twice, and the bytes differ");
    assert!(folder.bytes("house.xlsx") == job, "the job workbook was changed");
    assert_eq!(folder.names(), ["bakery.xlsx", "house-bid.xlsx", "house.xlsx"]);
}

#[test]
fn the_job_workbook_is_never_the_bid() {
    let folder = Folder::with_books();
    let before = folder.bytes("house.xlsx");
    let ran = folder.run(&["price", "house.xlsx", "-o", "house.xlsx", "--replace"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("job workbook itself"), "{}", ran.err);
    assert!(folder.bytes("house.xlsx") == before);
}

#[test]
fn a_bid_priced_again_is_the_same_bid() {
    let (folder, house) = Folder::with_bid();
    let bakery = folder.json(&["price", "--json", "bakery.xlsx"]);
    let ran = folder.run(&["price", "house-bid.xlsx"]);
    assert_eq!(ran.code, 3, "its own name is taken");
    assert!(ran.err.contains("is a bid already") && ran.err.contains("--replace"), "{}", ran.err);
    for (book, job, hold) in [("house", &house, true), ("bakery", &bakery, false), ("bakery", &bakery, true)] {
        let bid = bid_of(book);
        let mut args = vec!["price", "--json", &bid, "-o", "again.xlsx", "--replace"];
        args.extend(hold.then_some("--hold"));
        let again = folder.json(&args);
        assert_eq!(total(&again), total(job));
        assert_eq!(again["runs"], job["runs"]);
        assert!(folder.bytes("again.xlsx") == folder.bytes(&bid), "{book}, hold {hold}: another bid came out");
    }
}

#[test]
fn the_total_said_is_the_total_written() {
    let (folder, house) = Folder::with_bid();
    let bakery = folder.json(&["price", "--json", "bakery.xlsx"]);
    for (book, document) in [("house", house), ("bakery", bakery)] {
        for (name, key) in [("Bid_total", "total"), ("Cash_total", "cash_total")] {
            let bid = bid_of(book);
            let (sheet, address) = named_cell(&folder, &bid, name);
            let written = cell(&folder, &bid, &sheet, &address);
            let Data::Float(written) = written else { panic!("{name} holds {written:?}") };
            assert_eq!(document[key], format!("{written:.2}"), "{name} of {book}");
        }
        let summed: f64 = ["underground", "rough_in", "trim", "test"]
            .iter()
            .map(|phase| document["hours"][phase].as_f64().unwrap())
            .sum();
        assert!((summed - document["hours"]["total"].as_f64().unwrap()).abs() < 0.001, "{}", document["hours"]);
    }
}

#[test]
fn a_setting_of_the_command_line_is_carried_by_the_bid() {
    let (folder, plain) = Folder::with_bid();
    // Waste stands in the demonstration's Job sheet, Minimum charge does not.
    let args = ["price", "--json", "house.xlsx", "-o", "set.xlsx", "--set", "pipe waste=12%", "--set"];
    let set = folder.json(&[&args[..], &["Minimum charge=40000"]].concat());
    assert_eq!(total(&set), "40000.00");
    assert_ne!(set["cash_total"], plain["cash_total"], "more waste, more cash");
    let again = folder.json(&["price", "--json", "set.xlsx", "-o", "set-again.xlsx"]);
    assert_eq!((total(&again), &again["cash_total"]), ("40000.00", &set["cash_total"]));
    assert!(folder.bytes("set.xlsx") == folder.bytes("set-again.xlsx"));

    let mut book: Xlsx<_> = open_workbook(folder.path("set.xlsx")).unwrap();
    let job = book.worksheet_range("Job").unwrap();
    let value = |item: &str| {
        let row = job.rows().find(|row| row[0] == Data::String(item.into()));
        row.unwrap_or_else(|| panic!("no {item}"))[1].clone()
    };
    assert_eq!(value("Waste"), Data::Float(0.12));
    assert_eq!(value("Minimum charge"), Data::Float(40000.0));
}

#[test]
fn held_choices_stay_when_what_they_were_made_on_changes() {
    let (folder, before) = Folder::with_bid();
    let sizes = |document: &Value| -> Vec<Value> {
        document["runs"].as_array().unwrap().iter().map(|run| run["size"].clone()).collect()
    };
    let changed =
        ["price", "--json", "house-bid.xlsx", "--replace", "-o", "changed.xlsx", "--set", "Supply pressure=75"];
    let held = folder.json(&[&changed[..], &["--hold"]].concat());
    let chosen_anew = folder.json(&changed);
    assert_eq!(sizes(&held), sizes(&before));
    assert_ne!(sizes(&chosen_anew), sizes(&before), "20 psi more must let some pipe be smaller");
    assert_ne!(held["least_pressure"], before["least_pressure"]);

    let ran = folder.run(&["price", "house.xlsx", "--hold", "--replace"]);
    assert_eq!(ran.code, 0);
    assert!(ran.err.contains("no choices to hold"), "{}", ran.err);
}

#[test]
fn wrong_settings_are_told_all_at_once_with_what_would_do() {
    let folder = Folder::with_books();
    let ran =
        folder.run(&["price", "house.xlsx", "--set", "Tax rte=7%", "--set", "Supply pressure=high", "--set", "x"]);
    assert_eq!(ran.code, 2);
    for words in ["Did you mean \"Tax rate\"?", "expected a number in psi", "has no \"=\""] {
        assert!(ran.err.contains(words), "{words} in\n{}", ran.err);
    }
    assert_eq!(folder.names(), ["bakery.xlsx", "house.xlsx"]);
}

#[test]
fn exit_codes_tell_findings_usage_and_files_apart() {
    let folder = Folder::with_books();
    let code = |args: &[&str]| folder.run(args).code;
    assert_eq!(code(&[&["price", "house.xlsx"][..], &STOPPED].concat()), 1);
    assert_eq!(code(&[&["check", "house.xlsx"][..], &STOPPED].concat()), 1);
    assert_eq!(code(&[&["trace", "house.xlsx", "Bid_total"][..], &STOPPED].concat()), 1);
    for args in [
        &[][..],
        &["price"],
        &["prize", "house.xlsx"],
        &["price", "house.xlsx", "--no-such-option"],
        &["price", "house.xlsx", "bakery.xlsx", "-o", "one.xlsx"],
        &["rules", "demnd"],
        &["trace", "house.xlsx", "nonsense"],
    ] {
        assert_eq!(code(args), 2, "{args:?}");
    }
    fs::write(folder.path("text.xlsx"), "this is no workbook").unwrap();
    for args in [
        &["price", "nowhere.xlsx"][..],
        &["check", "nowhere.xlsx"],
        &["check", "text.xlsx"],
        &["trace", "text.xlsx", "Sizing!A1"],
        &["price", "house.xlsx", "-o", "no/such/folder.xlsx"],
        &["price", "house.xlsx", "--rules", "nowhere"],
        &["start", "-o", "no/such/folder.xlsx"],
    ] {
        assert_eq!(code(args), 3, "{args:?}");
    }
    assert_eq!(folder.names(), ["bakery.xlsx", "house.xlsx", "text.xlsx"]);
}

#[test]
fn findings_go_to_standard_error_in_their_three_lines_and_are_counted_once() {
    let folder = Folder::with_books();
    let ran = folder.run(&[&["check", "house.xlsx"][..], &STOPPED].concat());
    let lines: Vec<&str> = ran.err.lines().collect();
    assert!(lines[0].starts_with("stop  markup-over-price  house.xlsx  Job!"), "{}", ran.err);
    assert!(lines[1].starts_with("      Overhead and profit are 110% of the price"), "{}", ran.err);
    assert!(lines[2].starts_with("      Set Markup"), "{}", ran.err);
    assert!(!ran.err.contains("house.xlsx: 1 stop, "), "{}", ran.err);
    assert!(ran.out.starts_with("house.xlsx: no bid can be made yet; 1 stop, "), "{}", ran.out);
}

#[test]
fn several_workbooks_are_priced_though_one_fails() {
    let folder = Folder::with_books();
    let ran = folder.run(&["price", "house.xlsx", "nowhere.xlsx", "bakery.xlsx"]);
    assert_eq!(ran.code, 3);
    let lines: Vec<&str> = ran.out.lines().collect();
    assert_eq!(lines.len(), 4, "{}", ran.out);
    assert!(lines[0].starts_with("house.xlsx: $") && lines[0].ends_with("-> house-bid.xlsx"), "{}", ran.out);
    assert_eq!(lines[1], "nowhere.xlsx: no bid");
    assert_eq!(lines[3], "2 of 3 workbooks priced.");
    // Twice the same name: even --replace must not put one bid of this run in another's place.
    let ran = folder.run(&["price", "house.xlsx", "house.xlsx", "--replace"]);
    assert_eq!(ran.code, 3);
    assert!(ran.out.ends_with("1 of 2 workbooks priced.\n"), "{}", ran.out);
    let ran = folder.run(&[&["check", "house.xlsx", "bakery.xlsx"][..], &FOR_THE_PUBLIC].concat());
    assert_eq!(ran.code, 1, "the bakery is under the IPC and passes, the house does not");
    assert_eq!(ran.out.lines().count(), 2, "{}", ran.out);
}

#[test]
fn every_json_document_fits_the_schema() {
    let schema: Value = serde_json::from_slice(&fs::read(project("templates/price.schema.json")).unwrap()).unwrap();
    let (folder, priced) = Folder::with_bid();
    let fits = |document: &Value| {
        let problems = crate::schema::problems(&schema, document);
        assert!(problems.is_empty(), "{}", problems.join("\n"));
    };
    fits(&priced);
    assert_eq!((&priced["output"], &priced["error"]), (&Value::from("house-bid.xlsx"), &Value::Null));
    assert!(priced["runs"].as_array().unwrap().len() > 30 && priced["lines"].as_array().unwrap().len() > 20);
    let taken = folder.json(&["price", "--json", "house.xlsx"]);
    fits(&taken);
    assert!(taken["error"].as_str().unwrap().contains("already there") && taken["output"].is_null());
    let stopped = folder.json(&[&["price", "--json", "house.xlsx"][..], &STOPPED].concat());
    fits(&stopped);
    assert!(stopped["total"].is_null());
    assert_eq!(stopped["findings"][0]["code"], "markup-over-price");
    let several = folder.json(&["price", "--json", "nowhere.xlsx", "bakery.xlsx"]);
    fits(&several);
    assert_eq!(several["books"][0]["findings"][0]["code"], "no-such-file");
    assert!(several["books"][1]["total"].is_string());
    // And a document that is wrong does not.
    let mut wrong = priced.clone();
    wrong["total"] = Value::from(12.5);
    wrong["runs"][3].as_object_mut().unwrap().remove("end_psi");
    wrong["extra"] = Value::from(1);
    let problems = crate::schema::problems(&schema, &wrong);
    assert_eq!(problems.len(), 3, "{problems:?}");

    let checked = folder.json(&[&["check", "--json", "house.xlsx", "bakery.xlsx"][..], &FOR_THE_PUBLIC].concat());
    assert_eq!(checked["books"][0]["can_be_priced"], false);
    assert_eq!(checked["books"][0]["findings"][0]["severity"], "stop");
    assert_eq!(checked["books"][1]["can_be_priced"], true);
}

#[test]
fn json_is_all_there_is_on_standard_output_and_error_stays_quiet() {
    let folder = Folder::with_books();
    let ran = folder.run(&[&["price", "--json", "house.xlsx"][..], &STOPPED].concat());
    assert_eq!((ran.code, ran.err.as_str()), (1, ""));
    serde_json::from_str::<Value>(&ran.out).unwrap();
}

#[test]
fn the_rule_tables_are_listed_shown_and_exported() {
    let folder = Folder::with_books();
    let listed = folder.done(&["rules"]);
    let document = folder.json(&["rules", "--json"]);
    for table in document["tables"].as_array().unwrap() {
        let name = table["table"].as_str().unwrap();
        assert!(listed.lines().any(|line| line.split_whitespace().next() == Some(name)), "{name}");
        let rows = folder.json(&["rules", name, "--json"]);
        assert_eq!(Value::from(rows["rows"].as_array().unwrap().len()), table["rows"], "{name}");
        let by_basis: u64 = table["basis"].as_object().unwrap().values().map(|count| count.as_u64().unwrap()).sum();
        assert_eq!(Value::from(by_basis), table["rows"], "{name}");
    }
    let shown = folder.done(&["rules", "demand"]);
    assert!(shown.contains("IPC 2021 Table E103.3(3)") && shown.contains("from memory"), "{shown}");
    assert!(folder.run(&["rules", "demnd"]).err.contains("Did you mean \"demand\"?"));

    folder.done(&["rules", "demand", "--export", "one"]);
    folder.done(&["rules", "--export", "all"]);
    assert_eq!(folder.run(&["rules", "--export", "all"]).code, 3, "they are there already");
    folder.done(&["rules", "--export", "all", "--replace"]);
    for entry in fs::read_dir(project("templates/rules")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let text = |path| fs::read_to_string(path).unwrap();
        // Behind the rows of the file stand those that subjects add.
        let (exported, file) = (text(folder.path("all").join(&name)), text(project("templates/rules").join(&name)));
        assert!(exported.starts_with(&file), "{name}");
    }
}

#[test]
fn a_folder_of_rules_goes_before_the_built_in_ones() {
    let folder = Folder::with_books();
    let plain = folder.json(&["price", "--json", "bakery.xlsx"]);
    fs::create_dir(folder.path("mine")).unwrap();
    fs::write(folder.path("mine/limits.csv"), "limit,value,source\nvelocity cold,4,the water works here\n").unwrap();
    let mine = folder.json(&["price", "--json", "bakery.xlsx", "--replace", "--rules", "mine"]);
    let codes: Vec<&str> =
        mine["findings"].as_array().unwrap().iter().map(|finding| finding["code"].as_str().unwrap()).collect();
    assert!(codes.contains(&"rules-changed"), "{codes:?}");
    assert_ne!(total(&mine), total(&plain), "slower water takes larger pipe");
    // The built-in tables themselves change nothing.
    folder.done(&["rules", "--export", "all"]);
    let same = folder.json(&["price", "--json", "bakery.xlsx", "--replace", "--rules", "all"]);
    assert_eq!(total(&same), total(&plain));
    assert_eq!(same["runs"], plain["runs"]);
}

/// Formulas that end a chain though they are no input, rule or choice: the pieces and the connection size of an assembly
/// stand in the formulas of the Counts sheet, and a sum over cells that are all empty has nothing under it.
fn is_allowed_end(line: &str) -> bool {
    (line.contains("  Counts!") && !line.contains('(')) || line.contains("  =ROUND(SUM(") && line.ends_with("-> 0")
}

/// Depth of a line of a trace.
fn depth(line: &str) -> usize {
    (line.len() - line.trim_start().len()) / 2
}

#[test]
fn a_trace_leads_down_to_inputs_rules_and_choices() {
    let (folder, priced) = Folder::with_bid();
    let (sheet, address) = named_cell(&folder, "house-bid.xlsx", "Bid_total");
    let at = tallybore::place::quote_sheet(&sheet) + "!" + &address;
    let traced = folder.done(&["trace", "house-bid.xlsx", &at]);
    assert_eq!(traced, folder.done(&["trace", "house-bid.xlsx", "bid_total"]), "by its cell or by its name");
    assert_eq!(traced, folder.done(&["trace", "house.xlsx", &at]), "a job is traced as its bid would stand");
    let lines: Vec<&str> = traced.lines().collect();
    assert!(lines[0].contains(&at) && lines[0].contains("=ROUND("), "{}", lines[0]);
    assert!(lines[0].ends_with(&format!("-> {}", total(&priced).trim_end_matches('0'))), "{}", lines[0]);
    let mut ends = [0; 3];
    for (index, line) in lines.iter().enumerate() {
        let is_end = lines.get(index + 1).is_none_or(|next| depth(next) <= depth(line));
        if !is_end || line.ends_with("(followed above)") || line.ends_with(", all above") {
            continue;
        }
        assert!(!line.contains("  =") || is_allowed_end(line), "a formula that leads nowhere: {line}");
        for (count, end) in ends.iter_mut().zip(["  input  ->", "  rule: ", "  choice  ->"]) {
            *count += usize::from(line.contains(end));
        }
    }
    assert!(ends.iter().all(|count| *count > 20), "{ends:?} ends in inputs, rules and choices");
    let shallow = folder.done(&["trace", "house-bid.xlsx", &at, "--depth", "1"]);
    assert!(shallow.lines().all(|line| depth(line) <= 1));
    assert!(shallow.ends_with(" more figures lie deeper.\n"), "{shallow}");
}

#[test]
fn a_trace_of_nothing_says_what_could_be_traced() {
    let folder = Folder::with_books();
    let phrases = |cell: &str| {
        let ran = folder.run(&["trace", "house.xlsx", cell]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{}", ran.err);
        ran.err
    };
    assert!(phrases("Sizng!A3").contains("Did you mean \"Sizing\"?"));
    assert!(phrases("Sizing!ZZ900").contains("No figure stands at Sizing!ZZ900"));
    assert!(phrases("the total").contains("Bid_total"));
}

#[test]
fn help_names_the_commands_and_the_exit_codes() {
    let folder = Folder::empty();
    let help = folder.done(&["--help"]);
    for word in ["start", "check", "price", "rules", "trace", "Exit codes:", "  0  ", "  1  ", "  2  ", "  3  "] {
        assert!(help.contains(word), "{word} in\n{help}");
    }
    let help = folder.done(&["price", "--help"]);
    for word in ["--output", "--replace", "--hold", "--set", "--rules", "--json", "Exit codes:"] {
        assert!(help.contains(word), "{word} in\n{help}");
    }
    assert!(folder.done(&["--version"]).starts_with("tallybore "));
}

#[test]
fn a_reader_that_stops_reading_is_no_failure() {
    let folder = Folder::empty();
    let mut child = folder.command(&["rules", "labor"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    let ended = child.wait_with_output().unwrap();
    assert_eq!(ended.status.code(), Some(0));
    assert_eq!(String::from_utf8(ended.stderr).unwrap(), "");
}
