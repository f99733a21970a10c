//! What the purchases come to, row of Prices by row of Prices: so many Units of it for each phase; and what nobody offers.

use super::Context;
use super::phases::{ByPhase, Packs, first_needed};
use super::words::supplier_key;
use crate::buy::{LineBought, PipeBought};
use crate::model::{Phase, Price};
use crate::rules::fits;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

/// So many Units of one row of Prices, or so much that no row offers.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Need {
    /// Index into the take-off's lines.
    pub line: usize,
    /// Index into the job's prices; `None` where no row has it, and the Units are feet or pieces.
    pub price: Option<usize>,
    /// Nobody has priced it: it is asked for, not ordered. A row of Prices without a price says whom to ask, and for what.
    pub quote: bool,
    /// `cold` or `hot` where pipe has a color for each, else empty.
    pub water: &'static str,
    /// Whole Units, each for the first phase that needs any of it.
    pub by_phase: ByPhase,
    /// Lengths of pipe to be had in one piece each, ft: what is cut from a roll, or is longer than anything offered.
    pub pieces: Vec<(Phase, Decimal)>,
}

/// In the order of the take-off's lines, then of the rows of Prices.
pub(crate) fn needs(context: &Context) -> Vec<Need> {
    let mut needs = Vec::new();
    let pipes = &context.purchases.pipes;
    for bought in &context.purchases.lines {
        let mut found: Vec<Need> = match pipes.iter().any(|pipe| pipe.line == Some(bought.line)) {
            true => {
                let of_line = pipes.iter().filter(|pipe| pipe.line == Some(bought.line));
                of_line.flat_map(|pipe| of_pipe(context, bought.line, pipe)).collect()
            }
            false => of_packs(context, bought),
        };
        found.retain(|need| need.by_phase.iter().any(|count| !count.is_zero()));
        needs.extend(found);
    }
    needs
}

/// Sticks, coils and lengths as they are cut: each for the first phase whose runs are cut from it.
fn of_pipe(context: &Context, line: usize, pipe: &PipeBought) -> Vec<Need> {
    let phase_of = |run: &usize| context.take_off.parts.runs.get(*run).map_or(Phase::RoughIn, |run| run.phase);
    let mut by_offer: BTreeMap<usize, Need> = BTreeMap::new();
    let new =
        |price, quote| Need { line, price, quote, water: pipe.water, by_phase: ByPhase::default(), pieces: Vec::new() };
    for unit in &pipe.units {
        let Some(price) = unit.price else { continue };
        let phase = unit.runs.iter().map(phase_of).min().unwrap_or(Phase::RoughIn);
        let need = by_offer.entry(price).or_insert_with(|| new(Some(price), false));
        need.by_phase[phase as usize] += unit.count;
        if unit.by_foot {
            need.pieces.push((phase, unit.feet));
        }
    }
    let mut needs: Vec<Need> = by_offer.into_values().collect();
    if !pipe.uncovered.is_empty() {
        let mut need = new(None, true);
        for (run, feet) in &pipe.uncovered {
            let (phase, feet) = (phase_of(run), feet.ceil());
            need.by_phase[phase as usize] += feet;
            need.pieces.push((phase, feet));
        }
        // Sticks and coils of no price are in no plan: what is asked for is the length, from whoever sells it by the foot.
        let rows =
            unpriced(context, line).into_iter().filter(|row| context.job.prices[*row].pack_holds() == Decimal::ONE);
        needs.extend(rows.map(|row| Need { price: Some(row), ..need.clone() }));
        if needs.iter().all(|need| !need.quote) {
            needs.push(need);
        }
    }
    needs
}

/// Rows of Prices that name a line's thing and no price, the first of each supplier.
fn unpriced(context: &Context, line: usize) -> Vec<usize> {
    let item = &context.take_off.lines[line].item;
    let mut suppliers = BTreeSet::new();
    let names = |(_, price): &(usize, &Price)| price.price.value.is_none() && fits(context.rules, item, *price);
    let rows: Vec<(usize, &Price)> = context.job.prices.iter().enumerate().filter(names).collect();
    let supplier = |price: &Price| supplier_key(&price.supplier.get().unwrap_or_default());
    rows.into_iter().filter(|(_, price)| suppliers.insert(supplier(price))).map(|(index, _)| index).collect()
}

/// Packs of the offers bought; or pieces, where nobody offers any.
fn of_packs(context: &Context, bought: &LineBought) -> Vec<Need> {
    let number = |term: &crate::figure::Term| term.value().as_decimal().unwrap_or_default();
    let line = &context.take_off.lines[bought.line];
    let wanted = line.by_phase.each_ref().map(|term| term.as_ref().map(number).unwrap_or_default());
    let there = number(&bought.on_hand);
    let chosen: Vec<(usize, Packs)> = context
        .purchases
        .packs
        .iter()
        .filter(|pack| pack.line == bought.line)
        .map(|of| {
            let pack = context.job.prices[of.price].pack_holds();
            (of.price, Packs { pack, count: number(&of.packs).ceil() })
        })
        .collect();
    let need =
        |price, quote, by_phase| Need { line: bought.line, price, quote, water: "", by_phase, pieces: Vec::new() };
    if chosen.is_empty() {
        let to_get = number(&bought.to_get);
        let asked = |row: Option<usize>| {
            let pack = row.map_or(Decimal::ONE, |row| context.job.prices[row].pack_holds());
            let count = to_get.checked_div(pack).map_or(Decimal::ZERO, |packs| packs.round_dp(6).ceil());
            let given = first_needed(&wanted, there, &[Packs { pack, count }]);
            need(row, true, given.into_iter().next().unwrap_or_default())
        };
        let rows = unpriced(context, bought.line);
        return match rows.is_empty() {
            true => vec![asked(None)],
            false => rows.into_iter().map(|row| asked(Some(row))).collect(),
        };
    }
    let packs: Vec<Packs> = chosen.iter().map(|(_, packs)| *packs).collect();
    let given = first_needed(&wanted, there, &packs);
    chosen.iter().zip(given).map(|((price, _), by_phase)| need(Some(*price), false, by_phase)).collect()
}
