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
//! What joins runs costs too, and depends on several sizes at once: a tee on that of the run that feeds it, of the run
//! that goes straight on and of the branch. So a fork is summed up for every pair of options of its way straight on and
//! its last branch; the branches before it are tees of the feeding size, each on its own.
//!
//! Where no sizes keep every pressure the search is given by how much outlets may be short (`Search::short_psi`), and looks for
//! the cheapest sizes that leave nobody shorter.
//!
//! Two bounds keep fronts short without losing the optimum: a subtree can never be offered more than what is left with
//! every run upstream at its least loss, so points that need more are dropped; and it is never offered less than with
//! every run upstream at its greatest loss, so of the points that need no more than that only the cheapest is kept.

use super::choices::Choices;
use super::device_loss::SLACK_PSI;
use super::fork::Fork;
use super::search::Search;

/// A subtree: what it needs and what it costs.
#[derive(Debug, Clone, Copy)]
struct Point {
    need_psi: f64,
    /// In the smallest unit of money the caller counts in.
    cost: i64,
}

/// Points by rising need and falling cost.
type Front = Vec<Point>;

/// What sizes cost.
pub trait Costs {
    /// A run in this option: pipe, and all that depends on its own size alone.
    fn run(&self, position: usize, option: usize) -> i64;
    /// What joins a run to its way straight on, and to its last branch where there is one.
    fn junction_cost(
        &self,
        position: usize,
        option: usize,
        straight: (usize, usize),
        last: Option<(usize, usize)>,
    ) -> i64;
    /// What a branch before the last takes.
    fn branch(&self, position: usize, option: usize, branch: (usize, usize)) -> i64;
}

/// The cheapest options, one a run, and what they cost together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Optimum {
    /// By position, an index into the run's options.
    pub options: Vec<usize>,
    /// Of all runs and their joints, in the coin of [`Costs`].
    pub cost: i64,
}

/// The cheapest options under which no outlet is shorter of its pressure than `Search::short_psi`, no run takes an option that
/// is too fast (unless it has no other), and no run whose size the engine chooses is larger than one of such a run that
/// feeds it. `None` when there is no such choice.
pub fn cheapest(search: &Search, forks: &[Fork], costs: &impl Costs) -> Option<Optimum> {
    Solver::new(search, forks, costs)?.solve()
}

/// What these options cost, whether or not they keep every pressure.
pub fn total(search: &Search, forks: &[Fork], costs: &impl Costs, options: &[usize]) -> i64 {
    let of = |run: usize| (run, options[run]);
    let each = (0..search.runs.len()).map(|position| {
        let (fork, option) = (&forks[position], options[position]);
        let joint = fork.straight.map_or(0, |on| costs.junction_cost(position, option, of(on), fork.last.map(of)));
        let branches: i64 = fork.others.iter().map(|branch| costs.branch(position, option, of(*branch))).sum();
        costs.run(position, option) + joint + branches
    });
    each.sum()
}

struct Solver<'a, C> {
    search: &'a Search<'a>,
    forks: &'a [Fork],
    costs: &'a C,
    choices: Choices,
    /// fronts[run][i]: the run takes its i-th usable option.
    fronts: Vec<Vec<Front>>,
    /// The most and the least pressure that can be left at the start of each run.
    most: Vec<f64>,
    least: Vec<f64>,
}

impl<'a, C: Costs> Solver<'a, C> {
    fn new(search: &'a Search, forks: &'a [Fork], costs: &'a C) -> Option<Self> {
        let choices = Choices::of(search);
        if choices.usable.iter().any(Vec::is_empty) {
            return None;
        }
        let (most, least) = (offered(search, &choices.usable, false), offered(search, &choices.usable, true));
        Some(Self { search, forks, costs, fronts: vec![Vec::new(); search.runs.len()], choices, most, least })
    }

    fn solve(mut self) -> Option<Optimum> {
        let runs = &self.search.runs;
        for position in (0..runs.len()).rev() {
            let usable = self.choices.usable[position].iter();
            self.fronts[position] = usable.map(|option| self.front(position, *option)).collect();
        }
        let mut options = vec![0; runs.len()];
        let mut total = 0;
        for root in (0..runs.len()).filter(|p| runs[*p].parent.is_none()) {
            let offers = self.choices.usable[root].iter().zip(&self.fronts[root]);
            let within =
                offers.filter_map(|(option, front)| Some((cost_within(front, self.search.source_psi)?, *option)));
            let (cost, option) = within.min()?;
            total += cost;
            options[root] = option;
        }
        let mut left = vec![0.0; runs.len()];
        for position in 0..runs.len() {
            let start = runs[position].parent.map_or(self.search.source_psi, |parent| left[parent]);
            left[position] = self.search.end_of(position, start, options[position]);
            self.pick_onward(position, options[position], left[position], &mut options)?;
        }
        Some(Optimum { options, cost: total })
    }

    /// The front of a run that takes this very option.
    fn front(&self, position: usize, option: usize) -> Front {
        let run = &self.search.runs[position];
        let Some(onward) = self.onward(position, option) else { return Vec::new() };
        let own = self.costs.run(position, option);
        let mut front = Vec::with_capacity(onward.len());
        for point in onward {
            let end = point.need_psi.max(self.search.least_end_psi(position));
            let behind = end + run.options[option].loss_psi + run.height_psi;
            if let Some(need_psi) = self.search.inlet_needed(position, behind) {
                front.push(Point { need_psi, cost: point.cost + own });
            }
        }
        bounded(front, self.most[position], self.least[position])
    }

    /// All that leaves the end of a run, as one front. `None` when some way has no option at all.
    fn onward(&self, position: usize, option: usize) -> Option<Front> {
        let fork = &self.forks[position];
        let nothing = vec![Point { need_psi: f64::NEG_INFINITY, cost: 0 }];
        let mut sum = match fork.straight {
            None => nothing,
            Some(straight) => {
                let mut ways = Vec::new();
                for (s, front) in self.allowed(straight, position, option) {
                    match fork.last {
                        None => {
                            let joint = self.costs.junction_cost(position, option, (straight, s), None);
                            ways.extend(shifted(front, joint));
                        }
                        Some(last) => {
                            for (l, other) in self.allowed(last, position, option) {
                                let joint = self.costs.junction_cost(position, option, (straight, s), Some((last, l)));
                                ways.extend(shifted(&added(front, other), joint));
                            }
                        }
                    }
                }
                pareto(ways)
            }
        };
        for branch in &fork.others {
            let mut ways = Vec::new();
            for (b, front) in self.allowed(*branch, position, option) {
                ways.extend(shifted(front, self.costs.branch(position, option, (*branch, b))));
            }
            sum = added(&sum, &pareto(ways));
        }
        (!sum.is_empty()).then_some(sum)
    }

    /// What a run may choose from, given the option of the run that feeds it.
    fn allowed(&self, position: usize, feeder: usize, option: usize) -> impl Iterator<Item = (usize, &Front)> {
        let fits = move |o: usize| self.choices.fits(self.search, (position, o), (feeder, option));
        let options = self.choices.usable[position].iter().copied().zip(&self.fronts[position]);
        options.filter(move |(o, front)| fits(*o) && !front.is_empty())
    }

    /// Settles the options of the runs that leave this one, with so much pressure left at its end.
    fn pick_onward(&self, position: usize, option: usize, left_psi: f64, options: &mut [usize]) -> Option<()> {
        let fork = &self.forks[position];
        if let Some(straight) = fork.straight {
            let mut best: Option<(i64, usize, usize)> = None;
            for (s, front) in self.allowed(straight, position, option) {
                let Some(cost) = cost_within(front, left_psi) else { continue };
                let mut consider = |cost: i64, l: usize| {
                    if best.is_none_or(|known| (cost, s, l) < known) {
                        best = Some((cost, s, l));
                    }
                };
                match fork.last {
                    None => consider(cost + self.costs.junction_cost(position, option, (straight, s), None), 0),
                    Some(last) => {
                        for (l, other) in self.allowed(last, position, option) {
                            if let Some(more) = cost_within(other, left_psi) {
                                let joint = self.costs.junction_cost(position, option, (straight, s), Some((last, l)));
                                consider(cost + more + joint, l);
                            }
                        }
                    }
                }
            }
            let (_, s, l) = best?;
            options[straight] = s;
            if let Some(last) = fork.last {
                options[last] = l;
            }
        }
        for branch in &fork.others {
            let ways = self.allowed(*branch, position, option).filter_map(|(b, front)| {
                Some((cost_within(front, left_psi)? + self.costs.branch(position, option, (*branch, b)), b))
            });
            options[*branch] = ways.min()?.1;
        }
        Some(())
    }
}

/// The least cost of a front that asks for no more than this.
fn cost_within(front: &[Point], offered_psi: f64) -> Option<i64> {
    front.iter().rev().find(|point| point.need_psi <= offered_psi + SLACK_PSI).map(|point| point.cost)
}

/// The pressure left at the start of each run with every run upstream at its least loss, or at its greatest (`worst`).
fn offered(search: &Search, usable: &[Vec<usize>], worst: bool) -> Vec<f64> {
    let loss = |p: usize, o: usize| search.runs[p].options[o].loss_psi;
    let mut starts = Vec::with_capacity(search.runs.len());
    let mut ends: Vec<f64> = Vec::with_capacity(search.runs.len());
    for (p, run) in search.runs.iter().enumerate() {
        let start = run.parent.map_or(search.source_psi, |parent| ends[parent]);
        starts.push(start);
        let ordered = usable[p].iter().copied().min_by(|a, b| {
            let (a, b) = (loss(p, *a), loss(p, *b));
            if worst { b.total_cmp(&a) } else { a.total_cmp(&b) }
        });
        ends.push(ordered.map_or(start, |option| search.end_of(p, start, option)));
    }
    starts
}

fn shifted(front: &[Point], by: i64) -> impl Iterator<Item = Point> + '_ {
    front.iter().map(move |point| Point { cost: point.cost + by, ..*point })
}

/// Two subtrees at one fork: the pressure there must do for both, the costs add.
fn added(a: &[Point], b: &[Point]) -> Front {
    let (mut i, mut j) = (0, 0);
    let mut sum: Front = Vec::with_capacity(a.len() + b.len());
    while i < a.len() && j < b.len() {
        let need_psi = a[i].need_psi.max(b[j].need_psi);
        // From each the cheapest that asks for no more.
        while a.get(i + 1).is_some_and(|next| next.need_psi <= need_psi) {
            i += 1;
        }
        while b.get(j + 1).is_some_and(|next| next.need_psi <= need_psi) {
            j += 1;
        }
        sum.push(Point { need_psi, cost: a[i].cost + b[j].cost });
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

/// Rising need, falling cost; of equal needs the cheapest.
fn pareto(mut points: Front) -> Front {
    points.sort_by(|a, b| a.need_psi.total_cmp(&b.need_psi).then(a.cost.cmp(&b.cost)));
    let mut front: Front = Vec::with_capacity(points.len());
    for point in points {
        if front.last().is_none_or(|last| point.cost < last.cost) {
            front.push(point);
        }
    }
    front
}
