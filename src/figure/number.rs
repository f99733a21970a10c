//! What the kernels of the trade are written over: f64 in the size search, [`Term`] in the bid. One line of code, two
//! readings, so the search and the bid cannot disagree.

use super::Term;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::ops::{Add, Div, Mul, Sub};

/// Arithmetic that gives a number, or a number with its formula.
pub trait Number: Clone + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self> {
    /// What a comparison gives.
    type Truth;
    /// A constant: a law of nature or a conversion.
    fn of(constant: Decimal) -> Self;
    /// To a power.
    fn pow(&self, exponent: Decimal) -> Self;
    /// Logarithm to base 10.
    fn log10(&self) -> Self;
    /// The larger of the two.
    fn larger(&self, other: &Self) -> Self;
    /// The smaller of the two.
    fn smaller(&self, other: &Self) -> Self;
    /// Up to whole pieces.
    fn whole_up(&self) -> Self;
    /// Down to whole pieces.
    fn whole_down(&self) -> Self;
    /// Compared to six decimals, as all comparisons are.
    fn at_least(&self, other: &Self) -> Self::Truth;
    /// More than another.
    fn above(&self, other: &Self) -> Self::Truth;
    /// Whether one and the other are so.
    fn both(a: Self::Truth, b: Self::Truth) -> Self::Truth;
    /// `then` where it is so, else `otherwise`.
    fn pick(so: Self::Truth, then: &Self, otherwise: &Self) -> Self;
}

/// A difference to six decimals: nothing that rounding makes decides.
fn millionths(number: f64) -> f64 {
    (number * 1e6).round() / 1e6
}

impl Number for f64 {
    type Truth = bool;

    fn of(constant: Decimal) -> Self {
        constant.to_f64().unwrap_or(f64::NAN)
    }
    fn pow(&self, exponent: Decimal) -> Self {
        self.powf(Self::of(exponent))
    }
    fn log10(&self) -> Self {
        Self::log10(*self)
    }
    fn larger(&self, other: &Self) -> Self {
        self.max(*other)
    }
    fn smaller(&self, other: &Self) -> Self {
        self.min(*other)
    }
    fn whole_up(&self) -> Self {
        let number = millionths(*self);
        if number < 0.0 { number.floor() } else { number.ceil() }
    }
    fn whole_down(&self) -> Self {
        millionths(*self).trunc()
    }
    fn at_least(&self, other: &Self) -> bool {
        millionths(self - other) >= 0.0
    }
    fn above(&self, other: &Self) -> bool {
        millionths(self - other) > 0.0
    }
    fn both(a: bool, b: bool) -> bool {
        a && b
    }
    fn pick(so: bool, then: &Self, otherwise: &Self) -> Self {
        if so { *then } else { *otherwise }
    }
}

impl Number for Term {
    type Truth = Self;

    fn of(constant: Decimal) -> Self {
        Self::number(constant)
    }
    fn pow(&self, exponent: Decimal) -> Self {
        Self::pow(self, &Self::number(exponent))
    }
    fn log10(&self) -> Self {
        Self::log10(self)
    }
    fn larger(&self, other: &Self) -> Self {
        self.max(other)
    }
    fn smaller(&self, other: &Self) -> Self {
        self.min(other)
    }
    fn whole_up(&self) -> Self {
        Self::whole_up(self)
    }
    fn whole_down(&self) -> Self {
        Self::whole_down(self)
    }
    fn at_least(&self, other: &Self) -> Self {
        Self::at_least(self, other)
    }
    fn above(&self, other: &Self) -> Self {
        Self::above(self, other)
    }
    fn both(a: Self, b: Self) -> Self {
        a.and(&b)
    }
    fn pick(so: Self, then: &Self, otherwise: &Self) -> Self {
        Self::pick(&so, then, otherwise)
    }
}
