//! Tees that larger ones are bought for because they have no price.

use super::Context;
use super::fittings::Spot;
use crate::finding::Finding;
use crate::model::{Size, Status};
use crate::rules::{Item, offers_of};
use crate::subjects::water::findings::counted::TeeMadeUp;
use crate::subjects::water::size::unit_costs::UnitCosts;
use std::collections::BTreeMap;
use std::sync::Arc;

/// By pipe and the sizes wanted: what is bought for it.
pub(super) type Tees = BTreeMap<(Arc<str>, [Size; 3]), [Size; 3]>;

/// Tells each tee whose price is missing, at the first place where a larger one is bought for it. Gives those tees.
pub(super) fn find(
    context: &Context,
    costs: &UnitCosts,
    (spots, tees): (&[&Spot], &Tees),
    findings: &mut Vec<Finding>,
) -> Vec<Item> {
    let mut missing: BTreeMap<Item, Vec<(&Spot, Item)>> = BTreeMap::new();
    let is_to_do = |spot: &Spot| context.run_at(spot.position).status.get() != Some(Status::Installed);
    let needed = |spot: &Spot| spot.count.quantity.value().as_decimal().unwrap_or_default();
    for spot in spots.iter().filter(|spot| is_to_do(spot) && !needed(spot).is_zero()) {
        let Some(tee) = tees.get(&(spot.material.clone(), spot.sizes)) else { continue };
        let largest = spot.sizes.into_iter().max().unwrap_or(spot.sizes[0]);
        let offered = costs.tees(&spot.material);
        let is_offered = |sizes: &[_; 3]| offered.offered().any(|offered| offered == *sizes);
        if tee.iter().any(|size| *size > largest) && !is_offered(&spot.sizes) {
            let named = |sizes: [_; 3]| Item::new("tee", &spot.material, &sizes).turned();
            missing.entry(named(spot.sizes)).or_default().push((spot, named(*tee)));
        }
    }
    for (item, spots) in &missing {
        let mut bought: Vec<String> = spots.iter().map(|(_, tee)| tee.text()).collect();
        bought.sort_unstable();
        bought.dedup();
        let quantity = spots.iter().map(|(spot, _)| needed(spot)).sum();
        let row = offers_of(context.job, context.rules, item).next().map(|price| u64::from(price.row) + 1);
        let place = spots.first().map(|(spot, _)| &spot.count.origin.place);
        findings.push(Finding::near(place, TeeMadeUp { tee: item.text(), quantity, bought, row }));
    }
    missing.into_keys().collect()
}
