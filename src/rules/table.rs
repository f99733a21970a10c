//! What a rule table is made of, and one table as rows of text.
//!
//! Every cell is checked against its column when a row comes in, and kept in the spelling that the rest of the program
//! uses: sizes as `1-1/4`, fixtures and materials by their own names, words in the list's spelling.

use super::names::Names;
use super::origin::Origin;
use crate::finding::Finding;
use crate::model::columns::DEVICE_KINDS;
use crate::model::{Size, fold, parse_number};
use rust_decimal::Decimal;
use std::any::Any;
use std::collections::BTreeMap;
use std::sync::Arc;

/// What a cell of a rule table may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Text,
    /// Words that the program's own table has in this column: a user's row may not bring new ones.
    Known,
    /// 0 or more.
    Number,
    /// More than 0.
    Positive,
    /// 0 to 1.
    Share,
    Size,
    /// One word of a list.
    Word(&'static [&'static str]),
    /// One word of a list; in a user's row blank stands for each of them, and so does `any` where it is not one of them.
    Each(&'static [&'static str]),
    /// A fixture by its name or an everyday one, or one of these words.
    Fixture(&'static [&'static str]),
    /// A fixture or a device kind.
    FixtureOrDevice,
    Device,
    /// Fixtures separated by `;`, alternatives by `/`.
    Members,
    Material,
    /// A kind of part by its name or an everyday one.
    Part,
    /// Ends with an x between, each by its name or an everyday one.
    Ends,
}

/// What a column is to its row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Role {
    /// Part of what tells rows apart; never blank.
    Key,
    /// Part of what tells rows apart; may be blank.
    KeyOrBlank,
    /// A value that every row has.
    Value,
    /// A value that a row may leave blank.
    Optional,
    /// Words that belong to one row alone and are not taken over by the row that replaces it.
    Remark,
}

/// One column of a rule table.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// As in the CSV file; a sheet may write it with spaces and capitals.
    pub name: &'static str,
    /// Other headings that a user's sheet may have.
    pub aliases: &'static [&'static str],
    pub(crate) kind: Kind,
    pub(crate) role: Role,
    /// No number above this can be meant.
    pub most: Option<Decimal>,
}

impl Column {
    pub(super) const fn new(name: &'static str, kind: Kind, role: Role) -> Self {
        Self { name, aliases: &[], kind, role, most: None }
    }

    /// The cell in the program's own spelling, or what was expected. `text` is trimmed and not blank.
    pub(super) fn own_spelling(&self, text: &str, names: &Names) -> Result<Arc<str>, String> {
        let cell = self.kind.own_spelling(text, names)?;
        match (self.most, parse_number(&cell)) {
            (Some(most), Some(number)) if number > most => Err(format!("a number up to {most}")),
            _ => Ok(cell),
        }
    }

    /// True for the columns that tell rows apart.
    pub fn is_key(&self) -> bool {
        matches!(self.role, Role::Key | Role::KeyOrBlank)
    }

    /// True for the columns that no row may leave blank.
    pub(crate) fn is_needed(&self) -> bool {
        matches!(self.role, Role::Key | Role::Value)
    }

    /// Its name and its other headings.
    pub(crate) fn names(&self) -> impl Iterator<Item = &'static str> + use<> {
        std::iter::once(self.name).chain(self.aliases.iter().copied())
    }
}

/// A table as declared: its file, the user's sheet that overrides it, and its columns.
#[derive(Debug)]
pub struct Spec {
    /// As `tallybore rules` lists it; the file is this name with `.csv`.
    pub name: &'static str,
    /// In `templates/rules/`.
    pub file: &'static str,
    /// The table that the program carries, as CSV.
    pub(crate) text: &'static str,
    /// Types its rows.
    pub(crate) rows: fn(&Table, &mut Vec<Finding>) -> TypedRows,
    /// What one row of it says: the doc comment of the row.
    pub(crate) doc: &'static str,
    /// The sheet of a job workbook whose rows go before it, if there is one.
    pub sheet: Option<&'static str>,
    /// In the file's order, `source` and `basis` aside.
    pub columns: &'static [Column],
}

impl Spec {
    /// What one row of it says: `an everyday name of a fixture`.
    pub fn about(&self) -> String {
        let words = self.doc.trim().trim_end_matches('.');
        let mut letters = words.chars();
        letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
    }
}

/// The typed rows of one table, of whatever type they are.
pub type TypedRows = Arc<dyn Any + Send + Sync>;

/// Rows that a subject adds to a table about the whole job, such as the hours of its tasks.
#[derive(Debug, Clone, Copy)]
pub struct MoreRows {
    /// The table, by its name.
    pub table: &'static str,
    /// What the file is called where a row of it is named: `garden/labor.csv`.
    pub file: &'static str,
    /// CSV with the headings of the table.
    pub text: &'static str,
}

/// One row: a text for each column of the table, and where it comes from.
#[derive(Debug, Clone)]
pub struct TextRow {
    /// As text, in the tables' own spelling.
    pub cells: Vec<Arc<str>>,
    /// Source, basis and where it was read.
    pub origin: Origin,
}

/// One table with what the user's rows changed in it.
#[derive(Debug, Clone)]
pub struct Table {
    /// As declared.
    pub spec: &'static Spec,
    pub(super) rows: Vec<TextRow>,
    /// Row by key; see [`Table::key`].
    pub(super) index: BTreeMap<String, usize>,
}

impl Table {
    pub(super) fn new(spec: &'static Spec) -> Self {
        Self { spec, rows: Vec::new(), index: BTreeMap::new() }
    }

    /// As `tallybore rules` lists it.
    pub fn name(&self) -> &'static str {
        self.spec.name
    }

    /// The columns' names, `source` and `basis` last.
    pub fn headings(&self) -> Vec<&'static str> {
        self.spec.columns.iter().map(|c| c.name).chain(["source", "basis"]).collect()
    }

    /// The rows, in the table's own order, added ones last.
    pub fn rows(&self) -> &[TextRow] {
        &self.rows
    }

    /// The table as CSV text, as it would stand in `templates/rules/`.
    pub fn to_csv(&self) -> String {
        let mut writer = csv::Writer::from_writer(Vec::new());
        // Writing to memory cannot fail, and every record has as many cells as the heading.
        let _ = writer.write_record(self.headings());
        for row in &self.rows {
            let cells = row.cells.iter().map(|c| &**c);
            let _ = writer.write_record(cells.chain([&*row.origin.source, row.origin.basis.word()]));
        }
        writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
    }

    /// What tells this row from the others: its key cells, without case, numbers without trailing zeros.
    pub(super) fn key(&self, cells: &[Arc<str>]) -> String {
        let mut key = String::new();
        for (column, cell) in self.spec.columns.iter().zip(cells).filter(|(c, _)| c.is_key()) {
            match column.kind {
                Kind::Text | Kind::Known | Kind::Part | Kind::Ends => key.push_str(&fold(cell)),
                Kind::Number | Kind::Positive | Kind::Share => match parse_number(cell) {
                    Some(number) => key.push_str(&number.normalize().to_string()),
                    None => key.push_str(cell),
                },
                _ => key.push_str(cell),
            }
            key.push('|');
        }
        key
    }
}

impl Kind {
    /// The cell in the program's own spelling, or what was expected. `text` is trimmed and not blank.
    pub(super) fn own_spelling(self, text: &str, names: &Names) -> Result<Arc<str>, String> {
        let number = |least: fn(Decimal) -> bool, expected: &str| match parse_number(text) {
            Some(n) if least(n) => Ok(Arc::from(plain_number(text, n))),
            _ => Err(expected.to_owned()),
        };
        match self {
            Self::Text | Self::Known => Ok(text.into()),
            Self::Number => number(|n| n >= Decimal::ZERO, "a number, 0 or more"),
            Self::Positive => number(|n| n > Decimal::ZERO, "a number more than 0"),
            Self::Share => number(|n| n >= Decimal::ZERO && n <= Decimal::ONE, "a number from 0 to 1"),
            Self::Size => match Size::parse(text) {
                Some(size) => Ok(size.to_string().into()),
                None => Err("a pipe size such as 3/4 or 1-1/4".to_owned()),
            },
            Self::Word(list) | Self::Each(list) => in_list(text, list),
            Self::Fixture(list) => match in_list(text, list) {
                Ok(word) => Ok(word),
                Err(_) => names.fixture(text).cloned().ok_or_else(|| names.expected_fixture(text)),
            },
            Self::Device => in_list(text, DEVICE_KINDS),
            // `other` is both; the fixture's name is the same word.
            Self::FixtureOrDevice => match in_list(text, DEVICE_KINDS) {
                Ok(kind) => Ok(kind),
                Err(_) => names.fixture(text).cloned().ok_or_else(|| names.expected_fixture(text)),
            },
            Self::Members => {
                let mut slots = Vec::new();
                for slot in text.split(';') {
                    let names: Result<Vec<_>, String> = slot
                        .split('/')
                        .map(|name| names.fixture(name).cloned().ok_or_else(|| names.expected_fixture(name)))
                        .collect();
                    slots.push(names?.join("/"));
                }
                Ok(slots.join(";").into())
            }
            Self::Part => Ok(names.part(text).into()),
            Self::Ends => Ok(names.ends(text).into()),
            Self::Material => names.material(text).cloned().ok_or_else(|| names.expected_material(text)),
        }
    }
}

/// A number's text without thousands commas and the like; left as typed where it is plain already.
fn plain_number(text: &str, number: Decimal) -> String {
    let plain = text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    if plain { text.to_owned() } else { number.to_string() }
}

fn in_list(text: &str, list: &'static [&'static str]) -> Result<Arc<str>, String> {
    // The built-in tables are written in the list's own spelling; folding is for people.
    let exact = list.iter().find(|word| **word == text);
    let folded = || list.iter().find(|word| fold(word) == fold(text));
    match exact.or_else(folded) {
        Some(word) => Ok(Arc::from(*word)),
        None => Err(format!("one of: {}", list.join(", "))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::Rules;

    #[test]
    fn every_number_of_a_rule_table_has_a_most() {
        for table in Rules::embedded().tables() {
            for column in table.spec.columns {
                let open = matches!(column.kind, Kind::Number | Kind::Positive) && column.most.is_none();
                assert!(!open, "{}: {}", table.name(), column.name);
            }
        }
    }
}
