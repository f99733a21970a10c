//! The bid's money: prices by phase and their total, allowances, alternates, and when what is due.

use super::Context;

use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, CellKind, Look, TableId, Term};
use crate::model::{Phase, Setting};
use crate::parts::Allowance;
use crate::price::{GENERAL, PHASE_COLUMNS};
use crate::sheets::Page;
use crate::table::columns;
use crate::unit::Unit;

/// Widths that all tables of the Bid sheet share, so that their columns stand under each other; in characters.
pub(super) const LABEL: f64 = 16.0;
/// See [`LABEL`].
pub(super) const WORDS: f64 = 58.0;

/// What each phase of the price covers, [`GENERAL`] last.
const COVERS: [&str; 5] = [
    "Underground and under-slab piping",
    "Pipe, fittings, valves and supports in walls, floors and crawl spaces; boxes and stub-outs",
    "Fixtures and equipment set and connected; stops and supplies",
    "Pressure tests and attending inspections",
    "Permit, allowances and general conditions",
];

/// Lines that the prices by phase take on paper.
pub(super) const PRICE_LINES: f64 = 16.0;

/// The payments as figures, for the checks.
pub(crate) struct Payments {
    /// What is due each time; they add up to the total.
    pub due: Vec<Term>,
    /// The sum of the shares that the user gave, when each payment has one.
    pub whole: Option<Term>,
}

columns! {
    struct Columns(headings: [&str; 3]) {
        label: headings[0], words (LABEL);
        words: headings[1], words (WORDS);
        amount: headings[2], Money 14;
    }
}

/// The price by phase, and the total.
pub(super) fn prices(book: &mut Book, context: &Context) {
    let build_up = &context.bid.build_up;
    let table = book.table(context.page(Page::Bid), "Price");
    let columns = Columns::in_table(book, table, ["Phase", "What it covers", "Price"]);
    for (index, price) in build_up.price.iter().enumerate() {
        if !arises(context, index) {
            continue;
        }
        let row = book.row(table);
        book.label(row, columns.label, PHASE_COLUMNS[index]);
        book.label(row, columns.words, COVERS[index]);
        book.put(row, columns.amount, price.clone());
    }
    let row = book.row(table);
    book.mark(row, CellKind::Total);
    let currency = context.settings.get(Setting::Currency);
    book.put(row, columns.label, Term::join(&[&Term::text("Total "), &currency]));
    book.label(row, columns.words, "Sales tax included");
    book.put(row, columns.amount, build_up.total.clone());
}

/// Whether anything of the job can fall in a phase. What belongs to no phase always can: the permit, a minimum charge.
fn arises(context: &Context, index: usize) -> bool {
    let Some(phase) = Phase::ALL.get(index).filter(|_| index != GENERAL) else { return true };
    let costs = &context.job.other_costs;
    context.bid.build_up.price[index].value().as_f64() != 0.0
        || context.take_off.pipe_phases.contains(phase)
        || costs.iter().any(|cost| cost.phase.as_ref().and_then(|text| Phase::from_name(text)) == Some(*phase))
}

/// Allowances, which are in the total, and alternates, which are not.
pub(super) fn choices(book: &mut Book, context: &Context) {
    let sheet = context.page(Page::Bid);
    amounts(book, context, "allowance", "Allowances, in the total above");
    if amounts(book, context, "alternate", "Alternates, not in the total") {
        book.words(
            sheet,
            Look::Small,
            "An alternate adds to the total, or with a minus deducts from it, when it is accepted in writing. Each is priced \
             alone; two together may come to a different amount.",
        );
        book.gap(sheet);
    }
}

/// The lines of one kind with their amounts; false when there are none.
fn amounts(book: &mut Book, context: &Context, kind: &str, title: &str) -> bool {
    let found: Vec<_> = context.job.terms.iter().filter(|term| &*term.kind.value == kind).collect();
    let of_fixtures = kind == "allowance" && !context.bid.allowances.is_empty();
    if found.is_empty() && !of_fixtures {
        return false;
    }
    let list = book.list(context.page(Page::Bid), title);
    let columns = Columns::in_table(book, list, [""; 3]);
    let name = match kind {
        "allowance" => "Allowance",
        _ => "Alternate",
    };
    let mut allowances = context.bid.allowances.iter().filter(|_| kind == "allowance");
    let mut number = 0;
    for term in found {
        number += 1;
        let row = book.row(list);
        book.label(row, columns.label, &format!("{name} {number}"));
        let words = term.text.figure(book);
        book.put(row, columns.words, words);
        let priced = context.bid.alternates.iter().find(|priced| priced.row == term.row && priced.offered);
        if term.amount.value.is_some() {
            // The user's own word goes before what the engine makes of it.
            let amount = term.amount.figure(book);
            book.put(row, columns.amount, amount);
            allowances.next().into_iter().for_each(|allowance| over(book, &columns, list, allowance));
        } else if let Some(priced) = priced {
            let holds = priced.check.is_ok();
            book.put(row, columns.amount, holds.pick(&priced.amount, &Term::text(PRICE_AGAIN)));
        } else {
            book.label(row, columns.amount, "to be priced");
        }
    }
    for allowance in allowances {
        number += 1;
        let row = book.row(list);
        book.label(row, columns.label, &format!("{name} {number}"));
        book.put(row, columns.words, allowance.what.clone());
        book.put(row, columns.amount, allowance.allowed.clone());
        over(book, &columns, list, allowance);
    }
    true
}

/// Under an allowance that something was chosen for: what that costs more or less.
fn over(book: &mut Book, columns: &Columns, list: TableId, allowance: &Allowance) {
    if let Some(over) = allowance.over() {
        let row = book.row(list);
        let words =
            over.above(&Term::number(0)).pick(&Term::text("Over allowance by"), &Term::text("Under allowance by"));
        book.put(row, columns.words, words);
        book.put(row, columns.amount, over);
    }
}

/// When what is due. Shares come from the Terms sheet; the last payment takes what the others leave.
pub(super) fn payments(book: &mut Book, context: &Context) -> Payments {
    let sheet = context.page(Page::Bid);
    let terms: Vec<_> = context.job.terms.iter().filter(|term| &*term.kind.value == "payment").collect();
    let Some((last, earlier)) = terms.split_last() else {
        book.words(sheet, Look::Heading, "Payment");
        book.words(sheet, Look::Words, "Payment in full is due on completion and final test.");
        return Payments { due: Vec::new(), whole: None };
    };
    let total = &context.bid.build_up.total;
    let table = book.table(sheet, "Payment");
    let columns = Columns::in_table(book, table, ["Share", "When", "Due"]);
    let mut due: Vec<Term> = Vec::new();
    let mut shares: Vec<Term> = Vec::new();
    for term in earlier.iter().chain([last]) {
        let row = book.row(table);
        let words = term.text.figure(book);
        book.put(row, columns.words, words);
        let share = term.amount.value.map(|_| {
            let share = term.amount.figure(book);
            let share = book.put(row, columns.label, share);
            book.unit(&share, Unit::Percent);
            share
        });
        let amount = if std::ptr::eq(*term, *last) {
            if share.is_none() {
                book.label(row, columns.label, "the rest");
            }
            let before: Vec<&Term> = due.iter().collect();
            match before.is_empty() {
                true => Some(total.clone()),
                false => Some((total - Term::total(&before)).cents()),
            }
        } else {
            if share.is_none() {
                book.label(row, columns.label, "to be agreed");
            }
            share.as_ref().map(|share| (share * total).cents())
        };
        if let Some(amount) = amount {
            due.push(book.put(row, columns.amount, amount));
        }
        shares.extend(share);
    }
    let all_given = shares.len() == terms.len();
    let whole = all_given.then(|| Term::total(&shares.iter().collect::<Vec<_>>()));
    Payments { due, whole }
}
