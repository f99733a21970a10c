//! What people read: the bid for the customer, the page for the one who does the work, the findings, the live checks.
//!
//! In: the results of all stages as figures. Out: sheets of words and figures. Never: a new number that is not a
//! formula over figures already there.

mod adds_up;
mod as_priced;
mod bid;
mod cautions;
mod findings;
mod glance;
mod money;
mod scope;
mod tally;
mod terms;

use crate::figure::input::raw_value;
use crate::figure::settings::Settings;
use crate::figure::{Book, ColumnId, Home, SheetId, Term, Value};
use crate::finding::Finding;
use crate::labor::Labor;
use crate::model::network::Network;
use crate::model::{At, Field, Job, KeptBook};
use crate::price::Bid;
use crate::rules::Rules;
use crate::size::Sizes;
use crate::takeoff::TakeOff;
use std::sync::Arc;

/// The sheets this stage writes on.
#[derive(Debug, Clone, Copy)]
pub struct Sheets {
    pub bid: SheetId,
    pub glance: SheetId,
    pub findings: SheetId,
    pub checks: SheetId,
}

/// What every file of this stage works from.
pub struct Context<'a> {
    pub job: &'a Job,
    pub kept: &'a KeptBook,
    pub rules: &'a Rules,
    pub network: &'a Network,
    pub settings: &'a Settings,
    pub sizes: &'a Sizes,
    pub take_off: &'a TakeOff,
    pub labor: &'a Labor,
    pub bid: &'a Bid,
    /// Sorted, the worst first.
    pub findings: &'a [Finding],
    pub sheets: Sheets,
    pub hold: bool,
}

/// The whole stage.
pub fn report(book: &mut Book, context: &Context) {
    // The checks come first, for what they count is what the other sheets point at; their sums come last.
    let mut checks = as_priced::Checks::put(book, context);
    let tally = tally::put(book, context);
    let limits = cautions::Limits::put(book, context);
    let payments = bid::put(book, context, &tally, &limits);
    let severities = findings::put(book, context);
    let hours = glance::put(book, context, &checks, severities.as_ref());
    adds_up::put(book, context, &mut checks, &tally, &hours, &payments);
}

/// The column of the table that a figure stands in.
fn column_of(book: &Book, term: &Term) -> Option<ColumnId> {
    match book.home(term.fig()?) {
        Home::Table(row, column) => Some(ColumnId { table: row.table, index: *column }),
        Home::Input(_) | Home::Line(..) => None,
    }
}

/// A word or a number of the user's, as its cell holds it; `None` where the sheet has no such column.
fn typed<T>(book: &mut Book, field: &Field<T>) -> Option<Term> {
    field.cell.as_ref().map(|place| book.input_cell(place, raw_value(&field.raw)))
}

/// A name of the user's, as its cell holds it.
fn named(book: &mut Book, at: &At<Arc<str>>) -> Term {
    book.input_cell(&at.place, Value::Text(at.value.clone()))
}

#[cfg(test)]
#[path = "../../tests/support/recalc.rs"]
mod recalc;
#[cfg(test)]
mod testing;

#[cfg(test)]
mod tests {
    use super::recalc::{recalculate_in_process, recalculated};
    use super::testing::*;
    use crate::figure::spell::depth;
    use crate::write::{About, bid_bytes};

    const DEMOS: [(&str, &str); 3] = [
        ("cabin", CABIN),
        ("prairie-house", include_str!("../../demo-books/prairie-house.txt")),
        ("corner-bakery", include_str!("../../demo-books/corner-bakery.txt")),
    ];

    fn bytes(text: &str) -> Vec<u8> {
        let (job, kept) = job(text);
        let priced = price(&job, &kept, false);
        bid_bytes(&priced.book, &kept, &About { job_name: "a test".to_owned(), ..About::default() }).unwrap()
    }

    #[test]
    fn every_sheet_recalculates_to_what_it_holds() {
        for (name, text) in DEMOS {
            let bytes = bytes(text);
            // For a look at it with a spreadsheet program.
            let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target/tmp");
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(folder.join(format!("bid-of-{name}.xlsx")), &bytes).unwrap();
            let differences = recalculate_in_process(&bytes);
            let told: Vec<String> = differences.iter().map(|d| d.to_string()).collect();
            assert!(told.is_empty(), "{name}: {}", told.join("\n"));
        }
    }

    #[test]
    fn the_sheets_to_read_are_made_of_short_formulas() {
        let ours = ["Bid!", "'At a glance'!", "Findings!", "Checks!"];
        let cells = recalculated(&bytes(CABIN));
        let ours: Vec<_> = cells.iter().filter(|cell| ours.iter().any(|sheet| cell.cell.starts_with(sheet))).collect();
        assert!(ours.len() > 100);
        for cell in ours {
            assert!(cell.formula.len() <= 160, "{}: {}", cell.cell, cell.formula);
        }
        let priced = priced(CABIN);
        for sheet in ["Bid", "At a glance", "Findings", "Checks"] {
            for fig in figures(&priced.book, sheet) {
                assert!(priced.book.expr(fig).is_none_or(|expr| depth(expr) <= 6));
            }
        }
    }
}
