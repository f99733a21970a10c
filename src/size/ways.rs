//! Which way goes straight on where runs part, and in what order the others leave. A rule, as a fitter would have it, so that
//! the order of rows says nothing: the larger flow goes straight on; of equal flows the longer way to its farthest end; of
//! equal ways the name that comes first.

use super::Context;
use super::exact::Fork;
use crate::figure::Term;
use crate::model::network::same_name;
use rust_decimal::Decimal;
use std::cmp::Reverse;

/// How the runs that leave the end of each run leave it, by position: branches in the order of their tees, the smallest
/// first, the largest last, and the way straight on behind them. `demand_gpm` by position.
pub fn forks(context: &Context, demand_gpm: &[Term]) -> Vec<Fork> {
    let network = context.network;
    let run = |position: usize| &context.job.runs[network.order[position]];
    // From a run's start to the farthest end behind it, ft.
    let mut reach_ft: Vec<Decimal> =
        (0..network.len()).map(|position| run(position).length_ft.value.unwrap_or_default()).collect();
    for position in (0..network.len()).rev() {
        let beyond = network.children[position].iter().map(|child| reach_ft[*child]).max();
        reach_ft[position] = reach_ft[position].saturating_add(beyond.unwrap_or_default());
    }
    let rank = |child: &usize| {
        // Flows that differ by rounding alone are equal.
        let millionths = (demand_gpm[*child].value().as_f64() * 1e6).round() as i64;
        (millionths, reach_ft[*child], Reverse(same_name(&run(*child).name.value)))
    };
    (0..network.len())
        .map(|position| {
            let mut others = network.children[position].clone();
            others.sort_by_cached_key(rank);
            let straight = others.pop();
            let last = others.pop();
            Fork { straight, last, others }
        })
        .collect()
}
