//! Where no sizes keep every pressure: which outlets stay short whatever is chosen, and the cheapest single change that
//! fixes it.
//!
//! What is short whatever is chosen can only be helped on the way there, and one change can only help all of them where
//! their ways run together. Each change there is tried by the exact search of the whole job; what it costs is what the search
//! then pays more than for the sizes as bid.

use super::costs::JobCosts;
use super::devices::InLine;
use super::exact::{self, Optimum};
use super::picked::{Picked, Word};
use super::search::{Given, Job, Search};
use super::shortage;
use super::unit_costs::{UnitCosts, mills};
use crate::figure::{Term, Value};
use crate::finding::Finding;
use crate::model::{Device, Size, Status};
use crate::subjects::water::findings::remedy::{NoSizesWill, Remedy, SingleChange};
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

/// Settings of devices are told to a tenth of a psi.
const STEP_PSI: f64 = 0.1;
/// No setting is looked for above this.
const MOST_PSI: f64 = 400.0;

/// Runs on the way of every outlet that is short, the supply's end first.
pub fn common_way(search: &Search, short: &[(usize, f64)]) -> Vec<usize> {
    let way = |position: usize| std::iter::successors(Some(position), |p| search.runs[*p].parent);
    let Some(((first, _), others)) = short.split_first() else { return Vec::new() };
    let mut common: Vec<usize> = way(*first).filter(|p| others.iter().all(|(o, _)| way(*o).any(|q| q == *p))).collect();
    common.reverse();
    common
}

/// The least number of steps above `from` that does.
fn least(from: f64, to: f64, does: impl Fn(f64) -> bool) -> Option<f64> {
    let at = |step: i64| step as f64 / 10.0;
    let (mut low, mut high) = ((from / STEP_PSI).floor() as i64, (to / STEP_PSI).ceil() as i64);
    if !does(at(high)) {
        return None;
    }
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if does(at(middle)) { high = middle } else { low = middle }
    }
    Some(at(high))
}

/// The sizes that come nearest, and how short they leave the worst outlet, psi.
pub(super) struct Nearest<'a> {
    pub optimum: &'a Optimum,
    pub short_psi: f64,
}

/// Says who is short and what fixes it, where no sizes keep every pressure.
pub(super) fn find(
    job: &Job,
    search: &Search,
    picked: &[Picked],
    nearest: &Nearest,
    findings: &mut Vec<Finding>,
) -> Option<Remedy> {
    let as_bid: Vec<Option<usize>> = nearest.optimum.options.iter().copied().map(Some).collect();
    let as_bid = shortage::short_at(search, &search.end_psi(&as_bid));
    let mut short = shortage::whatever_is_chosen(search);
    let at_best = !short.is_empty();
    if !at_best {
        // Any of them could be helped, though not all at once.
        short.clone_from(&as_bid);
    }
    short.sort_by(|a, b| b.1.total_cmp(&a.1));
    let (worst, _) = short.first()?;
    let way = common_way(search, &short);
    let forks = &job.physics.structure.forks;
    let by_psi = as_bid.iter().map(|(_, by)| *by).fold(0.0, f64::max);
    let mut priced: Vec<(i64, bool, SingleChange)> = Vec::new();
    // The least main that does, and a larger one only where that is known to cost less.
    let mut least_main: Option<(i64, bool)> = None;
    for Changed { change, search: changed, devices, besides } in sizes_changed(job, search, picked, &way) {
        let changed = Search { devices: &devices, ..changed };
        if !shortage::is_none(&changed) {
            continue;
        }
        let Some(optimum) = exact::cheapest(&changed, forks, &JobCosts::new(*job, &changed)) else { continue };
        let more = optimum.cost + besides - nearest.optimum.cost;
        let of = |search: &Search, options: &[usize]| {
            let costs = JobCosts::new(*job, search).telling_unoffered();
            exact::total(search, forks, &costs, options)
        };
        let known = of(&changed, &optimum.options) + besides - of(search, &nearest.optimum.options) == more;
        if matches!(change, Resized::Main(_)) {
            if least_main.is_some_and(|(least, least_known)| !(known && least_known && more < least)) {
                continue;
            }
            least_main = Some((more, known));
        }
        let size = |position: usize| changed.runs[position].options[optimum.options[position]].size;
        priced.push((more, known, change.describe(job, size)));
    }
    priced.sort_by_key(|(more, ..)| *more);
    let cheapest = priced.into_iter().next().map(|(more, known, change)| (change, known.then(|| cents(more))));
    // Behind a regulator more pressure at the supply is no help.
    let more = Search { source_psi: search.source_psi + nearest.short_psi, ..search.clone() };
    let supply_psi = shortage::is_none(&more).then(|| tenth(nearest.short_psi));
    let name = |position: usize| job.run(position).name.value.to_string();
    let remedy = Remedy {
        // Rounded as the bid shows them; only what has to be added is rounded upward.
        short: short.iter().map(|(position, by)| (name(*position), format!("{by:.1}"))).collect(),
        at_best,
        by_psi: format!("{by_psi:.1}"),
        supply_psi,
        cheapest,
        others: devices_changed(job, search, &way),
        borrowed: borrowed(job, search, picked, nearest.optimum, &way),
    };
    findings.push(Finding::at(&job.run(*worst).name.place, NoSizesWill { remedy: remedy.clone() }));
    Some(remedy)
}

/// A change of sizes, before it is known what size the search then takes.
enum Resized {
    Main(Size),
    Freed(usize),
    Replaced(usize),
}

impl Resized {
    fn describe(&self, job: &Job, size: impl Fn(usize) -> Size) -> SingleChange {
        let run = |position: usize| (job.run(position).name.value.to_string(), size(position).to_string());
        match *self {
            Self::Main(size) => SingleChange::MainSize { size: size.to_string() },
            Self::Freed(position) => {
                let (run, size) = run(position);
                SingleChange::RunFreed { run, size }
            }
            Self::Replaced(position) => {
                let (run, size) = run(position);
                SingleChange::RunReplaced { run, size }
            }
        }
    }
}

/// The job with one size on the way changed.
struct Changed<'a> {
    change: Resized,
    search: Search<'a>,
    devices: Vec<InLine>,
    /// What it takes besides pipe that is put in, in thousandths.
    besides: i64,
}

/// The devices in runs that get this size: one without a size and a rating of its own is of its run's.
fn rated_for(job: &Job, search: &Search, runs: &[usize], size: Size) -> Vec<InLine> {
    let rated = |device: &InLine| {
        let of = &job.context.job.devices[device.device];
        let by_run = runs.contains(&device.position) && of.size.get().is_none() && is_rated_by_table(of);
        let row = by_run.then(|| job.context.rules.device(&of.kind.value, size)).flatten();
        row.map_or_else(|| device.clone(), |row| device.rated(row))
    };
    search.devices.iter().map(rated).collect()
}

fn is_rated_by_table(device: &Device) -> bool {
    device.rated_gpm.is_blank() && device.loss_psi.is_blank()
}

/// Devices on the way that lose what the table has for another size: their names, kinds and that size.
fn borrowed(job: &Job, search: &Search, picked: &[Picked], optimum: &Optimum, way: &[usize]) -> Vec<[String; 3]> {
    let on_way = search.devices.iter().filter(|device| way.contains(&device.position));
    let of = on_way.filter_map(|device| {
        let (position, of) = (device.position, &job.context.job.devices[device.device]);
        let chosen = search.runs[position].options.get(optimum.options[position]).map(|option| option.size);
        let rated_as = of.size.get().or(picked[position].size).or(Size::from_sixteenths(12))?;
        let row = job.context.rules.device(&of.kind.value, rated_as).filter(|row| !row.psi.is_zero())?;
        let other = is_rated_by_table(of) && of.size.get().or(chosen) != Some(row.size);
        other.then(|| [of.name.value.to_string(), of.kind.value.to_string(), row.size.to_string()])
    });
    of.collect()
}

fn sizes_changed<'a>(job: &Job, search: &Search<'a>, picked: &[Picked], way: &[usize]) -> Vec<Changed<'a>> {
    let with = |runs: &[usize], given: Given| {
        let mut changed = search.clone();
        runs.iter().for_each(|position| changed.runs[*position] = job.search_run(*position, given));
        changed
    };
    let mut found = Vec::new();
    let main: Vec<usize> = (0..picked.len()).filter(|p| picked[*p].word == Word::Main).collect();
    if let Some(now) = way.iter().find(|p| main.contains(p)).and_then(|p| picked[*p].size) {
        let all = job.search_run(main[0], Given { size: None, new: search.runs[main[0]].new });
        for size in all.options.iter().map(|option| option.size).filter(|size| *size > now) {
            let given = Given { size: Some(size), new: search.runs[main[0]].new };
            let devices = rated_for(job, search, &main, size);
            found.push(Changed { change: Resized::Main(size), search: with(&main, given), devices, besides: 0 });
        }
    }
    let work = UnitCosts::new(job.context);
    let changed = |change, of, besides| Changed { change, search: of, devices: search.devices.to_vec(), besides };
    for &position in way.iter().filter(|p| search.runs[**p].fixed.is_some() && picked[**p].word != Word::Main) {
        let freed = with(&[position], Given { size: None, new: true });
        match job.run(position).status.get().unwrap_or_default() {
            Status::New => found.push(changed(Resized::Freed(position), freed, 0)),
            Status::Existing | Status::Installed => {
                let feet = job.run(position).length_ft.value.unwrap_or_default();
                let out = work.task_cost(None, "remove pipe") * feet.to_f64().unwrap_or_default();
                found.push(changed(Resized::Replaced(position), freed, mills(out)));
            }
            _ => {}
        }
    }
    found
}

/// What one device on the way may lose, or must be set to.
fn devices_changed(job: &Job, search: &Search, way: &[usize]) -> Vec<SingleChange> {
    let mut found = Vec::new();
    for (index, device) in search.devices.iter().enumerate().filter(|(_, device)| way.contains(&device.position)) {
        let enough = |changed: InLine| {
            let mut devices = search.devices.to_vec();
            devices[index] = changed;
            shortage::is_none(&Search { devices: &devices, ..search.clone() })
        };
        let psi = |psi: f64| Term::constant(Value::Physical(psi));
        let name = job.context.job.devices[device.device].name.value.to_string();
        let now = |term: &Term| term.value().as_f64();
        match &device.regulator {
            Some(regulator) => {
                let set = |to: f64| {
                    let regulator = super::devices::Regulator { set_psi: psi(to), ..regulator.clone() };
                    enough(InLine { regulator: Some(regulator), ..device.clone() })
                };
                let found_psi = least(now(&regulator.set_psi), MOST_PSI, set);
                found.extend(found_psi.map(|to| SingleChange::RegulatorSet { device: name, psi: tenth(to) }));
            }
            None => {
                // Counted down from what it loses now: the fewest tenths less that do.
                let lost = now(&device.loss_psi);
                let less = |by: f64| enough(InLine { loss_psi: psi((lost - by).max(0.0)), ..device.clone() });
                let most = least(0.0, lost, less).map(|by| (lost - by).max(0.0));
                found.extend(most.map(|most| SingleChange::DeviceLoss {
                    device: name,
                    psi: format!("{:.1}", (most * 10.0).floor() / 10.0),
                    gpm: tenth(now(&device.rated_gpm)),
                }));
            }
        }
    }
    found
}

/// To a tenth, upward: what is needed is never told too small.
fn tenth(psi: f64) -> String {
    format!("{:.1}", (psi * 10.0 - 1e-6).ceil() / 10.0)
}

/// Thousandths of a dollar as dollars and cents.
fn cents(mills: i64) -> Decimal {
    Decimal::new(mills, 3).round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero)
}
