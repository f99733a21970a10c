//! Prices as they are typed at a counter: `12.40`, `$1,240.50`, `$12.40 ea`, `9.41/stick`; and what is none.

use crate::model::parse_number;
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

/// A price in a text, for one `unit`. `Ok` with true where words beside the number were read too; `Err` says why not.
pub fn price(text: &str, unit: &str) -> Result<(Decimal, bool), String> {
    let text = text.trim();
    if let Some(number) = parse_number(text) {
        return Ok((number, false));
    }
    let bare = text.trim_start_matches(|c: char| c == '$' || c.is_whitespace());
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
    match UNITS.iter().any(|words| words.contains(&word)) {
        true => Err(format!("it is for one {word}, and one {unit} was asked for")),
        false => Err(format!("what \"{word}\" says of it is not known")),
    }
}

/// `$31.50`; a tenth of a cent stays.
pub fn dollars(price: Decimal) -> String {
    let price = price.normalize();
    if price.scale() < 2 { format!("${price:.2}") } else { format!("${price}") }
}

/// Two words for one Unit.
pub fn same_unit(a: &str, b: &str) -> bool {
    let (a, b) = (a.trim().to_lowercase(), b.trim().to_lowercase());
    a == b || UNITS.iter().any(|words| words.contains(&a.as_str()) && words.contains(&b.as_str()))
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
        ] {
            assert_eq!(price(text, unit), Ok((price_of.parse().unwrap(), in_words)), "{text}");
        }
    }

    #[test]
    fn a_price_for_something_else_is_refused_with_the_reason() {
        for (text, unit, why) in [
            ("0.47/ft", "stick", "it is for one ft, and one stick was asked for"),
            ("$12.40 ea", "bag", "it is for one ea, and one bag was asked for"),
            ("12,40", "each", "the comma may stand for a point"),
            ("call", "each", "it is no number"),
            ("", "each", "it is no number"),
            ("=1+1", "each", "it is no number"),
            ("12.40 net 30", "each", "what \"net 30\" says of it is not known"),
        ] {
            assert_eq!(price(text, unit), Err(why.to_owned()), "{text}");
        }
    }
}
