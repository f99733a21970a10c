//! Within what a number of a job can be meant: declared beside each column and setting, read by the checks, the notes on
//! headings and the guide.

use super::date_text;
use rust_decimal::Decimal;

/// The bounds of a number, each of them included. A share is a share here: 0.07 is 7 %.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Range {
    /// What lies below `least` or above `most` cannot be meant: no bid is made of it.
    pub least: Decimal,
    /// See [`Range::least`].
    pub most: Decimal,
    /// What lies below `low` or above `high` is unusual enough to be a slip: a finding asks.
    pub low: Decimal,
    /// See [`Range::low`].
    pub high: Decimal,
}

/// How a number stands to its range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// Within the low and the high.
    Usual,
    /// Unusual enough to ask about.
    Unlikely,
    /// Cannot be meant.
    Impossible,
}

impl Range {
    /// In ascending order.
    pub const fn new(least: Decimal, low: Decimal, high: Decimal, most: Decimal) -> Self {
        Self { least, most, low, high }
    }

    /// How this number stands to the range.
    pub fn fit(&self, number: Decimal) -> Fit {
        if number < self.least || number > self.most {
            Fit::Impossible
        } else if number < self.low || number > self.high {
            Fit::Unlikely
        } else {
            Fit::Usual
        }
    }

    /// `33 to 180 F`: what can be meant at all.
    pub fn possible(&self, scale: Scale) -> String {
        format!("{} to {}", scale.bare(self.least), scale.shown(self.most))
    }

    /// `33 to 90 F`: what is usual.
    pub fn usual(&self, scale: Scale) -> String {
        format!("{} to {}", scale.bare(self.low), scale.shown(self.high))
    }
}

/// How a number is written for people.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale<'a> {
    /// With this unit behind it, if any.
    In(&'a str),
    /// 0.07 as 7%.
    Share,
    /// A serial number as a date.
    Date,
}

impl Scale<'_> {
    /// `12,345.6 psi`, `65%`, `2026-05-30`.
    pub fn shown(self, number: Decimal) -> String {
        match self {
            Self::In("") => grouped(number),
            Self::In(unit) => format!("{} {unit}", grouped(number)),
            Self::Share => format!("{}%", grouped(number.checked_mul(Decimal::ONE_HUNDRED).unwrap_or(number))),
            Self::Date => date_text(number),
        }
    }

    /// The same without the unit, where another number with its unit follows.
    fn bare(self, number: Decimal) -> String {
        match self {
            Self::In(_) => grouped(number),
            other => other.shown(number),
        }
    }
}

/// The digits before the point in groups of three.
fn grouped(number: Decimal) -> String {
    let plain = number.normalize().to_string();
    let (sign, digits) = plain.strip_prefix('-').map_or(("", &*plain), |digits| ("-", digits));
    let (whole, rest) = digits.find('.').map_or((digits, ""), |point| digits.split_at(point));
    let mut grouped = String::new();
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    format!("{sign}{grouped}{rest}")
}

/// `range!(1, 20, 150, 300)`: from 1 to 300 at all, from 20 to 150 as a rule.
macro_rules! range {
    ($least:literal, $low:literal, $high:literal, $most:literal) => {
        crate::model::Range::new(
            rust_decimal::dec!($least),
            rust_decimal::dec!($low),
            rust_decimal::dec!($high),
            rust_decimal::dec!($most),
        )
    };
}
pub(crate) use range;

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::dec;

    #[test]
    fn bounds_are_within() {
        const PSI: Range = range!(1, 20, 150, 300);
        for (number, fit) in [
            (dec!(0.99), Fit::Impossible),
            (dec!(1), Fit::Unlikely),
            (dec!(20), Fit::Usual),
            (dec!(150), Fit::Usual),
            (dec!(150.1), Fit::Unlikely),
            (dec!(301), Fit::Impossible),
        ] {
            assert_eq!(PSI.fit(number), fit, "{number}");
        }
    }

    #[test]
    fn ranges_are_shown_as_people_write_them() {
        assert_eq!(range!(-200, -50, 1.5, 100000).possible(Scale::In("ft")), "-200 to 100,000 ft");
        assert_eq!(range!(0, 0, 0.15, 0.5).usual(Scale::Share), "0% to 15%");
        assert_eq!(Scale::In("").shown(dec!(-1234567.50)), "-1,234,567.5");
        assert_eq!(crate::model::DATES.possible(Scale::Date), "1990-01-01 to 2099-12-31");
    }
}
