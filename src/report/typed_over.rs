//! Figures of the bid that somebody types over: the formula is gone, and what stands there is gone when the bid is priced.
//!
//! Only a formula can tell that another cell has lost its own, by ISFORMULA, which Excel knows from 2013 on (LibreOffice and
//! Gnumeric do). An older Excel shows a bid as it is and cannot see it: no figure of a bid rests on the answer.

use super::Context;
use crate::figure::{Book, CellKind, Term};
use crate::sheets::Page;
use crate::table::columns;

columns! {
    struct Columns on Checks("Figures that are worked out by formulas") {
        what: "Where", words 34;
        check: "Check", check 14;
    }
}

/// So many cells to a check: a row or a few of a table.
const CELLS_TOGETHER: usize = 24;
const OK: &str = "OK";
const TYPED_OVER: &str = "typed over";

/// Puts a check for all formulas that stand in tables by now. Gives where the first that is typed over is; an empty text
/// while none is.
pub(super) fn put(book: &mut Book, context: &Context) -> Term {
    let all: Vec<(String, Vec<Term>)> = Page::ALL.iter().flat_map(|page| groups(book, context, *page)).collect();
    let Columns { table, what, check } = Columns::on_page(book, context);
    let row = book.row(table);
    book.mark(row, CellKind::Quiet);
    book.label(row, what, "Can this program tell?");
    let (yes, no) = (Term::text("yes"), Term::text("no"));
    let known = all.first().and_then(|(_, cells)| cells.first()).map_or(no.clone(), |cell| {
        cell.is_formula().or_if_fault(&Term::text("")).same(&Term::text("")).pick(&no, &yes)
    });
    let knows = book.put(row, check, known);
    for (words, cells) in all {
        let row = book.row(table);
        book.label(row, what, &words);
        let whole = cells.iter().map(Term::is_formula).collect::<Vec<_>>();
        let whole = Term::all(&whole.iter().collect::<Vec<_>>()).or_if_fault(&knows.same(&no));
        book.put(row, check, whole.pick(&Term::text(OK), &Term::text(TYPED_OVER)));
    }
    let (what, checks) = (book.whole(what), book.whole(check));
    let first = Term::at(&what, &Term::row_of(&Term::text(TYPED_OVER), &checks));
    first.or_if_fault(&Term::text(""))
}

/// The formulas of a page, a few rows together, and where they are.
fn groups(book: &Book, context: &Context, page: Page) -> Vec<(String, Vec<Term>)> {
    // What is typed there is read back, or is no figure.
    if matches!(page, Page::Checks) {
        return Vec::new();
    }
    let mut groups: Vec<(String, Vec<Term>)> = Vec::new();
    let is_read_back = |cell: &Term| {
        let column = book.column_of(cell);
        column == Some(context.settings.values())
    };
    let formulas = book.formulas_on(context.page(page));
    let mut formulas = formulas.into_iter().filter(|(_, _, cell)| !is_read_back(cell)).peekable();
    while let Some((table, first, cell)) = formulas.next() {
        let (mut last, mut cells) = (first, vec![cell]);
        while let Some((_, row, cell)) =
            formulas.next_if(|(next, row, _)| *next == table && (cells.len() < CELLS_TOGETHER || *row == last))
        {
            last = row;
            cells.push(cell);
        }
        let title = &book.table_spec(table).title;
        let of = if title.is_empty() { String::new() } else { format!(", {title}") };
        let lines =
            if first == last { format!("line {}", first + 1) } else { format!("lines {} to {}", first + 1, last + 1) };
        groups.push((format!("{}{of}, {lines}", page.name()), cells));
    }
    groups
}
