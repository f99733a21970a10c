//! Which size each run gets: the user's word, the main's, what the bid held, or a search.
//!
//! The search is exact (see `exact`): the cheapest sizes at the job's prices that keep every pressure and every limit. Where no
//! sizes keep every pressure, the same search is made with every need lowered by the least that some sizes can meet: the
//! worst outlet is then as little short as can be, and among such sizes the cheapest are taken.

use super::costs::JobCosts;
use super::devices::InLine;
use super::exact;
use super::forms::Forms;
use super::installation::Lay;
use super::load::Loads;
use super::outlets::Outlet;
use super::structure::Structure;
use super::{Context, fitting_loss::Entry};
use super::{friction, home_runs, remedy, shortage};
use crate::choice::Choice;
use crate::figure::Number;
use crate::figure::settings::as_f64;
use crate::finding::Finding;
use crate::model::{Run, Setting, Size, Status};
use crate::rules::ELBOW;
use crate::subjects::water::findings::remedy::Remedy;
use crate::subjects::water::findings::sizes::{
    ExistingSizeAssumed, InstalledSizeTyped, LargerRun, LargerThanFeeder, MainSizeNotUsed, MainSizeWithoutSay,
    SizeUnderCode,
};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::sync::Arc;

/// Whose word a size is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Word {
    /// Typed in Runs.
    Run,
    /// Main size in Job.
    Main,
    /// The engine's choice; of pipe that is in, what the bid has for it.
    Choice,
}

/// The size of one run.
#[derive(Debug, Clone, Copy)]
pub struct Picked {
    /// `None` where no size can be chosen.
    pub size: Option<Size>,
    /// Who decided it.
    pub word: Word,
}

/// One run as the search sees it. All options are in rising order of size.
#[derive(Debug, Clone)]
pub struct SearchRun {
    /// Index of the run that feeds it, lower than its own; `None` at the supply.
    pub parent: Option<usize>,
    /// At peak demand, gpm.
    pub flow_gpm: f64,
    /// Pressure that its rise takes, psi; negative downward.
    pub height_psi: f64,
    /// Pressure needed at its end, psi; `None` where nothing draws there.
    pub need_psi: Option<f64>,
    /// At least one.
    pub options: Vec<SearchOption>,
    /// Index of the only option allowed, when the size is somebody's word.
    pub fixed: Option<usize>,
    /// New pipe, which is paid for; where its size is chosen, never larger than that of such pipe which feeds it.
    pub new: bool,
}

/// A size that a run could have, and what it would lose.
#[derive(Debug, Clone, Copy)]
pub struct SearchOption {
    /// Nominal.
    pub size: Size,
    /// Friction and fittings, psi.
    pub loss_psi: f64,
    /// Its water runs faster than the limit.
    pub fast: bool,
}

/// The job as the size search sees it.
#[derive(Clone)]
pub struct Search<'a> {
    /// At the supply, static, psi.
    pub source_psi: f64,
    /// Share of a regulator's setting that sizing counts on, 0 to 1.
    pub regulator_share: f64,
    /// What every outlet keeps over its need, psi.
    pub to_spare_psi: f64,
    /// How short of that outlets may be, psi: 0 where some sizes keep every pressure.
    pub short_psi: f64,
    /// A run before those that it feeds.
    pub runs: Vec<SearchRun>,
    /// By index into the job's devices; their `position` is an index into `runs`.
    pub devices: &'a [InLine],
}

/// Lengths, fittings and limits of the runs, in plain numbers for the search.
pub struct Physics<'a> {
    /// By position: what the water is led through where the run begins.
    pub entries: &'a [Entry],
    /// What the tree alone decides.
    pub structure: &'a Structure,
    /// Supports, holes and limits by the row of the pipe table.
    pub lay: &'a Lay,
    /// Stick or coil.
    pub forms: &'a Forms,
    /// The smallest size that the code allows each run.
    pub smallest: &'a [Size],
    /// In the order they stand.
    pub devices: &'a [InLine],
    /// Of height, at the coldest water.
    pub psi_per_ft: f64,
    /// Kinematic, at the coldest water.
    pub viscosity_ft2_s: f64,
    /// See [`Search::regulator_share`].
    pub regulator_share: f64,
    /// Highest velocity allowed, ft/s, by position.
    pub velocity_limit: Vec<f64>,
}

/// What a run of the search is made from.
#[derive(Clone, Copy)]
pub(super) struct Job<'a> {
    pub context: &'a Context<'a>,
    pub materials: &'a [Arc<str>],
    pub outlets: &'a [Outlet],
    pub loads: &'a Loads,
    pub physics: &'a Physics<'a>,
}

/// What is settled of a run before the search: its size, and whether it is put in anew.
#[derive(Clone, Copy)]
pub(super) struct Given {
    pub size: Option<Size>,
    pub new: bool,
}

/// What is chosen.
pub struct Chosen {
    /// By position.
    pub picked: Vec<Picked>,
    /// What the search made of all that the sizes decide, in dollars; `None` where no sizes keep every pressure.
    pub cost: Option<Decimal>,
    /// How short the worst outlet is, psi, to a hundredth upward.
    pub short_psi: f64,
    /// What fixes it where no sizes keep every pressure.
    pub remedy: Option<Remedy>,
}

/// Sizes of all runs.
pub fn sizes(
    context: &Context,
    materials: &[Arc<str>],
    outlets: &[Outlet],
    loads: &Loads,
    physics: &Physics,
    findings: &mut Vec<Finding>,
) -> Chosen {
    let main_size = context.job.size(Setting::MainSize);
    let mut picked: Vec<Picked> = (0..context.network.len())
        .map(|position| {
            let run = &context.job.runs[context.network.order[position]];
            let lies = as_it_lies(context, run);
            let main = main_size.filter(|_| physics.structure.main_runs.contains(&position));
            match (run.size.get(), main) {
                (Some(size), _) => Picked { size: Some(size), word: Word::Run },
                // A main that is in does not grow by a wish.
                (None, Some(size)) if lies.is_none_or(|lies| lies == size) => {
                    Picked { size: Some(size), word: Word::Main }
                }
                _ if lies.is_some() => Picked { size: lies, word: Word::Choice },
                _ => {
                    let held = context.saved(Choice::RunSize, run.name.value.trim());
                    Picked { size: held.and_then(Size::parse), word: Word::Choice }
                }
            }
        })
        .collect();

    let job = Job { context, materials, outlets, loads, physics };
    let given = |position: usize| Given {
        size: picked[position].size,
        new: job.run(position).status.get().unwrap_or_default() == Status::New,
    };
    let search = Search {
        source_psi: as_f64(context.job, Setting::SupplyPressure).unwrap_or(0.0),
        regulator_share: physics.regulator_share,
        to_spare_psi: as_f64(context.job, Setting::PressureToSpare).unwrap_or(0.0),
        short_psi: 0.0,
        devices: physics.devices,
        runs: (0..context.network.len()).map(|position| job.search_run(position, given(position))).collect(),
    };
    let least_short = shortage::least(&search);
    let short_psi = least_short.unwrap_or(0.0);
    let eased = Search { short_psi, ..search.clone() };
    let costs = JobCosts::new(context, &eased, physics, materials, outlets);
    let optimum = least_short.and_then(|_| exact::cheapest(&eased, &physics.structure.forks, &costs));
    let all_pass = optimum.as_ref().filter(|_| short_psi == 0.0);
    let cost = all_pass.map(|optimum| Decimal::new(optimum.cost, 3));
    let remedy = optimum
        .as_ref()
        .filter(|_| short_psi > 0.0 && context.advice && !context.hold)
        .and_then(|optimum| remedy::say(&job, &search, &picked, &remedy::Nearest { optimum, short_psi }, findings));
    let found: Vec<Option<usize>> = match optimum {
        Some(optimum) => optimum.options.into_iter().map(Some).collect(),
        // A run comes in no size at all, which is told by itself.
        None => search.runs.iter().map(SearchRun::slowest_enough).collect(),
    };
    for (position, option) in found.iter().enumerate() {
        let run = &context.job.runs[context.network.order[position]];
        if picked[position].size.is_none() {
            picked[position].size = option.map(|o| search.runs[position].options[o].size);
        }
        // What this job has put in lies as the bid had it; what was there before is worth a look.
        let known = run.status.get() == Some(Status::Installed) && as_it_lies(context, run).is_some();
        let lies = run.status.get().is_some_and(Status::lies_there) && !known;
        if let (Some(size), Some(lies)) =
            (run.size.get(), as_it_lies(context, run).filter(|lies| run.size.get() != Some(*lies)))
        {
            let (run_name, size, lies) = (run.name.value.to_string(), size.to_string(), lies.to_string());
            let facts = InstalledSizeTyped { run: run_name, size, lies };
            findings.push(Finding::near(run.size.cell.as_ref(), facts));
        }
        if let (true, Word::Choice, Some(size)) = (lies, picked[position].word, picked[position].size) {
            findings.push(Finding::near(
                run.size.cell.as_ref().or(Some(&run.name.place)),
                ExistingSizeAssumed { run: run.name.value.to_string(), size: size.to_string() },
            ));
        }
    }
    feeders(context, &picked, findings);
    main_that_lies(context, &picked, &physics.structure.main_runs, findings);
    for (position, Picked { size, word }) in picked.iter().enumerate() {
        let run = &context.job.runs[context.network.order[position]];
        let new = run.status.get().unwrap_or_default().is_of_this_job();
        let least = physics.smallest[position];
        if let Some(size) = size.filter(|size| new && *word != Word::Choice && *size < least) {
            let is_service = physics.structure.service_runs.contains(&position);
            let limit = if is_service { home_runs::SERVICE } else { home_runs::DISTRIBUTION };
            let facts = SizeUnderCode {
                run: run.name.value.to_string(),
                size: if *word == Word::Main { format!("{size} by Main size") } else { size.to_string() },
                least: least.to_string(),
                source: context.rules.limit(limit, context.code).map(|l| l.origin.source.to_string()),
            };
            let main = context.job.settings.get(&Setting::MainSize).and_then(|field| field.cell.as_ref());
            let place = main.filter(|_| *word == Word::Main).or(run.size.cell.as_ref()).or(Some(&run.name.place));
            findings.push(Finding::near(place, facts));
        }
    }
    Chosen { picked, cost, short_psi, remedy }
}

/// A Main size that has no say over a run of the main, since that lies there already or has its own.
fn main_that_lies(context: &Context, picked: &[Picked], main_runs: &[usize], findings: &mut Vec<Finding>) {
    let Some(field) = context.job.settings.get(&Setting::MainSize) else { return };
    let Some(size) = Size::parse(&context.job.text(Setting::MainSize)) else { return };
    let run = |position: usize| &context.job.runs[context.network.order[position]];
    let lies = |position: &usize| run(*position).status.get().is_some_and(Status::lies_there);
    let other = |position: &usize| picked[*position].size.is_some_and(|other| other != size);
    let runs: Vec<&str> =
        main_runs.iter().copied().filter(lies).filter(other).map(|position| &*run(position).name.value).collect();
    if !runs.is_empty() {
        let facts = MainSizeWithoutSay { size: size.to_string(), runs: runs.join(", ") };
        findings.push(Finding::near(field.cell.as_ref(), facts));
        return;
    }
    let own = |position: &usize| picked[*position].word == Word::Run;
    if main_runs.iter().all(own) {
        let others = main_runs.iter().filter(|position| other(position));
        let runs: Vec<&str> = others.map(|position| &*run(*position).name.value).collect();
        if !runs.is_empty() {
            let facts = MainSizeNotUsed { size: size.to_string(), runs: runs.join(", ") };
            findings.push(Finding::near(field.cell.as_ref(), facts));
        }
    }
}

/// Runs that are larger than the run which feeds them, told once: where the user typed them so, they may be slips; where the
/// engine chose them, the feeder's size is somebody's word.
fn feeders(context: &Context, picked: &[Picked], findings: &mut Vec<Finding>) {
    let run = |position: usize| &context.job.runs[context.network.order[position]];
    let new = |position: usize| run(position).status.get().unwrap_or_default() == Status::New;
    for chosen in [false, true] {
        let mut place = None;
        let mut runs = Vec::new();
        for (position, Picked { size, word }) in picked.iter().enumerate() {
            let asked = match chosen {
                true => *word == Word::Choice,
                false => *word == Word::Run,
            };
            let Some(feeder) = context.network.parent[position].filter(|_| asked && new(position)) else { continue };
            let by_main = if picked[feeder].word == Word::Main { " by Main size" } else { "" };
            if let (Some(size), Some(feeder_size)) = (size, picked[feeder].size)
                && *size > feeder_size
                && (chosen || new(feeder))
            {
                place = place.or(run(position).size.cell.as_ref()).or(Some(&run(position).name.place));
                runs.push(LargerRun {
                    run: run(position).name.value.to_string(),
                    size: size.to_string(),
                    feeder: run(feeder).name.value.to_string(),
                    feeder_size: format!("{feeder_size}{by_main}"),
                });
            }
        }
        if !runs.is_empty() {
            findings.push(Finding::near(place, LargerThanFeeder { runs, chosen }));
        }
    }
}

/// The size that the bid has for a run which is in already: a later wish does not change what lies there.
fn as_it_lies(context: &Context, run: &Run) -> Option<Size> {
    let saved = context.job.saved.get(Choice::SizeInBid, run.name.value.trim());
    let saved = saved.filter(|_| run.status.get().is_some_and(Status::lies_there));
    saved.and_then(Size::parse)
}

/// Runs from SUPPLY down to the first fork.
pub fn main_runs(context: &Context) -> Vec<usize> {
    let mut runs = Vec::new();
    for root in (0..context.network.len()).filter(|p| context.network.parent[*p].is_none()) {
        let mut at = root;
        runs.push(at);
        while let [only] = context.network.children[at][..] {
            at = only;
            runs.push(at);
        }
    }
    runs
}

impl<'a> Job<'a> {
    pub(crate) fn run(&self, position: usize) -> &'a Run {
        &self.context.job.runs[self.context.network.order[position]]
    }

    pub(crate) fn search_run(&self, position: usize, given: Given) -> SearchRun {
        let Self { context, materials, loads, physics, .. } = *self;
        let run = self.run(position);
        let number =
            |field: &crate::model::Field<rust_decimal::Decimal>| field.value.and_then(|d| d.to_f64()).unwrap_or(0.0);
        let flow_gpm = loads.demand_gpm[position].value().as_f64();
        let method_is_darcy = &*context.job.text(Setting::LossMethod) == "Darcy-Weisbach";
        let material = &materials[position];
        let smallest = physics.smallest[position];
        // What is in already was not bought from today's offers.
        let priced = if given.new { priced_sizes(context, material) } else { Vec::new() };
        let option = |pipe: &crate::rules::Pipe| {
            let form = physics.forms.of(position, Some(pipe.size));
            let id_in = f64::of(pipe.id_in);
            let per_100_ft = if method_is_darcy {
                friction::darcy_weisbach(
                    flow_gpm,
                    id_in,
                    f64::of(pipe.roughness_in),
                    physics.viscosity_ft2_s,
                    physics.psi_per_ft,
                )
            } else {
                friction::hazen_williams_psi_per_100_ft(&flow_gpm, &f64::of(pipe.c), &id_in, &physics.psi_per_ft)
            };
            let feet = number(&run.length_ft)
                + super::fitting_loss::equivalent_ft(
                    context,
                    material,
                    pipe.size,
                    physics.entries[position],
                    if context.rules.bend_part(material, form, pipe.size) == ELBOW { number(&run.bends) } else { 0.0 },
                    number(&run.length_ft),
                );
            let velocity = friction::velocity(&flow_gpm, &id_in);
            SearchOption {
                size: pipe.size,
                loss_psi: per_100_ft * feet / 100.0,
                fast: ((velocity - physics.velocity_limit[position]) * 1e6).round() > 0.0,
            }
        };
        let options: Vec<SearchOption> = context
            .rules
            .pipes_of(material)
            .iter()
            .filter(|pipe| match given.size {
                Some(size) => pipe.size == size,
                None => pipe.size >= smallest && (priced.is_empty() || priced.contains(&pipe.size)),
            })
            .map(option)
            .collect();
        SearchRun {
            parent: context.network.parent[position],
            flow_gpm,
            height_psi: number(&run.rise_ft) * physics.psi_per_ft,
            need_psi: loads.need_psi[position].as_ref().map(|need| need.value().as_f64()),
            fixed: (given.size.is_some() && !options.is_empty()).then_some(0),
            options,
            new: given.new,
        }
    }
}

/// Sizes of this material's pipe that the Prices sheet offers; empty when it offers none.
pub(super) fn priced_sizes(context: &Context, material: &str) -> Vec<Size> {
    let offers = context
        .job
        .prices
        .iter()
        .filter(|p| crate::model::same_folded(&p.kind.value, "pipe") && p.price.value.is_some());
    offers
        .filter(|p| p.material.as_ref().and_then(|m| context.rules.canonical_material(m)) == Some(material))
        .filter_map(|p| p.sizes.as_ref().and_then(|sizes| sizes.first().copied()))
        .collect()
}

impl SearchRun {
    /// The smallest size that is not too fast, else the largest; `None` where the run has no option at all.
    fn slowest_enough(&self) -> Option<usize> {
        let slow = self.options.iter().position(|option| !option.fast);
        self.fixed.or(slow).or(self.options.len().checked_sub(1))
    }
}

impl Search<'_> {
    /// The least pressure that a run's end must have, psi: what is drawn there needs, and is to keep besides; where nothing is
    /// drawn, that water arrives at all. Less what outlets may be short of.
    pub fn least_end_psi(&self, position: usize) -> f64 {
        let need = self.runs[position].need_psi.map_or(0.0, |need| (need + self.to_spare_psi).max(0.0));
        need - self.short_psi
    }

    /// Pressure at the end of every run under these options, psi.
    pub fn end_psi(&self, pick: &[Option<usize>]) -> Vec<f64> {
        let mut ends: Vec<f64> = Vec::with_capacity(self.runs.len());
        for (position, run) in self.runs.iter().enumerate() {
            let start = run.parent.map_or(self.source_psi, |parent| ends[parent]);
            ends.push(match pick[position] {
                Some(option) => self.end_of(position, start, option),
                None => self.behind_devices(position, start) - run.height_psi,
            });
        }
        ends
    }

    /// Pressure at a run's end from that at its start, psi.
    pub fn end_of(&self, position: usize, start_psi: f64, option: usize) -> f64 {
        let run = &self.runs[position];
        self.behind_devices(position, start_psi) - run.options[option].loss_psi - run.height_psi
    }

    fn behind_devices(&self, position: usize, start_psi: f64) -> f64 {
        let here = self.devices.iter().filter(|device| device.position == position);
        here.fold(start_psi, |psi, device| device.outlet_psi(psi, self.runs[position].flow_gpm, self.regulator_share))
    }

    /// What the start of a run must have so that this much is left behind its devices; `None` when a regulator there
    /// never lets so much through.
    pub fn inlet_needed(&self, position: usize, behind_psi: f64) -> Option<f64> {
        let here = self.devices.iter().rev().filter(|device| device.position == position);
        here.into_iter().try_fold(behind_psi, |psi, device| {
            device.inlet_needed(psi, self.runs[position].flow_gpm, self.regulator_share)
        })
    }
}
