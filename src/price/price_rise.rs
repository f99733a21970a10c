//! What happens to a quoted price until the material is bought: it rises, where the job carries prices to Start date; and it
//! may run out before the phase that needs it.

use super::Context;
use super::findings::QuoteExpires;
use super::lines::PricedLine;
use crate::figure::{Book, Term, Value};
use crate::finding::{Finding, excerpt};
use crate::model::{Phase, Setting, date_text};
use crate::parts::Cost;
use crate::place::Place;
use crate::rules::{Listing, YEAR};
use crate::table::columns;
use rust_decimal::Decimal;

columns! {
    struct Columns on CostBuildUp("What is to buy, carried from Quoted to Start date") {
        name: "Line", words 36;
        quoted: "Quoted on", Date;
        days: "Days until Start date", Days;
        yearly: "Rise in a year", Percent;
        to_buy: "Amount to buy", Money;
        rise: "Rise", Money;
    }
}

/// The rise of all lines, as a cost; `None` where the job carries no prices.
pub(super) fn rise(book: &mut Book, context: &Context, lines: &[PricedLine]) -> Option<Cost> {
    let dated: Vec<(&PricedLine, &Term)> =
        lines.iter().filter_map(|line| Some((line, line.quoted.as_ref()?))).collect();
    if !context.job.carries_prices() || dated.is_empty() {
        return None;
    }
    let columns = Columns::on_page(book, context);
    let mut shares = Listing::new(context, "How much dearer material gets in a year");
    let (zero, start) = (Term::number(0), context.settings.get(Setting::StartDate));
    for (line, quoted) in dated {
        let of = &context.take_off.lines[line.line];
        let Some(rule) = context.rules.price_rise(&of.item) else { continue };
        let row = book.row(columns.table);
        if of.idle {
            book.mark(row, crate::figure::CellKind::Idle);
        }
        book.put(row, columns.name, of.key.clone());
        let quoted = book.put(row, columns.quoted, quoted.clone());
        let both = quoted.is_number().and(&start.is_number()).and(&quoted.above(&zero));
        let days = book.put(row, columns.days, both.pick(&(&start - &quoted).max(&zero), &zero));
        let yearly = shares.row(book, rule).yearly;
        let yearly = book.put(row, columns.yearly, yearly);
        let to_buy = book.put(row, columns.to_buy, line.to_buy.clone());
        book.put(row, columns.rise, (to_buy * yearly * days / Term::number(YEAR)).cents());
    }
    Some(Cost {
        what: Term::text("Material escalation from quote to Start date"),
        phase: None,
        quantity: Term::number(1),
        price: Term::sum(&book.whole(columns.rise)),
        tax_rate: Some(context.settings.get(Setting::TaxRate)),
    })
}

/// A supplier's quote of one date: told at the first of its rows.
struct Quote<'a> {
    supplier: &'a str,
    quoted: Decimal,
    /// The first phase that needs any of its lines, and the day it begins.
    needed: (Phase, Decimal),
    place: &'a Place,
    lines: usize,
}

/// Quotes that are good at the bid's Date and run out before the first phase that needs what they offer.
pub(super) fn expiring(context: &Context, lines: &[PricedLine], findings: &mut Vec<Finding>) {
    let Some(limit) = context.job.number(Setting::PriceAgeLimit) else { return };
    let date = context.job.number(Setting::Date).unwrap_or_default();
    let mut quotes: Vec<Quote> = Vec::new();
    for line in lines {
        let of = &context.take_off.lines[line.line];
        let row = context.job.prices.iter().find(|price| Some(price.row) == line.price_row);
        let Some((row, quoted)) = row.and_then(|row| Some((row, row.quoted.value?))) else { continue };
        let (Some(place), Some(needed)) = (row.quoted.cell.as_ref(), first_needed(context, of)) else { continue };
        let until = quoted + limit;
        if until < date || until >= needed.1 || line.to_buy.value().is_zero() {
            continue;
        }
        let supplier = &*line.supplier;
        match quotes.iter_mut().find(|quote| quote.supplier == supplier && quote.quoted == quoted) {
            Some(quote) => {
                quote.lines += 1;
                if needed.1 < quote.needed.1 {
                    quote.needed = needed;
                }
            }
            None => quotes.push(Quote { supplier, quoted, needed, place, lines: 1 }),
        }
    }
    for Quote { supplier, quoted, needed: (phase, needed), place, lines } in quotes {
        let (until, needed) = (date_text(quoted + limit), date_text(needed));
        let (supplier, quoted, phase) = (excerpt(supplier), date_text(quoted), phase.word());
        findings.push(Finding::at(place, QuoteExpires { lines, supplier, quoted, until, needed, phase }));
    }
}

/// The first phase that needs any of a line, and the day it begins.
fn first_needed(context: &Context, line: &crate::takeoff::Line) -> Option<(Phase, Decimal)> {
    let needed =
        |phase: &Phase| line.by_phase[*phase as usize].as_ref().is_some_and(|quantity| !quantity.value().is_zero());
    let calendar = &context.labor.calendar.phases;
    let begins = Phase::ALL.into_iter().filter(needed).filter_map(|phase| {
        let days = calendar.iter().find(|days| days.phase == phase)?;
        match days.begins.value() {
            Value::Exact(date) => Some((phase, *date)),
            _ => None,
        }
    });
    begins.min_by_key(|(_, date)| *date)
}
