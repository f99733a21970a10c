//! Prices to compare: every supplier is asked for everything the job buys, and nothing is ordered.

use super::Context;
use super::lines::{List, Listed, rank, rows_selling};
use super::words::supplier_key;
use std::collections::BTreeMap;

/// The orders' lists turned into as many requests, each for all that stands in any of them: one line for each key, with
/// what all of them order of it.
pub(crate) fn lists(context: &Context, ordered: Vec<List>) -> Vec<List> {
    let mut all: Vec<Listed> = Vec::new();
    let mut places = BTreeMap::new();
    for listed in ordered.iter().flat_map(|list| &list.lines) {
        let listed = listed.clone();
        match places.get(&listed.line.key) {
            None => {
                places.insert(listed.line.key.clone(), all.len());
                all.push(listed);
            }
            // What is asked for already is asked of several; what is ordered from several is wanted of all of them.
            Some(_) if listed.line.quote => {}
            Some(at) => {
                let known: &mut Listed = &mut all[*at];
                known.by_phase.iter_mut().zip(&listed.by_phase).for_each(|(sum, more)| *sum += more);
                known.pieces.extend(listed.pieces);
            }
        }
    }
    let mut lists: Vec<List> = ordered;
    // Whoever has a row in Prices is asked, whether or not anything is ordered there.
    for price in &context.job.prices {
        let Some(name) = price.supplier.get() else { continue };
        let known = |list: &List| list.supplier.as_deref().map(supplier_key) == Some(supplier_key(&name));
        if !supplier_key(&name).is_empty() && !lists.iter().any(known) {
            lists.push(List { supplier: Some(super::plain(&name).into()), lines: Vec::new() });
        }
    }
    lists.retain(|list| list.supplier.is_some() || list.lines.iter().any(|listed| !listed.line.quote));
    for list in &mut lists {
        let own = list.supplier.as_deref().map(supplier_key).unwrap_or_default();
        list.lines = all.iter().map(|listed| asked_of(context, &own, listed)).collect();
        list.lines.sort_by_cached_key(|listed| rank(context, &listed.line));
    }
    lists
}

/// The line as this supplier is asked for it: by their own part number where Prices knows it, and never by another's.
fn asked_of(context: &Context, supplier: &str, listed: &Listed) -> Listed {
    let mut asked = listed.clone();
    let item = &context.take_off.lines[listed.line.line].item;
    let own = rows_selling(context.job, context.rules, item, &listed.line.key, supplier).next();
    let part = own.and_then(|row| context.job.prices[row].part.get());
    asked.line.part = part.map(|part| super::plain(&part)).unwrap_or_default();
    asked.line.quote = true;
    asked.line.quoted = None;
    asked
}
