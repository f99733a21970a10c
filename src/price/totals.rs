//! The two totals side by side: the job at hired rates, and what leaves the owner's pocket; part by part, with what makes
//! the difference, and what the owner's own hours come to by it.

use super::Context;
use super::cost_rows::{Charges, Costs, Material, Row};
use crate::figure::{Book, CellKind, Term, Value};
use crate::model::Setting;
use crate::sheets::Page;
use crate::table::{List, columns};
use crate::unit::Unit;
use rust_decimal::Decimal;

/// The two totals as figures.
#[derive(Debug)]
pub struct Totals {
    /// What leaves the owner's pocket: `Cash_total`.
    pub cash_total: Term,
    /// The hired price less the cash.
    pub difference: Term,
    pub owner_hours: Term,
    pub hired_hours: Term,
    /// The owner's hours at the owner's rate.
    pub own_worth: Term,
    /// The owner's hours at the hired rate, burden included.
    pub hired_worth: Term,
    /// The difference for each hour of the owner's.
    pub an_hour: Term,
    /// Both totals in a few groups of their parts.
    pub groups: Vec<Group>,
}

/// Parts of both totals that belong together.
#[derive(Debug)]
pub struct Group {
    pub words: &'static str,
    pub hired: Term,
    pub cash: Term,
}

/// The hired price.
pub(super) struct Hired<'a> {
    pub costs: &'a Costs,
    pub charges: &'a Charges,
    /// Tax on fixtures and other costs, which both totals pay.
    pub other_tax: Term,
    /// The hired wage an hour, burden included.
    pub rate: &'a Term,
}

columns! {
    struct Columns on CostBuildUp("The two totals side by side") {
        what: "What", words 36;
        hired: "Hired price", Money;
        cash: "Cash", Money;
        difference: "Difference", Money;
        basis: "Because", words;
    }
}

pub(super) struct Table {
    sums: Columns,
    hours: List,
}

/// One part of both totals, as cells.
struct Pair {
    hired: Term,
    cash: Term,
}

fn group(words: &'static str, pairs: &[&Pair]) -> Group {
    let all = |of: fn(&Pair) -> &Term| Term::total(&pairs.iter().map(|pair| of(pair)).collect::<Vec<_>>());
    Group { words, hired: all(|pair| &pair.hired), cash: all(|pair| &pair.cash) }
}

impl Table {
    pub(crate) fn put(book: &mut Book, context: &Context) -> Self {
        let title = "What the owner's hours are worth";
        let sums = Columns::on_page(book, context);
        Self { sums, hours: List::put(book, context.page(Page::CostBuildUp), title, [36.0, 0.0], Unit::Money) }
    }

    /// `cash` is what the owner pays for it, and why.
    fn row(&self, book: &mut Book, words: &str, hired: &Row, (cash, basis): (Option<Term>, &str)) -> Pair {
        let row = book.row(self.sums.table);
        book.label(row, self.sums.what, words);
        let hired = book.put(row, self.sums.hired, hired.whole.clone());
        let cash = match cash {
            Some(cash) => book.put(row, self.sums.cash, cash.cents()),
            None => book.state(row, self.sums.cash, Value::Exact(Decimal::ZERO), "no cash cost to the owner"),
        };
        book.put(row, self.sums.difference, &hired - &cash);
        if !basis.is_empty() {
            book.label(row, self.sums.basis, basis);
        }
        Pair { hired, cash }
    }

    pub(crate) fn fill(&self, book: &mut Book, context: &Context, material: &Material, hired: &Hired) -> Totals {
        let Hired { costs, charges, .. } = hired;
        let setting = |setting: Setting| context.settings.get(setting);
        let hours = |book: &mut Book, words: &str, term: Term, unit: Unit| {
            let term = if unit == Unit::Money { term.cents() } else { term };
            self.hours.line_in(book, words, term, unit)
        };
        let hired_hours = hours(book, "Hired hours", context.labor.by("hired"), Unit::Hours);
        let owner_hours = hours(book, "Owner's own hours, not in the cash", context.labor.by("owner"), Unit::Hours);

        let stock = stock(material);
        let [material, tax] = paid_for(material, hired);
        let material = self.row(book, "Material", &costs.material, (Some(material), stock));
        let tax = self.row(book, "Sales tax", &costs.tax, (Some(tax), "on the material above"));
        let wages = (Some(&hired_hours * hired.rate), "no wages for the owner's own hours");
        let labor = self.row(book, "Labor, burden included", &costs.labor, wages);
        let same = |row: &Row| (Some(row.whole.clone()), "");
        let other = self.row(book, "Other costs", &costs.other, same(&costs.other));
        let fixtures = costs.fixtures.as_ref();
        let fixtures =
            fixtures.map(|row| self.row(book, "Fixtures", row, (Some(row.whole.clone()), "by the schedule")));
        let no_shop = (None, "of a shop that the owner does not keep");
        let overhead = self.row(book, "Overhead", &charges.overhead, no_shop);
        let profit = self.row(book, "Profit", &charges.profit, (None, "stays with the owner"));
        let paid = [&material, &tax, &labor, &other].into_iter().chain(&fixtures);
        let paid = Term::total(&paid.map(|pair| &pair.cash).collect::<Vec<_>>());
        let reserve = (Some(paid * setting(Setting::Contingency)), "a share of the costs above");
        let reserve = self.row(book, "Contingency", &charges.contingency, reserve);
        let permit = self.row(book, "Permit", &charges.permit, same(&charges.permit));
        let allowance = self.row(book, "Allowances", &charges.allowance, same(&charges.allowance));
        let minimum = (None, "asked by a shop only");
        let top_up = self.row(book, "Up to the minimum charge", &charges.top_up, minimum);
        let row = book.row(self.sums.what.table());
        book.mark(row, CellKind::Total);
        book.label(row, self.sums.what, "Hired price, and cash out of pocket");
        let price = book.put(row, self.sums.hired, charges.price.whole.clone());
        let paid = [&material, &tax, &labor, &other, &reserve, &permit, &allowance].into_iter().chain(&fixtures);
        let cash = Term::total(&paid.map(|pair| &pair.cash).collect::<Vec<_>>());
        let cash_total = book.put(row, self.sums.cash, cash.cents());
        book.name(&cash_total, "Cash_total");
        let difference = book.put(row, self.sums.difference, price - &cash_total);
        book.label(row, self.sums.basis, "left to the owner for the hours below");

        let own_worth =
            hours(book, "Worth of them at the owner's rate", &owner_hours * setting(Setting::OwnerRate), Unit::Money);
        let hired_worth = &owner_hours * hired.rate;
        let hired_worth = hours(book, "Worth of them at the hired rate, burden included", hired_worth, Unit::Money);
        let zero = Term::number(0);
        let an_hour = owner_hours.above(&zero).pick(&(&difference / &owner_hours), &zero);
        let an_hour = hours(book, "Left to the owner per hour of own work", an_hour, Unit::Money);
        let groups = vec![
            match &fixtures {
                Some(fixtures) => group("Material, fixtures and sales tax", &[&material, fixtures, &tax]),
                None => group("Material and sales tax", &[&material, &tax]),
            },
            group("Labor, burden included", &[&labor]),
            group("Other costs, permit, allowances", &[&other, &permit, &allowance]),
            group("Overhead, profit, minimum charge", &[&overhead, &profit, &top_up]),
            group("Contingency", &[&reserve]),
        ];
        Totals { cash_total, difference, owner_hours, hired_hours, own_worth, hired_worth, an_hour, groups }
    }
}

fn stock(material: &Material) -> &'static str {
    match material.paid {
        Some(_) => "on hand is not bought again; what was bought counts as it was paid",
        None => "what is on hand is not bought again",
    }
}

/// What is paid for material, and its sales tax with that of other costs.
fn paid_for(Material { lines, paid, .. }: &Material, hired: &Hired) -> [Term; 2] {
    let mut material = vec![Term::sum(&lines.to_buy)];
    let mut tax = vec![Term::sum_product(&lines.to_buy, &lines.tax_rate)];
    material.extend(paid.map(|paid| Term::sum(&paid.paid)));
    tax.extend(paid.map(|paid| Term::sum_product(&paid.paid, &paid.tax_rate)));
    tax.push(hired.other_tax.clone());
    [material, tax].map(|terms| Term::total(&terms.iter().collect::<Vec<_>>()))
}
