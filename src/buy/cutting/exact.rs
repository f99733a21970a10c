//! All plans of a small job, run by run, the longest first: in which units its pieces lie.
//!
//! How long the pieces are need not be searched. Once it is known which runs have pieces on which units, each piece of a
//! joined run takes the shortest length, and what such runs have beyond that is a flow from runs to units with room:
//! it goes if and only if the largest flow carries it all. A branch ends where what is bought, the joints, and the
//! least cover of the runs to come cost no less than the best plan.

use super::covers::{Covers, best_worth};
use super::shape::{Meter, Shape, Unit, Units};

/// Jobs of more runs are left to the bounds.
const RUNS: usize = 16;

struct Open {
    kind: usize,
    /// Whole pieces, and the shortest length for each piece of a joined run.
    load: i64,
    /// Whole pieces on it.
    whole: Vec<usize>,
    joined: bool,
}

struct Joined {
    item: usize,
    /// What it has beyond its pieces at their shortest.
    beyond: i64,
    units: Vec<usize>,
}

struct Search<'a> {
    shape: &'a Shape,
    covers: Covers,
    units: Vec<Open>,
    joined: Vec<Joined>,
    counts: Vec<u32>,
    price: i64,
    joints: i64,
    /// Of the runs from each on: grown length and joints they need.
    to_come: Vec<(i64, i64)>,
    best: &'a mut Units,
    /// What every plan is known to cost at least.
    bound: i64,
    /// The least a plan may cost whose left-overs were not laid out at their best.
    open: i64,
    meter: &'a mut Meter,
}

/// Betters the plan. What comes back is the best cost when all plans were searched, else the bound that was known.
pub(super) fn search(shape: &Shape, bound: i64, best: &mut Units, meter: &mut Meter) -> i64 {
    if shape.items.len() > RUNS {
        return bound;
    }
    let mut to_come = vec![(0, 0)];
    for item in shape.items.iter().rev() {
        let (size, forced) = to_come[to_come.len() - 1];
        to_come.push((size + item.size, forced + item.forced));
    }
    to_come.reverse();
    let mut search = Search {
        shape,
        covers: Covers::new(shape),
        units: Vec::new(),
        joined: Vec::new(),
        counts: vec![0; shape.kinds.len()],
        price: 0,
        joints: 0,
        to_come,
        best,
        bound,
        open: i64::MAX,
        meter,
    };
    search.go(0);
    if search.meter.left == 0 { bound } else { search.open.min(search.best.cost) }
}

impl Search<'_> {
    fn free(&self) -> i64 {
        let cap: i64 = self.units.iter().map(|unit| self.shape.kinds[unit.kind].cap - unit.load).sum();
        cap - self.joined.iter().map(|run| run.beyond).sum::<i64>()
    }

    fn hopeless(&self, item: usize) -> bool {
        let (size, forced) = self.to_come[item];
        let free = self.free();
        let need = size - free;
        let more = if need > 0 { self.covers.least(self.shape, need) } else { 0 };
        let worth = best_worth(self.shape, &self.counts, free);
        self.price + self.shape.joint_cost * (self.joints + forced) + more - worth >= self.best.cost
    }

    fn go(&mut self, item: usize) {
        if !self.meter.spend(10 + self.units.len() as u64) || self.best.cost <= self.bound || self.hopeless(item) {
            return;
        }
        if item == self.shape.items.len() {
            self.finish();
            return;
        }
        let size = self.shape.items[item].size;
        let mut seen: Vec<(usize, i64)> = Vec::new();
        for at in 0..self.units.len() {
            let Open { kind, load, joined, .. } = self.units[at];
            if load + size > self.shape.kinds[kind].cap || !self.shape.takes(kind, item) {
                continue;
            }
            if !joined {
                if seen.contains(&(kind, load)) {
                    continue;
                }
                seen.push((kind, load));
            }
            self.units[at].load += size;
            self.units[at].whole.push(item);
            if self.flows() {
                self.go(item + 1);
            }
            self.units[at].whole.pop();
            self.units[at].load -= size;
        }
        for kind in 0..self.shape.kinds.len() {
            if self.shape.kinds[kind].cap >= size && self.shape.takes(kind, item) && self.buy(kind) {
                let at = self.units.len() - 1;
                self.units[at].load += size;
                self.units[at].whole.push(item);
                self.go(item + 1);
                self.unbuy();
            }
        }
        if self.shape.items[item].split {
            self.pieces(item, 0, None, &mut Vec::new());
        }
    }

    fn buy(&mut self, kind: usize) -> bool {
        if self.shape.kinds[kind].available.is_some_and(|there| self.counts[kind] >= there) {
            return false;
        }
        self.counts[kind] += 1;
        self.price += self.shape.kinds[kind].price;
        self.units.push(Open { kind, load: 0, whole: Vec::new(), joined: false });
        true
    }

    fn unbuy(&mut self) {
        if let Some(unit) = self.units.pop() {
            self.counts[unit.kind] -= 1;
            self.price -= self.shape.kinds[unit.kind].price;
        }
    }

    /// Chooses the units of a joined run's pieces: those open from `from` on, then new ones, of the kinds from `newest` on
    /// once there is one.
    fn pieces(&mut self, item: usize, from: usize, newest: Option<usize>, chosen: &mut Vec<usize>) {
        let (least, kerf) = (self.shape.least, self.shape.kerf);
        if self.meter.left == 0 {
            return;
        }
        if chosen.len() >= 2 {
            let size = self.shape.items[item].size + kerf * (chosen.len() as i64 - 1);
            let beyond = size - least * chosen.len() as i64;
            if beyond < 0 {
                return;
            }
            let before: Vec<bool> = chosen.iter().map(|at| self.units[*at].joined).collect();
            chosen.iter().for_each(|at| self.units[*at].joined = true);
            self.joined.push(Joined { item, beyond, units: chosen.clone() });
            self.joints += chosen.len() as i64 - 1;
            self.meter.spend(20);
            if self.flows() {
                self.go(item + 1);
            }
            self.joints -= chosen.len() as i64 - 1;
            self.joined.pop();
            chosen.iter().zip(before).for_each(|(at, joined)| self.units[*at].joined = joined);
        }
        let joints = self.joints + (chosen.len() as i64 - 1).max(0) + i64::from(!chosen.is_empty());
        if self.price + self.shape.joint_cost * joints - best_worth(self.shape, &self.counts, self.free())
            >= self.best.cost
        {
            return;
        }
        if newest.is_none() {
            let mut seen: Vec<(usize, i64)> = Vec::new();
            let open = self.units.len();
            for at in from..open {
                let Open { kind, load, joined, .. } = self.units[at];
                if load + least > self.shape.kinds[kind].cap || !self.shape.takes(kind, item) {
                    continue;
                }
                if !joined {
                    if seen.contains(&(kind, load)) {
                        continue;
                    }
                    seen.push((kind, load));
                }
                self.units[at].load += least;
                chosen.push(at);
                self.pieces(item, at + 1, None, chosen);
                chosen.pop();
                self.units[at].load -= least;
            }
        }
        for new in newest.unwrap_or(0)..self.shape.kinds.len() {
            if self.shape.kinds[new].cap < least || !self.shape.takes(new, item) || !self.buy(new) {
                continue;
            }
            let at = self.units.len() - 1;
            self.units[at].load += least;
            chosen.push(at);
            self.pieces(item, at + 1, Some(new), chosen);
            chosen.pop();
            self.unbuy();
        }
    }

    /// Whether all joined runs find room for what they have beyond their shortest pieces.
    fn flows(&mut self) -> bool {
        self.joined.is_empty() || self.flow(&[]).is_some()
    }

    /// What each joined run lays on each of its units beyond the shortest piece; as little as can be on the units
    /// `spared`, the first the most.
    fn flow(&mut self, spared: &[usize]) -> Option<Vec<Vec<i64>>> {
        let full: Vec<i64> = self.units.iter().map(|unit| self.shape.kinds[unit.kind].cap - unit.load).collect();
        if full.iter().any(|room| *room < 0) {
            return None;
        }
        let mut room = full.clone();
        spared.iter().for_each(|at| room[*at] = 0);
        let mut laid: Vec<Vec<i64>> = self.joined.iter().map(|run| vec![0; run.units.len()]).collect();
        let mut left: Vec<i64> = self.joined.iter().map(|run| run.beyond).collect();
        // Once more for each spared unit, as its room is given free.
        for freed in std::iter::once(None).chain(spared.iter().rev().map(Some)) {
            if let Some(at) = freed {
                room[*at] = full[*at];
            }
            for (run, left) in left.iter_mut().enumerate() {
                while *left > 0 {
                    let moved = self.push(run, *left, &mut room, &mut laid);
                    self.meter.spend(2);
                    if moved == 0 {
                        break;
                    }
                    *left -= moved;
                }
            }
        }
        left.iter().all(|left| *left == 0).then_some(laid)
    }

    /// One augmenting path from a run to a unit with room; how much went along it.
    fn push(&self, run: usize, most: i64, room: &mut [i64], laid: &mut [Vec<i64>]) -> i64 {
        // Breadth first over runs: how each was reached, as (run before, its unit's place, own place of that unit).
        let mut from: Vec<Option<(usize, usize, usize)>> = vec![None; self.joined.len()];
        let mut reached = vec![false; self.joined.len()];
        reached[run] = true;
        let mut queue = vec![run];
        let mut next = 0;
        while next < queue.len() {
            let at = queue[next];
            next += 1;
            for (place, unit) in self.joined[at].units.iter().enumerate() {
                if room[*unit] > 0 {
                    let mut amount = most.min(room[*unit]);
                    let mut back = at;
                    while let Some((before, _, own)) = from[back] {
                        amount = amount.min(laid[back][own]);
                        back = before;
                    }
                    room[*unit] -= amount;
                    laid[at][place] += amount;
                    let mut back = at;
                    while let Some((before, theirs, own)) = from[back] {
                        laid[back][own] -= amount;
                        laid[before][theirs] += amount;
                        back = before;
                    }
                    return amount;
                }
                for other in 0..self.joined.len() {
                    let own = self.joined[other].units.iter().position(|u| u == unit);
                    if let Some(own) = own.filter(|own| !reached[other] && laid[other][*own] > 0) {
                        reached[other] = true;
                        from[other] = Some((at, place, own));
                        queue.push(other);
                    }
                }
            }
        }
        0
    }

    /// A whole plan: its cost, and the plan if it is the best.
    fn finish(&mut self) {
        let many = self.units.len();
        let spared: Vec<Vec<usize>> = match self.shape.has_worth() && !self.joined.is_empty() {
            false => vec![Vec::new()],
            true if many <= 4 => orders(many),
            true => (0..many).map(|at| vec![at]).collect(),
        };
        let mut cheapest = i64::MAX;
        for spared in spared {
            let Some(laid) = self.flow(&spared) else { continue };
            let mut units: Vec<Unit> = self
                .units
                .iter()
                .map(|unit| Unit {
                    kind: unit.kind,
                    pieces: unit.whole.iter().map(|item| (*item, self.shape.items[*item].size)).collect(),
                })
                .collect();
            for (run, laid) in self.joined.iter().zip(&laid) {
                for (unit, beyond) in run.units.iter().zip(laid) {
                    units[*unit].pieces.push((run.item, self.shape.least + beyond));
                }
            }
            let units = self.shape.priced(units);
            cheapest = cheapest.min(units.cost);
            if units.cost < self.best.cost {
                *self.best = units;
            }
        }
        if self.shape.has_worth() && !self.joined.is_empty() {
            let least =
                self.price + self.shape.joint_cost * self.joints - best_worth(self.shape, &self.counts, self.free());
            if least < cheapest.min(self.best.cost) {
                self.open = self.open.min(least);
            }
        }
    }
}

/// All orders of so many things.
fn orders(many: usize) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = vec![Vec::new()];
    for thing in 0..many {
        all = all
            .iter()
            .flat_map(|order| {
                (0..=order.len()).map(move |at| {
                    let mut more = order.clone();
                    more.insert(at, thing);
                    more
                })
            })
            .collect();
    }
    all
}
