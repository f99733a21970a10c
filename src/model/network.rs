//! The runs as trees, by index: who feeds whom, in depth-first order, so that whatever a run feeds is one contiguous
//! range of positions.

use super::{Job, Status};
use std::collections::HashMap;

/// Names that mean the supply in a From column.
pub const SUPPLY: &[&str] = &["supply", "main"];

/// How run names are compared: case and surrounding spaces do not matter.
pub fn same_name(name: &str) -> String {
    name.trim().to_lowercase()
}

/// Something that keeps a run out of the trees.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Problem {
    /// `run` and `first` (indices into `job.runs`) bear one name.
    Duplicate {
        /// The later row.
        run: usize,
        /// The row that had the name first.
        first: usize,
    },
    /// No run is called what `run` says it comes from.
    UnknownFrom {
        /// Index into `job.runs`.
        run: usize,
    },
    /// The run it comes from is taken out.
    FromRemoved {
        /// Index into `job.runs`.
        run: usize,
    },
    /// These runs feed each other in a ring.
    Loop {
        /// Indices into `job.runs`, from one to the next that it feeds.
        runs: Vec<usize>,
    },
}

/// The runs that carry water once the job is done, as trees from the supply. A "position" is an index into `order`.
#[derive(Debug, Clone, Default)]
pub struct Network {
    /// Indices into `job.runs`, parents before children, a run's whole subtree right behind it; children keep the
    /// order of the workbook.
    pub order: Vec<usize>,
    /// Position of the run that feeds this one; `None` at the supply.
    pub parent: Vec<Option<usize>>,
    /// Positions of the runs that this one feeds.
    pub children: Vec<Vec<usize>>,
    /// One past the last position of this run's subtree.
    pub end: Vec<usize>,
    position: HashMap<String, usize>,
}

impl Network {
    /// Builds the trees of all runs that carry water. Runs with a problem, and what only they feed, are left out; the
    /// problems come in the workbook's order.
    pub fn build(job: &Job) -> (Self, Vec<Problem>) {
        let mut problems = Vec::new();
        let mut by_name: HashMap<String, usize> = HashMap::new();
        let mut kept = vec![false; job.runs.len()];
        for (index, run) in job.runs.iter().enumerate() {
            match by_name.entry(same_name(&run.name.value)) {
                std::collections::hash_map::Entry::Occupied(first) => {
                    problems.push(Problem::Duplicate { run: index, first: *first.get() });
                }
                std::collections::hash_map::Entry::Vacant(free) => {
                    free.insert(index);
                    kept[index] = run.status.get().unwrap_or_default() != Status::Remove;
                }
            }
        }
        let mut roots = Vec::new();
        let mut fed_by: Vec<Option<usize>> = vec![None; job.runs.len()];
        let mut feeds: Vec<Vec<usize>> = vec![Vec::new(); job.runs.len()];
        for (index, run) in job.runs.iter().enumerate().filter(|(i, _)| kept[*i]) {
            let from = same_name(&run.from.value);
            match by_name.get(&from) {
                Some(&feeder) if kept[feeder] => {
                    fed_by[index] = Some(feeder);
                    feeds[feeder].push(index);
                }
                Some(_) => problems.push(Problem::FromRemoved { run: index }),
                None if SUPPLY.contains(&from.as_str()) => roots.push(index),
                None => problems.push(Problem::UnknownFrom { run: index }),
            }
        }
        problems.extend(loops(&fed_by));

        let mut network = Self::default();
        // An explicit stack: a chain of ten thousand runs must not overflow the program's own.
        let mut stack: Vec<(usize, Option<usize>)> = roots.iter().rev().map(|r| (*r, None)).collect();
        while let Some((index, parent)) = stack.pop() {
            let position = network.order.len();
            network.order.push(index);
            network.parent.push(parent);
            network.children.push(Vec::new());
            if let Some(parent) = parent {
                network.children[parent].push(position);
            }
            network.position.insert(same_name(&job.runs[index].name.value), position);
            stack.extend(feeds[index].iter().rev().map(|child| (*child, Some(position))));
        }
        network.end = (1..=network.len()).collect();
        for position in (0..network.len()).rev() {
            if let Some(parent) = network.parent[position] {
                network.end[parent] = network.end[parent].max(network.end[position]);
            }
        }
        (network, problems)
    }

    /// How many runs carry water.
    pub fn len(&self) -> usize {
        self.order.len()
    }

    /// True when no run carries water.
    pub fn is_empty(&self) -> bool {
        self.order.is_empty()
    }

    /// Position of the run of this name.
    pub fn find(&self, name: &str) -> Option<usize> {
        self.position.get(&same_name(name)).copied()
    }

    /// Positions from this run up to the supply, itself first.
    pub fn path_up(&self, position: usize) -> impl Iterator<Item = usize> + '_ {
        std::iter::successors(Some(position), |p| self.parent[*p])
    }

    /// True when `run` is `above` or is fed through it.
    pub fn feeds(&self, above: usize, run: usize) -> bool {
        (above..self.end[above]).contains(&run)
    }

    /// The last run that feeds both, or `None` when they only meet at the supply.
    pub fn join(&self, a: usize, b: usize) -> Option<usize> {
        self.path_up(a).find(|above| self.feeds(*above, b))
    }
}

/// Rings among runs: each found once, starting at its first run in the workbook.
fn loops(fed_by: &[Option<usize>]) -> Vec<Problem> {
    let mut seen_in = vec![usize::MAX; fed_by.len()];
    let mut found = Vec::new();
    for start in 0..fed_by.len() {
        let mut at = Some(start);
        while let Some(run) = at {
            if seen_in[run] == start {
                let mut ring: Vec<usize> =
                    std::iter::successors(Some(run), |r| fed_by[*r].filter(|f| *f != run)).collect();
                // From feeder to fed, the first of the workbook in front.
                ring.reverse();
                let first = ring.iter().enumerate().min_by_key(|(_, run)| **run).map_or(0, |(at, _)| at);
                ring.rotate_left(first);
                found.push(Problem::Loop { runs: ring });
                break;
            }
            if seen_in[run] != usize::MAX {
                break;
            }
            seen_in[run] = start;
            at = fed_by[run];
        }
    }
    found
}
