//! What the counter must know of a thing beyond its size and ends: said on its line where the job knows it, asked of the user
//! where it does not.

use super::words::{described, plain};
use super::{Context, Order};
use crate::finding::{Finding, excerpt};
use crate::input::US;
use crate::model::Setting;
use crate::order::findings::{CounterWouldAsk, CounterWouldAskFixture};
use crate::rules::Item;
use std::collections::BTreeSet;

/// Everything that is said of a thing on its line: what Prices says, then what the job and the rules know besides.
pub(super) fn said(context: &Context, item: &Item, line: usize, description: &str) -> String {
    let mut said: Vec<String> = [plain(description)].into_iter().filter(|words| !words.is_empty()).collect();
    let mut add = |words: String| {
        let known = |own: &String| own.to_lowercase().contains(&words.to_lowercase());
        if !words.is_empty() && !said.iter().any(known) {
            said.push(words);
        }
    };
    context.rules.counter(item).for_each(|row| add(row.says.to_string()));
    if item.kind == "pipe" && item.material == "PEX" {
        add(if &*context.job.text(Setting::Joining) == "expansion" { "type A" } else { "type A or B" }.to_owned());
        add(if &*context.job.text(Setting::PipeColor) == "one" { "any color" } else { "" }.to_owned());
    }
    if item.kind == "sleeve seal" {
        add(seals(context, line));
    }
    makers(context, item).into_iter().for_each(&mut add);
    // A question that is answered where the device is listed.
    for row in context.rules.counter(item).filter(|row| !row.asks.is_empty() && !row.is_answered(description)) {
        let notes = context.job.devices.iter().filter(|device| *device.kind.value == *item.kind);
        let notes = notes.filter_map(|device| device.note.get()).map(|note| plain(&note));
        notes.filter(|note| row.is_answered(note)).for_each(&mut add);
    }
    said.join(", ")
}

/// Maker, model and finish of fixtures that we furnish and Prices prices.
fn makers(context: &Context, item: &Item) -> Vec<String> {
    let fixtures = context.job.fixtures.iter().filter(|fixture| {
        let kind = context.rules.canonical_fixture(&fixture.fixture.value);
        let ours = fixture.furnisher().is_none_or(|who| who == US) && !fixture.is_priced_here();
        let of_job = fixture.status.get().unwrap_or_default().is_of_this_job();
        kind == Some(&*item.kind) && ours && of_job
    });
    let words = fixtures
        .map(|fixture| [described(fixture), fixture.rough_in.get().map(|words| plain(&words)).unwrap_or_default()]);
    words.flatten().filter(|words| !words.is_empty()).collect::<BTreeSet<_>>().into_iter().collect()
}

/// `1-1/4" pipe in a 2" sleeve`: which pipe each seal is for.
fn seals(context: &Context, line: usize) -> String {
    let counts = &context.take_off.parts.counts;
    let item = &context.take_off.lines[line].item;
    let used = |count: &&crate::parts::Count| !count.quantity.value().is_zero();
    let mut all = BTreeSet::new();
    for seal in counts.iter().filter(used).filter(|count| count.item == *item) {
        let of_run = || counts.iter().filter(used).filter(|count| count.origin.place == seal.origin.place);
        let size = |count: &crate::parts::Count| count.item.sizes.first().map(|size| size.key());
        let sleeve = of_run().find(|count| count.item.kind.ends_with(" sleeve")).and_then(size);
        let pipe = of_run().find(|count| count.is_run());
        if let (Some(sleeve), Some(pipe)) = (sleeve, pipe) {
            let of = pipe.key.value().to_string();
            all.insert(format!("for {} in a {sleeve} sleeve", of.strip_prefix("pipe ").unwrap_or(&of)));
        }
    }
    all.into_iter().collect::<Vec<_>>().join(", ")
}

/// What the counter would still ask, told once for each row of Prices or fixture.
pub(super) fn find(context: &Context, orders: &[Order], findings: &mut Vec<Finding>) {
    let mut told = BTreeSet::new();
    for line in orders.iter().flat_map(|order| &order.lines) {
        let item = Item::new(&line.key.kind, &line.key.material, &line.key.sizes);
        let item = line.line.map_or(item, |at| context.take_off.lines[at].item.clone());
        let all = format!("{} {}", line.item, line.size);
        let rows = context.rules.counter(&item).filter(|row| !row.is_answered(&all));
        let (asks, answers): (Vec<&str>, Vec<&str>) = rows.map(|row| (&*row.asks, &*row.answers)).unzip();
        if asks.is_empty() {
            continue;
        }
        let asked = asks.join(", ");
        if let Some(row) = line.price.map(|row| &context.job.prices[row]) {
            let place = row.description.cell.as_ref().unwrap_or(&row.kind.place);
            let answers = answers.join(", ").replace(';', ", ");
            if told.insert(place.clone()) {
                findings.push(Finding::at(place, CounterWouldAsk { item: item.text(), asks: asked.clone(), answers }));
            }
        }
        let fixtures = context.job.fixtures.iter().filter(|fixture| line.fixtures.contains(&fixture.tag.value));
        for fixture in fixtures {
            let place = fixture.model.cell.as_ref().unwrap_or(&fixture.tag.place);
            let (tag, kind) = (excerpt(&fixture.tag.value), item.kind.clone());
            if told.insert(place.clone()) {
                let facts = CounterWouldAskFixture { tag, fixture: kind, asks: asked.clone() };
                findings.push(Finding::at(place, facts));
            }
        }
    }
}
