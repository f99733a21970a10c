//! The command as it is typed: what it writes and under which name, what it says, what it refuses.

use crate::program::{Folder, project};
use crate::schema::problems;
use calamine::{Data, Reader, Xlsx, open_workbook};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use tallybore::write::job_book;

pub fn sheet(folder: &Folder, book: &str, sheet: &str) -> Vec<Vec<String>> {
    let mut book: Xlsx<_> = open_workbook(folder.path(book)).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    range.rows().map(|row| row.iter().map(Data::to_string).collect()).collect()
}

fn text<'a>(document: &'a Value, name: &str) -> &'a str {
    document[name].as_str().unwrap_or_else(|| panic!("no {name}: {document}"))
}

/// A job of a few lines as a workbook of the folder.
pub fn write(folder: &Folder, name: &str, text: &str) {
    let (book, findings) = tallybore::model::book_text::parse(text);
    assert!(findings.is_empty(), "{findings:?}");
    fs::write(folder.path(name), job_book::from_text(&book).unwrap()).unwrap();
}

#[test]
fn a_setting_makes_a_revision_with_its_own_name_and_number() {
    let (folder, _) = Folder::with_bid();
    let phrases = folder.done(&["revise", "house-bid.xlsx", "--set", "supply pressure=50", "--reason", "low mains"]);
    for words in ["Revision 1 against bid H-14 rev 0", "Supply pressure from 55 to 50", "house-bid-r1.xlsx"] {
        assert!(phrases.contains(words), "{words} in\n{phrases}");
    }
    folder.done(&["revise", "house-bid-r1.xlsx", "--set", "run M1 Length ft=9", "--set", "Date=2026-07-01"]);
    assert_eq!(
        folder.names(),
        ["bakery.xlsx", "house-bid-r1.xlsx", "house-bid-r2.xlsx", "house-bid.xlsx", "house.xlsx"]
    );
    let reported = sheet(&folder, "house-bid-r2.xlsx", "Revisions");
    let rows: Vec<&Vec<String>> = reported.iter().skip_while(|row| row[0] != "Revision").skip(1).collect();
    assert_eq!(rows.iter().map(|row| row[0].as_str()).collect::<Vec<_>>(), ["0", "1", "2"]);
    assert_eq!(rows[0][4], "First priced.");
    assert_eq!((rows[1][4].as_str(), rows[1][5].as_str()), ("Supply pressure from 55 to 50", "low mains"));
    assert_eq!((rows[2][4].as_str(), rows[2][5].as_str()), ("Length ft of run M1 from 6 to 9", ""));
    // Each total is the one before and the difference.
    let number = |text: &str| text.parse::<f64>().unwrap();
    for pair in rows.windows(2) {
        assert!((number(&pair[0][2]) + number(&pair[1][3]) - number(&pair[1][2])).abs() < 0.005, "{pair:?}");
    }
    let codes = |document: &Value| -> Vec<String> {
        let findings = document["findings"].as_array().unwrap();
        findings.iter().map(|finding| finding["code"].as_str().unwrap().to_owned()).collect()
    };
    let same = folder.json(&["revise", "--json", "house-bid.xlsx", "house.xlsx", "-o", "same.xlsx"]);
    // The house's own notes stand among them.
    // Two of its suppliers' quotes run out before the work that needs them, which is told of each.
    let own = [
        "quote-expires",
        "quote-expires",
        "drains-not-priced",
        "quick-closing-valve",
        "bibb-freezes",
        "prices-not-used",
        "hot-pipe-bare",
        "framing-not-said",
        "cut-to-the-end",
    ];
    let others: Vec<String> = codes(&same).into_iter().filter(|code| !own.contains(&code.as_str())).collect();
    assert_eq!(others, ["nothing-changed", "same-date"]);
    assert_eq!(codes(&same).len(), own.len() + others.len());
    assert_eq!(text(&same, "difference"), "0.00");
    fs::remove_file(folder.path("same.xlsx")).unwrap();
    // Priced again it keeps its number, its history and its place.
    folder.done(&["price", "house-bid-r2.xlsx", "--replace"]);
    let again = sheet(&folder, "house-bid-r2.xlsx", "Revisions");
    assert_eq!(again[..reported.len()], reported[..]);
}

#[test]
fn two_revisions_never_take_each_others_place() {
    let folder = Folder::empty();
    write(&folder, "garden.xlsx", GARDEN);
    folder.done(&["price", "garden.xlsx"]);
    let first = folder.bytes("garden-bid.xlsx");
    let set = ["--set", "supply pressure=50"];
    let over = |args: &[&str]| {
        let ran = folder.run(args);
        assert_eq!(ran.code, 3, "{args:?}\n{}\n{}", ran.out, ran.err);
        ran.err
    };
    let reported = over(&[&["revise", "garden-bid.xlsx", "-o", "garden-bid.xlsx", "--replace"][..], &set].concat());
    assert!(reported.contains("revision 0") && reported.contains("revision 1"), "{reported}");
    let reported = over(&[&["revise", "garden-bid.xlsx", "-o", "garden.xlsx", "--replace"][..], &set].concat());
    assert!(reported.contains("job workbook"), "{reported}");
    folder.done(&[&["revise", "garden-bid.xlsx"][..], &set].concat());
    let second = folder.bytes("garden-bid-r1.xlsx");
    over(&[&["revise", "garden-bid.xlsx"][..], &set].concat());
    folder.done(&[&["revise", "garden-bid.xlsx", "--replace"][..], &set].concat());
    assert!(folder.bytes("garden-bid-r1.xlsx") == second, "the same revision twice is the same to the byte");
    let reported = over(&["price", "garden-bid-r1.xlsx", "-o", "garden-bid.xlsx", "--replace"]);
    assert!(reported.contains("another name"), "{reported}");
    assert!(folder.bytes("garden-bid.xlsx") == first);
    // A job workbook of a later revision gets a name of its own.
    folder.done(&["price", "garden.xlsx", "--set", "Revision=7"]);
    assert!(folder.names().contains(&"garden-bid-r7.xlsx".to_owned()));
}

#[test]
fn two_workbooks_are_compared_whatever_each_is() {
    let folder = Folder::empty();
    let garden = GARDEN.replace("Labor rate      | 50", "Labor rate      | 50\nWaste           | 5%");
    let changed = garden.replace("| 5%", "| 8%").replace("| 3/4  | 40", "| 3/4  | 45'6\"");
    write(&folder, "garden.xlsx", &garden);
    write(&folder, "changed.xlsx", &changed);
    folder.done(&["price", "garden.xlsx"]);
    folder.done(&["price", "changed.xlsx", "-o", "changed-bid.xlsx"]);
    let mut differences = Vec::new();
    for (old, new) in [
        ("garden.xlsx", "changed.xlsx"),
        ("garden-bid.xlsx", "changed.xlsx"),
        ("garden.xlsx", "changed-bid.xlsx"),
        ("garden-bid.xlsx", "changed-bid.xlsx"),
    ] {
        let inputs = ["Waste", "Length ft of run A"];
        differences.push(compared_both_ways(&folder, (old, new), inputs, "40"));
    }
    assert!(differences.iter().all(|difference| *difference == differences[0]), "{differences:?}");
}

#[test]
fn a_changed_house_is_compared_with_its_bid() {
    let (folder, _) = Folder::with_bid();
    let text = fs::read_to_string(project("demo-books/prairie-house.txt")).unwrap();
    let changed = text
        .replace("Waste                  | 5%", "Waste                  | 8%")
        .replace("KC2  | KC1    |            |      | 3'6\"", "KC2  | KC1    |            |      | 5'6\"");
    assert_ne!(text, changed);
    write(&folder, "changed.xlsx", &changed);
    compared_both_ways(&folder, ("house-bid.xlsx", "changed.xlsx"), ["Waste", "Length ft of run KC2"], "3'6\"");
}

/// Holds the two against each other, either way about: these inputs differ, the second was `length`, and each change by
/// itself with what only both do is all of it. Gives the difference.
fn compared_both_ways(folder: &Folder, (old, new): (&str, &str), inputs: [&str; 2], length: &str) -> Value {
    let document = folder.json(&["revise", "--json", old, new, "-o", "r1.xlsx", "--replace"]);
    assert_eq!(problems(&schema(), &document), [""; 0]);
    let reported: Vec<&str> =
        document["inputs"].as_array().unwrap().iter().map(|input| input["what"].as_str().unwrap()).collect();
    assert_eq!(reported, inputs, "{old} {new}");
    let before = &document["inputs"][1]["old"];
    assert_eq!(before.as_str().map_or_else(|| before.to_string(), str::to_owned), length);
    let money = |value: &Value| value.as_str().unwrap().parse::<rust_decimal::Decimal>().unwrap();
    let parts: rust_decimal::Decimal =
        document["why"].as_array().unwrap().iter().map(|part| money(&part["difference"])).sum();
    assert_eq!(parts, money(&document["difference"]), "{}", document["why"]);
    let back = folder.json(&["revise", "--json", new, old, "-o", "back.xlsx", "--replace"]);
    assert_eq!(money(&back["difference"]), -money(&document["difference"]));
    document["difference"].clone()
}

fn text_of(value: &Value) -> &str {
    value.as_str().unwrap()
}

fn schema() -> Value {
    serde_json::from_str(&fs::read_to_string(project("templates/revise.schema.json")).unwrap()).unwrap()
}

#[test]
fn what_cannot_be_changed_is_told_and_nothing_is_written() {
    let folder = Folder::empty();
    write(&folder, "garden.xlsx", GARDEN);
    folder.done(&["price", "garden.xlsx"]);
    let before = folder.names();
    let mut args = vec!["revise", "garden-bid.xlsx", "--json"];
    let mut reported = BTreeSet::new();
    for (change, slug, words) in [
        ("main siz=1", "unknown-name", "Did you mean \"Main size\"?"),
        ("Main size=huge", "edit-bad-value", "expected a pipe size"),
        ("Supply pressure", "edit-not-read", "Supply pressure"),
        ("Runs!D999=3/4", "edit-of-nothing", "Runs!D999 belongs to no run"),
        ("run M9 size=3/4", "unknown-name", "there is no run of that name"),
        ("run A sise=3/4", "edit-not-read", "run A sise"),
        ("Runs!D4=blue", "wrong-kind", "Size holds \"blue\""),
        ("Sizing!H5=1", "edit-of-result", "Sizing!H5"),
        ("Runs!Z5=1", "edit-not-input", "Runs!Z5"),
        ("Rnus!D5=1", "unknown-name", "Did you mean \"Runs\"?"),
        ("Runs!5D=1", "edit-not-read", "a cell such as"),
        ("Revision=0", "edit-bad-value", "no revision of this bid has yet"),
        ("fixture H1 Cold run=NOPE", "unknown-name", "NOPE"),
        ("price pipe PEX=1", "edit-not-read", "only one row of the sheet Prices"),
        ("price pype PEX 3/4=1", "unknown-name", "price"),
    ] {
        let ran = folder.run(&["revise", "garden-bid.xlsx", "--set", change]);
        assert_eq!(ran.code, 1, "{change}\n{}\n{}", ran.out, ran.err);
        assert!(ran.err.contains(&format!("stop  {slug}")), "{change}\n{}", ran.err);
        assert!(ran.err.contains(words), "{change}\n{}", ran.err);
        assert_eq!(folder.names(), before, "{change}");
        reported.insert(slug);
        args.extend(["--set", change]);
    }
    // The same as a document, all at once.
    let document = folder.json(&args);
    assert_eq!(problems(&schema(), &document), [""; 0]);
    let codes: BTreeSet<&str> =
        document["findings"].as_array().unwrap().iter().filter_map(|finding| finding["code"].as_str()).collect();
    // What is wrong with a row as a whole is only seen once all changes can be written.
    let missing: Vec<_> = reported.iter().filter(|slug| !codes.contains(*slug)).collect();
    assert_eq!(missing, [&"edit-of-nothing", &"wrong-kind"], "{codes:?}");
    assert_eq!(folder.names(), before);
    // All that is wrong at once.
    let ran = folder.run(&["revise", "garden-bid.xlsx", "--set", "main siz=1", "--set", "Sizing!H5=1"]);
    assert!(ran.err.contains("2 stop"), "{}", ran.err);
    for args in [&["revise", "garden-bid.xlsx"][..], &["revise"], &["revise", "garden-bid.xlsx", "--reason", "none"]] {
        let ran = folder.run(args);
        assert_eq!(ran.code, 2, "{args:?} {}", ran.err);
    }
    assert_eq!(folder.run(&["revise", "nowhere.xlsx", "--set", "main size=1"]).code, 3);
    assert_eq!(folder.names(), before);
}

#[test]
fn different_jobs_are_not_compared() {
    let folder = Folder::with_books();
    let ran = folder.run(&["revise", "house.xlsx", "bakery.xlsx"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.err.contains("different-jobs") && ran.err.contains("H-14"), "{}", ran.err);
    assert_eq!(folder.names(), ["bakery.xlsx", "house.xlsx"]);
}

const SHED: &str = "
[Job]
Item            | Value
Job name        | A shed
Supply pressure | 60

[Fixtures]
Tag | Fixture  | Cold run
L1  | lavatory | A

[Runs]
Run | From   | Size | Length ft     | Note
A   | SUPPLY |      | =B9*2 -> 24   | twice a side
B   | A      |      | 8

[Other costs]
Item     | Quantity     | Price
Digging  | =2*Runs!D5 -> 16 | 12

[Prices]
Kind | Material | Size | Unit | Price
pipe | PEX      | 1/2  | ft   | 0.50
pipe | PEX      | 3/4  | ft   | 0.80
";

#[test]
fn formulas_of_the_users_are_neither_lost_nor_left_behind() {
    let folder = Folder::empty();
    write(&folder, "shed.xlsx", SHED);
    for (change, slug, words) in
        [("Runs!D4=30", "edit-of-formula", "Runs!D4"), ("run B Length ft=9", "edit-feeds-formula", "'Other costs'!B4")]
    {
        let ran = folder.run(&["revise", "shed.xlsx", "--set", change]);
        assert_eq!(ran.code, 1, "{}", ran.err);
        assert!(ran.err.contains(slug) && ran.err.contains(words), "{}", ran.err);
    }
    assert_eq!(folder.names(), ["shed.xlsx"]);
    folder.done(&["revise", "shed.xlsx", "--set", "Supply pressure=45"]);
    assert_eq!(folder.names(), ["shed-bid-r1.xlsx", "shed.xlsx"]);
}

#[test]
fn an_old_bid_that_shows_another_total_is_told() {
    let (folder, _) = Folder::with_bid();
    // As a spreadsheet program would leave it had an input been changed and nothing been worked out.
    let bytes = folder.bytes("house-bid.xlsx");
    let part = (1..40).map(|n| format!("xl/worksheets/sheet{n}.xml")).find(|part| {
        let mut archive = zip::ZipArchive::new(std::io::Cursor::new(&bytes)).unwrap();
        let mut text = String::new();
        let file = archive.by_name(part);
        file.is_ok_and(|mut file| std::io::Read::read_to_string(&mut file, &mut text).is_ok())
            && text.contains("<f>Bid_total</f>")
            && text.contains("Job_Change_reason")
    });
    let changed = crate::support::recalc::with_stored_value(&bytes, &part.unwrap(), "C4", "12345.67");
    fs::write(folder.path("edited.xlsx"), changed).unwrap();
    let document = folder.json(&["revise", "--json", "edited.xlsx", "--set", "supply pressure=50", "-o", "r1.xlsx"]);
    let codes: Vec<&str> =
        document["findings"].as_array().unwrap().iter().map(|finding| finding["code"].as_str().unwrap()).collect();
    assert!(codes.contains(&"old-total-moved"), "{codes:?}");
    assert_ne!(text(&document, "old_total"), "12345.67", "what is reckoned from is what it comes to");
}

#[test]
fn a_price_is_changed_by_the_name_that_changes_gives_it() {
    let folder = Folder::with_books();
    let args = ["--set", "price pipe PE 3/4 Quillmoor Supply=90"];
    let document = folder.json(&[&["revise", "house.xlsx", "--json"][..], &args].concat());
    let inputs = document["inputs"].as_array().unwrap();
    assert_eq!(inputs.len(), 1, "{inputs:?}");
    assert_eq!(inputs[0]["what"], "Price of price pipe PE 3/4 Quillmoor Supply");
    assert_eq!(text_of(&inputs[0]["new"]), "90.00");
}

/// A small job, quick to price; pipe of 1 in has no price.
pub const GARDEN: &str = "[Job]
Item            | Value
Job name        | Garden line
Supply pressure | 60
Labor rate      | 50

[Fixtures]
Tag | Fixture   | Cold run
H1  | hose bibb | A

[Runs]
Run | From   | Material | Size | Length ft
A   | SUPPLY | PEX      | 3/4  | 40

[Prices]
Kind                 | Material | Size      | Unit  | Pack | Price
pipe                 | PEX      | 3/4       | coil  | 100  | 70
pipe                 | PEX      | 1/2       | coil  | 100  | 40
adapter              | PEX      | 3/4       | each  |      | 5
adapter              | PEX      | 1         | each  |      | 9
ring                 | PEX      | 3/4       | bag   | 50   | 14
ring                 | PEX      | 1/2       | bag   | 50   | 9
ring                 | PEX      | 1         | bag   | 50   | 26
reducer              | PEX      | 3/4 x 1/2 | each  |      | 2
reducer              | PEX      | 1 x 1/2   | each  |      | 3
frostproof hose bibb |          | 1/2       | each  |      | 30
support              |          | 3/4       | each  |      | 0.3
support              |          | 1         | each  |      | 0.4

[Sundries]
Part           | For each       | Phase    | Quantity
thread tape    | threaded joint | rough-in | 0
pressure gauge | job            | test     | 0
disinfectant   | job            | test     | 0
";

#[test]
fn a_difference_with_prices_missing_says_so_wherever_it_stands() {
    let folder = Folder::empty();
    write(&folder, "garden.xlsx", GARDEN);
    let flags = |sheet_name: &str, book: &str| -> Vec<String> {
        let cells = sheet(&folder, book, sheet_name).into_iter().flatten();
        cells.filter(|cell| cell.contains("Lines without a price: ")).collect()
    };
    let words = "The difference is not complete. Lines without a price: 1 now, 0 before. They count as 0.";
    let phrases = folder.done(&["revise", "garden.xlsx", "--set", "run A size=1", "-o", "one.xlsx"]);
    assert!(
        phrases.contains(" less") && phrases.contains("lines without a price: 1 now, 0 before; they count as 0"),
        "{phrases}"
    );
    for name in ["Changes", "Change order"] {
        assert_eq!(flags(name, "one.xlsx"), [words], "{name}");
    }
    let order = sheet(&folder, "one.xlsx", "Change order").into_iter().flatten();
    assert_eq!(order.filter(|cell| cell.contains("do not sign")).count(), 1);
    let document = folder.json(&["revise", "--json", "garden.xlsx", "--set", "run A size=1", "-o", "two.xlsx"]);
    assert_eq!(
        (&document["old_lines_without_price"], &document["new_lines_without_price"]),
        (&0.0.into(), &1.0.into())
    );
    assert_eq!(problems(&schema(), &document), [""; 0]);
    // Where all is priced nothing is said.
    let phrases = folder.done(&["revise", "garden.xlsx", "--set", "run A length ft=60", "-o", "three.xlsx"]);
    assert!(!phrases.contains("without a price"), "{phrases}");
    assert!(flags("Changes", "three.xlsx").is_empty() && flags("Change order", "three.xlsx").is_empty());
    // The same of each change by itself.
    let both = ["revise", "garden.xlsx", "--set", "run A size=1", "--set", "run A length ft=60", "-o", "four.xlsx"];
    let phrases = folder.done(&both);
    assert!(phrases.contains("(lines without a price: 1): "), "{phrases}");
    // What the revision lacks, the next one starts from.
    let phrases = folder.done(&["revise", "one.xlsx", "--set", "run A size=3/4", "-o", "five.xlsx"]);
    assert!(phrases.contains("lines without a price: 0 now, 1 before"), "{phrases}");
    assert!(flags("Change order", "five.xlsx")[0].contains("0 now, 1 before"));
}

/// Nobody signs for a system that would not work: the page to sign says so itself, and is clean where all is well.
#[test]
fn a_change_order_says_in_red_what_would_not_work() {
    let folder = Folder::empty();
    write(&folder, "garden.xlsx", GARDEN);
    let flags = |psi: &str, size: &str| -> Vec<String> {
        let (pressure, size) = (format!("Supply pressure={psi}"), format!("run A size={size}"));
        folder.done(&["revise", "garden.xlsx", "--set", &pressure, "--set", &size, "-o", "out.xlsx", "--replace"]);
        let cells = sheet(&folder, "out.xlsx", "Change order").into_iter().flatten();
        cells.filter(|cell| cell.contains("sign before") || cell.contains("before you sign")).collect()
    };
    assert_eq!(flags("61", "3/4"), [""; 0]);
    let short = flags("8", "3/4");
    assert!(short.len() == 1 && short[0].contains("at the end of run A is short of pressure by"), "{short:?}");
    let fast = flags("100", "3/8");
    assert!(fast.iter().any(|cell| cell.starts_with("Runs with water faster than their limit: 1")), "{fast:?}");
}

/// Working days by the hours, 8 a day, to the nearest: 1.2 minutes (0.02 h) are less than half a one.
#[test]
fn a_few_minutes_do_not_make_a_day() {
    let folder = Folder::empty();
    let days = |hours: &str| -> String {
        let labor = format!("\n[Labor]\nTask | Unit | Hours\npressure test | each | {hours}\n");
        write(&folder, "new.xlsx", &format!("{GARDEN}{labor}"));
        let args = ["revise", "garden.xlsx", "new.xlsx", "-o", "out.xlsx", "--replace"];
        folder.done(&args);
        let rows = sheet(&folder, "out.xlsx", "Change order");
        rows.iter().find(|row| row[0] == "Working days more or less").unwrap()[1].clone()
    };
    write(&folder, "garden.xlsx", &format!("{GARDEN}\n[Labor]\nTask | Unit | Hours\npressure test | each | 10\n"));
    assert_eq!(days("10.02"), "less than half a day");
    assert_eq!(days("9.98"), "less than half a day");
    assert_eq!(days("13.9"), "less than half a day");
    assert_eq!(days("15"), "1");
    assert_eq!(days("19"), "1");
    assert_eq!(days("23"), "2");
    assert_eq!(days("1"), "-1");
}
