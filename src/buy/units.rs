//! The units of a cut plan one by one: which row of Prices each is bought by, and the runs it serves.

use super::Context;
use super::cutting::Cut;
use super::pipe::{Pipe, Source};
use rust_decimal::Decimal;

/// One stick, one coil, or one length cut from a roll.
#[derive(Debug, Clone, PartialEq)]
pub struct PipeUnit {
    /// Index into the job's prices; `None` for what is on hand or bought already.
    pub price: Option<usize>,
    /// Units of that row: 1 of a stick or coil, so many feet (or packs of feet) of a length.
    pub count: Decimal,
    /// How long it is, ft.
    pub feet: Decimal,
    /// Cut to this length at the counter.
    pub by_foot: bool,
    /// The runs that pieces of it go to, by index in the take-off.
    pub runs: Vec<usize>,
}

pub(super) fn units(context: &Context, pipe: &Pipe) -> Vec<PipeUnit> {
    let unit = |cut: &super::cutting::Cut| {
        let mut runs: Vec<usize> = cut.pieces.iter().filter_map(|p| pipe.runs.get(p.run).copied()).collect();
        runs.sort_unstable();
        runs.dedup();
        let length: i64 = cut.pieces.iter().map(|piece| piece.length).sum();
        let (price, count, feet) = match pipe.sources.get(cut.stock) {
            Some(Source::Offer(index)) => (Some(*index), Decimal::ONE, context.job.prices[*index].pack_holds()),
            Some(Source::ByFoot(index)) => {
                let pack = context.job.prices[*index].pack_holds();
                // As the Cut plan has it: so many whole packs of feet as the pieces need.
                let count = (exact_feet(length) / pack).round_dp(6).ceil();
                (Some(*index), count, count * pack)
            }
            _ => (None, Decimal::ZERO, Decimal::ZERO),
        };
        let by_foot = matches!(pipe.sources.get(cut.stock), Some(Source::ByFoot(_)));
        PipeUnit { price, count, feet, by_foot, runs }
    };
    pipe.plan.cuts.iter().map(unit).collect()
}

/// Runs that need pipe and get none, since nobody offers any, or none that is long enough: index, and feet needed.
pub(super) fn uncovered(pipe: &Pipe) -> Vec<(usize, Decimal)> {
    if pipe.is_saved { Vec::new() } else { missing(pipe) }
}

/// Runs for which the plan that is held cuts less than they need now: index, and feet missing.
pub(super) fn short(pipe: &Pipe) -> Vec<(usize, Decimal)> {
    if pipe.is_saved { missing(pipe) } else { Vec::new() }
}

fn missing(pipe: &Pipe) -> Vec<(usize, Decimal)> {
    let cut = |run: usize| -> i64 {
        let pieces = pipe.plan.cuts.iter().flat_map(|cut| &cut.pieces);
        pieces.filter(|piece| piece.run == run).map(|piece| piece.length).sum()
    };
    let open = |(run, (position, need)): (usize, (&usize, &i64))| {
        let missing = need - cut(run);
        (missing > 0).then(|| (*position, exact_feet(missing)))
    };
    pipe.runs.iter().zip(&pipe.needs).enumerate().filter_map(open).collect()
}

/// Eighths of an inch as feet, not rounded.
fn exact_feet(eighths: i64) -> Decimal {
    Decimal::from(eighths) / Decimal::from(96)
}

/// Whether sticks or coils are there now that the plan does not cut from, while it would buy others: bought since, or on hand
/// and as long as all that is cut from one that it would buy.
pub(super) fn there_since(pipe: &Pipe, cuts: &[Cut]) -> bool {
    let count = |stock: usize| cuts.iter().filter(|cut| cut.stock == stock).count();
    let buys = |source: &Source| matches!(source, Source::Offer(_) | Source::ByFoot(_));
    let ordered = || cuts.iter().filter(|cut| pipe.sources.get(cut.stock).is_some_and(buys));
    let length = |cut: &Cut| cut.pieces.iter().map(|piece| piece.length).sum::<i64>();
    let shortest = ordered().map(length).min();
    let waiting = pipe.sources.iter().enumerate().any(|(stock, source)| {
        let Some(of) = pipe.problem.stock.get(stock) else { return false };
        let serves = match source {
            Source::Bought(_) => true,
            Source::OnHand(_) => shortest.is_some_and(|shortest| shortest <= of.length),
            _ => false,
        };
        serves && count(stock) < of.available.unwrap_or(0) as usize
    });
    shortest.is_some() && waiting
}
