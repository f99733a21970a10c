//! What a cell can hold, and how a spreadsheet reads it as a number or a text.

use rust_decimal::prelude::{FromPrimitive, ToPrimitive};
use rust_decimal::{Decimal, RoundingStrategy};
use std::fmt;
use std::ops::{Add, Mul, Sub};
use std::sync::Arc;

/// An error value, as every supported spreadsheet program knows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// `#DIV/0!`
    DivideByZero,
    /// `#N/A`: a look-up found nothing.
    NotFound,
    /// `#VALUE!`: words where a number belongs.
    Value,
    /// `#NUM!`: a number that is none, or too large.
    Number,
}

impl Fault {
    /// As spreadsheet programs show it.
    pub fn text(self) -> &'static str {
        match self {
            Self::DivideByZero => "#DIV/0!",
            Self::NotFound => "#N/A",
            Self::Value => "#VALUE!",
            Self::Number => "#NUM!",
        }
    }
}

/// A value. `Exact` is for money, quantities and hours; `Physical` for what a power or a logarithm has touched.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Nothing in the cell.
    Blank,
    /// Decimal arithmetic: money, quantities, hours.
    Exact(Decimal),
    /// Floating point: physics.
    Physical(f64),
    /// Words.
    Text(Arc<str>),
    /// True or false.
    Flag(bool),
    /// An error value.
    Fault(Fault),
}

impl Value {
    /// Words.
    pub fn text(text: impl Into<Arc<str>>) -> Self {
        Self::Text(text.into())
    }

    /// The number a formula sees: blank is 0, a flag 1 or 0, the text of a plain number that number. Other text is a
    /// `#VALUE!`.
    ///
    /// # Errors
    /// The fault that a formula would show.
    pub fn number(&self) -> Result<Numeric, Fault> {
        match self {
            Self::Blank => Ok(Numeric::Exact(Decimal::ZERO)),
            Self::Exact(d) => Ok(Numeric::Exact(*d)),
            Self::Physical(x) => Ok(Numeric::Physical(*x)),
            Self::Flag(flag) => Ok(Numeric::Exact(Decimal::from(u8::from(*flag)))),
            Self::Text(text) => plain_number(text).map(Numeric::Exact).ok_or(Fault::Value),
            Self::Fault(fault) => Err(*fault),
        }
    }

    /// As f64; faults and texts are NaN. For sizing and tests; formulas go through [`Value::number`].
    pub fn as_f64(&self) -> f64 {
        self.number().map_or(f64::NAN, Numeric::to_f64)
    }

    /// Whether it is the number nothing, or counts as it: a blank, a flag that is off.
    pub fn is_zero(&self) -> bool {
        match self {
            Self::Exact(number) => number.is_zero(),
            Self::Physical(number) => *number == 0.0,
            Self::Blank => true,
            Self::Flag(flag) => !flag,
            Self::Text(_) | Self::Fault(_) => self.as_f64() == 0.0,
        }
    }

    /// As Decimal, when it is a number that a Decimal can hold.
    pub fn as_decimal(&self) -> Option<Decimal> {
        match self.number().ok()? {
            Numeric::Exact(d) => Some(d),
            Numeric::Physical(x) => Decimal::from_f64(x),
        }
    }

    /// True where a formula's condition holds: a true flag or a number other than 0.
    ///
    /// # Errors
    /// The fault that a formula would show: words are no condition.
    pub fn truth(&self) -> Result<bool, Fault> {
        match self {
            Self::Flag(flag) => Ok(*flag),
            Self::Text(_) => Err(Fault::Value),
            other => Ok(other.number()?.to_f64() != 0.0),
        }
    }

    /// Whether it is a number of either kind.
    pub fn is_number(&self) -> bool {
        matches!(self, Self::Exact(_) | Self::Physical(_))
    }

    /// Whether it is nothing, or a text without words.
    pub fn is_blank(&self) -> bool {
        match self {
            Self::Blank => true,
            Self::Text(text) => text.is_empty(),
            Self::Exact(_) | Self::Physical(_) | Self::Flag(_) | Self::Fault(_) => false,
        }
    }

    /// The value, unless it is a fault.
    ///
    /// # Errors
    /// The fault that it is.
    pub fn sound(&self) -> Result<&Self, Fault> {
        self.fault().map_or(Ok(self), Err)
    }

    /// Which fault it is, if it is one.
    pub fn fault(&self) -> Option<Fault> {
        if let Self::Fault(fault) = self { Some(*fault) } else { None }
    }
}

/// Digits with a point and a sign at most: the texts that every program takes for the same number.
fn plain_number(text: &str) -> Option<Decimal> {
    let text = text.trim_matches(' ');
    let digits = text.strip_prefix('-').unwrap_or(text);
    let plain = digits.starts_with(|c: char| c.is_ascii_digit())
        && digits.ends_with(|c: char| c.is_ascii_digit())
        && digits.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    if plain { text.parse().ok() } else { None }
}

impl From<Numeric> for Value {
    fn from(number: Numeric) -> Self {
        match number {
            Numeric::Exact(d) => Self::Exact(d),
            Numeric::Physical(x) if x.is_finite() => Self::Physical(x),
            Numeric::Physical(_) => Self::Fault(Fault::Number),
        }
    }
}

impl From<Result<Numeric, Fault>> for Value {
    fn from(result: Result<Numeric, Fault>) -> Self {
        result.map_or_else(Self::Fault, Self::from)
    }
}

/// As a reader sees it in a list or a text: numbers without trailing zeros, faults by their spreadsheet names.
impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Blank => Ok(()),
            Self::Exact(d) => write!(f, "{}", d.normalize()),
            Self::Physical(x) => write!(f, "{x}"),
            Self::Text(text) => f.write_str(text),
            Self::Flag(flag) => f.write_str(if *flag { "TRUE" } else { "FALSE" }),
            Self::Fault(fault) => f.write_str(fault.text()),
        }
    }
}

/// A number of either kind. Mixing the two gives `Physical`; so does what a Decimal cannot hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Numeric {
    /// Decimal arithmetic.
    Exact(Decimal),
    /// Floating point.
    Physical(f64),
}

/// Digits behind those that are kept by which a number is made whole before it is rounded.
const GUARD_DIGITS: u32 = 8;

impl Numeric {
    /// Nothing.
    pub const ZERO: Self = Self::Exact(Decimal::ZERO);

    /// As f64; NaN for what an f64 cannot hold.
    pub fn to_f64(self) -> f64 {
        match self {
            Self::Exact(d) => d.to_f64().unwrap_or(f64::NAN),
            Self::Physical(x) => x,
        }
    }

    /// Both numbers through `exact` where both are Decimals and it has a result, else through `physical`.
    fn combine(
        self,
        other: Self,
        exact: impl Fn(Decimal, Decimal) -> Option<Decimal>,
        physical: impl Fn(f64, f64) -> f64,
    ) -> Self {
        if let (Self::Exact(a), Self::Exact(b)) = (self, other)
            && let Some(result) = exact(a, b)
        {
            return Self::Exact(result);
        }
        Self::Physical(physical(self.to_f64(), other.to_f64()))
    }

    /// # Errors
    /// By zero.
    pub fn over(self, below: Self) -> Result<Self, Fault> {
        if below.to_f64() == 0.0 {
            return Err(Fault::DivideByZero);
        }
        Ok(self.combine(below, Decimal::checked_div, |a, b| a / b))
    }

    /// In f64.
    pub fn pow(self, exponent: Self) -> Self {
        Self::Physical(self.to_f64().powf(exponent.to_f64()))
    }

    /// In f64.
    ///
    /// # Errors
    /// Of what is not above 0.
    pub fn log10(self) -> Result<Self, Fault> {
        let number = self.to_f64();
        if number > 0.0 { Ok(Self::Physical(number.log10())) } else { Err(Fault::Number) }
    }

    /// Half away from zero at `digits` decimals: what ROUND does in every supported program.
    pub fn round(self, digits: u32) -> Self {
        match self {
            // A third that was cut off after 28 digits must not turn half a cent downward: a spreadsheet sees the half cent.
            Self::Exact(d) => {
                let whole = d.round_dp_with_strategy(
                    digits.saturating_add(GUARD_DIGITS),
                    RoundingStrategy::MidpointAwayFromZero,
                );
                Self::Exact(whole.round_dp_with_strategy(digits, RoundingStrategy::MidpointAwayFromZero))
            }
            // Decimal::from_f64 reads the 15 or so digits that a spreadsheet shows, so 0.285 stays 0.285.
            Self::Physical(x) => match Decimal::from_f64(x) {
                Some(d) => Self::Exact(d.round_dp_with_strategy(digits, RoundingStrategy::MidpointAwayFromZero)),
                None => Self::Physical(x),
            },
        }
    }

    /// Away from zero to a whole number, after a rounding to six decimals that keeps 3.0000000001 at 3.
    pub fn whole_up(self) -> Self {
        match self.round(6) {
            Self::Exact(d) => Self::Exact(d.round_dp_with_strategy(0, RoundingStrategy::AwayFromZero)),
            Self::Physical(x) => Self::Physical(if x < 0.0 { x.floor() } else { x.ceil() }),
        }
    }

    /// Toward zero to a whole number, after the same rounding, which keeps 2.9999999999 at 3.
    pub fn whole_down(self) -> Self {
        match self.round(6) {
            Self::Exact(d) => Self::Exact(d.trunc()),
            Self::Physical(x) => Self::Physical(x.trunc()),
        }
    }

    /// Compares after rounding the difference to six decimals, as the formulas do.
    pub fn compare(self, other: Self) -> std::cmp::Ordering {
        let difference = (self - other).round(6).to_f64();
        difference.partial_cmp(&0.0).unwrap_or(std::cmp::Ordering::Less)
    }
}

impl Add for Numeric {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        self.combine(other, Decimal::checked_add, |a, b| a + b)
    }
}

impl Sub for Numeric {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        self.combine(other, Decimal::checked_sub, |a, b| a - b)
    }
}

impl Mul for Numeric {
    type Output = Self;

    fn mul(self, other: Self) -> Self {
        self.combine(other, Decimal::checked_mul, |a, b| a * b)
    }
}
