//! What is bought already, and what the job as it now stands leaves over of it: whole units can go back, the rest goes
//! into stock.

use super::Context;
use crate::buy::offer_name;
use crate::figure::{Book, CellKind, Column, ColumnId, Look, RowId, Term, Value};
use crate::finding::Finding;
use crate::model::{Price, Setting};
use crate::price::findings::BoughtLeftOver;
use crate::rules::Item;
use crate::sheets::Page;
use crate::table::columns;
use crate::takeoff::Line;
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// What was bought, as figures.
#[derive(Debug)]
pub struct Bought {
    /// Paid for all of it, before tax.
    pub paid: Term,
    /// What whole units bring when they are taken back at their price.
    pub returns: Term,
    /// What the rest that is left over cost.
    pub stock: Term,
}

/// What was paid for each row, and the rate of tax on it.
pub(super) struct Paid {
    pub paid: Column,
    pub tax_rate: Column,
}

columns! {
    struct Columns on CostBuildUp("Bought already") {
        item: "Line", words 36;
        supplier: "Supplier", words 20;
        units: "Units bought", Quantity;
        pack: "In one", Quantity;
        price: "Price of one", Money;
        paid: "Paid", Money;
        quantity: "Bought", Quantity;
        wanted: "Wanted of it", Quantity;
        left: "Left over", Quantity;
        back: "Whole units to take back", Each;
        returns: "Back for them", Money;
        rest: "Rest, into stock", Quantity;
        stock: "What it cost", Money;
        tax_rate: "Tax rate", quiet Percent;
    }
}

/// The table of what is bought, when anything is; and what was paid.
pub(super) fn put(book: &mut Book, context: &Context, findings: &mut Vec<Finding>) -> Option<(Bought, Paid)> {
    let bought = |price: &Price| price.bought.value.is_some_and(|units| !units.is_zero());
    if !context.job.prices.iter().any(bought) {
        return None;
    }
    let columns = Columns::on_page(book, context);
    // What is still wanted of a line once the rows so far have been used.
    let mut wanted: BTreeMap<usize, Term> = BTreeMap::new();
    for (index, price) in context.job.prices.iter().enumerate().filter(|(_, price)| bought(price)) {
        let of = context.take_off.lines.iter().position(|line| line.bought_by.contains(&index));
        let line = of.map(|of| &context.take_off.lines[of]);
        let still = match (of.and_then(|of| wanted.get(&of)), line) {
            (Some(still), _) => still.clone(),
            (None, Some(line)) => &line.needed - &line.on_hand,
            (None, None) => Term::number(0),
        };
        let row = Row { context, columns: &columns, price, line, at: book.row(columns.table) };
        let after = row.put(book, still, findings);
        wanted.extend(of.map(|of| (of, after)));
    }
    let row = book.row(columns.table);
    book.mark(row, CellKind::Total);
    book.label(row, columns.item, "All of it");
    let last = book.table_spec(columns.table).rows - 2;
    let mut total = |column: ColumnId| {
        let column_of = book.stretch(column, 0, last);
        book.put(row, column, Term::sum(&column_of).cents())
    };
    let bought = Bought { paid: total(columns.paid), returns: total(columns.returns), stock: total(columns.stock) };
    let paid = Paid { paid: book.stretch(columns.paid, 0, last), tax_rate: book.stretch(columns.tax_rate, 0, last) };
    book.words(
        context.page(Page::CostBuildUp),
        Look::Small,
        "Used in the order of the rows of Prices. Whole units are reckoned to go back at the price they were bought at; \
         ask the supplier, who may keep a share.",
    );
    Some((bought, paid))
}

/// A row of it.
struct Row<'a> {
    context: &'a Context<'a>,
    columns: &'a Columns,
    price: &'a Price,
    line: Option<&'a Line>,
    at: RowId,
}

impl Row<'_> {
    /// Gives what is still wanted of the line after this row.
    fn put(&self, book: &mut Book, still: Term, findings: &mut Vec<Finding>) -> Term {
        let Self { context, columns, price, line, at } = *self;
        let feet = self.put_item(book);
        if let Some(words) = price.supplier.as_typed(book).filter(|_| price.supplier.value.is_some()) {
            book.put(at, columns.supplier, words);
        }
        let units = price.bought.figure(book);
        let units = book.put(at, columns.units, units);
        // A blank or bare pack is one piece; a pack of nothing has no meaning, and offers nothing either.
        let pack = match (price.pack.value, &price.pack.cell) {
            (Some(pack), Some(_)) if pack > Decimal::ZERO => price.pack.figure(book),
            (None, Some(_)) => price.pack.figure(book),
            _ => Term::number(1),
        };
        let pack = book.put(at, columns.pack, pack);
        let one = price.price.figure(book);
        let one = book.put(at, columns.price, one);
        book.put(at, columns.paid, (&units * &one).cents());
        let rate = price.tax.rate(book, &context.settings.get(Setting::TaxRate));
        book.put(at, columns.tax_rate, rate);
        let quantity = book.put(at, columns.quantity, &units * &pack);
        let wanted = match line {
            Some(_) => book.put(at, columns.wanted, still.max(&Term::number(0))),
            None => book.state(at, columns.wanted, Value::Exact(Decimal::ZERO), "not needed"),
        };
        let left = book.put(at, columns.left, (&quantity - &wanted).max(&Term::number(0)));
        let back = self.back(&units, &pack, &left, feet);
        let back = book.put(at, columns.back, back);
        let returns = book.put(at, columns.returns, (&back * &one).cents());
        let rest = book.put(at, columns.rest, &left - &back * &pack);
        let stock = book.put(at, columns.stock, (&rest * &one / &pack).cents());
        let unit = if feet { Unit::Feet } else { Unit::Quantity };
        [&quantity, &wanted, &left, &rest].iter().for_each(|term| book.unit(term, unit));
        if left.value().as_f64() > 0.0 {
            let worth = (&returns + &stock).show_money().value().to_string();
            let quantity = format!("{} {}", left.value(), if feet { "ft" } else { "each" });
            let item = book.at(at, columns.item).map(|item| item.value().to_string()).unwrap_or_default();
            let facts = BoughtLeftOver { item, quantity, worth, returned: back.value().to_string() };
            findings.push(Finding::near(price.bought.cell.as_ref(), facts));
        }
        wanted - quantity
    }

    /// What it is of; gives whether that is bought in feet.
    fn put_item(&self, book: &mut Book) -> bool {
        let Self { context, columns, price, at, .. } = *self;
        if let Some(line) = self.line {
            book.put(at, columns.item, line.key.clone());
            return line.feet;
        }
        let material = price.material.as_ref().and_then(|m| context.rules.canonical_material(m));
        let sizes = price.sizes.get().unwrap_or_default();
        let item = Item::new(context.rules.names().part(&price.kind.value), material.unwrap_or_default(), &sizes);
        book.label(at, columns.item, &item.text());
        context.rules.is_feet(&item)
    }

    /// Whole units that can go back. A stick that the Cut plan begins does not, however much of it is left.
    fn back(&self, units: &Term, pack: &Term, left: &Term, feet: bool) -> Term {
        let Self { context, price, line, .. } = *self;
        let back = (left / pack).whole_down();
        let names = line.map(|line| offer_name::of_line(context.job, context.rules, line)).unwrap_or_default();
        let name = names.into_iter().find(|(index, _)| context.job.prices[*index].row == price.row);
        match context.purchases.zip(name).filter(|_| feet && !price.is_by_foot()) {
            Some((purchases, (_, name))) => {
                let from = Term::text(offer_name::bought(&name));
                let begun = Term::count_where(&[(&purchases.cut_from, &from)]);
                back.min(&(units - begun).max(&Term::number(0)))
            }
            None => back,
        }
    }
}
