//! From cost to price, phase by phase: material, tax, labor, other costs; overhead, profit, contingency; permit and
//! allowances; the total. And beside it what leaves the owner's pocket.

use super::Context;
use super::lines::LineColumns;
use crate::figure::{Book, CellKind, Column, ColumnId, RowId, TableId, Term, Value};
use crate::finding::{Code, Finding};
use crate::model::{Phase, Setting};
use crate::unit::Unit;
use rust_decimal::Decimal;

/// The column for what belongs to no phase.
pub const GENERAL: usize = 4;

/// Headings of the columns of money by phase.
pub const PHASE_COLUMNS: [&str; 5] = ["Underground", "Rough-in", "Trim", "Test", "General"];

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
    /// What leaves the owner's pocket: `Cash_total`.
    pub cash_total: Term,
    pub owner_hours: Term,
    pub hired_hours: Term,
}

/// One part of the price, as figures.
#[derive(Debug)]
pub struct CostPart {
    pub name: &'static str,
    /// The whole job's.
    pub whole: Term,
}

pub(super) struct Tables {
    build_up: TableId,
    label: ColumnId,
    phases: [ColumnId; 5],
    whole: ColumnId,
    cash: TableId,
    cash_label: ColumnId,
    cash_value: ColumnId,
    other: TableId,
}

pub(super) fn tables(book: &mut Book, context: &Context) -> Tables {
    let build_up = book.table(context.cost, "From cost to price");
    let label = book.column_like(build_up, "What", Unit::None, 36.0, CellKind::Plain);
    let phases = PHASE_COLUMNS.map(|heading| book.column(build_up, heading, Unit::Money));
    let whole = book.column_like(build_up, "Whole job", Unit::Money, 0.0, CellKind::Total);
    let cash = book.table(context.cost, "Cash out of pocket");
    let cash_label = book.column_like(cash, "What", Unit::None, 36.0, CellKind::Plain);
    let cash_value = book.column(cash, "Whole job", Unit::Money);
    let other = book.table(context.cost, "Other costs");
    Tables { build_up, label, phases, whole, cash, cash_label, cash_value, other }
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
    paid: Option<&Column>,
    findings: &mut Vec<Finding>,
) -> BuildUp {
    let setting = |setting: Setting| context.settings.get(setting);
    let zero = || Term::number(0);
    let other_costs = other_costs(book, context, tables);

    let material = money_row(book, tables, "Material, waste included", |book, phase, row| {
        let sum = lines.by_phase.get(phase).map(Term::sum).unwrap_or_else(zero);
        let _ = (book, row);
        sum
    });
    let tax = money_row(book, tables, "Sales tax on material", |_, phase, _| {
        &material.phases[phase] * setting(Setting::TaxRate)
    });
    let hired_rate = setting(Setting::LaborRate) * (Term::number(1) + setting(Setting::LaborBurden));
    let labor = money_row(book, tables, "Labor at the hired rate, burden included", |_, phase, _| {
        match Phase::ALL.get(phase) {
            Some(phase) => context.labor.in_phase(*phase) * &hired_rate,
            None => zero(),
        }
    });
    let other = money_row(book, tables, "Other costs", |_, phase, _| other_costs[phase].clone());
    let direct = money_row(book, tables, "Direct cost", |_, phase, _| {
        Term::total(&[&material.phases[phase], &tax.phases[phase], &labor.phases[phase], &other.phases[phase]])
    });
    book.mark(direct_row(tables, 4), CellKind::Total);
    let (overhead_share, profit_share) = (setting(Setting::Overhead), setting(Setting::Profit));
    let on_price = &*context.job.text(Setting::Markup) == "on price";
    let shares = overhead_share.value().as_f64() + profit_share.value().as_f64();
    if on_price && shares >= 1.0 {
        let place = context.job.settings.get(&Setting::Profit).and_then(|field| field.cell.clone());
        findings
            .push(Finding::near(place.as_ref(), Code::MarkupOverPrice { percent: format!("{:.0}", shares * 100.0) }));
    }
    // On price: overhead and profit are shares of direct cost + overhead + profit.
    let divisor = Term::number(1) - &overhead_share - &profit_share;
    let (overhead_words, profit_words) = match on_price {
        true => ("Overhead, share of price before contingency", "Profit, share of price before contingency"),
        false => ("Overhead, share of direct cost", "Profit, share of direct cost and overhead"),
    };
    let overhead = money_row(book, tables, overhead_words, |_, phase, _| match on_price {
        true => &direct.phases[phase] * &overhead_share / &divisor,
        false => &direct.phases[phase] * &overhead_share,
    });
    let profit = money_row(book, tables, profit_words, |_, phase, _| match on_price {
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
    let (owner_hours, hired_hours, cash_total) = cash(book, context, tables, lines, paid, &hired_rate, &other.whole);
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
        cash_total,
        owner_hours,
        hired_hours,
    }
}

fn direct_row(tables: &Tables, index: u32) -> RowId {
    RowId { table: tables.build_up, index }
}

/// One row of money: each phase to the cent, and their sum.
fn money_row(
    book: &mut Book,
    tables: &Tables,
    label: &str,
    mut term: impl FnMut(&mut Book, usize, RowId) -> Term,
) -> Row {
    let row = book.row(tables.build_up);
    book.label(row, tables.label, label);
    let phases: [Term; 5] = std::array::from_fn(|phase| {
        let money = term(book, phase, row);
        match money.expr() {
            // Nothing of the kind can fall on this phase: a plain 0 says so better than a formula.
            crate::figure::Expr::Const(value) => {
                book.rule(row, tables.phases[phase], value.clone(), &"does not arise".into())
            }
            _ => book.put(row, tables.phases[phase], money.cents()),
        }
    });
    let whole = book.put(row, tables.whole, Term::total(&phases.each_ref().map(|t| t)).cents());
    Row { phases, whole }
}

/// Other costs by phase, from their own table.
fn other_costs(book: &mut Book, context: &Context, tables: &Tables) -> [Term; 5] {
    let item = book.column_like(tables.other, "Item", Unit::None, 36.0, CellKind::Plain);
    let phase = book.column(tables.other, "Phase", Unit::None);
    let quantity = book.column(tables.other, "Quantity", Unit::Quantity);
    let price = book.column(tables.other, "Price", Unit::Money);
    let amount = book.column(tables.other, "Amount", Unit::Money);
    for cost in &context.job.other_costs {
        let row = book.row(tables.other);
        let name = book.input_cell(&cost.item.place, Value::Text(cost.item.value.clone()));
        book.put(row, item, name);
        let when = cost.phase.as_ref().and_then(|text| Phase::parse(text));
        book.label(row, phase, when.map_or("general", Phase::word));
        let count = book.number_input(&cost.quantity, Decimal::ZERO);
        let count = book.put(row, quantity, count);
        let one = book.number_input(&cost.price, Decimal::ZERO);
        let one = book.put(row, price, one);
        book.put(row, amount, (count * one).cents());
    }
    if context.job.other_costs.is_empty() {
        return std::array::from_fn(|_| Term::number(0));
    }
    let (phase, amount) = (book.whole(phase), book.whole(amount));
    std::array::from_fn(|index| {
        let word = Phase::ALL.get(index).map_or("general", |phase| phase.word());
        Term::sum_where(&amount, &[(&phase, &Term::text(word))])
    })
}

/// The allowances of the Terms sheet, summed.
fn allowances(book: &mut Book, context: &Context) -> Term {
    let amounts: Vec<Term> = context
        .job
        .terms
        .iter()
        .filter(|term| &*term.kind.value == "allowance" && term.amount.value.is_some())
        .map(|term| book.number_input(&term.amount, Decimal::ZERO))
        .collect();
    let amounts: Vec<&Term> = amounts.iter().collect();
    Term::total(&amounts)
}

/// What leaves the owner's pocket: material that is not on hand and its tax, hired hours, other costs, permit,
/// allowances and contingency; no wage, overhead or profit of the owner's own.
fn cash(
    book: &mut Book,
    context: &Context,
    tables: &Tables,
    lines: &LineColumns,
    paid: Option<&Column>,
    hired_rate: &Term,
    other: &Term,
) -> (Term, Term, Term) {
    let setting = |setting: Setting| context.settings.get(setting);
    let put = |book: &mut Book, words: &str, term: Term, unit: Unit, kind: CellKind| {
        let row = book.row(tables.cash);
        book.mark(row, kind);
        book.label(row, tables.cash_label, words);
        let term = if unit == Unit::Money { term.cents() } else { term };
        let term = book.put(row, tables.cash_value, term);
        book.unit(&term, unit);
        term
    };
    let plain = CellKind::Plain;
    let to_buy = put(book, "Material to buy, on hand left out", Term::sum(&lines.to_buy), Unit::Money, plain);
    let paid = paid.map(|paid| put(book, "Material bought already", Term::sum(paid), Unit::Money, plain));
    let material: Vec<&Term> = std::iter::once(&to_buy).chain(&paid).collect();
    let material = Term::total(&material);
    let tax = put(book, "Sales tax on it", &material * setting(Setting::TaxRate), Unit::Money, plain);
    let hired = put(book, "Hired hours", context.labor.by("hired"), Unit::Hours, plain);
    let wages = put(book, "Hired labor, burden included", &hired * hired_rate, Unit::Money, plain);
    let other = put(book, "Other costs", other.clone(), Unit::Money, plain);
    let permit = put(book, "Permit", setting(Setting::Permit), Unit::Money, plain);
    let allowance = allowances(book, context);
    let allowance = put(book, "Allowances", allowance, Unit::Money, plain);
    let base = Term::total(&[&material, &tax, &wages, &other]);
    let reserve = put(book, "Contingency on these costs", base * setting(Setting::Contingency), Unit::Money, plain);
    let all = Term::total(&[&material, &tax, &wages, &other, &permit, &allowance, &reserve]);
    let total = put(book, "Cash out of pocket", all, Unit::Money, CellKind::Total);
    book.name(&total, "Cash_total");
    let own = put(book, "Owner's own hours, not in the cash", context.labor.by("owner"), Unit::Hours, plain);
    put(book, "Worth of them at the owner's rate", &own * setting(Setting::OwnerRate), Unit::Money, plain);
    (own, hired, total)
}
