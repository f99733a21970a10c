//! Lines of a take-off by their names, for comparing with what was counted by hand.

use crate::support::job::Made;
use calamine::Reader;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use tallybore::pipeline::Priced;

/// What is needed of everything that is needed at all.
pub fn needed(priced: &Priced) -> BTreeMap<String, Decimal> {
    let lines = priced.take_off.lines.iter();
    let all = lines.map(|line| (line.item.text(), line.needed.value().as_decimal().unwrap().normalize()));
    all.filter(|(_, quantity)| !quantity.is_zero()).collect()
}

/// What is needed of one thing; 0 where there is no line for it.
pub fn of(priced: &Priced, item: &str) -> Decimal {
    needed(priced).get(item).copied().unwrap_or_default()
}

/// The needed things of a job, held line by line against a list counted by hand: `1 tee PEX 3/4" x 1/2" x 1/2"`.
pub fn hold(priced: &Priced, by_hand: &str) {
    let expected: BTreeMap<String, Decimal> = by_hand
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .map(|line| {
            let (quantity, item) = line.split_once(' ').unwrap();
            (item.to_owned(), quantity.parse::<Decimal>().unwrap())
        })
        .collect();
    let found = needed(priced);
    let mut wrong = Vec::new();
    for (item, quantity) in &expected {
        if found.get(item) != Some(quantity) {
            wrong.push(format!("{item}: counted {quantity}, found {:?}", found.get(item)));
        }
    }
    let more = found.iter().filter(|(item, _)| !expected.contains_key(*item));
    wrong.extend(more.map(|(item, quantity)| format!("{item}: {quantity} that nobody counted")));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The rows of a sheet of the written bid, as text.
pub fn rows(bid: &[u8], sheet: &str) -> Vec<Vec<String>> {
    let mut book: calamine::Xlsx<_> = calamine::Xlsx::new(std::io::Cursor::new(bid.to_vec())).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    range.rows().map(|row| row.iter().map(ToString::to_string).collect()).collect()
}

/// The job with not one ring beyond those counted.
pub fn without_spares(made: Made) -> Made {
    made.with_rules("spares.csv", "kind,share,note,source,basis\nring,0,,for counting,common practice\n")
}
