//! `rules`: the tables behind every bid, how far each can be trusted, one table row by row, or all as files to edit.

use super::{Exit, Terminal, Trouble};
use crate::finding::nearest;
use crate::rules::{Basis, Rules, Table};
use crate::write::save;
use serde_json::{Map, Value, json};
use std::io;
use std::path::{Path, PathBuf};

/// What `rules` was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Options {
    /// The table to show, by its name; all are listed without one.
    pub table: Option<String>,
    /// A folder to write the tables to, as CSV files that `--rules` reads.
    pub export: Option<PathBuf>,
    /// Write over files that are there.
    pub replace: bool,
    /// One JSON document in place of lines.
    pub json: bool,
}

pub(crate) fn run(options: &Options, terminal: &mut Terminal) -> io::Result<Exit> {
    let rules = Rules::embedded();
    let chosen = match &options.table {
        None => None,
        Some(name) => match rules.table(name) {
            Some(table) => Some(table),
            None => return terminal.trouble(&unknown(name, rules)),
        },
    };
    if let Some(folder) = &options.export {
        let tables: Vec<&Table> = rules.tables().filter(|t| chosen.is_none_or(|c| c.name() == t.name())).collect();
        return match export(&tables, folder, options.replace) {
            Ok(written) if options.json => {
                let written: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
                terminal.json(&json!({ "written": written })).map(|()| Exit::Done)
            }
            Ok(written) => {
                for path in &written {
                    writeln!(terminal.out, "Wrote {}", path.display())?;
                }
                Ok(Exit::Done)
            }
            Err(trouble) => terminal.trouble(&trouble),
        };
    }
    match (chosen, options.json) {
        (Some(table), true) => terminal.json(&rows_document(table))?,
        (Some(table), false) => terminal.out.write_all(show(table).as_bytes())?,
        (None, true) => {
            let tables: Vec<Value> = rules.tables().map(table_document).collect();
            terminal.json(&json!({ "tables": tables }))?;
        }
        (None, false) => terminal.out.write_all(list(rules).as_bytes())?,
    }
    Ok(Exit::Done)
}

fn unknown(name: &str, rules: &Rules) -> Trouble {
    let names: Vec<&str> = rules.tables().map(Table::name).collect();
    Trouble::usage(match nearest(name, names.iter().copied()) {
        Some(nearest) => format!("There is no rule table \"{name}\". Did you mean \"{nearest}\"?"),
        None => format!("There is no rule table \"{name}\". There are: {}.", names.join(", ")),
    })
}

/// Writes the tables, all or none of them where a name is taken.
fn export(tables: &[&Table], folder: &Path, replace: bool) -> Result<Vec<PathBuf>, Trouble> {
    let paths: Vec<PathBuf> = tables.iter().map(|table| folder.join(table.spec.file)).collect();
    if let Some(taken) = paths.iter().find(|path| !replace && path.symlink_metadata().is_ok()) {
        let words =
            format!("{} is already there. Give another folder, or --replace to write over it.", taken.display());
        return Err(Trouble::system(words));
    }
    std::fs::create_dir_all(folder)
        .map_err(|reason| Trouble::system(format!("{} could not be made: {reason}.", folder.display())))?;
    for (table, path) in tables.iter().zip(&paths) {
        save::save(path, table.to_csv().as_bytes(), replace).map_err(Trouble::system)?;
    }
    Ok(paths)
}

/// Rows of a table of this basis.
fn count(table: &Table, basis: Basis) -> usize {
    table.rows().iter().filter(|row| row.origin.basis == basis).count()
}

/// The bases that the program's own tables can have.
fn bases() -> impl Iterator<Item = Basis> {
    Basis::ALL.into_iter().filter(|basis| *basis != Basis::YourOwn)
}

fn list(rules: &Rules) -> String {
    let heading = |words: &str| words.to_owned();
    let mut rows = vec![
        ["table", "rows"]
            .into_iter()
            .chain(bases().map(Basis::word))
            .chain(["your sheet", "one row is"])
            .map(heading)
            .collect::<Vec<String>>(),
    ];
    for table in rules.tables() {
        let counts = bases().map(|basis| match count(table, basis) {
            0 => "-".to_owned(),
            count => count.to_string(),
        });
        let mut row = vec![table.name().to_owned(), table.rows().len().to_string()];
        row.extend(counts);
        row.extend([table.spec.sheet.unwrap_or("-").to_owned(), table.spec.about()]);
        rows.push(row);
    }
    let total = |count: &dyn Fn(&Table) -> usize| rules.tables().map(count).sum::<usize>().to_string();
    let mut last = vec!["all".to_owned(), total(&|table| table.rows().len())];
    last.extend(bases().map(|basis| total(&|table| count(table, basis))));
    rows.push(last);
    aligned(&rows)
}

fn show(table: &Table) -> String {
    let mut rows = vec![table.headings().into_iter().map(str::to_owned).collect::<Vec<String>>()];
    for row in table.rows() {
        let words = row.cells.iter().map(ToString::to_string);
        rows.push(words.chain([row.origin.source.to_string(), row.origin.basis.word().to_owned()]).collect());
    }
    let sheet = match table.spec.sheet {
        Some(sheet) => format!("Rows on a sheet {sheet} of the job workbook go before these.\n"),
        None => String::new(),
    };
    format!("{}: {}\n{sheet}\n{}", table.name(), table.spec.about(), aligned(&rows))
}

/// Columns side by side, two spaces between them, no spaces at line ends.
fn aligned(rows: &[Vec<String>]) -> String {
    let mut widths: Vec<usize> = Vec::new();
    for row in rows {
        for (column, cell) in row.iter().enumerate() {
            let width = cell.chars().count();
            match widths.get_mut(column) {
                Some(widest) => *widest = width.max(*widest),
                None => widths.push(width),
            }
        }
    }
    let mut text = String::new();
    for row in rows {
        let padded: Vec<String> = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}")).collect();
        text.push_str(padded.join("  ").trim_end());
        text.push('\n');
    }
    text
}

fn table_document(table: &Table) -> Value {
    let counts: Map<String, Value> =
        bases().map(|basis| (basis.word().replace(' ', "_"), count(table, basis).into())).collect();
    json!({
        "table": table.name(),
        "one_row_is": table.spec.about(),
        "your_sheet": table.spec.sheet,
        "rows": table.rows().len(),
        "basis": counts,
    })
}

fn rows_document(table: &Table) -> Value {
    let headings = table.headings();
    let rows: Vec<Value> = table
        .rows()
        .iter()
        .map(|row| {
            let cells = row.cells.iter().map(|cell| &**cell);
            let cells = cells.chain([&*row.origin.source, row.origin.basis.word()]);
            headings.iter().zip(cells).map(|(heading, cell)| ((*heading).to_owned(), Value::from(cell))).collect()
        })
        .collect();
    json!({ "table": table.name(), "one_row_is": table.spec.about(), "your_sheet": table.spec.sheet, "rows": rows })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_counts_every_row_once() {
        for table in Rules::embedded().tables() {
            let counted: usize = bases().map(|basis| count(table, basis)).sum();
            assert_eq!(counted, table.rows().len(), "{}", table.name());
        }
    }

    #[test]
    fn columns_are_aligned_without_trailing_spaces() {
        let rows = [vec!["a".to_owned(), "long".to_owned()], vec!["bbb".to_owned(), "x".to_owned()]];
        assert_eq!(aligned(&rows), "a    long\nbbb  x\n");
    }
}
