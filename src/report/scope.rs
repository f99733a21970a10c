//! The scope of the bid in words and counts: what is new, what stays, what comes out, what others do.

use super::scope_counts::ScopeCounts;
use super::{Context, terms};
use crate::figure::{Book, Look};
use crate::model::Status;
use crate::sheets::Page;
use crate::table::columns;

columns! {
    struct Columns {
        quantity: "", Feet (super::money::LABEL);
        what: "", words (super::money::WORDS);
    }
}

pub(super) fn put(book: &mut Book, context: &Context, scope_counts: &ScopeCounts) {
    let sheet = context.page(Page::Bid);
    book.words(sheet, Look::Heading, "Scope of work");
    terms::lines(book, context, "included");
    let parts = [
        (Status::New, "New: piped, connected and tested"),
        (Status::Existing, "Existing to remain"),
        (Status::Remove, "Demolish and remove"),
        (Status::ByOthers, "By others, not in this bid"),
    ];
    for (status, title) in parts {
        if scope_counts.with(status).next().is_none() {
            continue;
        }
        let table = book.list(sheet, title);
        let Columns { quantity, what, .. } = Columns::in_table(book, table);
        for head in scope_counts.with(status) {
            let row = book.row(table);
            let sum = book.put(row, quantity, scope_counts.sum(head));
            book.unit(&sum, head.unit);
            book.put(row, what, head.words.clone());
        }
    }
}
