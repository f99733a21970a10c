//! What choices were made on, written down beside what it is now.

use crate::choice::Choice;
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, Term, Value};
use crate::table::{List, columns};
use crate::view::View;
use rust_decimal::dec;

columns! {
    struct Basis(kind: Choice) {
        input: "Deciding input", words;
        now: "Now", Ratio;
        chosen: kind.heading(), Ratio;
        check: "Check", check 16;
    }
}

/// What choices of a kind were made on, under its title, and the question that is answered of them.
pub(crate) struct Record {
    pub kind: Choice,
    pub title: &'static str,
    pub question: &'static str,
}

/// Writes down what choices were made on beside what it is now, with a verdict (`OK` or `price again`) that comes back: a
/// formula can see that a choice no longer holds, not that it is no longer the best.
pub(crate) fn record<R>(book: &mut Book, view: &View<R>, record: &Record, now: &[(impl AsRef<str>, Term)]) -> Term {
    let Record { kind, title, question } = *record;
    let table = book.table(view.page(kind.page()), title);
    let columns = Basis::in_table(book, table, kind);
    for (words, term) in now {
        let (row, words) = (book.row(table), words.as_ref());
        book.label(row, columns.input, words);
        // What cannot be reckoned already when the job is priced has moved once it can.
        let term = if term.value().fault().is_some() { term.or_if_fault(&Term::number(0)) } else { term.clone() };
        let now = book.put(row, columns.now, term.round(6));
        let recorded = view.saved_number(kind, words).map_or_else(|| now.value().clone(), Value::Exact);
        book.choose(row, [columns.chosen, columns.check], recorded, |chosen| {
            // A millionth of rounding on either side is no change.
            let slack = Term::number(dec!(0.00001));
            let moved = now.above(&(chosen + &slack)).or(&chosen.above(&(&now + &slack)));
            moved.flag(PRICE_AGAIN)
        });
    }
    let verdicts = book.whole(columns.check);
    let verdict = Term::not_ok(&verdicts).flag_any(PRICE_AGAIN);
    List::checks(book, view.page(kind.page()), "", [0.0; 2]).line(book, question, verdict)
}
