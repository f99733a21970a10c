//! Which size each run gets: the user's word, the main's, what the bid held, or a search.
//!
//! The search is exact (see `exact`): the cheapest sizes at the job's prices that keep every pressure and every limit. Where no
//! sizes keep every pressure, the same search is made with every need lowered by the least that some sizes can meet: the
//! worst outlet is then as little short as can be, and among such sizes the cheapest are taken.

use super::Context;
use super::costs::JobCosts;
use super::exact;
use super::picked::{Picked, Word};
use super::search::{Given, Job, Search, SearchRun};
use super::{home_runs, remedy, shortage};
use crate::choice::Choice;
use crate::finding::Finding;
use crate::model::{Run, Setting, Size, Status};
use crate::subjects::water::findings::remedy::Remedy;
use crate::subjects::water::findings::sizes::{
    ExistingSizeAssumed, InstalledSizeTyped, LargerRun, LargerThanFeeder, MainSizeNotUsed, MainSizeWithoutSay,
    SizeUnderCode,
};
use rust_decimal::Decimal;

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
pub(super) fn sizes(job: &Job, findings: &mut Vec<Finding>) -> Chosen {
    let Job { context, physics, .. } = *job;
    let mut picked: Vec<Picked> = (0..context.network.len()).map(|position| job.settled(position)).collect();
    let search = job.search(&picked);
    let least_short = shortage::least(&search);
    let short_psi = least_short.unwrap_or(0.0);
    let eased = Search { short_psi, ..search.clone() };
    let costs = JobCosts::new(*job, &eased);
    let optimum = least_short.and_then(|_| exact::cheapest(&eased, &physics.structure.forks, &costs));
    let all_pass = optimum.as_ref().filter(|_| short_psi == 0.0);
    let cost = all_pass.map(|optimum| Decimal::new(optimum.cost, 3));
    let remedy = optimum
        .as_ref()
        .filter(|_| short_psi > 0.0 && context.advice && !context.hold)
        .and_then(|optimum| remedy::find(job, &search, &picked, &remedy::Nearest { optimum, short_psi }, findings));
    let found: Vec<Option<usize>> = match optimum {
        Some(optimum) => optimum.options.into_iter().map(Some).collect(),
        // A run comes in no size at all, which is told by itself.
        None => search.runs.iter().map(SearchRun::slowest_enough).collect(),
    };
    for (position, option) in found.iter().enumerate() {
        if picked[position].size.is_none() {
            picked[position].size = option.map(|o| search.runs[position].options[o].size);
        }
        findings.extend(assumed(context, job.run(position), picked[position]));
        findings.extend(typed_for_what_is_in(context, job.run(position)));
    }
    feeders(context, &picked, findings);
    main_that_lies(context, &picked, &physics.structure.main_runs, findings);
    findings.extend((0..picked.len()).filter_map(|position| under_code(job, position, picked[position])));
    Chosen { picked, cost, short_psi, remedy }
}

/// The size of pipe that is there, where it had to be guessed.
fn assumed(context: &Context, run: &Run, Picked { size, word }: Picked) -> Option<Finding> {
    // What this job has put in lies as the bid had it; what was there before is worth a look.
    let known = run.status.get() == Some(Status::Installed) && installed_size_of(context, run).is_some();
    let in_place = run.status.get().is_some_and(Status::is_in_place) && !known;
    let size = size.filter(|_| in_place && word == Word::Choice)?;
    let facts = ExistingSizeAssumed { run: run.name.value.to_string(), size: size.to_string() };
    Some(Finding::near(run.size.cell.as_ref().or(Some(&run.name.place)), facts))
}

/// A size that somebody asks for, and that the code calls too small.
fn under_code(job: &Job, position: usize, Picked { size, word }: Picked) -> Option<Finding> {
    let Job { context, physics, .. } = *job;
    let run = job.run(position);
    let (new, least) = (run.status.get().unwrap_or_default().is_of_this_job(), physics.smallest[position]);
    let size = size.filter(|size| new && word != Word::Choice && *size < least)?;
    let is_service = physics.structure.service_runs.contains(&position);
    let limit = if is_service { home_runs::SERVICE } else { home_runs::DISTRIBUTION };
    let facts = SizeUnderCode {
        run: run.name.value.to_string(),
        size: if word == Word::Main { format!("{size} by Main size") } else { size.to_string() },
        least: least.to_string(),
        source: context.rules.limit(limit, context.code).map(|l| l.origin.source.to_string()),
    };
    let main = context.job.settings.get(&Setting::MainSize).and_then(|field| field.cell.as_ref());
    Some(Finding::near(main.filter(|_| word == Word::Main).or(run.size.cell.as_ref()).or(Some(&run.name.place)), facts))
}

/// A Size that is not the one which the bid has for a run that is in already.
fn typed_for_what_is_in(context: &Context, run: &Run) -> Option<Finding> {
    let (size, installed) = (run.size.get()?, installed_size_of(context, run)?);
    let (run_name, size_now) = (run.name.value.to_string(), size.to_string());
    let facts = InstalledSizeTyped { run: run_name, size: size_now, installed: installed.to_string() };
    (size != installed).then(|| Finding::near(run.size.cell.as_ref(), facts))
}

/// A Main size that has no say over a run of the main, since that lies there already or has its own.
fn main_that_lies(context: &Context, picked: &[Picked], main_runs: &[usize], findings: &mut Vec<Finding>) {
    let Some(field) = context.job.settings.get(&Setting::MainSize) else { return };
    let Some(size) = Size::parse(&context.job.text(Setting::MainSize)) else { return };
    let run = |position: usize| context.run_at(position);
    let in_place = |position: &usize| run(*position).status.get().is_some_and(Status::is_in_place);
    let other = |position: &usize| picked[*position].size.is_some_and(|other| other != size);
    let runs: Vec<&str> =
        main_runs.iter().copied().filter(in_place).filter(other).map(|position| &*run(position).name.value).collect();
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
    let run = |position: usize| context.run_at(position);
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
fn installed_size_of(context: &Context, run: &Run) -> Option<Size> {
    let saved = context.job.saved.get(Choice::SizeInBid, run.name.value.trim());
    let saved = saved.filter(|_| run.status.get().is_some_and(Status::is_in_place));
    saved.and_then(Size::parse)
}

impl<'a> Job<'a> {
    /// What is said of a run's size before the search.
    fn settled(&self, position: usize) -> Picked {
        let (context, run) = (self.context, self.run(position));
        let installed = installed_size_of(context, run);
        let is_main = self.physics.structure.main_runs.contains(&position);
        match (run.size.get(), context.job.size(Setting::MainSize).filter(|_| is_main)) {
            (Some(size), _) => Picked { size: Some(size), word: Word::Run },
            // A main that is in does not grow by a wish.
            (None, Some(size)) if installed.is_none_or(|installed| installed == size) => {
                Picked { size: Some(size), word: Word::Main }
            }
            _ if installed.is_some() => Picked { size: installed, word: Word::Choice },
            _ => {
                let saved = context.saved(Choice::RunSize, run.name.value.trim());
                Picked { size: saved.and_then(Size::parse), word: Word::Choice }
            }
        }
    }

    fn search(&self, picked: &[Picked]) -> Search<'a> {
        let setting = |setting| self.context.job.as_f64(setting).unwrap_or(0.0);
        let given = |position: usize| Given {
            size: picked[position].size,
            new: self.run(position).status.get().unwrap_or_default() == Status::New,
        };
        Search {
            source_psi: setting(Setting::SupplyPressure),
            regulator_share: self.physics.regulator_share,
            to_spare_psi: setting(Setting::PressureToSpare),
            short_psi: 0.0,
            devices: self.physics.devices,
            runs: (0..picked.len()).map(|position| self.search_run(position, given(position))).collect(),
        }
    }
}
