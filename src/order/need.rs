//! What the purchases come to, row of Prices by row of Prices: so many Units of it for each phase; and what nobody offers.

use super::Context;
use super::phases::{ByPhase, Packs, first_needed};
use crate::buy::{LineBought, PipeBought};
use crate::model::Phase;
use crate::takeoff::phase_of;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// So many Units of one row of Prices, or so much that no row offers.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// Index into the take-off's lines.
    pub line: usize,
    /// Index into the job's prices; `None` where nobody offers it, and the Units are feet or pieces.
    pub price: Option<usize>,
    /// `cold` or `hot` where pipe has a color for each, else empty.
    pub water: &'static str,
    /// Whole Units, each for the first phase that needs any of it.
    pub by_phase: ByPhase,
    /// Lengths of pipe to be had in one piece each, ft: what is cut from a roll, or is longer than anything offered.
    pub pieces: Vec<(Phase, Decimal)>,
}

/// In the order of the take-off's lines, then of the rows of Prices.
pub fn needs(context: &Context) -> Vec<Need> {
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
    let phase_at = |position: usize| {
        context.network.order.get(position).and_then(|run| context.job.runs.get(*run)).map_or(Phase::RoughIn, phase_of)
    };
    let mut by_offer: BTreeMap<usize, Need> = BTreeMap::new();
    let new = |price| Need { line, price, water: pipe.water, by_phase: ByPhase::default(), pieces: Vec::new() };
    for unit in &pipe.units {
        let Some(price) = unit.price else { continue };
        let phase = unit.runs.iter().map(|run| phase_at(*run)).min().unwrap_or(Phase::RoughIn);
        let need = by_offer.entry(price).or_insert_with(|| new(Some(price)));
        need.by_phase[phase as usize] += unit.count;
        if unit.by_foot {
            need.pieces.push((phase, unit.feet));
        }
    }
    let mut needs: Vec<Need> = by_offer.into_values().collect();
    if !pipe.uncovered.is_empty() {
        let mut need = new(None);
        for (position, feet) in &pipe.uncovered {
            let (phase, feet) = (phase_at(*position), feet.ceil());
            need.by_phase[phase as usize] += feet;
            need.pieces.push((phase, feet));
        }
        needs.push(need);
    }
    needs
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
            let pack = context.job.prices[of.price].pack.value.filter(|pack| *pack > Decimal::ZERO);
            (of.price, Packs { pack: pack.unwrap_or(Decimal::ONE), count: number(&of.packs).ceil() })
        })
        .collect();
    let need = |price, by_phase| Need { line: bought.line, price, water: "", by_phase, pieces: Vec::new() };
    if chosen.is_empty() {
        let pieces = Packs { pack: Decimal::ONE, count: number(&bought.to_get).ceil() };
        return first_needed(&wanted, there, &[pieces]).into_iter().map(|by_phase| need(None, by_phase)).collect();
    }
    let packs: Vec<Packs> = chosen.iter().map(|(_, packs)| *packs).collect();
    let given = first_needed(&wanted, there, &packs);
    chosen.iter().zip(given).map(|((price, _), by_phase)| need(Some(*price), by_phase)).collect()
}
