//! The Bid sheet: what the customer reads and signs.

use super::cautions::{self, Limits};
use super::flags::Flags;
use super::money::{self, LABEL, Payments, WORDS};
use super::scope_counts::ScopeCounts;
use super::{Context, page_breaks, scope, terms};
use crate::figure::{Book, Look, Term};
use crate::model::Setting;
use crate::sheets::Page;
use crate::table::List;
use crate::unit::Unit;

/// Lines that the place to sign takes on paper.
const SIGNATURE_LINES: f64 = 11.0;

/// A rule to write on.
const RULE: &str = "____________________________";

pub(super) fn put(
    book: &mut Book,
    context: &Context,
    scope_counts: &ScopeCounts,
    limits: &Limits,
) -> (Payments, Flags) {
    let sheet = context.page(Page::Bid);
    head(book, context);
    scope::put(book, context, scope_counts);
    page_breaks::keep_together(book, sheet, money::PRICE_LINES);
    money::prices(book, context);
    let flags = Flags::room(book, context);
    money::choices(book, context);
    let payments = money::payments(book, context);
    let words = ["This price holds for ", " days from the date of this bid."].map(Term::text);
    let days = context.settings.get(Setting::ValidDays);
    book.words(sheet, Look::Heading, "Validity");
    book.line(sheet, Look::Words, Term::join(&[&words[0], &days, &words[1]]));
    // A page of its own, so that what is agreed stands with the place to sign.
    book.page_break(sheet);
    terms::put(book, context);
    cautions::put(book, context, limits);
    page_breaks::keep_together(book, sheet, SIGNATURE_LINES);
    signatures(book, context);
    (payments, flags)
}

/// Whose bid it is, for what, for whom, when.
fn head(book: &mut Book, context: &Context) {
    let sheet = context.page(Page::Bid);
    let setting = |setting: Setting| context.settings.get(setting);
    let given = |setting: Setting| !context.settings.is_blank(setting);
    book.words(sheet, Look::Title, "Bid for plumbing work");
    let list = List::put(book, sheet, "", [LABEL, WORDS], Unit::None);
    let mut put = |words: &str, term: Term, unit: Unit| _ = list.line_in(book, words, term, unit);
    // What nobody filled in is left out; who it is for, who made it and when may be written in by hand.
    let or_rule = |setting: Setting| {
        let cell = context.settings.get(setting);
        match context.settings.is_blank(setting) {
            true => cell.is_blank().pick(&Term::text(RULE), &cell),
            false => cell,
        }
    };
    if given(Setting::JobName) {
        put("Job", setting(Setting::JobName), Unit::None);
    }
    if given(Setting::Site) {
        put("Site", setting(Setting::Site), Unit::None);
    }
    put("Prepared for", or_rule(Setting::PreparedFor), Unit::None);
    put("Prepared by", or_rule(Setting::PreparedBy), Unit::None);
    let revision = setting(Setting::Revision);
    let number = match given(Setting::BidNumber) {
        true => Term::join(&[&setting(Setting::BidNumber), &Term::text(", revision "), &revision]),
        false => Term::join(&[&Term::text("revision "), &revision]),
    };
    put("Bid", number, Unit::None);
    put("Date", or_rule(Setting::Date), Unit::Date);
    if given(Setting::StartDate) {
        put("Start", setting(Setting::StartDate), Unit::Date);
    }
    let calendar = &context.labor.calendar;
    let takes = Term::join(&[&calendar.weeks.show(1), &Term::text(" weeks, waits between phases included")]);
    put("Duration, about", takes, Unit::None);
    if given(Setting::StartDate) {
        put("Estimated completion", calendar.ends.clone(), Unit::Date);
    }
    let code = [&Term::text("Sized by the tables of the "), &setting(Setting::CodeBasis)];
    let code = Term::join(&[code[0], code[1], &Term::text("; local code governs")]);
    put("Code", code, Unit::None);
}

/// Both sides sign.
fn signatures(book: &mut Book, context: &Context) {
    let sheet = context.page(Page::Bid);
    book.words(sheet, Look::Heading, "Agreed");
    book.words(
        sheet,
        Look::Words,
        "The work, the prices and the terms above are agreed. Changes are made by signed change order only.",
    );
    if !context.settings.is_blank(Setting::License) {
        let license = context.settings.get(Setting::License);
        book.line(sheet, Look::Words, Term::join(&[&Term::text("License "), &license]));
    }
    for (who, setting) in [("Contractor: ", Setting::PreparedBy), ("Accepted: ", Setting::PreparedFor)] {
        let tail = Term::text("name, signature, date");
        let start = Term::text(who);
        let words = match context.settings.is_blank(setting) {
            true => Term::join(&[&start, &tail]),
            false => Term::join(&[&start, &context.settings.get(setting), &Term::text("; "), &tail]),
        };
        book.gap(sheet);
        match context.settings.is_blank(setting) {
            // Words that rest on no cell are words, not a formula.
            true => book.words(sheet, Look::Signature, &words.value().to_string()),
            false => book.line(sheet, Look::Signature, words),
        };
    }
}
