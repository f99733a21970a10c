//! Whole packs: the cheapest set of packs that covers a need, and the cheapest split of many needs among suppliers.
//!
//! # One need
//! Offers come in packs of so many pieces or so much length, at a price that may fall from some number of packs on, and
//! perhaps not below some number at all. `least[q]` is the least cost of packs that together hold `q` or more. Each
//! offer is bought at one step of its prices, or not at all: at a step, its first number of packs at once, then any
//! number of further ones. So one pass over the quantities for each step of each offer gives the exact minimum; of equal
//! cost the least is bought. Quantities are counted in the largest part that divides all packs.
//!
//! # Many needs, suppliers with a cost of their own
//! A supplier may cost something merely to be used (a trip, a delivery) and may want a least order, which is paid in
//! full when less is bought. Every set of suppliers is tried: within it each need is bought at its cheapest, which is a
//! bound for the set. Where the least orders are met, it is the set's optimum too. Where one is not, needs are moved to
//! that supplier as long as it pays, and what still lies between the cost and the bound is told.
//!
//! Money is whole tenths of a cent. No clock, no chance: the same needs give the same packs.

/// Quantities beyond this many parts are first filled with the offer that is cheapest for its size.
const PARTS: i64 = 400_000;
/// Suppliers of whom every set is tried; of more, only the first so many are looked at.
pub const SUPPLIERS: usize = 10;

/// From so many packs of an offer on, each costs so much.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tier {
    /// Packs, at least 1.
    pub from: u32,
    /// Of one pack, tenths of a cent, 0 or more.
    pub price: i64,
}

/// Something that fills a need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// Index into the suppliers.
    pub supplier: usize,
    /// What one pack holds, in the unit of the need; more than 0.
    pub pack: i64,
    /// Rising by `from`. The first tier's `from` is the least order.
    pub tiers: Vec<Tier>,
}

impl Offer {
    /// At one price from the first pack on.
    pub fn at(supplier: usize, pack: i64, price: i64) -> Self {
        Self { supplier, pack, tiers: vec![Tier { from: 1, price }] }
    }

    /// What so many packs cost; `None` below the least order.
    pub fn cost(&self, packs: u32) -> Option<i64> {
        if packs == 0 {
            return Some(0);
        }
        let tier = self.tiers.iter().filter(|tier| tier.from <= packs).max_by_key(|tier| tier.from)?;
        tier.price.checked_mul(i64::from(packs))
    }
}

/// So much of one thing, in pieces or in parts of a length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// At least 0.
    pub amount: i64,
    /// From whom, and in what packs.
    pub offers: Vec<Offer>,
}

/// Packs that cover a need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bought {
    /// By offer.
    pub packs: Vec<u32>,
    /// What they hold; at least the need.
    pub amount: i64,
    /// Of the packs, tenths of a cent.
    pub cost: i64,
    /// True when no packs cost less.
    pub proved: bool,
}

/// The cheapest packs from all offers; `None` where nothing is offered.
pub fn cheapest(need: &Need) -> Option<Bought> {
    cheapest_of(need, |_| true)
}

/// One step of an offer's prices.
struct Step {
    offer: usize,
    from: u32,
    size: i64,
    price: i64,
}

/// The cheapest packs from suppliers that are allowed.
pub fn cheapest_of(need: &Need, allowed: impl Fn(usize) -> bool) -> Option<Bought> {
    let mut packs = vec![0u32; need.offers.len()];
    if need.amount <= 0 {
        return Some(Bought { packs, amount: 0, cost: 0, proved: true });
    }
    let sound = |offer: &Offer| {
        allowed(offer.supplier) && offer.pack > 0 && !offer.tiers.is_empty() && offer.tiers.iter().all(|t| t.price >= 0)
    };
    let open: Vec<usize> = (0..need.offers.len()).filter(|index| sound(&need.offers[*index])).collect();
    let part = open.iter().map(|index| need.offers[*index].pack).fold(0, greatest_common);
    if part == 0 {
        return None;
    }
    let mut wanted = (need.amount + part - 1) / part;
    let mut proved = true;
    let mut bulk_cost = 0i64;
    if wanted > PARTS {
        // The great mass is bought at the best price for its size; only the rest is searched.
        let bulk = open.iter().filter_map(|index| {
            let offer = &need.offers[*index];
            let packs = u32::try_from((wanted - PARTS / 2) / (offer.pack / part)).ok().filter(|packs| *packs > 0)?;
            let cost = offer.cost(packs)?;
            Some((cost as f64 / (f64::from(packs) * offer.pack as f64), *index, packs, cost))
        });
        let (_, index, count, cost) = bulk.min_by(|a, b| a.0.total_cmp(&b.0))?;
        packs[index] = count;
        bulk_cost = cost;
        wanted -= i64::from(count) * (need.offers[index].pack / part);
        proved = false;
        if !(1..=4 * PARTS).contains(&wanted) {
            return None;
        }
    }
    let steps = open.iter().flat_map(|index| {
        let offer = &need.offers[*index];
        offer.tiers.iter().map(move |tier| Step {
            offer: *index,
            from: tier.from.max(1),
            size: offer.pack / part,
            price: tier.price,
        })
    });
    let table = fill(&steps.collect::<Vec<_>>(), &open, wanted as usize)?;
    for (offer, count) in table {
        packs[offer] += count;
    }
    let amount = packs.iter().zip(&need.offers).map(|(count, offer)| i64::from(*count) * offer.pack).sum();
    let cost = packs
        .iter()
        .zip(&need.offers)
        .map(|(count, offer)| offer.cost(*count))
        .try_fold(0i64, |sum, cost| sum.checked_add(cost?));
    // Bought in bulk and again in the search, an offer may reach a lower price: never a higher one.
    Some(Bought { packs, amount, cost: cost.unwrap_or(bulk_cost), proved })
}

fn greatest_common(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { greatest_common(b, a % b) }
}

const NEVER: (i64, i64) = (i64::MAX / 4, 0);

/// Packs by offer that hold `wanted` parts or more at the least cost, the least of equals; `None` if none do.
fn fill(steps: &[Step], offers: &[usize], wanted: usize) -> Option<Vec<(usize, u32)>> {
    // (cost, parts held) for each quantity up to the one wanted, offers taken in one by one.
    let mut least: Vec<(i64, i64)> = vec![NEVER; wanted + 1];
    least[0] = (0, 0);
    // For each offer and quantity, which step and how many packs.
    let mut taken: Vec<Vec<(u32, u32)>> = Vec::with_capacity(offers.len());
    for offer in offers {
        let mut best = least.clone();
        let mut how = vec![(0u32, 0u32); wanted + 1];
        for step in steps.iter().filter(|step| step.offer == *offer) {
            // With one pack more at this step, from quantities where the first packs are already in.
            let mut at: Vec<((i64, i64), u32)> = vec![(NEVER, 0); wanted + 1];
            let first = step.size.saturating_mul(i64::from(step.from));
            let first_cost = step.price.saturating_mul(i64::from(step.from));
            for quantity in 0..=wanted {
                let before = least[(quantity as i64 - first).max(0) as usize];
                let mut here = (more(before, first_cost, first), step.from);
                if quantity > 0 {
                    let (one_less, packs) = at[(quantity as i64 - step.size).max(0) as usize];
                    let further = more(one_less, step.price, step.size);
                    if further < here.0 {
                        here = (further, packs + 1);
                    }
                }
                at[quantity] = here;
                if here.0 < best[quantity] {
                    best[quantity] = here.0;
                    how[quantity] = (here.1, step.size as u32);
                }
            }
        }
        least = best;
        taken.push(how);
    }
    if least[wanted].0 >= NEVER.0 {
        return None;
    }
    let mut packs = Vec::new();
    let mut quantity = wanted as i64;
    for (offer, how) in offers.iter().zip(&taken).rev() {
        let (count, size) = how[quantity.max(0) as usize];
        packs.push((*offer, count));
        quantity = (quantity - i64::from(count) * i64::from(size)).max(0);
    }
    Some(packs)
}

fn more(before: (i64, i64), cost: i64, parts: i64) -> (i64, i64) {
    if before.0 >= NEVER.0 {
        NEVER
    } else {
        (before.0.saturating_add(cost).min(NEVER.0), before.1.saturating_add(parts))
    }
}

/// What a supplier wants beyond its prices. Tenths of a cent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Supplier {
    /// A trip or a delivery.
    pub fixed: i64,
    /// Less than this is charged as this much.
    pub minimum: i64,
}

/// Who is bought from, and what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Split {
    /// By supplier.
    pub used: Vec<bool>,
    /// By need; `None` where no supplier used offers it.
    pub bought: Vec<Option<Bought>>,
    /// Packs, suppliers' fixed costs, and what their least orders want beyond the packs.
    pub cost: i64,
    /// No split that fills as many needs costs less.
    pub bound: i64,
    /// True when no split costs less.
    pub proved: bool,
}

/// The cheapest split among suppliers, filling every need that anyone offers.
pub fn split(needs: &[Need], suppliers: &[Supplier]) -> Split {
    let many = suppliers.len().min(SUPPLIERS);
    let mut best: Option<Split> = None;
    let mut bound = i64::MAX;
    let fillable = needs.iter().filter(|need| cheapest_of(need, |s| s < many).is_some()).count();
    for set in 0u32..1 << many {
        let allowed = |supplier: usize| supplier < many && set >> supplier & 1 == 1;
        let bought: Vec<Option<Bought>> = needs.iter().map(|need| cheapest_of(need, allowed)).collect();
        if bought.iter().flatten().count() < fillable {
            continue;
        }
        let fixed: i64 = (0..many).filter(|s| allowed(*s)).map(|s| suppliers[s].fixed).sum();
        let least: i64 = fixed + bought.iter().flatten().map(|bought| bought.cost).sum::<i64>();
        let wanted: i64 = fixed + (0..many).filter(|s| allowed(*s)).map(|s| suppliers[s].minimum).sum::<i64>();
        bound = bound.min(least.max(wanted));
        if best.as_ref().is_some_and(|best| least.max(wanted) >= best.cost) {
            continue;
        }
        let (bought, cost) = moved(needs, suppliers, bought, &allowed);
        if best.as_ref().is_none_or(|best| cost < best.cost) {
            best = Some(Split {
                used: (0..suppliers.len()).map(allowed).collect(),
                bought,
                cost,
                bound: 0,
                proved: false,
            });
        }
    }
    let all_sure = |split: &Split| split.bought.iter().flatten().all(|bought| bought.proved);
    let mut split = best.unwrap_or(Split {
        used: vec![false; suppliers.len()],
        bought: vec![None; needs.len()],
        cost: 0,
        bound: 0,
        proved: true,
    });
    split.bound = bound.min(split.cost);
    split.proved = split.bound == split.cost && all_sure(&split);
    split
}

/// What a supplier is paid for its packs.
fn spent(needs: &[Need], bought: &[Option<Bought>], supplier: usize) -> i64 {
    let of = |need: &Need, bought: &Bought| -> i64 {
        let offers = need.offers.iter().zip(&bought.packs).filter(|(offer, _)| offer.supplier == supplier);
        offers.filter_map(|(offer, packs)| offer.cost(*packs)).sum()
    };
    needs.iter().zip(bought).filter_map(|(need, bought)| Some(of(need, bought.as_ref()?))).sum()
}

/// Moves needs to suppliers whose least order is not met, one at a time, as long as that lowers the cost.
fn moved(
    needs: &[Need],
    suppliers: &[Supplier],
    mut bought: Vec<Option<Bought>>,
    allowed: &impl Fn(usize) -> bool,
) -> (Vec<Option<Bought>>, i64) {
    let cost = |bought: &[Option<Bought>]| -> i64 {
        (0..suppliers.len())
            .filter(|s| allowed(*s))
            .map(|s| suppliers[s].fixed + suppliers[s].minimum.max(spent(needs, bought, s)))
            .sum()
    };
    let mut now = cost(&bought);
    loop {
        let short = (0..suppliers.len()).filter(|s| allowed(*s) && spent(needs, &bought, *s) < suppliers[*s].minimum);
        let mut better: Option<(i64, usize, Bought)> = None;
        for supplier in short.collect::<Vec<_>>() {
            for (index, need) in needs.iter().enumerate() {
                let Some(one) = cheapest_of(need, |s| s == supplier) else { continue };
                let kept = bought[index].replace(one);
                let then = cost(&bought);
                let one = std::mem::replace(&mut bought[index], kept);
                if let Some(one) = one
                    && then < better.as_ref().map_or(now, |better| better.0)
                {
                    better = Some((then, index, one));
                }
            }
        }
        let Some((then, index, one)) = better else { return (bought, now) };
        bought[index] = Some(one);
        now = then;
    }
}
