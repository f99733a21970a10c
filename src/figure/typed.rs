//! What the formulas that read a typed cell make of it: numbers as text, lengths, sizes. They are simpler than
//! `model/length.rs` and `model/size.rs` and read less; what they do not read is a fault, never another number.

use super::spelling::Piece::{self, Held, Raw, Text};
use super::spelling::Strength;
use super::value::{Fault, Value};
use rust_decimal::Decimal;

type Read = Result<Value, Fault>;

/// A blank counts as 0 by the 0 before it.
pub(super) const NUMBER: &[Piece] = &[
    Text("IF(ISNUMBER("),
    Raw(0),
    Text("),"),
    Raw(0),
    Text(",VALUE(0&SUBSTITUTE(TRIM("),
    Raw(0),
    Text("),\"%\",\"\")&\"e0\")/IF(RIGHT(TRIM("),
    Raw(0),
    Text("),1)=\"%\",100,1))"),
];
/// A unit may stand behind the text of a number.
pub(super) const NUMBER_WITH_UNIT: &[Piece] = &[
    Text("IF(ISNUMBER("),
    Raw(0),
    Text("),"),
    Raw(0),
    Text(",VALUE(0&TRIM(SUBSTITUTE(LOWER("),
    Raw(0),
    Text("),"),
    Raw(1),
    Text(",\"\"))&\"e0\"))"),
];
/// What is below zero is no length; as a text it would lose its sign on the way.
pub(super) const LENGTH_FRACTIONS: &[Piece] = &[
    Text("IF(LEFT(TRIM("),
    Raw(0),
    Text("),1)=\"-\",\"-\",SUBSTITUTE(SUBSTITUTE(SUBSTITUTE("),
    Raw(0),
    Text(",\"\u{bc}\",\" 1/4\"),\"\u{bd}\",\" 1/2\"),\"\u{be}\",\" 3/4\"))"),
];
pub(super) const LENGTH_DECIMALS: &[Piece] = &[
    Text("SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(TRIM("),
    Raw(0),
    Text("),\"-1/\",\" 1/\"),\"-3/\",\" 3/\"),\" 1/2\",\".5\"),\" 1/4\",\".25\"),\" 3/4\",\".75\")"),
];
/// Digits alone are feet, and get their mark.
pub(super) const LENGTH_TEXT: &[Piece] = &[
    Text("IF(ISERROR(VALUE(TRIM("),
    Raw(0),
    Text(")&\"e0\")),SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(TRIM("),
    Raw(0),
    Text("),\"ft\",\"'\"),\"in\",\"\"),\"\"\"\",\"\"),\"'-\",\"'\"),TRIM("),
    Raw(0),
    Text(")&\"'\")"),
];
/// The e0 keeps 6-1/2 from being taken for a date: with it that is no number, and says so.
pub(super) const FEET: &[Piece] = &[
    Text("IF(ISNUMBER("),
    Raw(0),
    Text("),"),
    Raw(0),
    Text(",VALUE(0&TRIM(LEFT("),
    Raw(1),
    Text(",MAX(0,IFERROR(FIND(\"'\","),
    Raw(1),
    Text("),0)-1)))&\"e0\")+VALUE(0&TRIM(MID("),
    Raw(1),
    Text(",IFERROR(FIND(\"'\","),
    Raw(1),
    Text("),0)+1,9))&\"e0\")/12)"),
];
/// Inch marks (straight, of a word processor, the prime) and `in`, `in.`, `inch` taken off.
pub(super) const BARE_SIZE: &[Piece] = &[
    Text("SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(SUBSTITUTE("),
    Raw(0),
    Text(",\"\"\"\",\"\"),\"\u{201d}\",\"\"),\"\u{2033}\",\"\"),\"inch\",\"in\"),\"in.\",\"in\"),\"in\",\"\")"),
];
pub(super) const SIZE_TEXT: &[Piece] = &[
    Text("TRIM(SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(SUBSTITUTE("),
    Raw(0),
    Text(",\"\u{bc}\",\" 1/4\"),\"\u{bd}\",\" 1/2\"),\"\u{be}\",\" 3/4\"),\"-\",\" \"))"),
];
pub(super) const DIGITS: &[Piece] = &[Text("VALUE("), Held(0, Strength::Join), Text("&\"e0\")")];
pub(super) const FRACTION_KEY: &[Piece] = &[Text("SUBSTITUTE("), Raw(0), Text(",\" \",\"-\")&\"\"\"\"")];

/// The cell's words, as text functions see them.
fn words(value: &Value) -> Result<String, Fault> {
    match value {
        Value::Fault(fault) => Err(*fault),
        found => Ok(found.to_string()),
    }
}

/// TRIM: outer spaces off, inner ones folded to one.
fn trimmed(text: &str) -> String {
    text.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// VALUE of the text with e0 behind it.
fn plain(text: &str) -> Result<Decimal, Fault> {
    match Value::text(text).number() {
        // A space before the e0 is an error to one program and none to another; nobody asks that here.
        Ok(number) if trimmed(text) == text => Value::from(number).as_decimal().ok_or(Fault::Value),
        _ => Err(Fault::Value),
    }
}

pub(super) fn number(cell: &Value) -> Read {
    match cell {
        Value::Exact(_) | Value::Physical(_) => Ok(cell.clone()),
        Value::Blank => Ok(Value::Exact(Decimal::ZERO)),
        Value::Fault(fault) => Err(*fault),
        Value::Flag(_) => Err(Fault::Value),
        Value::Text(text) => {
            let text = trimmed(text);
            let number = plain(&format!("0{}", text.replace('%', "")))?;
            let parts = if text.ends_with('%') { Decimal::ONE_HUNDRED } else { Decimal::ONE };
            Ok(Value::Exact((number / parts).normalize()))
        }
    }
}

pub(super) fn number_with_unit(cell: &Value, unit: &Value) -> Read {
    match cell {
        Value::Text(text) => {
            let bare = text.to_lowercase().replace(&unit.to_string(), "");
            Ok(Value::Exact(plain(&format!("0{}", trimmed(&bare)))?.normalize()))
        }
        _ => number(cell),
    }
}

pub(super) fn length_fractions(cell: &Value) -> Read {
    let text = words(cell)?;
    if trimmed(&text).starts_with('-') {
        return Ok(Value::text("-"));
    }
    Ok(Value::text(text.replace('\u{bc}', " 1/4").replace('\u{bd}', " 1/2").replace('\u{be}', " 3/4")))
}

pub(super) fn length_decimals(text: &Value) -> Read {
    let text = trimmed(&words(text)?).replace("-1/", " 1/").replace("-3/", " 3/");
    Ok(Value::text(text.replace(" 1/2", ".5").replace(" 1/4", ".25").replace(" 3/4", ".75")))
}

pub(super) fn length_text(cell: &Value) -> Read {
    let text = trimmed(&words(cell)?);
    Ok(Value::text(match plain(&text) {
        Ok(_) => text + "'",
        Err(_) => text.replace("ft", "'").replace("in", "").replace('"', "").replace("'-", "'"),
    }))
}

pub(super) fn feet(cell: &Value, text: &Value) -> Read {
    if cell.is_number() {
        return Ok(cell.clone());
    }
    let text = words(text)?;
    let (feet, inches) = text.split_once('\'').unwrap_or(("", &text));
    let inches: String = inches.chars().take(9).collect();
    let number = |text: &str| plain(&format!("0{}", trimmed(text)));
    let (feet, inches) = (number(feet)?, number(&inches)?);
    let inches = inches.checked_div(Decimal::from(12)).ok_or(Fault::Value)?;
    Ok(Value::Exact(feet.checked_add(inches).ok_or(Fault::Value)?.normalize()))
}

pub(super) fn bare_size(cell: &Value) -> Read {
    let text = words(cell)?.replace(['"', '\u{201d}', '\u{2033}'], "");
    Ok(Value::text(text.replace("inch", "in").replace("in.", "in").replace("in", "")))
}

pub(super) fn size_text(bare: &Value) -> Read {
    let text = words(bare)?;
    let text = text.replace('\u{bc}', " 1/4").replace('\u{bd}', " 1/2").replace('\u{be}', " 3/4");
    Ok(Value::text(trimmed(&text.replace('-', " "))))
}

pub(super) fn digits(text: &Value) -> Read {
    Ok(Value::Exact(plain(&words(text)?)?))
}

pub(super) fn fraction_key(text: &Value) -> Read {
    Ok(Value::text(words(text)?.replace(' ', "-") + "\""))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Size, parse_feet};

    fn length(text: &str) -> Option<Decimal> {
        let cell = Value::text(text);
        let decimals = length_decimals(&length_fractions(&cell).unwrap()).unwrap();
        feet(&cell, &length_text(&decimals).unwrap()).ok().and_then(|feet| feet.as_decimal())
    }

    #[test]
    fn a_length_is_the_number_that_pricing_reads_or_none() {
        let plain = ["5'6\"", "12'", "5' 6\"", "5'6", "12 ft", "12ft", "6\"", "12'-6\"", "12 ft 6 in", "6 in", "12.5"];
        let fractions =
            ["19 1/2", "19-1/2", "19½", "19 ½", "19 1/2 ft", "7¾'", "5'6-1/2\"", "5' 6 1/4\"", "6½\"", "5'-3/4\""];
        for text in plain.into_iter().chain(fractions) {
            assert_eq!(length(text), parse_feet(text), "{text}");
            assert!(length(text).is_some(), "{text}");
        }
        for text in
            ["abc", "-2'", "-1/2", "1/2", "12 feet", "5'x", "12'6'", "12-6", "3 3/8", "19 3/2", "19 1/0", "1/2/3", "-"]
        {
            assert!(length(text).is_none() || length(text) == parse_feet(text), "{text}");
        }
        assert_eq!((length("-1/2"), length("3 3/8")), (None, None), "no formula reads these");
    }

    /// A size as the formulas read it, before it is looked up.
    fn in_one_spelling(text: &str) -> Value {
        size_text(&bare_size(&Value::text(text)).unwrap()).unwrap()
    }

    #[test]
    fn a_size_is_the_key_that_pricing_reads() {
        let marked =
            ["3/4\"", "3/4 in", "3/4 in.", "3/4 inch", "3/4\u{201d}", "3/4\u{2033}", " 1-1/2 in ", "2\u{bd}\""];
        for text in ["3/4", "\u{be}", "1-1/4", "1 1/4", "1\u{bc}"].into_iter().chain(marked) {
            let key = fraction_key(&in_one_spelling(text)).unwrap();
            assert_eq!(key.to_string(), Size::parse(text).unwrap().key(), "{text}");
        }
        for (text, inches) in [("0.75", "0.75"), ("1.250", "1.25"), ("2", "2")] {
            let read = digits(&in_one_spelling(text)).unwrap();
            assert_eq!(read.as_decimal(), inches.parse().ok());
        }
    }

    #[test]
    fn a_number_may_stand_as_text() {
        for (text, expected) in [("2", "2"), (" 2.5 ", "2.5"), ("7%", "0.07"), ("", "0")] {
            assert_eq!(number(&Value::text(text)).unwrap().to_string(), expected, "{text}");
        }
        for text in ["two", "1/2", "-3", "7 %x", "1e3", "12:30"] {
            assert_eq!(number(&Value::text(text)), Err(Fault::Value), "{text}");
        }
    }
}
