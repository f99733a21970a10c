//! Buying: what to order so that the take-off can be built, and how to cut it.
//!
//! In: the job, the take-off with its runs of pipe as figures. Out: [`Purchases`] and findings: packs, sticks and coils
//! as marked choices with live checks, and for each stick and coil the pieces in order. Never: the bid's money, which is
//! feet and pieces at the unit prices of the chosen offers; what the packs cost stands beside it.
//!
//! The optimisers ([`cutting`], [`purchase`]) know lengths and money as whole numbers and no figures; the other files
//! turn a job into their problems and put what they choose into the book.

mod allowed;
mod colors;
mod cut_quality;
mod cut_sheet;
mod cut_slack;
pub mod cutting;
mod deliveries;
pub(crate) mod findings;
mod joint_cost;
mod lines;
mod nipples;
pub(crate) mod offer_name;
mod offers;
mod packs;
mod pipe;
mod pipe_plan;
mod pipe_stock;
pub mod purchase;
mod stock_name;
mod suppliers;
mod trips;
mod units;

use crate::buy::findings::NoPipeLongEnough;
use crate::figure::{Book, CellKind, Column, Look, TableId, Term};
use crate::finding::Finding;
use crate::input::Settings;
use crate::model::Setting;
use crate::sheets::Page;
use crate::table::List;
use crate::takeoff::TakeOff;
use crate::unit::Unit;
use crate::view::View;
use cutting::{Effort, Plan};
use pipe_plan::Planning;
use rust_decimal::Decimal;
use std::sync::Arc;

pub(crate) use units::PipeUnit;

/// What it takes from the stages before it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Inputs<'a> {
    pub take_off: &'a TakeOff,
    /// How long to search for the cheapest cuts of one kind of pipe.
    pub effort: Effort,
}

/// What every file of this stage works from.
pub(crate) type Context<'a> = View<'a, Inputs<'a>>;

/// What the stage hands on.
#[derive(Debug)]
pub struct Purchases {
    pub pipes: Vec<PipeBought>,
    pub packs: Vec<PackBought>,
    /// Every line that anything is needed of.
    pub lines: Vec<LineBought>,
    /// What all packs, sticks and coils cost, to the cent: `Packs_total`.
    pub total: Term,
    /// Sales tax on each pack of the order.
    pub tax: Column,
    /// What each stick, coil and length of the Cut plan is cut from, as its choice says: `bought 32`.
    pub cut_from: Column,
    /// What of it is left over and worth something.
    pub left_over: Term,
    /// How many packs, sticks and coils are of an offer that is not what it was, or that was typed over.
    pub gone: Term,
}

/// Pipe of one material, size and color. Money as figures.
#[derive(Debug)]
pub struct PipeBought {
    /// Index into the take-off's lines.
    pub line: Option<usize>,
    pub material: Arc<str>,
    /// As a key: `3/4"`.
    pub size: String,
    /// `cold` or `hot` where each has its color, else empty.
    pub water: &'static str,
    pub pipe_cost: Term,
    pub joint_cost: Term,
    /// Pipe and joints, less the worth of what is left.
    pub total: Term,
    /// No plan costs less.
    pub bound: Term,
    /// True when the plan is known to be the cheapest.
    pub proved: bool,
    pub plan: Plan,
    /// Its sticks, coils and cut lengths, in the order of the plan's cuts.
    pub units: Vec<PipeUnit>,
    /// Runs that nothing is cut for, since nobody offers it: index in the take-off, and feet that it needs.
    pub uncovered: Vec<(usize, Decimal)>,
    /// Runs that the plan held leaves short: index, and feet missing.
    pub short: Vec<(usize, Decimal)>,
}

/// Packs of one offer.
#[derive(Debug)]
pub struct PackBought {
    /// Index into the take-off's lines.
    pub line: usize,
    /// Index into the job's prices.
    pub price: usize,
    /// How many packs: a choice, with its live check.
    pub packs: Term,
    /// Packs times their price, $ before tax.
    pub cost: Term,
}

/// A line of the take-off as it is bought, in feet or pieces.
#[derive(Debug)]
pub struct LineBought {
    /// Index into the take-off's lines.
    pub line: usize,
    /// Needed, spares included: of pipe what its runs need with their tails, without the bid's waste.
    pub wanted: Term,
    /// On hand, or bought already.
    pub on_hand: Term,
    /// Wanted less on hand, never under 0.
    pub to_get: Term,
    /// What all packs, sticks and coils bought for it hold.
    pub bought: Term,
    /// On hand and bought, less wanted.
    pub left: Term,
}

/// The whole stage.
pub(crate) fn buy(book: &mut Book, context: &Context, findings: &mut Vec<Finding>) -> Purchases {
    book.words(context.page(Page::Buying), Look::Title, Page::Buying.name());
    book.words(context.page(Page::Buying), Look::Words, BUYING);
    // Tables stand in the order they are made; they are filled as their figures come to be.
    let verdicts = book.list(context.page(Page::Buying), "");
    let packs = packs::Orders::new(book, context);
    let lines = lines::Lines::new(book, context);
    let pipe_table = cut_quality::Table::on_page(book, context);
    let joints = joint_cost::Joints::put(book, context);
    let (allowed, found) = suppliers::choose(context, &joints);
    let planning = Planning { joints: &joints, allowed: &allowed, by_water: pipe::by_water(context) };
    let pipes = pipe_plan::pipes(context, planning);
    for pipe in &pipes {
        unmet(context, pipe, findings);
        nipples::find_bought_for(context, pipe, findings);
    }
    cut_slack::find(&pipes, findings);
    let cuts = cut_sheet::put(book, context, &pipes);
    let needs = lines.needs(book, &cuts);
    let bought = packs.fill(book, &cuts, &needs, &allowed);
    offers::find_breaks_of_pipe(context, &pipes, findings);
    let (total, left_over, line_by_line) = lines.finish(book, &needs, &bought, &cuts);
    let quality = pipe_table.fill(book, context, &cuts, &joints);
    colors::put(book, context, planning, &pipes, &quality);
    trips::put(book, context, &bought, &total, found);
    deliveries::put(book, context, &line_by_line, findings);
    cut_quality::record(book, context, &cuts, &joints);
    let line_checks = lines.checks(book);
    let gone = verdict(book, context, verdicts, [&bought.checks, &line_checks, &cuts.checks]);
    book.name(&total, "Packs_total");
    let cut_from = cuts.unit_offer;
    let pipes = pipes
        .into_iter()
        .zip(quality)
        .map(|(pipe, quality)| PipeBought {
            line: context.take_off.lines.iter().position(|line| line.item == pipe.item),
            material: pipe.item.material.as_str().into(),
            size: pipe.item.sizes.first().map(|size| size.key()).unwrap_or_default(),
            water: pipe.water,
            pipe_cost: quality.pipe_cost,
            joint_cost: quality.joint_cost,
            total: quality.total,
            bound: quality.bound,
            proved: quality.proved,
            units: units::units(context, &pipe),
            uncovered: units::uncovered(&pipe),
            short: units::short(&pipe),
            plan: pipe.plan,
        })
        .collect();
    Purchases { pipes, packs: bought.packs, lines: line_by_line, total, tax: bought.tax, cut_from, left_over, gone }
}

const BUYING: &str = "What to order, in whole packs, sticks and coils, at the least cost over the offers in Prices; what is on \
     hand is used first. The bid charges feet and pieces at unit prices and is not changed by what is chosen here.";

/// What usable left-overs count at, in a list of labels and values.
pub(crate) const LEFT_OVERS_COUNT_AT: &str = "Left-overs count at, of their price (Left-over worth in Job)";

/// That share, for a cell of its own.
pub(crate) fn left_over_share(settings: &Settings) -> Term {
    settings.get(Setting::LeftoverWorth) + Term::number(0)
}

/// How many checks of these columns are not OK, beneath the head of the sheet; and how many choices of packs and of cuts are
/// not those that the rest was planned on, each in a row of its own.
fn verdict(book: &mut Book, context: &Context, list: TableId, checks: [&Vec<Column>; 3]) -> Term {
    let list = List::in_list(book, list, [44.0, 0.0], Unit::Each);
    let row = list.label(book, LEFT_OVERS_COUNT_AT);
    let share = book.put(row, list.value, left_over_share(context.settings));
    book.unit(&share, Unit::Percent);
    let mut put = |words: &str, counts: Vec<Term>| {
        let row = list.label(book, words);
        book.mark(row, CellKind::Total);
        let count = Term::total(&counts.iter().collect::<Vec<_>>());
        book.put_or_state(row, list.value, count, "nothing is bought")
    };
    put(
        "Packs and cuts that no longer do",
        checks.iter().flat_map(|columns| columns.iter()).map(Term::not_ok).collect(),
    );
    let [packs, _, cuts] = checks.map(|columns| {
        let filled = columns.iter().filter(|column| !column.values().is_empty());
        filled.map(Term::price_again_in).collect::<Vec<_>>()
    });
    let gone = [put("Packs to price again", packs), put("Cuts to price again", cuts)];
    Term::total(&gone.iter().collect::<Vec<_>>())
}

fn unmet(context: &Context, pipe: &pipe::Pipe, findings: &mut Vec<Finding>) {
    // Where nothing is offered at all, the line without a price has said so.
    if pipe.sources.is_empty() {
        return;
    }
    for index in &pipe.plan.unmet {
        let Some(position) = pipe.runs.get(*index) else { continue };
        let run = &context.take_off.parts.runs[*position];
        let longest = pipe.problem.stock.iter().map(|stock| stock.length).max().unwrap_or(0);
        findings.push(Finding::at(
            &run.length_at,
            NoPipeLongEnough {
                run: run.name.value.to_string(),
                needed_ft: pipe::feet(pipe.needs[*index]).to_string(),
                longest_ft: pipe::feet(longest).to_string(),
            },
        ));
    }
}
