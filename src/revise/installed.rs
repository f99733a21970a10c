//! Pipe that is in already and would be too small for the changed job: which runs may be, and the job in which one of
//! them is taken out and put in anew, for whoever prices it.

use crate::model::network::Network;
use crate::model::{Field, Job, Raw, Status};
use crate::size::Sizes;
use rust_decimal::Decimal;

/// An installed run that the job would want larger.
#[derive(Debug, Clone, PartialEq)]
pub struct TooSmall {
    pub run: String,
    /// As it lies, with its inch mark.
    pub size: String,
    /// What it would get were it new.
    pub wanted: String,
    /// What taking it out and replacing it does to the price.
    pub cost: Decimal,
}

/// Existing runs that may be to blame: water is too fast in them, or an outlet beyond them is short of pressure.
/// Positions in the network, no more than `most` of them, the nearest to the supply first.
pub fn suspects(job: &Job, network: &Network, sizes: &Sizes, most: usize) -> Vec<usize> {
    let says = |position: usize| sizes.checks.get(position).map(|check| check.value().to_string()).unwrap_or_default();
    let mut suspects = vec![false; network.len()];
    for position in 0..network.len() {
        match says(position).as_str() {
            "OK" => {}
            "too fast" => suspects[position] = true,
            _ => network.path_up(position).for_each(|above| suspects[above] = true),
        }
    }
    let exists = |position: &usize| {
        network.order.get(*position).and_then(|run| job.runs.get(*run)).and_then(|run| run.status.get())
            == Some(Status::Existing)
    };
    (0..network.len()).filter(|position| suspects[*position]).filter(exists).take(most).collect()
}

/// The job with this run let go: new, of whatever size it needs, and the old pipe taken out.
pub fn let_go(job: &Job, network: &Network, position: usize) -> Option<Job> {
    let index = *network.order.get(position)?;
    let run = job.runs.get(index)?;
    let mut changed = job.clone();
    let mut old = run.clone();
    let status = |status: Status, word: &str| Field {
        value: Some(status),
        cell: run.status.cell.clone(),
        raw: Raw::Text(word.into()),
    };
    old.name.value = format!("{} (old)", run.name.value).into();
    old.status = status(Status::Remove, "remove");
    let name = run.name.value.trim().to_owned();
    changed.held.retain(|(sheet, key), _| !(sheet == "Sizing" && *key == name));
    let new = changed.runs.get_mut(index)?;
    new.status = status(Status::New, "new");
    new.size = Field { value: None, cell: run.size.cell.clone(), raw: Raw::Blank };
    changed.runs.push(old);
    Some(changed)
}
