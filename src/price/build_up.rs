//! From cost to price, phase by phase: material, tax, labor, other costs; overhead, profit, contingency; permit and
//! allowances; the total.

use super::bought::Paid;
use super::lines::LineColumns;
use super::totals::{self, Hired, Totals};
use super::{Context, basis};
use crate::figure::{Book, CellKind, ColumnId, RowId, TableId, Term};
use crate::finding::Finding;
use crate::model::{Phase, Setting};
use crate::price::findings::MarkupOverPrice;
use crate::sheets::Page;
use crate::table::columns;

/// The column for what belongs to no phase.
pub(crate) const GENERAL: usize = 4;

/// Headings of the columns of money by phase.
pub(crate) const PHASE_COLUMNS: [&str; 5] = ["Underground", "Rough-in", "Trim", "Test", "General"];

/// The money of the bid, as figures. Arrays go by phase, [`GENERAL`] last.
#[derive(Debug)]
pub struct BuildUp {
    pub material: [Term; 5],
    pub tax: [Term; 5],
    pub labor: [Term; 5],
    pub other: [Term; 5],
    pub direct: [Term; 5],
    pub overhead: [Term; 5],
    pub profit: [Term; 5],
    pub contingency: [Term; 5],
    pub price: [Term; 5],
    /// What the price is the sum of, each to the cent, so that the sum is exact.
    pub parts: Vec<CostPart>,
    /// Whole-job sums of the rows above.
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

columns! {
    struct Parts on CostBuildUp("From cost to price") {
        label: "What", words 36;
        phases as [ColumnId; 5]: PHASE_COLUMNS, Money;
        whole: "Whole job", total Money;
    }
}

columns! {
    struct Others(taxed: bool) {
        item: "Item", words 36;
        phase: "Phase", words;
        quantity: "Quantity", Quantity;
        price: "Price", Money;
        amount: "Amount", Money;
        rate as Option<ColumnId>: taxed.then_some("Tax rate"), Percent;
        tax as Option<ColumnId>: taxed.then_some("Sales tax"), Money;
    }
}

pub(super) struct Tables {
    parts: Parts,
    totals: totals::Table,
    other: TableId,
    /// The hired wage an hour, burden included.
    hired_rate: Term,
}

pub(super) fn tables(book: &mut Book, context: &Context) -> Tables {
    let parts = Parts::on_page(book, context);
    let hired_rate = basis::put(book, context);
    let totals = totals::Table::put(book, context);
    let other = book.table(context.page(Page::CostBuildUp), "Other costs");
    Tables { parts, totals, other, hired_rate }
}

/// A row of the build-up: five phases and the whole.
struct Row {
    phases: [Term; 5],
    whole: Term,
}

pub(super) fn build_up(
    book: &mut Book,
    context: &Context,
    tables: &Tables,
    lines: &LineColumns,
    paid: Option<&Paid>,
    findings: &mut Vec<Finding>,
) -> BuildUp {
    let setting = |setting: Setting| context.settings.get(setting);
    let zero = || Term::number(0);
    let (other_costs, other_tax) = other_costs(book, context, tables);

    let material = money_row(book, tables, "Material, waste included", |book, phase, row| {
        let sum = lines.by_phase.get(phase).map_or_else(zero, Term::sum);
        let _ = (book, row);
        sum
    });
    let tax_words = match &other_tax {
        Some(_) => "Sales tax on material and taxed other costs",
        None => "Sales tax on material",
    };
    let tax = money_row(book, tables, tax_words, |_, phase, _| {
        let material = lines.by_phase.get(phase).map(|money| Term::sum_product(money, &lines.tax_rate));
        let other = other_tax.as_ref().map(|tax| tax.phases[phase].clone());
        let parts: Vec<&Term> = material.iter().chain(&other).collect();
        Term::total(&parts)
    });
    let hired_rate = &tables.hired_rate;
    let labor = money_row(book, tables, "Labor at the hired rate, burden included", |_, phase, _| {
        match Phase::ALL.get(phase) {
            Some(phase) => context.labor.in_phase(*phase) * hired_rate,
            None => zero(),
        }
    });
    let other = money_row(book, tables, "Other costs", |_, phase, _| other_costs[phase].clone());
    let direct = money_row(book, tables, "Direct cost", |_, phase, _| {
        Term::total(&[&material.phases[phase], &tax.phases[phase], &labor.phases[phase], &other.phases[phase]])
    });
    book.mark(direct_row(tables, 4), CellKind::Total);
    let (overhead_share, profit_share) = (setting(Setting::Overhead), setting(Setting::Profit));
    let on_price = basis::on_price(context);
    let shares = overhead_share.value().as_f64() + profit_share.value().as_f64();
    if on_price && shares >= 1.0 {
        let place = context.job.settings.get(&Setting::Profit).and_then(|field| field.cell.clone());
        findings.push(Finding::near(place.as_ref(), MarkupOverPrice { percent: format!("{:.0}", shares * 100.0) }));
    }
    // On price: overhead and profit are shares of direct cost + overhead + profit.
    let divisor = Term::number(1) - &overhead_share - &profit_share;
    let bases = [basis::overhead(on_price), basis::profit(on_price)];
    let words = |name: &str, base: &str| format!("{name}, share of {base}");
    let overhead = money_row(book, tables, &words("Overhead", bases[0]), |_, phase, _| match on_price {
        true => &direct.phases[phase] * &overhead_share / &divisor,
        false => &direct.phases[phase] * &overhead_share,
    });
    let profit = money_row(book, tables, &words("Profit", bases[1]), |_, phase, _| match on_price {
        true => &direct.phases[phase] * &profit_share / &divisor,
        false => (&direct.phases[phase] + &overhead.phases[phase]) * &profit_share,
    });
    let contingency = money_row(book, tables, "Contingency, share of direct cost", |_, phase, _| {
        &direct.phases[phase] * setting(Setting::Contingency)
    });
    let permit =
        money_row(
            book,
            tables,
            "Permit, at cost",
            |_, phase, _| {
                if phase == GENERAL { setting(Setting::Permit) } else { zero() }
            },
        );
    let allowance_sum = allowances(book, context);
    let allowance =
        money_row(
            book,
            tables,
            "Allowances",
            |_, phase, _| if phase == GENERAL { allowance_sum.clone() } else { zero() },
        );
    let parts = [&direct, &overhead, &profit, &contingency, &permit, &allowance];
    let before = money_row(book, tables, "Before the minimum charge", |_, phase, _| {
        Term::total(&parts.map(|row| &row.phases[phase]))
    });
    let top_up = money_row(book, tables, "Up to the minimum charge", |_, phase, _| {
        if phase == GENERAL { (setting(Setting::MinimumCharge) - &before.whole).max(&zero()) } else { zero() }
    });
    let price =
        money_row(book, tables, "Price", |_, phase, _| Term::total(&[&before.phases[phase], &top_up.phases[phase]]));
    book.mark(direct_row(tables, 12), CellKind::Total);
    book.name(&price.whole, "Bid_total");

    let part = |name, row: &Row| CostPart { name, whole: row.whole.clone() };
    let cost_parts = vec![
        part("Material", &material),
        part("Sales tax", &tax),
        part("Labor", &labor),
        part("Other costs", &other),
        part("Overhead", &overhead),
        part("Profit", &profit),
        part("Contingency", &contingency),
        part("Permit", &permit),
        part("Allowances", &allowance),
        part("Up to the minimum charge", &top_up),
    ];
    let other_tax = other_tax.map_or_else(zero, |tax| tax.whole);
    let hired = Hired {
        material: &material.whole,
        tax: &tax.whole,
        labor: &labor.whole,
        other: &other.whole,
        other_tax: &other_tax,
        overhead: &overhead.whole,
        profit: &profit.whole,
        contingency: &contingency.whole,
        permit: &permit.whole,
        allowance: &allowance.whole,
        top_up: &top_up.whole,
        total: &price.whole,
        rate: hired_rate,
    };
    let totals = tables.totals.fill(book, context, lines, paid, &hired);
    BuildUp {
        material_total: material.whole,
        labor_total: labor.whole,
        material: material.phases,
        tax: tax.phases,
        labor: labor.phases,
        other: other.phases,
        direct: direct.phases,
        overhead: overhead.phases,
        profit: profit.phases,
        contingency: contingency.phases,
        price: price.phases,
        parts: cost_parts,
        total: price.whole,
        totals,
        bases,
        unpriced: lines.unpriced.clone(),
    }
}

fn direct_row(tables: &Tables, index: u32) -> RowId {
    RowId { table: tables.parts.table, index }
}

/// One row of money: each phase to the cent, and their sum.
fn money_row(
    book: &mut Book,
    tables: &Tables,
    label: &str,
    mut term: impl FnMut(&mut Book, usize, RowId) -> Term,
) -> Row {
    let row = book.row(tables.parts.table);
    book.label(row, tables.parts.label, label);
    let phases: [Term; 5] = std::array::from_fn(|phase| {
        let money = term(book, phase, row);
        match money.expr() {
            // Nothing of the kind can fall on this phase: a plain 0 says so better than a formula.
            crate::figure::Expr::Const(value) => {
                book.state(row, tables.parts.phases[phase], value.clone(), "does not arise")
            }
            _ => book.put(row, tables.parts.phases[phase], money.cents()),
        }
    });
    let whole = book.put(row, tables.parts.whole, Term::total(&phases.each_ref().map(|t| t)).cents());
    Row { phases, whole }
}

/// Sales tax on other costs.
struct OtherTax {
    phases: [Term; 5],
    whole: Term,
}

/// Other costs by phase, from their own table; and the sales tax on them, where the sheet has a column for it.
fn other_costs(book: &mut Book, context: &Context, tables: &Tables) -> ([Term; 5], Option<OtherTax>) {
    let costs = &context.job.other_costs;
    let taxed = costs.iter().any(|cost| cost.tax.cell.is_some());
    let Others { item, phase, quantity, price, amount, rate, tax, .. } = Others::in_table(book, tables.other, taxed);
    let taxed = rate.zip(tax);
    for cost in costs {
        let row = book.row(tables.other);
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
        return (std::array::from_fn(|_| Term::number(0)), None);
    }
    let phase = book.whole(phase);
    let mut by_phase = |column: ColumnId| {
        let money = book.whole(column);
        std::array::from_fn(|index| {
            let word = Phase::ALL.get(index).map_or("general", |phase| phase.word());
            Term::sum_where(&money, &[(&phase, &Term::text(word))])
        })
    };
    let amounts = by_phase(amount);
    let phases = taxed.map(|(_, tax)| by_phase(tax));
    let tax = taxed.zip(phases).map(|((_, tax), phases)| OtherTax { phases, whole: Term::sum(&book.whole(tax)) });
    (amounts, tax)
}

/// The allowances of the Terms sheet, summed.
fn allowances(book: &mut Book, context: &Context) -> Term {
    let amounts: Vec<Term> = context
        .job
        .terms
        .iter()
        .filter(|term| &*term.kind.value == "allowance" && term.amount.value.is_some())
        .map(|term| term.amount.figure(book))
        .collect();
    let amounts: Vec<&Term> = amounts.iter().collect();
    Term::total(&amounts)
}
