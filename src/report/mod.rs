//! What people read: the bid for the customer, the page for the one who does the work, the findings, the live checks.
//!
//! In: the results of all stages as figures. Out: sheets of words and figures. Never: a new number that is not a
//! formula over figures already there.

mod bid;
mod cautions;
mod findings;
mod flags;
mod input_snapshot;
mod money;
mod other_changes;
mod overview;
mod page_breaks;
mod ranges;
mod reconciliation;
mod scope;
mod scope_counts;
mod terms;
mod typed_over;
mod unread;

use crate::entries::Entries;
use crate::figure::{Book, Term};
use crate::finding::Finding;
use crate::labor::Labor;
use crate::model::KeptBook;
use crate::price::Bid;
use crate::takeoff::TakeOff;
use crate::view::View;
use flags::Verdicts;
use input_snapshot::Checks;
use money::Payments;
use scope_counts::ScopeCounts;

/// What it takes from the stages before it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Inputs<'a> {
    pub kept: &'a KeptBook,
    pub entries: &'a Entries,
    pub take_off: &'a TakeOff,
    pub labor: &'a Labor,
    pub bid: &'a Bid,
    /// How many packs, sticks and coils are of another offer than planned.
    pub packs_gone: Option<&'a Term>,
    /// Sorted, the worst first.
    pub findings: &'a [Finding],
}

/// What every file of this stage works from.
pub(crate) type Context<'a> = View<'a, Inputs<'a>>;

/// What stands on the sheets so far, for those that look back on it.
struct Reported {
    checks: Checks,
    scope_counts: ScopeCounts,
    payments: Payments,
}

/// The whole stage.
pub(crate) fn report(book: &mut Book, context: &Context) {
    // The checks come first, for what they count is what the other sheets point at; their sums come last.
    let checks = Checks::put(book, context);
    let scope_counts = scope_counts::put(book, context);
    let limits = cautions::Limits::put(book, context);
    let (payments, flags) = bid::put(book, context, &scope_counts, &limits);
    let severities = findings::put(book, context);
    let (hours, open) = overview::put(book, context, &checks, severities.as_ref());
    let reported = Reported { checks, scope_counts, payments };
    let off = reconciliation::put(book, context, &reported, &hours);
    overview::put_reconciliation(book, &open, &off);
    let typed_over = typed_over::put(book, context, &reported.checks);
    flags::put(book, context, flags, &reported, &Verdicts { off, typed_over });
}
