//! Pipe that is in already and would be too small for the changed job: which runs may be, and the job in which one of
//! them is taken out and put in anew, for whoever prices it.

use super::summary::{RunFacts, Summary, Verdict};
use crate::model::network::same_name;
use crate::model::{Job, Raw, Size, Status};
use rust_decimal::Decimal;

/// An installed run that the job would want larger.
#[derive(Debug, Clone, PartialEq)]
pub struct TooSmall {
    pub run: String,
    /// As it lies, with its inch mark.
    pub size: String,
    /// What it would get were it new.
    pub wanted: String,
    /// What taking it out and putting in the larger pipe costs, beside what is paid for it already; digging and patching
    /// aside.
    pub cost: Decimal,
    /// Lines that the larger pipe needs and nobody prices: the cost is without them.
    pub unpriced: usize,
}

/// Existing runs that may be to blame: water is too fast in them, or an outlet beyond them is short of pressure. Names, no
/// more than `most` of them, the nearest to the supply first.
pub(crate) fn suspects(priced: &Summary, most: usize) -> Vec<String> {
    let mut suspects = vec![false; priced.runs.len()];
    for (index, run) in priced.runs.iter().enumerate() {
        match run.verdict() {
            Verdict::Passes => {}
            Verdict::TooFast => suspects[index] = true,
            _ => {
                // A run comes after the one that feeds it, so the way up ends.
                let up = |at: &usize| priced.runs.get(*at).and_then(|run| run.fed_by);
                std::iter::successors(Some(index), up).for_each(|above| suspects[above] = true);
            }
        }
    }
    let runs = priced.runs.iter().zip(suspects).filter(|(run, suspect)| *suspect && run.in_already);
    runs.map(|(run, _)| run.name.clone()).take(most).collect()
}

/// The job without what this run costs: its pipe is in the price as long as it is of this job, and stays paid for when it is
/// replaced. `None` where it costs this job nothing as it is.
pub(crate) fn set_aside(job: &Job, name: &str, size: &str) -> Option<Job> {
    let index = job.runs.iter().position(|run| same_name(&run.name.value) == same_name(name))?;
    let mut changed = job.clone();
    let run = changed.runs.get_mut(index).filter(|run| run.status.get() == Some(Status::Installed))?;
    run.status = run.status.holding(Some(Status::ByOthers), Raw::Text("by others".into()));
    run.size = run.size.holding(Size::parse(size), Raw::Text(size.into()));
    Some(changed)
}

/// The job with this run let go: new, of whatever size it needs, and the old pipe taken out.
pub(crate) fn let_go(job: &Job, name: &str) -> Option<Job> {
    let index = job.runs.iter().position(|run| same_name(&run.name.value) == same_name(name))?;
    let run = job.runs.get(index)?;
    let mut changed = job.clone();
    let mut old = run.clone();
    let status = |status: Status, word: &str| run.status.holding(Some(status), Raw::Text(word.into()));
    old.name.value = format!("{} (old)", run.name.value).into();
    old.status = status(Status::Remove, "remove");
    let name = run.name.value.trim().to_owned();
    changed.saved.forget(&name);
    let new = changed.runs.get_mut(index)?;
    new.status = status(Status::New, "new");
    new.size = run.size.holding(None, Raw::Blank);
    changed.runs.push(old);
    Some(changed)
}

impl TooSmall {
    /// What letting the run go shows: nothing where it would get no larger pipe. `total_without` is the total without what the run
    /// as it lies costs.
    pub fn of(name: &str, now: &Summary, let_go: &Summary, total_without: Decimal) -> Option<Self> {
        let (installed, wanted) = (now.run(name)?, let_go.run(name)?);
        let size = |run: &RunFacts| Size::parse(&run.size);
        (size(wanted)? > size(installed)?).then(|| Self {
            run: name.to_owned(),
            size: installed.size.clone(),
            wanted: wanted.size.clone(),
            cost: let_go.total - total_without,
            unpriced: let_go.lines.iter().filter(|line| !line.priced && !now.lacks_price(&line.item)).count(),
        })
    }
}
