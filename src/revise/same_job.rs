//! Whether two workbooks are of one job: by what the papers say, else by the runs, each with the run that feeds it (every
//! house has a C1 and an H1).

use crate::finding::Finding;
use crate::model::network::same_name;
use crate::model::{Job, Setting, fold};
use crate::revise::findings::DifferentJobs;
use std::collections::BTreeSet;

/// The finding that stops a comparison of two different jobs; nothing when they are one.
pub(crate) fn different(old: &Job, new: &Job) -> Option<Finding> {
    let runs = |job: &Job| -> BTreeSet<(String, String)> {
        job.runs.iter().map(|run| (same_name(&run.name.value), same_name(&run.from.value))).collect()
    };
    let (before, after) = (runs(old), runs(new));
    let shared = before.intersection(&after).count();
    let of = before.len().max(after.len());
    let half = of > 0 && shared * 2 >= of;
    // Two names agree, contradict each other, or one of them is missing.
    let agree = |setting: Setting| {
        let (a, b) = (fold(&old.text(setting)), fold(&new.text(setting)));
        (!a.is_empty() && !b.is_empty()).then_some(a == b)
    };
    let same = match (agree(Setting::BidNumber), agree(Setting::JobName)) {
        // A number may be given to a job anew, and a job another name: the runs must then bear it out.
        (Some(true), Some(true)) => true,
        (Some(true), None) | (None, Some(true)) => shared > 0,
        (Some(true), Some(false)) | (Some(false), Some(true)) => half,
        (Some(false), Some(false) | None) => false,
        (None, Some(false)) => half,
        (None, None) => half,
    };
    (!same).then(|| Finding::everywhere(DifferentJobs { old: called(old), new: called(new), shared, of }))
}

/// Its number and name, as far as they are known, or its file.
fn called(job: &Job) -> String {
    let words = [Setting::BidNumber, Setting::JobName].map(|setting| job.text(setting).trim().to_owned());
    let known: Vec<String> = words.into_iter().filter(|word| !word.is_empty()).collect();
    if known.is_empty() { job.file.to_string() } else { known.join(", ") }
}
