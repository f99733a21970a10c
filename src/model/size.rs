//! Nominal pipe sizes, as the trade writes them: 1/2, 3/4, 1-1/4.

use std::fmt;

/// A nominal size in sixteenths of an inch: 1/2 is 8, 1-1/4 is 20. Between 1/8 and 12 in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Size(u16);

impl Size {
    /// 1/8 in.
    pub const MIN: Self = Self(2);

    /// The sizes that pipe is sold in, 1/4 to 4 in.
    pub const NOMINAL: [Self; 13] = [
        Self(4),
        Self(6),
        Self(8),
        Self(10),
        Self(12),
        Self(16),
        Self(20),
        Self(24),
        Self(32),
        Self(40),
        Self(48),
        Self(56),
        Self(64),
    ];

    /// From sixteenths of an inch; `None` outside 1/8 to 12 in.
    pub const fn from_sixteenths(sixteenths: u16) -> Option<Self> {
        if sixteenths >= 2 && sixteenths <= 192 { Some(Self(sixteenths)) } else { None }
    }

    /// Sixteenths of an inch, 2 to 192.
    pub const fn sixteenths(self) -> u16 {
        self.0
    }

    /// Nominal inches, for sorting and for rules of thumb; never a bore.
    pub fn inches(self) -> f64 {
        f64::from(self.0) / 16.0
    }

    /// Reads `3/4`, `3/4"`, `3/4 in`, `¾`, `1-1/4`, `1 1/4`, `1¼`, `0.75`, `1.25"`.
    /// `None` for anything that is not a whole number of sixteenths between 1/8 and 12 in.
    ///
    /// ```
    /// use tallybore::model::Size;
    /// assert_eq!(Size::parse("1-1/4\"").unwrap().to_string(), "1-1/4");
    /// assert_eq!(Size::parse("¾"), Size::parse("0.75"));
    /// assert_eq!(Size::parse("blue"), None);
    /// ```
    pub fn parse(text: &str) -> Option<Self> {
        Self::from_inches(parse_inches(text)?)
    }

    /// From inches, when they are a whole number of sixteenths.
    pub fn from_inches(inches: f64) -> Option<Self> {
        let sixteenths = inches * 16.0;
        if !(2.0..=192.0).contains(&sixteenths) || (sixteenths - sixteenths.round()).abs() > 1e-6 {
            return None;
        }
        Self::from_sixteenths(sixteenths.round() as u16)
    }

    /// The key that formulas look up: the size with its inch mark, `3/4"`. The mark keeps it text in every program.
    pub fn key(self) -> String {
        format!("{self}\"")
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, rest) = (self.0 / 16, self.0 % 16);
        let divisor = if rest == 0 { 16 } else { 1 << rest.trailing_zeros() };
        match (whole, rest) {
            (_, 0) => write!(f, "{whole}"),
            (0, _) => write!(f, "{}/{}", rest / divisor, 16 / divisor),
            _ => write!(f, "{whole}-{}/{}", rest / divisor, 16 / divisor),
        }
    }
}

/// Inches from the ways people write them: a whole number, a decimal, a fraction (ASCII or unicode), or whole and
/// fraction joined by a hyphen or a space; an inch mark or `in` may follow.
pub(crate) fn parse_inches(text: &str) -> Option<f64> {
    let mut plain = String::new();
    for c in text.trim().trim_start_matches('\'').chars() {
        match unicode_fraction(c) {
            Some(fraction) => {
                if plain.ends_with(|c: char| c.is_ascii_digit()) {
                    plain.push(' ');
                }
                plain.push_str(fraction);
            }
            None if c == '\u{2044}' || c == '\u{2215}' => plain.push('/'),
            None if c == '\u{2010}' || c == '\u{2011}' || c == '\u{2013}' || c == '\u{2212}' => plain.push('-'),
            None if c.is_whitespace() => plain.push(' '),
            None => plain.push(c.to_ascii_lowercase()),
        }
    }
    let plain = plain.trim();
    let plain = ["inches", "inch", "in.", "in", "''", "\"", "\u{201d}", "\u{2033}"]
        .iter()
        .find_map(|mark| plain.strip_suffix(mark))
        .unwrap_or(plain)
        .trim();
    if let Ok(number) = plain.parse::<f64>() {
        let digits_only = plain.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        return (digits_only && number.is_finite()).then_some(number);
    }
    let (whole, fraction) = match plain.split_once(['-', ' ']) {
        Some((whole, fraction)) => (whole.trim().parse::<u16>().ok()?, fraction.trim()),
        None => (0, plain),
    };
    let (above, below) = fraction.split_once('/')?;
    let (above, below) = (above.trim().parse::<u16>().ok()?, below.trim().parse::<u16>().ok()?);
    if below == 0 || above == 0 || above >= below {
        return None;
    }
    Some(f64::from(whole) + f64::from(above) / f64::from(below))
}

fn unicode_fraction(c: char) -> Option<&'static str> {
    Some(match c {
        '¼' => "1/4",
        '½' => "1/2",
        '¾' => "3/4",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_way_of_writing_comes_to_the_same_size() {
        for text in ["1-1/4", "1 1/4", "1¼", "1.25", "1-1/4\"", " 1-1/4 in ", "1 ¼\"", "1\u{2013}1/4"] {
            assert_eq!(Size::parse(text).map(|s| s.to_string()).as_deref(), Some("1-1/4"), "{text}");
        }
        for text in ["3/4", "3/4\"", "¾", "0.75", ".75", "3/4 in.", "3\u{2044}4"] {
            assert_eq!(Size::parse(text).map(Size::sixteenths), Some(12), "{text}");
        }
    }

    #[test]
    fn nonsense_is_no_size() {
        for text in ["", "x", "0", "-1", "1/0", "5/4", "0.33", "99", "1e0", "inf", "nan", "1/2/3", "+1", "1-", "-1/2"] {
            assert_eq!(Size::parse(text), None, "{text}");
        }
    }

    #[test]
    fn printing_and_reading_agree() {
        for sixteenths in 2..=192 {
            let size = Size::from_sixteenths(sixteenths).unwrap();
            assert_eq!(Size::parse(&size.key()), Some(size));
        }
    }
}
