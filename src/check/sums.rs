//! Rows that sum up the others: in a list they would be counted with what they sum up.

use super::Facts;
use crate::check::findings::values::TotalRow;
use crate::finding::{Sink, excerpt};
use crate::model::{At, fold};
use std::sync::Arc;

/// How such a row begins, and what may follow in it. Any other word makes it a thing: a total station is rented.
const SUMS: &[&str] = &["total", "totals", "subtotal", "subtotals", "sum", "sums", "grandtotal", "sumtotal"];
const OF: &[&str] = &[
    "of",
    "the",
    "all",
    "above",
    "cost",
    "costs",
    "price",
    "prices",
    "amount",
    "material",
    "materials",
    "labor",
    "hours",
    "feet",
    "ft",
    "length",
    "pieces",
    "each",
    "total",
    "totals",
    "job",
    "other",
    "extras",
    "here",
    "page",
    "sheet",
];

pub(super) fn rows(facts: &Facts, sink: &mut Sink) {
    let job = facts.job;
    each("Fixtures", job.fixtures.iter().map(|row| &row.tag), sink);
    each("Runs", job.runs.iter().map(|row| &row.name), sink);
    each("Prices", job.prices.iter().map(|row| &row.kind), sink);
    each("Labor", job.labor.iter().map(|row| &row.task), sink);
    each("Other costs", job.other_costs.iter().map(|row| &row.item), sink);
    each("On hand", job.on_hand.iter().map(|row| &row.kind), sink);
    each("Received", job.received.iter().map(|row| &row.kind), sink);
}

fn each<'a>(sheet: &'static str, names: impl Iterator<Item = &'a At<Arc<str>>>, sink: &mut Sink) {
    for name in names.filter(|name| sums_up(&name.value)) {
        sink.at(&name.place, TotalRow { sheet, found: excerpt(&name.value) });
    }
}

fn sums_up(name: &str) -> bool {
    // "Sub-total", "Sub total" and "Subtotal" are one word.
    let plain = name.to_lowercase().replace("sub total", "subtotal").replace("grand total", "grandtotal");
    let mut words = plain.split_whitespace().map(fold).filter(|word| !word.is_empty());
    words.next().is_some_and(|first| SUMS.contains(&&*first)) && words.all(|word| OF.contains(&&*word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_told_from_things() {
        for name in
            ["Total", "TOTAL:", "Sub-total", "Sub total", "Grand Total", "Sum", "Sum of the above", "Total cost"]
        {
            assert!(sums_up(name), "{name}");
        }
        for name in ["Total station rental", "Summer kitchen", "Totally", "T1", "", "Sump pump"] {
            assert!(!sums_up(name), "{name}");
        }
    }
}
