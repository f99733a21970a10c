//! Figures of the bid that somebody types over: the formula is gone, and what stands there is gone when the bid is priced.
//!
//! Only a formula can tell that another cell has lost its own, by ISFORMULA, which Excel knows from 2013 on (LibreOffice and
//! Gnumeric do). An older Excel shows a bid as it is and cannot see it: no figure of a bid rests on the answer.

use super::Context;
use super::input_snapshot::Checks;
use crate::figure::{Book, TableId, Term};
use crate::sheets::Page;
use crate::table::columns;

columns! {
    struct Columns on Checks("Formulas typed over") {
        what: "Where", words 34;
        check: "Check", check 14;
    }
}

/// So many cells to a check: a row or a few of a table.
const CELLS_TOGETHER: usize = 24;
const TYPED_OVER: &str = "typed over";

/// Puts a check for all figures that stand in tables by now. Gives where the first is that is typed over; an empty text
/// while none is.
pub(super) fn put(book: &mut Book, context: &Context, checks: &Checks) -> Term {
    let all: Vec<(String, Vec<Term>)> =
        context.pages.here(book).into_iter().flat_map(|page| groups(book, context, page)).collect();
    let Columns { table, what, check } = Columns::on_page(book, context);
    let row = book.row(table);
    book.label(row, what, "Can this program tell?");
    let (yes, no) = (Term::text("yes"), Term::text("no"));
    let known = context.bid.build_up.total.is_formula().pick(&yes, &no).or_if_fault(&no);
    let knows = book.put(row, check, known);
    for (words, cells) in all {
        let row = book.row(table);
        book.label(row, what, &words);
        let whole = Term::all(&cells.iter().collect::<Vec<_>>()).or_if_fault(&knows.same(&no));
        book.put(row, check, whole.ok_or(TYPED_OVER));
    }
    let (what, found) = (book.whole(what), book.whole(check));
    let first = Term::at(&what, &Term::row_of(&Term::text(TYPED_OVER), &found));
    checks.line(book, "The first figure typed over", first.or_if_fault(&Term::text("")))
}

/// Whether the figures of a page are as they were written, a few rows together, and where they are.
fn groups(book: &Book, context: &Context, page: Page) -> Vec<(String, Vec<Term>)> {
    // The checks speak of themselves, and what is typed over a setting or a number of the rules is read back or watched.
    if page == Page::Checks {
        return Vec::new();
    }
    let numbers = page != Page::Rules;
    let settings = context.settings.values();
    let mut cells = book.as_written_on(context.page(page), numbers, settings).into_iter().peekable();
    let mut groups: Vec<(String, Vec<Term>)> = Vec::new();
    while let Some((table, first, cell)) = cells.next() {
        let (mut last, mut together) = (first, vec![cell]);
        let more = |next: &(TableId, u32, Term), last: u32, count: usize| {
            next.0 == table && (count < CELLS_TOGETHER || next.1 == last)
        };
        while let Some((_, row, cell)) = cells.next_if(|next| more(next, last, together.len())) {
            last = row;
            together.push(cell);
        }
        let title = &book.table_spec(table).title;
        let of = if title.is_empty() { String::new() } else { format!(", {title}") };
        let [first, last] = [first, last].map(|row| u64::from(row) + 1);
        let lines = if first == last { format!("line {first}") } else { format!("lines {first} to {last}") };
        groups.push((format!("{}{of}, {lines}", page.name()), together));
    }
    groups
}
