//! What must add up, as live checks: the same thing reckoned along two ways.

use super::overview::Hours;
use super::scope_counts::ScopeCounts;
use super::{Context, Reported};
use crate::figure::{Book, CellKind, Term};
use crate::model::Status;
use crate::table::columns;
use crate::unit::Unit;

columns! {
    struct Sums {
        what: "What", words 34;
        one: "One way", words 34;
        other: "The other way", words 34;
        check: "Check", check 14;
    }
}

/// Gives how many sums are off.
pub(super) fn put(book: &mut Book, context: &Context, reported: &Reported, hours: &Hours) -> Term {
    let Reported { checks, scope_counts, payments } = reported;
    let sums = Sums::in_table(book, checks.sums);
    let build_up = &context.bid.build_up;
    let all = |terms: &[Term]| Term::total(&terms.iter().collect::<Vec<_>>());
    sums.row(book, "Prices of the phases / the total", [&all(&build_up.price), &build_up.total], Unit::Money);
    if let Some(column) = context.bid.lines.first().and_then(|line| book.column_of(&line.amount)) {
        let amounts = book.whole(column);
        let lines = Term::sum(&amounts).cents();
        sums.row(book, "Material line by line / by phase", [&lines, &build_up.material_total], Unit::Money);
    }
    sums.row(book, "Hours by phase / all hours", [&all(&hours.by_phase), &context.labor.total], Unit::Hours);
    sums.row(book, "Hours of owner and hired / all hours", [&all(&hours.by_who), &context.labor.total], Unit::Hours);
    if !payments.due.is_empty() {
        sums.row(book, "Payments / the total", [&all(&payments.due), &build_up.total], Unit::Money);
    }
    if let Some(whole) = &payments.whole {
        sums.row(book, "Shares of the payments / the whole", [whole, &Term::number(1)], Unit::Percent);
    }
    take_off(book, context, &sums, scope_counts);

    let checked = book.whole(sums.check);
    checks.put_sums_off(book, Term::not_ok(&checked))
}

impl Sums {
    fn row(&self, book: &mut Book, what: &str, [one, other]: [&Term; 2], unit: Unit) {
        let row = book.row(self.table);
        book.label(row, self.what, what);
        let one = book.put(row, self.one, one.clone());
        let other = book.put_or_state(row, self.other, other.clone(), "by its nature");
        book.unit(&one, unit);
        book.unit(&other, unit);
        let equal = one.at_least(&other).and(&other.at_least(&one));
        book.put(row, self.check, equal.ok_or("off"));
    }
}

columns! {
    struct Counted on Checks("Every counted piece has its line") {
        name: "Line", words 34;
        pieces: "Counted for it", Ratio;
        pipe_feet: "Of it lengths of runs", Feet;
    }
}

columns! {
    struct Stock on Checks("On hand, bought or in already, and left over") {
        name: "Line", words 34;
        have: "There", Ratio;
        over: "Left over", Ratio;
    }
}

/// From the rows of the job to the lines of the take-off, and from need to what is bought.
fn take_off(book: &mut Book, context: &Context, sums: &Sums, scope_counts: &ScopeCounts) {
    let lines = &context.take_off.lines;
    let counts = &context.take_off.counts;
    // Rings are counted by pipe ends, not in rows of their own.
    let counted: Vec<_> = lines.iter().filter(|l| !crate::parts::is_ring(&l.item)).collect();
    let Counted { table, name, pieces, pipe_feet } = Counted::on_page(book, context);
    for line in &counted {
        let row = book.row(table);
        if line.idle {
            book.mark(row, CellKind::Quiet);
        }
        book.put(row, name, line.key.clone());
        let quantity = Term::sum_where(&counts.quantity, &[(&counts.item, &line.key)]);
        book.put(row, pieces, quantity);
        if line.item.kind == "pipe" {
            let purpose = Term::text(crate::parts::LENGTH);
            let of_runs = Term::sum_where(&counts.quantity, &[(&counts.item, &line.key), (&counts.purpose, &purpose)]);
            book.put(row, pipe_feet, of_runs);
        }
    }
    let listed = Term::sum(&book.whole(pieces));
    let counted_pieces = Term::sum(&counts.quantity);
    sums.row(book, "Pieces counted / on the lines", [&counted_pieces, &listed], Unit::Ratio);
    let feet: Vec<Term> =
        scope_counts.with(Status::New).filter(|head| head.is_pipe).map(|head| scope_counts.sum(head)).collect();
    if !feet.is_empty() {
        let feet = Term::total(&feet.iter().collect::<Vec<_>>());
        let pipe = Term::sum(&book.whole(pipe_feet));
        sums.row(book, "New pipe in Runs / on the lines", [&feet, &pipe], Unit::Feet);
    }

    let has_stock = |line: &&crate::takeoff::Line| {
        line.on_hand.fig().is_some() || line.bought.is_some() || line.in_already.is_some()
    };
    let stocked: Vec<_> = lines.iter().filter(has_stock).collect();
    let mut left = None;
    if !stocked.is_empty() {
        let Stock { table, name, have, over } = Stock::on_page(book, context);
        for line in &stocked {
            let row = book.row(table);
            book.put(row, name, line.key.clone());
            let there = Term::total(&std::iter::once(&line.on_hand).chain(&line.bought).collect::<Vec<_>>());
            let there = line.in_already.as_ref().map_or(there.clone(), |is_in| there.max(is_in));
            let have = book.put(row, have, there);
            book.put(row, over, (have - &line.needed).max(&Term::number(0)));
        }
        left = Some((Term::sum(&book.whole(have)), Term::sum(&book.whole(over))));
    }
    let needed = lines.first().and_then(|line| book.column_of(&line.needed)).map(|column| book.whole(column));
    let to_buy = lines.first().and_then(|line| book.column_of(&line.to_buy)).map(|column| book.whole(column));
    if let (Some(needed), Some(to_buy)) = (needed, to_buy) {
        let (needed, to_buy) = (Term::sum(&needed), Term::sum(&to_buy));
        let got = match left {
            Some((have, over)) => have + to_buy - over,
            None => to_buy,
        };
        sums.row(book, "Needed / there + to buy - left over", [&needed, &got], Unit::Ratio);
    }
}
