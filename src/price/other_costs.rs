//! Other costs: rentals, freight and the like, by phase, with the sales tax on them.

use super::Context;
use crate::figure::{Book, ColumnId, TableId, Term};
use crate::model::{Phase, Setting};
use crate::sheets::Page;
use crate::table::columns;

columns! {
    struct Columns(taxed: bool) {
        item: "Item", words 36;
        phase: "Phase", words;
        quantity: "Quantity", Quantity;
        price: "Price", Money;
        amount: "Amount", Money;
        rate as Option<ColumnId>: taxed.then_some("Tax rate"), Percent;
        tax as Option<ColumnId>: taxed.then_some("Sales tax"), Money;
    }
}

/// By phase, what belongs to none last.
pub(super) struct OtherCosts {
    pub phases: [Term; 5],
    /// Where the sheet has a column for it.
    pub tax: Option<OtherTax>,
}

/// Sales tax on other costs.
pub(super) struct OtherTax {
    pub phases: [Term; 5],
    pub whole: Term,
}

/// Their table, whose place is kept until its columns are known.
pub(super) struct OtherTable(TableId);

impl OtherTable {
    pub(super) fn put(book: &mut Book, context: &Context) -> Self {
        Self(book.table(context.page(Page::CostBuildUp), "Other costs"))
    }

    pub(super) fn fill(&self, book: &mut Book, context: &Context) -> OtherCosts {
        let costs = &context.job.other_costs;
        let taxed = costs.iter().any(|cost| cost.tax.cell.is_some());
        let Columns { item, phase, quantity, price, amount, rate, tax, .. } = Columns::in_table(book, self.0, taxed);
        let taxed = rate.zip(tax);
        for cost in costs {
            let row = book.row(self.0);
            let name = cost.item.figure(book);
            book.put(row, item, name);
            let when = cost.phase.as_ref().and_then(|text| Phase::parse(text));
            book.label(row, phase, when.map_or("general", Phase::word));
            let count = cost.quantity.figure(book);
            let count = book.put(row, quantity, count);
            let one = cost.price.figure(book);
            let one = book.put(row, price, one);
            let all = book.put(row, amount, (count * one).cents());
            if let Some((rate_column, tax)) = taxed {
                let rate = cost.tax.rate(book, &context.settings.get(Setting::TaxRate));
                let rate = book.put(row, rate_column, rate);
                book.put(row, tax, (all * rate).cents());
            }
        }
        if costs.is_empty() {
            return OtherCosts { phases: std::array::from_fn(|_| Term::number(0)), tax: None };
        }
        let phase = book.whole(phase);
        let mut by_phase = |column: ColumnId| {
            let money = book.whole(column);
            std::array::from_fn(|index| {
                let word = Phase::ALL.get(index).map_or("general", |phase| phase.word());
                Term::sum_where(&money, &[(&phase, &Term::text(word))])
            })
        };
        let phases = by_phase(amount);
        let tax_phases = taxed.map(|(_, tax)| by_phase(tax));
        let tax = taxed.zip(tax_phases);
        let tax = tax.map(|((_, tax), phases)| OtherTax { phases, whole: Term::sum(&book.whole(tax)) });
        OtherCosts { phases, tax }
    }
}
