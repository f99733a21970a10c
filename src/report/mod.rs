//! What people read: the bid for the customer, the page for the one who does the work, the findings, the live checks.
//!
//! In: the results of all stages as figures. Out: sheets of words and figures. Never: a new number that is not a
//! formula over figures already there.

use crate::figure::settings::Settings;
use crate::figure::{Book, SheetId};
use crate::finding::Finding;
use crate::labor::Labor;
use crate::model::network::Network;
use crate::model::{Job, KeptBook};
use crate::price::Bid;
use crate::rules::Rules;
use crate::size::Sizes;
use crate::takeoff::TakeOff;

/// The sheets this stage writes on.
#[derive(Debug, Clone, Copy)]
pub struct Sheets {
    pub bid: SheetId,
    pub glance: SheetId,
    pub findings: SheetId,
    pub checks: SheetId,
}

/// What every file of this stage works from.
pub struct Context<'a> {
    pub job: &'a Job,
    pub kept: &'a KeptBook,
    pub rules: &'a Rules,
    pub network: &'a Network,
    pub settings: &'a Settings,
    pub sizes: &'a Sizes,
    pub take_off: &'a TakeOff,
    pub labor: &'a Labor,
    pub bid: &'a Bid,
    /// Sorted, the worst first.
    pub findings: &'a [Finding],
    pub sheets: Sheets,
    pub hold: bool,
}

/// The whole stage.
pub fn report(_book: &mut Book, _context: &Context) {}
