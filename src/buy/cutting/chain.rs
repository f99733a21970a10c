//! A group cut: its units laid end to end, its runs laid along them, a run cut where a unit ends.
//!
//! Any order of units and runs will do where there is length to spare; where there is little, the search tries orders
//! until no piece is too short. Early units are filled, so that what is left over is left in one piece, on the unit
//! where it is worth most.

use super::shape::{Meter, Shape, Unit};

/// Steps that one group may take.
const STEPS: u64 = 20_000;
/// Runs and units of a group beyond which the search would nest too deep.
const DEPTH: usize = 1_500;

struct Search<'a> {
    shape: &'a Shape,
    /// Kinds of units not yet laid, the last to be laid first.
    kinds: Vec<usize>,
    /// Runs not yet laid, the longest first.
    items: Vec<usize>,
    units: Vec<Unit>,
    room: i64,
    /// Length that may still be lost at the ends of units.
    spare: i64,
    steps: u64,
}

/// The runs cut from units of these kinds; `None` when no way was found.
pub(super) fn cut(shape: &Shape, kinds: &[usize], items: &[usize], meter: &mut Meter) -> Option<Vec<Unit>> {
    let cap: i64 = kinds.iter().map(|kind| shape.kinds[*kind].cap).sum();
    let need: i64 = items.iter().map(|item| shape.items[*item].size).sum();
    if cap < need || items.is_empty() || (kinds.len() > 1 && kinds.len() + items.len() > DEPTH) {
        return None;
    }
    let mut kinds = kinds.to_vec();
    if let [kind] = kinds[..] {
        let fits = items.iter().all(|item| shape.takes(kind, *item));
        let pieces = items.iter().map(|item| (*item, shape.items[*item].size)).collect();
        return fits.then(|| vec![Unit { kind, pieces }]);
    }
    // The unit whose left-over is worth most comes last, so it stands first here.
    kinds.sort_by_key(|kind| {
        let whole = shape.kinds[*kind].cap;
        std::cmp::Reverse((shape.worth(*kind, whole) * 1_000_000 / whole, whole, *kind))
    });
    let mut items = items.to_vec();
    items.sort_unstable();
    let steps = STEPS.min(meter.left);
    let mut search = Search { shape, kinds, items, units: Vec::new(), room: 0, spare: cap - need, steps };
    let found = search.open(None);
    meter.spend(steps - search.steps);
    found.then_some(search.units)
}

impl Search<'_> {
    /// Lays the next unit, and on it first what is left of a run that the last one cut.
    fn open(&mut self, rest: Option<(usize, i64)>) -> bool {
        if self.items.is_empty() && rest.is_none() {
            return true;
        }
        if self.steps == 0 {
            return false;
        }
        self.steps -= 1;
        let mut tried = None;
        for at in (0..self.kinds.len()).rev() {
            let kind = self.kinds[at];
            if tried == Some(kind) || rest.is_some_and(|(item, _)| !self.shape.takes(kind, item)) {
                continue;
            }
            tried = Some(kind);
            self.kinds.remove(at);
            self.units.push(Unit { kind, pieces: Vec::new() });
            let before = self.room;
            self.room = self.shape.kinds[kind].cap;
            let done = match rest {
                Some((item, size)) if size <= self.room => {
                    self.lay(item, size);
                    self.fill() || {
                        self.lift(size);
                        false
                    }
                }
                Some((item, size)) => self.sever(item, size),
                None => self.fill(),
            };
            if done {
                return true;
            }
            self.room = before;
            self.units.pop();
            self.kinds.insert(at, kind);
        }
        false
    }

    fn lay(&mut self, item: usize, size: i64) {
        self.room -= size;
        if let Some(unit) = self.units.last_mut() {
            unit.pieces.push((item, size));
        }
    }

    fn lift(&mut self, size: i64) {
        self.room += size;
        if let Some(unit) = self.units.last_mut() {
            unit.pieces.pop();
        }
    }

    /// Goes on along the open unit.
    fn fill(&mut self) -> bool {
        if self.items.is_empty() {
            return true;
        }
        if self.steps == 0 {
            return false;
        }
        self.steps -= 1;
        let kind = self.units.last().map_or(0, |unit| unit.kind);
        let mut last = (0, false);
        for at in 0..self.items.len() {
            let item = self.items[at];
            let of = &self.shape.items[item];
            if (of.size, of.split) == last || of.size > self.room || !self.shape.takes(kind, item) {
                continue;
            }
            last = (of.size, of.split);
            let size = of.size;
            self.items.remove(at);
            self.lay(item, size);
            if self.fill() {
                return true;
            }
            self.lift(size);
            self.items.insert(at, item);
        }
        last = (0, false);
        for at in 0..self.items.len() {
            let item = self.items[at];
            let of = &self.shape.items[item];
            if !of.split || (of.size, of.split) == last || !self.shape.takes(kind, item) {
                continue;
            }
            last = (of.size, of.split);
            let size = of.size;
            self.items.remove(at);
            if self.sever(item, size) {
                return true;
            }
            self.items.insert(at, item);
        }
        // Nothing is cut here: what is left of the unit is lost.
        let lost = self.room;
        if lost > self.spare {
            return false;
        }
        self.spare -= lost;
        let done = self.open(None);
        self.spare += lost;
        done
    }

    /// Cuts a run at the end of the open unit, both pieces long enough, and goes on along the next.
    fn sever(&mut self, item: usize, size: i64) -> bool {
        let (kerf, least) = (self.shape.kerf, self.shape.least);
        let piece = self.room.min(size + kerf - least);
        let lost = self.room - piece + kerf;
        if piece < least || !self.shape.items[item].split || lost > self.spare {
            return false;
        }
        self.spare -= lost;
        self.lay(item, piece);
        if self.open(Some((item, size + kerf - piece))) {
            return true;
        }
        self.lift(piece);
        self.spare += lost;
        false
    }
}
