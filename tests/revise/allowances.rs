//! What is chosen for an allowance in a revision stands on its change order: what was allowed, what the choice costs, over or
//! under. Worked out here by hand.

use crate::program::Folder;
use calamine::{Data, Reader, Xlsx, open_workbook};

/// A closet that is not chosen yet, and a lump sum. Everything is invented.
const JOB: &str = "[Job]
Item            | Value
Supply pressure | 60
Tax rate        | 10%
Overhead        | 20%

[Fixtures]
Tag | Fixture      | Cold run | Price | Allowance
WC1 | water closet | A        | ?     | 250

[Runs]
Run | From   | Size | Length ft
A   | SUPPLY | 3/4  | 10

[Prices]
Kind | Material | Size | Unit | Price
pipe | PEX      | 3/4  | ft   | 1

[Terms]
Kind      | Text | Amount | Chosen
allowance | Tile | 500    | !
";

#[test]
fn the_change_order_reconciles_what_was_chosen_since() {
    let folder = Folder::empty();
    for (name, price, tile) in [("old", "", ""), ("new", "310", "440")] {
        let text = JOB.replace('?', price).replace('!', tile);
        std::fs::write(folder.path(&format!("{name}.txt")), text).unwrap();
        folder.done(&["start", "--from-text", &format!("{name}.txt"), "-o", &format!("{name}.xlsx")]);
    }
    folder.run(&["price", "old.xlsx", "-o", "old-bid.xlsx"]);
    folder.run(&["revise", "old-bid.xlsx", "new.xlsx", "-o", "revised.xlsx"]);
    let mut book: Xlsx<_> = open_workbook(folder.path("revised.xlsx")).unwrap();
    let order = book.worksheet_range("Change order").unwrap();
    let lines: Vec<String> = order.rows().map(|row| row[0].to_string()).collect();
    let said = [
        "WC1 water closet: allowed $250.00, chosen at $341.00, $91.00 over.",
        "Tile: allowed $500.00, chosen at $440.00, $60.00 under.",
    ];
    assert!(said.iter().all(|said| lines.iter().any(|line| line == said)), "{lines:#?}");
    // 91 over and 60 under, with nothing on it.
    let change = order.rows().find(|row| row[0] == Data::String("This change".into())).unwrap();
    assert_eq!(change[1], Data::Float(31.0));
}
