//! First plans: the longest run first, into the first unit or the fullest that takes it.

use super::shape::{Meter, Shape, Unit, Units};

/// Which open unit takes a run.
#[derive(Clone, Copy)]
enum Fit {
    First,
    Fullest,
}

/// The best of all first plans. Runs that the stock there is cannot serve are moved to `unmet`.
pub(super) fn all(shape: &mut Shape, meter: &mut Meter) -> Units {
    let mut best: Option<Units> = None;
    loop {
        let mut stuck = None;
        for prefer in std::iter::once(None).chain((0..shape.kinds.len()).map(Some)) {
            for fit in [Fit::First, Fit::Fullest] {
                meter.spend(shape.items.len() as u64 * 10);
                match one(shape, prefer, fit) {
                    Ok(units) => {
                        let units = shape.priced(units);
                        if best.as_ref().is_none_or(|best| units.cost < best.cost) {
                            best = Some(units);
                        }
                    }
                    Err(item) => stuck = Some(item),
                }
            }
        }
        match (best.take(), stuck) {
            (Some(best), _) => return best,
            (None, Some(item)) => {
                let out = shape.items.remove(item);
                shape.unmet.push(out.run);
            }
            (None, None) => return Units { units: Vec::new(), cost: 0 },
        }
        if shape.items.is_empty() {
            return Units { units: Vec::new(), cost: 0 };
        }
    }
}

/// One plan; the item that no unit is left for, if any.
fn one(shape: &Shape, prefer: Option<usize>, fit: Fit) -> Result<Vec<Unit>, usize> {
    let mut units: Vec<Unit> = Vec::new();
    let mut rooms: Vec<i64> = Vec::new();
    let mut stock: Vec<u32> = shape.kinds.iter().map(|kind| kind.available.unwrap_or(u32::MAX)).collect();
    // What is on hand and costs nothing lies ready.
    for (kind, of) in shape.kinds.iter().enumerate().filter(|(_, of)| of.price == 0 && of.available.is_some()) {
        for _ in 0..stock[kind].min(shape.items.len() as u32) {
            units.push(Unit { kind, pieces: Vec::new() });
            rooms.push(of.cap);
        }
        stock[kind] = 0;
    }
    for item in 0..shape.items.len() {
        let mut size = shape.items[item].size;
        loop {
            let fits = |at: &usize| rooms[*at] >= size && shape.takes(units[*at].kind, item);
            let open = match fit {
                Fit::First => (0..units.len()).find(fits),
                Fit::Fullest => (0..units.len()).filter(fits).min_by_key(|at| rooms[*at]),
            };
            if let Some(at) = open {
                units[at].pieces.push((item, size));
                rooms[at] -= size;
                break;
            }
            let there = |kind: &usize| stock[*kind] > 0 && shape.takes(*kind, item);
            let whole = |kind: &usize| there(kind) && shape.kinds[*kind].cap >= size;
            let fresh = prefer
                .filter(whole)
                .or_else(|| (0..shape.kinds.len()).filter(whole).min_by_key(|kind| shape.kinds[*kind].price));
            if let Some(kind) = fresh {
                stock[kind] -= 1;
                units.push(Unit { kind, pieces: vec![(item, size)] });
                rooms.push(shape.kinds[kind].cap - size);
                break;
            }
            // No unit takes it whole: the longest takes a piece, and the rest looks on.
            let split = shape.items[item].split && size + shape.kerf >= 2 * shape.least;
            let long = (0..shape.kinds.len()).filter(there).max_by_key(|kind| {
                (shape.kinds[*kind].cap, prefer == Some(*kind), std::cmp::Reverse(shape.kinds[*kind].price))
            });
            let Some(kind) = long.filter(|kind| split && shape.kinds[*kind].cap >= shape.least) else {
                return Err(item);
            };
            let piece = shape.kinds[kind].cap.min(size + shape.kerf - shape.least);
            stock[kind] -= 1;
            units.push(Unit { kind, pieces: vec![(item, piece)] });
            rooms.push(shape.kinds[kind].cap - piece);
            size += shape.kerf - piece;
        }
    }
    units.retain(|unit| !unit.pieces.is_empty());
    downsize(shape, &mut units, &mut stock);
    Ok(units)
}

/// Puts each unit's pieces into the cheapest kind that holds them.
fn downsize(shape: &Shape, units: &mut [Unit], stock: &mut [u32]) {
    for unit in units {
        let load = shape.kinds[unit.kind].cap - shape.room(unit);
        let net = |kind: usize| shape.kinds[kind].price - shape.worth(kind, shape.kinds[kind].cap - load);
        let holds = |kind: &usize| {
            (stock[*kind] > 0 || *kind == unit.kind)
                && shape.kinds[*kind].cap >= load
                && unit.pieces.iter().all(|(item, _)| shape.takes(*kind, *item))
        };
        let cheapest = (0..shape.kinds.len()).filter(holds).min_by_key(|kind| net(*kind)).unwrap_or(unit.kind);
        if cheapest != unit.kind && net(cheapest) < net(unit.kind) {
            stock[cheapest] -= 1;
            stock[unit.kind] = stock[unit.kind].saturating_add(1);
            unit.kind = cheapest;
        }
    }
}
