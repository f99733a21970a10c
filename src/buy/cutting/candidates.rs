//! Purchases, the cheapest first, and whether the runs can be cut from them.
//!
//! A purchase of `u` units with `j` joints falls into at least `u - j` groups. The runs are packed whole into that many
//! bins of units laid end to end, and each bin is cut as a chain.

use super::chain;
use super::covers::{Covers, best_worth};
use super::fill::{Bin, Packing, pack};
use super::shape::{Meter, Shape, Units};

/// Purchases that are looked at.
const PURCHASES: usize = 2_000;
/// Ways to lay the units of one purchase into groups that are tried.
const GROUPINGS: usize = 16;

/// Betters the plan; gives the least that a purchase not ruled out could cost, or the plan's cost when all are.
pub(super) fn try_all(shape: &Shape, covers: &Covers, bound: i64, best: &mut Units, meter: &mut Meter) -> i64 {
    let total = shape.total();
    let forced = shape.forced();
    let most = best.cost - 1 - shape.joint_cost * forced;
    let Some(purchases) = covers.purchases(shape, total, most, PURCHASES) else {
        return some_only(shape, covers, bound, best, meter);
    };
    run(shape, bound, best, meter, &purchases)
}

/// There are too many purchases to list: those nearest the bound are tried, and nothing is ruled out.
fn some_only(shape: &Shape, covers: &Covers, bound: i64, best: &mut Units, meter: &mut Meter) -> i64 {
    let mut span = best.cost - bound;
    for _ in 0..12 {
        span /= 3;
        if let Some(purchases) = covers.purchases(shape, shape.total(), bound + span, PURCHASES) {
            if purchases.is_empty() {
                break;
            }
            run(shape, bound, best, meter, &purchases);
            break;
        }
    }
    bound.min(best.cost)
}

fn run(shape: &Shape, bound: i64, best: &mut Units, meter: &mut Meter, purchases: &[Vec<u32>]) -> i64 {
    let total = shape.total();
    let forced = shape.forced();
    let can_join = shape.items.iter().any(|item| item.split);
    let mut tries: Vec<(i64, i64, usize)> = Vec::new();
    for (index, counts) in purchases.iter().enumerate() {
        let (mut price, mut cap, mut units) = (0, 0, 0);
        for (kind, count) in shape.kinds.iter().zip(counts) {
            price += kind.price * i64::from(*count);
            cap += kind.cap * i64::from(*count);
            units += i64::from(*count);
        }
        let least = price - best_worth(shape, counts, cap - total);
        // As many joints as units, or more, may be needed where pieces are nearly too short; such plans are not tried.
        let joints = if can_join { forced..=units.max(forced) } else { 0..=0 };
        for joints in joints {
            let cost = least + shape.joint_cost * joints;
            if cost >= best.cost {
                break;
            }
            // Without worths of left-overs that is what such a plan costs, and none costs less than the bound.
            if cost >= bound || shape.has_worth() {
                tries.push((cost.max(bound), joints, index));
            }
        }
    }
    tries.sort_unstable();
    let share = meter.left / (tries.len() as u64).clamp(1, 24);
    let mut open = i64::MAX;
    for (cost, joints, index) in tries {
        if cost >= best.cost || best.cost <= bound {
            break;
        }
        if meter.left == 0 {
            open = open.min(cost);
            break;
        }
        let steps = share.min(meter.left);
        let mut own = Meter::new(steps);
        let ruled_out = fits(shape, &purchases[index], joints, best, &mut own);
        meter.spend(steps - own.left);
        if !ruled_out && cost < best.cost {
            open = open.min(cost);
        }
    }
    open.min(best.cost)
}

/// Tries to cut all runs from a purchase; true when it is certain that it does not go.
fn fits(shape: &Shape, counts: &[u32], joints: i64, best: &mut Units, meter: &mut Meter) -> bool {
    if joints > 0 && joints >= counts.iter().map(|count| i64::from(*count)).sum() {
        return false;
    }
    let kinds: Vec<usize> =
        (0..counts.len()).flat_map(|kind| std::iter::repeat_n(kind, counts[kind] as usize)).collect();
    let many = groupings(shape, &kinds, joints as usize);
    let share = meter.left / many.len().max(1) as u64;
    let mut ruled_out = joints == 0;
    for bins in many {
        let steps = share.min(meter.left);
        let mut own = Meter::new(steps);
        match pack(shape, &bins, &mut own) {
            Packing::Found(packed) => {
                ruled_out = false;
                let cut = bins.iter().zip(packed).filter(|(_, items)| !items.is_empty()).try_fold(
                    Vec::new(),
                    |mut all, (bin, items)| {
                        all.extend(chain::cut(shape, &bin.kinds, &items, &mut own)?);
                        Some(all)
                    },
                );
                if let Some(units) = cut {
                    let units = shape.priced(units);
                    if units.cost < best.cost {
                        *best = units;
                    }
                    return false;
                }
            }
            Packing::Impossible => {}
            Packing::Unknown => ruled_out = false,
        }
        meter.spend(steps - own.left);
    }
    ruled_out
}

/// Ways to lay units into groups with so many joints: one large group, pairs, and what lies between; short units joined
/// first, or long ones.
fn groupings(shape: &Shape, kinds: &[usize], joints: usize) -> Vec<Vec<Bin>> {
    let joints = joints.min(kinds.len() - 1);
    if joints == 0 {
        return vec![kinds.iter().map(|kind| Bin { kinds: vec![*kind] }).collect()];
    }
    let mut sorted = kinds.to_vec();
    sorted.sort_by_key(|kind| (shape.kinds[*kind].form, shape.kinds[*kind].cap));
    let reversed: Vec<usize> = sorted.iter().rev().copied().collect();
    let woven: Vec<usize> =
        (0..sorted.len()).map(|at| if at % 2 == 0 { sorted[at / 2] } else { reversed[at / 2] }).collect();
    let particular = shape.items.iter().any(|item| item.form.is_some());
    let mut all: Vec<Vec<Bin>> = Vec::new();
    let mut shares = Vec::new();
    partitions(joints, joints, kinds.len() - joints, &mut Vec::new(), &mut shares);
    // The evenest last: large groups are the easiest to fill.
    for extra in shares {
        for order in [&sorted, &reversed, &woven] {
            let mut next = order.iter().copied();
            let mut bins: Vec<Bin> =
                extra.iter().map(|more| Bin { kinds: next.by_ref().take(more + 1).collect() }).collect();
            bins.extend(next.map(|kind| Bin { kinds: vec![kind] }));
            bins.iter_mut().for_each(|bin| bin.kinds.sort_unstable());
            let mixed =
                |bin: &Bin| bin.kinds.iter().any(|kind| shape.kinds[*kind].form != shape.kinds[bin.kinds[0]].form);
            bins.sort();
            if !all.contains(&bins) && (!particular || !bins.iter().any(mixed)) {
                all.push(bins);
            }
        }
        if all.len() >= GROUPINGS {
            break;
        }
    }
    all
}

/// The ways to write `rest` as a sum of at most `parts` numbers, none above `most`, the largest numbers first.
fn partitions(rest: usize, most: usize, parts: usize, stack: &mut Vec<usize>, found: &mut Vec<Vec<usize>>) {
    if rest == 0 {
        found.push(stack.clone());
        return;
    }
    if parts == 0 || found.len() >= GROUPINGS {
        return;
    }
    for part in (1..=most.min(rest)).rev() {
        stack.push(part);
        partitions(rest - part, part, parts - 1, stack, found);
        stack.pop();
    }
}
