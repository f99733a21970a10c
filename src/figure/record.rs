//! What choices were made on, written down beside what it is now: a formula can see that a choice no longer holds, not
//! that it is no longer the best. Where a deciding input has changed the record says `price again`.

use super::{Book, CellKind, SheetId, Term, Value};
use crate::unit::Unit;
use rust_decimal::{Decimal, dec};

/// Puts the record and its verdict (`OK` or `price again`) on a sheet, and gives the verdict. `held` gives what a bid
/// that is read again had recorded under these words.
pub fn record(
    book: &mut Book,
    sheet: SheetId,
    title: &str,
    question: &str,
    now: &[(&str, Term)],
    held: impl Fn(&str) -> Option<Decimal>,
) -> Term {
    let table = book.table(sheet, title);
    let label = book.column_like(table, "Deciding input", Unit::None, 0.0, CellKind::Plain);
    let now_column = book.column(table, "Now", Unit::Ratio);
    let chosen_column = book.column(table, "When chosen", Unit::Ratio);
    let check_column = book.column_like(table, "Check", Unit::None, 16.0, CellKind::Check);
    for (words, term) in now {
        let row = book.row(table);
        book.label(row, label, words);
        // What cannot be reckoned already when the job is priced has moved once it can.
        let term = if term.value().fault().is_some() { term.or_if_fault(&Term::number(0)) } else { term.clone() };
        let now = book.put(row, now_column, term.round(6));
        let recorded = held(words).map_or_else(|| now.value().clone(), Value::Exact);
        book.choose(row, chosen_column, recorded, check_column, |chosen| {
            // A millionth of rounding on either side is no change.
            let slack = Term::number(dec!(0.00001));
            let moved = now.above(&(chosen + &slack)).or(&chosen.above(&(&now + &slack)));
            moved.pick(&Term::text("price again"), &Term::text("OK"))
        });
    }
    let verdicts = book.whole(check_column);
    // Whatever is not OK has moved: an error too.
    let changed = Term::number(now.len() as u64) - Term::count_where(&[(&verdicts, &Term::text("OK"))]);
    let list = book.list(sheet, "");
    let words = book.column_like(list, "", Unit::None, 0.0, CellKind::Plain);
    let verdict_column = book.column_like(list, "", Unit::None, 0.0, CellKind::Check);
    let row = book.row(list);
    book.label(row, words, question);
    book.put(row, verdict_column, changed.above(&Term::number(0)).pick(&Term::text("price again"), &Term::text("OK")))
}
