//! Which lines the take-off has: what is needed, and what could be at other sizes.

use super::{Context, Item, fits};
use crate::model::{Price, Size};
use crate::parts::{Count, is_ring, ring_kind};
use std::collections::{BTreeMap, BTreeSet};

/// Items by the order of the lines: what is needed first, then what is priced and could be needed at other sizes.
pub(super) fn items(context: &Context) -> (Vec<Item>, Vec<Item>) {
    let counts: &[Count] = &context.parts.counts;
    let mut needed: BTreeMap<_, Item> = BTreeMap::new();
    let mut idle: BTreeMap<_, Item> = BTreeMap::new();
    let ring = ring_kind(context.job);
    for count in counts {
        if count.quantity.value().as_f64() != 0.0 {
            needed.insert(count.item.rank(), count.item.clone());
            for item in count.ends.iter().filter_map(|end| ring_of(ring, &end.value().to_string())) {
                needed.insert(item.rank(), item);
            }
        } else if !count.item.is_sized() {
            idle.insert(count.item.rank(), count.item.clone());
        }
    }
    let mut consider = |item: Item| {
        if item.kind == "manifold port" && !context.parts.has_manifold {
            return;
        }
        if !needed.contains_key(&item.rank()) && (!is_ring(&item) || (item.kind == ring && item.material == "PEX")) {
            idle.insert(item.rank(), item);
        }
    };
    // What says how it joins could be needed with the same ends at other sizes.
    let mut said: BTreeMap<(&str, &str), BTreeSet<&str>> = BTreeMap::new();
    for item in counts.iter().map(|count| &count.item).filter(|item| !item.ends.is_empty()) {
        said.entry((&item.kind, &item.material)).or_default().insert(&item.ends);
    }
    let mut with_ends = |item: Item, price: &Price| match said.get(&(&*item.kind, &*item.material)) {
        Some(all) => {
            let each = all.iter().map(|ends| item.clone().with_ends(ends));
            each.filter(|item| fits(context.rules, item, price)).for_each(&mut consider);
        }
        None => consider(item),
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
        let offered = offered.map(|m| context.rules.canonical_material(m).unwrap_or_default());
        let fitting = known.iter().filter(|material| !material.is_empty() && offered.is_none_or(|m| m == **material));
        fitting
            .filter_map(|material| Item::offered(context.rules, &price.kind.value, material, &sizes))
            .filter(|item| own.contains(&*item.material) || counted.contains(&(&*item.kind, &*item.material)))
            .for_each(|item| with_ends(item, price));
        // What is one thing for pipe of any material does not ask whose it is.
        let of_any = Item::offered(context.rules, &price.kind.value, "", &sizes).filter(Item::is_of_any_material);
        of_any.into_iter().for_each(|item| with_ends(item, price));
    }
    // Pipe of a size that nobody offers has its lines too: they say that there is no price, and carry its work.
    let kinds: BTreeSet<&str> = counts.iter().map(|count| count.item.kind.as_str()).collect();
    for pipe in own.iter().flat_map(|material| context.rules.pipes_of(material)) {
        consider(Item::new("pipe", &pipe.material, &[pipe.size]));
        for kind in ["support", "pipe insulation"].into_iter().filter(|kind| kinds.contains(kind)) {
            consider(Item::new(kind, "", &[pipe.size]));
        }
    }
    // What takes the size of its run has a line for every size that the run may be given.
    let following: BTreeSet<(&str, &str)> = counts
        .iter()
        .filter(|count| count.follows_a_size() && !count.item.is_sized())
        .map(|count| (&*count.item.kind, &*count.item.ends))
        .collect();
    for (kind, ends) in following {
        let pipes = context.parts.pipe.iter().flat_map(|material| context.rules.pipes_of(material));
        pipes.for_each(|pipe| consider(Item::new(kind, "", &[pipe.size]).with_ends(ends)));
    }
    idle.retain(|rank, _| !needed.contains_key(rank));
    (needed.into_values().collect(), idle.into_values().collect())
}

fn ring_of(ring: &str, pipe_key: &str) -> Option<Item> {
    let size = Size::parse(pipe_key.strip_prefix("PEX ")?)?;
    Some(Item::new(ring, "PEX", &[size]))
}
