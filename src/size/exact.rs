//! The cheapest sizes, exactly.
//!
//! Why dynamic programming on the tree is exact: what a subtree needs of the rest of the job is one number, the
//! pressure at its start, and what the rest needs of it is one number, its cost. So for every run and every size of the
//! run that feeds it, the subtree is summed up by a front of (pressure needed, cost) pairs, none better than another in
//! both. Fronts of the runs that meet at a fork add up (the pressure there must satisfy all; the costs add), a run
//! shifts its front by its own loss and cost, and the cheapest point of the front at the supply that asks for no more
//! than the supply has is the optimum. Flows do not depend on sizes; if they did, or if runs formed rings, this would
//! not hold.
//!
//! Two bounds keep fronts short without losing the optimum: a subtree can never be offered more than what is left with
//! every run upstream at its least loss, so points that need more are dropped; and it is never offered less than with
//! every run upstream at its greatest loss, so of the points that need no more than that only the cheapest is kept.

use super::sizing::Search;

/// Rounding slack, psi: half of the sixth decimal that the bid's checks round to.
const SLACK_PSI: f64 = 5e-7;

/// One choice for one run's subtree.
#[derive(Debug, Clone, Copy)]
struct Point {
    /// Pressure needed at the run's start, psi.
    need_psi: f64,
    /// Cost of the run and all it feeds, in the smallest unit of money the caller counts in.
    cost: i64,
    /// Which option the run itself takes.
    option: usize,
}

/// Points by rising need and falling cost.
type Front = Vec<Point>;

/// The cheapest options, one a run, and what they cost together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Optimum {
    pub options: Vec<usize>,
    pub cost: i64,
}

/// The cheapest options under which every outlet keeps its pressure, no run takes an option that is too fast (unless it
/// has no other), and no new run is larger than the new run that feeds it. `costs[run][option]` is what an option costs.
/// `None` when there is no such choice.
pub fn cheapest(search: &Search, costs: &[Vec<i64>]) -> Option<Optimum> {
    let runs = &search.runs;
    let usable: Vec<Vec<usize>> = runs.iter().map(usable_options).collect();
    if usable.iter().any(Vec::is_empty) {
        return None;
    }
    let (most, least) = offered(search, &usable);
    let mut children: Vec<Vec<usize>> = vec![Vec::new(); runs.len()];
    for (position, run) in runs.iter().enumerate() {
        if let Some(parent) = run.parent {
            children[parent].push(position);
        }
    }
    // fronts[run][i]: the run takes one of its first i + 1 usable options.
    let mut fronts: Vec<Vec<Front>> = vec![Vec::new(); runs.len()];
    for position in (0..runs.len()).rev() {
        let mut up_to: Vec<Front> = Vec::with_capacity(usable[position].len());
        for option in &usable[position] {
            let own = own_front(search, costs, &usable, &fronts, &children[position], position, *option);
            let own = bounded(own, most[position], least[position]);
            let merged = match up_to.last() {
                Some(smaller) => pareto(smaller.iter().chain(&own).copied().collect()),
                None => own,
            };
            up_to.push(merged);
        }
        fronts[position] = up_to;
    }
    let mut options = vec![0; runs.len()];
    let mut left = vec![0.0; runs.len()];
    let mut total = 0;
    for position in 0..runs.len() {
        let start = runs[position].parent.map_or(search.source_psi, |parent| left[parent]);
        let front = allowed(search, &usable, &fronts, position, runs[position].parent.map(|p| (p, options[p])))?;
        let point = front.iter().rev().find(|point| point.need_psi <= start + SLACK_PSI)?;
        options[position] = point.option;
        left[position] = search.end_of(position, start, point.option);
        if runs[position].parent.is_none() {
            total += point.cost;
        }
    }
    Some(Optimum { options, cost: total })
}

/// Options that are not too fast; the largest alone where all are. Somebody's word stands as it is.
fn usable_options(run: &super::sizing::SearchRun) -> Vec<usize> {
    if let Some(fixed) = run.fixed {
        return vec![fixed];
    }
    let slow: Vec<usize> = (0..run.options.len()).filter(|o| !run.options[*o].fast).collect();
    if slow.is_empty() { run.options.len().checked_sub(1).into_iter().collect() } else { slow }
}

/// The most and the least pressure that can be left at the start of each run.
fn offered(search: &Search, usable: &[Vec<usize>]) -> (Vec<f64>, Vec<f64>) {
    let loss = |p: usize, o: &usize| search.runs[p].options[*o].loss_psi;
    let pick = |p: usize, worse: bool| {
        let ordered = |a: &&usize, b: &&usize| loss(p, a).total_cmp(&loss(p, b));
        let found = if worse { usable[p].iter().max_by(ordered) } else { usable[p].iter().min_by(ordered) };
        found.copied().unwrap_or(0)
    };
    let run_down = |worse: bool| {
        let mut starts = Vec::with_capacity(search.runs.len());
        let mut ends: Vec<f64> = Vec::with_capacity(search.runs.len());
        for (p, run) in search.runs.iter().enumerate() {
            let start = run.parent.map_or(search.source_psi, |parent| ends[parent]);
            starts.push(start);
            ends.push(search.end_of(p, start, pick(p, worse)));
        }
        starts
    };
    (run_down(false), run_down(true))
}

/// The front of a run that takes this very option.
fn own_front(
    search: &Search,
    costs: &[Vec<i64>],
    usable: &[Vec<usize>],
    fronts: &[Vec<Front>],
    children: &[usize],
    position: usize,
    option: usize,
) -> Front {
    let nothing = Point { need_psi: search.runs[position].need_psi.unwrap_or(f64::NEG_INFINITY), cost: 0, option };
    let mut sum = vec![nothing];
    for child in children {
        match allowed(search, usable, fronts, *child, Some((position, option))) {
            Some(front) => sum = added(&sum, front),
            None => return Vec::new(),
        }
    }
    let run = &search.runs[position];
    let mut front = Vec::with_capacity(sum.len());
    for point in sum {
        // Where nothing below needs pressure, none is needed: water that merely arrives is enough.
        let end = if point.need_psi == f64::NEG_INFINITY { 0.0 } else { point.need_psi };
        let behind_devices = end + run.options[option].loss_psi + run.height_psi;
        if let Some(need_psi) = search.inlet_needed(position, behind_devices) {
            front.push(Point { need_psi, cost: point.cost + costs[position][option], option });
        }
    }
    front
}

/// What a run may choose from, given the option of the run that feeds it.
fn allowed<'a>(
    search: &Search,
    usable: &[Vec<usize>],
    fronts: &'a [Vec<Front>],
    position: usize,
    feeder: Option<(usize, usize)>,
) -> Option<&'a Front> {
    let run = &search.runs[position];
    let bound = feeder.filter(|(parent, _)| run.new && search.runs[*parent].new && run.fixed.is_none());
    let count = match bound {
        None => usable[position].len(),
        Some((parent, option)) => {
            let largest = search.runs[parent].options[option].size;
            usable[position].iter().take_while(|o| run.options[**o].size <= largest).count()
        }
    };
    fronts[position].get(count.checked_sub(1)?)
}

/// Two subtrees at one fork: the pressure there must do for both, the costs add.
fn added(a: &[Point], b: &[Point]) -> Front {
    let (mut i, mut j) = (0, 0);
    let mut sum: Front = Vec::with_capacity(a.len() + b.len());
    while i < a.len() && j < b.len() {
        let need_psi = a[i].need_psi.max(b[j].need_psi);
        // Take from each the cheapest that asks for no more.
        while i + 1 < a.len() && a[i + 1].need_psi <= need_psi {
            i += 1;
        }
        while j + 1 < b.len() && b[j + 1].need_psi <= need_psi {
            j += 1;
        }
        sum.push(Point { need_psi, cost: a[i].cost + b[j].cost, option: a[i].option });
        match (a.get(i + 1), b.get(j + 1)) {
            (None, None) => break,
            (Some(next), Some(other)) if next.need_psi <= other.need_psi => i += 1,
            (Some(_), None) => i += 1,
            _ => j += 1,
        }
    }
    sum
}

/// Drops what can never be offered; of what is always offered keeps the cheapest.
fn bounded(front: Front, most: f64, least: f64) -> Front {
    let mut kept = pareto(front);
    kept.retain(|point| point.need_psi <= most + SLACK_PSI);
    let sure = kept.iter().take_while(|point| point.need_psi <= least).count();
    kept.drain(..sure.saturating_sub(1));
    kept
}

/// Rising need, falling cost; of equal needs the cheapest, of equal costs the least needy, of twins the first option.
fn pareto(mut points: Front) -> Front {
    points.sort_by(|a, b| a.need_psi.total_cmp(&b.need_psi).then(a.cost.cmp(&b.cost)).then(a.option.cmp(&b.option)));
    let mut front: Front = Vec::with_capacity(points.len());
    for point in points {
        if front.last().is_none_or(|last| point.cost < last.cost) {
            front.push(point);
        }
    }
    front
}
