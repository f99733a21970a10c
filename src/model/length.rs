//! Lengths in feet, as people write them: 12.5, 12 1/2, 12'6", 12' 6-1/2", 150", 12 ft 6 in.

use super::size::parse_inches;
use rust_decimal::Decimal;

/// Feet from `12.5`, `12 1/2`, `12'6"`, `12'-6 1/2"`, `150"`, `12 ft 6 in`, `12 ft`. Inches are rounded to 1/8 in. A leading
/// minus makes the whole length negative. `None` for anything else.
///
/// ```
/// use tallybore::model::parse_feet;
/// assert_eq!(parse_feet("12'6\"").unwrap().to_string(), "12.5");
/// assert_eq!(parse_feet("150\"").unwrap().to_string(), "12.5");
/// assert!(parse_feet("twelve").is_none());
/// ```
pub fn parse_feet(text: &str) -> Option<Decimal> {
    let text = text.trim().replace(['\u{2019}', '\u{2032}'], "'").replace(['\u{201d}', '\u{2033}'], "\"");
    let (negative, text) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) if rest.starts_with(['-', '\u{2212}']) => return None,
        Some(rest) => (true, rest.trim()),
        None => (false, text.as_str()),
    };
    let lower = text.to_lowercase();
    let mark = ["feet", "foot", "ft.", "ft", "'"].iter().find_map(|m| lower.find(m).map(|at| (at, m.len())));
    let feet = match mark {
        // Two single quotes are an inch mark, not feet.
        Some((at, 1)) if lower[at..].starts_with("''") => from_inches(&lower)?,
        Some((at, length)) => {
            let whole = whole_feet(&lower[..at])?;
            let rest = lower[at + length..].trim().trim_start_matches(['-', '\u{2013}', ',']).trim();
            if rest.is_empty() { whole } else { whole.checked_add(from_inches(rest)?)? }
        }
        None if lower.ends_with(['"', 'n', '.']) || lower.ends_with("inches") => from_inches(&lower)?,
        None => whole_feet(&lower)?,
    };
    Some(if negative { -feet } else { feet })
}

/// Feet from a bare number or a number and a fraction of feet: `19 1/2`, `19-1/2`, `19½`.
fn whole_feet(text: &str) -> Option<Decimal> {
    let marked = text.contains(|c: char| c.is_ascii_alphabetic() || matches!(c, '\'' | '"'));
    let mixed = || Decimal::try_from(parse_inches(text).filter(|_| !marked)?).ok().map(|feet| feet.normalize());
    super::parse_number(text).or_else(mixed)
}

/// Feet from a text in inches, to the nearest 1/8 in.
fn from_inches(text: &str) -> Option<Decimal> {
    let inches = Decimal::try_from(parse_inches(text)?).ok()?;
    let eighths = inches.checked_mul(Decimal::from(8))?.round();
    eighths.checked_div(Decimal::from(96)).map(|d| d.normalize())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn feet_and_inches_come_to_the_same_length() {
        for text in
            ["12.5", "12'6\"", "12' 6\"", "12'-6\"", "12 ft 6 in", "150\"", "12\u{2032}6\u{2033}", "150''", "12.5 ft"]
        {
            assert_eq!(parse_feet(text).map(|d| d.to_string()).as_deref(), Some("12.5"), "{text}");
        }
        assert_eq!(parse_feet("3' 4-1/2\"").map(|d| d.to_string()).as_deref(), Some("3.375"));
        assert_eq!(parse_feet("-2'6\"").map(|d| d.to_string()).as_deref(), Some("-2.5"));
        assert_eq!(parse_feet("1,200").map(|d| d.to_string()).as_deref(), Some("1200"));
    }

    #[test]
    fn feet_may_have_a_fraction() {
        for text in ["19 1/2", "19-1/2", "19½", "19 ½", "19 1/2 ft", "19-1/2'", "19.5", "19' 6\""] {
            assert_eq!(parse_feet(text).map(|d| d.to_string()).as_deref(), Some("19.5"), "{text}");
        }
        assert_eq!(parse_feet("-1/2").map(|d| d.to_string()).as_deref(), Some("-0.5"));
        assert_eq!(parse_feet("3 3/8").map(|d| d.to_string()).as_deref(), Some("3.375"));
    }

    #[test]
    fn nonsense_is_no_length() {
        for text in ["19 3/2", "19 1/0", "12-6", "1/2/3", "", "x", "'", "\"", "12'x", "1e3", "--2", "12'6'"] {
            assert_eq!(parse_feet(text), None, "{text}");
        }
    }
}
