//! The value that is stored beside a formula, as the file wants it.
//!
//! The library behind us decides by the look of the text whether a result is a number, a truth value, an error or a
//! text. A text such as `12`, `inf` or `TRUE` would be stored as what it looks like; so it travels with a mark in front,
//! and [`unmark`] takes the marks out of the finished file.

use crate::figure::Value;
use anyhow::Context;
use rust_decimal::Decimal;
use std::io::{Cursor, Read, Write};

/// The mark: a character for private use, not found in trade words.
const MARK: char = '\u{E0FF}';

/// The nearest double, through text: `Decimal::to_f64` is off by one in the last place for some values.
pub fn double(number: Decimal) -> f64 {
    // The text of a Decimal is always a number; -0 would be printed with its sign.
    number.to_string().parse::<f64>().unwrap_or(f64::NAN) + 0.0
}

/// A formula's result as text, and whether it bears a mark.
pub fn result(value: &Value) -> (String, bool) {
    match value {
        Value::Blank => (String::new(), false),
        Value::Exact(number) => (double(*number).to_string(), false),
        // Rust prints the shortest text that reads back as the same double: up to 17 digits.
        Value::Physical(number) => ((number + 0.0).to_string(), false),
        Value::Flag(_) | Value::Fault(_) => (value.to_string(), false),
        Value::Text(text) => {
            let text = printable(text);
            if looks_like_another_kind(&text) { (format!("{MARK}{text}"), true) } else { (text, false) }
        }
    }
}

fn looks_like_another_kind(text: &str) -> bool {
    const TAKEN: &[&str] =
        &["TRUE", "FALSE", "#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!", "#GETTING_DATA"];
    text.parse::<f64>().is_ok() || TAKEN.contains(&text) || text.starts_with(MARK)
}

/// Without characters that may not stand in a workbook's XML.
pub fn printable(text: &str) -> String {
    if text.chars().any(unprintable) {
        text.chars().map(|c| if unprintable(c) { ' ' } else { c }).collect()
    } else {
        text.to_owned()
    }
}

fn unprintable(c: char) -> bool {
    (c.is_control() && c != '\n' && c != '\t') || matches!(c, '\u{FFFE}' | '\u{FFFF}')
}

/// Takes the marks out of a finished workbook. Parts without a mark are copied as they are.
pub fn unmark(bytes: Vec<u8>) -> anyhow::Result<Vec<u8>> {
    let marked = format!("<v>{MARK}");
    let mut parts =
        zip::ZipArchive::new(Cursor::new(bytes)).context("the finished workbook could not be read again")?;
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for index in 0..parts.len() {
        let mut part = parts.by_index(index)?;
        let name = part.name()?.into_owned();
        let mut text = String::new();
        if !name.starts_with("xl/worksheets/sheet")
            || part.read_to_string(&mut text).is_err()
            || !text.contains(&marked)
        {
            drop(part);
            out.raw_copy_file(parts.by_index_raw(index)?)?;
            continue;
        }
        let options = zip::write::SimpleFileOptions::default()
            .compression_method(zip::CompressionMethod::Deflated)
            .last_modified_time(zip::DateTime::default());
        out.start_file(name, options)?;
        out.write_all(text.replace(&marked, "<v>").as_bytes())?;
    }
    Ok(out.finish()?.into_inner())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn doubles_come_back_as_they_were() {
        for text in ["0.285", "12345678.905", "-0.1", "79228162514264337593543950335", "0.0000000001"] {
            let number: Decimal = text.parse().unwrap();
            assert_eq!(result(&Value::Exact(number)).0.parse::<f64>().unwrap(), text.parse::<f64>().unwrap());
        }
        assert_eq!(result(&Value::Exact("-0.00".parse().unwrap())).0, "0");
        assert_eq!(result(&Value::Physical(0.1 + 0.2)).0, "0.30000000000000004");
    }

    #[test]
    fn texts_that_look_like_something_else_are_marked() {
        for text in ["12", "inf", "nan", "1e5", "TRUE", "#N/A", "-3"] {
            assert!(result(&Value::text(text)).1, "{text}");
        }
        for text in ["3/4\"", "A1", "true", "", "12 ft"] {
            assert_eq!(result(&Value::text(text)), (text.to_owned(), false));
        }
    }
}
