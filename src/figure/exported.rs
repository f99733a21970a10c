//! Figures as programs read them: money as text with its cents, so that nobody's floating point touches it, and other numbers
//! to four decimals.

use super::Term;
use rust_decimal::{Decimal, RoundingStrategy};

/// `12345.67`; `None` for what is no number.
pub(crate) fn money(term: &Term) -> Option<String> {
    term.value().as_decimal().map(|amount| format!("{:.2}", rounded(amount, 2)))
}

/// A number to four decimals; `None` for what is no number.
pub(crate) fn number(term: &Term) -> Option<f64> {
    let number = rounded(term.value().as_decimal()?, 4).normalize();
    number.to_string().parse().ok()
}

/// Halves away from zero.
pub(crate) fn rounded(number: Decimal, digits: u32) -> Decimal {
    number.round_dp_with_strategy(digits, RoundingStrategy::MidpointAwayFromZero)
}

#[cfg(test)]
mod tests {
    use super::{money, number};
    use crate::figure::{Term, Value};
    use rust_decimal::dec;

    #[test]
    fn money_has_its_cents_and_numbers_four_decimals() {
        assert_eq!(money(&Term::number(dec!(1234.5))).as_deref(), Some("1234.50"));
        assert_eq!(money(&Term::number(dec!(-0.005))).as_deref(), Some("-0.01"));
        assert_eq!(number(&Term::number(dec!(2.00005))), Some(2.0001));
        assert_eq!(number(&Term::constant(Value::Physical(3.719_999_9))), Some(3.72));
        assert_eq!(money(&Term::text("no price")), None);
    }
}
