//! The row of Prices that comes nearest to a thing that no row offers: by its kind, size, material and ends.

use crate::finding::nearest_kind;
use crate::model::{Job, Price, Size};
use crate::rules::{Item, Rules, fits};

/// What the nearest row is, and in what it differs, in words; empty where none is near.
pub(super) fn nearest_offer(job: &Job, rules: &Rules, item: &Item) -> String {
    let rows = job.prices.iter().filter(|price| !price.is_break());
    let near = rows.filter_map(|price| {
        let (cost, differs) = difference(rules, item, price)?;
        Some(((cost, apart(item, price), price.row), (price, differs)))
    });
    let Some((_, (price, differs))) = near.min_by_key(|(rank, _)| *rank) else { return String::new() };
    let sizes = price.sizes.value.as_deref().unwrap_or_default();
    let has =
        Item::new(price.kind.value.trim(), price.material.text().trim(), sizes).with_ends(price.ends.text().trim());
    format!("nearest in Prices, row {}: {} ({differs})", u64::from(price.row) + 1, has.text())
}

/// How far a row is from what is wanted, and in what it differs; `None` where it is another thing.
fn difference(rules: &Rules, item: &Item, price: &Price) -> Option<(u8, &'static str)> {
    let same_kind = rules.is_called(&item.kind, &price.kind.value) || {
        let last = price.kind.value.split_whitespace().last().unwrap_or_default();
        rules.is_called(&item.kind, last)
    };
    let near_kind = || nearest_kind(&price.kind.value, [item.kind.as_str()]).is_some();
    if !same_kind && !near_kind() {
        return None;
    }
    let kind = price.kind.value.to_string();
    let sizes = price.sizes.value.as_deref().unwrap_or_default().to_vec();
    let ends = price.ends.text().to_owned();
    // Ends matter least, then size or material; a row of another kind must agree in all else.
    let tries: [(u8, &'static str, Item); 7] = [
        (0, if price.is_open() { "asks for a quote" } else { "no price yet" }, item.clone()),
        (1, "other ends", item.clone().with_ends(price.ends.text())),
        (2, "other size", Item { sizes: sizes.clone(), ..item.clone() }),
        (2, "other material", Item { material: String::new(), ..item.clone() }),
        (3, "other material and ends", Item { material: String::new(), ends: ends.clone(), ..item.clone() }),
        (3, "other size and ends", Item { sizes, ends, ..item.clone() }),
        (3, "another name", Item { kind, ..item.clone() }),
    ];
    tries.into_iter().find(|(_, _, item)| fits(rules, item, price)).map(|(cost, differs, _)| (cost, differs))
}

/// How far apart the sizes are.
fn apart(item: &Item, price: &Price) -> u32 {
    let sizes = price.sizes.value.as_deref().unwrap_or_default();
    let sixteenths = |size: &Size| u32::from(size.sixteenths());
    item.sizes.iter().zip(sizes).map(|(a, b)| sixteenths(a).abs_diff(sixteenths(b))).sum()
}
