//! Alternates of the Terms sheet that say what they change: each is priced as a whole job of its own, by the foot, and
//! handed to the bid as plain values.

use super::revise::{against, edits};
use crate::check::findings::prices::AlternateNotPriced;
use crate::commands::findings::{AlternateChangesNothing, AlternateFails};
use crate::finding::{Finding, Severity, excerpt};
use crate::model::{Job, Term};
use crate::parallel::in_parallel;
use crate::pipeline::Options;
use crate::price::Alternate;
use crate::read::Reading;
use crate::revise::Summary;
use crate::revise::summary::Verdict;
use crate::revise::what_if::{Outcome, which};

fn wanted(job: &Job) -> impl Iterator<Item = &Term> {
    let changes = |term: &&Term| !term.change.text().trim().is_empty();
    job.terms.iter().filter(|term| &*term.kind.value == "alternate").filter(changes)
}

/// True when there is anything to price.
pub(crate) fn any(job: &Job) -> bool {
    wanted(job).next().is_some()
}

/// Every alternate that can be priced. Those that cannot, or fail where the job itself does not, are findings.
pub(crate) fn priced(reading: &Reading, options: &Options, findings: &mut Vec<Finding>) -> Vec<Alternate> {
    let free = Options { hold: options.hold, rule_files: options.rule_files.clone(), ..Options::default() };
    let rows: Vec<&Term> = wanted(&reading.job).collect();
    if rows.is_empty() {
        return Vec::new();
    }
    // What stops the job itself its pricing tells.
    let Ok(base) = against::priced(reading, &free) else { return Vec::new() };
    let outcomes = in_parallel(&rows, |term| one(reading, term, &free), |_| ());
    let mut all = Vec::new();
    for (term, outcome) in rows.iter().zip(outcomes) {
        let alternate = excerpt(&term.text.value);
        let place = term.change.cell.as_ref();
        match outcome {
            Ok(summary) => {
                let found = of(term.row, &summary, &base);
                if found.changes_nothing() {
                    let alternate = alternate.clone();
                    findings.push(Finding::near(place, AlternateChangesNothing { alternate }));
                }
                if !found.offered {
                    let reason = summary.failures();
                    findings.push(Finding::near(place, AlternateFails { alternate, reason }));
                }
                all.push(found);
            }
            Err(found) => {
                let worst = found.iter().find(|finding| finding.severity == Severity::Stop).or(found.first());
                let reason = worst.map(|finding| finding.found.clone()).unwrap_or_default();
                findings.push(Finding::near(place, AlternateNotPriced { alternate, reason }));
            }
        }
    }
    all
}

fn one(reading: &Reading, term: &Term, options: &Options) -> Result<Summary, Vec<Finding>> {
    let (mut changes, mut wrong) = (Vec::new(), Vec::new());
    for typed in term.change.text().split(';').map(str::trim).filter(|typed| !typed.is_empty()) {
        match edits::parse(reading, typed) {
            Ok(edit) => changes.push(edit),
            Err(finding) => wrong.push(*finding),
        }
    }
    if !wrong.is_empty() {
        return Err(wrong);
    }
    against::priced(&edits::apply(reading, &changes)?, options)
}

fn of(row: u32, summary: &Summary, base: &Summary) -> Alternate {
    let outcome = Outcome::of(summary, base);
    Alternate {
        row,
        total: summary.total,
        base_total: base.total,
        hours: summary.all_hours,
        base_hours: base.all_hours,
        re_sized: which(&outcome.re_sized),
        passes: outcome.verdict.words().to_owned(),
        offered: outcome.verdict == Verdict::Passes || summary.fails_no_more_than(base),
    }
}
