//! The Revisions sheet: every revision of the bid, its date, its total and what it changed. Earlier ones are carried
//! along as they were told; the bid's own is live.

use super::Context;
use super::inputs::InputChange;
use super::sentences::listed;
use crate::figure::{Book, CellKind, Look, RowId, Term, Value};
use crate::model::{Job, Revision, Setting, same_revision};
use crate::sheets::Page;
use crate::table::columns;
use std::sync::Arc;

columns! {
    struct Columns {
        revision: Revision::HEADINGS[0], words 10;
        date: Revision::HEADINGS[1], Date 12;
        total: Revision::HEADINGS[2], Money 14;
        difference: "Difference", Money 14;
        changes: Revision::HEADINGS[3], words 60;
        reason: Revision::HEADINGS[4], words 30;
    }
}

/// Changes told in a row.
const TOLD: usize = 6;

/// The revisions before this one, in their order; and what is told already of this one, when it is priced again.
pub(crate) fn earlier(job: &Job) -> (Vec<&Revision>, Option<&Revision>) {
    let number = job.text(Setting::Revision);
    let (same, others): (Vec<&Revision>, Vec<&Revision>) =
        job.history.iter().partition(|revision| same_revision(&revision.number, &number));
    (others, same.last().copied())
}

pub(super) fn put(book: &mut Book, context: &Context) {
    let sheet = context.page(Page::Revisions);
    book.words(sheet, Look::Title, "Revisions of this bid");
    let number = context.settings.get(Setting::BidNumber);
    if !context.settings.is_blank(Setting::BidNumber) {
        book.line(sheet, Look::Words, Term::join(&[&Term::text("Bid "), &number]));
    }
    let table = book.table(sheet, "");
    let Columns { revision, date, total, difference, changes, reason, .. } = Columns::in_table(book, table);
    let (others, own) = earlier(context.job);
    let mut before: Option<Term> = None;
    for earlier_one in others {
        let row = book.row(table);
        let from: Arc<str> = format!("revision {}", earlier_one.number).into();
        book.carry(row, revision, Value::text(shown_number(&earlier_one.number)), &from);
        if let Some(days) = earlier_one.date {
            book.carry(row, date, Value::Exact(days), &from);
        }
        let amount = earlier_one.total.map(|amount| book.carry(row, total, Value::Exact(amount), &from));
        by(book, row, difference, amount.as_ref(), before.as_ref());
        book.carry(row, changes, Value::Text(earlier_one.changes.clone()), &from);
        book.carry(row, reason, Value::Text(earlier_one.reason.clone()), &from);
        before = amount.or(before);
    }
    let row = book.row(table);
    book.mark(row, CellKind::Total);
    let setting = |of: Setting| context.settings.get(of);
    book.put(row, revision, Term::join(&[&Term::text(""), &setting(Setting::Revision)]));
    let dated = setting(Setting::Date);
    book.put(row, date, dated.is_blank().pick(&Term::text(""), &dated));
    let amount = Some(book.put(row, total, context.bid.build_up.total.clone()));
    by(book, row, difference, amount.as_ref(), before.as_ref());
    let words = match (&context.revising.comparison, own) {
        (Some(comparison), _) if comparison.inputs.is_empty() => "No input differs.".to_owned(),
        (Some(comparison), _) => listed(comparison.inputs.iter().map(InputChange::words), TOLD),
        (None, Some(own)) => own.changes.to_string(),
        (None, None) => "First priced.".to_owned(),
    };
    book.label(row, changes, &words);
    let given_reason = setting(Setting::ChangeReason);
    book.put(row, reason, given_reason.is_blank().pick(&Term::text(""), &given_reason));
    if context.revising.comparison.is_none() && before.is_some() {
        let words = "What this revision changes, line by line, stands on the Changes sheet that `tallybore revise OLD NEW` makes: it \
                     needs the bid before this one.";
        book.words(sheet, Look::Small, words);
    }
}

/// The difference to the total of the revision before, where both are told.
fn by(book: &mut Book, row: RowId, column: crate::figure::ColumnId, now: Option<&Term>, before: Option<&Term>) {
    if let (Some(now), Some(before)) = (now, before) {
        book.put(row, column, now - before);
    }
}

fn shown_number(number: &str) -> String {
    if number.trim().is_empty() { "0".to_owned() } else { number.trim().to_owned() }
}
