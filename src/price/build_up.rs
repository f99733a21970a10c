//! From cost to price, phase by phase: material, tax, labor, other costs; overhead, profit, contingency; permit and
//! allowances; the total.

use super::cost_rows::{Material, Parts, Row};
use super::other_costs::{self, OtherTable};
use super::totals::{self, Hired, Totals};
use super::{Context, basis};
use crate::figure::{Book, Term};
use crate::parts::Allowance;

/// The money of the bid, as figures.
#[derive(Debug)]
pub struct BuildUp {
    /// By phase, [`GENERAL`] last.
    pub direct: [Term; 5],
    pub overhead: [Term; 5],
    pub profit: [Term; 5],
    pub contingency: [Term; 5],
    pub price: [Term; 5],
    /// What the price is the sum of, each to the cent, so that the sum is exact.
    pub parts: Vec<CostPart>,
    pub material_total: Term,
    pub labor_total: Term,
    /// The bid's total: `Bid_total`.
    pub total: Term,
    /// The total beside the cash out of pocket.
    pub totals: Totals,
    /// What overhead and profit are shares of, in words.
    pub bases: [&'static str; 2],
    /// How many lines of which something is needed have no price.
    pub unpriced: Term,
}

/// One part of the price, as figures.
#[derive(Debug)]
pub struct CostPart {
    pub name: &'static str,
    /// The whole job's.
    pub whole: Term,
}

pub(super) struct Tables {
    parts: Parts,
    totals: totals::Table,
    other: OtherTable,
    /// The hired wage an hour, burden included.
    hired_rate: Term,
}

pub(super) fn tables(book: &mut Book, context: &Context) -> Tables {
    let parts = Parts::on_page(book, context);
    let hired_rate = basis::put(book, context);
    let totals = totals::Table::put(book, context);
    let other = OtherTable::put(book, context);
    Tables { parts, totals, other, hired_rate }
}

pub(super) fn build_up(
    book: &mut Book,
    context: &Context,
    tables: &Tables,
    material: &Material,
    allowances: &[Allowance],
) -> BuildUp {
    let other = other_costs::other(book, context, &tables.other, material.rise.as_ref());
    let fixtures = other_costs::fixtures(book, context);
    let given = (&other, fixtures.as_ref());
    let costs = tables.parts.costs(book, material.lines, given, (context.labor, &tables.hired_rate));
    let counted: Vec<&Term> = allowances.iter().map(|one| one.chosen.as_ref().unwrap_or(&one.allowed)).collect();
    let charges = tables.parts.charges(book, context, &costs.direct, &Term::total(&counted));
    book.name(&charges.price.whole, "Bid_total");
    let part = |name, row: &Row| CostPart { name, whole: row.whole.clone() };
    let mut parts = vec![
        part("Material", &costs.material),
        part("Sales tax", &costs.tax),
        part("Labor", &costs.labor),
        part("Other costs", &costs.other),
        part("Overhead", &charges.overhead),
        part("Profit", &charges.profit),
        part("Contingency", &charges.contingency),
        part("Permit", &charges.permit),
        part("Allowances", &charges.allowance),
        part("Up to the minimum charge", &charges.top_up),
    ];
    parts.extend(costs.fixtures.as_ref().map(|fixtures| part("Fixtures", fixtures)));
    let taxes = [fixtures, Some(other)].into_iter().flatten().filter_map(|costs| Some(costs.tax?.whole));
    let other_tax = Term::total(&taxes.collect::<Vec<_>>().iter().collect::<Vec<_>>());
    let hired = Hired { costs: &costs, charges: &charges, other_tax, rate: &tables.hired_rate };
    let totals = tables.totals.fill(book, context, material, &hired);
    let on_price = basis::on_price(context);
    BuildUp {
        direct: costs.direct.phases,
        overhead: charges.overhead.phases,
        profit: charges.profit.phases,
        contingency: charges.contingency.phases,
        price: charges.price.phases,
        parts,
        material_total: costs.material.whole,
        labor_total: costs.labor.whole,
        total: charges.price.whole,
        totals,
        bases: [basis::overhead(on_price), basis::profit(on_price)],
        unpriced: material.lines.unpriced.clone(),
    }
}
