//! Money that cannot be meant: markup that leaves nothing for the cost, changes of what is no alternate, quotes that are too old for the bid's date, or younger than it.

use super::Facts;
use crate::check::findings::prices::{
    AlternateNotPriced, MarkupOverPrice, QuoteTooOld, QuotedLater, QuotesNotJudged, TravelTwice,
};
use crate::finding::{Finding, Sink, excerpt};
use crate::model::{Raw, Setting, date_text};
use crate::place::Place;
use rust_decimal::Decimal;

/// Only an alternate is priced by what it changes.
pub(super) fn changes(facts: &Facts, sink: &mut Sink) {
    for term in facts.job.terms.iter().filter(|term| &*term.kind.value != "alternate" && !term.change.is_blank()) {
        if let Some(place) = &term.change.cell {
            let (alternate, kind) = (excerpt(&term.text.value), excerpt(&term.kind.value));
            let reason = format!("its Kind is {kind}, and only an alternate changes the job.");
            sink.at(place, AlternateNotPriced { alternate, reason });
        }
    }
}

/// Overhead and profit that leave nothing of the price for the cost.
pub(super) fn markup(facts: &Facts, sink: &mut Sink) {
    let share = |setting| facts.job.number(setting).unwrap_or_default();
    let shares = share(Setting::Overhead).saturating_add(share(Setting::Profit));
    if &*facts.job.text(Setting::Markup) == "on price" && shares >= Decimal::ONE {
        let place = facts.job.settings.get(&Setting::Profit).and_then(|field| field.cell.as_ref());
        let percent = shares.saturating_mul(Decimal::ONE_HUNDRED).round().to_string();
        sink.push(Finding::near(place, MarkupOverPrice { percent }));
    }
}

/// Words that a row of Other costs for travel has one of.
const TRAVEL: &[&str] = &["travel", "mileage", "drive", "driving", "trip", "trips"];

/// Travel that stands in Other costs, beside trips that are counted.
pub(super) fn travel(facts: &Facts, sink: &mut Sink) {
    let ways = [Setting::DriveHours, Setting::DriveMiles, Setting::SupplyHours, Setting::SupplyMiles];
    let filled: Vec<&'static str> =
        ways.into_iter().filter(|way| facts.job.number(*way).is_some()).map(|way| way.name).collect();
    let is_travel =
        |words: &str| words.to_lowercase().split(|c: char| !c.is_alphanumeric()).any(|word| TRAVEL.contains(&word));
    let rows = facts.job.other_costs.iter().filter(|cost| !filled.is_empty() && is_travel(&cost.item.value));
    for cost in rows {
        sink.at(&cost.item.place, TravelTwice { item: excerpt(&cost.item.value), settings: filled.clone() });
    }
}

/// The age of each quote by the bid's Date; without a Date none is judged, which is said once.
pub(super) fn quotes(facts: &Facts, sink: &mut Sink) {
    let dated =
        || facts.job.prices.iter().filter_map(|price| Some((price, price.quoted.value?, price.quoted.cell.as_ref()?)));
    let Some(limit) = facts.job.number(Setting::PriceAgeLimit) else { return };
    let Some(date) = facts.job.number(Setting::Date) else {
        // A Date that could not be read has its finding.
        let field = facts.job.settings.get(&Setting::Date);
        let blank = field.is_none_or(|field| field.raw == Raw::Blank);
        if let (true, Some((_, _, first))) = (blank, dated().next()) {
            let place = field.and_then(|field| field.cell.as_ref()).unwrap_or(first);
            sink.at(place, QuotesNotJudged { quotes: dated().count() });
        }
        return;
    };
    // Many rows of one supplier and one date are one quote: told at the first of them.
    let mut seen: Vec<(String, Decimal, &Place, usize)> = Vec::new();
    for (price, quoted, place) in dated() {
        let age = date - quoted;
        if age >= Decimal::ZERO && age <= limit {
            continue;
        }
        let supplier = price.supplier.get().map(|name| excerpt(&name)).unwrap_or_default();
        match seen.iter_mut().find(|(of, date, ..)| *of == supplier && *date == quoted) {
            Some((_, _, _, rows)) => *rows += 1,
            None => seen.push((supplier, quoted, place, 1)),
        }
    }
    for (supplier, quoted, place, rows) in seen {
        let age = date - quoted;
        let quoted = date_text(quoted);
        match age < Decimal::ZERO {
            true => sink.at(place, QuotedLater { rows, supplier, quoted, date: date_text(date) }),
            false => {
                let (days, limit) = (age.normalize().to_string(), limit.normalize().to_string());
                sink.at(place, QuoteTooOld { rows, supplier, quoted, days, limit });
            }
        }
    }
}
