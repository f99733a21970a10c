//! How short the sizes that come nearest leave the worst outlet, where no sizes keep every pressure.
//!
//! Money does not matter here, so each run and option is summed up by one number, the least pressure at its start with which
//! some sizes beyond it will do. More allowed shortage never asks for more pressure, so the least shortage is found by
//! halving.

use super::choices::Choices;
use super::device_loss::SLACK_PSI;
use super::search::Search;

/// Hundredths of a psi: the least shortage is found to one of them, upward.
const STEPS_A_PSI: f64 = 100.0;
/// No shortage is looked for above this, in steps: far over any pressure there is, since what is drawn through a tube too
/// thin by far can lose thousands.
const MOST_STEPS: i64 = 1 << 40;

/// The least by which every outlet must be allowed to be short so that some sizes will do, psi; 0 where some sizes keep every
/// pressure. `None` where a run has no size at all, or loses more than can be counted.
pub fn least(search: &Search) -> Option<f64> {
    let choices = Choices::of(search);
    let psi = |steps: i64| steps as f64 / STEPS_A_PSI;
    let does = |steps: i64| will_do(search, &choices, psi(steps));
    if does(0) {
        return Some(0.0);
    }
    let mut high = 1;
    while !does(high) {
        high *= 2;
        if high > MOST_STEPS {
            return None;
        }
    }
    let mut low = high / 2;
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if does(middle) { high = middle } else { low = middle }
    }
    Some(psi(high))
}

/// Whether some sizes keep every pressure.
pub fn is_none(search: &Search) -> bool {
    will_do(search, &Choices::of(search), 0.0)
}

/// Whether some sizes leave no outlet shorter than this much more, psi.
fn will_do(search: &Search, choices: &Choices, more_psi: f64) -> bool {
    let runs = &search.runs;
    // By position and usable option: what the end must have for all that leaves it.
    let mut onward: Vec<Vec<f64>> = choices.usable.iter().map(|usable| vec![f64::NEG_INFINITY; usable.len()]).collect();
    for position in (0..runs.len()).rev() {
        let run = &runs[position];
        let least_end = search.least_end_psi(position) - more_psi;
        let needs: Vec<f64> = choices.usable[position]
            .iter()
            .zip(&onward[position])
            .map(|(option, beyond)| {
                let behind = beyond.max(least_end) + run.options[*option].loss_psi + run.height_psi;
                search.inlet_needed(position, behind).unwrap_or(f64::INFINITY)
            })
            .collect();
        let ways = || choices.usable[position].iter().copied().zip(needs.iter().copied());
        let Some(feeder) = run.parent else {
            if !ways().any(|(_, need)| need <= search.source_psi + SLACK_PSI) {
                return false;
            }
            continue;
        };
        for (index, of_feeder) in choices.usable[feeder].iter().enumerate() {
            let fitting = ways().filter(|(option, _)| choices.fits(search, (position, *option), (feeder, *of_feeder)));
            let least = fitting.map(|(_, need)| need).fold(f64::INFINITY, f64::min);
            onward[feeder][index] = onward[feeder][index].max(least);
        }
    }
    true
}

/// Who ends short whatever is chosen, and by how much at best, psi: short even with the least loss all along the way.
pub fn whatever_is_chosen(search: &Search) -> Vec<(usize, f64)> {
    let choices = Choices::of(search);
    let mut ends: Vec<f64> = Vec::with_capacity(search.runs.len());
    for (position, run) in search.runs.iter().enumerate() {
        let start = run.parent.map_or(search.source_psi, |parent| ends[parent]);
        let usable = choices.usable[position].iter();
        let best = usable.map(|option| search.end_of(position, start, *option)).max_by(f64::total_cmp);
        ends.push(best.unwrap_or(start));
    }
    short_at(search, &ends)
}

/// Who ends short with these pressures at the ends of runs, and by how much, psi.
pub fn short_at(search: &Search, ends_psi: &[f64]) -> Vec<(usize, f64)> {
    let by = |position: usize| (position, search.least_end_psi(position) - ends_psi[position]);
    (0..search.runs.len()).map(by).filter(|(_, by)| (by * 1e6).round() > 0.0).collect()
}
