//! How tees are made up: a tee in just its sizes, or a larger one with reducers where that is cheaper or all there is.

use super::counted::of;
use crate::support::job::{Made, job};
use calamine::Reader;
use rust_decimal::Decimal;
use tallybore::figure::Value;
use tallybore::pipeline::Priced;

/// A tee of 1 x 3/4 x 1/2 at the end of A, at these prices.
fn with_prices(prices: &[(&str, &str, &str)]) -> Priced {
    priced_at(prices).price()
}

fn priced_at(prices: &[(&str, &str, &str)]) -> Made {
    let prices: Vec<String> = prices
        .iter()
        .map(|(kind, size, price)| format!("Prices: {kind} | each | {price} | Material PEX | Size {size}"))
        .collect();
    job(&format!(
        "
        Runs: A | SUPPLY | 10 | Size 1
        Runs: B | A | 10 | Size 3/4
        Runs: C | A | 10 | Size 1/2
        Fixtures: W | water closet | Cold run B
        Fixtures: L | lavatory | Cold run C
        {}",
        prices.join("\n")
    ))
}

fn tees(priced: &Priced) -> Vec<String> {
    let lines = priced.take_off.lines.iter();
    let needed = lines.filter(|line| line.needed.value().as_f64() > 0.0);
    let at_a = needed.filter(|line| line.item.kind == "tee" && line.item.sizes[0].to_string() == "1");
    at_a.map(|line| line.item.text()).collect()
}

const ONE: Decimal = Decimal::ONE;

#[test]
fn a_reducing_tee_is_used_where_it_is_offered_and_cheaper() {
    let priced = with_prices(&[
        ("tee", "1 x 3/4 x 1/2", "7.32"),
        ("tee", "1 x 1 x 1", "5.90"),
        ("reducer", "1 x 3/4", "2.90"),
        ("reducer", "1 x 1/2", "3.05"),
        ("reducer", "3/4 x 1/2", "1.30"),
    ]);
    assert_eq!(tees(&priced), ["tee PEX 1\" x 3/4\" x 1/2\""]);
}

#[test]
fn a_dear_reducing_tee_gives_way_to_a_tee_and_reducers() {
    // Two reducers are four more joints, 2 x 0.05 + 0.045 + 0.04 h, and the larger tee's ends are 0.015 h more: 0.2 h of
    // $45 are $9.00; with $5.95 of reducers and the $5.90 it comes to $20.85.
    let all = |reducing: &str| {
        with_prices(&[
            ("tee", "1 x 3/4 x 1/2", reducing),
            ("tee", "1 x 1 x 1", "5.90"),
            ("reducer", "1 x 3/4", "2.90"),
            ("reducer", "1 x 1/2", "3.05"),
            ("reducer", "3/4 x 1/2", "1.30"),
        ])
    };
    let dear = all("20.90");
    assert_eq!(tees(&dear), ["tee PEX 1\" x 1\" x 1\""]);
    assert_eq!([of(&dear, "reducer PEX 1\" x 3/4\""), of(&dear, "reducer PEX 1\" x 1/2\"")], [ONE, ONE]);
    assert_eq!(tees(&all("20.80")), ["tee PEX 1\" x 3/4\" x 1/2\""]);
}

#[test]
fn a_tee_that_nobody_offers_is_made_up_of_what_is() {
    let priced = with_prices(&[("tee", "1 x 1 x 1/2", "6.25"), ("reducer", "3/4 x 1", "2.90")]);
    assert_eq!(tees(&priced), ["tee PEX 1\" x 1\" x 1/2\""]);
    assert_eq!(of(&priced, "reducer PEX 1\" x 3/4\""), ONE);
    // Nothing fits: the tee stands under its own name, without a price.
    let priced = with_prices(&[("tee", "1 x 1 x 1/2", "6.25")]);
    assert_eq!(tees(&priced), ["tee PEX 1\" x 3/4\" x 1/2\""]);
    let unpriced = priced.findings.iter().filter(|f| f.slug == "no-price").flat_map(|f| f.table.clone());
    let reported = unpriced.into_iter().any(|row| row[0].contains("1\" x 3/4\" x 1/2\""));
    assert!(reported, "a tee without a price is told");
}

#[test]
fn a_tee_turned_about_is_the_same_tee() {
    // What is offered as 3/4 x 1 x 1/2 fits as 1 x 3/4 x 1/2.
    let priced = with_prices(&[("tee", "3/4 x 1 x 1/2", "7.32")]);
    assert_eq!(tees(&priced), ["tee PEX 1\" x 3/4\" x 1/2\""]);
    let line = priced.take_off.lines.iter().position(|line| line.item.text() == "tee PEX 1\" x 3/4\" x 1/2\"").unwrap();
    assert_eq!(*priced.bid.lines[line].unit_price.value(), Value::Exact("7.32".parse().unwrap()));
}

#[test]
fn every_combination_of_the_offered_sizes_has_its_row() {
    let made = priced_at(&[("tee", "1 x 1 x 1", "5.90"), ("reducer", "1 x 3/4", "2.90"), ("reducer", "1 x 1/2", "3")]);
    let check = made.price().take_off.parts.choice_check.map(|check| check.value().to_string());
    assert_eq!(check.as_deref(), Some("OK"));
    let mut book: calamine::Xlsx<_> = calamine::Xlsx::new(std::io::Cursor::new(made.bid())).unwrap();
    let tees = book.worksheet_range("Tees").unwrap();
    let starts =
        |row: &&[calamine::Data], words: &str| row.first().is_some_and(|cell| cell.to_string().starts_with(words));
    // Three sizes at three ends, each made up of the one tee there is.
    let rows: Vec<_> = tees.rows().filter(|row| starts(row, "tee PEX")).collect();
    assert_eq!(rows.len(), 27);
    assert!(rows.iter().all(|row| row[5] == *"tee PEX 1\" x 1\" x 1\"" && row[6] == *"OK"));
}
