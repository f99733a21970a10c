//! The comparison itself: what was bid, what differs now, what each change does by itself, what lies there too small.

use crate::choice::Choice;
use crate::commands::findings::{InstalledTooSmall, NothingChanged};
use crate::finding::Finding;
use crate::model::Job;
use crate::parallel::in_parallel;
use crate::pipeline::{self, Options, Tables};
use crate::read::{self, Reading};
use crate::revise::attribution::{self, Alone, Attribution};
use crate::revise::installed::{self, TooSmall};
use crate::revise::{Comparison, Summary, inputs};
use crate::unit::with_commas;

/// Installed runs that are looked into, at most.
const SUSPECTS: usize = 12;

/// Prices a workbook as it stands, without writing it down.
///
/// # Errors
/// The findings of a workbook that cannot be priced.
pub fn priced(reading: &Reading, options: &Options) -> Result<Summary, Vec<Finding>> {
    pipeline::sum_up(&reading.job, &reading.findings, &Tables::of(&reading.job, &options.rule_files), options)
}

/// Pipe that is in lies at the size it was bid at.
pub fn lay(job: &mut Job, old: &Summary) {
    for run in old.runs.iter().filter(|run| !run.size.is_empty()) {
        let size = run.size.trim_end_matches('"').to_owned();
        job.saved.insert_first(Choice::SizeInBid, &run.name, size);
    }
}

/// A workbook and how it is priced: the old side as it was bid, the new side as it is asked for.
#[derive(Clone, Copy)]
pub struct Side<'a> {
    /// As read, with what was changed in it.
    pub reading: &'a Reading,
    /// With which choices, by which rules.
    pub options: &'a Options,
}

impl Side<'_> {
    /// Prices it without writing it down.
    ///
    /// # Errors
    /// The findings of a workbook that cannot be priced.
    fn priced(&self) -> Result<Summary, Vec<Finding>> {
        priced(self.reading, self.options)
    }
}

/// Everything but the new bid itself; `was` is what the old side came to.
///
/// # Errors
/// The findings of the new side, where it cannot be priced.
pub fn compare(old: Side, new: Side, was: &Summary, findings: &mut Vec<Finding>) -> Result<Comparison, Vec<Finding>> {
    let inputs = inputs::differences(&old.reading.book, &new.reading.book);
    if inputs.is_empty() {
        findings.push(Finding::everywhere(NothingChanged {}));
    }
    let installed = too_small(new)?;
    for small in &installed {
        let run = new.reading.job.runs.iter().find(|run| run.name.value.trim() == small.run);
        let place = run.and_then(|run| run.size.cell.as_ref().or(Some(&run.name.place)));
        let cost = format!("${}", with_commas(&format!("{:.2}", small.cost)));
        findings.push(Finding::near(
            place,
            InstalledTooSmall {
                run: small.run.clone(),
                size: small.size.clone(),
                wanted: small.wanted.clone(),
                cost: match small.unpriced {
                    0 => cost,
                    lines => format!("more than {cost} (lines without a price: {lines})"),
                },
            },
        ));
    }
    let attribution = attribution(old, new, was, &inputs);
    Ok(Comparison { old: was.clone(), inputs, attribution, installed, shown: None })
}

/// Pipe that is in and that the job as it is now would want larger.
fn too_small(new: Side) -> Result<Vec<TooSmall>, Vec<Finding>> {
    let Side { reading, options } = new;
    let now = new.priced()?;
    let suspects = installed::suspects(&now, SUSPECTS);
    let tables = Tables::of(&reading.job, &options.rule_files);
    let looked_into = in_parallel(
        &suspects,
        |name| {
            let job = installed::let_go(&reading.job, name)?;
            let free = Options { hold: false, ..options.clone() };
            let let_go = pipeline::sum_up(&job, &reading.findings, &tables, &free).ok()?;
            let installed_run = now.run(name)?;
            let total_without = match installed::set_aside(&reading.job, name, &installed_run.size) {
                Some(job) => pipeline::sum_up(&job, &reading.findings, &tables, options).ok()?.total,
                None => now.total,
            };
            TooSmall::of(name, &now, &let_go, total_without)
        },
        |_| (),
    );
    Ok(looked_into.into_iter().flatten().collect())
}

/// What each change does by itself; `None` where there is but one, and it does everything.
fn attribution(old: Side, new: Side, was: &Summary, changes: &[inputs::InputChange]) -> Option<Attribution> {
    let options = new.options;
    // Chosen anew the old job may cost something else before anything is changed.
    let anew = match old.options.hold && !options.hold {
        true => Side { options, ..old }.priced().ok()?.total,
        false => was.total,
    };
    let chosen_anew = (anew != was.total).then(|| anew - was.total);
    let parts = attribution::parts(&old.reading.book, &new.reading.book, changes);
    if parts.is_empty() && chosen_anew.is_none() {
        return None;
    }
    let alone = in_parallel(
        &parts,
        |part| {
            let base = if part.on_new { new } else { old };
            let mut alone = read::retype(base.reading, part.book.clone());
            lay(&mut alone.job, was);
            let alone = priced(&alone, options).ok();
            let unpriced = alone.as_ref().map(|alone| alone.unpriced).unwrap_or_default();
            Alone { what: part.what.clone(), difference: alone.map(|alone| alone.total - anew), unpriced }
        },
        |_| (),
    );
    Some(Attribution { chosen_anew, alone })
}
