//! The least price of stock that is together long enough, from lengths alone.
//!
//! `least[l]` is the cheapest set of units of total length `l` or more, by dynamic programming over lengths. It only
//! rises, so its steps are kept. Where left-overs have a worth, moving what is left of one unit onto another of a rate
//! as high never loses (floors and cuts included), and a unit of which all is left is better not bought: so in a
//! cheapest cover all units but one count in full, and the one is tried as every kind.

use super::shape::Shape;

/// No units of these kinds reach so far.
pub(super) const NEVER: i64 = i64::MAX / 8;
/// Lengths beyond this many are taken together, which only lowers the bound.
const ENTRIES: i64 = 2_000_000;

/// A set of units that no cheaper one covers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    pub cap: i64,
    pub price: i64,
}

pub(super) struct Covers {
    /// By rising cap and price, from nothing at no price.
    pub steps: Vec<Step>,
    /// What a unit of each kind is taken to cost.
    prices: Vec<i64>,
}

impl Covers {
    /// Over the stock there is, at its prices.
    pub(crate) fn new(shape: &Shape) -> Self {
        Self::at(shape, shape.kinds.iter().map(|kind| kind.price).collect(), true)
    }

    /// At other prices; without `limited`, as if there were any number of each kind.
    pub(crate) fn at(shape: &Shape, prices: Vec<i64>, limited: bool) -> Self {
        let total = shape.total();
        let coarse = total / ENTRIES + 1;
        let need = (total / coarse) as usize;
        let cap = |kind: usize| ((shape.kinds[kind].cap + coarse - 1) / coarse) as usize;
        let mut least = vec![NEVER; need + 1];
        least[0] = 0;
        let (bounded, free): (Vec<usize>, Vec<usize>) =
            (0..shape.kinds.len()).partition(|kind| limited && shape.kinds[*kind].available.is_some());
        for length in 1..=need {
            least[length] =
                free.iter().map(|kind| least[length.saturating_sub(cap(*kind))] + prices[*kind]).min().unwrap_or(NEVER);
        }
        for kind in bounded {
            let mut there = (shape.kinds[kind].available.unwrap_or(0) as usize).min(need.div_ceil(cap(kind)));
            // Bundles of 1, 2, 4 ... units make up any number of them.
            let mut bundle = 1;
            while there > 0 {
                bundle = bundle.min(there);
                for length in (1..=need).rev() {
                    let before = least[length.saturating_sub(cap(kind) * bundle)];
                    least[length] = least[length].min(before + prices[kind] * bundle as i64);
                }
                there -= bundle;
                bundle *= 2;
            }
        }
        let mut steps: Vec<Step> = Vec::new();
        for (length, price) in least.iter().enumerate().filter(|(_, price)| **price < NEVER) {
            let step = Step { cap: (length as i64 + 1) * coarse - 1, price: *price };
            match steps.last_mut() {
                Some(last) if last.price == step.price => *last = step,
                _ => steps.push(step),
            }
        }
        Self { steps, prices }
    }

    /// The least price of units this long together, left-overs at their most.
    pub(crate) fn least(&self, shape: &Shape, need: i64) -> i64 {
        let plain = self.plain(need);
        if !shape.has_worth() {
            return plain;
        }
        (0..shape.kinds.len()).map(|kind| self.partly(shape, need, kind)).fold(plain, i64::min)
    }

    /// The same where one unit must be of this kind.
    pub(crate) fn least_with(&self, shape: &Shape, need: i64, kind: usize) -> i64 {
        let plain = self.prices[kind] + self.plain(need - shape.kinds[kind].cap);
        if !shape.has_worth() {
            return plain;
        }
        let rest = need - shape.kinds[kind].cap;
        let others = if rest > 0 { self.least(shape, rest) + self.prices[kind] } else { plain };
        plain.min(others).min(self.partly(shape, need, kind))
    }

    fn plain(&self, need: i64) -> i64 {
        let step = self.steps.partition_point(|step| step.cap < need);
        self.steps.get(step).map_or(NEVER, |step| step.price)
    }

    /// The last unit is of this kind and only partly used.
    fn partly(&self, shape: &Shape, need: i64, kind: usize) -> i64 {
        let cap = shape.kinds[kind].cap;
        let first = self.steps.partition_point(|step| step.cap < need - cap);
        let rest = &self.steps[first..];
        let enough = rest.iter().position(|step| step.cap >= need).map_or(rest.len(), |at| at + 1);
        rest[..enough]
            .iter()
            .map(|step| step.price + self.prices[kind] - shape.worth(kind, cap - (need - step.cap).max(1)))
            .min()
            .unwrap_or(NEVER)
    }

    /// A bound on all plans: the least cover of all runs, and the joints they cannot do without.
    pub(crate) fn of_all(&self, shape: &Shape) -> i64 {
        self.least(shape, shape.total()).max(0) + shape.joint_cost * shape.forced()
    }

    /// Numbers of units of each kind that are together long enough, at no more than `most` less the worth of what is
    /// left; free stock is always all there. `None` when there are more than `limit`.
    pub(crate) fn purchases(&self, shape: &Shape, need: i64, most: i64, limit: usize) -> Option<Vec<Vec<u32>>> {
        let mut walk =
            Walk { covers: self, shape, need, most, limit, tries: 200 * limit, counts: Vec::new(), found: Vec::new() };
        walk.go(0, 0, 0, 0).then_some(walk.found)
    }
}

struct Walk<'a> {
    covers: &'a Covers,
    shape: &'a Shape,
    need: i64,
    most: i64,
    limit: usize,
    tries: usize,
    counts: Vec<u32>,
    found: Vec<Vec<u32>>,
}

impl Walk<'_> {
    /// `worth`: of the units so far, all of them left. False when there are too many.
    fn go(&mut self, kind: usize, cap: i64, price: i64, worth: i64) -> bool {
        self.tries = self.tries.saturating_sub(1);
        if self.tries == 0 {
            return false;
        }
        if kind == self.shape.kinds.len() {
            if cap >= self.need && price - self.worth_left(cap - self.need) <= self.most {
                self.found.push(self.counts.clone());
            }
            return self.found.len() <= self.limit;
        }
        let of = &self.shape.kinds[kind];
        let free = of.price == 0;
        let enough = (self.need.div_euclid(of.cap) + 1).clamp(1, 1_000_000) as u32;
        let most = match of.available {
            Some(there) if free => there.min(enough.max(1000)),
            None if free => enough.max(self.shape.items.len() as u32),
            there => there.unwrap_or(u32::MAX),
        };
        let least = if free { most } else { 0 };
        for count in least..=most {
            let (more, dearer) = (i64::from(count) * of.cap, i64::from(count) * of.price);
            let kept = i64::from(count) * self.shape.worth(kind, of.cap);
            let to_come = self.covers.plain(self.need - cap - more);
            let floor = if self.shape.has_worth() { price + dearer - worth - kept } else { price + dearer + to_come };
            if floor > self.most {
                break;
            }
            self.counts.push(count);
            let go_on = self.go(kind + 1, cap + more, price + dearer, worth + kept);
            self.counts.pop();
            if !go_on {
                return false;
            }
            // Where a unit costs nothing net, one more than enough is never wanted.
            if of.price <= self.shape.worth(kind, of.cap) && cap + more >= self.need + of.cap {
                break;
            }
        }
        true
    }

    fn worth_left(&self, room: i64) -> i64 {
        best_worth(self.shape, &self.counts, room)
    }
}

/// The most that this much room over these units can be worth: all of it on the unit of the best rate, what it cannot
/// hold on the next.
pub(super) fn best_worth(shape: &Shape, counts: &[u32], room: i64) -> i64 {
    if !shape.has_worth() || room <= 0 {
        return 0;
    }
    let whole = |kind: usize| shape.worth(kind, shape.kinds[kind].cap);
    let mut kinds: Vec<usize> = (0..counts.len()).filter(|kind| counts[*kind] > 0).collect();
    kinds.sort_unstable_by(|a, b| {
        let share = |x: usize, y: usize| i128::from(whole(x)) * i128::from(shape.kinds[y].cap - shape.kerf);
        share(*b, *a).cmp(&share(*a, *b))
    });
    let mut left = room;
    let mut worth = 0;
    for kind in kinds {
        for _ in 0..counts[kind] {
            let cap = shape.kinds[kind].cap;
            if left < cap {
                return worth + shape.worth(kind, left);
            }
            worth += whole(kind);
            left -= cap;
        }
    }
    worth
}
