//! How much room words take, since a workbook must say its widths and heights and no program is there to ask.
//!
//! Widths are in the spreadsheet's own unit, one digit of the body letters. The estimates err on the wide side: a line
//! too tall is no harm, words cut off are.

use crate::figure::Value;
use crate::unit::Unit;

/// Height of one line of 11 point letters, in points.
const LINE_POINTS: f64 = 15.0;
const BODY_POINTS: f64 = 11.0;
/// How much wider bold letters are.
pub(crate) const BOLD: f64 = 1.08;
/// No letter is wider.
const WIDEST_LETTER: f64 = 2.0;

/// Width of a text in digits of 11 point letters.
pub(crate) fn width(text: &str) -> f64 {
    text.chars().map(char_width).sum()
}

fn char_width(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | 'I' | '.' | ',' | ';' | ':' | '\'' | '|' | '!' | ' ' => 0.5,
        'f' | 't' | 'r' | '(' | ')' | '-' | '/' | '"' => 0.75,
        'm' | 'w' | 'M' | 'W' | '@' | '%' | '\u{2014}' => 1.6,
        'A'..='Z' => 1.2,
        c if c.is_ascii() => 1.0,
        // Letters of other scripts can be twice as wide.
        c if u32::from(c) > 0x2E7F => 2.0,
        _ => 1.1,
    }
}

/// How many lines a text takes in a cell `room` digits wide, wrapped at spaces as spreadsheet programs do.
pub(crate) fn lines(text: &str, room: f64, points: f64, bold: bool) -> u32 {
    let scale = points / BODY_POINTS * if bold { BOLD } else { 1.0 };
    // A cell keeps a little margin for itself.
    let room = (room - 1.0).max(1.0);
    // Most words are short: no byte is wider than the widest letter, and no space is needed to tell one line.
    if text.len() as f64 * WIDEST_LETTER * scale < room && !text.contains('\n') {
        return 1;
    }
    text.split('\n').map(|paragraph| paragraph_lines(paragraph, room, scale)).sum::<u32>().max(1)
}

fn paragraph_lines(text: &str, room: f64, scale: f64) -> u32 {
    let mut lines = 1;
    let mut used = 0.0;
    for word in text.split(' ') {
        let word = width(word) * scale;
        let gap = if used > 0.0 { char_width(' ') * scale } else { 0.0 };
        if used + gap + word <= room {
            used += gap + word;
        } else if word <= room {
            lines += 1;
            used = word;
        } else {
            // A word longer than the line is broken, from a line of its own where one was begun.
            let broken = (word / room).ceil();
            lines += broken as u32 - u32::from(used == 0.0);
            used = word - (broken - 1.0) * room;
        }
    }
    lines
}

/// Height of a row that holds this many lines, in points; no program shows a row over 409.
pub(crate) fn height(lines: u32, points: f64) -> f64 {
    (f64::from(lines) * LINE_POINTS * points / BODY_POINTS + 2.0).ceil().min(409.0)
}

/// A value as its cell shows it, as far as its width goes.
pub(crate) fn shown(value: &Value, unit: Unit, with_unit: bool) -> String {
    if !value.is_number() {
        return value.to_string();
    }
    let format = unit.number_format();
    let x = value.as_f64();
    let words = match format.split_once('.') {
        _ if unit == Unit::Date => "2026-01-01".to_owned(),
        _ if unit == Unit::None => {
            let mut general = value.to_string();
            general.truncate(11);
            general
        }
        Some((_, decimals)) if format.ends_with('%') => format!("{:.*}%", decimals.len() - 1, x * 100.0),
        Some((_, decimals)) => format!("{x:.*}", decimals.len()),
        None => format!("{x:.0}"),
    };
    let whole = words.trim_start_matches('-').split('.').next().map_or(0, str::len);
    let commas = if format.starts_with('#') { whole.saturating_sub(1) / 3 } else { 0 };
    let unit = if with_unit { format!(" {}", unit.symbol()) } else { String::new() };
    format!("{words}{}{unit}", ",".repeat(commas))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::Decimal;

    #[test]
    fn long_words_wrap_and_break() {
        assert_eq!(lines("short", 20.0, 11.0, false), 1);
        assert_eq!(lines("one two three four five six", 12.0, 11.0, false), 3);
        assert_eq!(lines(&"x".repeat(50), 11.0, 11.0, false), 5);
        assert_eq!(lines("a\nb", 20.0, 11.0, false), 2);
    }

    #[test]
    fn numbers_are_as_wide_as_they_show() {
        let money = Value::Exact(Decimal::new(123_456_789, 2));
        assert_eq!(width(&shown(&money, Unit::Money, false)), width("1,234,567.89"));
        assert_eq!(shown(&Value::Exact(Decimal::new(7, 2)), Unit::Percent, false), "7.00%");
    }
}
