//! `price --list-missing`: rows to be priced in a copy of the job, which `order --ask` then asks the suppliers for.

use crate::program::Folder;
use calamine::{Reader, Xlsx, open_workbook};
use std::fs;

const SHED: &str = "
[Job]
Item            | Value
Supply pressure | 60

[Fixtures]
Tag | Fixture  | Cold run
L1  | lavatory | A

[Runs]
Run | From   | Length ft
A   | SUPPLY | 12'6\"

[Prices]
Kind | Material | Size | Unit | Pack | Price | Supplier
cap  | PEX      | 1/2  | each |      | 0.60  | Quillmoor Supply
";

fn shed() -> Folder {
    let folder = Folder::empty();
    fs::write(folder.path("shed.txt"), SHED).unwrap();
    folder.done(&["start", "--from-text", "shed.txt"]);
    folder
}

fn prices(folder: &Folder, book: &str) -> Vec<Vec<String>> {
    let mut book: Xlsx<_> = open_workbook(folder.path(book)).unwrap();
    let range = book.worksheet_range("Prices").unwrap();
    range.rows().map(|row| row.iter().map(ToString::to_string).collect()).collect()
}

#[test]
fn what_has_no_price_gets_a_row_in_a_copy_of_the_job() {
    let folder = shed();
    let before = fs::read(folder.path("shed.xlsx")).unwrap();
    let ran = folder.run(&["price", "shed.xlsx", "--list-missing"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("shed-to-quote.xlsx"), "{}", ran.out);
    assert_eq!(fs::read(folder.path("shed.xlsx")).unwrap(), before, "the job itself is never touched");
    // The finding lists the same items, each once.
    let reported = ran.err.lines().filter(|line| line.starts_with("        ")).count();
    let rows = prices(&folder, "shed-to-quote.xlsx");
    let at = rows.iter().position(|row| row[0] == "cap").unwrap();
    let added = &rows[at + 1..];
    assert!(reported > 3 && added.len() == reported, "{reported} told, {} added", added.len());
    let headings = rows.iter().find(|row| row[0] == "Kind").unwrap();
    let price = headings.iter().position(|heading| heading == "Price").unwrap();
    assert!(added.iter().all(|row| !row[0].is_empty() && row[price].is_empty()), "{added:?}");
    // Nothing is written over unasked.
    assert_eq!(folder.run(&["price", "shed.xlsx", "-o", "again.xlsx", "--list-missing"]).code, 3);
    // The copy can be priced and asked for.
    let again = folder.run(&["price", "shed-to-quote.xlsx"]);
    assert!(again.code == 0 && again.err.contains("prices-open"), "{}", again.err);
    let asked = folder.run(&["order", "shed-to-quote.xlsx", "--ask"]);
    assert_eq!(asked.code, 0, "{}", asked.err);
    assert!(asked.out.contains("Quillmoor Supply"), "{}", asked.out);
}

#[test]
fn a_job_without_gaps_gets_no_copy() {
    let folder = Folder::with_books();
    let phrases = folder.done(&["price", "house.xlsx", "--list-missing"]);
    assert!(phrases.contains("Prices has a row for every item"), "{phrases}");
    assert!(!folder.names().iter().any(|name| name.contains("to-quote")), "{:?}", folder.names());
}

#[test]
fn a_tee_that_a_larger_one_is_bought_for_gets_its_row() {
    let folder = Folder::empty();
    let job = "
[Job]
Item            | Value
Supply pressure | 60

[Fixtures]
Tag | Fixture      | Cold run
W1  | water closet | B
L1  | lavatory     | C

[Runs]
Run | From   | Size | Length ft
A   | SUPPLY | 3/4  | 20
B   | A      | 3/4  | 12
C   | A      | 1/2  | 8

[Prices]
Kind    | Material | Size        | Unit | Pack | Price
tee     | PEX      | 1-1/4       | each |      | 12.40
reducer | PEX      | 1-1/4 x 3/4 | each |      | 6.93
reducer | PEX      | 1-1/4 x 1/2 | each |      | 7.26
";
    fs::write(folder.path("shed.txt"), job).unwrap();
    folder.done(&["start", "--from-text", "shed.txt"]);
    let ran = folder.run(&["price", "shed.xlsx", "--list-missing"]);
    assert!(ran.err.contains("tee-made-up") && ran.err.contains("tee PEX 1-1/4\""), "{}", ran.err);
    let tees = |book: &str| {
        let rows = prices(&folder, book).into_iter().filter(|row| row[0] == "tee");
        rows.map(|row| row[2].clone()).collect::<Vec<_>>()
    };
    assert_eq!(tees("shed-to-quote.xlsx"), ["1-1/4", "3/4 x 3/4 x 1/2"]);
    // Its row is there now, only the price is not: none is added, and the row is named.
    let again = folder.run(&["price", "shed-to-quote.xlsx", "--list-missing"]);
    assert!(again.err.contains("Enter its price in row"), "{}", again.err);
    assert!(again.out.contains("Prices has a row for every item"), "{}", again.out);
}
