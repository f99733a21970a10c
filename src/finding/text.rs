//! Findings as lines on a terminal, and texts as they quote them.

use super::Finding;
use std::fmt::Write;

/// Findings as text, three lines each:
///
/// ```text
/// stop  unknown-name  house.xlsx  Runs!B14
///       Found "M1A"; there is no run of that name. Did you mean "M1"?
///       Write the name of a run, or SUPPLY where the line leaves the supply.
/// ```
pub fn lines(file: &str, findings: &[Finding]) -> String {
    let mut out = String::new();
    for finding in findings {
        let place = finding.place.as_ref().map(|p| format!("  {p}")).unwrap_or_default();
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{}  {}  {file}{place}", finding.severity.word(), finding.slug);
        let _ = writeln!(out, "      {}", finding.found);
        for row in aligned(&finding.table) {
            let _ = writeln!(out, "        {row}");
        }
        if !finding.remedy.is_empty() {
            let _ = writeln!(out, "      {}", finding.remedy);
        }
        if let Some(source) = &finding.source {
            let _ = writeln!(out, "      Source: {source}");
        }
    }
    out
}

/// Findings of one kind that a terminal shows.
const OF_A_KIND: usize = 10;

/// The same for a terminal: ten of each kind, then how many more there are of it.
pub fn short_lines(file: &str, findings: &[Finding]) -> String {
    let mut counts: Vec<(&'static str, &'static str, usize)> = Vec::new();
    let mut out = String::new();
    for finding in findings {
        let kind = (finding.severity.word(), finding.slug);
        let at = counts.iter().position(|(severity, slug, _)| (*severity, *slug) == kind).unwrap_or_else(|| {
            counts.push((kind.0, kind.1, 0));
            counts.len() - 1
        });
        // Just found or put there.
        counts[at].2 += 1;
        if counts[at].2 <= OF_A_KIND {
            out += &lines(file, std::slice::from_ref(finding));
        }
    }
    for (severity, slug, count) in counts.iter().filter(|(.., count)| *count > OF_A_KIND) {
        let more = count - OF_A_KIND;
        let _ = writeln!(out, "{severity}  {slug}  {file}  and {more} more; the Findings sheet and --json list all.");
    }
    out
}

/// The rows of a table as lines, their columns under each other.
fn aligned(table: &[Vec<String>]) -> Vec<String> {
    let columns = table.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| table.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max();
    let widths: Vec<usize> = (0..columns).map(|column| width(column).unwrap_or(0)).collect();
    let line = |row: &Vec<String>| {
        let cells = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}"));
        cells.collect::<Vec<_>>().join("  ").trim_end().to_owned()
    };
    table.iter().map(line).collect()
}

/// A text as a finding quotes it: its first 60 characters, with signs that a terminal would act on left out.
pub fn excerpt(text: &str) -> String {
    let mut short: String = text.trim().chars().map(|c| if c.is_control() { ' ' } else { c }).take(60).collect();
    if text.trim().chars().nth(60).is_some() {
        short.push('…');
    }
    short
}
