//! Which lines the take-off has: what is needed, and what could be at other sizes.

use super::{Context, Item, fits};
use crate::model::{Job, Price, Size, same_folded};
use crate::parts::{Count, is_ring, ring_kind};
use crate::rules::{INSULATION, Rank, SUPPORT};
use std::collections::{BTreeMap, BTreeSet};

/// Items by the order of the lines: what is needed first, then what is priced and could be needed at other sizes.
pub(super) fn items(context: &Context) -> (Vec<Item>, Vec<Item>) {
    let counts: &[Count] = &context.parts.counts;
    let mut items = Items { context, needed: BTreeMap::new(), idle: BTreeMap::new() };
    for count in counts {
        if count.quantity.value().as_f64() != 0.0 {
            items.needed.insert(count.item.rank(), count.item.clone());
            for item in count.ends.iter().filter_map(|end| ring_of(context.job, &end.value().to_string())) {
                items.needed.insert(item.rank(), item);
            }
        } else if !context.rules.is_sized(&count.item) {
            items.idle.insert(count.item.rank(), count.item.clone());
        }
    }
    items.offered();
    items.of_own_pipe();
    items.of_any_run();
    items.idle.retain(|rank, _| !items.needed.contains_key(rank));
    (items.needed.into_values().collect(), items.idle.into_values().collect())
}

struct Items<'a> {
    context: &'a Context<'a>,
    needed: BTreeMap<Rank, Item>,
    /// What could be needed at other sizes.
    idle: BTreeMap<Rank, Item>,
}

impl Items<'_> {
    fn consider(&mut self, item: Item) {
        if item.kind == "manifold port" && !self.context.parts.has_manifold {
            return;
        }
        let of_ours = || ring_kind(self.context.job, &item.material) == Some(&*item.kind);
        if !self.needed.contains_key(&item.rank()) && (!is_ring(&item) || of_ours()) {
            self.idle.insert(item.rank(), item);
        }
    }

    /// What Prices offers for pipe of the job.
    fn offered(&mut self) {
        let context = self.context;
        let counts: &[Count] = &context.parts.counts;
        // What says how it joins could be needed with the same ends at other sizes.
        let mut said: BTreeMap<(&str, &str), BTreeSet<&str>> = BTreeMap::new();
        for item in counts.iter().map(|count| &count.item).filter(|item| !item.ends.is_empty()) {
            said.entry((&item.kind, &item.material)).or_default().insert(&item.ends);
        }
        let mut with_ends = |item: Item, price: &Price| match said.get(&(&*item.kind, &*item.material)) {
            Some(all) => {
                let each = all.iter().map(|ends| item.clone().with_ends(ends));
                each.filter(|item| fits(context.rules, item, price)).for_each(|item| self.consider(item));
            }
            None => self.consider(item),
        };
        let own: BTreeSet<&str> = context.parts.new_pipe.iter().map(|material| &**material).collect();
        // Old pipe takes only what it is counted for: a cap, an adapter.
        let counted: BTreeSet<(&str, &str)> =
            counts.iter().map(|count| (count.item.kind.as_str(), count.item.material.as_str())).collect();
        let known: BTreeSet<&str> = own.iter().copied().chain(counted.iter().map(|(_, material)| *material)).collect();
        for price in &context.job.prices {
            let sizes = price.sizes.get().unwrap_or_default();
            // A row without a material offers the thing for every one.
            let offered = price.material.as_ref().map(|m| &**m).filter(|m| !m.trim().is_empty());
            let offered = offered.map(|m| context.rules.canonical_material(m).unwrap_or(m));
            let fitting = known
                .iter()
                .filter(|material| !material.is_empty() && offered.is_none_or(|m| same_folded(m, material)));
            fitting
                .filter_map(|material| Item::offered(context.rules, &price.kind.value, material, &sizes))
                .filter(|item| own.contains(&*item.material) || counted.contains(&(&*item.kind, &*item.material)))
                .for_each(|item| with_ends(item, price));
            // What is one thing for pipe of any material does not ask whose it is.
            let any_material =
                |item: &Item| context.rules.part_kind(&item.kind).is_some_and(|kind| kind.is_of_any_material);
            let of_any = Item::offered(context.rules, &price.kind.value, "", &sizes).filter(any_material);
            of_any.into_iter().for_each(|item| with_ends(item, price));
        }
    }

    /// Pipe of a size that nobody offers has its lines too: they say that there is no price, and carry its work.
    fn of_own_pipe(&mut self) {
        let parts = self.context.parts;
        let counted = |kind| parts.counts.iter().filter(move |count| count.item.kind == kind);
        let [supports, insulation] =
            [SUPPORT, INSULATION].map(|kind| counted(kind).map(|count| &*count.item.ends).collect::<BTreeSet<&str>>());
        for pipe in parts.new_pipe.iter().flat_map(|material| self.context.rules.pipes_of(material)) {
            self.consider(Item::new("pipe", &pipe.material, &[pipe.size]));
            for (kind, material, each) in [(SUPPORT, &*pipe.material, &supports), (INSULATION, "", &insulation)] {
                for ends in each {
                    self.consider(Item::new(kind, material, &[pipe.size]).with_ends(ends));
                }
            }
        }
    }

    /// What takes the size of its run has a line for every size that the run may be given.
    fn of_any_run(&mut self) {
        let parts = self.context.parts;
        let follows = |count: &&Count| count.follows_a_size() && !self.context.rules.is_sized(&count.item);
        let following: BTreeSet<[&str; 3]> = parts
            .counts
            .iter()
            .filter(follows)
            .map(|Count { item, .. }| [&*item.kind, &*item.material, &*item.ends])
            .collect();
        for [kind, material, ends] in following {
            let pipes = parts.pipe.iter().flat_map(|pipe| self.context.rules.pipes_of(pipe));
            pipes.for_each(|pipe| self.consider(Item::new(kind, material, &[pipe.size]).with_ends(ends)));
        }
    }
}

fn ring_of(job: &Job, pipe_key: &str) -> Option<Item> {
    let (material, size) = pipe_key.rsplit_once(' ')?;
    Some(Item::new(ring_kind(job, material)?, material, &[Size::parse(size)?]))
}
