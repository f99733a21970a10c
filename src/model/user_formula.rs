//! Whether a formula of the user's can stand in the bid: only when everything it refers to stands there too, and when
//! every program works it out alike. Read lightly, sign by sign; what is not understood is not kept.

use super::user_functions;
use crate::place::{Place, parse_a1};
use std::collections::BTreeSet;
use std::sync::Arc;

/// The longest formula a cell can hold.
const LONGEST: usize = 8_192;

type Reason = &'static str;
const ODD: Reason = "is written in a way that not every program understands";

/// The formula in the spelling of .xlsx without its equals sign, or why it cannot be kept. `kept` holds the names, in
/// lower case, of the sheets that stand in the bid under their own name.
pub(crate) fn carried(written: &str, kept: &BTreeSet<String>) -> Result<Arc<str>, Reason> {
    let plain = match written.split_once(":=") {
        Some(("of" | "oooc", formula)) => from_ods(formula)?,
        Some(("msoxl", formula)) => formula.to_owned(),
        _ => written.trim_start_matches('=').to_owned(),
    };
    if plain.len() > LONGEST {
        return Err("is too long");
    }
    judge(&plain, kept)?;
    Ok(prefixed(&plain)?.into())
}

/// Whether a formula in the spelling of .xlsx can stand in a book that has these sheets.
pub(crate) fn stands(formula: &str, sheets: &BTreeSet<String>) -> bool {
    let controls = formula.chars().any(|c| c.is_control() && c != '\n');
    !formula.is_empty() && !controls && formula.len() < LONGEST && judge(formula, sheets).is_ok()
}

/// The formula with the mark of .xlsx on functions that are newer than the format. Another file format has none, and
/// LibreOffice does not know them without it.
fn prefixed(formula: &str) -> Result<String, Reason> {
    let mut marked = String::with_capacity(formula.len());
    let mut rest = formula;
    let pieces = pieces(formula)?;
    for (at, piece) in pieces.iter().enumerate() {
        let Piece::Word(name) = piece else { continue };
        if pieces.get(at + 1) != Some(&Piece::Sign('(')) || !user_functions::wants_mark(name) {
            continue;
        }
        // Both are parts of the same text, and the word lies in what is left of it.
        let begin = name.as_ptr() as usize - rest.as_ptr() as usize;
        marked.push_str(&rest[..begin]);
        marked.push_str("_xlfn.");
        marked.push_str(name);
        rest = &rest[begin + name.len()..];
    }
    marked.push_str(rest);
    Ok(marked)
}

/// One piece of a formula.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Piece<'a> {
    /// A text in double quotes.
    Text,
    /// A sheet name in single quotes, without them.
    Quoted(&'a str),
    /// Letters, digits, `_`, `.`, `$`: a name, a cell, a number.
    Word(&'a str),
    Sign(char),
}

fn pieces(formula: &str) -> Result<Vec<Piece<'_>>, Reason> {
    let mut found = Vec::new();
    let mut rest = formula;
    while let Some(first) = rest.chars().next() {
        let length = match first {
            '"' | '\'' => {
                let end = closing(rest, first).ok_or(ODD)?;
                found.push(if first == '"' { Piece::Text } else { Piece::Quoted(&rest[1..end]) });
                end + 1
            }
            c if is_word(c) => {
                let end = rest.find(|c| !is_word(c)).unwrap_or(rest.len());
                found.push(Piece::Word(&rest[..end]));
                end
            }
            c => {
                if !c.is_whitespace() {
                    found.push(Piece::Sign(c));
                }
                c.len_utf8()
            }
        };
        // Every length is that of whole characters at the start of `rest`.
        rest = &rest[length..];
    }
    Ok(found)
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '_' | '.' | '$')
}

/// Where a quoted text ends; a doubled quote stands for itself. `text` begins with the quote, which is one byte long, so
/// every cut is behind a quote and within the text.
fn closing(text: &str, quote: char) -> Option<usize> {
    let mut at = 1;
    loop {
        at += text[at..].find(quote)?;
        if !text[at + 1..].starts_with(quote) {
            return Some(at);
        }
        at += 2;
    }
}

fn judge(formula: &str, kept: &BTreeSet<String>) -> Result<(), Reason> {
    let pieces = pieces(formula)?;
    for (at, piece) in pieces.iter().enumerate() {
        let next = pieces.get(at + 1);
        let before = at.checked_sub(1).and_then(|b| pieces.get(b));
        match piece {
            Piece::Text => (),
            Piece::Sign('[' | ']') => return Err("refers to another workbook or to a table by name"),
            Piece::Sign('#') => return Err("refers to cells that are gone, or to a spilled range"),
            Piece::Sign('+' | '-' | '*' | '/' | '^' | '&' | '=' | '<' | '>' | '(' | ')' | ',' | '%') => (),
            Piece::Sign(':') => {
                // Between cells a range, between sheets a stack of them.
                let cells = |piece: Option<&Piece>| matches!(piece, Some(Piece::Word(w)) if is_reference(w));
                if !cells(before) || !cells(next) || pieces.get(at + 2) == Some(&Piece::Sign('!')) {
                    return Err(ODD);
                }
            }
            Piece::Sign('!') => (),
            Piece::Sign(_) => return Err(ODD),
            Piece::Quoted(name) => sheet(&name.replace("''", "'"), next, kept)?,
            Piece::Word(name) if next == Some(&Piece::Sign('!')) => sheet(name, next, kept)?,
            Piece::Word(name) if next == Some(&Piece::Sign('(')) => {
                if !user_functions::may_stand(name) {
                    return Err("uses a function that not every program works out alike");
                }
            }
            // Two names with only a space between are the cells that both have in common.
            Piece::Word(_) if matches!(next, Some(Piece::Word(_) | Piece::Quoted(_) | Piece::Text)) => return Err(ODD),
            Piece::Word(word) => {
                let number = word.starts_with(|c: char| c.is_ascii_digit() || c == '.');
                let flag = word.eq_ignore_ascii_case("true") || word.eq_ignore_ascii_case("false");
                let ranged = before == Some(&Piece::Sign(':')) || next == Some(&Piece::Sign(':'));
                if !(number || flag || parse_a1(word).is_some() || ranged && is_reference(word)) {
                    return Err("uses a defined name");
                }
            }
        }
    }
    Ok(())
}

/// A sheet that a formula names must stand in the bid.
fn sheet(name: &str, next: Option<&Piece>, kept: &BTreeSet<String>) -> Result<(), Reason> {
    if next != Some(&Piece::Sign('!')) {
        return Err(ODD);
    }
    if kept.contains(&name.to_lowercase()) { Ok(()) } else { Err("refers to a sheet that is not in the bid") }
}

/// A cell, or one end of a range of whole rows or columns: `$B$7`, `$B`, `7`.
fn is_reference(word: &str) -> bool {
    let bare = word.replace('$', "");
    let column = !bare.is_empty() && bare.len() <= 3 && bare.bytes().all(|b| b.is_ascii_alphabetic());
    let row = !bare.is_empty() && bare.len() <= 7 && bare.bytes().all(|b| b.is_ascii_digit());
    column || row || parse_a1(word).is_some()
}

/// True when a kept formula on sheet `own` looks at a cell. What is not understood may look anywhere.
pub(crate) fn looks_at(formula: &str, own: &str, place: &Place) -> bool {
    let Ok(pieces) = pieces(formula) else { return true };
    let mut sheet = own.to_owned();
    for (at, piece) in pieces.iter().enumerate() {
        match (piece, pieces.get(at + 1)) {
            (Piece::Quoted(name), _) => sheet = name.replace("''", "'"),
            (Piece::Word(name), Some(Piece::Sign('!'))) => sheet = (*name).to_owned(),
            (Piece::Sign('!' | ':'), _) => {}
            (Piece::Word(first), next) => {
                let here = at.checked_sub(1).and_then(|before| pieces.get(before));
                // The far end of a range was looked at with its near end.
                if here != Some(&Piece::Sign(':')) {
                    let last = match (next, pieces.get(at + 2)) {
                        (Some(Piece::Sign(':')), Some(Piece::Word(last))) => Some(*last),
                        _ => None,
                    };
                    if sheet.eq_ignore_ascii_case(&place.sheet) && holds(first, last, place) {
                        return true;
                    }
                    sheet = own.to_owned();
                }
            }
            _ => sheet = own.to_owned(),
        }
    }
    false
}

/// True when a cell, or a range of cells, rows or columns, holds the place.
fn holds(first: &str, last: Option<&str>, place: &Place) -> bool {
    let Some(last) = last else {
        return parse_a1(first) == Some((place.row, place.column));
    };
    let between = |a: u32, b: u32, at: u32| (a.min(b)..=a.max(b)).contains(&at);
    if let (Some(a), Some(b)) = (parse_a1(first), parse_a1(last)) {
        return between(a.0, b.0, place.row) && between(a.1.into(), b.1.into(), place.column.into());
    }
    // Whole columns as cells of the first row, whole rows as cells of column A.
    let column = |word: &str| parse_a1(&format!("{word}1")).map(|(_, column)| u32::from(column));
    let row = |word: &str| parse_a1(&format!("A{}", word.replace('$', ""))).map(|(row, _)| row);
    match (column(first).zip(column(last)), row(first).zip(row(last))) {
        (Some((a, b)), _) => between(a, b, place.column.into()),
        (_, Some((a, b))) => between(a, b, place.row),
        _ => true,
    }
}

/// `[.A1]+SUM([$Runs.B2:.B9];1)` -> `A1+SUM(Runs!B2:B9,1)`.
fn from_ods(formula: &str) -> Result<String, Reason> {
    let mut plain = String::with_capacity(formula.len());
    let mut rest = formula;
    while let Some(first) = rest.chars().next() {
        let length = match first {
            '"' => {
                let end = closing(rest, '"').ok_or(ODD)?;
                plain.push_str(&rest[..=end]);
                end + 1
            }
            '[' => {
                let end = bracket(rest).ok_or(ODD)?;
                plain.push_str(&reference(&rest[1..end])?);
                end + 1
            }
            ';' => {
                plain.push(',');
                1
            }
            // Arrays, unions and intersections have other signs here.
            '{' | '}' | '~' | '!' | '|' => return Err(ODD),
            c => {
                plain.push(c);
                c.len_utf8()
            }
        };
        // As above: whole characters at the start of `rest`.
        rest = &rest[length..];
    }
    Ok(plain)
}

/// The bracket that closes a reference; a sheet name in quotes may hold one. `text` begins with a bracket; every cut is
/// at or behind a sign that was found.
fn bracket(text: &str) -> Option<usize> {
    let mut at = 1;
    loop {
        let found = text[at..].find(['\'', ']'])? + at;
        if text[found..].starts_with(']') {
            return Some(found);
        }
        at = found + closing(&text[found..], '\'')? + 1;
    }
}

/// `.A1`, `.A1:.B2`, `$Runs.A1`, `'On hand'.A1:.B2`.
fn reference(inside: &str) -> Result<String, Reason> {
    let (sheet, cell) = match inside.strip_prefix('$').unwrap_or(inside) {
        name if name.starts_with('\'') => {
            let end = closing(name, '\'').ok_or(ODD)?;
            (&name[..=end], &name[end + 1..])
        }
        name => name.split_at(name.find('.').ok_or(ODD)?),
    };
    let cell = cell.strip_prefix('.').ok_or(ODD)?;
    let cells = match cell.split_once(':') {
        Some((first, last)) => format!("{first}:{}", last.strip_prefix('.').ok_or(ODD)?),
        None => cell.to_owned(),
    };
    if cells.contains(['#', '.', '\'']) {
        return Err("refers to cells that are gone, or to several sheets at once");
    }
    Ok(if sheet.is_empty() { cells } else { format!("{sheet}!{cells}") })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kept(formula: &str) -> Option<String> {
        let sheets = ["runs", "on hand"].map(str::to_owned).into();
        carried(formula, &sheets).ok().map(|f| f.to_string())
    }

    #[test]
    fn formulas_over_kept_cells_are_kept_as_they_are() {
        for formula in [
            "A1+1",
            "SUM($B$2:B9)*1.05",
            "Runs!E7/2",
            "'On hand'!B2&\" ft [x]\"",
            "IF(A1>=2,\"yes\",\"a \"\"b\"\"\")",
            "SUM(B:B)+SUM(2:3)",
            "_xlfn.IFS(A1=1,2,TRUE,3%)",
            "ROUND(.5,0)",
        ] {
            assert_eq!(kept(formula).as_deref(), Some(formula));
        }
    }

    #[test]
    fn functions_newer_than_the_file_format_bear_its_mark() {
        assert_eq!(kept("SWITCH(A1,1,\"ifs(\")").as_deref(), Some("_xlfn.SWITCH(A1,1,\"ifs(\")"));
        assert_eq!(kept("1+_xlfn.SWITCH(A1,1,IFNA(B1,0))").as_deref(), Some("1+_xlfn.SWITCH(A1,1,_xlfn.IFNA(B1,0))"));
        assert_eq!(kept("of:=IFS([.A1];2)").as_deref(), Some("_xlfn.IFS(A1,2)"));
    }

    #[test]
    fn a_formula_is_seen_to_look_at_what_it_names() {
        let looks = |formula: &str| looks_at(formula, "Job", &Place::new("Runs", 6, 4));
        for formula in ["Runs!E7*2", "1+SUM('Runs'!$A$1:$F$9)", "SUM(Runs!E:E)", "SUM(Runs!2:9)", "A1+runs!$e$7"] {
            assert!(looks(formula), "{formula}");
        }
        for formula in
            ["E7*2", "Runs!E8", "SUM(Runs!A1:D9)", "SUM(Runs!F:G)", "SUM(Runs!8:9)", "Runs!A1+E7", "\"Runs!E7\""]
        {
            assert!(!looks(formula), "{formula}");
        }
        assert!(looks_at("E7", "Runs", &Place::new("Runs", 6, 4)));
    }

    #[test]
    fn formulas_that_reach_out_of_the_bid_are_not() {
        for formula in [
            "[1]Sheet1!A1",
            "Table1[Qty]",
            "Hours!A1",
            "'Cost build-up'!A1",
            "TaxRate*2",
            "TODAY()",
            "INDIRECT(\"A1\")",
            "A1#",
            "#REF!+1",
            "Runs:Terms!A1",
            "{1,2}",
            "@A1",
            "A1 \"",
            "A1:B2 B1:B9",
            "'Runs",
        ] {
            assert_eq!(kept(formula), None, "{formula}");
        }
    }

    proptest::proptest! {
        #[test]
        fn no_formula_panics(formula in "(of:=)?[A-C1-3\\[\\]\\.\\$'\"!:;,é(){} ]{0,12}") {
            let _ = kept(&formula);
        }
    }

    #[test]
    fn formulas_of_ods_are_spelled_for_xlsx() {
        assert_eq!(kept("of:=[.A1]+1").as_deref(), Some("A1+1"));
        assert_eq!(kept("of:=SUM([.A1:.B2];\"a;b\")").as_deref(), Some("SUM(A1:B2,\"a;b\")"));
        assert_eq!(kept("of:=[$Runs.$E$7]*[$'On hand'.B2]").as_deref(), Some("Runs!$E$7*'On hand'!B2"));
        for formula in ["of:=[.#REF!]", "of:=[Hours.A1]", "of:=[.A1]~[.B1]", "of:=['file:///x'#$Sheet1.A1]", "of:=[.A1"]
        {
            assert_eq!(kept(formula), None, "{formula}");
        }
    }

    #[test]
    fn a_kept_formula_stands_where_all_it_names_is_there() {
        let there = BTreeSet::from(["runs".to_owned(), "bob's list".to_owned()]);
        for kept in [
            "A1*1.1",
            "SUM(B2:B9)+Runs!E4",
            "SUM(A:A)+SUM($3:$4)",
            "'Bob''s list'!A1&\"Bid!A1 says \"\"x\"\"\"",
            "IF(A1>=1E5,TRUE,-B2%)",
            "_xlfn.IFS(A1=1,2)",
            "_xlfn.SWITCH(A1,1,2)",
        ] {
            assert!(stands(kept, &there), "{kept}");
        }
        for gone in [
            "Bid!A1",
            "'Other list'!A1",
            "[1]Sheet1!A1",
            "Table1[Qty]",
            "LaborRate*2",
            "TODAY()",
            "INDIRECT(\"A1\")",
            "_xlfn.XLOOKUP(1,A1:A2,B1:B2)",
            "{1,2}",
            "\"never closed",
            "A1+'x",
        ] {
            assert!(!stands(gone, &there), "{gone}");
        }
    }
}
