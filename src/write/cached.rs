//! The value that is stored beside a formula, as the file wants it.
//!
//! The library behind us decides by the look of the text whether a result is a number, a truth value, an error or a
//! text. A text such as `12`, `inf` or `TRUE` would be stored as what it looks like; so it travels with a mark in front,
//! and [`unmark`] takes the marks out of the finished file.

use crate::figure::Value;
use crate::parallel::in_parallel;
use anyhow::Context;
use rust_decimal::Decimal;
use std::borrow::Cow;
use std::io::{Cursor, Read, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipArchive, ZipWriter};

/// The mark: a character for private use, not found in trade words.
const MARK: char = '\u{E0FF}';

/// The nearest double: `Decimal::to_f64` is off by one in the last place for some values.
pub(crate) fn double(number: Decimal) -> f64 {
    const TENS: [f64; 16] = [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];
    // Both are whole and small enough to be doubles themselves, so their quotient is the nearest one.
    if let (Some(ten), true) = (TENS.get(number.scale() as usize), few_digits(number)) {
        return number.mantissa() as f64 / ten + 0.0;
    }
    // The text of a Decimal is always a number; -0 would be printed with its sign.
    number.to_string().parse::<f64>().unwrap_or(f64::NAN) + 0.0
}

/// No more than the 15 digits that a double always keeps.
fn few_digits(number: Decimal) -> bool {
    number.mantissa().unsigned_abs() < 1_000_000_000_000_000
}

/// A number as text that reads back as the nearest double.
pub(crate) fn digits(number: Decimal) -> String {
    // Its own digits are the fewest that do, as long as there are not too many.
    if few_digits(number) { number.normalize().to_string() } else { double(number).to_string() }
}

/// A formula's result as text, and whether it bears a mark.
pub(crate) fn result(value: &Value) -> (String, bool) {
    match value {
        Value::Blank => (String::new(), false),
        Value::Exact(number) => (digits(*number), false),
        // Rust prints the shortest text that reads back as the same double: up to 17 digits.
        Value::Physical(number) => ((number + 0.0).to_string(), false),
        Value::Flag(_) | Value::Fault(_) => (value.to_string(), false),
        Value::Text(text) => {
            let text = printable(text).into_owned();
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
pub(crate) fn printable(text: &str) -> Cow<'_, str> {
    if text.chars().any(unprintable) {
        Cow::Owned(text.chars().map(|c| if unprintable(c) { ' ' } else { c }).collect())
    } else {
        Cow::Borrowed(text)
    }
}

fn unprintable(c: char) -> bool {
    (c.is_control() && c != '\n' && c != '\t') || matches!(c, '\u{FFFE}' | '\u{FFFF}')
}

/// Takes the marks out of a finished workbook; `sheets` are the numbers, from 1, of those that have some. All other parts
/// are copied as they are.
pub(crate) fn unmark(bytes: &[u8], sheets: &[usize]) -> anyhow::Result<Vec<u8>> {
    let marked: Vec<String> = sheets.iter().map(|sheet| format!("xl/worksheets/sheet{sheet}.xml")).collect();
    // To pack a part is the work: all are packed at once, each into a file of its own, and copied from there.
    let mut packed = in_parallel(&marked, |name| without_marks(bytes, name), |_| ());
    let mut parts = archive(bytes)?;
    let mut out = ZipWriter::new(Cursor::new(Vec::with_capacity(bytes.len())));
    for index in 0..parts.len() {
        let part = parts.by_index_raw(index)?;
        let name = part.name()?.into_owned();
        match marked.iter().position(|marked| *marked == name) {
            Some(at) => {
                let packed = std::mem::replace(&mut packed[at], Ok(Vec::new()))?;
                out.raw_copy_file(archive(&packed)?.by_index_raw(0)?)?;
            }
            None => out.raw_copy_file(part)?,
        }
    }
    Ok(out.finish()?.into_inner())
}

/// One part without its marks, as a file of its own.
fn without_marks(bytes: &[u8], name: &str) -> anyhow::Result<Vec<u8>> {
    let mut text = String::new();
    archive(bytes)?.by_name(name)?.read_to_string(&mut text)?;
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default());
    let mut out = ZipWriter::new(Cursor::new(Vec::new()));
    out.start_file(name, options)?;
    out.write_all(text.replace(&format!("<v>{MARK}"), "<v>").as_bytes())?;
    Ok(out.finish()?.into_inner())
}

fn archive(bytes: &[u8]) -> anyhow::Result<ZipArchive<Cursor<&[u8]>>> {
    ZipArchive::new(Cursor::new(bytes)).context("the finished workbook could not be read again")
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
