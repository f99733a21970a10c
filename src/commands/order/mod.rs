//! `order`: a job workbook or a bid in, an order workbook and the same lines as CSV out for each supplier.

mod document;
mod files;

use super::job::{self, Given, Opened};
use super::terminal::counted;
use super::{Exit, Terminal, Trouble};
use crate::finding::{self, Finding};
use crate::model::Phase;
use crate::model::columns::PHASES;
use crate::order::{Order, Orders};
use document::OrderDocument;
use files::Files;
use std::io;
use std::path::PathBuf;

/// What `order` was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Options {
    /// The job workbook or bid.
    pub book: PathBuf,
    /// The folder to write to. Without it the one the book is in.
    pub folder: Option<PathBuf>,
    /// Words of phases; none for all.
    pub phases: Vec<String>,
    /// An order for each phase by itself.
    pub by_phase: bool,
    /// Ask every supplier for the price of everything, and order nothing.
    pub ask: bool,
    /// Write over orders that are there.
    pub replace: bool,
    /// Keep the choices (sizes, offers, packs) of a bid that is read.
    pub hold: bool,
    /// Settings and rule tables.
    pub given: Given,
    /// One JSON document in place of the summary and the findings.
    pub json: bool,
}

pub(crate) fn run(options: &Options, terminal: &mut Terminal) -> io::Result<Exit> {
    let (prepared, phases) = match options.given.prepare().and_then(|given| Ok((given, phases(&options.phases)?))) {
        Ok(ready) => ready,
        Err(trouble) => return terminal.trouble(&trouble),
    };
    let file = options.book.display().to_string();
    let opened = job::open(&options.book, &prepared);
    if options.hold && !opened.job.is_bid && !opened.unreadable {
        writeln!(
            terminal.err,
            "{file} is no bid, so it has no choices to hold: sizes, offers and packs are picked again."
        )?;
    }
    let mut findings = Vec::new();
    let made = make(&opened, &prepared, options, &phases, &mut findings);
    let (orders, exit) = match made {
        Ok(orders) => (Some(orders), Exit::Done),
        Err(exit) => (None, exit),
    };
    let mut document = OrderDocument::new(&file, &findings);
    let mut trouble = None;
    let mut written = Vec::new();
    if let Some(orders) = &orders {
        match files::write(options, &opened, orders) {
            Ok(files) => {
                document.orders(&opened.job, orders, &files);
                written = files;
            }
            Err(reason) => {
                document.error = Some(reason.words.clone());
                trouble = Some(reason);
            }
        }
    }
    let exit = trouble.as_ref().map_or(exit, |trouble| trouble.exit);
    if let Some(trouble) = &trouble {
        terminal.trouble(trouble)?;
    }
    if options.json {
        terminal.json(&document)?;
        return Ok(exit);
    }
    terminal.findings(&file, &findings)?;
    if let (Some(orders), None) = (&orders, &trouble) {
        summary(&file, orders, &written, &findings).iter().try_for_each(|line| writeln!(terminal.out, "{line}"))?;
    }
    Ok(exit)
}

/// Prices the job and makes its orders; or says how the command ends. What is found is told either way.
fn make(
    opened: &Opened,
    prepared: &job::Prepared,
    options: &Options,
    phases: &[Phase],
    findings: &mut Vec<Finding>,
) -> Result<Orders, Exit> {
    let priced = match opened.price(prepared, options.hold) {
        Ok(priced) => priced,
        Err((found, exit)) => {
            *findings = found;
            return Err(exit);
        }
    };
    let made = priced.orders(&opened.job, phases, options.by_phase, options.ask);
    *findings = priced.findings;
    let (orders, more, exit) = match made {
        Ok((orders, more)) => (Ok(orders), more, Exit::Done),
        Err(faults) => (Err(Exit::Stopped), faults, Exit::Stopped),
    };
    findings.extend(more);
    finding::sort(findings);
    orders.map_err(|_| exit)
}

/// The phases of these words, in the order of the work, each once.
fn phases(words: &[String]) -> Result<Vec<Phase>, Trouble> {
    let mut found = Vec::new();
    for word in words {
        let phase = Phase::from_name(word).ok_or_else(|| {
            Trouble::usage(format!("There is no phase \"{}\". There are: {}.", word.trim(), PHASES.join(", ")))
        })?;
        found.push(phase);
    }
    found.sort_unstable();
    found.dedup();
    Ok(found)
}

/// How many orders there are and what they hold, a line each.
fn summary(file: &str, orders: &Orders, written: &[Files], findings: &[Finding]) -> Vec<String> {
    let plural = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    let asks = orders.orders.iter().all(Order::asks_only);
    let lines: usize = orders.orders.iter().map(|order| order.lines.len()).sum();
    let (all, lines) = (plural(orders.orders.len(), if asks { "request" } else { "order" }), plural(lines, "line"));
    let mut summary = vec![format!("{file}: {all}, {lines}; {}", counted(findings))];
    for (order, files) in orders.orders.iter().zip(written) {
        let quotes = match order.quotes() {
            0 => String::new(),
            _ if asks => String::new(),
            count => format!(", {count} of them to be quoted"),
        };
        let phases: Vec<&str> = order.phases.iter().map(|phase| phase.word()).collect();
        let phases = if phases.is_empty() { String::new() } else { format!(", {}", phases.join(", ")) };
        let lines = plural(order.lines.len(), "line");
        summary.push(format!("  {}{phases}: {lines}{quotes}", order.supplier_name()));
        summary.push(format!("    {}", files.workbook.display()));
        summary.push(format!("    {}", files.csv.display()));
    }
    summary
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn phases_are_taken_in_the_order_of_the_work() {
        let typed = |words: &[&str]| phases(&words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>());
        assert_eq!(typed(&["Trim", "rough in", "trim"]), Ok(vec![Phase::RoughIn, Phase::Trim]));
        assert_eq!(typed(&["cellar"]).unwrap_err().exit, Exit::Usage);
    }
}
