//! From a figure down to the inputs, rule rows and choices it rests on.

use super::address::Addresses;
use super::deciding::{Deciding, deciding};
use super::spell::{Sheetwise, formula};
use super::{Book, Fig, Home, Origin};
use crate::place::Place;

/// One step of a trace.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// 0 for the figure asked about.
    pub depth: usize,
    /// The cell of the figure.
    pub place: Place,
    /// What it is called: the first word of its row and the heading of its column, or its defined name.
    pub label: String,
    /// Without `=`; `None` for inputs, rules and choices.
    pub formula: Option<String>,
    /// What it comes to, as text; without unit.
    pub value: String,
    /// "input", "rule: IRC 2021 Table P2903.6 (standard)", "choice"; empty for formulas.
    pub origin: String,
    /// True when this figure has been shown in full higher up and is not unfolded again.
    pub seen: bool,
    /// Cells that the formula looks at and that made no difference: rows a sum passed over, the side of a condition that was
    /// not taken.
    pub passed_over: usize,
}

/// The chain from a figure down to what decided it, depth first; a figure met again is named but not unfolded twice.
pub fn trace(book: &Book, addresses: &Addresses, from: Fig) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut seen = std::collections::HashSet::new();
    let mut stack = vec![(from, 0)];
    while let Some((fig, depth)) = stack.pop() {
        let place = addresses.place(book, fig);
        let names = Sheetwise { book, addresses, sheet: &place.sheet };
        let first_time = seen.insert(fig);
        let deciding = if first_time { deciding(book, fig) } else { Deciding::default() };
        steps.push(Step {
            depth,
            label: label(book, fig),
            formula: book.expr(fig).map(|expr| formula(expr, &names)),
            value: book.value(fig).to_string(),
            origin: match book.origin(fig) {
                Origin::Input => "input".to_owned(),
                Origin::Rule(source) => format!("rule: {source}"),
                Origin::Stated(source) => source.to_string(),
                Origin::Choice { .. } => "choice".to_owned(),
                Origin::Carried(from) => format!("from {from}"),
                Origin::Label | Origin::Computed => String::new(),
            },
            seen: !first_time && book.expr(fig).is_some(),
            passed_over: deciding.passed_over,
            place,
        });
        stack.extend(deciding.cells.into_iter().rev().map(|reason| (reason, depth + 1)));
    }
    steps
}

/// What a figure is called: its row's first word and its column's heading, or its defined name.
pub fn label(book: &Book, fig: Fig) -> String {
    match book.home(fig) {
        Home::Table(row, column) => {
            let spec = book.table_spec(row.table);
            let heading = &spec.columns[usize::from(*column)].heading;
            let key = book.cell_at(row.table, row.index, 0).filter(|key| *key != fig);
            let key = key.map(|key| book.value(key).to_string()).unwrap_or_default();
            match (heading.is_empty(), key.is_empty()) {
                (true, _) => key,
                (false, true) => heading.to_string(),
                (false, false) => format!("{key}, {heading}"),
            }
        }
        Home::Input(_) | Home::Line(..) => book.name_of(fig).unwrap_or("").to_owned(),
    }
}

/// The figure that stands at a place, if any does.
pub fn find(book: &Book, addresses: &Addresses, place: &Place) -> Option<Fig> {
    (0..book.cells.len() as u32).map(Fig).find(|fig| {
        let at = addresses.place(book, *fig);
        at.row == place.row && at.column == place.column && at.sheet.eq_ignore_ascii_case(&place.sheet)
    })
}
