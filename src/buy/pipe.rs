//! Pipe that is cut together: one material, size and color, its runs, its stock and the plan of its cuts.

use super::Context;
use super::cutting::{Plan, Problem};
use super::offer_name::OfferName;
use crate::model::Setting;
use crate::parts::PipeRun;
use crate::rules::Item;
use crate::takeoff::Line;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// Where a stick, a coil or a length comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Source {
    /// A row of the job's prices.
    Offer(usize),
    /// The same, sold by the foot and cut to length.
    ByFoot(usize),
    /// A row of what is on hand.
    OnHand(usize),
    /// A row of the job's prices of which some is bought already.
    Bought(usize),
}

/// Pipe that is cut together.
pub(super) struct Pipe {
    pub item: Item,
    /// `cold` or `hot` where each has its color, else empty.
    pub water: &'static str,
    /// Its runs, by their index in the take-off. Where it has nipples they come last, as one more, at the first run that has one.
    pub runs: Vec<usize>,
    pub has_nipples: bool,
    /// What each needs, tails included; eighths of an inch.
    pub needs: Vec<i64>,
    /// By stock of the problem.
    pub sources: Vec<Source>,
    /// What each is called where it is chosen.
    pub from: Vec<StockName>,
    pub problem: Problem,
    pub plan: Plan,
    pub is_saved: bool,
}

impl Pipe {
    /// `PEX 1/2" cold`
    pub(crate) fn label(&self) -> String {
        label(&self.item, self.water)
    }

    /// What the Cut plan calls the run of this index.
    pub(crate) fn run_name(&self, context: &Context, index: usize) -> String {
        match self.runs.get(index) {
            Some(at) if !self.is_nipples(index) => run(context, *at).name.value.to_string(),
            _ => format!("nipples {}", self.label()),
        }
    }

    /// Whether this index stands for its nipples.
    pub(crate) fn is_nipples(&self, index: usize) -> bool {
        self.has_nipples && index + 1 == self.runs.len()
    }

    /// The name of its `n`th stick or coil, from 0.
    pub(crate) fn unit_name(&self, n: usize) -> String {
        format!("{} no. {}", self.label(), n + 1)
    }

    /// The name of the `n`th piece of a unit, from 0.
    pub(crate) fn piece_name(unit: &str, n: usize, run: &str) -> String {
        format!("{unit}, piece {}: {run}", n + 1)
    }
}

fn label(item: &Item, water: &str) -> String {
    let pipe = item.text();
    format!("{} {water}", pipe.strip_prefix("pipe ").unwrap_or(&pipe)).trim().to_owned()
}

/// Eighths of an inch as feet.
pub(super) fn feet(eighths: i64) -> Decimal {
    (Decimal::from(eighths) / Decimal::from(96)).round_dp(2).normalize()
}

/// Whether hot and cold water have pipe of different colors.
pub(super) fn by_water(context: &Context) -> bool {
    &*context.job.text(Setting::PipeColor) == "by water"
}

/// The water that pipe is colored for: only PEX comes in colors, and only where hot and cold have one each; else empty.
pub(super) fn color(by_water: bool, material: &str, hot: bool) -> &'static str {
    match (by_water && material == "PEX", hot) {
        (false, _) => "",
        (true, false) => "cold",
        (true, true) => "hot",
    }
}

/// Tenths of a cent.
pub(super) fn mills(money: Decimal) -> i64 {
    money.checked_mul(Decimal::ONE_THOUSAND).and_then(|m| m.round().to_i64()).unwrap_or(i64::MAX / 4)
}

pub(super) fn run<'a>(context: &Context<'a>, index: usize) -> &'a PipeRun {
    &context.take_off.parts.runs[index]
}

/// Feet of the line's pipe that are in already, waste included.
pub(super) fn spent_feet(line: &Line) -> Decimal {
    line.in_already.as_ref().and_then(|is_in| is_in.value().as_decimal()).unwrap_or_default()
}

/// What a stick or coil comes from, by name.
pub(super) struct StockName {
    pub text: String,
    /// The row of Prices (index) and its name among those of the line.
    pub offer: Option<(usize, OfferName)>,
}
