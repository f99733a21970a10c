//! The revisions of a bid: what the Revisions sheet of a bid carries from one to the next.

use rust_decimal::Decimal;
use std::sync::Arc;

/// One revision as its bid told it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Revision {
    /// As the Job sheet writes it: `0`, `2`, `B`.
    pub number: Arc<str>,
    /// Days since 1899-12-30; `None` where the bid bore no date.
    pub date: Option<Decimal>,
    /// The bid's total.
    pub total: Option<Decimal>,
    /// What it changed, in a few words.
    pub changes: Arc<str>,
    /// Why, as the user put it; may be empty.
    pub reason: Arc<str>,
}

impl Revision {
    /// The headings over the fields on the Revisions sheet, in their order.
    pub const HEADINGS: [&str; 5] = ["Revision", "Date", "Total", "What changed", "Reason"];
}

/// The number after this one: 0 -> 1, `rev 9` -> `rev 10`, B -> C. What cannot be counted on gets `-1`.
///
/// ```
/// use tallybore::model::next_revision;
/// assert_eq!(["", "0", "B9", "C", "Z", "final"].map(next_revision), ["1", "1", "B10", "D", "Z-1", "final-1"]);
/// ```
pub fn next_revision(number: &str) -> String {
    let number = number.trim();
    let digits = number.len() - number.bytes().rev().take_while(u8::is_ascii_digit).count();
    // Digits are one byte each, so the cut stands between characters.
    let (head, tail) = number.split_at(digits);
    if let Ok(count) = tail.parse::<u64>()
        && count < u64::MAX
    {
        return format!("{head}{}", count + 1);
    }
    match number.as_bytes() {
        [] => "1".to_owned(),
        [letter @ (b'A'..=b'Y' | b'a'..=b'y')] => char::from(letter + 1).to_string(),
        _ => format!("{number}-1"),
    }
}

/// True when two numbers name one revision: 1 and 01 and `1 ` do. A blank one is revision 0.
pub fn same_revision(a: &str, b: &str) -> bool {
    let plain = |number: &str| {
        let number = number.trim().to_lowercase();
        match number.trim_start_matches('0') {
            "" => "0".to_owned(),
            rest if rest.bytes().all(|b| b.is_ascii_digit()) => rest.to_owned(),
            _ => number,
        }
    };
    plain(a) == plain(b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_revision_is_known_however_it_is_written() {
        assert!(same_revision("", "0") && same_revision("01", "1 ") && same_revision("b", "B"));
        assert!(!same_revision("1", "10") && !same_revision("0a", "a"));
    }
}
