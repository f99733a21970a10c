//! Revisions: what a change does to sizes, order, hours and money, against what was bid, bought or installed.
//!
//! In: the job priced anew as figures, and what it is held against as plain values ([`Summary`]): the old bid, the inputs
//! that differ, what was tried. Out: the sheets Changes, Change order, What if and Revisions, made of formulas that
//! point at the new bid's own cells; old values stand beside them as plain figures that name their bid. Never: pricing
//! anything itself; what needs another price is priced by whoever calls, and handed in.

pub(crate) mod attribution;
pub(crate) mod changes;
mod compare;
pub(crate) mod edit;
pub(crate) mod findings;
pub(crate) mod history;
pub(crate) mod inputs;
pub(crate) mod installed;
mod lines;
mod order;
mod row_reference;
mod runs;
pub(crate) mod same_job;
mod sentences;
pub(crate) mod summary;
pub(crate) mod what_if;

pub(crate) use attribution::Attribution;
pub(crate) use inputs::{Change, InputChange};
pub(crate) use installed::TooSmall;
pub use summary::Summary;
pub(crate) use what_if::WhatIf;

use crate::entries::Entries;
use crate::figure::Book;
use crate::labor::Labor;
use crate::price::Bid;
use crate::sheets::Page;
use crate::takeoff::TakeOff;
use crate::view::View;
use rust_decimal::Decimal;

/// What a bid is held against.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// What was bid.
    pub old: Summary,
    /// The inputs that differ, in the order of the sheets.
    pub inputs: Vec<InputChange>,
    /// What each does by itself; `None` where there is but one.
    pub attribution: Option<Attribution>,
    /// Pipe that is in already and that the changed job wants larger.
    pub installed: Vec<TooSmall>,
    /// The total that the old bid's paper shows, where what was entered in it since has moved it.
    pub shown: Option<Decimal>,
}

/// What a revision adds to a bid.
#[derive(Debug, Clone, Default)]
pub struct Revising {
    /// Against what was bid; `None` where nothing was.
    pub comparison: Option<Comparison>,
    /// The combinations tried; `None` where none were.
    pub what_if: Option<WhatIf>,
}

impl Revising {
    /// The pages that a bid which is held against nothing has not.
    pub fn pages_left_out(&self) -> Vec<Page> {
        let mut left_out = Vec::new();
        if self.comparison.is_none() {
            left_out.extend([Page::Changes, Page::ChangeOrder]);
        }
        if self.what_if.is_none() {
            left_out.push(Page::WhatIf);
        }
        left_out
    }
}

/// What it takes from the stages before it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Inputs<'a> {
    pub entries: &'a Entries,
    pub take_off: &'a TakeOff,
    pub labor: &'a Labor,
    pub bid: &'a Bid,
    pub revising: &'a Revising,
}

/// What every file of this stage works from.
pub(crate) type Context<'a> = View<'a, Inputs<'a>>;

/// The whole stage.
pub(crate) fn revise(book: &mut Book, context: &Context) {
    if let Some(comparison) = &context.revising.comparison {
        let summary = changes::put(book, context, comparison, context.page(Page::Changes));
        order::put(book, context, comparison, &summary, context.page(Page::ChangeOrder));
    }
    if let Some(tried) = &context.revising.what_if {
        what_if::put(book, context, tried, context.page(Page::WhatIf));
    }
    history::put(book, context);
}
