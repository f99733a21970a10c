//! The Findings sheet: what is wrong or worth knowing, each with a link to its cell.

use super::Context;
use crate::figure::{Book, Column, Look};
use crate::finding::Severity;
use crate::sheets::Page;
use crate::table::columns;

/// Rows of a finding's table in its cell: a row of a sheet is no higher than a page. Cost build-up has them all.
const TABLE_ROWS: usize = 20;

columns! {
    struct Columns {
        severity: "Severity", words 8;
        code: "Code", words 19;
        on: "Sheet", words 11;
        cell: "Cell", words 6;
        found: "Found", words 38;
        remedy: "What to do", words 32;
        source: "Source", words 15;
    }
}

/// The severities of all findings, for counting; `None` when there are no findings.
pub(super) fn put(book: &mut Book, context: &Context) -> Option<Column> {
    let sheet = context.page(Page::Findings);
    book.words(sheet, Look::Title, Page::Findings.name());
    if context.findings.is_empty() {
        book.words(sheet, Look::Words, "There are none: nothing in the job looked wrong or needs a second look.");
        return None;
    }
    book.words(
        sheet,
        Look::Words,
        "As of when the job was priced. fix: the bid stands, but something should be put right; note: good to know. \
         A click on a cell's address leads there.",
    );
    let table = book.table(sheet, "");
    let Columns { severity, code, on, cell, found, remedy, source, .. } = Columns::in_table(book, table);
    for finding in context.findings {
        let row = book.row(table);
        book.label(row, severity, finding.severity.word());
        book.label(row, code, finding.slug);
        if let Some(place) = &finding.place {
            book.label(row, on, &place.sheet);
            let address = book.label(row, cell, &place.cell());
            book.link(&address, place);
        }
        book.label(row, found, &finding.found_and_table(TABLE_ROWS));
        if !finding.remedy.is_empty() {
            book.label(row, remedy, &finding.remedy);
        }
        if let Some(from) = &finding.source {
            book.label(row, source, from);
        }
    }
    Some(book.whole(severity))
}

/// How severities are named where they are counted, the worst first. With one that stops there is no bid to count in.
pub(super) const COUNTED: [(Severity, &str); 2] =
    [(Severity::Fix, "Findings to fix"), (Severity::Note, "Notes among the findings")];
