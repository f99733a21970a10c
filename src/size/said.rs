//! What is said of a run once its pressure and velocity are figured: no such pipe, short of pressure, too fast; and of the
//! outlet that has least to spare.

use super::pressure::Given;
use super::sizing::{Word, priced_sizes};
use super::{Context, friction};
use crate::figure::{Number, Term};
use crate::finding::Finding;
use crate::model::{Run, Setting, Status};
use crate::place::Place;
use crate::size::findings::sizes::{LittleToSpare, ShortOfPressure, SizeNotInTable, TooFast};

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

/// A size that its material does not come in, or none that could be chosen.
pub(super) fn without_pipe(context: &Context, run: &Run, position: usize, given: &Given, findings: &mut Vec<Finding>) {
    let picked = &given.picked[position];
    let by_main = if picked.word == Word::Main { " by Main size" } else { "" };
    findings.push(Finding::near(
        size_place(context, run, picked.word),
        SizeNotInTable {
            run: run.name.value.to_string(),
            size: picked.size.map(|size| size.to_string()).unwrap_or_default(),
            material: format!("{}{by_main}", given.materials[position]),
        },
    ));
}

/// Where water is drawn and the pressure is short; where it runs too fast.
pub(super) fn run(
    context: &Context,
    run: &Run,
    position: usize,
    given: &Given,
    short: Option<&Term>,
    [velocity, limit]: [&Term; 2],
    findings: &mut Vec<Finding>,
) {
    let place = size_place(context, run, given.picked[position].word);
    let name = run.name.value.to_string();
    let tenth = |x: f64| format!("{x:.1}");
    // Of runs on the way the outlets behind them speak.
    if let Some(short) = short.map(|short| short.value().as_f64()).filter(|short| (short * 1e6).round() > 0.0) {
        let to_spare = context.job.number(Setting::PressureToSpare).filter(|psi| !psi.is_zero());
        let to_spare = to_spare.map(|psi| psi.normalize().to_string());
        let facts = ShortOfPressure { run: name.clone(), by_psi: tenth(short), to_spare };
        findings.push(Finding::near(place, facts));
    }
    let (velocity, limit) = (velocity.value().as_f64(), limit.value().as_f64());
    if ((velocity - limit) * 1e6).round() > 0.0 {
        let wanting = wanting(context, run, position, given, limit);
        let (velocity, limit) = (tenth(velocity), tenth(limit));
        let size = size_words(given, position);
        findings.push(Finding::near(place, TooFast { run: name, size, velocity, limit, wanting }));
    }
}

/// The pipe that would keep the limit, where the size is the engine's to choose and Prices offers none that does.
fn wanting(context: &Context, run: &Run, position: usize, given: &Given, limit: f64) -> Option<String> {
    let ours = given.picked[position].word == Word::Choice && run.status.get().unwrap_or_default() == Status::New;
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
    let named = |of: &&Run| run.value().to_string() == *of.name.value;
    if ((spare - kept) * 1e6).round() >= 0.0
        && spare < LITTLE_PSI
        && let Some(of) = context.job.runs.iter().find(named)
    {
        let facts = LittleToSpare { run: of.name.value.to_string(), psi: format!("{spare:.1}") };
        findings.push(Finding::at(&of.name.place, facts));
    }
}
