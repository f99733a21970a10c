//! Whole packs: against every combination of packs, and splits among suppliers against every assignment.

use proptest::prelude::*;
use tallybore::purchase::{Need, Offer, Supplier, Tier, cheapest, split};

/// The least cost, and of that the least amount, over every combination of packs.
fn by_every_combination(need: &Need, at: usize, amount: i64, cost: i64, best: &mut Option<(i64, i64)>) {
    if at == need.offers.len() {
        if amount >= need.amount && best.is_none_or(|best| (cost, amount) < best) {
            *best = Some((cost, amount));
        }
        return;
    }
    let offer = &need.offers[at];
    let least = offer.tiers.iter().map(|tier| tier.from).max().unwrap_or(0);
    let enough = (need.amount / offer.pack) as u32 + 1;
    for packs in 0..=enough.max(least) {
        if let Some(price) = offer.cost(packs) {
            by_every_combination(need, at + 1, amount + i64::from(packs) * offer.pack, cost + price, best);
        }
    }
}

fn offers(suppliers: usize) -> impl Strategy<Value = Offer> {
    let tiers = (1..4u32, 10..90i64, prop::option::of((1..5u32, 1..40i64)));
    (0..suppliers, prop_oneof![Just(1i64), Just(10), Just(25), 2..30i64], tiers).prop_map(
        |(supplier, pack, (from, price, lower))| {
            let mut tiers = vec![Tier { from, price }];
            tiers.extend(lower.map(|(more, less)| Tier { from: from + more, price: (price - less).max(1) }));
            Offer { supplier, pack, tiers }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn packs_cost_what_every_combination_finds(amount in 0..60i64, offers in prop::collection::vec(offers(2), 1..4)) {
        let need = Need { amount, offers };
        let bought = cheapest(&need).unwrap();
        let mut best = None;
        by_every_combination(&need, 0, 0, 0, &mut best);
        let cost: i64 = need.offers.iter().zip(&bought.packs).map(|(o, n)| o.cost(*n).unwrap()).sum();
        let held: i64 = need.offers.iter().zip(&bought.packs).map(|(o, n)| o.pack * i64::from(*n)).sum();
        prop_assert!(bought.proved);
        prop_assert_eq!((cost, held), (bought.cost, bought.amount));
        prop_assert_eq!(Some((cost, held)), best);
    }

    #[test]
    fn a_split_without_least_orders_costs_what_every_set_of_suppliers_finds(
        needs in prop::collection::vec((1..40i64, prop::collection::vec(offers(3), 1..4)), 1..5),
        fixed in prop::collection::vec(0..60i64, 3),
    ) {
        let needs: Vec<Need> = needs.into_iter().map(|(amount, offers)| Need { amount, offers }).collect();
        let suppliers: Vec<Supplier> = fixed.iter().map(|fixed| Supplier { fixed: *fixed, minimum: 0 }).collect();
        let found = split(&needs, &suppliers);
        prop_assert!(found.proved);
        let mut best = i64::MAX;
        for set in 0..8u32 {
            let there = |offer: &Offer| set >> offer.supplier & 1 == 1;
            let mut total = (0..3).filter(|s| set >> s & 1 == 1).map(|s| fixed[s]).sum::<i64>();
            for need in &needs {
                let own = Need { amount: need.amount, offers: need.offers.iter().filter(|o| there(o)).cloned().collect() };
                let mut one = None;
                by_every_combination(&own, 0, 0, 0, &mut one);
                total = total.saturating_add(one.map_or(i64::MAX / 8, |(cost, _)| cost));
            }
            best = best.min(total);
        }
        prop_assert_eq!(found.cost, best);
        let spent: i64 = found.bought.iter().flatten().map(|bought| bought.cost).sum();
        let trips: i64 = found.used.iter().zip(&fixed).filter(|(used, _)| **used).map(|(_, fixed)| fixed).sum();
        prop_assert_eq!(found.cost, spent + trips);
    }

    #[test]
    fn a_bound_is_never_above_the_cost(
        needs in prop::collection::vec((1..40i64, prop::collection::vec(offers(3), 1..4)), 1..6),
        wants in prop::collection::vec((0..60i64, 0..200i64), 3),
    ) {
        let needs: Vec<Need> = needs.into_iter().map(|(amount, offers)| Need { amount, offers }).collect();
        let suppliers: Vec<Supplier> = wants.iter().map(|(fixed, minimum)| Supplier { fixed: *fixed, minimum: *minimum }).collect();
        let found = split(&needs, &suppliers);
        prop_assert!(found.bound <= found.cost);
        prop_assert_eq!(found.proved, found.bound == found.cost);
        for (need, bought) in needs.iter().zip(&found.bought) {
            prop_assert!(bought.as_ref().unwrap().amount >= need.amount);
        }
    }
}

#[test]
fn a_bag_is_cheaper_than_its_pieces_and_a_bag_too_many_dearer() {
    let offers = vec![Offer::at(0, 1, 450), Offer::at(0, 25, 7_000), Offer::at(1, 100, 20_000)];
    let of = |amount: i64| cheapest(&Need { amount, offers: offers.clone() }).unwrap();
    assert_eq!((of(12).packs, of(12).cost), (vec![12, 0, 0], 5_400));
    assert_eq!((of(27).packs, of(27).cost), (vec![2, 1, 0], 7_900));
    assert_eq!((of(70).packs, of(70).amount), (vec![0, 0, 1], 100));
    assert_eq!(of(0).packs, vec![0, 0, 0]);
}

#[test]
fn a_price_break_is_reached_where_more_costs_less() {
    let tiers = vec![Tier { from: 1, price: 100 }, Tier { from: 10, price: 60 }];
    let bought = cheapest(&Need { amount: 7, offers: vec![Offer { supplier: 0, pack: 1, tiers }] }).unwrap();
    assert_eq!((bought.packs, bought.cost), (vec![10], 600));
}

#[test]
fn nothing_offered_is_nothing_bought_and_odd_offers_do_no_harm() {
    assert_eq!(cheapest(&Need { amount: 5, offers: Vec::new() }), None);
    let odd = Offer { supplier: 0, pack: 0, tiers: vec![Tier { from: 0, price: -1 }] };
    assert_eq!(cheapest(&Need { amount: 5, offers: vec![odd.clone()] }), None);
    let huge = Need { amount: i64::MAX / 4, offers: vec![odd, Offer::at(0, 1, i64::MAX / 2), Offer::at(0, 7, 3)] };
    let _ = cheapest(&huge);
    let large = cheapest(&Need { amount: 30_000_000, offers: vec![Offer::at(0, 1, 3), Offer::at(0, 7, 20)] }).unwrap();
    assert!(large.amount >= 30_000_000 && !large.proved);
}

#[test]
fn a_second_trip_is_made_only_where_it_pays() {
    let needs = vec![
        Need { amount: 10, offers: vec![Offer::at(0, 1, 100), Offer::at(1, 1, 90)] },
        Need { amount: 1, offers: vec![Offer::at(0, 1, 500)] },
    ];
    let trip = |fixed| split(&needs, &[Supplier::default(), Supplier { fixed, minimum: 0 }]);
    assert_eq!((trip(50).cost, trip(50).used), (1_450, vec![true, true]));
    assert_eq!((trip(150).cost, trip(150).used), (1_500, vec![true, false]));
}
