//! Beside the bid's material: what the packs, sticks and coils cost that are bought for it.
//!
//! The bid charges feet and pieces at unit prices, waste included; the counter sells whole packs. The two are reckoned
//! apart and stand side by side.

use super::Context;
use crate::buy::Purchases;
use crate::figure::{Book, CellKind, Column, Term};
use crate::unit::Unit;

pub(super) fn put(book: &mut Book, context: &Context, purchases: &Purchases, to_buy: &Column) {
    if to_buy.values().is_empty() {
        return;
    }
    let list = book.list(context.cost, "Beside it: what the packs cost");
    let words = book.column_like(list, "", Unit::None, 36.0, CellKind::Plain);
    let value = book.column(list, "", Unit::Money);
    let mut put = |label: &str, term: Term, kind: CellKind| {
        let row = book.row(list);
        book.mark(row, kind);
        book.label(row, words, label);
        book.put(row, value, term)
    };
    let packs = put("Packs, sticks and coils (Buying)", purchases.total.clone(), CellKind::Plain);
    let bid = put("Material to buy at unit prices, in the cash", Term::sum(to_buy).cents(), CellKind::Plain);
    let more = put("Packs cost more than the bid's unit prices by", &packs - &bid, CellKind::Total);
    let left = put("Worth of what is left over of them", purchases.left_over.clone(), CellKind::Plain);
    put("More, left-overs taken off", more - left, CellKind::Plain);
}
