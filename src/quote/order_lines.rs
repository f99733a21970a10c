//! What the job orders now, line by line, whoever it is ordered from.

use crate::model::order_form::LineKey;
use crate::model::{Job, Phase};
use crate::order::{OrderLine, Orders, pack_words, rows_selling, supplier_key};
use crate::rules::Rules;
use crate::takeoff::TakeOff;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// One line of the comparison.
#[derive(Debug, Clone)]
pub struct Wanted {
    pub key: LineKey,
    /// In the trade's words.
    pub item: String,
    pub size: String,
    /// Whole Units.
    pub quantity: Decimal,
    pub unit: String,
    /// `20 ft`
    pub holds: String,
    pub feet: bool,
    /// Units by phase.
    pub needed_for: BTreeMap<usize, Decimal>,
    /// Keys of the suppliers that the job orders it from, or asks.
    pub asked: Vec<String>,
    /// Index into the take-off's lines; `None` of a fixture that its own row prices.
    pub line: Option<usize>,
    /// Tags of such fixtures.
    pub fixtures: Vec<std::sync::Arc<str>>,
    /// The row of Prices (index) that it is ordered by, by the key of its supplier.
    pub rows: BTreeMap<String, usize>,
}

impl Wanted {
    /// `tee 3/4 x 1/2, each 1`, for findings.
    pub fn name(&self) -> String {
        self.key.to_string()
    }

    /// How many Units an order for these phases has; all when there are none.
    pub fn quantity_for(&self, phases: &[Phase]) -> Decimal {
        match phases {
            [] => self.quantity,
            some => some.iter().filter_map(|phase| self.needed_for.get(&(*phase as usize))).sum(),
        }
    }
}

/// In the order of the orders; a line that stands in several of them once.
pub(crate) fn wanted(orders: &Orders) -> Vec<Wanted> {
    let mut all: Vec<Wanted> = Vec::new();
    let mut places: BTreeMap<LineKey, usize> = BTreeMap::new();
    for order in &orders.orders {
        let supplier = order.supplier.as_deref().map(supplier_key).unwrap_or_default();
        for line in &order.lines {
            match places.get(&line.key) {
                Some(at) => add(&mut all[*at], line, &supplier),
                None => {
                    places.insert(line.key.clone(), all.len());
                    all.push(one(line, supplier.clone()));
                }
            }
        }
    }
    all
}

fn one(line: &OrderLine, supplier: String) -> Wanted {
    Wanted {
        key: line.key.clone(),
        item: line.item.clone(),
        size: line.size.clone(),
        quantity: line.quantity,
        unit: line.unit.clone(),
        holds: pack_words(line),
        feet: line.feet,
        needed_for: line.needed_for.iter().map(|(phase, count)| (*phase as usize, *count)).collect(),
        asked: vec![supplier.clone()],
        line: line.line,
        fixtures: line.fixtures.clone(),
        rows: line.price.map(|row| (supplier, row)).into_iter().collect(),
    }
}

/// The same thing from another supplier: ordered from both, or asked of both.
fn add(wanted: &mut Wanted, line: &OrderLine, supplier: &str) {
    wanted.asked.push(supplier.to_owned());
    wanted.rows.extend(line.price.map(|row| (supplier.to_owned(), row)));
    if !line.quote {
        wanted.quantity += line.quantity;
        for (phase, count) in &line.needed_for {
            *wanted.needed_for.entry(*phase as usize).or_default() += count;
        }
    }
}

/// The row of Prices that a supplier sells this line by: the one that it is ordered by, else that of its number among those
/// alike, else the first. Empty `supplier`: rows that name nobody.
pub(crate) fn row_of(job: &Job, rules: &Rules, take_off: &TakeOff, wanted: &Wanted, supplier: &str) -> Option<usize> {
    if let Some(row) = wanted.rows.get(supplier) {
        return Some(*row);
    }
    let item = &take_off.lines[wanted.line?].item;
    let alike: Vec<usize> = rows_selling(job, rules, item, &wanted.key, supplier).collect();
    let number = (wanted.key.number as usize).saturating_sub(1);
    alike.get(number).or(alike.first()).copied()
}
