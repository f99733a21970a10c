//! Price: lines to the cent, then tax, labor, overhead, profit, contingency and permit, by phase and for the whole job.
//!
//! In: the job, the take-off and the labor as figures. Out: [`Bid`] and findings. Never: counting anything anew.
//!
//! One total policy: the bid's money is feet and pieces, waste included, at the chosen offers' unit prices (price over
//! pack). Packs, cuts and left-over are a separate reckoning.

mod allowances;
mod alternates;
mod basis;
mod bought;
mod build_up;
mod cost_rows;
pub(crate) mod findings;
mod lines;
mod nearest;
mod offers;
mod other_costs;
mod pack_cost;
mod price_rise;
mod totals;
mod unlisted;

pub(crate) use alternates::{Alternate, PricedAlternate};
pub(crate) use bought::Bought;
pub(crate) use build_up::BuildUp;
use cost_rows::Material;
pub(crate) use cost_rows::{GENERAL, PHASE_COLUMNS};
pub(crate) use lines::PricedLine;
pub(crate) use pack_cost::WholePacks;

use crate::buy::Purchases;
use crate::figure::{Book, Term};
use crate::finding::Finding;
use crate::labor::Labor;
use crate::parts::{Allowance, Costs};
use crate::takeoff::TakeOff;
use crate::view::View;

/// What it takes from the stages before it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Inputs<'a> {
    pub take_off: &'a TakeOff,
    /// `None` where only the price is asked for.
    pub purchases: Option<&'a Purchases>,
    pub labor: &'a Labor,
    /// What subjects ask for beside parts and work.
    pub costs: &'a Costs,
    /// Alternates that were priced as whole jobs.
    pub alternates: &'a [Alternate],
}

/// What every file of this stage works from.
pub(crate) type Context<'a> = View<'a, Inputs<'a>>;

/// What the stage hands on.
#[derive(Debug)]
pub struct Bid {
    pub lines: Vec<PricedLine>,
    pub build_up: BuildUp,
    /// `None` where nothing is bought yet.
    pub bought: Option<Bought>,
    /// `None` where the price alone is asked for, or nothing is needed.
    pub whole_packs: Option<WholePacks>,
    pub alternates: Vec<PricedAlternate>,
    /// Those of Terms that have an amount, then those of the subjects.
    pub(crate) allowances: Vec<Allowance>,
    /// How many lines have no offer of the name that is chosen for them.
    pub offers_gone: Term,
}

/// The whole stage.
pub(crate) fn price(book: &mut Book, context: &Context, findings: &mut Vec<Finding>) -> Bid {
    // The build-up is what a reader wants first; its table stands above the lines it sums.
    let build_up_tables = build_up::tables(book, context);
    let (lines, columns) = lines::lines(book, context, findings);
    let (bought, paid) = bought::put(book, context, findings).unzip();
    let allowances = allowances::put(book, context);
    price_rise::expiring(context, &lines, findings);
    let rise = price_rise::rise(book, context, &lines);
    let material = Material { lines: &columns, paid: paid.as_ref(), rise };
    let build_up = build_up::build_up(book, context, &build_up_tables, &material, &allowances);
    let whole_packs =
        context.purchases.and_then(|purchases| pack_cost::put(book, context, purchases, &columns, &build_up.totals));
    let alternates = alternates::put(book, context, &build_up.total);
    Bid { lines, build_up, bought, whole_packs, alternates, allowances, offers_gone: columns.gone }
}
