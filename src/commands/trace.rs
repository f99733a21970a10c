//! `trace`: from one cell of a bid down to the inputs, rule rows and choices that its figure rests on.
//!
//! The bid on the disk is priced again with its choices held, which puts every figure at the cell it has in the file;
//! the chain is then read off the figures themselves, not off the file's formulas. A job workbook is traced as its bid
//! would stand.

use super::job::{self, Given};
use super::{Exit, Terminal, Trouble};
use crate::figure::address::{Addresses, addresses};
use crate::figure::trace::{Step, find, trace};
use crate::figure::{Book, Fig};
use crate::finding::nearest;
use crate::model::columns::JOB;
use crate::model::{KeptBook, Raw};
use crate::place::Place;
use std::collections::{BTreeSet, HashSet};
use std::io;
use std::path::PathBuf;

/// What `trace` was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Options {
    /// The bid or job workbook.
    pub book: PathBuf,
    /// `Sheet!F12`, or a name such as `Bid_total`.
    pub cell: String,
    /// How many levels to go down; all without it.
    pub depth: Option<usize>,
    /// Settings and rule tables.
    pub given: Given,
}

pub(crate) fn run(options: &Options, terminal: &mut Terminal) -> io::Result<Exit> {
    let prepared = match options.given.prepare() {
        Ok(prepared) => prepared,
        Err(trouble) => return terminal.trouble(&trouble),
    };
    let opened = job::open(&options.book, &prepared);
    let priced = match opened.price(&prepared, opened.job.is_bid) {
        Ok(priced) => priced,
        Err((findings, exit)) => {
            terminal.findings(&options.book.display().to_string(), &findings)?;
            return Ok(exit);
        }
    };
    let addresses = addresses(&priced.book);
    let fig = match figure(&priced.book, &addresses, &opened.kept, &options.cell) {
        Ok(fig) => fig,
        Err(trouble) => return terminal.trouble(&trouble),
    };
    let mut steps = trace(&priced.book, &addresses, fig);
    for step in steps.iter_mut().filter(|step| step.formula.is_none()) {
        if let Some(label) = input_label(&opened.kept, &step.place) {
            step.label = label;
        }
    }
    let (lines, deeper) = trace_lines(&steps, options.depth);
    for line in lines {
        writeln!(terminal.out, "{line}")?;
    }
    if deeper > 0 {
        let words = if deeper == 1 { "figure lies" } else { "figures lie" };
        writeln!(terminal.out, "{deeper} more {words} deeper.")?;
    }
    Ok(Exit::Done)
}

/// What an input is called on the user's own sheet: `A1, Length ft`, or the item of a Job setting.
fn input_label(kept: &KeptBook, place: &Place) -> Option<String> {
    let sheet = kept.sheets.iter().find(|sheet| *sheet.name == *place.sheet)?;
    let words = |row: u32, column: u16| match &sheet.cell(row, column)?.raw {
        Raw::Text(text) => Some(text.to_string()),
        Raw::Number(number) => Some(number.normalize().to_string()),
        Raw::Blank | Raw::Date(_) | Raw::Flag(_) | Raw::Fault(_) => None,
    };
    let named_by = sheet.column_of.get(sheet.declared?.columns.first()?.name)?;
    let row = words(place.row, *named_by).filter(|_| *named_by != place.column);
    if sheet.declared?.name == JOB.name {
        return row;
    }
    let heading = words(sheet.heading_row?, place.column)?;
    Some(row.map_or_else(|| heading.clone(), |row| format!("{row}, {heading}")))
}

/// The lines of a trace down to a depth, and how many figures are met only deeper. Several steps in a row that all stand above
/// already (a sum over a column that another sum went through) are one line.
fn trace_lines(steps: &[Step], depth: Option<usize>) -> (Vec<String>, usize) {
    let within: Vec<&Step> = steps.iter().filter(|step| depth.is_none_or(|depth| step.depth <= depth)).collect();
    let mut above = HashSet::new();
    let mut lines = Vec::new();
    let mut rest = within.as_slice();
    while let [step, after @ ..] = rest {
        let again = rest.iter().take_while(|next| next.depth == step.depth && above.contains(&next.place)).count();
        if again > 1 {
            // `again` counts steps of `rest`, so the last of them is there.
            let last = &rest[again - 1].place;
            lines.push(format!("{}{again} figures from {} to {last}, all above", "  ".repeat(step.depth), step.place));
            rest = &rest[again..];
        } else {
            lines.push(line(step));
            above.insert(&step.place);
            rest = after;
        }
    }
    let shown_places: HashSet<&Place> = within.iter().map(|step| &step.place).collect();
    let deeper: HashSet<&Place> =
        steps.iter().map(|step| &step.place).filter(|place| !shown_places.contains(place)).collect();
    (lines, deeper.len())
}

/// `  A1, Demand  Sizing!E7  =Loads!H7  -> 3.72`: two spaces a level, then label, cell, formula or origin, value.
fn line(step: &Step) -> String {
    let label = if step.label.is_empty() { String::new() } else { format!("{}  ", step.label) };
    let how = match &step.formula {
        Some(formula) => format!("={formula}"),
        None => step.origin.clone(),
    };
    let how = if how.is_empty() { String::new() } else { format!("  {how}") };
    let remark = match (step.seen, step.passed_over) {
        (true, _) => "  (followed above)".to_owned(),
        (false, 0) => String::new(),
        (false, 1) => "  (1 other cell makes no difference)".to_owned(),
        (false, others) => format!("  ({others} other cells make no difference)"),
    };
    format!("{}{label}{}{how}  -> {}{remark}", "  ".repeat(step.depth), step.place, shown(&step.value))
}

/// The value without the digits that no spreadsheet shows.
fn shown(value: &str) -> String {
    if value.is_empty() {
        return "blank".to_owned();
    }
    match value.parse::<f64>() {
        Ok(number) if value.len() > 12 && number.is_finite() => {
            // Ten significant digits, as plain as they can be written.
            let short = format!("{number:.9e}").parse::<f64>().unwrap_or(number);
            short.to_string()
        }
        _ => value.to_owned(),
    }
}

/// The figure at a cell, or of a defined name.
fn figure(book: &Book, addresses: &Addresses, kept: &KeptBook, typed: &str) -> Result<Fig, Trouble> {
    let Some(place) = Place::parse(typed) else {
        let by_name = book.names.iter().find(|(name, _)| name.eq_ignore_ascii_case(typed.trim()));
        return by_name.map(|(_, fig)| *fig).ok_or_else(|| {
            Trouble::usage(format!(
                "\"{typed}\" is no cell. Write it like Sizing!F12 or 'Cost build-up'!G15, or name one, such as Bid_total."
            ))
        });
    };
    if let Some(fig) = find(book, addresses, &place) {
        return Ok(fig);
    }
    let ours = book.sheets().iter().filter(|sheet| !sheet.is_empty()).map(|sheet| &*sheet.name);
    let sheets: BTreeSet<&str> = ours.chain(kept.sheets.iter().map(|sheet| &*sheet.name)).collect();
    if sheets.iter().any(|sheet| sheet.eq_ignore_ascii_case(&place.sheet)) {
        return Err(Trouble::usage(format!(
            "No figure stands at {place}, and none is figured from what stands there."
        )));
    }
    let hint = nearest(&place.sheet, sheets.iter().copied()).map_or_else(
        || format!("It has: {}.", sheets.iter().copied().collect::<Vec<_>>().join(", ")),
        |name| format!("Did you mean \"{name}\"?"),
    );
    Err(Trouble::usage(format!("The bid has no sheet \"{}\". {hint}", place.sheet)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_has_label_cell_formula_and_value() {
        let mut step = Step {
            depth: 1,
            place: Place::new("Sizing", 6, 4),
            label: "A1, Demand".into(),
            formula: Some("Loads!H7*2".into()),
            value: "3.7200000000000001".into(),
            origin: String::new(),
            seen: true,
            passed_over: 0,
        };
        assert_eq!(line(&step), "  A1, Demand  Sizing!E7  =Loads!H7*2  -> 3.72  (followed above)");
        let summed = Step { seen: false, passed_over: 505, ..step.clone() };
        assert!(line(&summed).ends_with("-> 3.72  (505 other cells make no difference)"));
        step = Step { depth: 0, formula: None, origin: "input".into(), seen: false, value: "3/4".into(), ..step };
        step.label.clear();
        assert_eq!(line(&step), "Sizing!E7  input  -> 3/4");
    }

    #[test]
    fn what_stands_above_already_is_told_in_one_line() {
        let step = |depth, row| Step {
            depth,
            place: Place::new("Counts", row, 0),
            label: String::new(),
            formula: None,
            value: "1".into(),
            origin: "input".into(),
            seen: false,
            passed_over: 0,
        };
        let steps = [step(0, 9), step(1, 1), step(1, 2), step(1, 3), step(1, 1), step(1, 2), step(1, 3), step(2, 4)];
        let (lines, deeper) = trace_lines(&steps, Some(1));
        assert_eq!(deeper, 1);
        let expected =
            ["Counts!A10", "  Counts!A2", "  Counts!A3", "  Counts!A4", "  3 figures from Counts!A2 to Counts!A4"];
        assert_eq!(lines.len(), expected.len());
        for (line, expected) in lines.iter().zip(expected) {
            assert!(line.starts_with(expected), "{line}");
        }
    }

    #[test]
    fn long_numbers_are_shown_short() {
        assert_eq!(shown("0.000016632315312345"), "0.00001663231531");
        assert_eq!(shown("12345.67"), "12345.67");
        assert_eq!(shown(""), "blank");
        assert_eq!(shown("a text over twelve letters"), "a text over twelve letters");
    }
}
