//! Alternates priced by the engine: each is the whole job with its change, and what the bid shows for it is what pricing
//! that job gives.

use crate::support::recalc::{Held, Shelf, recalculate_in_process};
use calamine::{Data, Reader, Xlsx};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tallybore::model::book_text;
use tallybore::place::Place;
use tallybore::write::job_book;

/// A shed with one basin. Everything is invented.
const SHED: &str = r"
[Job]
Item            | Value
Job name        | Shed at the orchard
Supply pressure | 50
Overhead        | 10%
Tax rate        | 5%
[Fixtures]
Tag | Fixture  | Cold run
LA1 | lavatory | B
[Runs]
Run | From   | Material | Size | Length ft | Rise ft
A   | SUPPLY |          | 3/4  | 40        | 1
B   | A      |          | 1/2  | 12        | 2
[Assemblies]
Assembly | Phase | Side | Kind | Size | Quantity
lavatory | trim | each | trap | 1-1/4 | 0
lavatory | trim | cold | escutcheon | 1/2 | 0
[Prices]
Kind | Material | Size | Unit | Pack | Price
pipe | PEX      | 1/2  | coil | 100  | 41.00
pipe | PEX      | 3/4  | coil | 100  | 66.00
pipe | PEX      | 1    | coil | 100  | 108.00
pipe | copper L | 3/4  | stick | 20  | 61.00
coupling | PEX  | 3/4 x 1/2 | each | | 2.10
reducer | PEX   | 3/4 x 1/2 | each | | 2.10
reducer | PEX   | 1 x 1/2 | each | | 3.40
ring | PEX      | 1/2  | bag  | 25   | 8.00
ring | PEX      | 3/4  | bag  | 25   | 10.50
ring | PEX      | 1    | bag  | 25   | 14.00
support |       | 1/2  | bag  | 50   | 6.00
support |       | 3/4  | bag  | 50   | 7.00
support |       | 1    | bag  | 50   | 9.00
stop valve |    |      | each |      | 9.20
supply line |   |      | each |      | 6.40
stub-out | PEX  | 1/2  | each |      | 4.00
adapter | PEX    | 3/4  | each |      | 5.50
adapter | PEX    | 1    | each |      | 8.50
test cap |       | 1/2  | each |      | 0.90
[Terms]
Kind      | Text                          | Amount | Change
alternate | The main in 1 in pipe         |        | run A size=1
alternate | Tax-free, and no overhead     |        | Tax rate=0%; Overhead=0%
alternate | A wall of glass               | 900    |
alternate | The main in 1 in, my price    | 75     | run A size=1
alternate | The main in copper            |        | run A material=copper L
alternate | A run that nobody has         |        | run Z size=1
allowance | Tile                          | 200    | run A size=1
";

struct Folder(tempfile::TempDir);

impl Folder {
    fn with(text: &str) -> (Self, PathBuf) {
        let folder = tempfile::tempdir().unwrap();
        let (book, faults) = book_text::parse(text);
        assert!(faults.is_empty(), "{faults:?}");
        let path = folder.path().join("shed.xlsx");
        fs::write(&path, job_book::from_text(&book).unwrap()).unwrap();
        (Self(folder), path)
    }

    fn bid(&self) -> Vec<u8> {
        fs::read(self.0.path().join("shed-bid.xlsx")).unwrap()
    }
}

fn run(words: &[&str], book: &Path) -> (String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_tallybore-in-tests")).args(words).arg(book).output().unwrap();
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    (String::from_utf8(out.stdout).unwrap(), String::from_utf8(out.stderr).unwrap())
}

fn rows(bid: &[u8], sheet: &str) -> Vec<Vec<Data>> {
    let mut book: Xlsx<_> = Xlsx::new(std::io::Cursor::new(bid.to_vec())).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    assert_eq!(range.start(), Some((0, 0)));
    range.rows().map(<[Data]>::to_vec).collect()
}

fn amount(rows: &[Vec<Data>], words: &str) -> Data {
    let found = |row: &&Vec<Data>| row.iter().any(|cell| cell == &Data::String(words.to_owned()));
    rows.iter().find(found).unwrap_or_else(|| panic!("no row {words}"))[2].clone()
}

fn total(book: &Path, set: &[&str]) -> f64 {
    let mut words = vec!["price", "--json", "--replace"];
    words.extend(set.iter().flat_map(|set| ["--set", set]));
    let (out, _) = run(&words, book);
    let document: serde_json::Value = serde_json::from_str(&out).unwrap();
    document["total"].as_str().unwrap().parse().unwrap()
}

#[test]
fn an_alternate_is_what_pricing_the_changed_job_adds_or_takes_off() {
    let (folder, book) = Folder::with(SHED);
    let as_it_stands = total(&book, &[]);
    let bid = folder.bid();
    let page = rows(&bid, "Bid");
    let number = |words: &str| match amount(&page, words) {
        Data::Float(number) => number,
        other => panic!("{words}: {other:?}"),
    };
    // The same changes made in the job itself.
    let (_other, larger) =
        Folder::with(&SHED.replace("A   | SUPPLY |          | 3/4", "A   | SUPPLY |          | 1  "));
    let larger = total(&larger, &[]) - as_it_stands;
    assert!(larger > 1.0, "{larger}");
    assert!((number("The main in 1 in pipe") - larger).abs() < 0.005);
    let untaxed = total(&book, &["Tax rate=0%", "Overhead=0%"]) - as_it_stands;
    assert!(untaxed < -1.0, "{untaxed}");
    assert!((number("Tax-free, and no overhead") - untaxed).abs() < 0.005);
    // And to a program that listens.
    let (reported, _) = run(&["price", "--json", "--replace"], &book);
    let reported: serde_json::Value = serde_json::from_str(&reported).unwrap();
    let of =
        |text: &str| reported["alternates"].as_array().unwrap().iter().find(|a| a["text"] == text).unwrap().clone();
    assert_eq!(of("The main in 1 in pipe")["amount"], format!("{larger:.2}"));
    assert_eq!([&of("The main in 1 in pipe")["offered"], &of("The main in copper")["offered"]], [true, false]);
    // An amount is the user's own word, with a change beside it or without.
    assert_eq!([number("A wall of glass"), number("The main in 1 in, my price")], [900.0, 75.0]);
    assert_eq!(recalculate_in_process(&bid), Vec::new());
}

#[test]
fn what_cannot_be_priced_or_does_not_pass_is_told_and_not_offered() {
    let (folder, book) = Folder::with(SHED);
    let (_, reported) = run(&["price"], &book);
    // The unit price of nothing in copper but its pipe is known: the job would be short of prices.
    for words in [
        "fix  alternate-fails  shed.xlsx  Terms!D8",
        "\"The main in copper\" the job does not pass: no price for ",
        "fix  alternate-not-priced  shed.xlsx  Terms!D9",
        "fix  alternate-not-priced  shed.xlsx  Terms!D10",
        "its Kind is allowance, and only an alternate changes the job.",
    ] {
        assert!(
            reported.contains(words) || reported.contains(&words.replace("shed.xlsx", &book.display().to_string())),
            "{reported}"
        );
    }
    let page = rows(&folder.bid(), "Bid");
    for words in ["The main in copper", "A run that nobody has"] {
        assert_eq!(amount(&page, words), Data::String("to be priced".into()));
    }
}

#[test]
fn an_alternate_is_offered_where_it_fails_no_more_than_the_job_does() {
    // So little pressure that basin LA1 runs short whatever the main is.
    let weak = SHED.replace("Supply pressure | 50", "Supply pressure | 9");
    let (folder, book) = Folder::with(&weak);
    let (_, reported) = run(&["price"], &book);
    assert!(reported.contains("short-of-pressure"), "{reported}");
    let page = rows(&folder.bid(), "Bid");
    assert!(matches!(amount(&page, "The main in 1 in pipe"), Data::Float(_)), "{reported}");
    // The same main in a size that makes the shortage worse is refused, and the words say where and how much.
    let worse = weak.replace("run A size=1\nalternate | Tax-free", "run A size=1/2\nalternate | Tax-free");
    let (_other, book) = Folder::with(&worse);
    let (_, reported) = run(&["price"], &book);
    assert!(reported.contains("alternate-fails") && reported.contains("pressure short in 1 run, "), "{reported}");
}

#[test]
fn an_alternate_that_changes_nothing_says_so() {
    let same = SHED.replace("run A size=1\nalternate | Tax-free", "run A size=3/4\nalternate | Tax-free");
    let (_folder, book) = Folder::with(&same);
    let (_, reported) = run(&["price"], &book);
    assert!(reported.contains("alternate-changes-nothing"), "{reported}");
    assert!(reported.contains("\"The main in 1 in pipe\" changes no size"), "{reported}");
}

#[test]
fn an_alternate_asks_for_a_new_price_when_its_change_or_a_price_moves() {
    let (folder, book) = Folder::with(SHED);
    run(&["price"], &book);
    let bid = folder.bid();
    let page = rows(&bid, "Bid");
    let row = page.iter().position(|row| row.contains(&Data::String("The main in 1 in pipe".into()))).unwrap();
    let at = Place::new("Bid", row as u32, 2);
    let bid = Shelf::of(bid);
    let now = |place: &str, words: &str| {
        let mut open = bid.open();
        open.type_in(&Place::parse(place).unwrap(), words);
        open.recalculate();
        open.value(&at)
    };
    assert!(matches!(now("Terms!B4", "The main in 1 in pipe, please"), Held::Number(_)));
    assert_eq!(now("Terms!D4", "run A size=1-1/4"), Held::Text("price again".into()));
    // The price of pipe that only the alternate buys.
    assert_eq!(now("Prices!F6", "150"), Held::Text("price again".into()));
}
