//! What to order: the packs of each offer, as choices that are checked against the need; sticks and coils as the cut
//! plan has them.

use super::cut_sheet::{Cuts, put_either};
use super::lines::Needs;
use super::pipe::{Pipe, Source, mills};
use super::purchase::{self, Need, Offer};
use super::{Context, PackBought};
use crate::figure::{Book, CellKind, Column, ColumnId, RowId, TableId, Term, Value};
use crate::model::{Price, Setting};
use crate::rules::matches_item;
use crate::takeoff::Line;
use crate::unit::Unit;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeMap;

pub(super) struct Table {
    table: TableId,
    name: ColumnId,
    line: ColumnId,
    supplier: ColumnId,
    part: ColumnId,
    unit: ColumnId,
    pack: ColumnId,
    price: ColumnId,
    packs: ColumnId,
    holds: ColumnId,
    cost: ColumnId,
    tax: ColumnId,
    check: ColumnId,
}

/// What is ordered.
pub(super) struct Bought {
    pub packs: Vec<PackBought>,
    /// Columns over all packs.
    pub line: Column,
    pub holds: Column,
    pub cost: Column,
    pub tax: Column,
    pub checks: Vec<Column>,
}

impl Table {
    pub fn put(book: &mut Book, context: &Context) -> Self {
        let table = book.table(context.buying, "What to order");
        Self {
            table,
            name: book.column_like(table, "Order", Unit::None, 44.0, CellKind::Plain),
            line: book.column_like(table, "Line", Unit::None, 30.0, CellKind::Quiet),
            supplier: book.column_like(table, "Supplier", Unit::None, 18.0, CellKind::Plain),
            part: book.column_like(table, "Part no.", Unit::None, 12.0, CellKind::Plain),
            unit: book.column(table, "Unit", Unit::None),
            pack: book.column(table, "One holds", Unit::Quantity),
            price: book.column(table, "Price of one", Unit::Money),
            packs: book.column(table, "Chosen packs", Unit::None),
            holds: book.column(table, "All hold", Unit::Quantity),
            cost: book.column(table, "Cost", Unit::Money),
            tax: book.column(table, "Sales tax", Unit::Money),
            check: book.column_like(table, "Check", Unit::None, 18.0, CellKind::Check),
        }
    }

    pub fn fill(&self, book: &mut Book, context: &Context, pipes: &[Pipe], cuts: &Cuts, needs: &Needs) -> Bought {
        let mut all = Vec::new();
        for need in &needs.lines {
            let line = &context.take_off.lines[need.line];
            if line.item.kind == "pipe" {
                for price in offers_cut(pipes, line) {
                    let of = &context.job.prices[price];
                    let (row, pack, one) = self.start(book, line, of);
                    let number = Term::number(of.row + 1);
                    let feet =
                        Term::sum_where(&cuts.unit_feet, &[(&cuts.unit_item, &line.key), (&cuts.unit_offer, &number)]);
                    let packs = book.put(row, self.packs, feet / &pack);
                    let packs = self.finish(book, row, &packs, &pack, &one, line.feet);
                    self.tax(book, context, row, of, &packs.2);
                    let verdict = packs.0.above(&Term::number(0)).pick(&Term::text("OK"), &Term::text("not cut"));
                    book.put(row, self.check, verdict);
                    all.push(PackBought { line: need.line, price, packs: packs.0, cost: packs.2 });
                }
                continue;
            }
            let mut rows = Vec::new();
            for (price, count) in chosen(context, line, need.to_get.value().as_decimal().unwrap_or_default()) {
                let of = &context.job.prices[price];
                let (row, pack, one) = self.start(book, line, of);
                let packs = book.choose_now(row, self.packs, Value::Exact(Decimal::from(count)));
                let (packs, holds, cost) = self.finish(book, row, &packs, &pack, &one, line.feet);
                self.tax(book, context, row, of, &cost);
                rows.push((row, packs.clone(), pack, holds));
                all.push(PackBought { line: need.line, price, packs, cost });
            }
            let together: Vec<&Term> = rows.iter().map(|(_, _, _, holds)| holds).collect();
            let together = Term::total(&together);
            for (row, packs, pack, _) in &rows {
                // Short, or one pack of these could stay at the counter.
                let spare = (&together - pack).at_least(&need.to_get).and(&packs.above(&Term::number(0)));
                let enough = spare.pick(&Term::text("one too many"), &Term::text("OK"));
                let verdict = together.at_least(&need.to_get).pick(&enough, &Term::text("short"));
                let verdict = book.put(*row, self.check, verdict);
                book.check_choice(packs, &verdict);
            }
        }
        Bought {
            packs: all,
            line: book.whole(self.line),
            holds: book.whole(self.holds),
            cost: book.whole(self.cost),
            tax: book.whole(self.tax),
            checks: vec![book.whole(self.check)],
        }
    }

    /// A row of an offer: what one pack holds and costs.
    fn start(&self, book: &mut Book, line: &Line, of: &Price) -> (RowId, Term, Term) {
        let row = book.row(self.table);
        let name = book.label(row, self.name, &name(line, of));
        book.link(&name, &of.kind.place);
        book.put(row, self.line, line.key.clone());
        for (column, field) in [(self.supplier, &of.supplier), (self.part, &of.part), (self.unit, &of.unit)] {
            if let (Some(words), Some(place)) = (field.get(), &field.cell)
                && matches!(field.raw, crate::model::Raw::Text(_))
            {
                let words = book.input_cell(place, Value::Text(words));
                book.put(row, column, words);
            }
        }
        let pack = match of.pack.value {
            Some(_) => book.number_input(&of.pack, Decimal::ONE),
            None => Term::number(1),
        };
        let pack = put_either(book, row, self.pack, pack);
        let price = book.number_input(&of.price, Decimal::ZERO);
        let price = put_either(book, row, self.price, price);
        (row, pack, price)
    }

    /// Tax on an offer's packs, at the rate of its row.
    fn tax(&self, book: &mut Book, context: &Context, row: RowId, of: &Price, cost: &Term) {
        let rate = book.tax_input(&of.tax, &context.settings.get(Setting::TaxRate), true);
        book.put(row, self.tax, (cost * &rate).cents());
    }

    fn finish(
        &self,
        book: &mut Book,
        row: RowId,
        packs: &Term,
        pack: &Term,
        one: &Term,
        feet: bool,
    ) -> (Term, Term, Term) {
        let holds = book.put(row, self.holds, packs * pack);
        let cost = book.put(row, self.cost, (packs * one).cents());
        let unit = if feet { Unit::Feet } else { Unit::Each };
        book.unit(&holds, unit);
        book.unit(pack, unit);
        book.unit(packs, Unit::Quantity);
        (packs.clone(), holds, cost)
    }
}

/// The name of an offer's row: what it fills, and where it stands.
fn name(line: &Line, of: &Price) -> String {
    format!("{}, Prices row {}", line.item.text(), of.row + 1)
}

/// Offers that pipe of a line is cut from, in the order of Prices.
fn offers_cut(pipes: &[Pipe], line: &Line) -> Vec<usize> {
    let cut = pipes.iter().filter(|pipe| pipe.item == line.item).flat_map(|pipe| {
        pipe.plan.cuts.iter().filter_map(|cut| match pipe.sources.get(cut.stock) {
            Some(Source::Offer(price) | Source::ByFoot(price)) => Some(*price),
            _ => None,
        })
    });
    let mut offers: Vec<usize> = cut.collect();
    offers.sort_unstable();
    offers.dedup();
    offers
}

/// Packs of each offer: those of the bid that is read when it holds its choices, else the cheapest.
fn chosen(context: &Context, line: &Line, amount: Decimal) -> Vec<(usize, u32)> {
    let fits = |price: &Price| {
        let sizes = price.sizes.get().unwrap_or_default();
        let sound = price.price.value.is_some() && price.pack.value.is_none_or(|pack| pack > Decimal::ZERO);
        sound
            && matches_item(context.rules, &line.item, &price.kind.value, price.material.as_ref().map(|m| &**m), &sizes)
    };
    let prices = &context.job.prices;
    let open: Vec<usize> = (0..prices.len()).filter(|index| fits(&prices[*index])).collect();
    if context.hold {
        let held = |index: &usize| {
            let text = context.job.held.get(&("Buying".to_owned(), name(line, &prices[*index])))?;
            Some((*index, text.parse::<Decimal>().ok()?.to_u32()?))
        };
        let held: Vec<(usize, u32)> = open.iter().filter_map(held).collect();
        if !held.is_empty() {
            return held;
        }
    }
    // Whole pieces as they are; where a pack or the need has a fraction, in thousandths.
    let packs: Vec<Decimal> = open.iter().map(|index| prices[*index].pack.value.unwrap_or(Decimal::ONE)).collect();
    let whole = packs.iter().chain([&amount]).all(|number| number.fract().is_zero());
    let scale = if whole { Decimal::ONE } else { Decimal::ONE_THOUSAND };
    let parts = |number: Decimal| number.checked_mul(scale).and_then(|n| n.ceil().to_i64()).unwrap_or(i64::MAX / 4);
    let mut suppliers: BTreeMap<String, usize> = BTreeMap::new();
    let offers: Vec<Offer> = open
        .iter()
        .zip(&packs)
        .map(|(index, pack)| {
            let price = &prices[*index];
            let next = suppliers.len();
            let supplier = *suppliers.entry(price.supplier.get().unwrap_or_default().to_string()).or_insert(next);
            // A pack that holds less than a thousandth holds nothing.
            let pack = pack.checked_mul(scale).and_then(|n| n.floor().to_i64()).unwrap_or(i64::MAX / 4);
            Offer::at(supplier, pack, mills(price.price.value.unwrap_or_default()))
        })
        .collect();
    let bought = purchase::cheapest(&Need { amount: parts(amount), offers });
    let packs = bought.map(|bought| bought.packs).unwrap_or_default();
    open.into_iter().zip(packs).filter(|(_, count)| *count > 0).collect()
}
