//! Purchase-order numbers: one for each supplier and span of phases, the same in every revision; and which order a later
//! revision's takes the place of.

use super::OrderLine;
use super::words::{plain, supplier_key};
use crate::model::{Job, Phase, Setting, same_revision};
use rust_decimal::Decimal;

/// `H-14-P-2`: the job's number, and the supplier's place among those that the job names, Prices first. With phases a
/// letter for each after that: `H-14-P-2A` is its underground. Empty where the job gives no number.
pub(super) fn of(job: &Job, supplier: Option<&str>, phases: &[Phase]) -> String {
    let number = plain(&job.text(Setting::OrderNumber));
    if number.is_empty() {
        return number;
    }
    let mut keys: Vec<String> = Vec::new();
    let named = job.prices.iter().filter_map(|row| row.supplier.get());
    for key in named.map(|name| supplier_key(&name)).chain([supplier_key(&job.text(Setting::QuotesFrom))]) {
        if !key.is_empty() && !keys.contains(&key) {
            keys.push(key);
        }
    }
    let at = supplier.and_then(|name| keys.iter().position(|key| *key == supplier_key(name)));
    let letters: String = phases.iter().map(|phase| char::from(b'A' + *phase as u8)).collect();
    format!("{number}-{}{letters}", at.map_or(0, |at| at + 1))
}

/// Whether a number is [`of`] a job whose Order number is `ours`.
pub(crate) fn is_of(number: &str, ours: &str) -> bool {
    let (number, ours) = (plain(number).to_lowercase(), plain(ours).to_lowercase());
    let rest = number.strip_prefix(&ours).and_then(|rest| rest.strip_prefix('-')).unwrap_or_default();
    let letters = rest.trim_start_matches(|c: char| c.is_ascii_digit());
    letters.len() < rest.len() && letters.chars().all(|c| matches!(c, 'a'..='d'))
}

/// What a supplier must know of an order of a later revision: it takes the place of the one before, unless that has been
/// bought from, when it adds to it.
pub(super) fn revises(job: &Job, supplier: Option<&str>, number: &str, lines: &[OrderLine]) -> String {
    let own = plain(&job.text(Setting::Revision));
    if same_revision(&own, "0") || lines.iter().all(|line| line.quote) {
        return String::new();
    }
    let before = job.history.iter().rev().find(|revision| !same_revision(&revision.number, &own));
    let before = before.map_or("an earlier revision".to_owned(), |of| format!("revision {}", plain(&of.number)));
    let key = supplier.map(supplier_key).unwrap_or_default();
    let bought = job.prices.iter().any(|row| {
        let of = supplier_key(&row.supplier.get().unwrap_or_default());
        of == key && row.bought.value.is_some_and(|bought| bought > Decimal::ZERO)
    });
    let order = format!("order {number}").trim_end().to_owned();
    match bought {
        true => format!("adds to what was bought on {order} of {before}: cancel its open lines"),
        false => format!("replaces {order} of {before}: cancel that one, do not ship both"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_known_by_the_jobs() {
        for (number, is) in
            [("H-14-P-2", true), ("h-14-p-1AB", true), ("H-14-P", false), ("H-14-P-x", false), ("H-14-P-1-2", false)]
        {
            assert_eq!(is_of(number, "H-14-P"), is, "{number}");
        }
        assert!(!is_of("H-14-P-1", "H-14"));
    }
}
