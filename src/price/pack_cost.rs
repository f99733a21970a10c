//! Beside the bid's material: what the packs, sticks and coils cost that are bought for it.
//!
//! The bid charges feet and pieces at unit prices, waste included; the counter sells whole packs. The two are reckoned
//! apart and stand side by side, tied to Buying.

use super::Context;
use super::lines::LineColumns;
use super::totals::Totals;
use crate::buy::{LEFT_OVERS_COUNT_AT, Purchases, left_over_share};
use crate::figure::{Book, CellKind, Term};
use crate::sheets::Page;
use crate::table::List;
use crate::unit::Unit;

/// What whole packs do to the cash, as figures.
#[derive(Debug)]
pub struct WholePacks {
    /// What the packs cost over what the cash counts for them, sales tax included; below zero where they cost less.
    pub more: Term,
    /// The cash out of pocket with whole packs in it.
    pub cash: Term,
    /// What is left over of the packs is worth so much.
    pub left_over: Term,
}

/// `None` where the take-off has no lines.
pub(super) fn put(
    book: &mut Book,
    context: &Context,
    purchases: &Purchases,
    lines: &LineColumns,
    totals: &Totals,
) -> Option<WholePacks> {
    if lines.to_buy.values().is_empty() {
        return None;
    }
    let list =
        List::put(book, context.page(Page::CostBuildUp), "Beside it: what the packs cost", [36.0, 0.0], Unit::Money);
    let mut put = |label: &str, term: Term, kind: CellKind| {
        let row = list.label(book, label);
        book.mark(row, kind);
        book.put_or_state(row, list.value, term, "nothing is bought")
    };
    let packs = put("Packs, sticks and coils (Buying)", purchases.total.clone(), CellKind::Plain);
    let packs_tax = put("Sales tax on them", Term::sum(&purchases.tax).cents(), CellKind::Plain);
    let bid = put("Material to buy at unit prices, in the cash", Term::sum(&lines.to_buy).cents(), CellKind::Plain);
    let tax = Term::sum_product(&lines.to_buy, &lines.tax_rate).cents();
    let tax = put("Sales tax on it, in the cash", tax, CellKind::Plain);
    let more = &packs + &packs_tax - &bid - &tax;
    let more = put("Packs cost more than the cash counts by", more, CellKind::Total);
    let cash = put("Cash out of pocket with whole packs", &totals.cash_total + &more, CellKind::Total);
    let share = put(LEFT_OVERS_COUNT_AT, left_over_share(context.settings), CellKind::Plain);
    let left_over = put("Worth of what is left over of the packs", purchases.left_over.clone(), CellKind::Plain);
    put("More, left-overs taken off", &more - &left_over, CellKind::Plain);
    book.unit(&share, Unit::Percent);
    Some(WholePacks { more, cash, left_over })
}
