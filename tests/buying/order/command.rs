//! The command as a user runs it: files, names, exit codes, findings, JSON.

use crate::program::{Folder, project};
use crate::schema;
use serde_json::Value;
use std::fs;
use tallybore::model::book_text;
use tallybore::write::job_book;

/// A folder with `job.xlsx`, made from text in the form of the demonstration books.
pub fn folder_with(text: &str) -> Folder {
    let (book, faults) = book_text::parse(text);
    assert!(faults.is_empty(), "{faults:?}");
    let folder = Folder::empty();
    fs::write(folder.path("job.xlsx"), job_book::from_text(&book).unwrap()).unwrap();
    folder
}

const JOB: &str = "[Job]
Item | Value
Supply pressure | 60
Tail allowance | 0

[Fixtures]
Tag | Fixture | Cold run
L1 | lavatory | A

[Runs]
Run | From | Size | Length ft
A | SUPPLY | 1/2 | 12

[Prices]
Kind | Material | Size | Unit | Pack | Price | Supplier | Part no.
pipe | PEX | 1/2 | stick | 20 | 9.41 | Quillmoor Supply | Q-1
ring | PEX | 1/2 | bag | 50 | 14.90 | | R-1
";

#[test]
fn each_supplier_gets_a_workbook_and_a_csv_beside_the_job() {
    let folder = Folder::with_books();
    let before = folder.bytes("house.xlsx");
    let out = folder.done(&["order", "house.xlsx"]);
    assert!(out.starts_with("house.xlsx: 2 orders, "), "{out}");
    let made = [
        "house-order-quillmoor-supply.csv",
        "house-order-quillmoor-supply.xlsx",
        "house-order-stenvik-yard.csv",
        "house-order-stenvik-yard.xlsx",
    ];
    let own = |folder: &Folder| folder.names().into_iter().filter(|n| n.contains("-order-")).collect::<Vec<_>>();
    assert_eq!(own(&folder), made);
    assert!(made.iter().all(|name| out.contains(name)), "{out}");
    assert_eq!(folder.bytes("house.xlsx"), before, "the input is not touched");
    // The same once more, elsewhere: the same bytes. The folder is made.
    folder.done(&["order", "house.xlsx", "-o", "for the counter/new"]);
    for name in made {
        assert!(folder.bytes(name) == folder.bytes(&format!("for the counter/new/{name}")), "{name}");
    }
}

#[test]
fn nothing_is_written_where_one_name_is_taken() {
    let folder = Folder::with_books();
    fs::write(folder.path("house-order-stenvik-yard.csv"), "mine").unwrap();
    let ran = folder.run(&["order", "house.xlsx"]);
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(ran.err.contains("house-order-stenvik-yard.csv is already there; no order was written."), "{}", ran.err);
    assert_eq!(folder.names(), ["bakery.xlsx", "house-order-stenvik-yard.csv", "house.xlsx"]);
    assert_eq!(folder.bytes("house-order-stenvik-yard.csv"), b"mine");
    let reported = folder.json(&["order", "house.xlsx", "--json"]);
    assert!(
        reported["error"].as_str().unwrap().contains("already there") && reported["orders"] == Value::Array(vec![])
    );
    folder.done(&["order", "house.xlsx", "--replace"]);
    assert_ne!(folder.bytes("house-order-stenvik-yard.csv"), b"mine");
    assert_eq!(folder.names().len(), 6);
}

#[test]
fn an_order_that_is_filled_in_is_not_written_over() {
    let folder = Folder::with_books();
    folder.done(&["order", "house.xlsx"]);
    let name = "house-order-stenvik-yard.xlsx";
    let blank = folder.bytes(name);
    folder.done(&["order", "house.xlsx", "--replace"]);
    assert!(folder.bytes(name) == blank);
    // A price in a line; then, instead, a date in the head.
    for filled in super::form::some_cells_filled(&blank) {
        fs::write(folder.path(name), &filled).unwrap();
        let ran = folder.run(&["order", "house.xlsx", "--replace"]);
        assert_eq!(ran.code, 3, "{}", ran.err);
        assert!(ran.err.contains("has been filled in"), "{}", ran.err);
        assert!(folder.bytes(name) == filled);
    }
}

#[test]
fn orders_by_phase_have_the_phase_in_their_names() {
    let folder = Folder::with_books();
    folder.done(&["order", "house.xlsx", "--by-phase", "-o", "split"]);
    let names: Vec<String> = {
        let entries = fs::read_dir(folder.path("split")).unwrap();
        let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names.into_iter().filter(|name| name.ends_with(".xlsx")).collect()
    };
    assert!(names.contains(&"house-order-quillmoor-supply-underground.xlsx".to_owned()), "{names:?}");
    assert!(names.contains(&"house-order-stenvik-yard-test.xlsx".to_owned()), "{names:?}");
    let out = folder.done(&["order", "house.xlsx", "--phase", "Trim,underground", "--phase", "trim"]);
    assert!(out.contains("house-order-quillmoor-supply-underground-trim.xlsx"), "{out}");
    let ran = folder.run(&["order", "house.xlsx", "--phase", "cellar"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("There are: underground, rough-in, trim, test."), "{}", ran.err);
}

#[test]
fn exit_codes_are_those_of_the_help() {
    let folder = Folder::with_books();
    let code = |args: &[&str]| folder.run(args).code;
    assert_eq!(
        code(&["order", "house.xlsx", "--set", "Markup=on price", "--set", "Overhead=60%", "--set", "Profit=50%"]),
        1
    );
    assert_eq!(code(&["order"]), 2);
    assert_eq!(code(&["order", "house.xlsx", "bakery.xlsx"]), 2);
    assert_eq!(code(&["order", "house.xlsx", "--set", "Ordr number=3"]), 2);
    assert_eq!(code(&["order", "nowhere.xlsx"]), 3);
    assert_eq!(folder.names(), ["bakery.xlsx", "house.xlsx"]);
}

#[test]
fn what_orders_leave_open_is_told() {
    let slugs = |folder: &Folder, args: &[&str]| -> Vec<String> {
        let document = folder.json(&[&["order", "job.xlsx", "--json"], args].concat());
        let findings = document["findings"].as_array().unwrap().iter();
        findings.map(|finding| finding["code"].as_str().unwrap().to_owned()).collect()
    };
    let folder = folder_with(JOB);
    let found = slugs(&folder, &["-o", "a"]);
    for slug in [
        "order-without-number",
        "order-without-address",
        "order-without-contact",
        "order-without-supplier",
        "order-asks-for-quotes",
    ] {
        assert!(found.iter().any(|found| found == slug), "{slug} is not in {found:?}");
    }
    let given =
        ["-o", "b", "--set", "Order number=7", "--set", "Site=3 Fen Road", "--set", "Quotes from=Quilmoor Supply"];
    let found = slugs(&folder, &given);
    assert!(!found.iter().any(|f| f == "order-without-number" || f == "order-without-address"), "{found:?}");
    assert!(found.iter().any(|f| f == "quotes-from-nobody"), "{found:?}");
    let ran = folder.run(&["order", "job.xlsx", "-o", "c", "--set", "Quotes from=Quilmoor Supply"]);
    assert!(ran.err.contains("Did you mean \"Quillmoor Supply\"?"), "{}", ran.err);
    // Nothing is needed first at the test.
    let ran = folder.run(&["order", "job.xlsx", "-o", "d", "--phase", "underground"]);
    assert_eq!((ran.code, ran.err.contains("nothing-to-order")), (0, true), "{}", ran.err);
    assert!(!folder.path("d").exists(), "no order, no folder");
}

/// Choices of a bid that is held: the order is that of the bid, and says where it no longer does.
#[test]
fn a_held_bid_is_ordered_as_it_stands() {
    let folder = folder_with(JOB);
    folder.done(&["price", "job.xlsx"]);
    let keys = |document: &Value| -> Vec<(String, String)> {
        let orders = document["orders"].as_array().unwrap().iter();
        let lines = orders.flat_map(|order| order["lines"].as_array().unwrap().clone());
        let word = |value: &Value| value.as_str().unwrap().to_owned();
        lines.map(|line| (word(&line["line"]), word(&line["quantity"]))).collect()
    };
    let own = keys(&folder.json(&["order", "job.xlsx", "--json", "-o", "a"]));
    assert_eq!(keys(&folder.json(&["order", "job-bid.xlsx", "--json", "-o", "b"])), own);
    assert_eq!(keys(&folder.json(&["order", "job-bid.xlsx", "--json", "--hold", "-o", "c"])), own);
    // A longer run takes another stick; the held plan has one.
    folder.done(&["revise", "job-bid.xlsx", "--set", "run A Length ft=32", "--hold", "-o", "longer.xlsx"]);
    let held = folder.run(&["order", "longer.xlsx", "--hold", "-o", "d"]);
    assert!(held.err.contains("order-short") && held.err.contains("20 ft (A) short"), "{}", held.err);
    let anew = folder.json(&["order", "longer.xlsx", "--json", "-o", "e"]);
    assert!(anew["findings"].as_array().unwrap().iter().all(|finding| finding["code"] != "order-short"));
    assert!(keys(&anew).contains(&("pipe|PEX|1/2|stick 20".to_owned(), "2".to_owned())), "{anew}");
    let ran = folder.run(&["order", "job.xlsx", "--hold", "-o", "f"]);
    assert!(ran.err.contains("job.xlsx is no bid"), "{}", ran.err);
}

#[test]
fn every_json_document_fits_the_schema() {
    let schema: Value = serde_json::from_slice(&fs::read(project("templates/order.schema.json")).unwrap()).unwrap();
    let folder = Folder::with_books();
    let fits = |document: &Value| {
        let problems = schema::problems(&schema, document);
        assert!(problems.is_empty(), "{}", problems.join("\n"));
    };
    let house = folder.json(&["order", "house.xlsx", "--json", "--by-phase"]);
    fits(&house);
    assert_eq!(house["order_number"], "H-14-P");
    assert!(house["orders"].as_array().unwrap().iter().all(|order| order["phases"].as_array().unwrap().len() == 1));
    fits(&folder.json(&["order", "nowhere.xlsx", "--json"]));
    fits(&folder.json(&["order", "house.xlsx", "--json", "--by-phase"]));
    let mut wrong = house.clone();
    wrong["orders"][0]["lines"][0]["price"] = "9.41".into();
    wrong["orders"][0]["lines"][0]["quantity"] = 2.into();
    assert_eq!(schema::problems(&schema, &wrong).len(), 2);
}

#[test]
fn every_supplier_can_be_asked_for_everything_and_nothing_is_ordered() {
    let folder = Folder::with_books();
    folder.done(&["order", "house.xlsx"]);
    let out = folder.done(&["order", "house.xlsx", "--ask"]);
    assert!(out.starts_with("house.xlsx: 2 requests, "), "{out}");
    let rows = |name: &str| -> Vec<Vec<String>> {
        let text = folder.bytes(name);
        let mut reader = csv::Reader::from_reader(&text[..]);
        reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
    };
    let column = |name: &str, heading: &str| -> Vec<String> {
        let text = folder.bytes(name);
        let mut reader = csv::Reader::from_reader(&text[..]);
        let at = reader.headers().unwrap().iter().position(|known| known == heading).unwrap();
        rows(name).into_iter().map(|row| row[at].clone()).collect()
    };
    let ordered = rows("house-order-quillmoor-supply.csv").len() + rows("house-order-stenvik-yard.csv").len();
    for (name, others) in [("house-request-quillmoor-supply.csv", "SV"), ("house-request-stenvik-yard.csv", "QM-")] {
        assert_eq!(rows(name).len(), ordered, "{name}: no line is ordered from both");
        assert!(column(name, "Order or quote").iter().all(|state| state == "quote"), "{name}");
        assert!(!column(name, "Part no.").iter().any(|part| part.starts_with(others)), "{name}: another's numbers");
    }
    let keys = |name| column(name, "Line").into_iter().collect::<std::collections::BTreeSet<String>>();
    assert_eq!(keys("house-request-quillmoor-supply.csv"), keys("house-request-stenvik-yard.csv"));
}
