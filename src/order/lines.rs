//! The lines of each supplier: keyed, in words, sorted as a counter picks them; and the part of them that some phases need.

use super::need::Need;
use super::phases::ByPhase;
use super::words::{self, Words, plain, supplier_key};
use super::{Context, OrderLine};
use crate::input::{Input, Text};
use crate::model::order_form::LineKey;
use crate::model::{Job, Phase, Price, Setting, Size};
use crate::rules::{BY_SIZE_GROUP, Item, Rules, fits};
use rust_decimal::Decimal;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// What one supplier is asked for, for all phases together.
pub(crate) struct List {
    pub supplier: Option<Arc<str>>,
    pub(super) lines: Vec<Listed>,
}

/// A line before it is known for which phases the order is.
#[derive(Clone)]
pub(super) struct Listed {
    pub line: OrderLine,
    pub by_phase: ByPhase,
    pub pieces: Vec<(Phase, Decimal)>,
    words: Words,
}

/// The list of each supplier, by name; that of nobody in particular last.
pub(crate) fn lists(context: &Context, needs: &[Need]) -> Vec<List> {
    let supplier_of =
        |price: usize| context.job.prices[price].supplier.get().map(|name| plain(&name)).unwrap_or_default();
    // By key, nobody last: the name as the first row of Prices has it, and the needs.
    let mut by_supplier: BTreeMap<(bool, String), Vec<&Need>> = BTreeMap::new();
    // What is to be asked of nobody in particular.
    let mut quotes: Vec<&Need> = Vec::new();
    for need in needs {
        let key = need.price.map(|price| supplier_key(&supplier_of(price))).unwrap_or_default();
        match need.quote && key.is_empty() {
            true => quotes.push(need),
            false => by_supplier.entry((key.is_empty(), key)).or_default().push(need),
        }
    }
    let from = plain(&context.job.text(Setting::QuotesFrom));
    if !quotes.is_empty() {
        match (from.is_empty(), by_supplier.is_empty()) {
            (false, _) => {
                by_supplier.entry((false, supplier_key(&from))).or_default().extend(&quotes);
            }
            (true, true) => _ = by_supplier.insert((true, String::new()), quotes),
            (true, false) => by_supplier.values_mut().for_each(|needs| needs.extend(&quotes)),
        }
    }
    let name_of = |key: &str| -> Option<Arc<str>> {
        let mut names = (0..context.job.prices.len()).map(supplier_of).chain([from.clone()]);
        (!key.is_empty()).then(|| names.find(|name| supplier_key(name) == key).unwrap_or_default().into())
    };
    by_supplier.iter().map(|((_, key), needs)| list(context, name_of(key), needs)).collect()
}

fn list(context: &Context, supplier: Option<Arc<str>>, needs: &[&Need]) -> List {
    let mut lines: Vec<Listed> = needs.iter().map(|need| listed(context, need)).collect();
    lines.sort_by_cached_key(|listed| rank(context, &listed.line));
    // What two rows cannot be told apart by still gets a key of its own.
    let mut taken = BTreeSet::new();
    for listed in &mut lines {
        while !taken.insert(listed.line.key.clone()) {
            listed.line.key.number += 1;
        }
    }
    List { supplier, lines }
}

fn listed(context: &Context, need: &Need) -> Listed {
    let item = &context.take_off.lines[need.line].item;
    let price = need.price.map(|price| &context.job.prices[price]);
    let (unit, pack) = match price {
        Some(price) => (unit_of(price), price.pack_holds().normalize()),
        None => (if context.rules.is_feet(item) { "ft" } else { "each" }.to_owned(), Decimal::ONE),
    };
    let mut key = LineKey::new(&item.kind, &item.material, &item.sizes, &unit, pack);
    item.ends.clone_into(&mut key.ends);
    need.water.clone_into(&mut key.water);
    key.number = need.price.map_or(1, |price| number_of(context, &key, item, price));
    let text =
        |field: Option<&Input<Text>>| field.and_then(|field| field.get()).map(|text| plain(&text)).unwrap_or_default();
    let group =
        context.rules.picking(&item.kind).map_or(crate::rules::OTHER_GROUP.into(), |(_, row)| row.group.clone());
    let description = text(price.map(|price| &price.description));
    let words = words::item(context, item, need.water, &description, need.quote);
    let line = OrderLine {
        key,
        group,
        item: words.item.clone(),
        size: words::size(context, item),
        part: text(price.map(|price| &price.part)),
        quantity: Decimal::ZERO,
        unit,
        pack,
        feet: context.rules.is_feet(item),
        needed_for: Vec::new(),
        quote: need.quote,
        quoted: price.filter(|_| !need.quote).and_then(|price| price.price.value),
        line: need.line,
        price: need.price,
    };
    Listed { line, by_phase: need.by_phase, pieces: need.pieces.clone(), words }
}

/// Rows of Prices (indices) by which a supplier, by its key, sells an item in the Units of an order's line. A price break is
/// the row above it once more, and none of them.
pub(crate) fn rows_selling<'a>(
    job: &'a Job,
    rules: &'a Rules,
    item: &'a Item,
    line: &'a LineKey,
    supplier: &'a str,
) -> impl Iterator<Item = usize> + 'a {
    let sells = move |price: &Price| {
        let sold = LineKey::new(&item.kind, &item.material, &item.sizes, &unit_of(price), price.pack_holds());
        !price.is_break()
            && supplier_key(&price.supplier.get().unwrap_or_default()) == supplier
            && (&sold.unit, sold.pack) == (&line.unit, line.pack)
            && fits(rules, item, price)
    };
    job.prices.iter().enumerate().filter(move |(_, price)| sells(price)).map(|(index, _)| index)
}

fn unit_of(price: &Price) -> String {
    price
        .unit
        .get()
        .map(|unit| plain(&unit).to_lowercase())
        .filter(|unit| !unit.is_empty())
        .unwrap_or("each".to_owned())
}

/// A row of Prices among those of its supplier that sell the same thing in the same packs, from 1. A price break is the row
/// above it once more, so a quantity that reaches one changes no key.
fn number_of(context: &Context, line: &LineKey, item: &Item, price: usize) -> u32 {
    let of = &context.job.prices[price];
    let supplier = supplier_key(&of.supplier.get().unwrap_or_default());
    let alike = rows_selling(context.job, context.rules, item, line, &supplier);
    let before = alike.take_while(|row| *row < price).count() as u32;
    if of.is_break() { before.max(1) } else { before + 1 }
}

pub(super) type Rank = (bool, usize, String, Vec<Reverse<Size>>, usize, String, Vec<Reverse<Size>>, usize);

/// What is ordered first, then what is only asked for. Groups as they are picked. Fittings by material, then size, as their bins are; everything else by kind first.
pub(super) fn rank(context: &Context, line: &OrderLine) -> Rank {
    let groups = context.rules.picking_groups();
    let group = groups.iter().position(|group| **group == *line.group).unwrap_or(groups.len());
    let kind = context.rules.picking(&line.key.kind).map_or(usize::MAX, |(place, _)| place);
    let sizes: Vec<Reverse<Size>> = line.key.sizes.iter().copied().map(Reverse).collect();
    let (material, largest) = match &*line.group == BY_SIZE_GROUP {
        true => (line.key.material.clone(), sizes.iter().take(1).copied().collect()),
        false => (String::new(), Vec::new()),
    };
    let rest = format!("{}|{}", line.key.kind, line.key.material);
    (line.quote, group, material, largest, kind, rest, sizes, line.price.unwrap_or(usize::MAX))
}

/// The lines of a list that some phases need, with their part of the quantity; all of them when `phases` is empty.
pub(crate) fn for_phases(_: &Context, list: &List, phases: &[Phase]) -> Vec<OrderLine> {
    let is_in = |phase: &Phase| phases.is_empty() || phases.contains(phase);
    let part = |listed: &Listed| {
        let counts =
            Phase::ALL.iter().filter(|phase| is_in(phase)).map(|phase| (*phase, listed.by_phase[*phase as usize]));
        let needed_for: Vec<(Phase, Decimal)> = counts.filter(|(_, count)| !count.is_zero()).collect();
        let pieces = listed.pieces.iter().filter(|(phase, _)| is_in(phase)).map(|(_, feet)| *feet);
        let quantity = needed_for.iter().map(|(_, count)| *count).sum();
        let item = listed.words.with_pieces(pieces.collect());
        OrderLine { item, quantity, needed_for, ..listed.line.clone() }
    };
    list.lines.iter().map(part).filter(|line| !line.quantity.is_zero()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_for_paper_stand_on_one_line_and_read_one_way() {
        assert_eq!(plain("  QM-1\t\r\n02\u{0}x "), "QM-1 02 x");
        assert_eq!(plain("AB\u{202e}21\u{202c}\u{2066}x\u{2069}"), "AB21x");
        assert_eq!(plain("\u{5d0}\u{5d1} 3/4"), "\u{5d0}\u{5d1} 3/4", "letters of any script stay");
        assert_eq!(supplier_key(" Quillmoor  SUPPLY\n"), supplier_key("Quillmoor Supply"));
    }
}
