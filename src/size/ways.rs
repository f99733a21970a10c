//! Which way goes straight on where runs part, and in what order the others leave. A rule, as a fitter would have it, so that
//! the order of rows says nothing: the larger flow goes straight on; of equal flows the way that feeds more outlets; of equal
//! ways the name that comes first. Lengths say nothing either: one that is changed in the finished bid turns no tee.

use super::Context;
use super::exact::Fork;
use crate::figure::Term;
use crate::model::network::same_name;
use std::cmp::Reverse;

/// How the runs that leave the end of each run leave it, by position: branches in the order of their tees, the smallest
/// first, the largest last, and the way straight on behind them. `demand_gpm` and how many draw at each run's own end by
/// position.
pub fn forks(context: &Context, demand_gpm: &[Term], outlets_at: &[usize]) -> Vec<Fork> {
    let network = context.network;
    let mut outlets_below = outlets_at.to_vec();
    for position in (0..network.len()).rev() {
        if let Some(parent) = network.parent[position] {
            outlets_below[parent] += outlets_below[position];
        }
    }
    let rank = |child: &usize| {
        // Flows that differ by rounding alone are equal.
        let millionths = (demand_gpm[*child].value().as_f64() * 1e6).round() as i64;
        let name = &context.job.runs[network.order[*child]].name.value;
        (millionths, outlets_below[*child], Reverse(same_name(name)))
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
