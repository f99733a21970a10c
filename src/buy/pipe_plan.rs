//! What must be cut of each pipe, what it can be cut from, and the plan of it: held, or made by the search.

use super::allowed::Allowed;
use super::cutting::{self, Cut, Effort, Form, Piece, Plan, Problem, Run, Stock};
use super::joint_cost::{Joint, Joints};
use super::pipe::{Pipe, color, run};
use super::pipe_stock::{Stocks, Taken, eighths, form, leave_the_rest};
use super::stock_name::{origins, source_of};
use super::{Context, nipples, units};
use crate::choice::Choice;
use crate::model::{Setting, Status, Whereabouts};
use crate::parallel::in_parallel;
use crate::parts::PipeRun;
use crate::rules::Item;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// What pipe is planned by.
#[derive(Clone, Copy)]
pub(super) struct Planning<'a> {
    /// What a joint costs.
    pub joints: &'a Joints,
    pub allowed: &'a Allowed,
    /// Whether hot and cold water have pipe of different colors.
    pub by_water: bool,
}

/// All pipe that is new, by the lines of the take-off, planned.
pub(super) fn pipes(context: &Context, planning: Planning) -> Vec<Pipe> {
    let mut pipes = unplanned(context, planning);
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
pub(super) fn planned_anew(context: &Context, planning: Planning) -> Vec<Pipe> {
    let mut pipes = unplanned(context, planning);
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

pub(super) fn unplanned(context: &Context, planning: Planning) -> Vec<Pipe> {
    let Planning { joints, allowed, by_water } = planning;
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
            let of_line = &context.take_off.lines[line];
            let item = of_line.item.clone();
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
            let Stocks { stock, sources, .. } = Stocks::new(context, (of_line, water), &needs, allowed, &mut taken);
            let mut problem = problem(context, joints.of(&item), &runs, &needs, stock);
            if let Some(nipples) = problem.runs.last_mut().filter(|_| has_nipples) {
                *nipples = Run { length: nipples.length, joints: false, form: None };
            }
            if shared {
                leave_the_rest(context, &mut problem, &sources, &mut taken);
            }
            let plan = cutting::plan(&Problem { runs: Vec::new(), ..problem.clone() }, Effort { steps: 1 });
            let from = origins(context, of_line, &sources);
            Pipe { item, water, runs, has_nipples, needs, sources, from, problem, plan, is_saved: false }
        })
        .collect()
}

fn problem(context: &Context, joint: Option<&Joint>, runs: &[usize], needs: &[i64], stock: Vec<Stock>) -> Problem {
    let inches = |setting| eighths(context.job.number(setting).unwrap_or_default());
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
    if cuts.is_empty() || units::there_since(pipe, &cuts) {
        return None;
    }
    let pieces: usize = cuts.iter().map(|cut| cut.pieces.len()).sum();
    let joints = pieces.saturating_sub(pipe.needs.iter().filter(|need| **need > 0).count()) as u32;
    Some(Plan { cuts, joints, ..Plan::default() })
}
