//! What the kernels of the trade are written over: f64 in the size search, [`Term`] in the bid. One line of code, two
//! readings, so the search and the bid cannot disagree.

use super::Term;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::ops::{Add, Div, Mul, Sub};

/// Arithmetic that gives a number, or a number with its formula.
pub trait Number: Clone + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self> {
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
    /// `then` where `a >= b`, else `otherwise`.
    fn where_at_least(a: &Self, b: &Self, then: &Self, otherwise: &Self) -> Self;
}

impl Number for f64 {
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
    fn where_at_least(a: &Self, b: &Self, then: &Self, otherwise: &Self) -> Self {
        if ((a - b) * 1e6).round() >= 0.0 { *then } else { *otherwise }
    }
}

impl Number for Term {
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
    fn where_at_least(a: &Self, b: &Self, then: &Self, otherwise: &Self) -> Self {
        a.at_least(b).pick(then, otherwise)
    }
}
