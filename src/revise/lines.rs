//! The take-off of two bids line by line: what is added, dropped, more, less, and what that does to the money.

use super::compare::{BeforeAndNow, LABEL, NUMBER, Page, Row, exact};
use super::summary::LineFacts;
use crate::figure::{Book, CellKind, Look, Term};
use crate::price::PricedLine;
use crate::table::{List, columns};
use crate::takeoff::Line;
use crate::unit::Unit;
use rust_decimal::Decimal;

columns! {
    struct Amounts {
        change: "Change", words (NUMBER);
        before: "Amount before", Money (NUMBER);
        now: "Amount now", Money (NUMBER);
        difference: "Difference in money", Money (NUMBER);
    }
}

struct Columns {
    quantities: BeforeAndNow,
    amounts: Amounts,
}

/// One line on both sides; `now` is `None` when the new bid has no such line.
struct Both<'a> {
    now: Option<(&'a Line, &'a PricedLine)>,
    was: Option<&'a LineFacts>,
}

impl Both<'_> {
    /// True when quantity or money differ at the inputs as they now are.
    fn differs(&self) -> bool {
        let zero = Some(Decimal::ZERO);
        let was = self.was.map_or((zero, zero), |was| (Some(was.needed), Some(was.amount)));
        let now = self.now.map_or((zero, zero), |(line, priced)| {
            (line.needed.value().as_decimal(), priced.amount.value().as_decimal())
        });
        was != now
    }
}

/// Puts the table; gives the sum of the differences in money.
pub(super) fn put(book: &mut Book, page: &Page) -> Term {
    let (context, old) = (page.context, &page.comparison.old);
    let table = book.table(page.sheet, "Take-off, line by line");
    let quantities = BeforeAndNow::in_table(book, table, "Line", Unit::Quantity, &page.from);
    let columns = Columns { quantities, amounts: Amounts::in_table(book, table) };
    let new = context.bid.lines.iter().filter_map(|priced| {
        let line = context.take_off.lines.get(priced.line)?;
        Some(Both { was: old.line(&line.item.text()), now: Some((line, priced)) })
    });
    let new: Vec<Both> = new.collect();
    let is_new = |was: &LineFacts| new.iter().any(|both| both.was.is_some_and(|known| known.item == was.item));
    let gone: Vec<Both> =
        old.lines.iter().filter(|was| !is_new(was)).map(|was| Both { now: None, was: Some(was) }).collect();
    let (changed, same): (Vec<Both>, Vec<Both>) = new.into_iter().chain(gone).partition(Both::differs);
    changed.iter().for_each(|both| columns.row(book, page, both, CellKind::Plain));
    same.iter().for_each(|both| columns.row(book, page, both, CellKind::Idle));
    if !same.is_empty() {
        book.words(page.sheet, Look::Small, "Lines that stay as they were are folded away above.");
    }
    let differences = book.whole(columns.amounts.difference);
    let list = List::put(book, page.sheet, "", [LABEL, NUMBER], Unit::Money);
    list.line_like(book, "All lines, difference in money", Term::sum(&differences).cents(), CellKind::Total)
}

impl Columns {
    fn row(&self, book: &mut Book, page: &Page, both: &Both, kind: CellKind) {
        let item = both.now.map(|(line, _)| line.item.text()).or(both.was.map(|was| was.item.clone()));
        let feet = both.now.map_or(both.was.is_some_and(|was| was.feet), |(line, _)| line.feet);
        let needed = exact(both.was.map_or(Decimal::ZERO, |was| was.needed));
        let now = both.now.map_or_else(|| Term::number(0), |(line, _)| line.needed.clone());
        let unit = if feet { Unit::Feet } else { Unit::Each };
        let row = self.quantities.put(book, &item.unwrap_or_default(), needed, &now).shown_in(book, unit);
        book.mark(row.row, kind);
        let amount = exact(both.was.map_or(Decimal::ZERO, |was| was.amount));
        let before = book.carry(row.row, self.amounts.before, amount, &page.from);
        let now = match both.now {
            Some((_, priced)) => book.put(row.row, self.amounts.now, priced.amount.clone()),
            None => book.state(row.row, self.amounts.now, exact(Decimal::ZERO), "not in this bid"),
        };
        let by = book.put(row.row, self.amounts.difference, &now - &before);
        book.put(row.row, self.amounts.change, word(&row, &by));
    }
}

/// `added`, `more`, `less`, `dropped`; `price` where only the money differs.
fn word(row: &Row, by: &Term) -> Term {
    let zero = Term::number(0);
    let [added, more, dropped, less] = ["added", "more", "dropped", "less"].map(Term::text);
    let up = row.before.above(&zero).pick(&more, &added);
    let down = row.now.above(&zero).pick(&less, &dropped);
    let same = by.same(&zero).pick(&Term::text("same"), &Term::text("price"));
    row.now.above(&row.before).pick(&up, &row.before.above(&row.now).pick(&down, &same))
}
