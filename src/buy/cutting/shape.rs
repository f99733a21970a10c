//! A problem made uniform for the searches: kerf folded into the lengths, kinds that never pay left out, runs sorted.
//!
//! With a kerf `k`, pieces fit a unit when their sum and `k` for each but the last is at most its length: the same as
//! lengths grown by `k` in a unit grown by `k`. All sizes below are grown so.

use super::{Cut, DEAREST, Form, LONGEST, Piece, Plan, Problem};
use std::cmp::Reverse;

/// A kind of unit.
#[derive(Debug, Clone)]
pub(super) struct Kind {
    pub stock: usize,
    pub form: Form,
    pub cap: i64,
    pub price: i64,
    worth: i64,
    pub available: Option<u32>,
}

/// A run.
#[derive(Debug, Clone)]
pub(super) struct Item {
    pub run: usize,
    pub size: i64,
    /// May be joined from pieces, and is long enough for two.
    pub split: bool,
    pub form: Option<Form>,
    /// Joints that it needs because no unit is long enough for it.
    pub forced: i64,
}

pub(super) struct Shape {
    pub kinds: Vec<Kind>,
    /// The longest first; of equal sizes the ones that may be joined last.
    pub items: Vec<Item>,
    pub unmet: Vec<usize>,
    pub kerf: i64,
    /// The shortest piece of a joined run, grown.
    pub least: i64,
    pub joint_cost: i64,
    usable: i64,
}

/// What is cut from one unit: (item, grown size), in order.
#[derive(Debug, Clone)]
pub(super) struct Unit {
    pub kind: usize,
    pub pieces: Vec<(usize, i64)>,
}

/// A plan in the making.
#[derive(Debug, Clone)]
pub(super) struct Units {
    pub units: Vec<Unit>,
    pub cost: i64,
}

/// Steps that are left.
pub(super) struct Meter {
    pub left: u64,
}

impl Meter {
    pub(crate) fn new(steps: u64) -> Self {
        Self { left: steps }
    }

    /// Takes steps; false when there are none left.
    pub(crate) fn spend(&mut self, steps: u64) -> bool {
        self.left = self.left.saturating_sub(steps.max(1));
        self.left > 0
    }
}

impl Shape {
    /// The part of a problem that is cut from one form, or all of it.
    pub(crate) fn new(problem: &Problem, form: Option<Form>) -> Self {
        let kerf = problem.kerf.clamp(0, LONGEST);
        let mut shape = Self {
            kinds: Vec::new(),
            items: Vec::new(),
            unmet: Vec::new(),
            kerf,
            least: problem.shortest_piece.clamp(1, LONGEST) + kerf,
            joint_cost: problem.joint_cost.clamp(0, DEAREST),
            usable: problem.usable.max(1),
        };
        for (stock, unit) in problem.stock.iter().enumerate() {
            let sound = (1..=LONGEST).contains(&unit.length) && (0..=DEAREST).contains(&unit.price);
            if sound && unit.available != Some(0) && form.is_none_or(|form| form == unit.form) {
                let (cap, price, worth) = (unit.length + kerf, unit.price, unit.worth.clamp(0, unit.price));
                shape.kinds.push(Kind { stock, form: unit.form, cap, price, worth, available: unit.available });
            }
        }
        // Of kinds alike in form and length only the cheapest is ever bought.
        let kinds = shape.kinds.clone();
        let better = |a: &Kind, b: &Kind| {
            (a.price, a.price - a.worth, a.stock) < (b.price, b.price - b.worth, b.stock)
                && a.price - a.worth <= b.price - b.worth
        };
        shape.kinds.retain(|kind| {
            kind.available.is_some()
                || !kinds.iter().any(|other| {
                    other.available.is_none() && other.form == kind.form && other.cap == kind.cap && better(other, kind)
                })
        });
        for (index, run) in problem.runs.iter().enumerate() {
            if run.length <= 0 || (form.is_some() && run.form != form) {
                continue;
            }
            if run.length > LONGEST {
                shape.unmet.push(index);
                continue;
            }
            let size = run.length + kerf;
            let split = run.joints && size + kerf >= 2 * shape.least;
            let mut item = Item { run: index, size, split, form: run.form, forced: 0 };
            let longest = shape.kinds.iter().filter(|kind| takes(kind, &item)).map(|kind| kind.cap).max();
            match longest {
                Some(longest) if size <= longest => shape.items.push(item),
                // Each piece is grown by the kerf: `n` pieces hold `n` caps less what their cuts take.
                Some(longest) if split && longest >= shape.least && longest > kerf => {
                    item.forced = (size - kerf + (longest - kerf) - 1) / (longest - kerf) - 1;
                    shape.items.push(item);
                }
                _ => shape.unmet.push(index),
            }
        }
        shape.items.sort_by_key(|item| (Reverse(item.size), item.split, item.form, item.run));
        shape
    }

    pub(crate) fn takes(&self, kind: usize, item: usize) -> bool {
        takes(&self.kinds[kind], &self.items[item])
    }

    /// What is left behind the last cut of a unit with this much room.
    pub(crate) fn left(&self, room: i64) -> i64 {
        (room - self.kerf).max(0)
    }

    /// The worth of what is left in a unit with this much room.
    pub(crate) fn worth(&self, kind: usize, room: i64) -> i64 {
        let left = self.left(room);
        if left < self.usable {
            return 0;
        }
        let kind = &self.kinds[kind];
        // At most ten million dollars times two miles, which fits.
        kind.worth * left / (kind.cap - self.kerf)
    }

    pub(crate) fn has_worth(&self) -> bool {
        self.kinds.iter().any(|kind| kind.worth > 0)
    }

    /// Grown length of all runs.
    pub(crate) fn total(&self) -> i64 {
        self.items.iter().map(|item| item.size).sum()
    }

    /// Joints that the runs longer than any stock need.
    pub(crate) fn forced(&self) -> i64 {
        self.items.iter().map(|item| item.forced).sum()
    }

    pub(crate) fn room(&self, unit: &Unit) -> i64 {
        self.kinds[unit.kind].cap - unit.pieces.iter().map(|(_, size)| size).sum::<i64>()
    }

    /// Units without those that nothing is cut from, and their cost.
    pub(crate) fn priced(&self, mut units: Vec<Unit>) -> Units {
        units.retain(|unit| !unit.pieces.is_empty());
        let stock: i64 =
            units.iter().map(|unit| self.kinds[unit.kind].price - self.worth(unit.kind, self.room(unit))).sum();
        let pieces: usize = units.iter().map(|unit| unit.pieces.len()).sum();
        let joints = pieces as i64 - self.items.len() as i64;
        Units { units, cost: stock + self.joint_cost * joints }
    }

    pub(crate) fn plan(&self, units: Units) -> Plan {
        let mut plan = Plan::nothing();
        let mut pieces = 0;
        for mut unit in units.units {
            // The longest first, as one cuts.
            unit.pieces.sort_by_key(|(item, size)| (Reverse(*size), *item));
            let room = self.room(&unit);
            let (left, worth) = (self.left(room), self.worth(unit.kind, room));
            let kind = &self.kinds[unit.kind];
            let cut: Vec<Piece> = unit
                .pieces
                .iter()
                .map(|(item, size)| Piece { run: self.items[*item].run, length: size - self.kerf })
                .collect();
            let used: i64 = cut.iter().map(|piece| piece.length).sum();
            pieces += cut.len();
            plan.stock_cost += kind.price;
            plan.worth += worth;
            let kerf = kind.cap - self.kerf - used - left;
            plan.cuts.push(Cut { stock: kind.stock, pieces: cut, kerf, left, worth });
        }
        plan.joints = (pieces - self.items.len()) as u32;
        plan.joint_cost = self.joint_cost * i64::from(plan.joints);
        plan.cost = plan.stock_cost + plan.joint_cost - plan.worth;
        plan
    }
}

fn takes(kind: &Kind, item: &Item) -> bool {
    item.form.is_none_or(|form| form == kind.form)
}
