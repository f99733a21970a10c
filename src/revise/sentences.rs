//! What has changed, in words that a customer can read: one sentence a row, each live in the figures it tells.

use super::compare::{Page, Row, Short};
use super::inputs::InputChange;
use super::{Comparison, Context};
use crate::figure::{Book, Column, SheetId, Term};
use crate::model::Setting;
use crate::table::columns;
use std::collections::BTreeMap;

/// Changes told one by one before the rest is counted.
const LISTED: usize = 5;

/// The sentences and figures that the change order takes over.
pub(super) struct ChangeSummary {
    /// Those that a change order tells.
    pub for_customer: Vec<Term>,
    pub old_price: Term,
    pub new_price: Term,
    pub difference: Term,
    pub hours: Term,
    /// That lines have no price; empty where all have one.
    pub incomplete: Term,
}

columns! {
    /// The list of sentences: made near the head of the sheet, filled when all figures are there.
    pub(super) struct List {
        words: "", words;
    }
}

impl List {
    pub(crate) fn new(book: &mut Book, sheet: SheetId) -> Self {
        let list = book.list(sheet, "In words");
        Self::in_table(book, list)
    }

    pub(crate) fn fill(&self, book: &mut Book, page: &Page, short: &Short, re_sized: &Column) -> ChangeSummary {
        let (context, comparison) = (page.context, page.comparison);
        // What has changed stands on the change order in a list of its own.
        self.label(book, &changes(comparison));
        let mut sentences = Vec::new();
        let currency = context.settings.get(Setting::Currency);
        sentences.push(self.put(book, price(&currency, &short.total)));
        sentences.push(self.put(book, by(&currency, &short.total)));
        sentences.push(self.put(book, hours(&short.hours)));
        let sized = Term::count_where(&[(re_sized, &Term::text("re-sized"))]);
        let some = Term::join(&[&Term::text("Runs that get another pipe: "), &sized, &Term::text(".")]);
        let none = Term::text("No run gets another pipe.");
        sentences.push(self.put(book, sized.above(&Term::number(0)).pick(&some, &none)));
        if let Some(words) = sizes(comparison, context) {
            sentences.push(self.label(book, &words));
        }
        if let (Some(spare), Some(least)) = (&short.spare, &context.entries.least_spare) {
            sentences.push(self.put(book, pressure(&spare.before, &spare.now, &least.run)));
            sentences.push(self.put(book, enough(&spare.now)));
        }
        if let Some(bought) = &context.bid.bought {
            let left = &bought.returns + &bought.stock;
            let words = [
                &Term::text("Of what is bought already, "),
                &currency,
                &left.show_money(),
                &Term::text(" is left over."),
            ];
            self.put(book, Term::join(&words));
        }
        for small in &comparison.installed {
            let words =
                format!("Run {} is in at {}; the changed job wants {} there.", small.run, small.size, small.wanted);
            sentences.push(self.label(book, &words));
        }
        ChangeSummary {
            for_customer: sentences,
            old_price: short.total.before.clone(),
            new_price: short.total.now.clone(),
            difference: short.total.difference.clone(),
            hours: short.hours.difference.clone(),
            incomplete: short.incomplete.clone(),
        }
    }

    fn put(&self, book: &mut Book, sentence: Term) -> Term {
        let row = book.row(self.table);
        book.put(row, self.words, sentence)
    }

    fn label(&self, book: &mut Book, sentence: &str) -> Term {
        let row = book.row(self.table);
        book.label(row, self.words, sentence)
    }
}

/// `Changed since bid H-14 rev 0: main size from 3/4 to 1; and 3 more.`
fn changes(comparison: &Comparison) -> String {
    let from = &comparison.old.origin;
    if comparison.inputs.is_empty() {
        return format!("Against {from} no input has changed.");
    }
    format!("Changed since {from}: {}.", listed(comparison.inputs.iter().map(InputChange::words), LISTED))
}

/// The first few of many, and how many more there are.
pub(super) fn listed(words: impl Iterator<Item = String>, most: usize) -> String {
    let all: Vec<String> = words.collect();
    let more = all.len().saturating_sub(most);
    let mut text = all.into_iter().take(most).collect::<Vec<_>>().join("; ");
    if more > 0 {
        text.push_str(&format!("; and {more} more"));
    }
    text
}

/// `The price goes from $A to $B.`
fn price(currency: &Term, total: &Row) -> Term {
    let [from, to, stop] = ["The price goes from ", " to ", "."].map(Term::text);
    let (before, now) = (total.before.show_money(), total.now.show_money());
    Term::join(&[&from, currency, &before, &to, currency, &now, &stop])
}

/// `That is $C more.`
fn by(currency: &Term, total: &Row) -> Term {
    let zero = Term::number(0);
    let amount = total.difference.max(&(&zero - &total.difference)).show_money();
    let more = total.difference.at_least(&zero).pick(&Term::text(" more."), &Term::text(" less."));
    Term::join(&[&Term::text("That is "), currency, &amount, &more])
}

fn hours(hours: &Row) -> Term {
    let text = Term::text;
    let (before, now) = (hours.before.show(1), hours.now.show(1));
    Term::join(&[&text("The work goes from "), &before, &text(" to "), &now, &text(" hours.")])
}

fn pressure(before: &Term, now: &Term, run: &Term) -> Term {
    let [from, to, at, stop] =
        ["The least pressure to spare goes from ", " to ", " psi, at the end of run ", "."].map(Term::text);
    let (before, now) = (before.show(1), now.show(1));
    Term::join(&[&from, &before, &to, &now, &at, run, &stop])
}

/// Whether that is enough.
fn enough(now: &Term) -> Term {
    let short = Term::text("Below 0 an outlet does not get the pressure it needs.");
    Term::number(0).above(now).pick(&short, &Term::text("Every outlet gets the pressure it needs."))
}

/// `They are SV2, M1 from PEX 3/4" to PEX 1".`
fn sizes(comparison: &Comparison, context: &Context) -> Option<String> {
    let mut by: BTreeMap<(String, String), Vec<String>> = BTreeMap::new();
    for was in &comparison.old.runs {
        let runs = &context.take_off.parts;
        let Some(now) = runs.find_run(&was.name).map(|at| runs.runs[at].pipe.value().to_string()) else { continue };
        let before = was.pipe();
        if before != now {
            by.entry((before, now)).or_default().push(was.name.clone());
        }
    }
    let words = by.into_iter().map(|((before, now), runs)| format!("{} from {before} to {now}", runs.join(", ")));
    let words = listed(words, LISTED);
    (!words.is_empty()).then(|| format!("They are {words}."))
}
