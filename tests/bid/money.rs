//! Money to the cent: amounts and bills worked out by another library's decimals, row by row, against what we make of them.

use crate::support::recalc::recalculate_in_process;
use crate::support::sample;
use rust_decimal::Decimal;
use tallybore::figure::{Book, Term, Value};
use tallybore::model::KeptBook;
use tallybore::unit::Unit;
use tallybore::write::bid_bytes;

/// The rows of a published table; every row must name its source.
fn rows(file: &str) -> Vec<csv::StringRecord> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published").join(file);
    let mut reader = csv::Reader::from_path(path).unwrap();
    assert_eq!(reader.headers().unwrap().iter().next_back(), Some("source"));
    let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
    assert!(rows.iter().all(|row| row.iter().next_back().is_some_and(|source| !source.is_empty())));
    rows
}

fn exact(text: &str) -> Value {
    Value::Exact(text.parse::<Decimal>().unwrap())
}

fn recalculates(book: &Book) {
    let bytes = bid_bytes(book, &KeptBook::default(), &sample::about()).unwrap();
    assert_eq!(recalculate_in_process(&bytes), Vec::new());
}

#[test]
fn quantity_times_price_is_rounded_half_away_from_zero() {
    let rows = rows("decimal_rounding.csv");
    assert_eq!(rows.len(), 300);
    let mut book = Book::new();
    let sheet = book.sheet("Rounding", false);
    let table = book.table(sheet, "Amounts");
    let quantity = book.column(table, "Quantity", Unit::None);
    let price = book.column(table, "Price", Unit::UnitPrice);
    let amount = book.column(table, "Amount", Unit::Money);
    for row in &rows {
        let at = book.row(table);
        let source = row[6].into();
        let q = book.rule(at, quantity, exact(&row[2]), &source);
        let p = book.rule(at, price, exact(&row[3]), &source);
        let cents = book.put(at, amount, (&q * &p).cents());
        assert_eq!((&q * &p).value().as_decimal(), exact(&row[4]).as_decimal(), "case {}", &row[0]);
        assert_eq!(*cents.value(), exact(&row[5]), "case {}: {} x {}", &row[0], &row[2], &row[3]);
    }
    recalculates(&book);
}

#[test]
fn bills_add_up_to_the_cent() {
    let rows = rows("decimal_bills.csv");
    assert_eq!(rows.len(), 40);
    let mut book = Book::new();
    let sheet = book.sheet("Bills", false);
    for row in &rows {
        let list = |index: usize| row[index].split(' ').map(exact).collect::<Vec<_>>();
        let (quantities, prices, lines) = (list(1), list(2), list(3));
        let table = book.table(sheet, &format!("Bill {}", &row[0]));
        let quantity = book.column(table, "Quantity", Unit::None);
        let price = book.column(table, "Price", Unit::UnitPrice);
        let amount = book.column(table, "Amount", Unit::Money);
        let source = row[8].into();
        for ((q, p), line) in quantities.into_iter().zip(prices).zip(lines) {
            let at = book.row(table);
            let q = book.rule(at, quantity, q, &source);
            let p = book.rule(at, price, p, &source);
            assert_eq!(*book.put(at, amount, (q * p).cents()).value(), line, "bill {}", &row[0]);
        }
        let amounts = book.whole(amount);
        let totals = book.list(sheet, "");
        let label = book.column(totals, "", Unit::None);
        let value = book.column(totals, "", Unit::Money);
        let mut put = |name: &str, term: Term, expected: &str| {
            let at = book.row(totals);
            book.label(at, label, name);
            let put = book.put(at, value, term);
            assert_eq!(*put.value(), exact(expected), "bill {}: {name}", &row[0]);
            put
        };
        let sum = put("Lines", Term::sum(&amounts).cents(), &row[4]);
        let tax = put("Tax", (&sum * &Term::constant(exact(&row[5]))).cents(), &row[6]);
        put("Total", (&sum + &tax).cents(), &row[7]);
    }
    recalculates(&book);
}
