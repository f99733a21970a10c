//! What it costs to buy from each supplier at all: trips, deliveries, least orders; beside the packs, and no part of the bid.

use super::Context;
use super::allowed::TRIED;
use super::lines::Bought;
use super::suppliers::{Found, with_terms};
use crate::figure::{Book, CellKind, Look, Term, Value};
use crate::input::{Input, Positive};
use crate::sheets::Page;
use crate::table::{List, columns};
use crate::unit::Unit;
use rust_decimal::Decimal;

const WORDS: &str = "Each supplier's trip or delivery is weighed against its prices: packs, sticks and coils above come from \
     those who cost least with their trips. The bid charges the trips that stand in Other costs, and nothing of this.";

columns! {
    struct Columns on Buying("Trips and least orders") {
        name: "Supplier", words 44;
        trip: "Trip cost", Money;
        least: "Minimum order", Money;
        spent: "Bought there", Money;
        paid: "Its trip", Money;
        short: "To fill the order up", Money;
        together: "Together", Money;
    }
}

/// The table, where anybody has terms.
pub(super) fn put(book: &mut Book, context: &Context, bought: &Bought, packs: &Term, found: Option<Found>) {
    let terms = with_terms(context);
    if terms.is_empty() || bought.supplier.values().is_empty() {
        return;
    }
    let Columns { table, name, trip, least, spent, paid, short, together } = Columns::on_page(book, context);
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
    let list = List::put(book, context.page(Page::Buying), "", [44.0, 0.0], Unit::Money);
    let remark = list.notes(book, 0.0);
    let trips = list.line(book, "Trips, and what least orders want beyond the packs", Term::sum(&all).cents());
    let row = list.label(book, "Packs, sticks and coils with them");
    let sum = book.put(row, list.value, packs + trips);
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
        let remark_now = sum.same(&as_it_was).pick(&Term::text(good), &Term::text("changed since it was chosen"));
        book.put(row, remark, remark_now);
        let more = Decimal::new(found.regardless - found.cost, 3);
        let row = list.label(book, "Each at its cheapest would cost more, with the trips that makes, by");
        book.state(row, list.value, Value::Exact(more.round_dp(2)), "as it was when this was chosen");
    }
    book.words(context.page(Page::Buying), Look::Small, WORDS);
}
