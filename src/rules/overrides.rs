//! Rows coming into a table: the program's own first, then those of a `--rules` folder, then those of the job's sheets.
//! A row with the key of one that is there takes its place, and takes over the values it leaves blank; any other is
//! added. What cannot be read is told exactly: which row, which column, what stood there, what was expected.

use super::incoming::{Cell, Incoming, heading, position};
use super::names::Names;
use super::origin::{Basis, Origin, ReadFrom};
use super::table::{Column, Kind, Role, Table, TextRow};
use crate::finding::{Finding, excerpt, nearest, shortens};
use crate::model::fold;
use crate::rules::findings::{BadRuleRow, MissingRuleColumn, RuleHeading};
use std::sync::Arc;

/// In a column of codes or occupancies: the row speaks for all that have no row of their own.
const ANY: &str = "any";

/// How many rows took another's place and how many were added.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Counts {
    pub replaced: usize,
    pub added: usize,
}

/// A row as it came in, by the columns of the table.
struct Given<'r, 'a> {
    line: u32,
    texts: &'r [&'a str],
    /// Where each stands among the cells of the row.
    at: &'r [Option<usize>],
    origin: &'r Origin,
}

impl Table {
    /// Takes the rows in, and tells what could not be taken.
    pub(super) fn take(&mut self, incoming: &Incoming, names: &Names, findings: &mut Vec<Finding>) -> Counts {
        let mut counts = Counts::default();
        for (line, error) in &incoming.unreadable {
            let row = incoming.read_from(*line).to_string();
            findings.push(Finding::everywhere(BadRuleRow {
                table: self.name(),
                row,
                column: String::new(),
                found: error.clone(),
                expected: "a line of comma-separated text".to_owned(),
            }));
        }
        let found_at: Vec<Option<usize>> =
            self.spec.columns.iter().map(|c| position(&incoming.headings, c.name, c.aliases)).collect();
        if !self.headings_suffice(incoming, &found_at, findings) {
            return counts;
        }
        let source_at = position(&incoming.headings, "source", &[]);
        let basis_at = position(&incoming.headings, "basis", &[]);
        self.tell_other_headings(incoming, &found_at, &[source_at, basis_at], findings);
        for (line, cells) in &incoming.rows {
            let at = |position: Option<usize>| position.and_then(|p| cells.get(p)).map_or("", |c| c.trim());
            if cells.iter().all(|c| c.trim().is_empty()) {
                continue;
            }
            let texts: Vec<&str> = found_at.iter().map(|p| at(*p)).collect();
            let origin = match self.origin(incoming, *line, at(source_at), at(basis_at)) {
                Ok(origin) => origin,
                Err(finding) => {
                    findings.push(*finding);
                    continue;
                }
            };
            let row = Given { line: *line, texts: &texts, at: &found_at, origin: &origin };
            match self.take_row(incoming, &row, names) {
                Ok(done) => {
                    counts.replaced += done.replaced;
                    counts.added += done.added;
                }
                Err(cell) => findings.push(incoming.bad_cell(self, *line, cell)),
            }
        }
        counts
    }

    /// False, with a finding, when a heading is missing without which no row can be read.
    fn headings_suffice(&self, incoming: &Incoming, at: &[Option<usize>], findings: &mut Vec<Finding>) -> bool {
        let needed = |c: &Column| match c.role {
            Role::Key => incoming.is_embedded() || !matches!(c.kind, Kind::Each(_)),
            _ => incoming.is_embedded(),
        };
        let missing: Vec<String> = self
            .spec
            .columns
            .iter()
            .zip(at)
            .filter(|(column, at)| at.is_none() && needed(column))
            .map(|(column, _)| heading(column.name))
            .collect();
        if missing.is_empty() {
            return true;
        }
        let (file, place) = incoming.location();
        findings.push(Finding::near(place.as_ref(), MissingRuleColumn { table: self.name(), file, missing }));
        false
    }

    /// Headings of the user's that this table does not have: what stands under them does nothing.
    fn tell_other_headings(
        &self,
        incoming: &Incoming,
        at: &[Option<usize>],
        origin_at: &[Option<usize>],
        findings: &mut Vec<Finding>,
    ) {
        if incoming.is_embedded() {
            return;
        }
        let absent = self.spec.columns.iter().zip(at).filter(|(_, at)| at.is_none()).map(|(column, _)| column);
        let absent: Vec<String> = absent
            .flat_map(|column| [heading(column.name)].into_iter().chain(column.aliases.iter().map(|a| (*a).to_owned())))
            .collect();
        // Without one value a row can say nothing at all, so what is there must be meant for one.
        let no_value = !self.spec.columns.iter().zip(at).any(|(column, at)| at.is_some() && !column.is_key());
        let (file, place) = incoming.location();
        for (position, found) in incoming.headings.iter().enumerate() {
            let known = at.iter().chain(origin_at).any(|at| *at == Some(position));
            if known || found.trim().is_empty() {
                continue;
            }
            let near = nearest(found, absent.iter().map(String::as_str))
                .or_else(|| absent.iter().map(String::as_str).find(|name| shortens(found, name)))
                .map(str::to_owned);
            let lost = no_value || near.is_some();
            let (table, found) = (self.name(), excerpt(found));
            let facts = RuleHeading { table, file: file.clone(), found, nearest: near, lost };
            findings.push(Finding::near(place.as_ref(), facts));
        }
    }

    /// Source and basis of a row. The program's own rows must have both; a user's without them is their own word.
    fn origin(&self, incoming: &Incoming, line: u32, source: &str, basis: &str) -> Result<Origin, Box<Finding>> {
        let read_from = incoming.read_from(line);
        let bad = |column: &str, found: &str, expected: String| {
            let column = Column::new(if column == "source" { "source" } else { "basis" }, Kind::Text, Role::Value);
            let position = position(&incoming.headings, column.name, &[]);
            Box::new(incoming.bad_cell(self, line, Cell { column: &column, position, found, expected }))
        };
        let known = match (incoming.is_embedded(), basis) {
            (false, "") => Some(Basis::YourOwn),
            (true, _) => Basis::from_name(basis).filter(|b| *b != Basis::YourOwn),
            (false, _) => Basis::from_name(basis),
        };
        let words: Vec<&str> = Basis::ALL.iter().map(|b| b.word()).collect();
        let basis = known.ok_or_else(|| bad("basis", basis, format!("one of: {}", words.join(", "))))?;
        let source: Arc<str> = match (source, &read_from) {
            ("", ReadFrom::Table { .. }) => return Err(bad("source", "", "where the figure comes from".to_owned())),
            ("", ReadFrom::Sheet(place)) => format!("your {} sheet, row {}", place.sheet, u64::from(line) + 1).into(),
            ("", ReadFrom::File { file, .. }) => format!("your {file}, line {line}").into(),
            // Rows of one document follow each other: the text is kept once.
            _ => match self.rows.last().map(|r| &r.origin.source) {
                Some(last) if **last == *source => last.clone(),
                _ => source.into(),
            },
        };
        Ok(Origin { source, basis, read_from, replaced: false })
    }

    /// Takes one row in, for each key it stands for.
    fn take_row<'a>(&mut self, incoming: &Incoming, row: &Given<'_, 'a>, names: &Names) -> Result<Counts, Cell<'a>>
    where
        Self: 'a,
    {
        let spec = self.spec;
        let bad = |i: usize, expected: String| Cell {
            // `i` counts the columns of this table, here and in `put`.
            column: &spec.columns[i],
            position: row.at.get(i).copied().flatten(),
            found: row.texts.get(i).copied().unwrap_or(""),
            expected,
        };
        // The cells that are given, in our spelling; `each` collects the columns that stand for several words.
        let mut cells: Vec<Arc<str>> = Vec::with_capacity(spec.columns.len());
        let mut each: Vec<(usize, &'static [&'static str])> = Vec::new();
        for (i, (column, text)) in spec.columns.iter().zip(row.texts).enumerate() {
            let all = |list: &[&str]| text.is_empty() || (fold(text) == ANY && !list.contains(&ANY));
            match column.kind {
                Kind::Each(list) if all(list) && !incoming.is_embedded() => {
                    each.push((i, list));
                    cells.push("".into());
                }
                _ if text.is_empty() && column.role == Role::Key => {
                    return Err(bad(i, format!("a {}", column.name.replace('_', " "))));
                }
                _ if text.is_empty() => cells.push("".into()),
                Kind::Known if !incoming.is_embedded() => {
                    cells.push(self.known(i, text).map_err(|expected| bad(i, expected))?);
                }
                _ => cells.push(column.own_spelling(text, names).map_err(|expected| bad(i, expected))?),
            }
        }
        let mut keyed = vec![cells];
        for (i, list) in &each {
            keyed = keyed
                .iter()
                .flat_map(|cells| {
                    list.iter().map(move |word| {
                        let mut cells = cells.clone();
                        if let Some(cell) = cells.get_mut(*i) {
                            *cell = Arc::from(*word);
                        }
                        cells
                    })
                })
                .collect();
        }
        let mut counts = Counts::default();
        let mut refused = None;
        for cells in keyed {
            // A row for all codes goes into the row for any code, and into those of one code that are there already.
            let special = |(i, list): &(usize, &'static [&'static str])| {
                list.contains(&ANY) && cells.get(*i).is_some_and(|c| **c != *ANY)
            };
            if each.iter().any(special) && !self.index.contains_key(&self.key(&cells)) {
                continue;
            }
            match self.put(cells, incoming, row.line, row.origin) {
                Ok(true) => counts.replaced += 1,
                Ok(false) => counts.added += 1,
                Err((i, expected)) => refused = refused.or(Some(bad(i, expected))),
            }
        }
        // A row that stands for several keys may lack values for those it cannot take over.
        match refused {
            Some(cell) if counts == Counts::default() => Err(cell),
            _ => Ok(counts),
        }
    }

    /// Puts a row in its place: true when it replaces one. `Err` names the column that is wrong and what it should be.
    fn put(
        &mut self,
        mut cells: Vec<Arc<str>>,
        incoming: &Incoming,
        line: u32,
        origin: &Origin,
    ) -> Result<bool, (usize, String)> {
        let key = self.key(&cells);
        let there = self.index.get(&key).copied();
        let old = there.and_then(|i| self.rows.get(i));
        let from_ours = |o: &TextRow| !o.origin.is_users() || o.origin.replaced;
        let replaced = old.is_some_and(from_ours);
        if let Some(old) = old {
            let twice = match (&old.origin.read_from, incoming.read_from(line)) {
                (ReadFrom::Table { .. }, ReadFrom::Table { .. }) => true,
                (ReadFrom::File { line: before, file }, ReadFrom::File { line, file: now }) => {
                    *file == now && *before != line
                }
                (ReadFrom::Sheet(before), ReadFrom::Sheet(now)) => before.sheet == now.sheet && before.row != now.row,
                _ => false,
            };
            if twice {
                return Err((0, format!("one row for each; {} says the same", old.origin.read_from)));
            }
        }
        let general = || self.general_key(&cells).and_then(|key| self.index.get(&key)).and_then(|i| self.rows.get(*i));
        let model = old.or_else(general).map(|o| o.cells.clone()).unwrap_or_default();
        for (i, column) in self.spec.columns.iter().enumerate() {
            let blank = cells.get(i).is_none_or(|c| c.is_empty());
            let inherits = matches!(column.role, Role::Value | Role::Optional);
            if blank && inherits {
                match model.get(i).filter(|c| !c.is_empty()) {
                    Some(value) => {
                        if let Some(cell) = cells.get_mut(i) {
                            *cell = value.clone();
                        }
                    }
                    None if column.role == Role::Value => {
                        return Err((i, format!("a {}", column.name.replace('_', " "))));
                    }
                    None => {}
                }
            }
        }
        let row = TextRow { cells, origin: Origin { replaced, ..origin.clone() } };
        match there.and_then(|i| self.rows.get_mut(i)) {
            Some(slot) => {
                *slot = row;
                Ok(true)
            }
            None => {
                self.index.insert(key, self.rows.len());
                self.rows.push(row);
                Ok(false)
            }
        }
    }
}

impl Table {
    /// The table's own spelling of a word in this column, or what was expected.
    fn known(&self, column: usize, text: &str) -> Result<Arc<str>, String> {
        let wanted = fold(text);
        let mut words = self.rows.iter().filter_map(|r| r.cells.get(column));
        if let Some(word) = words.clone().find(|w| fold(w) == wanted) {
            return Ok(word.clone());
        }
        let near = nearest(text, words.by_ref().map(|w| &**w));
        Err(match near {
            Some(word) => format!("a name of the {} table, perhaps \"{word}\"", self.name()),
            None => format!("a name of the {} table", self.name()),
        })
    }

    /// The key of the row for `any` that this row is a special case of, if there can be one.
    fn general_key(&self, cells: &[Arc<str>]) -> Option<String> {
        let special = |column: &Column, cell: &Arc<str>| match column.kind {
            Kind::Each(list) => list.contains(&ANY) && **cell != *ANY,
            _ => false,
        };
        let pairs = || self.spec.columns.iter().zip(cells);
        pairs().any(|(column, cell)| special(column, cell)).then(|| {
            let general = pairs().map(|(column, cell)| if special(column, cell) { ANY.into() } else { cell.clone() });
            self.key(&general.collect::<Vec<_>>())
        })
    }
}
