//! Checks that need no figures.

use crate::finding::Finding;
use crate::model::Job;
use crate::model::network::{Network, Problem};
use crate::rules::Rules;

pub fn check(_job: &Job, _rules: &Rules, _network: &Network, _problems: &[Problem]) -> Vec<Finding> {
    Vec::new()
}
