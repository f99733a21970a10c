//! Prices as they are typed at a counter: `12.40`, `$1,240.50`, `$12.40 ea`, `9.41/stick`; and what is none. One reader for
//! the job's own prices and for those of a supplier.

use super::{fold, parse_number};
use rust_decimal::Decimal;

/// Words for one Unit, the first of each as orders write it.
const UNITS: &[&[&str]] = &[
    &["each", "ea", "pc", "pcs", "piece", "unit"],
    &["ft", "foot", "feet", "lf", "lin ft"],
    &["stick", "length", "lgth", "stk"],
    &["coil", "roll", "cl"],
    &["bag", "bg"],
    &["box", "bx", "carton", "ctn"],
];

/// Units that orders do not write otherwise.
const OTHER_UNITS: &[&str] = &[
    "pack", "pk", "pkg", "package", "case", "cs", "bundle", "pair", "pr", "set", "kit", "dozen", "dz", "lot", "hundred",
];

/// A price in a text, for one `unit`. `Ok` with true where words beside the number were read too; `Err` says why not.
pub(crate) fn price(text: &str, unit: &str) -> Result<(Decimal, bool), String> {
    let text = text.trim();
    if let Some(number) = parse_number(text) {
        return Ok((number, false));
    }
    let bare = without_currency(text);
    let end = bare.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(bare.len());
    let (digits, rest) = bare.split_at(end);
    let Some(number) = parse_number(digits.trim_end_matches('.')) else {
        let comma = !digits.is_empty() && digits.contains(',');
        return Err(if comma { "the comma may stand for a point" } else { "it is no number" }.to_owned());
    };
    let rest = rest.to_lowercase();
    let rest = rest.trim_matches(|c: char| c.is_whitespace() || matches!(c, '/' | '.' | '$'));
    let word = rest.strip_prefix("usd").unwrap_or(rest).trim_matches([' ', '/']);
    let word = word.strip_prefix("per ").or_else(|| word.strip_prefix("a ")).unwrap_or(word).trim();
    if word.is_empty() || same_unit(word, unit) {
        return Ok((number, true));
    }
    match is_unit(word) {
        true => Err(format!("it is for one {word}, and one {unit} was asked for")),
        false => Err(format!("what \"{word}\" says of it is not known")),
    }
}

/// Without the dollar sign before it: `$`, `US$`, `USD`.
fn without_currency(text: &str) -> &str {
    let sign = |text: &&str, sign: &str| text.get(..sign.len()).is_some_and(|head| head.eq_ignore_ascii_case(sign));
    let mut text = text;
    for currency in ["USD", "US$", "US $", "$"] {
        if sign(&text, currency) {
            text = text[currency.len()..].trim_start();
        }
    }
    text
}

/// Whether a text says that there is no price yet.
pub(crate) fn is_open(text: &str) -> bool {
    OPEN.contains(&&*fold(text)) || text.trim().chars().all(|c| matches!(c, '-' | '?' | '–' | '—' | '.'))
}

/// What stands for a price that is still to come, folded.
const OPEN: &[&str] = &[
    "call",
    "callforprice",
    "callforquote",
    "tbd",
    "tobedetermined",
    "tba",
    "n/a",
    "na",
    "quote",
    "toquote",
    "rfq",
    "ask",
    "pending",
    "noprice",
    "none",
    "open",
    "unknown",
];

/// Whether a word is one for a Unit.
pub(crate) fn is_unit(word: &str) -> bool {
    units().any(|unit| same_word(unit, word))
}

/// Every word for a Unit.
pub(crate) fn units() -> impl Iterator<Item = &'static str> {
    UNITS.iter().flat_map(|words| words.iter().copied()).chain(OTHER_UNITS.iter().copied())
}

/// One word, whatever its case, its period and a plural: `Boxes`, `ft.` Every row of Prices is held against every word
/// for a Unit, so no copy is made.
fn same_word(a: &str, b: &str) -> bool {
    let (a, b) = (a.trim().trim_end_matches('.'), b.trim().trim_end_matches('.'));
    match a.is_ascii() && b.is_ascii() {
        true => same_plain_word(a, b),
        false => same_plain_word(&a.to_lowercase(), &b.to_lowercase()),
    }
}

/// The same without a period, in any case of the letters of ASCII.
fn same_plain_word(a: &str, b: &str) -> bool {
    let (one, many) = if a.len() <= b.len() { (a, b) } else { (b, a) };
    let (Some(head), Some(end)) = (many.get(..one.len()), many.get(one.len()..)) else { return false };
    let plural = || {
        let after_x_or_h = one.ends_with(['x', 'X', 'h', 'H']);
        end.eq_ignore_ascii_case("s") || (end.eq_ignore_ascii_case("es") && after_x_or_h)
    };
    head.eq_ignore_ascii_case(one) && (end.is_empty() || (one.len() > 2 && plural()))
}

/// Two words for one Unit.
pub(crate) fn same_unit(a: &str, b: &str) -> bool {
    let names = |words: &&[&str], unit: &str| words.iter().any(|word| same_word(word, unit));
    same_word(a, b) || UNITS.iter().any(|words| names(words, a) && names(words, b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counter_prices_are_read_where_they_are_for_the_unit_asked() {
        for (text, unit, price_of, in_words) in [
            ("12.40", "each", "12.40", false),
            ("$1,240.50", "each", "1240.50", false),
            ("$12.40 ea", "each", "12.40", true),
            ("$ 12.40 ea.", "each", "12.40", true),
            ("9.41/stick", "stick", "9.41", true),
            ("9.41 per length", "stick", "9.41", true),
            ("3.00 USD", "bag", "3.00", true),
            ("US$12.40", "each", "12.40", true),
            ("USD 1,240.50", "each", "1240.50", true),
            ("us$ 9.41 / stick", "stick", "9.41", true),
            ("12.40/ea", "each", "12.40", true),
        ] {
            assert_eq!(price(text, unit), Ok((price_of.parse().unwrap(), in_words)), "{text}");
        }
    }

    #[test]
    fn a_price_for_something_else_is_refused_with_the_reason() {
        for (text, unit, problem) in [
            ("0.47/ft", "stick", "it is for one ft, and one stick was asked for"),
            ("$12.40 ea", "bag", "it is for one ea, and one bag was asked for"),
            ("12,40", "each", "the comma may stand for a point"),
            ("call", "each", "it is no number"),
            ("", "each", "it is no number"),
            ("=1+1", "each", "it is no number"),
            ("12.40 net 30", "each", "what \"net 30\" says of it is not known"),
        ] {
            assert_eq!(price(text, unit), Err(problem.to_owned()), "{text}");
        }
    }

    #[test]
    fn a_price_still_to_come_is_no_price() {
        for text in ["call", "TBD", "n/a", " - ", "?", "Call for price"] {
            assert!(is_open(text), "{text}");
        }
        for text in ["12.40", "12,40", "cheap", "0"] {
            assert!(!is_open(text), "{text}");
        }
    }

    #[test]
    fn every_unit_is_one() {
        assert!(units().all(is_unit) && is_unit("Stick") && is_unit("boxes") && is_unit("ft.") && !is_unit("stik"));
        for (a, b) in [("LF", "feet"), ("Lengths", "stick"), ("BOXES.", "ctn"), ("Lgth", "LGTHS"), ("bag", "bags.")] {
            assert!(same_unit(a, b) && same_unit(b, a), "{a} {b}");
        }
        for (a, b) in [("eas", "ea"), ("bages", "bag"), ("box", "bo"), ("boxé", "box"), ("ft", "stick")] {
            assert!(!same_unit(a, b) && !same_unit(b, a), "{a} {b}");
        }
    }
}
