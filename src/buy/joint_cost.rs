//! What one joint in the middle of a run costs: a coupling, its rings, and the minutes.

use super::Context;
use super::pipe::mills;
use crate::figure::{Book, ColumnId, Term, Value};
use crate::model::{Setting, same_folded};
use crate::parts::ring_kind;
use crate::rules::{HoursOf, Item, hours_of, offers_of};
use crate::table::columns;
use rust_decimal::Decimal;
use std::sync::Arc;

/// A joint of one kind of pipe.
#[derive(Debug)]
pub(super) struct Joint {
    item: Item,
    pub cost: Term,
    /// The same, tenths of a cent.
    pub mills: i64,
    /// False where Prices has no coupling.
    pub priced: bool,
}

#[derive(Debug)]
pub(super) struct Joints {
    all: Vec<Joint>,
}

columns! {
    struct Columns on Buying("What one joint in a run costs") {
        pipe: "Pipe", words 44;
        coupling: "Coupling", UnitPrice;
        rings: "Two rings", UnitPrice;
        hours: "Joining two ends", Hours;
        rate: "An hour", Money;
        cost: "One joint", UnitPrice;
    }
}

impl Joints {
    /// A row for each pipe of the take-off.
    pub(crate) fn put(book: &mut Book, context: &Context) -> Self {
        let columns = Columns::on_page(book, context);
        let lines = context.take_off.lines.iter().filter(|line| line.item.kind == "pipe" && !line.idle);
        let items: Vec<Item> = lines.map(|line| line.item.clone()).collect();
        Self { all: items.into_iter().map(|item| joint(book, context, &columns, item)).collect() }
    }

    pub(crate) fn of(&self, item: &Item) -> Option<&Joint> {
        self.all.iter().find(|joint| joint.item == *item)
    }

    pub(crate) fn costs(&self) -> Vec<&Term> {
        self.all.iter().map(|joint| &joint.cost).collect()
    }
}

fn joint(book: &mut Book, context: &Context, columns: &Columns, item: Item) -> Joint {
    let row = book.row(columns.table);
    book.label(row, columns.pipe, item.text().trim_start_matches("pipe "));
    let none: Arc<str> = "no offer in Prices".into();
    let part = |book: &mut Book, kind: &str, column: ColumnId, count: u8| {
        let part = Item::new(kind, &item.material, &item.sizes);
        match cheapest(book, context, &part) {
            Some(price) if count == 1 => (book.put(row, column, price), true),
            Some(price) => (book.put(row, column, price * Term::number(count)), true),
            None => (book.state(row, column, Value::Exact(Decimal::ZERO), &none), false),
        }
    };
    let (coupling, priced) = part(book, "coupling", columns.coupling, 1);
    let rings = ring_kind(context.job, &item.material).map(|ring| part(book, ring, columns.rings, 2).0);
    let task = format!("joint {} {}", item.material, item.sizes.first().map(ToString::to_string).unwrap_or_default());
    let hours = hours_of(context.job, context.rules, &task).map(|hours| match hours {
        HoursOf::Own(own) => {
            let one = own.hours.figure(book);
            book.put(row, columns.hours, one * Term::number(2))
        }
        HoursOf::Table(rule) => {
            let twice = Value::Exact(rule.hours + rule.hours);
            book.rule(row, columns.hours, twice, &format!("twice {}", rule.origin.words()).into())
        }
    });
    let own = context.job.labor.iter().find(|row| same_folded(&row.task.value, &task));
    let by = own.and_then(|row| row.by.get()).unwrap_or_else(|| context.job.text(Setting::LaborBy));
    let setting = |setting| context.settings.get(setting);
    let rate = match &*by {
        "owner" => setting(Setting::OwnerRate),
        _ => setting(Setting::LaborRate) * (Term::number(1) + setting(Setting::LaborBurden)),
    };
    let rate = book.put(row, columns.rate, rate);
    let labor = hours.map(|hours| hours * setting(Setting::LaborFactor) * rate);
    let parts: Vec<&Term> = [Some(&coupling), rings.as_ref(), labor.as_ref()].into_iter().flatten().collect();
    // To a tenth of a cent, as the search counts.
    let cost = book.put(row, columns.cost, Term::total(&parts).round(3));
    let mills = mills(cost.value().as_decimal().unwrap_or_default());
    Joint { item, cost, mills, priced }
}

/// The least price of one, over all offers; live.
fn cheapest(book: &mut Book, context: &Context, item: &Item) -> Option<Term> {
    let prices = offers_of(context.job, context.rules, item).filter_map(|offer| offer.unit_price(book));
    prices.reduce(|least, one| least.min(&one))
}
