//! Rows of Sundries that go by something nobody counts.

use crate::finding::{Finding, Sink, nearest};
use crate::subjects::water::findings::counted::SundryForNothing;
use crate::view::Facts;

pub(super) fn known(facts: &Facts, sink: &mut Sink) {
    let rules = facts.rules;
    for row in rules.sundries().iter().filter(|row| rules.sundry_goes_by(&row.per).is_none()) {
        let nearest = nearest(&row.per, rules.all_sundries_go_by()).map(str::to_owned);
        let facts = SundryForNothing { part: row.part.to_string(), found: row.per.to_string(), nearest };
        sink.push(Finding::near(row.origin.read_from.place(), facts));
    }
}
