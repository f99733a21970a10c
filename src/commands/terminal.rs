//! Where commands write: results, and what there is to say about them.

use super::{Exit, Trouble};
use crate::finding::{Finding, Severity, text};
use std::io::{self, Write};

/// Standard output and standard error, or what stands for them in a test.
pub struct Terminal<'a> {
    /// Standard output.
    pub out: &'a mut dyn Write,
    /// Standard error.
    pub err: &'a mut dyn Write,
}

impl Terminal<'_> {
    pub(crate) fn flush(&mut self) -> io::Result<()> {
        self.out.flush()?;
        self.err.flush()
    }

    /// Tells a trouble and gives the exit it leads to.
    pub(crate) fn trouble(&mut self, trouble: &Trouble) -> io::Result<Exit> {
        self.out.flush()?;
        writeln!(self.err, "{}", trouble.words)?;
        Ok(trouble.exit)
    }

    /// Tells the findings of a workbook and how many there are; nothing where there are none.
    pub(crate) fn findings(&mut self, file: &str, findings: &[Finding]) -> io::Result<()> {
        if findings.is_empty() {
            return Ok(());
        }
        self.uncounted(file, findings)?;
        writeln!(self.err, "{file}: {}", counted(findings))
    }

    /// Tells the findings alone, where what follows says how many there are.
    pub(crate) fn uncounted(&mut self, file: &str, findings: &[Finding]) -> io::Result<()> {
        self.out.flush()?;
        self.err.write_all(text::short_lines(file, findings).as_bytes())
    }

    /// One JSON document on standard output.
    pub(crate) fn json(&mut self, document: &impl serde::Serialize) -> io::Result<()> {
        serde_json::to_writer_pretty(&mut *self.out, document)?;
        writeln!(self.out)
    }
}

/// `1 stop, 3 to fix, 2 notes`.
pub(crate) fn counted(findings: &[Finding]) -> String {
    let count = |severity| findings.iter().filter(|finding| finding.severity == severity).count();
    let notes = count(Severity::Note);
    let plural = if notes == 1 { "" } else { "s" };
    format!("{} stop, {} to fix, {notes} note{plural}", count(Severity::Stop), count(Severity::Fix))
}
