//! That no pipe sizes give every outlet its pressure, and what fixes it.

use crate::finding::findings;
use crate::finding::phrases::first_few;
use rust_decimal::Decimal;

/// One change that lets every outlet keep its pressure.
#[derive(Debug, Clone, PartialEq)]
pub enum SingleChange {
    /// Another Main size.
    MainSize {
        /// The least that does.
        size: String,
    },
    /// A size that somebody gave a run is let go of.
    RunFreed {
        /// Its name.
        run: String,
        /// The least that does.
        size: String,
    },
    /// A run that is there from before is replaced.
    RunReplaced {
        /// Its name.
        run: String,
        /// The least that does.
        size: String,
    },
    /// A device that loses less.
    DeviceLoss {
        /// Its name.
        device: String,
        /// The most it may lose, psi.
        psi: String,
        /// At this flow.
        gpm: String,
    },
    /// A regulator that is set higher.
    RegulatorSet {
        /// Its name.
        device: String,
        /// The least setting that does, psi.
        psi: String,
    },
}

/// Who is short where no sizes keep every pressure, and what fixes it.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// Runs that are short and by how many psi, the worst first.
    pub short: Vec<(String, String)>,
    /// They are so with the least loss all the way, else as sized.
    pub at_best: bool,
    /// How short the chosen sizes leave the worst of all.
    pub by_psi: String,
    /// How much more at the supply would do, where that helps.
    pub supply_psi: Option<String>,
    /// The cheapest single change that fixes it, and what it costs more than the sizes as bid; `None` where prices are missing.
    pub cheapest: Option<(SingleChange, Option<Decimal>)>,
    /// Changes that the job has no price for.
    pub others: Vec<SingleChange>,
    /// Devices on the way whose loss is that of another size: name, kind, and that size.
    pub borrowed: Vec<[String; 3]>,
}

findings! {
    /// No pipe sizes give every outlet its pressure.
    NoSizesWill { remedy: Remedy } = Fix "no-sizes-will" {
        found: { short_whatever(&remedy) },
        remedy: { format!("{}{}", fixing(&remedy), of_other_sizes(&remedy.borrowed)) },
    }
}

fn short_whatever(Remedy { short, at_best, by_psi, supply_psi, .. }: &Remedy) -> String {
    let runs = first_few(short.iter().map(|(run, psi)| format!("{run} by {psi} psi")));
    let supply = supply_psi.as_ref().map_or(String::new(), |more| {
        format!(" With {more} psi (rounded up) more at the supply every outlet would have its pressure.")
    });
    let when = if *at_best { "With the least loss all the way" } else { "In the sizes chosen" };
    format!(
        "No pipe sizes give every outlet its pressure. {when} these runs are short: {runs}. The sizes chosen keep the \
         worst shortage to {by_psi} psi.{supply}"
    )
}

/// That a rating is borrowed: its own may change what fixes it.
fn of_other_sizes(borrowed: &[[String; 3]]) -> String {
    let each = borrowed.iter().map(|[device, kind, size]| format!("{device} (that of a {size} in {kind})"));
    match borrowed {
        [] => String::new(),
        _ => format!(
            " First fill in Rated gpm and Loss psi of devices whose loss is of another size: {}.",
            first_few(each.collect::<Vec<_>>().into_iter())
        ),
    }
}

fn fixing(Remedy { supply_psi, cheapest, others, .. }: &Remedy) -> String {
    let others: Vec<String> = others.iter().map(change).collect();
    match (cheapest, others.as_slice()) {
        (None, []) if supply_psi.is_some() => {
            "No one size, and no one device whose loss Devices gives, fixes it: raise the pressure at the supply, \
             shorten the way, take a device that loses less, or change several of these together."
                .to_owned()
        }
        (None, []) => {
            "No single change fixes it: more pressure alone, one other size or one other device is not enough. \
             Shorten the way, or change several of these together."
                .to_owned()
        }
        (None, _) => {
            format!("A single change that fixes it, at a price this job does not know: {}.", others.join("; or "))
        }
        (Some((fix, more)), _) => {
            let fix = change(fix);
            let first = match more {
                Some(more) => format!(
                    "The cheapest single change that fixes it: {fix}, about ${:.2} {} in material and labor than the \
                     sizes as bid, before markups.",
                    more.abs(),
                    if more.is_sign_negative() { "less" } else { "more" }
                ),
                None => {
                    format!("A single change that fixes it: {fix}. Its cost is not known, since prices are missing.")
                }
            };
            match others.is_empty() {
                true => first,
                false => format!("{first} Or, at a price this job does not know: {}.", others.join("; or ")),
            }
        }
    }
}

fn change(change: &SingleChange) -> String {
    match change {
        SingleChange::MainSize { size } => format!("Main size {size} in Job"),
        SingleChange::RunFreed { run, size } => format!("Size {size} for run {run}, or blank"),
        SingleChange::RunReplaced { run, size } => format!("existing run {run} replaced by new pipe of {size}"),
        SingleChange::DeviceLoss { device, psi, .. } if psi == "0.0" => {
            format!("{device} taken out, or one without loss")
        }
        SingleChange::DeviceLoss { device, psi, gpm } => {
            format!("{device} exchanged for one that loses no more than {psi} psi at {gpm} gpm, or taken out")
        }
        SingleChange::RegulatorSet { device, psi } => format!("{device} set to {psi} psi"),
    }
}
