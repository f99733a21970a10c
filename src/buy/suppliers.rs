//! Whom to buy from, where it costs something to be there at all.
//!
//! Suppliers of the Suppliers sheet with a Trip cost or a Minimum order may be left out. Every set of those left in is
//! tried: within it each kind of pipe is planned and each line bought at its cheapest, and the set's trips and what its
//! least orders want beyond the packs are added. The cheapest set that covers all that can be covered is taken. Without least
//! orders that is the optimum, as far as the plans of the pipe are proven; with them, what is bought within a set is not
//! shifted to fill an order up, so what still lies between the cost and the bound is told.

use super::Context;
use super::allowed::{Allowed, TRIED};
use super::cutting::{self, Effort};
use super::joint_cost::Joints;
use super::offers::{self, LineOffers};
use super::pipe::{self, Source, mills};
use super::pipe_plan::{self, Planning};
use super::purchase::cheapest_of;
use crate::model::SupplierTerms;
use crate::rules::fits;
use crate::takeoff::Line;
use rust_decimal::Decimal;
use std::collections::HashMap;

/// What the search found; tenths of a cent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Found {
    /// Packs, sticks, coils, joints, trips and least orders, less what is left over.
    pub cost: i64,
    /// Nothing costs less.
    pub bound: i64,
    /// Whatever the trips: each line and pipe at its cheapest, with the trips that makes.
    pub regardless: i64,
}

/// One set of suppliers.
struct Tried {
    cost: i64,
    bound: i64,
    unmet: usize,
}

/// Suppliers who ask for a trip or a least order, in the order of their sheet.
pub(super) fn with_terms<'a>(context: &Context<'a>) -> Vec<&'a SupplierTerms> {
    let positive = |field: &crate::model::Field<Decimal>| field.value.is_some_and(|value| value > Decimal::ZERO);
    let terms = context.job.suppliers.iter();
    terms.filter(|terms| positive(&terms.trip_cost) || positive(&terms.minimum_order)).collect()
}

/// Who may be bought from, and what that was found by; `None` where nobody has terms, or choices are held.
pub(super) fn choose(context: &Context, joints: &Joints) -> (Allowed, Option<Found>) {
    let terms = with_terms(context);
    let names = terms.iter().map(|terms| terms.supplier.value.trim().to_lowercase()).collect();
    let everybody = Allowed { names, barred: Vec::new() };
    if terms.is_empty() || context.hold {
        return (everybody, None);
    }
    let mut search = Search { context, joints, terms: &terms, everybody: &everybody, plans: HashMap::new() };
    let all = (1u32 << terms.len().min(TRIED)) - 1;
    let regardless = search.tried(all);
    let mut best = (all, regardless.cost);
    let mut bound = regardless.bound;
    for set in 0..all {
        let tried = search.tried(set);
        if tried.unmet > regardless.unmet {
            continue;
        }
        bound = bound.min(tried.bound);
        if tried.cost < best.1 {
            best = (set, tried.cost);
        }
    }
    let found = Found { cost: best.1, bound: bound.min(best.1), regardless: regardless.cost };
    (everybody.only(best.0), Some(found))
}

struct Search<'s, 'a> {
    context: &'s Context<'a>,
    joints: &'s Joints,
    terms: &'s [&'a SupplierTerms],
    everybody: &'s Allowed,
    /// Plans of one pipe, by the pipe and those left in who offer any of it.
    plans: HashMap<(usize, u32), Planned>,
}

#[derive(Clone)]
struct Planned {
    cost: i64,
    bound: i64,
    unmet: usize,
    /// By supplier with terms.
    spent: Vec<i64>,
}

impl Search<'_, '_> {
    fn tried(&mut self, set: u32) -> Tried {
        let context = self.context;
        let allowed = self.everybody.only(set);
        let mut spent = vec![0i64; self.terms.len() + 1];
        let mut tried = Tried { cost: 0, bound: 0, unmet: 0 };
        let planning = Planning { joints: self.joints, allowed: &allowed, by_water: pipe::by_water(context) };
        let pipes = pipe_plan::unplanned(context, planning);
        for (at, pipe) in pipes.into_iter().enumerate() {
            let key = (at, set & self.offering(&context.take_off.lines, &pipe.item));
            let planned = self.plans.entry(key).or_insert_with(|| {
                let effort = Effort { steps: context.effort.steps / 2 };
                let plan = cutting::plan(&pipe.problem, effort);
                let mut spent = vec![0; allowed.names.len() + 1];
                for cut in &plan.cuts {
                    if let Some(Source::Offer(index) | Source::ByFoot(index)) = pipe.sources.get(cut.stock) {
                        spent[allowed.number(&context.job.prices[*index])] += pipe.problem.stock[cut.stock].price;
                    }
                }
                Planned { cost: plan.cost, bound: plan.bound, unmet: plan.unmet.len(), spent }
            });
            tried.cost += planned.cost;
            tried.bound += planned.bound;
            tried.unmet += planned.unmet;
            spent.iter_mut().zip(&planned.spent).for_each(|(sum, part)| *sum += part);
        }
        for line in context.take_off.lines.iter().filter(|line| !line.idle && line.item.kind != "pipe") {
            let LineOffers { need, .. } = offers::of_line(context, line, to_get(context, line), &allowed);
            let Some(bought) = cheapest_of(&need, |_| true) else {
                tried.unmet += 1;
                continue;
            };
            tried.cost += bought.cost;
            tried.bound += if bought.proved { bought.cost } else { 0 };
            for (offer, packs) in need.offers.iter().zip(&bought.packs) {
                spent[offer.supplier] += offer.cost(*packs).unwrap_or(0);
            }
        }
        for (at, terms) in self.terms.iter().enumerate() {
            let money = |field: &crate::model::Field<Decimal>| mills(field.value.unwrap_or_default());
            let (trip, least) = (money(&terms.trip_cost), money(&terms.minimum_order));
            if spent[at] > 0 {
                tried.cost += trip + (least - spent[at]).max(0);
            }
            // Sets that leave one out who is not used stand by themselves; beyond the tried, nobody is known to be used.
            if at < TRIED && set >> at & 1 == 1 && spent[at] > 0 {
                tried.bound += trip;
            }
        }
        tried
    }

    /// The suppliers with terms who offer any of a pipe, as a set.
    fn offering(&self, lines: &[Line], item: &crate::rules::Item) -> u32 {
        debug_assert!(lines.iter().any(|line| line.item == *item));
        let prices = self.context.job.prices.iter().filter(|price| fits(self.context.rules, item, *price));
        prices.map(|price| self.everybody.number(price)).filter(|at| *at < TRIED).fold(0, |set, at| set | 1 << at)
    }
}

/// What is to be got of a line, as the table Line by line works it out.
fn to_get(context: &Context, line: &Line) -> Decimal {
    let number = |term: &crate::figure::Term| term.value().as_decimal().unwrap_or_default();
    let is_in = line.in_already.as_ref().map(number).unwrap_or_default();
    let needed = (number(&line.counted) - is_in).max(Decimal::ZERO);
    let share = context.rules.spare(&line.item.kind).map_or(Decimal::ZERO, |spare| spare.share);
    let wanted = needed + (needed * share).ceil();
    let there = number(&line.on_hand) + line.bought.as_ref().map(number).unwrap_or_default();
    let to_get = (wanted - (there - is_in).max(Decimal::ZERO)).max(Decimal::ZERO);
    if line.feet { to_get } else { to_get.ceil() }
}
