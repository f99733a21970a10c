//! The words of live checks: each says `OK`, or in a few words what is wrong.

use super::{Column, Term, Value};

/// What a check says where nothing is wrong.
pub(crate) const OK: &str = "OK";
/// What it says where only a new pricing can tell, or put right what is wrong.
pub(crate) const PRICE_AGAIN: &str = "price again";

impl Term {
    /// `OK` where this holds, else these words.
    pub fn ok_or(&self, words: &str) -> Self {
        self.pick(&Self::text(OK), &Self::text(words))
    }

    /// These words where this holds, else `OK`.
    pub fn flag(&self, words: &str) -> Self {
        self.pick(&Self::text(words), &Self::text(OK))
    }

    /// These words where a count is not zero, else `OK`.
    pub fn flag_any(&self, words: &str) -> Self {
        self.above(&Self::number(0)).flag(words)
    }

    /// Whether a check says `OK`.
    pub fn is_ok(&self) -> Self {
        self.same(&Self::text(OK))
    }

    /// `price again` where the check is an error.
    pub fn or_price_again(&self) -> Self {
        self.or_if_fault(&Self::text(PRICE_AGAIN))
    }

    /// How many checks of a column do not say `OK`; an error does not either.
    pub fn not_ok(checks: &Column) -> Self {
        let all = checks.values().iter().filter(|verdict| **verdict != Value::Blank).count();
        Self::number(all as u64) - Self::count_where(&[(checks, &Self::text(OK))])
    }

    /// How many checks of a column say `price again`.
    pub fn price_again_in(checks: &Column) -> Self {
        Self::count_where(&[(checks, &Self::text(PRICE_AGAIN))])
    }
}
