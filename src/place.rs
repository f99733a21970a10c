//! Where something stands in a workbook: a sheet and a cell, and the A1 spelling of both.

use std::fmt::{self, Write as _};
use std::sync::Arc;

/// The last row and column (counted from 0) that any supported spreadsheet program can address.
pub const LAST_ROW: u32 = 1_048_575;
/// See [`LAST_ROW`].
pub const LAST_COLUMN: u16 = 16_383;

/// One cell of one sheet. Rows and columns count from 0, as `A1` is (0, 0).
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Place {
    /// Its name, as on the tab.
    pub sheet: Arc<str>,
    /// From 0.
    pub row: u32,
    /// From 0.
    pub column: u16,
}

impl Place {
    /// Row and column from 0.
    pub fn new(sheet: impl Into<Arc<str>>, row: u32, column: u16) -> Self {
        Self { sheet: sheet.into(), row, column }
    }

    /// `F12`, without the sheet.
    pub fn cell(&self) -> String {
        a1(self.row, self.column)
    }

    /// Reads `Sheet!F12`, `'My sheet'!F12` or `$F$12` forms. `None` when it is not a cell address.
    ///
    /// ```
    /// use tallybore::place::Place;
    /// let place = Place::parse("'On hand'!$B$7").unwrap();
    /// assert_eq!((&*place.sheet, place.row, place.column), ("On hand", 6, 1));
    /// assert!(Place::parse("Runs!7B").is_none());
    /// ```
    pub fn parse(text: &str) -> Option<Self> {
        let (sheet, cell) = text.trim().rsplit_once('!')?;
        let sheet = match sheet.strip_prefix('\'').and_then(|s| s.strip_suffix('\'')) {
            Some(quoted) => quoted.replace("''", "'"),
            None => sheet.to_owned(),
        };
        let (row, column) = parse_a1(cell)?;
        (!sheet.is_empty()).then(|| Self::new(sheet, row, column))
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}!{}", quote_sheet(&self.sheet), self.cell())
    }
}

/// Column letters of a column counted from 0: 0 is `A`, 26 is `AA`.
pub fn column_letters(column: u16) -> String {
    let mut letters = String::new();
    push_letters(&mut letters, column);
    letters
}

fn push_letters(out: &mut String, column: u16) {
    if let Some(before) = (column / 26).checked_sub(1) {
        push_letters(out, before);
    }
    out.push(char::from(b'A' + (column % 26) as u8));
}

/// `F12` for row 11, column 5.
pub fn a1(row: u32, column: u16) -> String {
    let mut cell = String::with_capacity(8);
    push_a1(&mut cell, row, column);
    cell
}

/// Appends `F12`.
pub fn push_a1(out: &mut String, row: u32, column: u16) {
    push_letters(out, column);
    // Writing to a String cannot fail.
    let _ = write!(out, "{}", u64::from(row) + 1);
}

/// Row and column of `F12` or `$F$12`; `None` for anything else or anything off the sheet.
pub fn parse_a1(text: &str) -> Option<(u32, u16)> {
    let text = text.trim().replace('$', "");
    let split = text.find(|c: char| c.is_ascii_digit())?;
    let (letters, digits) = text.split_at(split);
    if letters.is_empty() || letters.len() > 3 || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let mut column: u32 = 0;
    for letter in letters.bytes() {
        let letter = letter.to_ascii_uppercase();
        if !letter.is_ascii_uppercase() {
            return None;
        }
        column = column * 26 + u32::from(letter - b'A') + 1;
    }
    let row: u32 = digits.parse().ok()?;
    if row == 0 || row - 1 > LAST_ROW || column - 1 > u32::from(LAST_COLUMN) {
        return None;
    }
    Some((row - 1, (column - 1) as u16))
}

/// A sheet name as formulas spell it: quoted unless it is a plain word that cannot be read as a cell.
pub fn quote_sheet(name: &str) -> String {
    let mut quoted = String::with_capacity(name.len() + 2);
    push_sheet(&mut quoted, name);
    quoted
}

/// Appends a sheet name as formulas spell it.
pub fn push_sheet(out: &mut String, name: &str) {
    let plain = name.bytes().next().is_some_and(|b| b.is_ascii_alphabetic())
        && name.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_')
        && !(name.ends_with(|c: char| c.is_ascii_digit()) && parse_a1(name).is_some())
        && !["R", "C", "TRUE", "FALSE"].iter().any(|word| name.eq_ignore_ascii_case(word));
    if plain {
        return out.push_str(name);
    }
    out.push('\'');
    for c in name.chars() {
        if c == '\'' {
            out.push(c);
        }
        out.push(c);
    }
    out.push('\'');
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_past_z() {
        assert_eq!(
            ["A", "Z", "AA", "AZ", "XFD"],
            [0, 25, 26, 51, 16_383].map(column_letters).each_ref().map(String::as_str)
        );
    }

    #[test]
    fn addresses_come_back() {
        for (row, column) in [(0, 0), (11, 5), (1_048_575, 16_383)] {
            assert_eq!(parse_a1(&a1(row, column)), Some((row, column)));
        }
        assert_eq!(parse_a1("XFE1"), None);
        assert_eq!(parse_a1("A0"), None);
        assert_eq!(parse_a1("A1048577"), None);
    }

    #[test]
    fn names_that_look_like_cells_are_quoted() {
        assert_eq!(quote_sheet("Runs"), "Runs");
        assert_eq!(quote_sheet("On hand"), "'On hand'");
        assert_eq!(quote_sheet("AB12"), "'AB12'");
        assert_eq!(quote_sheet("Bob's"), "'Bob''s'");
    }
}
