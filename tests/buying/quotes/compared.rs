//! What the quotes come to: by hand, to the cent, in the document and in the workbook as another engine recalculates it.

use super::filled::*;
use crate::support::recalc::{Held, Open, recalculate_in_process, rechecked};
use tallybore::model::order_form as form;
use tallybore::place::Place;

/// By hand. Quillmoor: pipe 10.00, ring 15.00, adapter 2.00, stub-out 3.00, 6 supports at 0.50, line 4.00, cap 1.00;
/// 38.00 together, and 30.00 for the trip. Stenvik: stop 6.00, adapter 1.90, stub-out 2.90, 6 supports at 0.45, line 5.00,
/// no cap; 18.50 together, and 25.00 for the trip.
fn two() -> crate::program::Folder {
    let folder = ordered(JOB);
    let mut quillmoor = Form::of(&folder, QUILLMOOR);
    quillmoor.price(PIPE, 10.0).price(RING, 15.0).head(form::CHARGE, 30.0).head(form::QUOTED_BY, "Ann, 555-0101");
    for (key, price) in ASKED.iter().zip([2.0, 3.0, 0.5, 4.0, 1.0]) {
        quillmoor.price(key, price);
    }
    quillmoor.save(&folder, "q.xlsx");
    let mut stenvik = Form::of(&folder, STENVIK);
    stenvik.price(STOP, 6.0).head(form::CHARGE, "$25.00");
    for (key, price) in ASKED.iter().zip([1.9, 2.9, 0.45, 5.0]) {
        stenvik.price(key, price);
    }
    stenvik.put(ASKED[4], form::AVAILABLE, "no").save(&folder, "s.xlsx");
    folder
}

#[test]
fn each_way_of_buying_comes_to_what_it_does_by_hand() {
    let folder = two();
    let document = read(&folder, &["q.xlsx", "s.xlsx"]);
    let ways = &document["ways"];
    // 10 + 15 + 6 + 1.90 + 2.90 + 2.70 + 4 + 1; both trips are needed either way, so each line is at its least.
    assert_eq!((ways["least"].as_str(), ways["chosen"].as_str()), (Some("43.50"), Some("98.50")));
    assert_eq!(ways["least_with_charges"], "98.50");
    assert!(ways["single"].is_null(), "neither has everything");
    assert_eq!(ways["proved"], true);
    assert_eq!(price(&document, STOP, "Quillmoor Supply"), (None, "not asked".to_owned()));
    assert_eq!(price(&document, ASKED[4], "Stenvik Yard"), (None, "not available".to_owned()));
    assert!(findings(&document).is_empty(), "{:?}", findings(&document));
    let out = folder.done(&["quotes", "job.xlsx", "q.xlsx", "s.xlsx", "--replace"]);
    assert!(out.contains("2 suppliers, 8 of 8 lines priced; 0 stop, 0 to fix, 0 notes"), "{out}");
}

#[test]
fn a_trip_is_only_made_where_it_pays() {
    let folder = two();
    // Stenvik's order, passed on to a third house that has its stop valve and all the rest, dearer, without a trip.
    let mut third = Form::of(&folder, STENVIK);
    third.head(form::SUPPLIER, "Harl & Thrupp").price(STOP, 7.0);
    for key in ASKED {
        third.price(key, 9.0);
    }
    third.save(&folder, "h.xlsx");
    let document = read(&folder, &["q.xlsx", "s.xlsx", "h.xlsx"]);
    // Without charges nothing changes. With them the stop valve alone moves: 10 + 15 + 2 + 3 + 3 + 4 + 1 + 7 + 30.
    assert_eq!(document["ways"]["least"], "43.50");
    assert_eq!(document["ways"]["least_with_charges"], "98.50");
    assert_eq!(document["ways"]["chosen"], "75.00");
    let from = |key: &str| {
        let lines = document["lines"].as_array().unwrap();
        lines.iter().find(|line| line["line"] == key).unwrap()["from"].as_str().unwrap().to_owned()
    };
    assert_eq!((from(STOP).as_str(), from(ASKED[0]).as_str()), ("Harl & Thrupp", "Quillmoor Supply"));
}

#[test]
fn who_prices_every_line_is_told_with_what_it_comes_to() {
    let folder = two();
    // The whole job asked of one house: lines of both orders on one form.
    let mut one = Form::of(&folder, QUILLMOOR);
    let stop = {
        let stenvik = Form::of(&folder, STENVIK);
        stenvik.rows[stenvik.row(STOP)].clone()
    };
    let at = one.row(RING);
    one.rows.insert(at, stop);
    one.head(form::SUPPLIER, "Harl & Thrupp").head(form::CHARGE, 12.5);
    for key in [PIPE, RING, STOP].into_iter().chain(ASKED) {
        one.price(key, 8.0);
    }
    one.save(&folder, "h.xlsx");
    let document = read(&folder, &["q.xlsx", "s.xlsx", "h.xlsx"]);
    // 7 lines of one at 8, 6 supports at 8, and the trip.
    let single = &document["ways"]["single"];
    assert_eq!((single["supplier"].as_str(), single["total"].as_str()), (Some("Harl & Thrupp"), Some("116.50")));
}

#[test]
fn every_formula_of_the_workbook_is_what_another_engine_makes_of_it() {
    let folder = two();
    read(&folder, &["q.xlsx", "s.xlsx"]);
    let bytes = folder.bytes("job-quotes.xlsx");
    let (formulas, wrong) = rechecked(&bytes);
    assert!(wrong.is_empty(), "{wrong:?}");
    assert!(formulas > 90, "{formulas}");
    // The same quotes give the same bytes.
    read(&folder, &["q.xlsx", "s.xlsx"]);
    assert!(folder.bytes("job-quotes.xlsx") == bytes);
}

#[test]
fn what_is_typed_over_in_the_workbook_is_followed() {
    let folder = two();
    read(&folder, &["q.xlsx", "s.xlsx"]);
    let mut open = Open::of(&folder.bytes("job-quotes.xlsx"));
    let chosen = Place::parse("Quotes!B6").unwrap();
    assert_eq!(open.value(&chosen), Held::Number(98.5));
    // The adapter, third line of the list, from Quillmoor after all; then at another price.
    let row = (0..40).map(|row| Place::new("Side by side", row, 0));
    let row =
        row.rev().find(|place| open.value(place) == Held::Text("PEX metal insert adapter".to_owned())).unwrap().row;
    let from = Place::new("Side by side", row, 11);
    assert_eq!(open.value(&from), Held::Number(2.0));
    open.type_in(&from, "1");
    open.recalculate();
    assert_eq!(open.value(&chosen), Held::Number(98.6));
    open.type_in(&Place::new("Side by side", row, 5), "3.25");
    open.recalculate();
    assert_eq!(open.value(&chosen), Held::Number(99.85));
    assert_eq!(open.value(&Place::parse("Quotes!C6").unwrap()), Held::Text("changed since it was chosen".to_owned()));
}

#[test]
fn trips_and_least_orders_of_the_job_count_where_the_quote_names_no_charge() {
    let terms =
        "\n[Suppliers]\nSupplier | Trip cost | Minimum order\nQuillmoor Supply | 20 | \nStenvik Yard | 5 | 12\n";
    let folder = ordered(&format!("{JOB}{terms}"));
    let mut quillmoor = Form::of(&folder, QUILLMOOR);
    quillmoor.price(PIPE, 10.0).price(RING, 15.0).price(ASKED[0], 2.0).price(ASKED[1], 3.0).save(&folder, "q.xlsx");
    let mut stenvik = Form::of(&folder, STENVIK);
    stenvik.price(STOP, 6.0).price(ASKED[0], 1.9).price(ASKED[1], 3.1).save(&folder, "s.xlsx");
    let document = read(&folder, &["q.xlsx", "s.xlsx"]);
    // Least: 10 + 15 + 6 + 1.90 + 3 = 35.90, trips 25 and 12 - 7.90 to fill up Stenvik's order: 65.00. The stub-out at
    // Stenvik for 3.10 too, and only 1.00 is to be filled up: 10 + 15 + 6 + 1.90 + 3.10 + 25 + 1 = 62.00.
    assert_eq!(document["ways"]["least_with_charges"], "65.00");
    assert_eq!(document["ways"]["chosen"], "62.00");
    assert_eq!(document["suppliers"][1]["charge"], "5.00");
    assert!(recalculate_in_process(&folder.bytes("job-quotes.xlsx")).is_empty());
}
