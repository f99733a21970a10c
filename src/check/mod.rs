//! A job as read -> what is wrong with it as a whole.
//!
//! In: [`Job`] and its network. Out: findings. Never: stopping at the first, changing the job, or saying again what only
//! follows from something already said (a name that could not be read, a sheet without rows).

mod amounts;
mod coverage;
pub mod findings;
mod money;
mod names;
mod near_words;
mod network;
mod ranges;
mod sums;
mod unused;
mod vocabulary;

use crate::finding::{Finding, Sink};
use crate::model::network::{Network, Problem};
use crate::model::{Job, Run, network::same_name};
use crate::rules::Rules;
use std::collections::HashMap;

/// What every check may look at.
struct Facts<'a> {
    job: &'a Job,
    network: &'a Network,
    problems: &'a [Problem],
    /// The first run of each name.
    runs: HashMap<String, &'a Run>,
}

impl Facts<'_> {
    fn run(&self, name: &str) -> Option<&Run> {
        self.runs.get(&same_name(name)).copied()
    }
}

/// The checks, in the order in which their findings are made.
const CHECKS: &[fn(&Facts, &mut Sink)] = &[
    names::duplicates,
    names::patterns,
    network::runs,
    network::hangers,
    amounts::rows,
    ranges::rows,
    ranges::settings,
    sums::rows,
    money::changes,
    money::quotes,
    coverage::fixtures,
    coverage::hot_and_cold,
];

/// Everything that is wrong with the job as a whole. `network` and `problems` are those of [`Network::build`].
pub fn check(job: &Job, rules: &Rules, network: &Network, problems: &[Problem]) -> Vec<Finding> {
    let mut runs = HashMap::new();
    for run in &job.runs {
        runs.entry(same_name(&run.name.value)).or_insert(run);
    }
    let facts = Facts { job, network, problems, runs };
    let mut sink = Sink::default();
    for check in CHECKS {
        check(&facts, &mut sink);
    }
    let mut findings = sink.close();
    findings.extend(vocabulary::words(job, rules));
    findings.extend(unused::rows(job, rules));
    findings.extend(near_words::rows(job, rules));
    findings
}
