//! The cheapest partition of few runs into groups, by dynamic programming over subsets.
//!
//! `group(T)` bounds what the runs `T` cost as one group: units that cover them, and a joint for each unit beyond the
//! first, or the joints that long runs need if those are more. `least(S)` is the minimum over the groups `T` within `S`
//! that hold the first run of `S` of `group(T) + least(S without T)`. Runs alike in length count as one kind, so a
//! subset is a number of each kind.
//!
//! Of stock that is limited (on hand) any number may be used at its price and a rent, and the rents of all that there
//! is are taken off again: a bound for every rent, since no plan uses more than there is.

use super::chain;
use super::covers::{Covers, NEVER};
use super::shape::{Meter, Shape, Unit, Units};

/// Subsets, and pairs of a subset and a group in it, that are looked at.
const SUBSETS: usize = 60_000;
const PAIRS: u64 = 16_000_000;

pub(super) struct Found {
    pub bound: i64,
    /// A plan of the groups of the bound, where they can be cut.
    pub units: Option<Units>,
}

/// Runs alike.
struct Class {
    items: Vec<usize>,
    size: i64,
    forced: i64,
    /// Must lie whole in one unit.
    whole: bool,
    /// Step of the subset's number.
    weight: usize,
}

/// `None` when there are too many subsets.
pub(super) fn bound(shape: &Shape, meter: &mut Meter) -> Option<Found> {
    let classes = classes(shape)?;
    let subsets: usize = classes.iter().map(|class| class.items.len() + 1).product();
    let pairs: u64 = classes.iter().map(|c| (c.items.len() as u64 + 1) * (c.items.len() as u64 + 2) / 2).product();
    if pairs / 10 > meter.left {
        return None;
    }
    meter.spend(pairs / 10 + subsets as u64);
    let rents = rents(shape);
    let priced = |joint: i64| {
        let prices = shape.kinds.iter().zip(&rents).map(|(kind, rent)| kind.price + rent + joint).collect();
        Covers::at(shape, prices, false)
    };
    let (plain, joined) = (priced(0), priced(shape.joint_cost));
    let group = group_costs(shape, &classes, &plain, &joined);
    let (least, taken) = cheapest_partitions(&classes, &group);
    let rent: i64 =
        shape.kinds.iter().zip(&rents).map(|(kind, rent)| i64::from(kind.available.unwrap_or(0)) * rent).sum();
    let bound = if least < NEVER { (least - rent).max(0) } else { 0 };
    let partition = Partition { shape, classes, group, taken };
    let units = if rents.iter().all(|rent| *rent == 0) { partition.cut(&plain, meter) } else { None };
    Some(Found { bound, units })
}

/// How many of each class a subset has.
fn counts_of(classes: &[Class], subset: usize) -> impl Iterator<Item = usize> {
    classes.iter().map(move |class| subset / class.weight % (class.items.len() + 1))
}

/// By subset: what it costs at least as one group.
fn group_costs(shape: &Shape, classes: &[Class], plain: &Covers, joined: &Covers) -> Vec<i64> {
    let subsets: usize = classes.iter().map(|class| class.items.len() + 1).product();
    let mut group = vec![NEVER; subsets];
    for (subset, cost) in group.iter_mut().enumerate().skip(1) {
        let (mut size, mut forced, mut whole) = (0, 0, None);
        for (class, count) in classes.iter().zip(counts_of(classes, subset)) {
            size += class.size * count as i64;
            forced += class.forced * count as i64;
            if count > 0 && class.whole && whole.is_none() {
                // Classes go from the longest to the shortest.
                whole = class.items.first().copied();
            }
        }
        let least = |covers: &Covers| match whole {
            None => covers.least(shape, size),
            Some(item) => (0..shape.kinds.len())
                .filter(|kind| shape.takes(*kind, item) && shape.kinds[*kind].cap >= shape.items[item].size)
                .map(|kind| covers.least_with(shape, size, kind))
                .min()
                .unwrap_or(NEVER),
        };
        *cost = (least(joined) - shape.joint_cost).max(least(plain) + shape.joint_cost * forced).min(NEVER);
    }
    group
}

/// What all runs cost at least in groups, and by subset the group that is taken from it.
fn cheapest_partitions(classes: &[Class], group: &[i64]) -> (i64, Vec<u32>) {
    let subsets = group.len();
    let mut least = vec![NEVER; subsets];
    let mut taken = vec![0u32; subsets];
    least[0] = 0;
    for subset in 1..subsets {
        let counts: Vec<usize> = counts_of(classes, subset).collect();
        // The first run of the subset is in the group, so one of its class is.
        let Some(first) = counts.iter().position(|count| *count > 0) else { continue };
        let mut part = vec![0usize; counts.len()];
        part[first] = 1;
        let mut number = classes[first].weight;
        loop {
            let cost = group[number] + least[subset - number];
            if cost < least[subset] {
                least[subset] = cost;
                taken[subset] = number as u32;
            }
            // The next part, counting up class by class.
            let mut at = first;
            while at < counts.len() && part[at] == counts[at] {
                let floor = usize::from(at == first);
                number -= (part[at] - floor) * classes[at].weight;
                part[at] = floor;
                at += 1;
            }
            if at == counts.len() {
                break;
            }
            part[at] += 1;
            number += classes[at].weight;
        }
    }
    (least[subsets - 1], taken)
}

fn classes(shape: &Shape) -> Option<Vec<Class>> {
    let mut classes: Vec<Class> = Vec::new();
    for (index, item) in shape.items.iter().enumerate() {
        let alike = classes.last().and_then(|class| class.items.first()).is_some_and(|first| {
            let first = &shape.items[*first];
            (first.size, first.split, first.form) == (item.size, item.split, item.form)
        });
        match classes.last_mut() {
            Some(class) if alike => class.items.push(index),
            _ => classes.push(Class {
                items: vec![index],
                size: item.size,
                forced: item.forced,
                whole: !item.split,
                weight: 1,
            }),
        }
        let subsets = classes.iter().try_fold(1usize, |n, c| n.checked_mul(c.items.len() + 1))?;
        let pairs = classes.iter().try_fold(1u64, |n, c| {
            let count = c.items.len() as u64;
            n.checked_mul((count + 1) * (count + 2) / 2)
        })?;
        if subsets > SUBSETS || pairs > PAIRS {
            return None;
        }
    }
    let mut weight = 1;
    for class in &mut classes {
        class.weight = weight;
        weight *= class.items.len() + 1;
    }
    Some(classes)
}

/// What limited stock is rented at: its length at the best price for length.
fn rents(shape: &Shape) -> Vec<i64> {
    let bought = || shape.kinds.iter().filter(|kind| kind.available.is_none());
    let best = bought()
        .min_by(|a, b| (i128::from(a.price) * i128::from(b.cap)).cmp(&(i128::from(b.price) * i128::from(a.cap))));
    shape
        .kinds
        .iter()
        .map(|kind| match (kind.available, best) {
            (Some(_), Some(best)) => (best.price * kind.cap / best.cap - kind.price).max(0),
            _ => 0,
        })
        .collect()
}

/// The groups of the bound.
struct Partition<'a> {
    shape: &'a Shape,
    classes: Vec<Class>,
    /// By subset: what it costs as one group.
    group: Vec<i64>,
    /// By subset: the group that is taken from it.
    taken: Vec<u32>,
}

impl Partition<'_> {
    /// The groups, cut; each at its bound or not at all.
    fn cut(&self, covers: &Covers, meter: &mut Meter) -> Option<Units> {
        let mut next: Vec<usize> = vec![0; self.classes.len()];
        let mut units: Vec<Unit> = Vec::new();
        let mut subset = self.group.len() - 1;
        while subset > 0 {
            let part = self.taken[subset] as usize;
            if part == 0 {
                return None;
            }
            let mut items = Vec::new();
            for (class, next) in self.classes.iter().zip(&mut next) {
                let count = part / class.weight % (class.items.len() + 1);
                items.extend(class.items.get(*next..*next + count)?);
                *next += count;
            }
            units.extend(cheapest_chain(self.shape, &items, self.group[part], covers, meter)?);
            subset -= part;
        }
        let there = |kind: usize| self.shape.kinds[kind].available.map_or(usize::MAX, |there| there as usize);
        let used = |kind: usize| units.iter().filter(|unit| unit.kind == kind).count();
        (0..self.shape.kinds.len()).all(|kind| used(kind) <= there(kind)).then(|| self.shape.priced(units))
    }
}

/// The runs of a group cut from units at no more than `most`, or else as cheaply as a first look finds.
fn cheapest_chain(shape: &Shape, items: &[usize], most: i64, covers: &Covers, meter: &mut Meter) -> Option<Vec<Unit>> {
    let need: i64 = items.iter().map(|item| shape.items[*item].size).sum();
    let mut fallback: Option<(i64, Vec<Unit>)> = None;
    for slack in [0, shape.joint_cost, shape.kinds.iter().map(|kind| kind.price).min().unwrap_or(0)] {
        for counts in covers.purchases(shape, need, most + slack, 40)? {
            let kinds: Vec<usize> =
                (0..counts.len()).flat_map(|kind| std::iter::repeat_n(kind, counts[kind] as usize)).collect();
            let Some(units) = chain::cut(shape, &kinds, items, meter) else { continue };
            let pieces: usize = units.iter().map(|unit| unit.pieces.len()).sum();
            let cost =
                shape.priced(units.clone()).cost + shape.joint_cost * (shape.items.len() as i64 - items.len() as i64);
            debug_assert!(pieces >= items.len());
            if cost <= most {
                return Some(units);
            }
            if fallback.as_ref().is_none_or(|(best, _)| cost < *best) {
                fallback = Some((cost, units));
            }
        }
        if fallback.is_some() {
            break;
        }
    }
    fallback.map(|(_, units)| units)
}
