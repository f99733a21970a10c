//! Runs packed whole into bins, a bin being one unit or several laid end to end.
//!
//! The longest run left goes into some bin: for each size of bin, the runs that fill it up with it are searched, the
//! fullest first. What may be lost in all bins together is known, so a bin that would lose more is never tried; tables
//! of the sums that the shorter runs can reach leave out all that cannot be filled.

use super::shape::{Meter, Shape};
use std::collections::HashSet;

/// A bin: so many units of each kind, end to end.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Bin {
    /// Kinds of its units.
    pub kinds: Vec<usize>,
}

pub(super) enum Packing {
    /// The items in each bin.
    Found(Vec<Vec<usize>>),
    /// There is none.
    Impossible,
    /// None was found; there may be one.
    Unknown,
}

struct BinClass {
    bins: Vec<usize>,
    cap: i64,
    longest: i64,
    kind: usize,
}

struct ItemClass {
    items: Vec<usize>,
    size: i64,
}

/// Item classes with numbers.
type Filling = Vec<(usize, u16)>;

struct Search<'a> {
    shape: &'a Shape,
    bins: Vec<BinClass>,
    classes: Vec<ItemClass>,
    meter: &'a mut Meter,
    complete: bool,
    /// What has been found not to go.
    failed: HashSet<Box<[u16]>>,
    /// By depth: bin class, and what is in it.
    chosen: Vec<(usize, Filling)>,
}

/// Bins and runs beyond which the search would nest too deep.
const DEPTH: usize = 1_500;

pub(super) fn pack(shape: &Shape, bins: &[Bin], meter: &mut Meter) -> Packing {
    if bins.len() > DEPTH || shape.items.len() > DEPTH {
        return Packing::Unknown;
    }
    let mut classes: Vec<BinClass> = Vec::new();
    let mut known: Vec<&Bin> = Vec::new();
    for (index, bin) in bins.iter().enumerate() {
        if let Some(at) = known.iter().position(|other| *other == bin) {
            classes[at].bins.push(index);
            continue;
        }
        known.push(bin);
        let caps = bin.kinds.iter().map(|kind| shape.kinds[*kind].cap);
        classes.push(BinClass {
            bins: vec![index],
            // Each place where two units meet may cut a run, and its two pieces are grown by the kerf.
            cap: caps.clone().sum::<i64>() - shape.kerf * (bin.kinds.len() as i64 - 1),
            longest: caps.max().unwrap_or(0),
            kind: bin.kinds.first().copied().unwrap_or(0),
        });
    }
    classes.sort_by_key(|class| class.cap);
    let mut items: Vec<ItemClass> = Vec::new();
    for (index, item) in shape.items.iter().enumerate() {
        let alike = items.last().and_then(|class| class.items.first()).is_some_and(|first| {
            let first = &shape.items[*first];
            (first.size, first.split, first.form) == (item.size, item.split, item.form)
        });
        match items.last_mut() {
            Some(class) if alike => class.items.push(index),
            _ => items.push(ItemClass { items: vec![index], size: item.size }),
        }
    }
    let counts: Vec<u16> = items.iter().map(|class| class.items.len() as u16).collect();
    let free: Vec<u16> = classes.iter().map(|class| class.bins.len() as u16).collect();
    let waste = classes.iter().map(|class| class.cap * class.bins.len() as i64).sum::<i64>() - shape.total();
    if waste < 0 {
        return Packing::Impossible;
    }
    let mut search = Search {
        shape,
        bins: classes,
        classes: items,
        meter,
        complete: true,
        failed: HashSet::new(),
        chosen: Vec::new(),
    };
    if search.go(&counts, &free, waste) {
        return Packing::Found(search.packed(bins.len()));
    }
    if search.complete { Packing::Impossible } else { Packing::Unknown }
}

impl Search<'_> {
    fn packed(&self, bins: usize) -> Vec<Vec<usize>> {
        let mut packed = vec![Vec::new(); bins];
        let mut next_item = vec![0; self.classes.len()];
        let mut next_bin = vec![0; self.bins.len()];
        for (bin, filling) in &self.chosen {
            let into = &mut packed[self.bins[*bin].bins[next_bin[*bin]]];
            next_bin[*bin] += 1;
            for (class, count) in filling {
                let from = next_item[*class];
                next_item[*class] += usize::from(*count);
                into.extend(&self.classes[*class].items[from..next_item[*class]]);
            }
        }
        packed
    }

    fn takes(&self, bin: usize, class: usize) -> bool {
        let item = self.classes[class].items[0];
        let bin = &self.bins[bin];
        self.shape.takes(bin.kind, item) && (self.shape.items[item].split || self.shape.items[item].size <= bin.longest)
    }

    fn go(&mut self, counts: &[u16], free: &[u16], waste: i64) -> bool {
        let Some(first) = counts.iter().position(|count| *count > 0) else { return true };
        if self.meter.left == 0 {
            self.complete = false;
            return false;
        }
        let size = self.classes[first].size;
        // The last bin takes all or it does not go.
        if free.iter().map(|count| usize::from(*count)).sum::<usize>() == 1 {
            self.meter.spend(counts.len() as u64);
            let Some(bin) = free.iter().position(|count| *count > 0) else { return false };
            let rest: Vec<(usize, u16)> =
                (first..counts.len()).filter(|c| counts[*c] > 0).map(|c| (c, counts[c])).collect();
            let sum: i64 = rest.iter().map(|(class, count)| self.classes[*class].size * i64::from(*count)).sum();
            if sum > self.bins[bin].cap || rest.iter().any(|(class, _)| !self.takes(bin, *class)) {
                return false;
            }
            self.chosen.push((bin, rest));
            return true;
        }
        let key: Box<[u16]> = counts.iter().chain(free).copied().collect();
        if self.failed.contains(&key) {
            return false;
        }
        let complete_before = std::mem::replace(&mut self.complete, true);
        for bin in 0..self.bins.len() {
            let cap = self.bins[bin].cap;
            if free[bin] == 0 || cap < size || !self.takes(bin, first) {
                continue;
            }
            let mut rest = counts.to_vec();
            rest[first] -= 1;
            let mut fewer = free.to_vec();
            fewer[bin] -= 1;
            let (fillings, all) = self.fillings(bin, &rest, cap - size, waste);
            self.complete &= all;
            for (lost, mut filling) in fillings {
                let mut left = rest.clone();
                filling.iter().for_each(|(class, count)| left[*class] -= count);
                match filling.iter_mut().find(|(class, _)| *class == first) {
                    Some((_, count)) => *count += 1,
                    None => filling.insert(0, (first, 1)),
                }
                self.chosen.push((bin, filling));
                if self.go(&left, &fewer, waste - lost) {
                    return true;
                }
                self.chosen.pop();
                if self.meter.left == 0 {
                    self.complete = false;
                    return false;
                }
            }
        }
        if self.complete && self.failed.len() < 200_000 {
            self.failed.insert(key);
        }
        self.complete &= complete_before;
        false
    }

    /// Ways to fill the room in a bin, the fullest first, with what each loses. False when there are more.
    fn fillings(&mut self, bin: usize, counts: &[u16], room: i64, waste: i64) -> (Vec<(i64, Filling)>, bool) {
        let usable: Vec<usize> = (0..counts.len())
            .filter(|class| counts[*class] > 0 && self.classes[*class].size <= room && self.takes(bin, *class))
            .collect();
        let words = room as usize / 64 + 1;
        // Sums that the classes from each on can reach.
        let mut reach = vec![vec![0u64; words]; usable.len() + 1];
        reach[usable.len()][0] = 1;
        for at in (0..usable.len()).rev() {
            let size = self.classes[usable[at]].size as usize;
            let (head, tail) = reach.split_at_mut(at + 1);
            head[at].copy_from_slice(&tail[0]);
            for _ in 0..usize::from(counts[usable[at]]).min(room as usize / size) {
                shift_in(&mut head[at], size, room as usize);
            }
            self.meter.spend(words as u64 / 16 * u64::from(counts[usable[at]].min(4)));
        }
        let reaches = |at: usize, sum: i64| reach[at][sum as usize / 64] >> (sum % 64) & 1 == 1;
        let many = counts.iter().map(|count| usize::from(*count)).sum::<usize>();
        let mut walk = Walk {
            classes: &self.classes,
            usable: &usable,
            counts,
            reaches: &reaches,
            limit: if many < 18 { 4000 } else { 24 },
            steps: 0,
            lost: 0,
            stack: Vec::new(),
            found: Vec::new(),
        };
        for lost in (0..=waste.min(room)).filter(|lost| reaches(0, room - lost)) {
            (walk.lost, walk.steps) = (lost, 0);
            let all = walk.down(0, room - lost);
            self.meter.spend(walk.steps / 8);
            if !all {
                return (walk.found, false);
            }
        }
        (walk.found, true)
    }
}

struct Walk<'a> {
    classes: &'a [ItemClass],
    usable: &'a [usize],
    counts: &'a [u16],
    reaches: &'a dyn Fn(usize, i64) -> bool,
    limit: usize,
    steps: u64,
    /// What the fillings lose that are looked for now.
    lost: i64,
    /// The filling so far.
    stack: Filling,
    found: Vec<(i64, Filling)>,
}

impl Walk<'_> {
    /// All ways to make a sum from the classes from `at` on, many of the longest first. False when there are too many.
    fn down(&mut self, at: usize, sum: i64) -> bool {
        self.steps += 1;
        if sum == 0 {
            if self.found.len() >= self.limit {
                return false;
            }
            self.found.push((self.lost, self.stack.clone()));
            return true;
        }
        // A sum above 0 cannot be reached from no classes, so `at` is in range here.
        let class = self.usable[at];
        let size = self.classes[class].size;
        let most = (sum / size).min(i64::from(self.counts[class]));
        for count in (0..=most).rev() {
            let rest = sum - count * size;
            if !(self.reaches)(at + 1, rest) {
                continue;
            }
            if count > 0 {
                self.stack.push((class, count as u16));
            }
            let go_on = self.down(at + 1, rest);
            if count > 0 {
                self.stack.pop();
            }
            if !go_on {
                return false;
            }
        }
        true
    }
}

/// Adds `size` to every sum, up to `most`.
fn shift_in(bits: &mut [u64], size: usize, most: usize) {
    let (words, shift) = (size / 64, size % 64);
    for at in (words..bits.len()).rev() {
        let mut moved = bits[at - words] << shift;
        if shift > 0 && at > words {
            moved |= bits[at - words - 1] >> (64 - shift);
        }
        bits[at] |= moved;
    }
    if let Some(last) = bits.last_mut() {
        let used = most % 64;
        if used < 63 {
            *last &= (1u64 << (used + 1)) - 1;
        }
    }
}
