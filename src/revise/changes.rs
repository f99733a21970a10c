//! The Changes sheet: what the new bid is against the old one, piece by piece, and the proof that the pieces add up.
//!
//! Whatever is new points at the new bid's own cells; whatever is old is a plain figure that names its bid; the
//! difference is a formula. Rows without a difference are folded, not left out, so that the sums hold when an input of
//! the finished bid is changed.

use super::attribution::CHOSEN_ANEW;
use super::compare::{LABEL, NUMBER, Page, Row, Short, equal, exact, physical};
use super::inputs::{Change, InputChange};
use super::sentences::{ChangeSummary, List};
use super::{Attribution, Comparison, Context, lines, runs};
use crate::figure::{Book, CellKind, Look, SheetId, Term, Value};
use crate::input::cell_as_typed;
use crate::input::raw_value;
use crate::model::{Phase, Raw};
use crate::price::PHASE_COLUMNS;
use crate::table::{self, columns};
use crate::unit::Unit;
use std::sync::Arc;

impl Row {
    /// Said beside a difference of which lines without a price are no part; empty where every line has one.
    fn incomplete(&self) -> Term {
        let (text, zero) = (Term::text, Term::number(0));
        let (now, before) = (self.now.show(0), self.before.show(0));
        let head = text("The difference is not complete. Lines without a price: ");
        let words = Term::join(&[&head, &now, &text(" now, "), &before, &text(" before. They count as 0.")]);
        let any = self.now.above(&zero).or(&self.before.above(&zero));
        any.pick(&words, &text(""))
    }
}

pub(super) fn put(book: &mut Book, context: &Context, comparison: &Comparison, sheet: SheetId) -> ChangeSummary {
    let from: Arc<str> = comparison.old.origin.as_str().into();
    book.words(sheet, Look::Title, &format!("What has changed since {from}"));
    let page = Page { context, comparison, from, sheet };
    let short = page.short(book);
    let words = List::new(book, sheet);
    let proof = Proof::new(book, sheet);
    page.inputs(book);
    if let Some(attribution) = &comparison.attribution {
        page.attribution(book, attribution, &short.total.difference);
    }
    let re_sized = runs::put(book, &page);
    runs::installed(book, &page);
    page.of_subjects(book);
    let lines = lines::put(book, &page);
    let hours = page.hours(book);
    let phases = page.phases(book);
    let parts = page.parts(book);
    let reckoned = page.reckoning(book, &short, &lines, &parts);
    proof.check(book, "Old total and all differences make the new total", reckoned);
    proof.check(book, "Material is the sum of its lines", equal(&parts.material, &lines));
    proof.check(book, "The phases' differences make the price's", equal(&phases, &short.total.difference));
    proof.check(book, "The hours' differences make the whole's", equal(&hours, &short.hours.difference));
    words.fill(book, &page, &short, &re_sized)
}

columns! {
    struct Inputs {
        what: "Input", words (LABEL);
        before: "Before", words (NUMBER);
        now: "Now", words (NUMBER);
        cell: "Cell", words (NUMBER);
    }
}

columns! {
    struct Alone {
        what: "Change", words (LABEL);
        alone: "By itself", Money (NUMBER);
    }
}

/// The list of checks near the head of the sheet.
struct Proof(table::List);

impl Proof {
    fn new(book: &mut Book, sheet: SheetId) -> Self {
        Self(table::List::checks(book, sheet, "Do the differences add up?", [LABEL, NUMBER]))
    }

    fn check(&self, book: &mut Book, words: &str, verdict: Term) {
        self.0.line(book, words, verdict);
    }
}

/// What the parts of the price come to, as differences.
struct Parts {
    material: Term,
    /// All but material.
    rest: Term,
}

impl Page<'_> {
    /// Total, cash, hours and pressure at a glance.
    fn short(&self, book: &mut Book) -> Short {
        let (old, build_up) = (&self.comparison.old, &self.context.bid.build_up);
        let compared = self.before_and_now(book, "In short", "Whole job", Unit::Money);
        let total = compared.put(book, "Price", exact(old.total), &build_up.total);
        book.mark(total.row, CellKind::Total);
        compared.put(book, "Cash out of pocket", exact(old.cash_total), &build_up.totals.cash_total);
        let unpriced = &build_up.unpriced;
        let unpriced =
            compared.put(book, "Lines without a price", exact(old.unpriced), unpriced).shown_in(book, Unit::Each);
        let hours =
            compared.put(book, "Hours", exact(old.all_hours), &self.context.labor.total).shown_in(book, Unit::Hours);
        let spare = old.least_spare.as_ref().zip(self.context.entries.least_spare.as_ref()).map(|((psi, _), now)| {
            let words = "Least pressure to spare at an outlet";
            compared.put(book, words, physical(*psi), &now.psi).shown_in(book, Unit::Psi)
        });
        let incomplete = unpriced.incomplete();
        book.line(self.sheet, Look::Flag, incomplete.clone());
        Short { total, hours, spare, incomplete }
    }

    /// Every input that differs, with its cell.
    fn inputs(&self, book: &mut Book) {
        if self.comparison.inputs.is_empty() {
            book.words(self.sheet, Look::Words, "No input differs.");
            return;
        }
        let table = book.table(self.sheet, "Inputs changed");
        let Inputs { what, before, now, cell, .. } = Inputs::in_table(book, table);
        for input in &self.comparison.inputs {
            let row = book.row(table);
            book.label(row, what, &input.what);
            let old = book.carry(row, before, old_value(input), &self.from);
            book.unit(&old, input.unit);
            match (&input.new_place, input.change) {
                (Some(place), Change::Value | Change::Added) => {
                    let typed = cell_as_typed(book, place, &input.new);
                    let new = book.put(row, now, typed.is_blank().pick(&Term::text("blank"), &typed));
                    book.unit(&new, input.unit);
                }
                (_, Change::Dropped) => _ = book.label(row, now, "gone"),
                _ => _ = book.label(row, now, &input.new_words()),
            }
            match (&input.new_place, &input.old_place) {
                (Some(place), _) => {
                    let at = book.label(row, cell, &place.to_string());
                    book.link(&at, place);
                }
                (None, Some(place)) => _ = book.label(row, cell, &format!("was {place}")),
                (None, None) => {}
            }
        }
    }

    /// What each change does by itself, and what they do only together.
    fn attribution(&self, book: &mut Book, attribution: &Attribution, difference: &Term) {
        let table = book.table(self.sheet, "Why: what each change does to the price by itself");
        let Alone { what, alone, .. } = Alone::in_table(book, table);
        let from: Arc<str> = format!("pricing {} with this change alone", self.from).into();
        let anew = attribution.chosen_anew.map(|difference| (CHOSEN_ANEW.to_owned(), Some(difference)));
        let changes = attribution.alone.iter().map(|alone| (alone.words(), alone.difference));
        for (words, amount) in anew.into_iter().chain(changes) {
            let row = book.row(table);
            book.label(row, what, &words);
            match amount {
                Some(amount) => _ = book.carry(row, alone, exact(amount), &from),
                None => _ = book.label(row, alone, "not by itself"),
            }
        }
        let sum = match book.table_spec(table).rows.checked_sub(1) {
            Some(last) => Term::sum(&book.stretch(alone, 0, last)),
            None => Term::number(0),
        };
        let row = book.row(table);
        book.label(row, what, "Only together");
        book.put(row, alone, (difference - &sum).cents());
        let row = book.row(table);
        book.mark(row, CellKind::Total);
        book.label(row, what, "All changes");
        book.put(row, alone, difference.clone());
    }

    /// What subjects have compared, each in a table; what only one of the bids has stands beside a blank.
    fn of_subjects(&self, book: &mut Book) {
        let old = &self.comparison.old;
        for compared in &self.context.entries.compared {
            let table = self.before_and_now(book, compared.title, compared.heading, compared.unit);
            for (name, now) in &compared.rows {
                match old.figure(compared.title, name) {
                    Some(before) => _ = table.put(book, name, physical(before), now),
                    None => {
                        let row = table.name(book, name);
                        table.only_now(book, row, now);
                    }
                }
            }
            let before = old.figures.iter().filter(|(title, _)| title == compared.title).flat_map(|(_, rows)| rows);
            for (name, figure) in before.filter(|(name, _)| !compared.rows.iter().any(|(known, _)| known == name)) {
                let row = table.name(book, name);
                table.only_before(book, row, physical(*figure));
            }
        }
    }

    fn hours(&self, book: &mut Book) -> Term {
        let compared = self.before_and_now(book, "Hours by phase", "Phase", Unit::Hours);
        for (phase, before) in Phase::ALL.into_iter().zip(self.comparison.old.hours) {
            compared.put(book, phase.title(), exact(before), &self.context.labor.in_phase(phase));
        }
        compared.total(book, "All hours").difference
    }

    fn phases(&self, book: &mut Book) -> Term {
        let compared = self.before_and_now(book, "Price by phase", "Phase", Unit::Money);
        let now = &self.context.bid.build_up.price;
        for ((words, before), now) in PHASE_COLUMNS.iter().zip(self.comparison.old.price).zip(now) {
            compared.put(book, words, exact(before), now);
        }
        compared.total(book, "Price").difference
    }

    fn parts(&self, book: &mut Book) -> Parts {
        let compared = self.before_and_now(book, "From cost to price", "Part", Unit::Money);
        let mut differences = Vec::new();
        for part in &self.context.bid.build_up.parts {
            let old = self.comparison.old.parts.iter().find(|(name, _)| name == part.name);
            let before = exact(old.map(|(_, amount)| *amount).unwrap_or_default());
            differences.push(compared.put(book, part.name, before, &part.whole).difference);
        }
        let parts = &self.context.bid.build_up.parts;
        for (name, amount) in &self.comparison.old.parts {
            if parts.iter().all(|part| part.name != name) {
                compared.put(book, name, exact(*amount), &Term::number(0));
            }
        }
        let rest = compared.differences_from(book, 1);
        compared.total(book, "Price");
        Parts { material: differences.into_iter().next().unwrap_or_else(|| Term::number(0)), rest }
    }

    /// From the old total to the new one, step by step; gives the verdict.
    fn reckoning(&self, book: &mut Book, short: &Short, lines: &Term, parts: &Parts) -> Term {
        let list =
            table::List::put(book, self.sheet, "From the old price to the new one", [LABEL, NUMBER], Unit::Money);
        let put = |book: &mut Book, label: &str, term, kind| list.line_like(book, label, term, kind);
        let old = put(book, &format!("Price of {}", self.from), short.total.before.clone(), CellKind::Plain);
        let lines = put(book, "Lines of the take-off", lines.clone(), CellKind::Plain);
        let rest = put(book, "Tax, labor and all else", parts.rest.clone(), CellKind::Plain);
        let sum = put(book, "Old price and all differences", Term::total(&[&old, &lines, &rest]), CellKind::Total);
        let now = put(book, "Price now", self.context.bid.build_up.total.clone(), CellKind::Total);
        equal(&sum, &now)
    }
}

/// The old cell as a figure; blank is said in words.
fn old_value(input: &InputChange) -> Value {
    match &input.old {
        Raw::Blank if input.change == Change::Added => Value::text("not there"),
        Raw::Blank => Value::text("blank"),
        raw => raw_value(raw),
    }
}
