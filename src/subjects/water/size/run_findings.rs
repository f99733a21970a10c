//! What is said of a run once its pressure and velocity are figured: no such pipe, short of pressure, too fast; and of the
//! outlet that has least to spare.

use super::given::Given;
use super::picked::Word;
use super::search::priced_sizes;
use super::{Context, friction};
use crate::figure::{Number, Term};
use crate::finding::Finding;
use crate::model::{Run, Setting, Status};
use crate::place::Place;
use crate::subjects::water::findings::sizes::{
    FastRun, LittleToSpare, ShortOfPressure, ShortOutlet, SizeNotInTable, TooFast,
};

/// Under this much over its need an outlet is told, psi: less than a gauge or a dry summer may take. Common practice.
const LITTLE_PSI: f64 = 2.0;

/// The cell that a run's size comes from.
fn size_place<'a>(context: &'a Context, run: &'a Run, word: Word) -> Option<&'a Place> {
    let main = context.job.settings.get(&Setting::MainSize).and_then(|field| field.cell.as_ref());
    main.filter(|_| word == Word::Main).or(run.size.cell.as_ref()).or(Some(&run.name.place))
}

/// `3/4`, and that Main size says so where it does.
fn size_words(given: &Given, position: usize) -> String {
    let picked = &given.picked[position];
    let size = picked.size.map(|size| size.to_string()).unwrap_or_default();
    if picked.word == Word::Main { format!("{size} by Main size") } else { size }
}

/// Tells a run that no size could be chosen for. One whose given size its material does not come in has been told.
pub(super) fn without_pipe(context: &Context, given: &Given, position: usize, findings: &mut Vec<Finding>) {
    let (run, picked) = (context.run_at(position), &given.picked[position]);
    if picked.size.is_some() && picked.word != Word::Choice {
        return;
    }
    let facts = SizeNotInTable {
        run: run.name.value.to_string(),
        size: picked.size.map(|size| size.to_string()).unwrap_or_default(),
        material: given.materials[position].to_string(),
        outside_of: None,
    };
    findings.push(Finding::near(size_place(context, run, picked.word), facts));
}

/// Runs told singly of one velocity limit; more are told together.
const SINGLY: usize = 3;

/// Who is short of pressure and where water is too fast, gathered over all runs: the cause is seldom in one of them.
#[derive(Default)]
pub(super) struct Trouble<'a> {
    /// With what each lacks, psi.
    short: Vec<(f64, Option<&'a Place>, ShortOutlet)>,
    /// With how much too fast each is, ft/s.
    fast: Vec<(f64, Option<&'a Place>, FastRun)>,
}

impl<'a> Trouble<'a> {
    /// A run where water is drawn: the pressure at its end, what is needed there, and what it lacks. Of runs on the way the
    /// outlets behind them speak.
    pub(super) fn outlet(&mut self, context: &'a Context, given: &Given, position: usize, psi: [&Term; 3]) {
        let [end, need, by] = psi.map(|term| term.value().as_f64());
        if (by * 1e6).round() > 0.0 {
            let digits = (1..6).find(|digits| format!("{by:.digits$}") != format!("{:.digits$}", 0.0)).unwrap_or(6);
            let shown = |psi: f64| format!("{psi:.digits$}");
            let run = context.run_at(position);
            let of =
                ShortOutlet { run: run.name.value.to_string(), left: shown(end), need: shown(need), by: shown(by) };
            self.short.push((by, size_place(context, run, given.picked[position].word), of));
        }
    }

    /// A run and the speed of its water against the limit there.
    pub(super) fn speed(
        &mut self,
        context: &'a Context,
        given: &Given,
        position: usize,
        [velocity, limit]: [&Term; 2],
    ) {
        let (velocity, limit) = (velocity.value().as_f64(), limit.value().as_f64());
        if ((velocity - limit) * 1e6).round() > 0.0 {
            let shown = |digits: usize| [velocity, limit].map(|speed| format!("{speed:.digits$}"));
            let unlike = (1..6).map(shown).find(|[velocity, limit]| velocity != limit);
            let [at, most] = unlike.unwrap_or_else(|| shown(6));
            let run = context.run_at(position);
            let of = FastRun {
                run: run.name.value.to_string(),
                size: size_words(given, position),
                velocity: at,
                limit: most,
                wanting: wanting(context, given, position, limit),
            };
            self.fast.push((velocity - limit, size_place(context, run, given.picked[position].word), of));
        }
    }

    /// What is told: all shortages together, at the worst outlet's cell where it is the only one.
    pub(super) fn find(mut self, context: &Context, sizes_will: bool, findings: &mut Vec<Finding>) {
        self.short.sort_by(|(a, ..), (b, ..)| b.total_cmp(a));
        self.fast.sort_by(|(a, ..), (b, ..)| b.total_cmp(a));
        if !self.short.is_empty() {
            let to_spare = context.job.number(Setting::PressureToSpare).filter(|psi| !psi.is_zero());
            let to_spare = to_spare.map(|psi| psi.normalize().to_string());
            let (place, runs) = together(self.short);
            findings.push(Finding::near(place, ShortOfPressure { runs, to_spare, sizes_will }));
        }
        if self.fast.len() > SINGLY {
            let (place, runs) = together(self.fast);
            findings.push(Finding::near(place, TooFast { runs }));
        } else {
            let each = self.fast.into_iter();
            findings.extend(each.map(|(_, place, run)| Finding::near(place, TooFast { runs: vec![run] })));
        }
    }
}

/// All of them, and the cell where all of them come from the same.
fn together<T>(all: Vec<(f64, Option<&Place>, T)>) -> (Option<&Place>, Vec<T>) {
    let first = all.first().and_then(|(_, place, _)| *place);
    let place = first.filter(|first| all.iter().all(|(_, place, _)| *place == Some(*first)));
    (place, all.into_iter().map(|(.., one)| one).collect())
}

/// The pipe that would keep the limit, where the size is the engine's to choose and Prices offers none that does.
fn wanting(context: &Context, given: &Given, position: usize, limit: f64) -> Option<String> {
    let ours = given.picked[position].word == Word::Choice
        && context.run_at(position).status.get().unwrap_or_default() == Status::New;
    let material = &given.materials[position];
    let gpm = given.loads.demand_gpm[position].value().as_f64();
    let slow = |pipe: &&crate::rules::Pipe| friction::velocity(&gpm, &f64::of(pipe.id_in)) <= limit;
    let priced = priced_sizes(context, material);
    let enough: Vec<_> = context.rules.pipes_of(material).iter().filter(slow).collect();
    let none_priced = !enough.iter().any(|pipe| priced.contains(&pipe.size));
    let least = enough.iter().map(|pipe| pipe.size).min()?;
    (ours && none_priced).then(|| format!("{material} pipe of {least} in"))
}

/// The outlet with the least to spare, where that is little and yet what is to be kept.
pub(super) fn margin(context: &Context, least: &Term, run: &Term, findings: &mut Vec<Finding>) {
    let spare = least.value().as_f64();
    let kept = context.settings.get(Setting::PressureToSpare).value().as_f64();
    let is_it = |of: &&Run| run.value().to_string() == *of.name.value;
    if ((spare - kept) * 1e6).round() >= 0.0
        && spare < LITTLE_PSI
        && let Some(of) = context.job.runs.iter().find(is_it)
    {
        let facts = LittleToSpare { run: of.name.value.to_string(), psi: format!("{spare:.1}") };
        findings.push(Finding::at(&of.name.place, facts));
    }
}
