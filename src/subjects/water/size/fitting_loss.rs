//! The fittings in a run's way, as equivalent feet of its own pipe.

use super::Context;
use super::fork::Fork;
use crate::figure::{Number, Term};
use crate::model::network::Network;
use crate::model::{Setting, Size};

/// How water enters a run from what feeds it. The fitting's loss is counted in the run it leads into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Entry {
    /// From the supply: no fitting of ours.
    Supply,
    /// The only way on: a coupling or a device's connection.
    Coupling,
    /// Straight through a tee.
    TeeRun,
    /// Out of the side of a tee, or of a manifold's port.
    TeeBranch,
}

/// The entry of every run, by position. An outlet drawing at a fork itself counts as a branch there. A manifold turns the
/// water into every port.
pub(crate) fn entries(network: &Network, forks: &[Fork], outlets_at: &[usize], manifold_at: &[bool]) -> Vec<Entry> {
    let mut entry = vec![Entry::Supply; network.len()];
    for (position, (children, outlets)) in network.children.iter().zip(outlets_at).enumerate() {
        let ways = children.len() + outlets.min(&1);
        for child in children {
            entry[*child] = match (ways, Some(*child) == forks[position].straight) {
                _ if manifold_at[position] => Entry::TeeBranch,
                (1, _) => Entry::Coupling,
                (_, true) => Entry::TeeRun,
                (_, false) => Entry::TeeBranch,
            };
        }
    }
    entry
}

/// How the job allows for fittings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Allowance {
    ByFitting,
    Percent,
    None,
}

/// What Fittings loss says: `by fitting`, `none`, or a percent of the pipe's length.
pub(crate) fn allowance(context: &Context) -> Allowance {
    match crate::model::fold(&context.job.text(Setting::FittingsLoss)).as_str() {
        "byfitting" => Allowance::ByFitting,
        "none" => Allowance::None,
        _ => Allowance::Percent,
    }
}

/// The percent of length as a figure: the user's cell where it holds a number, else what its text says.
pub(crate) fn percent_figure(context: &Context) -> Term {
    let cell = context.settings.get(Setting::FittingsLoss);
    if cell.value().number().is_ok() {
        return cell;
    }
    let share = crate::model::parse_percent(&context.job.text(Setting::FittingsLoss)).unwrap_or_default();
    cell.same(&Term::constant(cell.value().clone())).pick(&Term::number(share), &cell)
}

/// The row of the fitting table that a material's fittings go by: the job's own system for PEX, else the material's.
pub(crate) fn system(context: &Context, material: &str) -> String {
    let setting = context.job.text(Setting::Fittings);
    context.rules.fitting_system(material, &setting).unwrap_or(&setting).to_owned()
}

/// A run, as fittings are allowed for.
pub(crate) struct Fitted {
    pub entry: Entry,
    /// Bends that take elbows.
    pub bends: f64,
    pub length_ft: f64,
}

/// The same allowance for the size search, in equivalent feet. A size the table lacks counts as none.
pub(crate) fn equivalent_ft(context: &Context, material: &str, size: Size, run: &Fitted) -> f64 {
    let Fitted { entry, bends, length_ft } = *run;
    match allowance(context) {
        Allowance::None => 0.0,
        Allowance::Percent => length_ft * percent_figure(context).value().as_f64(),
        Allowance::ByFitting => {
            let system = system(context, material);
            let Some(row) = context.rules.fitting_lengths(&system, size) else { return 0.0 };
            let way_in = match entry {
                Entry::Supply => 0.0,
                Entry::Coupling => f64::of(row.coupling_ft),
                Entry::TeeRun => f64::of(row.tee_run_ft),
                Entry::TeeBranch => f64::of(row.tee_branch_ft),
            };
            way_in + bends * f64::of(row.elbow_ft)
        }
    }
}
