//! What it costs to buy from each supplier at all: trips, deliveries, least orders; beside the packs, and no part of the bid.

use super::Context;
use super::packs::Bought;
use super::suppliers::{Found, TRIED, with_terms};
use crate::figure::{Book, CellKind, Look, Term, Value};
use crate::input::{Input, Positive};
use crate::sheets::Page;
use crate::unit::Unit;
use rust_decimal::Decimal;

const WORDS: &str = "Each supplier's trip or delivery is weighed against its prices: packs, sticks and coils above come from \
     those who cost least with their trips. The bid charges the trips that stand in Other costs, and nothing of this.";

/// The table, where anybody has terms.
pub(super) fn put(book: &mut Book, context: &Context, bought: &Bought, packs: &Term, found: Option<Found>) {
    let terms = with_terms(context);
    if terms.is_empty() || bought.supplier.values().is_empty() {
        return;
    }
    let table = book.table(context.page(Page::Buying), "Trips and least orders");
    let name = book.column_like(table, "Supplier", Unit::None, 44.0, CellKind::Plain);
    let trip = book.column(table, "Trip cost", Unit::Money);
    let least = book.column(table, "Minimum order", Unit::Money);
    let spent = book.column(table, "Bought there", Unit::Money);
    let paid = book.column(table, "Its trip", Unit::Money);
    let short = book.column(table, "To fill the order up", Unit::Money);
    let together = book.column(table, "Together", Unit::Money);
    let zero = Term::number(0);
    for terms in &terms {
        let row = book.row(table);
        let words = terms.supplier.figure(book);
        let key = book.put(row, name, words);
        let mut money = |column, field: &Input<Positive>| {
            let input = field.figure(book);
            book.put_or_state(row, column, input, "not given")
        };
        let (trip, least) = (money(trip, &terms.trip_cost), money(least, &terms.minimum_order));
        let there = Term::sum_where(&bought.cost, &[(&bought.supplier, &key)]).cents();
        let there = book.put(row, spent, there);
        let used = there.above(&zero);
        let paid = book.put(row, paid, used.pick(&trip, &zero));
        let short = book.put(row, short, used.pick(&(least - there).max(&zero), &zero));
        book.put(row, together, paid + short);
    }
    let all = book.whole(together);
    let list = book.list(context.page(Page::Buying), "");
    let words = book.column_like(list, "", Unit::None, 44.0, CellKind::Plain);
    let value = book.column(list, "", Unit::Money);
    let told = book.column_like(list, "", Unit::None, 0.0, CellKind::Plain);
    let mut line = |label: &str, term: Term| {
        let row = book.row(list);
        book.label(row, words, label);
        (book.put(row, value, term), row)
    };
    let (trips, _) = line("Trips, and what least orders want beyond the packs", Term::sum(&all).cents());
    let (sum, row) = line("Packs, sticks and coils with them", packs + trips);
    book.mark(row, CellKind::Total);
    if let Some(found) = found {
        let as_it_was = Term::constant(sum.value().clone());
        let gap = Decimal::new(found.cost - found.bound, 3);
        // Worths are counted a little down in the search, and to a tenth of a cent.
        let good = match gap <= Decimal::new(2, 2) && terms.len() <= TRIED {
            true => "the least there is".to_owned(),
            false if terms.len() > TRIED => format!("sought among the first {TRIED} suppliers"),
            false => format!("at most ${gap:.2} too much"),
        };
        let told_now = sum.same(&as_it_was).pick(&Term::text(good), &Term::text("changed since it was chosen"));
        book.put(row, told, told_now);
        let more = Decimal::new(found.regardless - found.cost, 3);
        let row = book.row(list);
        book.label(row, words, "Each at its cheapest would cost more, with the trips that makes, by");
        book.state(row, value, Value::Exact(more.round_dp(2)), "as it was when this was chosen");
    }
    book.words(context.page(Page::Buying), Look::Small, WORDS);
}
