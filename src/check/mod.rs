//! A job as read -> what is wrong with it as a whole.
//!
//! In: [`Job`] and its network. Out: findings. Never: stopping at the first, changing the job, or saying again what only
//! follows from something already said (a name that could not be read, a sheet without rows).

mod amounts;
pub(crate) mod findings;
mod money;
mod names;
mod near_words;
mod part_sizes;
mod ranges;
mod sums;
mod unused;
mod vocabulary;

use crate::finding::{Finding, Sink};
use crate::model::Job;
use crate::model::network::{Network, Problem};
use crate::rules::Rules;
use crate::subjects;
use crate::view::{Check, Facts};

/// The checks that are about no subject, in the order in which their findings are made.
const CHECKS: &[Check] = &[
    names::duplicates,
    names::patterns,
    amounts::rows,
    ranges::rows,
    ranges::settings,
    sums::rows,
    part_sizes::rows,
    money::markup,
    money::changes,
    money::quotes,
    money::travel,
];

/// Everything that is wrong with the job as a whole. `network` and `problems` are those of [`Network::build`].
pub fn check(job: &Job, rules: &Rules, network: &Network, problems: &[Problem]) -> Vec<Finding> {
    let facts = Facts::new(job, rules, network, problems);
    let mut sink = Sink::default();
    for check in CHECKS.iter().chain(subjects::CHECKS.iter().copied().flatten()) {
        check(&facts, &mut sink);
    }
    let mut findings = sink.close();
    findings.extend(vocabulary::words(facts.job, facts.rules));
    findings.extend(unused::rows(facts.job, facts.rules));
    findings.extend(near_words::rows(facts.job, facts.rules));
    findings
}
