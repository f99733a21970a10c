//! What the sizing finds of sizes and of the pressure they leave.

use crate::finding::findings;
use crate::finding::phrases::first_few;

/// The rise of the way, among what takes pressure: nobody can change it.
pub const HEIGHT: &str = "height";

/// An outlet that is short of pressure: what is left at the end of its run, what is needed there, and what it lacks of that
/// and of Pressure to spare, psi.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShortOutlet {
    /// Its name.
    pub run: String,
    /// psi, to a tenth.
    pub left: String,
    /// psi, Pressure to spare aside, to a tenth.
    pub need: String,
    /// psi, to a tenth.
    pub by: String,
}

/// A run in which water is too fast, ft/s. `wanting` is the pipe that would keep the limit and that Prices does not offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FastRun {
    /// Its name.
    pub run: String,
    /// Nominal.
    pub size: String,
    /// ft/s, to a tenth.
    pub velocity: String,
    /// ft/s, to a tenth.
    pub limit: String,
    /// `PEX pipe of 1-1/4 in`; `None` where Prices has a pipe that would do, or the size is somebody's word.
    pub wanting: Option<String>,
}

/// A run that is larger than the run which feeds it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LargerRun {
    /// Its name.
    pub run: String,
    /// Nominal.
    pub size: String,
    /// The run that feeds it.
    pub feeder: String,
    /// Nominal.
    pub feeder_size: String,
}

findings! {
    /// A run that is in already has no size.
    ExistingSizeAssumed { run: String, size: String } = Fix "existing-size-assumed" {
        found: "Run {run} is in already and has no Size; {size} is taken: what the bid has for it, else what new pipe \
             would get.",
        remedy: "Measure it and fill in Size: a smaller old pipe would leave less pressure than shown. To let go of \
             it, make its Status new.",
    }

    /// A size that you give is smaller than the code allows.
    SizeUnderCode { run: String, size: String, least: String, source: Option<String> } = Fix "size-under-code" {
        found: "Run {run} is {size}; the least that the code allows there is {least}.",
        remedy: "Use that size or a larger one, or put the local limit on a sheet named Limits.",
        source: { source },
    }

    /// The material does not come in the size, or no size can be chosen.
    SizeNotInTable {
        run: String,
        size: String,
        material: String,
        /// The nominal size of which it is the outside diameter.
        outside_of: Option<String>,
    } = Stop "size-not-in-table" and figure {
        found: {
            match size.as_str() {
                "" => format!(
                    "No size can be chosen for run {run}: Prices offers no {material} pipe large enough for it."
                ),
                _ => format!("Run {run} is {size} {material}; the pipe table has no such pipe."),
            }
        },
        remedy: {
            match (size.as_str(), outside_of) {
                ("", _) => "Add the pipe to Prices, or fill in Size.".to_owned(),
                (_, Some(nominal)) => {
                    format!("{size} is the outside diameter of {nominal} {material}: write {nominal} if it is that.")
                }
                _ => "Write a size that the material comes in, or add it on a sheet named Pipe.".to_owned(),
            }
        },
    }

    /// Main size differs from pipe of the main that is in already.
    MainSizeWithoutSay { size: String, runs: String } = Note "main-size-without-say" {
        found: "Main size {size} has no say over pipe that lies there already, of another size: {runs}.",
        remedy: "Right where it stays. To replace it, make its Status new and give the old pipe a row of its own with \
             Status remove.",
    }

    /// The Size of a run that is in already is not the one that the bid has for it.
    InstalledSizeTyped { run: String, size: String, installed: String } = Fix "installed-size-typed" {
        found: "Run {run} is in already: {installed} in the bid, {size} by its Size now. {size} is taken for what lies there, \
             and no new pipe is priced.",
        remedy: "Right where {size} was put in, or measured. To replace the pipe, make its Status new and give the old \
             pipe a row of its own with Status remove.",
    }

    /// Main size differs from the sizes that all runs of the main have of their own.
    MainSizeNotUsed { size: String, runs: String } = Note "main-size-not-used" {
        found: "Main size {size} changes nothing: each run of the main has a Size of its own in Runs ({runs}).",
        remedy: "Clear the Size of those runs for Main size to hold, or clear Main size.",
    }

    /// Runs are larger than the run that feeds them.
    LargerThanFeeder {
        runs: Vec<LargerRun>,
        /// Chosen so behind a size that is given, else given so.
        chosen: bool,
    } = Note "larger-than-feeder" {
        found: { larger(&runs, chosen) },
        remedy: {
            match chosen {
                true => {
                    "Right where that size stays: larger pipe behind it loses less. A larger size there may let these \
                     be smaller."
                }
                false => "Right where it is meant so; else see which of the sizes is a slip.",
            }
        },
    }

    /// Outlets are short of the pressure that is needed there.
    ShortOfPressure {
        /// The worst first.
        runs: Vec<ShortOutlet>,
        /// What Pressure to spare asks for besides, where it does.
        to_spare: Option<String>,
        /// Larger pipe can help.
        sizes_will: bool,
    } = Fix "short-of-pressure" {
        found: { short_outlets(&runs, to_spare.as_deref()) },
        remedy: {
            match sizes_will {
                true => "Use larger pipe on the way, a device that loses less, or more pressure at the supply.",
                false => {
                    "As the job stands no sizes do; see no-sizes-will for what would. These figures are for the sizes in \
                     the bid."
                }
            }
        },
        table: { short_rows(runs) },
    }

    /// What takes the pressure on the way to the outlet that is shortest of it.
    PressureLost {
        run: String,
        by_psi: String,
        supply: String,
        /// What takes pressure on the way, each with its psi, the largest first.
        takes: Vec<(String, String)>,
        /// How many others there are, and what they take together.
        more: Option<(usize, String)>,
    } = Fix "pressure-lost" {
        found: (
            "Run {run} ends {by_psi} psi short of what is needed there. Of {supply} psi at the supply, {}.",
            taken(&takes, more),
        ),
        remedy: {
            // Nobody lowers a house: of what can be changed the largest.
            match takes.iter().find(|(what, _)| what != HEIGHT) {
                Some((largest, _)) => format!("Start with {largest}. It takes the most of what can be changed."),
                None => "Raise the pressure at the supply.".to_owned(),
            }
        },
    }

    /// Water runs faster than the limit.
    TooFast {
        /// The fastest over the limit first.
        runs: Vec<FastRun>,
    } = Fix "too-fast" {
        found: { fast_runs(&runs) },
        remedy: { slowing(&runs) },
        table: { fast_rows(runs) },
    }

    /// Every outlet has its pressure, one of them with hardly any to spare.
    LittleToSpare { run: String, psi: String } = Note "little-to-spare" {
        found: "Only {psi} psi is left over what is needed at the end of run {run}.",
        remedy: "Measure the supply at peak hours before you rely on it. For a margin at every fixture, set Pressure \
             to spare in Job.",
    }
}

/// `SF1 (softener) takes 15.0, height 6.1, run M1 (3/4) 5.2 and 4 more 1.9`
fn taken(takes: &[(String, String)], more: Option<(usize, String)>) -> String {
    let verb = |at: usize| if at == 0 { " takes" } else { "" };
    let each = takes.iter().enumerate().map(|(at, (what, psi))| format!("{what}{} {psi}", verb(at)));
    let each = each.collect::<Vec<_>>().join(", ");
    match (each.is_empty(), more) {
        (true, _) => "nothing is lost on the way".to_owned(),
        (false, Some((count, psi))) => format!("{each} and {count} more {psi}"),
        (false, None) => each,
    }
}

/// One outlet in a sentence; more stand in the table.
fn short_outlets(runs: &[ShortOutlet], to_spare: Option<&str>) -> String {
    let spare = to_spare.map_or(String::new(), |psi| format!(" with {psi} psi to spare"));
    match runs {
        [ShortOutlet { run, left, need, by }] => {
            format!("Run {run} ends at {left} psi. Needed there: {need} psi{spare}. It is short by {by} psi.")
        }
        _ if spare.is_empty() => format!("{} outlets are short of pressure.", runs.len()),
        _ => format!("{} outlets are short of the pressure needed there{spare}.", runs.len()),
    }
}

/// Where there is more than one.
fn short_rows(runs: Vec<ShortOutlet>) -> Vec<Vec<String>> {
    let row = |ShortOutlet { run, left, need, by }| {
        vec![
            format!("run {run}"),
            format!("{left} psi left"),
            format!("{need} psi needed"),
            format!("short by {by} psi"),
        ]
    };
    if runs.len() > 1 { runs.into_iter().map(row).collect() } else { Vec::new() }
}

/// One run in a sentence; more stand in the table.
fn fast_runs(runs: &[FastRun]) -> String {
    match runs {
        [FastRun { run, size, velocity, limit, .. }] => {
            format!("Water runs at {velocity} ft/s in run {run} ({size}); the limit is {limit} ft/s.")
        }
        _ => format!("Water runs too fast in {} runs.", runs.len()),
    }
}

fn slowing(runs: &[FastRun]) -> String {
    let mut wanting: Vec<&str> = runs.iter().filter_map(|run| run.wanting.as_deref()).collect();
    wanting.sort_unstable();
    wanting.dedup();
    let larger = if runs.iter().any(|run| run.wanting.is_none()) {
        "Use a larger size, or, where the pipe's maker allows it, raise"
    } else {
        "Or, where its maker allows it, raise"
    };
    match wanting.is_empty() {
        true => "Use a larger size, or, where the pipe's maker allows it, raise the velocity limit in Job.".to_owned(),
        false => format!(
            "Add {} to Prices, which has none so large. {larger} the velocity limit in Job.",
            wanting.join(", ")
        ),
    }
}

/// Where there is more than one.
fn fast_rows(runs: Vec<FastRun>) -> Vec<Vec<String>> {
    let row = |FastRun { run, size, velocity, limit, .. }| {
        vec![format!("run {run}"), size, format!("{velocity} ft/s"), format!("limit {limit} ft/s")]
    };
    if runs.len() > 1 { runs.into_iter().map(row).collect() } else { Vec::new() }
}

fn larger(runs: &[LargerRun], chosen: bool) -> String {
    match runs {
        [one] if !chosen => format!(
            "Run {} is {}, larger than the new run {} ({}) that feeds it.",
            one.run, one.size, one.feeder, one.feeder_size
        ),
        _ => {
            let each = runs
                .iter()
                .map(|run| format!("{} ({}) behind {} ({})", run.run, run.size, run.feeder, run.feeder_size));
            let head = match chosen {
                true => "Larger pipe is chosen behind a run whose size is given",
                false => "Runs are larger than the new run that feeds them",
            };
            format!("{head}: {}.", first_few(each))
        }
    }
}
