//! What pipe can be cut from: what is on hand, what is bought already, what Prices offers.

use super::Context;
use super::allowed::Allowed;
use super::cutting::{self, Form, LONGEST, Problem, Stock};
use super::pipe::{Source, mills, spent_feet};
use crate::model::{Price, Setting, counter_price};
use crate::rules::fits;
use crate::takeoff::Line;
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};
use std::collections::{BTreeMap, BTreeSet};

/// Lengths of pipe sold by the foot that are offered to the search.
const CUT_LENGTHS: usize = 12;

pub(super) fn eighths(inches: Decimal) -> i64 {
    let whole = inches
        .checked_mul(Decimal::from(8))
        .map(|e| e.round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero));
    whole.and_then(|e| e.to_i64()).unwrap_or(LONGEST + 1).clamp(0, LONGEST + 1)
}

/// What pipes have taken of what is there, before others are served.
#[derive(Default)]
pub(super) struct Taken {
    /// Rows of On hand: each serves one color only, that of the first pipe in line.
    on_hand: BTreeSet<usize>,
    /// Whole units of rows of Prices that are bought already.
    /// What is left of rows of Prices that are bought already, in units of so many eighths of an inch.
    bought: BTreeMap<usize, (i64, u32)>,
    /// Feet of each line's pipe that are in already and have not been taken off anything yet.
    spent: BTreeMap<String, Decimal>,
}

/// The stock of one line's pipe, for one water.
pub(super) struct Stocks<'a> {
    context: &'a Context<'a>,
    line: &'a Line,
    water: &'a str,
    pub stock: Vec<Stock>,
    /// Where each is from.
    pub sources: Vec<Source>,
}

impl<'a> Stocks<'a> {
    /// For runs that need so many eighths of an inch. What is in already was cut from what was on hand and bought, in this order,
    /// as far as that went.
    pub(super) fn new(
        context: &'a Context<'a>,
        (line, water): (&'a Line, &'a str),
        needs: &[i64],
        allowed: &Allowed,
        taken: &mut Taken,
    ) -> Self {
        let mut stocks = Self { context, line, water, stock: Vec::new(), sources: Vec::new() };
        stocks.on_hand(taken);
        stocks.bought(taken);
        stocks.offered(needs, allowed);
        stocks
    }

    fn push(&mut self, stock: Stock, source: Source) {
        self.stock.push(stock);
        self.sources.push(source);
    }

    fn on_hand(&mut self, taken: &mut Taken) {
        let context = self.context;
        let spent = taken.spent.entry(self.line.item.text()).or_insert_with(|| spent_feet(self.line));
        for (index, have) in context.job.on_hand.iter().enumerate() {
            let fits = fits(context.rules, &self.line.item, have);
            let mut feet = have.quantity.value.unwrap_or_default();
            if fits && !taken.on_hand.contains(&index) {
                feet = less(feet, spent);
            }
            let length = eighths(feet * Decimal::from(12));
            if fits && length > 0 && taken.on_hand.insert(index) {
                let form = form(&have.unit.get().unwrap_or_default()).unwrap_or(Form::Coil);
                self.push(
                    Stock { form, length: length.min(LONGEST), price: 0, worth: 0, available: Some(1) },
                    Source::OnHand(index),
                );
            }
        }
    }

    fn bought(&mut self, taken: &mut Taken) {
        let (context, line) = (self.context, self.line);
        let spent = taken.spent.entry(line.item.text()).or_insert_with(|| spent_feet(line));
        for (index, price) in line.bought_by.iter().filter_map(|index| Some((*index, context.job.prices.get(*index)?)))
        {
            if !serves(price, self.water) {
                continue;
            }
            let units = price.bought.value.unwrap_or_default();
            let pack = price.pack_holds();
            let whole = units.checked_mul(pack).unwrap_or_default();
            let before = taken.bought.get(&index).copied();
            let there = if before.is_some() { Decimal::ZERO } else { less(whole, spent) };
            let units = there.checked_div(pack).unwrap_or_default().round_dp(6).floor();
            // What was cut from a roll is one piece; sticks and coils are whole ones. Of several of which one is begun, the
            // begun one is not counted on.
            let (length, count) = match price.is_by_foot() || (there < whole && units.is_zero()) {
                true => (there, 1),
                false => (pack, units.to_u32().unwrap_or(0)),
            };
            // What another color has left of it.
            let (length, count) = before.unwrap_or((eighths(length * Decimal::from(12)), count));
            if length > 0 && count > 0 {
                taken.bought.insert(index, (length, 0));
                let default = if price.is_by_foot() { Form::Coil } else { Form::Stick };
                let form = form(&price.unit.get().unwrap_or_default()).unwrap_or(default);
                self.push(
                    Stock { form, length: length.min(LONGEST), price: 0, worth: 0, available: Some(count) },
                    Source::Bought(index),
                );
            }
        }
    }

    fn offered(&mut self, needs: &[i64], allowed: &Allowed) {
        let context = self.context;
        let share = worth_share(context);
        for (index, price) in context.job.prices.iter().enumerate() {
            let Some(each) = price.price.value.filter(|price| *price >= Decimal::ZERO) else { continue };
            // Cuts are sought at the price of the first Unit; a break that they reach is told.
            if price.is_break() || !allowed.lets(price) || !serves(price, self.water) {
                continue;
            }
            let pack = price.pack.value.filter(|pack| *pack > Decimal::ZERO);
            if !fits(context.rules, &self.line.item, price) {
                continue;
            }
            match (price.is_by_foot(), pack) {
                (true, pack) => {
                    let step = eighths(pack.unwrap_or(Decimal::ONE) * Decimal::from(12)).max(1);
                    for length in cut_lengths(needs, step) {
                        let price = mills(each).saturating_mul(length / step);
                        self.push(
                            Stock { form: Form::Coil, length, price, worth: 0, available: None },
                            Source::ByFoot(index),
                        );
                    }
                }
                (false, Some(pack)) => {
                    let form = form(&price.unit.get().unwrap_or_default()).unwrap_or(Form::Stick);
                    let length = eighths(pack * Decimal::from(12));
                    let (price, worth) = (mills(each), mills(each * share));
                    self.push(Stock { form, length, price, worth, available: None }, Source::Offer(index));
                }
                // So many feet in a stick or coil nobody knows how long.
                (false, None) => {}
            }
        }
    }
}

/// What is left of so many feet once what is spent is taken off, as far as it goes.
fn less(feet: Decimal, spent: &mut Decimal) -> Decimal {
    let used = feet.min(*spent);
    *spent -= used;
    feet - used
}

/// Of what is bought already this pipe keeps only what it would buy anew at its price; the rest is for the other color.
pub(super) fn leave_the_rest(context: &Context, problem: &mut Problem, sources: &[Source], taken: &mut Taken) {
    let row = |source: &Source| match source {
        Source::Bought(row) => Some(*row),
        _ => None,
    };
    if !sources.iter().any(|source| row(source).is_some()) {
        return;
    }
    let mut anew = problem.clone();
    for (stock, row) in anew.stock.iter_mut().zip(sources).filter_map(|(stock, source)| Some((stock, row(source)?))) {
        let of = &context.job.prices[row];
        let feet = Decimal::from(stock.length) / Decimal::from(96);
        let pack = of.pack_holds();
        let price = of.price.value.unwrap_or_default().saturating_mul(feet).checked_div(pack).unwrap_or_default();
        // Of two at one price the one that is there.
        stock.price = mills(price).saturating_sub(1).max(0);
        stock.worth = mills(price * worth_share(context));
    }
    let plan = cutting::plan(&anew, context.effort);
    for (at, (stock, row)) in problem
        .stock
        .iter_mut()
        .zip(sources)
        .enumerate()
        .filter_map(|(at, (stock, source))| Some((at, (stock, row(source)?))))
    {
        let used = plan.cuts.iter().filter(|cut| cut.stock == at).count() as u32;
        let left = stock.available.unwrap_or(0).saturating_sub(used);
        stock.available = Some(used);
        if let Some((_, count)) = taken.bought.get_mut(&row) {
            *count = left;
        }
    }
}

/// What a usable left-over is worth, of its price.
fn worth_share(context: &Context) -> Decimal {
    context.job.number(Setting::LeftoverWorth).unwrap_or_default().clamp(Decimal::ZERO, Decimal::ONE)
}

/// Whether a row of Prices has pipe for this water. Where all pipe is one color any will do.
fn serves(price: &Price, water: &str) -> bool {
    water.is_empty() || price.water.get().is_none_or(|of| of.is_empty() || *of == *water)
}

pub(super) fn form(words: &str) -> Option<Form> {
    let forms = [("stick", Form::Stick), ("coil", Form::Coil)];
    forms.into_iter().find(|(unit, _)| counter_price::same_unit(words, unit)).map(|(_, form)| form)
}

/// Lengths in whole steps for the runs one by one, and for all together.
fn cut_lengths(needs: &[i64], step: i64) -> Vec<i64> {
    let up = |need: i64| (need + step - 1) / step * step;
    let mut lengths: Vec<i64> =
        needs.iter().filter(|need| (1..LONGEST).contains(*need)).map(|need| up(*need)).collect();
    lengths.sort_unstable_by(|a, b| b.cmp(a));
    lengths.dedup();
    lengths.truncate(CUT_LENGTHS);
    let all = up(needs.iter().filter(|need| **need < LONGEST).sum());
    if needs.len() > 1 && all <= LONGEST {
        lengths.push(all);
    }
    lengths
}
