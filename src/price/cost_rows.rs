//! The rows from cost to price, phase by phase and for the whole job: what the job costs, and what is charged over it.

use super::bought::Paid;
use super::lines::LineColumns;
use super::other_costs::{CostsByPhase, Tax};
use super::{Context, basis};
use crate::figure::{Book, CellKind, ColumnId, Expr, RowId, Term};
use crate::labor::Labor;
use crate::model::{Phase, Setting};
use crate::parts::Cost;
use crate::table::columns;

/// The column for what belongs to no phase.
pub(crate) const GENERAL: usize = 4;

/// Headings of the columns of money by phase.
pub(crate) const PHASE_COLUMNS: [&str; 5] = ["Underground", "Rough-in", "Trim", "Test", "General"];

columns! {
    pub(super) struct Parts on CostBuildUp("From cost to price") {
        label: "What", words 36;
        phases as [ColumnId; 5]: PHASE_COLUMNS, Money;
        whole: "Whole job", total Money;
    }
}

/// The columns that the money of material is summed from.
pub(super) struct Material<'a> {
    pub lines: &'a LineColumns,
    pub paid: Option<&'a Paid>,
    /// What it costs more by Start date; a row of other costs.
    pub rise: Option<Cost>,
}

/// A row of the build-up: five phases and the whole.
pub(super) struct Row {
    id: RowId,
    pub phases: [Term; 5],
    pub whole: Term,
}

/// What the job costs.
pub(super) struct Costs {
    pub material: Row,
    pub tax: Row,
    pub labor: Row,
    pub other: Row,
    /// `None` where none has a price of its own.
    pub fixtures: Option<Row>,
    pub direct: Row,
}

/// What is charged over it, and the price.
pub(super) struct Charges {
    pub overhead: Row,
    pub profit: Row,
    pub contingency: Row,
    pub permit: Row,
    pub allowance: Row,
    pub top_up: Row,
    pub price: Row,
}

impl Parts {
    /// `rate` is the hired wage an hour, burden included.
    pub(super) fn costs(
        &self,
        book: &mut Book,
        lines: &LineColumns,
        (other, fixtures): (&CostsByPhase, Option<&CostsByPhase>),
        (labor, rate): (&Labor, &Term),
    ) -> Costs {
        let zero = || Term::number(0);
        let material =
            self.row(book, "Material, waste included", |phase| lines.by_phase.get(phase).map_or_else(zero, Term::sum));
        let more_tax: Vec<&Tax> =
            [fixtures, Some(other)].into_iter().flatten().filter_map(|c| c.tax.as_ref()).collect();
        let tax_words = match (fixtures, &other.tax) {
            (Some(_), None) => "Sales tax on material and fixtures",
            (Some(_), Some(_)) => "Sales tax on material, fixtures and taxed other costs",
            (None, Some(_)) => "Sales tax on material and taxed other costs",
            (None, None) => "Sales tax on material",
        };
        let tax = self.row(book, tax_words, |phase| {
            let material = lines.by_phase.get(phase).map(|money| Term::sum_product(money, &lines.tax_rate));
            Term::total(&material.iter().chain(more_tax.iter().map(|tax| &tax.phases[phase])).collect::<Vec<_>>())
        });
        let labor = self.row(book, "Labor at the hired rate, burden included", |phase| {
            Phase::ALL.get(phase).map_or_else(zero, |phase| labor.in_phase(*phase) * rate)
        });
        let other = self.row(book, "Other costs", |phase| other.phases[phase].clone());
        let fixtures = fixtures.map(|fixtures| self.row(book, "Fixtures", |phase| fixtures.phases[phase].clone()));
        let rows: Vec<&Row> = [&material, &tax, &labor, &other].into_iter().chain(&fixtures).collect();
        let direct = self.sum(book, "Direct cost", &rows);
        book.mark(direct.id, CellKind::Total);
        Costs { material, tax, labor, other, fixtures, direct }
    }

    /// `allowance` is the sum of the allowances.
    pub(super) fn charges(&self, book: &mut Book, context: &Context, direct: &Row, allowance: &Term) -> Charges {
        let setting = |setting: Setting| context.settings.get(setting);
        let (overhead_share, profit_share) = (setting(Setting::Overhead), setting(Setting::Profit));
        let on_price = basis::on_price(context);
        // On price: overhead and profit are shares of direct cost + overhead + profit.
        let divisor = Term::number(1) - &overhead_share - &profit_share;
        let words = format!("Overhead, share of {}", basis::overhead(on_price));
        let overhead = self.row(book, &words, |phase| match on_price {
            true => &direct.phases[phase] * &overhead_share / &divisor,
            false => &direct.phases[phase] * &overhead_share,
        });
        let words = format!("Profit, share of {}", basis::profit(on_price));
        let profit = self.row(book, &words, |phase| match on_price {
            true => &direct.phases[phase] * &profit_share / &divisor,
            false => (&direct.phases[phase] + &overhead.phases[phase]) * &profit_share,
        });
        let contingency = self.row(book, "Contingency, share of direct cost", |phase| {
            &direct.phases[phase] * setting(Setting::Contingency)
        });
        let permit = self.general(book, "Permit, at cost", &setting(Setting::Permit));
        let allowance = self.general(book, "Allowances", allowance);
        let parts = [direct, &overhead, &profit, &contingency, &permit, &allowance];
        let before = self.sum(book, "Before the minimum charge", &parts);
        let top_up = (setting(Setting::MinimumCharge) - &before.whole).max(&Term::number(0));
        let top_up = self.general(book, "Up to the minimum charge", &top_up);
        let price = self.sum(book, "Price", &[&before, &top_up]);
        book.mark(price.id, CellKind::Total);
        Charges { overhead, profit, contingency, permit, allowance, top_up, price }
    }

    /// One row of money: each phase to the cent, and their sum.
    fn row(&self, book: &mut Book, label: &str, term: impl Fn(usize) -> Term) -> Row {
        let id = book.row(self.table);
        book.label(id, self.label, label);
        let phases: [Term; 5] = std::array::from_fn(|phase| {
            let money = term(phase);
            match money.expr() {
                // Nothing of the kind can fall on this phase: a plain 0 says so better than a formula.
                Expr::Const(value) => book.state(id, self.phases[phase], value.clone(), "does not arise"),
                _ => book.put(id, self.phases[phase], money.cents()),
            }
        });
        let whole = book.put(id, self.whole, Term::total(&phases.each_ref()).cents());
        Row { id, phases, whole }
    }

    /// Of no phase.
    fn general(&self, book: &mut Book, label: &str, money: &Term) -> Row {
        self.row(book, label, |phase| if phase == GENERAL { money.clone() } else { Term::number(0) })
    }

    fn sum(&self, book: &mut Book, label: &str, rows: &[&Row]) -> Row {
        self.row(book, label, |phase| Term::total(&rows.iter().map(|row| &row.phases[phase]).collect::<Vec<_>>()))
    }
}
