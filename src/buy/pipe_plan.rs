//! What must be cut of each pipe, what it can be cut from, and the plan of it: held, or made by the search.

use super::allowed::Allowed;
use super::cutting::{self, Cut, Effort, Form, LONGEST, Piece, Plan, Problem, Run, Stock};
use super::joint_cost::Joints;
use super::pipe::{Pipe, Source, color, mills, run, spent_feet};
use super::stock_name::{origins, source_of};
use super::{Context, nipples, units};
use crate::choice::Choice;
use crate::model::{Price, Setting, Status, Whereabouts, counter_price};
use crate::parallel::in_parallel;
use crate::parts::PipeRun;
use crate::rules::{Item, fits};
use crate::takeoff::Line;
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};
use std::collections::{BTreeMap, BTreeSet};

/// Lengths of pipe sold by the foot that are offered to the search.
const CUT_LENGTHS: usize = 12;

fn eighths(inches: Decimal) -> i64 {
    let whole = inches
        .checked_mul(Decimal::from(8))
        .map(|e| e.round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero));
    whole.and_then(|e| e.to_i64()).unwrap_or(LONGEST + 1).clamp(0, LONGEST + 1)
}

/// All pipe that is new, by the lines of the take-off, planned.
pub(super) fn pipes(context: &Context, joints: &Joints, by_water: bool, allowed: &Allowed) -> Vec<Pipe> {
    let mut pipes = unplanned(context, joints, by_water, allowed);
    for pipe in &mut pipes {
        if let Some(plan) = saved_plan(context, pipe) {
            pipe.plan = plan;
            pipe.is_saved = true;
        }
    }
    plan(&mut pipes, context.effort);
    pipes
}

/// As [`pipes`], whatever the bid that is read has chosen.
pub(super) fn planned_anew(context: &Context, joints: &Joints, by_water: bool, allowed: &Allowed) -> Vec<Pipe> {
    let mut pipes = unplanned(context, joints, by_water, allowed);
    plan(&mut pipes, Effort { steps: context.effort.steps / 2 });
    pipes
}

/// Plans what is not held, each kind of pipe by itself.
fn plan(pipes: &mut [Pipe], effort: Effort) {
    let problems: Vec<Option<&Problem>> = pipes.iter().map(|pipe| (!pipe.is_saved).then_some(&pipe.problem)).collect();
    let plans = in_parallel(&problems, |problem| problem.map(|problem| cutting::plan(problem, effort)), |_| ());
    for (pipe, plan) in pipes.iter_mut().zip(plans) {
        pipe.plan = plan.unwrap_or_else(|| pipe.plan.clone());
    }
}

pub(super) fn unplanned(context: &Context, joints: &Joints, by_water: bool, allowed: &Allowed) -> Vec<Pipe> {
    let tail = context.job.number(Setting::TailAllowance).unwrap_or_default();
    let mut groups: BTreeMap<(usize, &'static str), Vec<usize>> = BTreeMap::new();
    // What is in already is cut already.
    let is_new = |(_, run): &(usize, &PipeRun)| run.status == Status::New;
    for (at, run) in context.take_off.parts.runs.iter().enumerate().filter(is_new) {
        let Some(size) = run.size else { continue };
        let item = Item::new("pipe", &run.material, &[size]);
        let Some(line) = context.take_off.lines.iter().position(|line| line.item == item) else { continue };
        let water = color(by_water, &item.material, run.hot);
        groups.entry((line, water)).or_default().push(at);
    }
    let nipples = nipples::nipples(context, by_water);
    for of in &nipples {
        groups.entry((of.line, of.water)).or_default();
    }
    let mut taken = Taken::default();
    let hot_too = |line: usize| groups.contains_key(&(line, "hot"));
    let shared: Vec<bool> = groups.keys().map(|(line, water)| *water == "cold" && hot_too(*line)).collect();
    groups
        .into_iter()
        .zip(shared)
        .map(|(((line, water), mut runs), shared)| {
            let item = context.take_off.lines[line].item.clone();
            let mut needs: Vec<i64> = runs
                .iter()
                .map(|at| {
                    let length = run(context, *at).typed_ft;
                    if length <= Decimal::ZERO { 0 } else { eighths(length * Decimal::from(12) + tail + tail) }
                })
                .collect();
            let own = nipples.iter().find(|of| of.line == line && of.water == water);
            if let Some(of) = own {
                runs.push(of.position);
                needs.push(eighths(of.feet * Decimal::from(12)));
            }
            let has_nipples = own.is_some();
            let (stock, sources) = stock(context, &context.take_off.lines[line], water, &needs, &mut taken, allowed);
            let mut problem = problem(context, joints, &item, &runs, &needs, stock);
            if let Some(nipples) = problem.runs.last_mut().filter(|_| has_nipples) {
                *nipples = Run { length: nipples.length, joints: false, form: None };
            }
            if shared {
                leave_the_rest(context, &mut problem, &sources, &mut taken);
            }
            let plan = cutting::plan(&Problem { runs: Vec::new(), ..problem.clone() }, Effort { steps: 1 });
            let from = origins(context, &context.take_off.lines[line], &sources);
            Pipe { item, water, runs, has_nipples, needs, sources, from, problem, plan, is_saved: false }
        })
        .collect()
}

fn problem(
    context: &Context,
    joints: &Joints,
    item: &Item,
    runs: &[usize],
    needs: &[i64],
    stock: Vec<Stock>,
) -> Problem {
    let inches = |setting| eighths(context.job.number(setting).unwrap_or_default());
    let joint = joints.of(item);
    let default_form = form(&context.job.text(Setting::Form));
    let longest = stock.iter().map(|stock| stock.length).max().unwrap_or(0);
    // What is on hand or bought already would be left over.
    let straight_is_there = stock.iter().any(|stock| stock.available.is_some() && stock.form != Form::Coil);
    let runs = runs
        .iter()
        .zip(needs)
        .map(|(at, need)| {
            let run = run(context, *at);
            let hidden = matches!(run.place, Whereabouts::Buried | Whereabouts::InSlab);
            // Where nobody says, pipe underground is one piece if any is long enough; and without a coupling in Prices
            // nothing is joined that need not be.
            let joints = match run.joints {
                Some(false) => false,
                Some(true) if joint.is_some_and(|joint| joint.priced) => true,
                _ => (!hidden && joint.is_some_and(|joint| joint.priced)) || *need > longest,
            };
            let form = run.form.as_ref().map_or(default_form, |words| form(words));
            let form = form.or_else(|| (run.takes_coil && !straight_is_there).then_some(Form::Coil));
            let offered = form.is_none_or(|form| stock.iter().any(|stock| stock.form == form));
            Run { length: *need, joints, form: form.filter(|_| offered) }
        })
        .collect();
    Problem {
        stock,
        runs,
        joint_cost: joint.map_or(0, |joint| joint.mills),
        kerf: inches(Setting::SawKerf),
        shortest_piece: inches(Setting::ShortestJoinedPiece),
        usable: inches(Setting::UsableOffcut),
    }
}

fn form(words: &str) -> Option<Form> {
    let forms = [("stick", Form::Stick), ("coil", Form::Coil)];
    forms.into_iter().find(|(unit, _)| counter_price::same_unit(words, unit)).map(|(_, form)| form)
}

/// What is left of so many feet once what is spent is taken off, as far as it goes.
fn less(feet: Decimal, spent: &mut Decimal) -> Decimal {
    let used = feet.min(*spent);
    *spent -= used;
    feet - used
}

/// What pipes have taken of what is there, before others are served.
#[derive(Default)]
struct Taken {
    /// Rows of On hand: each serves one color only, that of the first pipe in line.
    on_hand: BTreeSet<usize>,
    /// Whole units of rows of Prices that are bought already.
    /// What is left of rows of Prices that are bought already, in units of so many eighths of an inch.
    bought: BTreeMap<usize, (i64, u32)>,
    /// Feet of each line's pipe that are in already and have not been taken off anything yet.
    spent: BTreeMap<String, Decimal>,
}

/// Of what is bought already this pipe keeps only what it would buy anew at its price; the rest is for the other color.
fn leave_the_rest(context: &Context, problem: &mut Problem, sources: &[Source], taken: &mut Taken) {
    let row = |source: &Source| match source {
        Source::Bought(row) => Some(*row),
        _ => None,
    };
    if !sources.iter().any(|source| row(source).is_some()) {
        return;
    }
    let mut anew = problem.clone();
    for (stock, row) in anew.stock.iter_mut().zip(sources).filter_map(|(stock, source)| Some((stock, row(source)?))) {
        let of = &context.job.prices[row];
        let feet = Decimal::from(stock.length) / Decimal::from(96);
        let pack = of.pack_holds();
        let price = of.price.value.unwrap_or_default().saturating_mul(feet).checked_div(pack).unwrap_or_default();
        // Of two at one price the one that is there.
        stock.price = mills(price).saturating_sub(1).max(0);
        stock.worth = mills(price * worth_share(context));
    }
    let plan = cutting::plan(&anew, context.effort);
    for (at, (stock, row)) in problem
        .stock
        .iter_mut()
        .zip(sources)
        .enumerate()
        .filter_map(|(at, (stock, source))| Some((at, (stock, row(source)?))))
    {
        let used = plan.cuts.iter().filter(|cut| cut.stock == at).count() as u32;
        let left = stock.available.unwrap_or(0).saturating_sub(used);
        stock.available = Some(used);
        if let Some((_, count)) = taken.bought.get_mut(&row) {
            *count = left;
        }
    }
}

/// What a usable left-over is worth, of its price.
fn worth_share(context: &Context) -> Decimal {
    context.job.number(Setting::LeftoverWorth).unwrap_or_default().clamp(Decimal::ZERO, Decimal::ONE)
}

/// Whether a row of Prices has pipe for this water. Where all pipe is one color any will do.
fn serves(price: &Price, water: &str) -> bool {
    water.is_empty() || price.water.get().is_none_or(|of| of.is_empty() || *of == *water)
}

/// What pipe can be cut from.
fn stock(
    context: &Context,
    line: &Line,
    water: &str,
    needs: &[i64],
    taken: &mut Taken,
    allowed: &Allowed,
) -> (Vec<Stock>, Vec<Source>) {
    let item = &line.item;
    let mut stock = Vec::new();
    let mut sources = Vec::new();
    // What is in already was cut from what was on hand and bought, in this order, as far as that went.
    let spent = taken.spent.entry(item.text()).or_insert_with(|| spent_feet(line));
    for (index, have) in context.job.on_hand.iter().enumerate() {
        let fits = fits(context.rules, item, have);
        let mut feet = have.quantity.value.unwrap_or_default();
        if fits && !taken.on_hand.contains(&index) {
            feet = less(feet, spent);
        }
        let length = eighths(feet * Decimal::from(12));
        if fits && length > 0 && taken.on_hand.insert(index) {
            let form = form(&have.unit.get().unwrap_or_default()).unwrap_or(Form::Coil);
            stock.push(Stock { form, length: length.min(LONGEST), price: 0, worth: 0, available: Some(1) });
            sources.push(Source::OnHand(index));
        }
    }
    for (index, price) in line.bought_by.iter().filter_map(|index| Some((*index, context.job.prices.get(*index)?))) {
        if !serves(price, water) {
            continue;
        }
        let units = price.bought.value.unwrap_or_default();
        let pack = price.pack_holds();
        let whole = units.checked_mul(pack).unwrap_or_default();
        let before = taken.bought.get(&index).copied();
        let there = if before.is_some() { Decimal::ZERO } else { less(whole, spent) };
        let units = there.checked_div(pack).unwrap_or_default().round_dp(6).floor();
        // What was cut from a roll is one piece; sticks and coils are whole ones. Of several of which one is begun, the
        // begun one is not counted on.
        let (length, count) = match price.is_by_foot() || (there < whole && units.is_zero()) {
            true => (there, 1),
            false => (pack, units.to_u32().unwrap_or(0)),
        };
        // What another color has left of it.
        let (length, count) = before.unwrap_or((eighths(length * Decimal::from(12)), count));
        if length > 0 && count > 0 {
            taken.bought.insert(index, (length, 0));
            let default = if price.is_by_foot() { Form::Coil } else { Form::Stick };
            let form = form(&price.unit.get().unwrap_or_default()).unwrap_or(default);
            stock.push(Stock { form, length: length.min(LONGEST), price: 0, worth: 0, available: Some(count) });
            sources.push(Source::Bought(index));
        }
    }
    let share = worth_share(context);
    for (index, price) in context.job.prices.iter().enumerate() {
        let Some(each) = price.price.value.filter(|price| *price >= Decimal::ZERO) else { continue };
        // Cuts are sought at the price of the first Unit; a break that they reach is told.
        if price.is_break() || !allowed.lets(price) || !serves(price, water) {
            continue;
        }
        let pack = price.pack.value.filter(|pack| *pack > Decimal::ZERO);
        if !fits(context.rules, item, price) {
            continue;
        }
        match (price.is_by_foot(), pack) {
            (true, pack) => {
                let step = eighths(pack.unwrap_or(Decimal::ONE) * Decimal::from(12)).max(1);
                for length in cut_lengths(needs, step) {
                    let price = mills(each).saturating_mul(length / step);
                    stock.push(Stock { form: Form::Coil, length, price, worth: 0, available: None });
                    sources.push(Source::ByFoot(index));
                }
            }
            (false, Some(pack)) => {
                let form = form(&price.unit.get().unwrap_or_default()).unwrap_or(Form::Stick);
                let length = eighths(pack * Decimal::from(12));
                let (price, worth) = (mills(each), mills(each * share));
                stock.push(Stock { form, length, price, worth, available: None });
                sources.push(Source::Offer(index));
            }
            // So many feet in a stick or coil nobody knows how long.
            (false, None) => {}
        }
    }
    (stock, sources)
}

/// Lengths in whole steps for the runs one by one, and for all together.
fn cut_lengths(needs: &[i64], step: i64) -> Vec<i64> {
    let up = |need: i64| (need + step - 1) / step * step;
    let mut lengths: Vec<i64> =
        needs.iter().filter(|need| (1..LONGEST).contains(*need)).map(|need| up(*need)).collect();
    lengths.sort_unstable_by(|a, b| b.cmp(a));
    lengths.dedup();
    lengths.truncate(CUT_LENGTHS);
    let all = up(needs.iter().filter(|need| **need < LONGEST).sum());
    if needs.len() > 1 && all <= LONGEST {
        lengths.push(all);
    }
    lengths
}

/// The cuts of the bid that is read, as far as their runs and offers are still there; `None` when it has none.
fn saved_plan(context: &Context, pipe: &Pipe) -> Option<Plan> {
    if !context.hold {
        return None;
    }
    let is_in = context.take_off.lines.iter().any(|line| line.item == pipe.item && line.in_already.is_some());
    let mut cuts = Vec::new();
    for n in 0.. {
        let unit = pipe.unit_name(n);
        let Some(from) = context.saved(Choice::Unit, &unit) else { break };
        let stock = source_of(context, pipe, from);
        let mut pieces: Vec<(usize, Piece)> = Vec::new();
        for run in 0..pipe.runs.len() {
            let name = pipe.run_name(context, run);
            // A unit has at most one piece of a run.
            // Pieces of runs that are in since stood among them.
            for place in 0..context.take_off.parts.runs.len() {
                let piece = Pipe::piece_name(&unit, place, &name);
                if let Some(inches) = context.saved_number(Choice::Cut, &piece) {
                    pieces.push((place, Piece { run, length: eighths(inches) }));
                    break;
                }
            }
        }
        pieces.sort_by_key(|(place, _)| *place);
        let pieces: Vec<Piece> = pieces.into_iter().map(|(_, piece)| piece).collect();
        // Nor is a stick wanted any more that was all for them.
        if let Some(stock) = stock.filter(|_| !(is_in && pieces.is_empty())) {
            cuts.push(Cut { stock, pieces, kerf: 0, left: 0, worth: 0 });
        }
    }
    if cuts.is_empty() || units::bought_since(pipe, &cuts) {
        return None;
    }
    let pieces: usize = cuts.iter().map(|cut| cut.pieces.len()).sum();
    let joints = pieces.saturating_sub(pipe.needs.iter().filter(|need| **need > 0).count()) as u32;
    Some(Plan {
        cuts,
        joints,
        stock_cost: 0,
        joint_cost: 0,
        worth: 0,
        cost: 0,
        bound: 0,
        proved: false,
        unmet: Vec::new(),
    })
}
