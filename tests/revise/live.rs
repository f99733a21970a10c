//! A finished revision is live: an input changed in it moves the differences, and they still add up.

use super::command::{GARDEN, sheet, write};
use crate::program::Folder;
use ironcalc::base::Model;

/// Sheet index and cell of a run's length, counted from 1 as the other engine does.
fn length_of(folder: &Folder, book: &str, run: &str) -> (i32, i32) {
    let rows = sheet(folder, book, "Runs");
    let head = rows.iter().position(|row| row[0] == "Run").unwrap();
    let column = rows[head].iter().position(|heading| heading == "Length ft").unwrap();
    let row = rows.iter().position(|row| row[0] == run).unwrap();
    // The sheet's first row is its title, so rows and cells begin at the corner.
    (row as i32 + 1, column as i32 + 1)
}

#[test]
fn a_changed_input_moves_the_differences_and_they_still_add_up() {
    let folder = Folder::empty();
    write(&folder, "garden.xlsx", GARDEN);
    folder.done(&["price", "garden.xlsx"]);
    folder.done(&["revise", "garden-bid.xlsx", "--set", "supply pressure=50", "--set", "waste=8%"]);
    let (row, column) = length_of(&folder, "garden-bid-r1.xlsx", "A");
    let bytes = folder.bytes("garden-bid-r1.xlsx");
    let book = ironcalc::import::load_from_xlsx_bytes(&bytes, "bid", "en", "UTC").unwrap();
    let mut model = Model::from_workbook(book, "en").unwrap();
    let index = |model: &Model, name: &str| {
        model.get_worksheets_properties().iter().position(|sheet| sheet.name == name).unwrap() as u32
    };
    let runs = index(&model, "Runs");
    model.update_cell_with_number(runs, row, column, 31.5).unwrap();
    model.evaluate();
    let changes = index(&model, "Changes");
    let rows = sheet(&folder, "garden-bid-r1.xlsx", "Changes");
    let value = |row: usize, column: i32| {
        let text = model.get_formatted_cell_value(changes, row as i32 + 1, column).unwrap();
        text.replace(',', "")
    };
    let at = |name: &str| rows.iter().position(|row| row[0] == name).unwrap();
    let checks = at("Do the differences add up?") + 1;
    for (at, row) in rows.iter().enumerate().skip(checks).take(4) {
        assert_eq!(value(at, 2), "OK", "{}", row[0]);
    }
    // The engine, with the same choices held, comes to the same.
    let change = ["--set", "run A Length ft=31.5", "--hold", "-o", "r2.xlsx"];
    let document = folder.json(&[&["revise", "--json", "garden-bid-r1.xlsx"][..], &change].concat());
    assert_eq!(value(at("Price"), 3), document["new_total"].as_str().unwrap());
    let first = folder.json(&["revise", "--json", "garden-bid.xlsx", "garden-bid-r1.xlsx", "-o", "r1-again.xlsx"]);
    let money = |document: &serde_json::Value, name: &str| document[name].as_str().unwrap().parse::<f64>().unwrap();
    let moved = money(&document, "new_total") - money(&first, "old_total");
    assert!((value(at("Price"), 4).parse::<f64>().unwrap() - moved).abs() < 0.005);
    assert_ne!(document["old_total"], document["new_total"], "the change must do something");
}
