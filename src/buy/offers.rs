//! What rows of Prices offer for one line: packs at a price that may fall from some number of Units on, and perhaps not
//! below some number at all. Rows that differ in From units alone are one offer with several steps.

use super::Context;
use super::allowed::{Allowed, supplier_name};
use super::offer_name::fitting;
use super::pipe::{Pipe, Source, mills};
use super::purchase::{Need, Offer, Tier};
use crate::buy::findings::{BreakForPipe, UnderLeastSold};
use crate::finding::Finding;
use crate::model::{Price, fold};
use crate::takeoff::Line;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeMap;

/// A line as the search sees it.
pub(super) struct LineOffers {
    pub need: Need,
    /// By offer of the need: its rows of Prices (indices), the price of the first Units first.
    pub rows: Vec<Vec<usize>>,
}

/// Rows that are steps of one price: same supplier, Unit and Pack; a break belongs to the row above it that is none.
pub(super) fn steps(context: &Context, open: &[usize]) -> Vec<Vec<usize>> {
    let prices = &context.job.prices;
    let same = |a: &Price, b: &Price| {
        supplier_name(a) == supplier_name(b)
            && fold(a.unit.text()) == fold(b.unit.text())
            && a.pack_holds() == b.pack_holds()
    };
    let mut offers: Vec<Vec<usize>> = Vec::new();
    for index in open {
        let price = &prices[*index];
        let before = offers.iter_mut().rev().find(|rows| same(&prices[rows[0]], price)).filter(|_| price.is_break());
        match before {
            Some(rows) => rows.push(*index),
            None => offers.push(vec![*index]),
        }
    }
    for rows in &mut offers {
        rows.sort_by_key(|index| (prices[*index].first_units(), *index));
    }
    offers
}

/// The first number of Units at a row's price, whole.
pub(super) fn first_units(price: &Price) -> u32 {
    price.first_units().ceil().to_u32().unwrap_or(u32::MAX).max(1)
}

/// The offers for so many pieces or feet. Whole pieces as they are; where a pack or the need has a fraction, in
/// thousandths.
pub(super) fn of_line(context: &Context, line: &Line, amount: Decimal, allowed: &Allowed) -> LineOffers {
    let prices = &context.job.prices;
    let open: Vec<usize> =
        fitting(context.job, context.rules, line).into_iter().filter(|index| allowed.lets(&prices[*index])).collect();
    let whole =
        open.iter().map(|index| prices[*index].pack_holds()).chain([amount]).all(|number| number.fract().is_zero());
    let scale = if whole { Decimal::ONE } else { Decimal::ONE_THOUSAND };
    let rows = steps(context, &open);
    let offers = rows.iter().map(|rows| {
        // A pack that holds less than a thousandth holds nothing.
        let size =
            prices[rows[0]].pack_holds().checked_mul(scale).and_then(|n| n.floor().to_i64()).unwrap_or(i64::MAX / 4);
        let tier = |index: &usize| {
            let price = &prices[*index];
            Tier { from: first_units(price), price: mills(price.price.value.unwrap_or_default()) }
        };
        let supplier = allowed.number(&prices[rows[0]]);
        Offer { supplier, pack: size, tiers: rows.iter().map(tier).collect() }
    });
    let offers = offers.collect();
    let parts = amount.checked_mul(scale).and_then(|n| n.ceil().to_i64()).unwrap_or(i64::MAX / 4);
    LineOffers { need: Need { amount: parts, offers }, rows }
}

impl LineOffers {
    /// The row of Prices that so many packs of an offer are bought by: the last step that they reach.
    pub(crate) fn row_at(&self, context: &Context, offer: usize, packs: u32) -> Option<usize> {
        let reached = |index: &&usize| first_units(&context.job.prices[**index]) <= packs;
        self.rows.get(offer)?.iter().rev().find(reached).copied()
    }
}

/// Price breaks that sticks and coils reach, which the cuts were not sought at; and sales of fewer than are sold.
pub(super) fn find_breaks_of_pipe(context: &Context, pipes: &[Pipe], findings: &mut Vec<Finding>) {
    let prices = &context.job.prices;
    let mut counts: BTreeMap<usize, u32> = BTreeMap::new();
    let mut lines: BTreeMap<usize, &Pipe> = BTreeMap::new();
    for pipe in pipes {
        for cut in &pipe.plan.cuts {
            let (index, units) = match pipe.sources.get(cut.stock) {
                Some(Source::Offer(index)) => (*index, 1),
                Some(Source::ByFoot(index)) => {
                    let length: i64 = cut.pieces.iter().map(|piece| piece.length).sum();
                    let feet = Decimal::from(length) / Decimal::from(96);
                    (*index, (feet / prices[*index].pack_holds()).round_dp(6).ceil().to_u32().unwrap_or(0))
                }
                _ => continue,
            };
            *counts.entry(index).or_default() += units;
            lines.entry(index).or_insert(pipe);
        }
    }
    for (index, units) in counts {
        let (price, Some(pipe)) = (&prices[index], lines.get(&index)) else { continue };
        let item = pipe.item.text();
        if units < first_units(price) {
            let least = price.first_units().normalize().to_string();
            let place = price.minimum_units.cell.as_ref();
            findings.push(Finding::near(place, UnderLeastSold { item: item.clone(), units, least }));
        }
        let Some(line) = context.take_off.lines.iter().find(|line| line.item == pipe.item) else { continue };
        let rows =
            steps(context, &fitting(context.job, context.rules, line)).into_iter().find(|rows| rows.contains(&index));
        let better = rows.into_iter().flatten().rfind(|row| *row != index && first_units(&prices[*row]) <= units);
        if let Some(better) = better {
            let saved = (price.price.value.unwrap_or_default() - prices[better].price.value.unwrap_or_default())
                .saturating_mul(Decimal::from(units));
            if saved > Decimal::ZERO {
                let facts = BreakForPipe { item, units, saved: format!("${saved:.2}") };
                findings.push(Finding::near(prices[better].from_units.cell.as_ref(), facts));
            }
        }
    }
}
