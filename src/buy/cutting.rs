//! Sticks and coils as one optimisation: what to buy of one kind of pipe, and where to cut it.
//!
//! Lengths are whole eighths of an inch, money is whole tenths of a cent: nothing here is rounded.
//!
//! # The model
//! Choose stock units (any number of each kind, or as many as there are) and cut each run from them, whole or in pieces
//! joined end to end. Minimise the price of the units, plus the cost of a joint for every piece beyond a run's first,
//! less the worth of what is left where it is long enough to keep. No piece of a joined run is shorter than the shortest
//! joined piece; a run that may not be joined, or is shorter than two such pieces, is one piece. Between two pieces the
//! saw takes its kerf; the last cut is only made where something is left behind it.
//!
//! # Why the answer is the cheapest
//! Draw runs and units as dots and pieces as lines between them: a plan falls apart into connected *groups*. A group of
//! `u` units that serves `t` runs has at least `u + t - 1` pieces, so at least `u - 1` joints, and never less than the
//! joints that its runs longer than any stock need. Its units together are at least as long as its runs. So a plan costs
//! no less than the cheapest partition of the runs into groups, each at the least price of units that cover it and the
//! least number of joints. That bound is found exactly for few runs (`groups`), by linear programming over groups and
//! knapsacks for more (`columns`), and from the total length for any number (`covers`). A plan that costs no more
//! than a bound is optimal. Plans are made by packing runs into units or, where joints pay, into units laid end to end
//! (`fill`, `chain`), the cheapest purchases first. Where plan and bound do not meet, `exact` searches all plans
//! of a small job; what still stands open is told as the gap between [`Plan::cost`] and [`Plan::bound`].
//!
//! All searches count their steps against [`Effort`] and none reads a clock: the same problem gives the same plan.

mod candidates;
mod chain;
mod columns;
mod covers;
mod exact;
mod fill;
mod greedy;
mod groups;
mod shape;

use shape::{Meter, Shape, Units};

/// The longest run or stock that is planned, in eighths of an inch: some two miles.
pub const LONGEST: i64 = 1_000_000;
/// The highest price of a unit or joint that is planned, in tenths of a cent: ten million dollars.
pub const DEAREST: i64 = 10_000_000_000;

/// The shape in which pipe is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Form {
    /// A straight length.
    Stick,
    /// A roll.
    Coil,
}

/// A kind of unit that pipe can be cut from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stock {
    /// Stick or coil.
    pub form: Form,
    /// Eighths of an inch, 1 to [`LONGEST`].
    pub length: i64,
    /// Of one unit, tenths of a cent, 0 to [`DEAREST`]. For what is on hand: what it is worth uncut, 0 if nothing.
    pub price: i64,
    /// What all of it would be worth as a left-over; a usable part is worth its share of length. 0 to the price.
    pub worth: i64,
    /// How many there are; `None` for as many as one wants to buy.
    pub available: Option<u32>,
}

/// A length of pipe to be put in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// Eighths of an inch, tails included. A run of no length needs nothing.
    pub length: i64,
    /// Whether it may be joined from pieces.
    pub joints: bool,
    /// The one form it may be cut from; `None` for either.
    pub form: Option<Form>,
}

/// What is to be bought and cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// What can be cut from, bought or on hand.
    pub stock: Vec<Stock>,
    /// What must be cut, one entry a run.
    pub runs: Vec<Run>,
    /// Of one joint: coupling, rings and minutes; tenths of a cent.
    pub joint_cost: i64,
    /// Eighths lost between two pieces.
    pub kerf: i64,
    /// No piece of a joined run is shorter; eighths.
    pub shortest_piece: i64,
    /// A left-over of this length or more is worth keeping; eighths.
    pub usable: i64,
}

/// How long to search, in steps of roughly a tenth of a microsecond.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// At least 1; when they are used up the best plan so far is taken.
    pub steps: u64,
}

impl Default for Effort {
    fn default() -> Self {
        // A house is mostly proved within a fifth of this; where it is not, a bid should not wait.
        Self { steps: 120_000 }
    }
}

/// A piece of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// Index into the problem's runs.
    pub run: usize,
    /// Eighths of an inch.
    pub length: i64,
}

/// One unit and how it is cut, from its end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cut {
    /// Index into the problem's stock.
    pub stock: usize,
    /// From the unit's end on, in the order they are cut.
    pub pieces: Vec<Piece>,
    /// What the saw takes; eighths.
    pub kerf: i64,
    /// What is left behind the last cut; eighths.
    pub left: i64,
    /// What that is worth, tenths of a cent.
    pub worth: i64,
}

/// What to buy and how to cut it. Money is tenths of a cent.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Plan {
    /// One for each unit that is used.
    pub cuts: Vec<Cut>,
    /// Couplings within runs, over the whole plan.
    pub joints: u32,
    /// Of the units that are bought.
    pub stock_cost: i64,
    /// Of all joints.
    pub joint_cost: i64,
    /// Of the left-overs that are long enough to keep.
    pub worth: i64,
    /// Stock and joints less the worth of what is left.
    pub cost: i64,
    /// No plan can cost less than this.
    pub bound: i64,
    /// True when the plan is known to be the cheapest: `cost == bound`.
    pub proved: bool,
    /// Runs that no stock can serve, or that are longer than [`LONGEST`].
    pub unmet: Vec<usize>,
}

impl Plan {
    fn nothing() -> Self {
        Self { proved: true, ..Self::default() }
    }

    fn add(&mut self, other: Self) {
        self.cuts.extend(other.cuts);
        self.joints += other.joints;
        self.stock_cost += other.stock_cost;
        self.joint_cost += other.joint_cost;
        self.worth += other.worth;
        self.cost += other.cost;
        self.bound += other.bound;
        self.proved &= other.proved;
        self.unmet.extend(other.unmet);
    }
}

/// The cheapest purchase and how to cut it, or the best one found within the effort, with a bound.
pub fn plan(problem: &Problem, effort: Effort) -> Plan {
    // Runs that only take sticks and runs that only take coils have nothing to do with each other.
    let either = problem.runs.iter().any(|run| run.form.is_none());
    let forms: &[Option<Form>] = if either { &[None] } else { &[Some(Form::Stick), Some(Form::Coil)] };
    let mut whole = Plan::nothing();
    for form in forms {
        let mut meter = Meter::new(effort.steps / forms.len() as u64);
        let mut shape = Shape::new(problem, *form);
        let mut part = Plan::nothing();
        if !shape.items.is_empty() {
            let mut units = greedy::all(&mut shape, &mut meter);
            let bound = if shape.items.is_empty() { 0 } else { search(&shape, &mut units, &mut meter) };
            part = shape.plan(units);
            part.bound = bound.min(part.cost);
            part.proved = part.bound == part.cost;
        }
        part.unmet.clone_from(&shape.unmet);
        whole.add(part);
    }
    whole.cuts.sort_by_key(|cut| (cut.stock, cut.pieces.iter().map(|piece| piece.run).min()));
    whole.unmet.sort_unstable();
    whole
}

/// Betters the plan and gives a bound on all plans.
fn search(shape: &Shape, best: &mut Units, meter: &mut Meter) -> i64 {
    let covers = covers::Covers::new(shape);
    let mut bound = covers.of_all(shape);
    if best.cost <= bound {
        return best.cost;
    }
    if let Some(found) = groups::bound(shape, meter) {
        bound = bound.max(found.bound);
        if let Some(units) = found.units
            && units.cost < best.cost
        {
            *best = units;
        }
    }
    if best.cost <= bound {
        return best.cost;
    }
    // A quick pass over the likeliest purchases first: it mostly meets the bound, and then no more need be known.
    for (part, pass) in [(40, Pass::Purchases), (3, Pass::Columns), (2, Pass::Purchases), (1, Pass::All)] {
        let steps = meter.left / part;
        let mut share = Meter::new(steps);
        bound = bound.max(match pass {
            Pass::Purchases => candidates::try_all(shape, &covers, bound, best, &mut share),
            Pass::Columns => columns::bound(shape, best.cost, &mut share),
            Pass::All => exact::search(shape, bound, best, &mut share),
        });
        meter.spend(steps - share.left);
        if best.cost <= bound {
            break;
        }
    }
    bound.min(best.cost)
}

/// What is tried in turn until plan and bound meet.
enum Pass {
    Purchases,
    Columns,
    All,
}
