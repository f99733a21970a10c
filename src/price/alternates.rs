//! Alternates that the engine priced: each is the whole job with something changed, held against the job as it stands.
//!
//! The prices come in as plain values, made by whoever can price whole jobs; what stands here is their difference, and a
//! check that says when they have to be made anew.

use super::Context;
use crate::basis::{Record, record};
use crate::choice::Choice;
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, Look, Term, Value};
use crate::input::sum_of;
use crate::sheets::Page;
use crate::table::columns;
use crate::view::View;
use rust_decimal::Decimal;
use std::sync::Arc;

/// An alternate as a whole second pricing of the job.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternate {
    /// Its row in Terms, from 0.
    pub row: u32,
    pub total: Decimal,
    /// What the job comes to without it, priced the same way.
    pub base_total: Decimal,
    pub hours: Decimal,
    pub base_hours: Decimal,
    /// Runs that get another pipe, in words.
    pub re_sized: String,
    /// `yes`, or why it does not pass.
    pub passes: String,
    /// False where it fails and the job without it does not: then the bid offers no price for it.
    pub offered: bool,
}

impl Alternate {
    /// Whether it leaves everything that is shown of it as it is.
    pub(crate) fn changes_nothing(&self) -> bool {
        self.total == self.base_total && self.hours == self.base_hours && self.re_sized.is_empty()
    }
}

/// Its add or deduct, as figures.
#[derive(Debug)]
pub struct PricedAlternate {
    pub row: u32,
    pub amount: Term,
    /// `OK`, or `price again`.
    pub check: Term,
    pub offered: bool,
}

columns! {
    struct Columns on CostBuildUp("Each as its own add or deduct, in no total") {
        text: "Alternate", words 36;
        with: "Total with it", Money;
        without: "Total without it", Money;
        amount: "Add or deduct", total Money;
        hours: "Hours more", Hours;
        passes: "Passes", words 12;
        check: "Check", check 14;
        now: "Change", words 12;
        was: Choice::Alternate.heading(), quiet words 12;
        sized: "Runs re-sized", quiet words 12;
    }
}

pub(super) fn put(book: &mut Book, context: &Context, total: &Term) -> Vec<PricedAlternate> {
    let of = |row: u32| context.job.terms.iter().find(|term| term.row == row);
    if context.alternates.is_empty() {
        return Vec::new();
    }
    book.words(context.page(Page::CostBuildUp), Look::Heading, "Alternates");
    book.words(
        context.page(Page::CostBuildUp),
        Look::Small,
        "Each is the whole job, sized and priced anew with the change that Terms names: by the foot, as the total is.",
    );
    let verdict = chosen_on(book, context, total);
    let Columns { table, text, with, without, amount, hours, passes, check, now, was, sized } =
        Columns::on_page(book, context);
    let from: Arc<str> = "the whole job priced with this change".into();
    let exact = |number: Decimal| Value::Exact(number.normalize());
    let mut priced = Vec::new();
    for alternate in context.alternates {
        let Some((term, change)) = of(alternate.row).and_then(|term| Some((term, term.change.as_typed(book)?))) else {
            continue;
        };
        let row = book.row(table);
        let words = term.text.figure(book);
        book.put(row, text, words);
        let more = book.carry(row, with, exact(alternate.total), &from);
        let base = book.carry(row, without, exact(alternate.base_total), &from);
        let amount = book.put(row, amount, (more - base).cents());
        book.carry(row, hours, exact(alternate.hours - alternate.base_hours), &from);
        book.carry(row, passes, Value::text(alternate.passes.as_str()), &from);
        let typed = change.value().clone();
        let change = book.put(row, now, change);
        let recorded = book.carry(row, was, typed, &from);
        let same = change.same(&recorded).and(&verdict.is_ok());
        let check = book.put(row, check, same.ok_or(PRICE_AGAIN));
        book.carry(row, sized, Value::text(alternate.re_sized.as_str()), &from);
        priced.push(PricedAlternate { row: alternate.row, amount, check, offered: alternate.offered });
    }
    priced
}

/// The total and the numbers of the input sheets, as they are and as they were: a change of any moves the alternates too.
fn chosen_on(book: &mut Book, context: &Context, total: &Term) -> Term {
    let job = context.job;
    let mut now = vec![("Total of the bid", total.clone())];
    let mut column = |words: &'static str, term: Option<Term>| now.extend(term.map(|term| (words, term)));
    column("Prices, sum", sum_of(book, job.prices.iter().map(|price| &price.price)));
    column("Packs, sum", sum_of(book, job.prices.iter().map(|price| &price.pack)));
    column("Lengths of the runs, sum", sum_of(book, job.runs.iter().map(|run| &run.length_ft)));
    column("Hours in Labor, sum", sum_of(book, job.labor.iter().map(|task| &task.hours)));
    column("Prices of other costs, sum", sum_of(book, job.other_costs.iter().map(|cost| &cost.price)));
    // What is carried was priced just now, so nothing that an older bid kept is looked at.
    let anew = View { hold: false, ..*context };
    let of = Record {
        kind: Choice::AlternatesBasis,
        title: "What they were priced on",
        question: "Are the alternates still at their price?",
    };
    record(book, &anew, &of, &now)
}
