//! What is ours stays ours: no rate, hour or share of the job is anywhere in an order, in whatever part of the file, and of
//! prices only what this supplier quoted; a request for a quote has none at all.

use crate::program::Folder;
use crate::support::job::{demonstration, job};
use std::io::{Cursor, Read};
use tallybore::write::{About, csv_bytes, order_bytes};

/// Every part of a workbook file, by name.
fn parts(bytes: &[u8]) -> Vec<(String, String)> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let part = |index| {
        let mut file = archive.by_index(index).unwrap();
        let mut text = String::new();
        file.read_to_string(&mut text).unwrap();
        (file.name().unwrap().into_owned(), text)
    };
    let count = zip::ZipArchive::new(Cursor::new(bytes)).unwrap().len();
    (0..count).map(part).collect()
}

/// Figures that turn up nowhere by chance, each as it could be written.
const OURS: &[&str] = &["97.31", "13.77", "5821.19", "43.19", "1234567.89", "19.31", "0.1931", "7.77", "611.13"];

/// What the supplier quoted.
const QUOTED: &[&str] = &["7319.37", "831.71"];

const JOB: &str = "Job: Order number | P-1
    Job: Site | 3 Fen Road
    Job: Labor rate | 97.31
    Job: Owner rate | 43.19
    Job: Overhead | 19.31%
    Job: Profit | 13.77%
    Job: Permit | 5821.19
    Job: Minimum charge | 1234567.89
    Runs: A | SUPPLY | 12 | Size 1/2 | Note 7.77 secret
    Fixtures: L | lavatory | Cold run A
    Prices: pipe | stick | 7319.37 | Material PEX | Size 1/2 | Pack 20 | Supplier Harl | Note secret discount 7.77
    Prices: ring | bag | 831.71 | Material PEX | Size 1/2 | Pack 50 | Supplier Harl | Part no. R-50
    Prices: ring | bag | 900.5 | Material PEX | Size 1/2 | Pack 50 | Supplier Other
    Labor: run PEX 1/2\" | ft | 7.77
    Other costs: travel | 3 | 611.13 | Note secret";

#[test]
fn no_hours_and_no_money_but_the_suppliers_own_are_in_any_part() {
    let made = job(JOB);
    let priced = made.price();
    // The bid has them all: the search can find.
    let bid: String = parts(&made.bid()).into_iter().map(|(_, text)| text).collect();
    for figure in ["7319.37", "831.71", "900.5", "97.31", "5821.19", "secret"] {
        assert!(bid.contains(figure), "{figure} is not in the bid");
    }
    let all = |ask| priced.orders(&made.job, &[], false, ask).unwrap().0.orders;
    let (ordered, asked) = (all(false), all(true));
    assert_eq!((ordered.len(), asked.len()), (1, 2));
    let text = |order| parts(&order_bytes(order, &About::default()).unwrap()).into_iter().map(|(_, text)| text);
    for price in QUOTED {
        assert!(text(&ordered[0].book).any(|text| text.contains(price)), "{price} is not on the order");
        assert!(
            !asked.iter().any(|order| text(&order.book).any(|text| text.contains(price))),
            "{price} is on a request"
        );
    }
    for order in ordered.iter().chain(&asked) {
        let bytes = order_bytes(&order.book, &About::default()).unwrap();
        let mut all = parts(&bytes);
        let rows = tallybore::csv_rows(order);
        all.push(("csv".to_owned(), String::from_utf8(csv_bytes(&rows)).unwrap()));
        for (name, text) in &all {
            for figure in OURS.iter().chain(&["900.5"]) {
                assert!(!text.contains(figure), "{figure} is in {name}");
            }
            let lower = text.to_lowercase();
            for word in [
                "secret",
                "labor",
                "hours",
                "overhead",
                "profit",
                "markup",
                "mark-up",
                "contingency",
                "wage",
                "our cost",
            ] {
                assert!(!lower.contains(word), "{word} is in {name}");
            }
        }
    }
}

#[test]
fn an_order_is_one_sheet_without_notes_names_or_links() {
    let folder = Folder::with_books();
    folder.done(&["order", "house.xlsx"]);
    let all = parts(&folder.bytes("house-order-quillmoor-supply.xlsx"));
    let names: Vec<&str> = all.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names.iter().filter(|name| name.starts_with("xl/worksheets/")).count(), 1, "{names:?}");
    for word in ["comment", "vml", "external", "drawing", "connection", "calcChain", "_rels/sheet"] {
        assert!(!names.iter().any(|name| name.contains(word)), "{names:?}");
    }
    let book = &all.iter().find(|(name, _)| name == "xl/workbook.xml").unwrap().1;
    assert!(!book.contains("state=\"hidden\"") && !book.contains("veryHidden"));
    let defined = book.matches("<definedName ").count();
    assert_eq!(defined, book.matches("_xlnm.Print_Titles").count() + book.matches("_xlnm.Print_Area").count());
    let sheet = &all.iter().find(|(name, _)| name.starts_with("xl/worksheets/")).unwrap().1;
    assert!(!sheet.contains("hidden=\"1\"") && !sheet.contains("<hyperlink"));
}

/// What only decides our money changes not a byte of any order.
#[test]
fn orders_do_not_depend_on_what_we_earn() {
    let ours = ["Overhead=31%", "Profit=29%", "Contingency=17%", "Tax rate=9%", "Permit=4711", "Minimum charge=99999"];
    let folder = Folder::with_books();
    folder.done(&["order", "house.xlsx", "-o", "a"]);
    let mut args = vec!["order", "house.xlsx", "-o", "b"];
    ours.iter().for_each(|set| args.extend(["--set", set]));
    folder.done(&args);
    for supplier in ["quillmoor-supply", "stenvik-yard"] {
        for kind in ["xlsx", "csv"] {
            let name = format!("house-order-{supplier}.{kind}");
            assert!(folder.bytes(&format!("a/{name}")) == folder.bytes(&format!("b/{name}")), "{name}");
        }
    }
    // Nor do notes, which are ours; what the supplier is told has a column of its own.
    let mut made = demonstration("prairie-house");
    let bytes = |made: &crate::support::job::Made| -> Vec<Vec<u8>> {
        let (orders, _) = made.price().orders(&made.job, &[], false, false).unwrap();
        orders.orders.iter().map(|order| order_bytes(&order.book, &About::default()).unwrap()).collect()
    };
    let before = bytes(&made);
    for price in &mut made.job.prices {
        price.note.value = Some("gives ten percent if pressed".into());
    }
    assert!(bytes(&made) == before);
}
