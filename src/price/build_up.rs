//! From cost to price, phase by phase: material, tax, labor, other costs; overhead, profit, contingency; permit and
//! allowances; the total.

use super::bought::Paid;
use super::lines::LineColumns;
use super::totals::{self, Hired, Totals};
use super::{Context, basis, costs};
use crate::figure::{Book, CellKind, ColumnId, RowId, TableId, Term};
use crate::finding::Finding;
use crate::model::{Phase, Setting};
use crate::parts::Allowance;
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

/// What is priced already.
#[derive(Clone, Copy)]
pub(super) struct Given<'a> {
    pub lines: &'a LineColumns,
    pub paid: Option<&'a Paid>,
    pub allowances: &'a [Allowance],
}

/// A row of the build-up: five phases and the whole.
struct Row {
    row: RowId,
    phases: [Term; 5],
    whole: Term,
}

pub(super) fn build_up(
    book: &mut Book,
    context: &Context,
    tables: &Tables,
    given: &Given,
    findings: &mut Vec<Finding>,
) -> BuildUp {
    let Given { lines, paid, allowances } = *given;
    let setting = |setting: Setting| context.settings.get(setting);
    let zero = || Term::number(0);
    let others = costs::other(book, context, tables.other);
    let fixtures = costs::fixtures(book, context);
    let more_tax: Vec<&costs::Tax> =
        [fixtures.as_ref(), Some(&others)].into_iter().flatten().filter_map(|costs| costs.tax.as_ref()).collect();

    let material = money_row(book, tables, "Material, waste included", |book, phase, row| {
        let sum = lines.by_phase.get(phase).map_or_else(zero, Term::sum);
        let _ = (book, row);
        sum
    });
    let tax_words = match (&fixtures, &others.tax) {
        (Some(_), None) => "Sales tax on material and fixtures",
        (Some(_), Some(_)) => "Sales tax on material, fixtures and taxed other costs",
        (None, Some(_)) => "Sales tax on material and taxed other costs",
        (None, None) => "Sales tax on material",
    };
    let tax = money_row(book, tables, tax_words, |_, phase, _| {
        let material = lines.by_phase.get(phase).map(|money| Term::sum_product(money, &lines.tax_rate));
        let parts: Vec<&Term> = material.iter().chain(more_tax.iter().map(|tax| &tax.phases[phase])).collect();
        Term::total(&parts)
    });
    let hired_rate = &tables.hired_rate;
    let labor = money_row(book, tables, "Labor at the hired rate, burden included", |_, phase, _| {
        match Phase::ALL.get(phase) {
            Some(phase) => context.labor.in_phase(*phase) * hired_rate,
            None => zero(),
        }
    });
    let other = money_row(book, tables, "Other costs", |_, phase, _| others.amounts[phase].clone());
    let fixtures =
        fixtures.as_ref().map(|costs| money_row(book, tables, "Fixtures", |_, phase, _| costs.amounts[phase].clone()));
    let direct = money_row(book, tables, "Direct cost", |_, phase, _| {
        let rows = [&material, &tax, &labor, &other].into_iter().chain(&fixtures);
        Term::total(&rows.map(|row| &row.phases[phase]).collect::<Vec<_>>())
    });
    book.mark(direct.row, CellKind::Total);
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
    let counted = |allowance: &Allowance| allowance.chosen.as_ref().unwrap_or(&allowance.allowed).clone();
    let allowance_sum: Vec<Term> = allowances.iter().map(counted).collect();
    let allowance_sum = Term::total(&allowance_sum.iter().collect::<Vec<_>>());
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
    book.mark(price.row, CellKind::Total);
    book.name(&price.whole, "Bid_total");

    let part = |name, row: &Row| CostPart { name, whole: row.whole.clone() };
    let mut cost_parts = vec![
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
    cost_parts.extend(fixtures.as_ref().map(|fixtures| part("Fixtures", fixtures)));
    let other_tax = Term::total(&more_tax.iter().map(|tax| &tax.whole).collect::<Vec<_>>());
    let hired = Hired {
        material: &material.whole,
        tax: &tax.whole,
        labor: &labor.whole,
        other: &other.whole,
        fixtures: fixtures.as_ref().map(|row| &row.whole),
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
    Row { row, phases, whole }
}
