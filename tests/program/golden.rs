//! The result sheets of both demonstration bids as text, each formula once: `tests/golden/<book>/<Sheet>.txt`.
//!
//! `TALLYBORE_UPDATE=1 cargo test --test program golden` writes them anew; read what it changed, and look for rows that do not
//! fold into the ones above them.

use crate::support::job::demonstration;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use tallybore::figure::address::{Addresses, addresses};
use tallybore::figure::spell::{Sheetwise, depth, formula};
use tallybore::figure::{Block, Book, Fig, Origin, dump};
use tallybore::pipeline::Priced;
use tallybore::rules::Basis;

const BOOKS: [&str; 2] = ["prairie-house", "corner-bakery"];

/// How long a formula may be, in characters, and how deep its operations may lie in one another.
const LONGEST: usize = 160;
const DEEPEST: usize = 6;

fn priced() -> &'static [(&'static str, Priced)] {
    static PRICED: OnceLock<Vec<(&str, Priced)>> = OnceLock::new();
    PRICED.get_or_init(|| BOOKS.map(|name| (name, demonstration(name).price())).into())
}

fn golden(book: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(book)
}

#[test]
fn the_sheets_of_the_demonstration_bids_are_as_they_were() {
    let rewriting = std::env::var_os("TALLYBORE_UPDATE").is_some_and(|value| value == "1");
    let mut wrong = Vec::new();
    for (name, priced) in priced() {
        let folder = golden(name);
        let mut known = BTreeSet::new();
        fs::create_dir_all(&folder).unwrap();
        for (sheet, text) in dump::sheets(&priced.book, "Job") {
            let file = format!("{sheet}.txt");
            if rewriting {
                fs::write(folder.join(&file), &text).unwrap();
            }
            let before = fs::read_to_string(folder.join(&file)).unwrap_or_default();
            if let Some(line) = first_difference(&before, &text) {
                wrong.push(format!("{name}/{file}, {line}"));
            }
            known.insert(file);
        }
        for entry in fs::read_dir(&folder).unwrap() {
            let file = entry.unwrap().file_name().into_string().unwrap();
            if !known.contains(&file) {
                wrong.push(format!("{name}/{file} is no sheet of the bid"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Where two texts part, with both lines.
fn first_difference(before: &str, now: &str) -> Option<String> {
    if before == now {
        return None;
    }
    let longest = before.lines().count().max(now.lines().count());
    let line = |text: &str, at: usize| text.lines().nth(at).unwrap_or("(the end)").to_owned();
    let at = (0..longest).find(|at| line(before, *at) != line(now, *at)).unwrap_or(longest);
    Some(format!("line {}:\n  was {}\n  is  {}", at + 1, line(before, at), line(now, at)))
}

/// Every figure that calls itself a rule says how the rule is known; a number that stands on none does not call itself one.
#[test]
fn every_rule_in_a_bid_has_a_basis() {
    let mut seen = 0;
    for (name, priced) in priced() {
        for origin in priced.book.origins() {
            let Origin::Rule(source) = origin else { continue };
            seen += 1;
            let known = Basis::ALL.iter().any(|basis| source.ends_with(&format!("({})", basis.word())));
            assert!(known, "{name}: {source}");
        }
    }
    assert!(seen > 500, "{seen}");
}

/// Every cell of the book that holds a formula, with its sheet and heading.
fn formulas(book: &Book) -> Vec<(String, Fig)> {
    let mut all = Vec::new();
    for sheet in book.sheets() {
        for block in &sheet.blocks {
            match block {
                Block::Gap | Block::PageBreak | Block::Chart(_) => {}
                Block::Line { figure, .. } => all.push((format!("{}: a line", sheet.name), *figure)),
                Block::Table(table) => {
                    let spec = book.table_spec(*table);
                    for (index, column) in (0..).zip(&spec.columns) {
                        let figures = (0..spec.rows).filter_map(|row| book.cell_at(*table, row, index));
                        all.extend(figures.map(|f| (format!("{}: {}: {}", sheet.name, spec.title, column.heading), f)));
                    }
                }
            }
        }
    }
    all.retain(|(_, figure)| book.expr(*figure).is_some());
    all
}

fn sheet_of(book: &Book, addresses: &Addresses, figure: Fig) -> String {
    addresses.place(book, figure).sheet.to_string()
}

/// Formulas longer or deeper than that: sheet, table and heading; how long and how deep they may be; and why they are.
const EXCEPTIONS: &[(&str, usize, usize, &str)] = &[
    ("Friction: Friction in each run: Turbulent factor", LONGEST, 8, "one published formula, written as it is printed"),
    (
        "Sizing: Devices in the line: Psi out",
        LONGEST,
        8,
        "a regulator's least of three pressures, each worked out in it",
    ),
    ("Buying: : ", 200, DEEPEST, "one verdict over the check columns of five tables"),
    (
        "Counts: Every piece where it is needed: Quantity",
        240,
        DEEPEST,
        "supports of a run, level and upright in one count",
    ),
    (
        "Cut plan: Runs, each covered once: Needs",
        200,
        DEEPEST,
        "nipples of one pipe, cold and hot, in eighths of an inch",
    ),
    (
        "Checks: Formulas typed over: Check",
        1300,
        DEEPEST,
        "one question about each of two dozen cells: a check a cell would be as many again as there are formulas",
    ),
    ("Buying: Line by line: Needed", 200, DEEPEST, "what two phases need"),
    ("Cut plan: Sticks and coils: Check", 220, DEEPEST, "the row of Prices still bears its name, and the cuts fit"),
    ("Tees: Tees as made up: Check", 300, DEEPEST, "up to four tees that would do, each by its name"),
];

#[test]
fn formulas_are_short_enough_to_read() {
    let mut used: BTreeSet<&str> = BTreeSet::new();
    let mut worst: BTreeMap<String, (usize, usize, String)> = BTreeMap::new();
    for (_, priced) in priced() {
        let book = &priced.book;
        let addresses = addresses(book);
        for (place, figure) in formulas(book) {
            let Some(expr) = book.expr(figure) else { continue };
            let sheet = sheet_of(book, &addresses, figure);
            let text = formula(expr, &Sheetwise { book, addresses: &addresses, sheet: &sheet });
            let (length, deep) = (text.chars().count(), depth(expr));
            let excepted = EXCEPTIONS.iter().find(|(known, ..)| *known == place);
            if length > LONGEST || deep > DEEPEST {
                used.extend(excepted.map(|(known, ..)| *known));
            }
            let (longest, deepest) = excepted.map_or((LONGEST, DEEPEST), |(_, length, deep, _)| (*length, *deep));
            if length > longest || deep > deepest {
                let worst = worst.entry(place).or_insert((0, 0, String::new()));
                if length > worst.0 {
                    worst.2 = text;
                }
                worst.0 = worst.0.max(length);
                worst.1 = worst.1.max(deep);
            }
        }
    }
    let phrases: Vec<String> = worst
        .iter()
        .map(|(place, (length, deep, text))| format!("{place}\n  {length} long, {deep} deep: {text}"))
        .collect();
    assert!(phrases.is_empty(), "formulas over {LONGEST} characters or {DEEPEST} deep:\n{}", phrases.join("\n"));
    let stale: Vec<_> = EXCEPTIONS.iter().filter(|(place, ..)| !used.contains(place)).collect();
    assert!(stale.is_empty(), "no longer exceptions: {stale:?}");
}
