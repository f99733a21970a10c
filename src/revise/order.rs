//! The change order: what both sides sign before the change is made. Its reason and days stand in Job.

use super::inputs::InputChange;
use super::sentences::ChangeSummary;
use super::{Comparison, Context};
use crate::figure::{Book, CellKind, Look, SheetId, Term, Value};
use crate::model::Setting;
use crate::sheets::Page;
use crate::table::List;
use crate::unit::Unit;
use std::sync::Arc;

const LABEL: f64 = 30.0;
const WORDS: f64 = 58.0;
/// A rule to write on.
const RULE: &str = "____________________________";
/// Hours of a working day, for turning hours into days. Common practice.
const HOURS_A_DAY: u32 = 8;
const DO_NOT_SIGN: &str = "Prices are missing: do not sign this change order.";
/// Inputs named on the page; the Changes sheet has all.
const NAMED: usize = 12;

pub(super) fn put(
    book: &mut Book,
    context: &Context,
    comparison: &Comparison,
    summary: &ChangeSummary,
    sheet: SheetId,
) {
    head(book, context, comparison, sheet);
    book.words(sheet, Look::Heading, "Description of change");
    let inputs: Vec<&InputChange> = comparison.inputs.iter().filter(|input| !input.is_shop_matter()).collect();
    for input in inputs.iter().take(NAMED) {
        book.words(sheet, Look::Words, &format!("{}.", input.words()));
    }
    if inputs.len() > NAMED {
        book.words(sheet, Look::Words, &format!("And {} more, as the Changes sheet lists them.", inputs.len() - NAMED));
    }
    book.words(sheet, Look::Heading, "What that means");
    let space = Term::text(" ");
    let mut parts: Vec<&Term> = Vec::new();
    for sentence in &summary.for_customer {
        if !parts.is_empty() {
            parts.push(&space);
        }
        parts.push(sentence);
    }
    book.line(sheet, Look::Words, Term::join(&parts));
    money(book, context, comparison, summary, sheet);
    days(book, context, summary, sheet);
    signatures(book, context, sheet);
}

/// Which bid, for whom, when, why.
fn head(book: &mut Book, context: &Context, comparison: &Comparison, sheet: SheetId) {
    book.words(sheet, Look::Title, Page::ChangeOrder.name());
    let list = List::put(book, sheet, "", [LABEL, WORDS], Unit::None);
    let mut put = |words: &str, term: Term, unit: Unit| _ = list.line_in(book, words, term, unit);
    let setting = |setting: Setting| context.settings.get(setting);
    let given = |setting: Setting| !context.settings.is_blank(setting);
    let or_rule = |of: Setting| match given(of) {
        true => setting(of),
        false => setting(of).is_blank().pick(&Term::text(RULE), &setting(of)),
    };
    let revision = setting(Setting::Revision);
    let bid = match given(Setting::BidNumber) {
        true => Term::join(&[&setting(Setting::BidNumber), &Term::text(", revision "), &revision]),
        false => Term::join(&[&Term::text("revision "), &revision]),
    };
    put("New revision", bid, Unit::None);
    for (words, of) in [("Job", Setting::JobName), ("Site", Setting::Site)] {
        if given(of) {
            put(words, setting(of), Unit::None);
        }
    }
    put("Prepared for", or_rule(Setting::PreparedFor), Unit::None);
    put("Prepared by", or_rule(Setting::PreparedBy), Unit::None);
    put("Date", or_rule(Setting::Date), Unit::Date);
    put("Reason", or_rule(Setting::ChangeReason), Unit::None);
    let row = list.label(book, "Changes");
    book.label(row, list.value, &comparison.old.origin);
}

fn money(book: &mut Book, context: &Context, comparison: &Comparison, summary: &ChangeSummary, sheet: SheetId) {
    allowances(book, context, sheet);
    book.words(sheet, Look::Heading, "Price");
    let list = List::put(book, sheet, "", [LABEL, WORDS], Unit::Money);
    if let Some(shown) = comparison.shown {
        let from: Arc<str> = "the bid as it was handed over".into();
        let row = list.label(book, &format!("Price that {} showed", comparison.old.origin));
        let shown = book.carry(row, list.value, Value::Exact(shown), &from);
        list.line(book, "Entered in it since", &summary.old_price - shown);
    }
    let mut put = |words: &str, term: &Term, kind: CellKind| {
        list.line_like(book, words, term.clone(), kind);
    };
    put(&format!("Price of {}", comparison.old.origin), &summary.old_price, CellKind::Plain);
    put("This change", &summary.difference, CellKind::Plain);
    put("Price with this change", &summary.new_price, CellKind::Total);
    book.line(sheet, Look::Flag, summary.incomplete.clone());
    let unsigned = summary.incomplete.is_blank().pick(&Term::text(""), &Term::text(DO_NOT_SIGN));
    book.line(sheet, Look::Flag, unsigned);
    failing(book, context, sheet);
    let days = context.settings.get(Setting::ValidDays);
    let words = ["This price holds for ", " days from the date above."].map(Term::text);
    book.line(sheet, Look::Small, Term::join(&[&words[0], &days, &words[1]]));
}

/// Each allowance that something was chosen for: what was allowed, what the choice costs, over or under.
fn allowances(book: &mut Book, context: &Context, sheet: SheetId) {
    let chosen = context.bid.allowances.iter().filter_map(|allowance| Some((allowance, allowance.over()?)));
    let (zero, currency) = (Term::number(0), context.settings.get(Setting::Currency));
    for (index, (allowance, over)) in chosen.enumerate() {
        if index == 0 {
            book.words(sheet, Look::Heading, "Allowances");
        }
        let by = over.max(&(&zero - &over)).show_money();
        let which = over.at_least(&zero).pick(&Term::text(" over."), &Term::text(" under."));
        let cost = allowance.chosen.as_ref().unwrap_or(&zero).show_money();
        let [allowed, chosen, comma] = [": allowed ", ", chosen at ", ", "].map(Term::text);
        let money = allowance.allowed.show_money();
        let words =
            [&allowance.what, &allowed, &currency, &money, &chosen, &currency, &cost, &comma, &currency, &by, &which];
        book.line(sheet, Look::Words, Term::join(&words));
    }
}

/// In red while the changed job would not work as it should: whoever signs has to know.
fn failing(book: &mut Book, context: &Context, sheet: SheetId) {
    for flag in &context.entries.flags {
        book.line(sheet, Look::Flag, flag.shown(&flag.on_change_order));
    }
}

/// Working days: what Job says, else what the hours say.
fn days(book: &mut Book, context: &Context, summary: &ChangeSummary, sheet: SheetId) {
    book.words(sheet, Look::Heading, "Time");
    let list = List::put(book, sheet, "", [LABEL, WORDS], Unit::Hours);
    let hours = list.line(book, "Hours of work more or less", summary.hours.clone());
    let crew = context.settings.get(Setting::Crew).max(&Term::number(1));
    let crew = list.line_in(book, "At once on the job", crew, Unit::Each);
    // A few minutes do not make a day: to the nearest one.
    let by_hours = (&hours / &(crew * Term::number(HOURS_A_DAY))).round(0);
    let typed = context.settings.get(Setting::ChangeDays);
    let zero = Term::number(0);
    let is_none = |figure: &Term| figure.at_least(&zero).and(&zero.at_least(figure));
    let some = is_none(&hours).pick(&Term::text("none"), &Term::text("less than half a day"));
    let by_hours = is_none(&by_hours).pick(&some, &by_hours);
    let days = typed.is_blank().pick(&by_hours, &typed);
    let days = list.line_like(book, "Working days more or less", days, CellKind::Total);
    book.unit(&days, Unit::Days);
    let words = format!(
        "Where Job says nothing under Change days, by the hours: {HOURS_A_DAY} hours a day, to the nearest day."
    );
    book.words(sheet, Look::Small, &words);
}

fn signatures(book: &mut Book, context: &Context, sheet: SheetId) {
    book.words(sheet, Look::Heading, "Agreed");
    book.words(
        sheet,
        Look::Words,
        "The change, its price and its time are agreed and become part of the bid; all other terms of the bid stay as \
         they are.",
    );
    for (who, setting) in [("Contractor: ", Setting::PreparedBy), ("Accepted: ", Setting::PreparedFor)] {
        book.gap(sheet);
        let tail = "name, signature, date";
        match context.settings.is_blank(setting) {
            true => book.words(sheet, Look::Signature, &format!("{who}{tail}")),
            false => {
                let name = context.settings.get(setting);
                book.line(
                    sheet,
                    Look::Signature,
                    Term::join(&[&Term::text(who), &name, &Term::text(format!("; {tail}"))]),
                )
            }
        };
    }
}
