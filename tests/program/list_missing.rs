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
    assert!(phrases.contains("every item has a price"), "{phrases}");
    assert!(!folder.names().iter().any(|name| name.contains("to-quote")), "{:?}", folder.names());
}
