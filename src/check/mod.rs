//! A job as read -> what is wrong with it as a whole.
//!
//! In: [`Job`] and its network. Out: findings. Never: stopping at the first, changing the job, or saying again what only
//! follows from something already said (a name that could not be read, a sheet without rows).

mod amounts;
pub(crate) mod findings;
mod money;
mod names;
mod near_words;
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
pub struct Facts<'a> {
    pub job: &'a Job,
    pub network: &'a Network,
    pub problems: &'a [Problem],
    /// The first run of each name.
    runs: HashMap<String, &'a Run>,
}

impl Facts<'_> {
    /// The first run of a name.
    pub fn run(&self, name: &str) -> Option<&Run> {
        self.runs.get(&same_name(name)).copied()
    }
}

/// A look at the job as a whole that needs no figures.
pub(crate) type Check = fn(&Facts, &mut Sink);

/// The checks that are about no subject, in the order in which their findings are made.
const CHECKS: &[Check] = &[
    names::duplicates,
    names::patterns,
    amounts::rows,
    ranges::rows,
    ranges::settings,
    sums::rows,
    money::changes,
    money::quotes,
];

/// Everything that is wrong with the job as a whole. `network` and `problems` are those of [`Network::build`]; `of_subjects`
/// are the checks that the subjects of the trade make.
pub fn check(
    job: &Job,
    rules: &Rules,
    network: &Network,
    problems: &[Problem],
    of_subjects: &[&[Check]],
) -> Vec<Finding> {
    let mut runs = HashMap::new();
    for run in &job.runs {
        runs.entry(same_name(&run.name.value)).or_insert(run);
    }
    let facts = Facts { job, network, problems, runs };
    let mut sink = Sink::default();
    for check in CHECKS.iter().chain(of_subjects.iter().copied().flatten()) {
        check(&facts, &mut sink);
    }
    let mut findings = sink.close();
    findings.extend(vocabulary::words(job, rules));
    findings.extend(unused::rows(job, rules));
    findings.extend(near_words::rows(job, rules));
    findings
}
