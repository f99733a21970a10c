//! Which way goes straight on where runs part, and in what order the others leave. A rule, as a fitter would have it, so that
//! the order of rows says nothing: the larger flow goes straight on; of equal flows the way that feeds more outlets; of equal
//! ways the name that comes first. Lengths say nothing either: one that is changed in the finished bid turns no tee.

use super::Context;
use super::fork::Fork;
use super::load::Loads;
use crate::choice::Choice;
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, Term, Value};
use crate::model::network::same_name;
use crate::table::columns;
use std::cmp::Reverse;

/// How the runs that leave the end of each run leave it, by position: branches in the order of their tees, the smallest
/// first, the largest last, and the way straight on behind them. `demand_gpm` and how many draw at each run's own end by
/// position.
pub(crate) fn forks(context: &Context, demand_gpm: &[Term], outlets_at: &[usize]) -> Vec<Fork> {
    let network = context.network;
    let below = outlets_below(context, outlets_at);
    let rank = |child: &usize| {
        // Flows that differ by rounding alone are equal.
        let millionths = (demand_gpm[*child].value().as_f64() * 1e6).round() as i64;
        (millionths, among_equals(context, &below, *child))
    };
    (0..network.len())
        .map(|position| {
            let mut others = network.children[position].clone();
            others.sort_by_cached_key(rank);
            if let Some((straight, last)) = saved_order(context, position) {
                others.retain(|way| ![straight, last].contains(way));
                others.extend([last, straight]);
            }
            let straight = others.pop();
            let last = others.pop();
            Fork { straight, last, others }
        })
        .collect()
}

columns! {
    struct Columns on Sizing("Which way goes straight on") {
        at: "At", words 26;
        chosen: Choice::StraightOn.heading(), words 20;
        check: "Check", check 26;
    }
}

/// Puts which way goes straight on at each tee, and which leaves last before it: choices, that `--hold` keeps, each with a live
/// check whether the flows still say so. Gives how many of them were typed over, for no formula makes up other tees by them.
pub(crate) fn put(book: &mut Book, context: &Context, loads: &Loads, forks: &[Fork], manifold_at: &[bool]) -> Term {
    let below = outlets_below(context, &loads.outlets_at);
    let flow = |way: usize| &loads.demand_gpm[way];
    let follows = |small: usize, large: usize| {
        let first_of_equals = among_equals(context, &below, large) > among_equals(context, &below, small);
        if first_of_equals { flow(large).at_least(flow(small)) } else { flow(large).above(flow(small)) }
    };
    let again = Term::text(PRICE_AGAIN);
    let Columns { table, at, chosen, check } = Columns::on_page(book, context);
    for (position, fork) in forks.iter().enumerate().filter(|(at, _)| !manifold_at[*at]) {
        let (Some(last), Some(straight)) = (fork.last, fork.straight) else { continue };
        // The branches before the last take tees of the feeding size: their own order says nothing.
        let before = fork.others.iter().map(|other| follows(*other, last));
        let in_order = before.fold(follows(last, straight), |all, next| all.and(&next));
        let row = book.row(table);
        book.label(row, at, &key(context, position));
        let ways = format!("{}{BEFORE}{}", name(context, straight), name(context, last));
        book.choose(row, [chosen, check], Value::text(&*ways), |chosen| {
            let flows = in_order.ok_or("another way has more flow");
            chosen.same(&Term::text(&*ways)).pick(&flows, &again)
        });
    }
    Term::price_again_in(&book.whole(check))
}

/// Parts the way straight on from the last branch.
const BEFORE: &str = ", then ";

fn key(context: &Context, position: usize) -> String {
    format!("straight on at {}", name(context, position))
}

fn name<'a>(context: &'a Context, position: usize) -> &'a str {
    context.job.runs[context.network.order[position]].name.value.trim()
}

/// The way straight on and the last branch as the bid that is read has them.
fn saved_order(context: &Context, position: usize) -> Option<(usize, usize)> {
    let text = context.saved(Choice::StraightOn, &key(context, position))?;
    let (straight, last) = text.split_once(BEFORE)?;
    let child = |wanted: &str| {
        let ways = &context.network.children[position];
        ways.iter().copied().find(|way| same_name(name(context, *way)) == same_name(wanted))
    };
    Some((child(straight)?, child(last)?)).filter(|(straight, last)| straight != last)
}

/// How many outlets draw at or beyond each run's end, by position.
fn outlets_below(context: &Context, outlets_at: &[usize]) -> Vec<usize> {
    let mut below = outlets_at.to_vec();
    for position in (0..below.len()).rev() {
        if let Some(parent) = context.network.parent[position] {
            below[parent] += below[position];
        }
    }
    below
}

/// What orders ways of equal flow.
fn among_equals(context: &Context, outlets_below: &[usize], way: usize) -> (usize, Reverse<String>) {
    let name = &context.run_at(way).name.value;
    (outlets_below[way], Reverse(same_name(name)))
}
