//! `check`: everything that pricing would find, and no file is written.

use super::document::{CheckDocument, several};
use super::job::{self, Given};
use super::terminal::counted;
use super::{Exit, Terminal};
use std::io;
use std::path::PathBuf;

/// What `check` was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Options {
    /// Workbooks, at least one.
    pub books: Vec<PathBuf>,
    /// Settings and rule tables for all of them.
    pub given: Given,
    /// One JSON document in place of lines.
    pub json: bool,
}

/// Checks the books one after another; the worst of them decides how the command ends.
pub(crate) fn run(options: &Options, terminal: &mut Terminal) -> io::Result<Exit> {
    let prepared = match options.given.prepare() {
        Ok(prepared) => prepared,
        Err(trouble) => return terminal.trouble(&trouble),
    };
    let mut worst = Exit::Done;
    let mut documents = Vec::new();
    for book in &options.books {
        let file = book.display().to_string();
        let opened = job::open(book, &prepared);
        let (findings, exit) = match opened.price(&prepared, false) {
            Ok(priced) => (priced.findings, Exit::Done),
            Err(stopped) => stopped,
        };
        worst = worst.max(exit);
        if options.json {
            documents.push(CheckDocument::new(&file, exit == Exit::Done, &findings));
            continue;
        }
        terminal.uncounted(&file, &findings)?;
        let verdict = match exit {
            Exit::Done => "a bid can be made",
            Exit::Stopped => "no bid can be made yet",
            Exit::Usage | Exit::System => "cannot be read",
        };
        writeln!(terminal.out, "{file}: {verdict}; {}", counted(&findings))?;
    }
    if options.json {
        terminal.json(&several(documents))?;
    }
    Ok(worst)
}
