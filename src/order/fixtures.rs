//! Fixtures that the Fixtures sheet prices: each on the order of the supplier that its row names, by maker and model.

use super::lines::{FixtureLine, Listed};
use super::words::{described, plain, supplier_key};
use super::{Context, OrderLine};
use crate::finding::{Finding, excerpt};
use crate::model::order_form::LineKey;
use crate::model::{Fixture, Phase, Setting, Status};
use crate::order::findings::{FixtureNotPicked, FixtureWithoutSupplier};
use crate::rules::Item;
use rust_decimal::Decimal;

/// Fixtures of this job that we buy by their row and that are not in yet. Those alike are one line.
pub(super) fn lines(context: &Context) -> Vec<FixtureLine> {
    let mut all: Vec<FixtureLine> = Vec::new();
    for fixture in ours(context).filter(|fixture| is_picked(fixture)) {
        let supplier = supplier(context, fixture);
        let listed = listed(context, fixture);
        let alike = all.iter_mut().find(|line| {
            let same =
                supplier_key(&line.supplier) == supplier_key(&supplier) && line.listed.line.key == listed.line.key;
            same && line.listed.line.item == listed.line.item && line.listed.line.quoted == listed.line.quoted
        });
        match alike {
            Some(known) => {
                known.listed.by_phase.iter_mut().zip(&listed.by_phase).for_each(|(sum, more)| *sum += more);
                known.listed.line.fixtures.extend(listed.line.fixtures);
            }
            None => all.push(FixtureLine { supplier, listed }),
        }
    }
    all
}

fn ours<'a>(context: &'a Context) -> impl Iterator<Item = &'a Fixture> {
    context.job.fixtures.iter().filter(|fixture| {
        let status = fixture.status.get().unwrap_or_default();
        fixture.is_priced_here() && status.is_of_this_job() && status != Status::Installed
    })
}

/// Without a maker, a model or a price nobody knows which one it is.
fn is_picked(fixture: &Fixture) -> bool {
    fixture.price.value.is_some() || fixture.maker.value.is_some() || fixture.model.value.is_some()
}

/// The row's own, else Quotes from, else whoever is named first in Prices.
fn supplier(context: &Context, fixture: &Fixture) -> String {
    let own = plain(fixture.supplier.text());
    let from = plain(&context.job.text(Setting::QuotesFrom));
    let mut named = context.job.prices.iter().filter_map(|price| price.supplier.get());
    [own, from]
        .into_iter()
        .find(|name| !name.is_empty())
        .or_else(|| named.next().map(|name| plain(&name)))
        .unwrap_or_default()
}

fn listed(context: &Context, fixture: &Fixture) -> Listed {
    let kind = context.rules.canonical_fixture(&fixture.fixture.value).unwrap_or(&fixture.fixture.value);
    let item = Item::new(kind, "", &[]);
    let which = described(fixture);
    // The key tells fixtures of one kind apart as Prices tells pipe: by what they are of.
    let key = LineKey::new(kind, &which, &[], "each", Decimal::ONE);
    let rough_in = plain(fixture.rough_in.text());
    let said = [which, rough_in].into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ");
    let price = fixture.price.value;
    let words = super::words::item(context, &item, "", &said, price.is_none());
    // Tubs and shower bases are built in with the rough-in. Source: common practice.
    let phase = if matches!(kind, "bathtub" | "shower") { Phase::RoughIn } else { Phase::Trim };
    let mut by_phase = super::phases::ByPhase::default();
    by_phase[phase as usize] = fixture.count.value.unwrap_or(Decimal::ONE);
    let group = context.rules.picking(kind).map_or(crate::rules::OTHER_GROUP.into(), |(_, row)| row.group.clone());
    let line = OrderLine {
        key,
        group,
        item: words.item.clone(),
        size: String::new(),
        part: String::new(),
        quantity: Decimal::ZERO,
        unit: "each".to_owned(),
        pack: Decimal::ONE,
        feet: false,
        needed_for: Vec::new(),
        quote: price.is_none(),
        quoted: price,
        line: None,
        price: None,
        fixtures: vec![fixture.tag.value.clone()],
    };
    Listed { line, by_phase, pieces: Vec::new(), words }
}

/// What stands in the way of ordering them.
pub(super) fn find(context: &Context, findings: &mut Vec<Finding>) {
    let mut nameless = Vec::new();
    for fixture in ours(context) {
        let tag = excerpt(&fixture.tag.value);
        if !is_picked(fixture) {
            let place = fixture.model.cell.as_ref().unwrap_or(&fixture.tag.place);
            findings.push(Finding::at(place, FixtureNotPicked { tag, fixture: excerpt(&fixture.fixture.value) }));
        } else if supplier_key(fixture.supplier.text()).is_empty() {
            nameless.push((tag, fixture));
        }
    }
    if let Some((_, first)) = nameless.first() {
        let supplier = excerpt(&supplier(context, first));
        let place = first.supplier.cell.as_ref().unwrap_or(&first.tag.place);
        let tags = nameless.iter().map(|(tag, _)| tag.to_string()).collect();
        findings.push(Finding::at(place, FixtureWithoutSupplier { tags, supplier }));
    }
}
