//! Readings of curves against numpy: the straight line between rows, the row's own value at a row, the next row up.

use crate::support::published::{Largest, published};
use std::sync::Arc;
use tallybore::figure::lookup::Curve;
use tallybore::figure::{Book, Fault, Term, Value};
use tallybore::unit::Unit;

fn value(text: &str) -> Value {
    Value::Exact(text.parse().unwrap())
}

/// One of the tables in the book, high to low as ours stand there.
fn curve(book: &mut Book, name: &str) -> Curve {
    let sheet = book.sheet(name, false);
    let table = book.table(sheet, name);
    let (x, y) = (book.column(table, "x", Unit::None), book.column(table, "y", Unit::None));
    let source: Arc<str> = "a test".into();
    let points: Vec<_> = published("curve_points").into_iter().filter(|point| point.text("table") == name).collect();
    assert!(points.len() >= 7, "{name}");
    for point in points.iter().rev() {
        let row = book.row(table);
        book.rule(row, x, value(point.text("x")), &source);
        book.rule(row, y, value(point.text("y")), &source);
    }
    Curve { x: book.whole(x), y: book.whole(y) }
}

#[test]
fn straight_lines_between_rows_are_read_as_numpy_reads_them() {
    let mut book = Book::new();
    let mut largest = Largest::default();
    let mut above = 0;
    for name in ["concave", "uneven", "falling pump-like"] {
        let curve = curve(&mut book, name);
        let scale = curve.y.values().iter().map(|y| y.as_f64().abs()).fold(1.0, f64::max);
        for reading in published("curve_readings").iter().filter(|reading| reading.text("table") == name) {
            let x = Term::constant(value(reading.text("x")));
            let row = curve.row(&x);
            if reading.text("where") == "above (clamped)" {
                // A load larger than any the table knows is a finding, not a guess.
                assert_eq!(row.value(), &Value::Fault(Fault::NotFound), "{name} at {}", x.value());
                above += 1;
                continue;
            }
            let ours = curve.between(&x, &row, &curve.slope(&row)).value().as_f64();
            let apart = (ours - reading.number("y")).abs() / scale;
            largest.see(apart, || format!("{name} at {}", x.value()));
        }
    }
    assert!(above >= 4, "{above} readings above a table");
    largest.within(1e-11, "straight line, of the table's largest y");
}

#[test]
fn the_next_row_up_is_the_smallest_point_at_or_above() {
    let mut book = Book::new();
    let mut compared = 0;
    for name in ["concave", "uneven", "falling pump-like"] {
        let curve = curve(&mut book, name);
        let points: Vec<_> = published("curve_points").into_iter().filter(|p| p.text("table") == name).collect();
        for reading in published("curve_readings").iter().filter(|reading| reading.text("table") == name) {
            let x = reading.number("x");
            // Six decimals are read; what is less than half of the sixth above a row is that row.
            let next = points.iter().find(|point| point.number("x") >= (x * 1e6).round() / 1e6);
            let Some(next) = next else { continue };
            let row = curve.row(&Term::constant(value(reading.text("x"))));
            assert_eq!(curve.next_row_up(&row).value().as_f64(), next.number("y"), "{name} at {x}");
            compared += 1;
        }
    }
    assert!(compared > 90, "{compared} readings");
}
