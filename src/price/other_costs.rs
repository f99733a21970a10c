//! Costs that are neither lines of the take-off nor labor, by phase, with the sales tax on them: rentals, freight and the like,
//! what the subjects add to those, and fixtures that are priced one by one.

use super::Context;
use crate::figure::{Book, ColumnId, TableId, Term};
use crate::model::{Phase, Setting};
use crate::parts::Cost;
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

/// Costs by phase, what belongs to none last, and the sales tax on them.
pub(super) struct CostsByPhase {
    pub phases: [Term; 5],
    /// `None` where nothing is taxed.
    pub tax: Option<Tax>,
}

/// Sales tax on costs.
pub(super) struct Tax {
    pub phases: [Term; 5],
    pub whole: Term,
}

/// The table of other costs, whose place is kept until its columns are known.
pub(super) struct OtherTable(TableId);

impl OtherTable {
    pub(super) fn put(book: &mut Book, context: &Context) -> Self {
        Self(book.table(context.page(Page::CostBuildUp), "Other costs"))
    }
}

/// The rows of Other costs, then what the subjects and trips add, then what material costs more by Start date.
pub(super) fn other(book: &mut Book, context: &Context, table: &OtherTable, rise: Option<&Cost>) -> CostsByPhase {
    let rows = &context.job.other_costs;
    let taxed = rows.iter().any(|cost| cost.tax.cell.is_some());
    let tax_rate = context.settings.get(Setting::TaxRate);
    let own = rows.iter().map(|cost| Cost {
        what: cost.item.figure(book),
        phase: cost.phase.as_ref().and_then(|text| Phase::from_name(text)),
        quantity: cost.quantity.figure(book),
        price: cost.price.figure(book),
        tax_rate: taxed.then(|| cost.tax.rate(book, &tax_rate)),
    });
    let costs: Vec<Cost> = own.collect();
    put(book, table.0, costs.iter().chain(&context.costs.other).chain(rise))
}

/// Fixtures that have a price of their own; `None` where there are none.
pub(super) fn fixtures(book: &mut Book, context: &Context) -> Option<CostsByPhase> {
    let costs = &context.costs.fixtures;
    (!costs.is_empty()).then(|| {
        let table = book.table(context.page(Page::CostBuildUp), "Fixtures, at the prices on Fixtures");
        put(book, table, costs.iter())
    })
}

fn put<'a>(book: &mut Book, table: TableId, costs: impl Iterator<Item = &'a Cost> + Clone) -> CostsByPhase {
    let taxed = costs.clone().any(|cost| cost.tax_rate.is_some());
    let Columns { item, phase, quantity, price, amount, rate, tax, .. } = Columns::in_table(book, table, taxed);
    let taxed = rate.zip(tax);
    let mut any = false;
    for cost in costs {
        any = true;
        let row = book.row(table);
        book.put(row, item, cost.what.clone());
        book.label(row, phase, cost.phase.map_or("general", Phase::word));
        let count = book.put_or_state(row, quantity, cost.quantity.clone(), "counted from the job");
        let one = book.put(row, price, cost.price.clone());
        let all = book.put(row, amount, (count * one).cents());
        if let Some((rate_column, tax)) = taxed {
            let rate = cost.tax_rate.clone().unwrap_or_else(|| Term::number(0));
            let rate = book.put_or_state(row, rate_column, rate, "not taxed");
            book.put(row, tax, (all * rate).cents());
        }
    }
    if !any {
        return CostsByPhase { phases: std::array::from_fn(|_| Term::number(0)), tax: None };
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
    let tax = taxed.zip(tax_phases).map(|((_, tax), phases)| Tax { phases, whole: Term::sum(&book.whole(tax)) });
    CostsByPhase { phases, tax }
}
