//! Who to buy from: the cheapest price of each line, the cheapest split among suppliers who each cost something to be
//! used, and the cheapest of those who can supply everything. The first two need no search or are searched whole
//! ([`crate::buy::purchase::split`]); money is that of the sheet: each line to the cent.

use super::answer::Available;
use super::order_lines::Wanted;
use super::suppliers::Supplier;
use crate::buy::purchase::{self, Need, Offer, SUPPLIERS};
use crate::folding::worded;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

worded! {
    /// What a supplier answered to a line, as it counts.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum State {
        Priced = "priced",
        /// Never in an order of theirs.
        NotAsked = "not asked",
        NoPrice = "no price",
        NotAvailable = "not available",
        TooFew = "too few",
        /// A substitute, and none are wanted.
        Substitute = "substitute, and none are wanted",
    }
}

/// One supplier's answer to one line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Offered {
    pub state: State,
    /// Of one Unit, where it counts.
    pub price: Option<Decimal>,
}

/// What came back, and what was made of it.
#[derive(Clone, Copy)]
pub(super) struct Compared<'a> {
    pub wanted: &'a [Wanted],
    pub suppliers: &'a [Supplier],
    pub choices: &'a Choices,
}

/// What was found best.
#[derive(Debug, Clone)]
pub struct Choices {
    /// By line and supplier.
    pub offered: Vec<Vec<Offered>>,
    /// By line: the supplier to buy it from, charges counted; `None` where nobody prices it.
    pub from: Vec<Option<usize>>,
    /// By line: the supplier whose price is least, charges not counted.
    pub least: Vec<Option<usize>>,
    /// No split costs less, charges counted.
    pub proved: bool,
    /// Dollars that a split could cost less at most, where it is not proved.
    pub gap: Decimal,
}

/// Charges and least orders are of each supplier.
pub(crate) fn choose(wanted: &[Wanted], suppliers: &[Supplier], substitutes: &str) -> Choices {
    let offered: Vec<Vec<Offered>> = wanted
        .iter()
        .map(|wanted| suppliers.iter().map(|supplier| offer(wanted, supplier, substitutes)).collect())
        .collect();
    let cost = |line: usize, price: Decimal| mills(line_cost(&wanted[line], price));
    let needs: Vec<Need> = offered
        .iter()
        .enumerate()
        .map(|(line, offered)| {
            // A line is bought whole from one supplier: a pack that holds all of it.
            let offers = offered.iter().enumerate();
            let offers = offers.filter_map(|(supplier, offer)| Some((supplier, cost(line, offer.price?))));
            Need { amount: 1, offers: offers.map(|(supplier, cost)| Offer::at(supplier, 1, cost)).collect() }
        })
        .collect();
    let terms =
        |supplier: &Supplier| purchase::Supplier { fixed: mills(supplier.charge), minimum: mills(supplier.minimum) };
    let terms: Vec<purchase::Supplier> = suppliers.iter().map(terms).collect();
    let split = purchase::split(&needs, &terms);
    let chosen = |line: usize| -> Option<usize> {
        let bought = split.bought.get(line)?.as_ref()?;
        let at = bought.packs.iter().position(|packs| *packs > 0)?;
        Some(needs[line].offers[at].supplier)
    };
    let from = (0..wanted.len()).map(chosen).collect();
    let least = needs.iter().map(|need| {
        let cost = |offer: &&Offer| offer.tiers.first().map_or(i64::MAX, |tier| tier.price);
        need.offers.iter().min_by_key(cost).map(|offer| offer.supplier)
    });
    Choices {
        from,
        least: least.collect(),
        offered,
        proved: split.proved && suppliers.len() <= SUPPLIERS,
        gap: Decimal::new(split.cost - split.bound, 3),
    }
}

/// What a line costs at a price, to the cent.
pub(crate) fn line_cost(wanted: &Wanted, price: Decimal) -> Decimal {
    let cost = wanted.quantity.checked_mul(price).unwrap_or(Decimal::from(1_000_000_000_000i64));
    cost.round_dp_with_strategy(2, rust_decimal::RoundingStrategy::MidpointAwayFromZero)
}

fn mills(money: Decimal) -> i64 {
    money.checked_mul(Decimal::ONE_THOUSAND).and_then(|mills| mills.round().to_i64()).unwrap_or(i64::MAX / 1_000_000)
}

fn offer(wanted: &Wanted, supplier: &Supplier, substitutes: &str) -> Offered {
    let Some(answered) = supplier.answers.get(&wanted.key) else {
        let state = if wanted.asked.contains(&supplier.key) { State::NoPrice } else { State::NotAsked };
        return Offered { state, price: None };
    };
    let answer = &answered.answer;
    let state = match (&answer.available, answer.price) {
        (Available::No, _) => State::NotAvailable,
        (_, None) => State::NoPrice,
        (Available::Only(count), _) if *count < wanted.quantity => State::TooFew,
        _ if substitutes == "none" && !answer.substitute.is_empty() => State::Substitute,
        _ => State::Priced,
    };
    Offered { state, price: answer.price.filter(|_| state == State::Priced) }
}

#[cfg(test)]
mod tests {
    use super::super::answer::Answer;
    use super::super::suppliers::Answered;
    use super::*;
    use crate::model::order_form::LineKey;
    use crate::place::Place;
    use proptest::prelude::*;

    fn line(at: usize, quantity: i64) -> Wanted {
        Wanted {
            key: LineKey::new(&format!("thing {at}"), "", &[], "each", Decimal::ONE),
            item: String::new(),
            size: String::new(),
            quantity: quantity.into(),
            unit: "each".to_owned(),
            holds: String::new(),
            feet: false,
            needed_for: std::collections::BTreeMap::default(),
            asked: Vec::new(),
            line: Some(at),
            fixtures: Vec::new(),
            rows: std::collections::BTreeMap::default(),
        }
    }

    /// Prices in cents by supplier and line, and what each supplier costs to be used.
    fn quoted(lines: &[Wanted], prices: &[Vec<Option<i64>>], charges: &[i64]) -> Vec<Supplier> {
        let answer = |cents: i64| Answered {
            answer: Answer {
                price: Some(Decimal::new(cents, 2)),
                available: Available::Yes,
                substitute: String::new(),
                remark: String::new(),
            },
            file: "a".into(),
            at: 0,
            place: Place::new("Order", 0, 0),
        };
        let of = |(prices, charge): (&Vec<Option<i64>>, &i64)| Supplier {
            charge: Decimal::new(*charge, 2),
            answers: lines
                .iter()
                .zip(prices)
                .filter_map(|(line, price)| price.map(|price| (line.key.clone(), answer(price))))
                .collect(),
            ..Supplier::default()
        };
        prices.iter().zip(charges).map(of).collect()
    }

    #[test]
    fn a_trip_is_not_made_for_cents() {
        // By hand: 10 at 2.00 or 1.90, 5 at 3.00 or 3.50. Line by line 19.00 + 15.00 = 34.00, and 50.00 more for two
        // trips of 25.00; the first alone 20.00 + 15.00 + 25.00 = 60.00, the second 19.00 + 17.50 + 25.00 = 61.50.
        let lines = [line(0, 10), line(1, 5)];
        let suppliers = quoted(&lines, &[vec![Some(200), Some(300)], vec![Some(190), Some(350)]], &[2500, 2500]);
        let chosen = choose(&lines, &suppliers, "as good");
        assert_eq!(chosen.least, [Some(1), Some(0)]);
        assert_eq!(chosen.from, [Some(0), Some(0)]);
        assert!(chosen.proved);
    }

    proptest! {
        /// Every way to give each line to somebody who prices it, tried one by one.
        #[test]
        fn no_split_is_cheaper(
            prices in prop::collection::vec(prop::collection::vec(prop::option::of(1i64..400), 4), 1..4),
            quantities in prop::collection::vec(1i64..9, 4),
            charges in prop::collection::vec(0i64..900, 3),
        ) {
            let lines: Vec<Wanted> = quantities.iter().enumerate().map(|(at, quantity)| line(at, *quantity)).collect();
            let suppliers = quoted(&lines, &prices, &charges);
            let chosen = choose(&lines, &suppliers, "as good");
            prop_assert!(chosen.proved);
            let total = |from: &[Option<usize>]| -> i64 {
                let bought = from.iter().enumerate();
                let lines = bought.filter_map(|(line, from)| Some(prices[(*from)?][line]? * quantities[line])).sum::<i64>();
                let used = (0..prices.len()).filter(|supplier| from.contains(&Some(*supplier)));
                lines + used.map(|supplier| charges[supplier]).sum::<i64>()
            };
            let mut least = i64::MAX;
            for way in 0..prices.len().pow(4) {
                let pick = |line: usize| way / prices.len().pow(line as u32) % prices.len();
                let from: Vec<Option<usize>> = (0..4)
                    .map(|line| prices.iter().any(|supplier| supplier[line].is_some()).then(|| pick(line)))
                    .collect();
                let sound = from.iter().enumerate().all(|(line, from)| from.is_none_or(|from| prices[from][line].is_some()));
                if sound {
                    least = least.min(total(&from));
                }
            }
            prop_assert_eq!(total(&chosen.from), least);
        }
    }
}
