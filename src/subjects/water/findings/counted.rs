//! What the take-off finds: valves and safeguards that are missing, manifolds, old pipe.

use crate::finding::findings;
use crate::finding::phrases::{did_you_mean, listed, rows_in_ranges};
use crate::rules::GOES_BY;
use rust_decimal::Decimal;

findings! {
    /// A fixture or device has no parts listed.
    NoAssembly { what: String } = Fix "no-assembly" {
        found: "No parts are listed for a {what}; none are counted.",
        remedy: "List its parts on a sheet named Assemblies.",
    }

    /// A row of Sundries goes by a word that nothing is called.
    SundryForNothing { part: String, found: String, nearest: Option<String> } = Fix "sundry-for-nothing" {
        found: (
            "Nothing is called \"{found}\", so no {part} is counted for it.{}",
            did_you_mean(nearest.as_deref())
        ),
        remedy: { format!("Write under For each a part as Prices has it, a fixture, a device, or one of: {}.", GOES_BY.join(", ")) },
    }

    /// Larger tees and reducers are bought, since a tee has no price.
    TeeMadeUp {
        tee: String,
        quantity: Decimal,
        bought: Vec<String>,
        /// Of Prices, that has the tee and no price.
        row: Option<u64>,
    } = Fix "tee-made-up" {
        found: (
            "No price for {tee}. Where it is needed ({}), a larger tee with reducers is bought: {}.",
            quantity.normalize(),
            listed(&bought)
        ),
        remedy: {
            match row {
                Some(row) => format!("Enter its price in row {row} of Prices."),
                None => "Add that tee to Prices. `price --list-missing` writes the row into a copy of the job.".to_owned(),
            }
        },
    }

    /// The main has no shutoff valve.
    NoMainShutoff { run: String } = Fix "no-main-shutoff" {
        found: "The main, which begins with run {run}, has no shutoff valve in Devices.",
        remedy: "Add one to Devices, or set Shutoff valves in Job to main.",
        source: "IRC P2903.9.1; IPC 606.1 (from memory); UPC 606.2 (from memory)",
    }

    /// A valve is quick-closing, or may be, and has no hammer arrester.
    QuickClosingValve { tag: String, run: String, sure: bool } = Fix if sure else Note "quick-closing-valve" {
        found: {
            match sure {
                true => format!("{tag} has a quick-closing valve; run {run} has no hammer arrester."),
                false => format!("If {tag} is quick-closing, run {run} needs a hammer arrester."),
            }
        },
        remedy: {
            match sure {
                true => "Add one to Devices, or set Hammer arresters in Job to at quick-closing valves.",
                false => "Add one to Devices, unless the valve closes slowly.",
            }
        },
        source: "IRC P2903.5; IPC 604.9 (from memory); UPC 609.10 (from memory)",
    }

    /// A hose bibb can freeze and has no valve inside.
    BibbFreezes { tag: String } = Note "bibb-freezes" {
        found: "Hose bibb {tag} can freeze; it has no inside stop-and-waste.",
        remedy: "Right for a frostproof bibb whose stem reaches into heated space; else set Hose bibb shutoffs in Job \
             to where it freezes.",
        source: "IRC P2903.10; IPC 305.4 (from memory); UPC 312.6 (from memory)",
    }

    /// A hose bibb has no vacuum breaker among its parts.
    BibbWithoutBreaker { tag: String } = Note "bibb-without-breaker" {
        found: "No vacuum breaker for hose bibb {tag}.",
        remedy: "Right for a bibb with one built in; else list one for its hose thread (ASSE 1011) on the Assemblies sheet.",
        source: "IRC P2902.4.3; IPC 608.16.4.2 (from memory); UPC 603.5.7 (from memory)",
    }

    /// A heater's water cannot get back to the main, or may not, and there is no expansion tank.
    ClosedSystem { heater: String, by: String, sure: bool } = Fix if sure else Note "closed-system" {
        found: {
            match sure {
                true => {
                    format!("{by} makes the system closed at {heater}; no expansion tank.")
                }
                false => format!("If there is a check valve in {by}, heater {heater} needs an expansion tank."),
            }
        },
        remedy: {
            match sure {
                true => "Add one to Devices, or set Expansion control in Job to where closed.",
                false => "Ask who owns the meter; add an expansion tank to Devices where it has one.",
            }
        },
        source: "IRC P2903.4; IPC 607.3 (from memory); UPC 608.3 (from memory)",
    }

    /// The code limits the hot water at fixtures, and the valve for it is not counted.
    HotWaterNotLimited {
        tags: Vec<String>,
        /// F.
        heater: Decimal,
        most: Decimal,
        valve: String,
        standard: String,
        /// The job's settings can count it.
        counted_if_asked: bool,
        source: String,
    } = Fix "hot-water-not-limited" {
        found: (
            "No {valve} ({standard}) limits the hot water to {most} F at {}. The heater is set to {heater} F.",
            listed(&tags),
        ),
        remedy: {
            match counted_if_asked {
                true => "Set Mixing valves in Job to where required. OK if the faucet is listed to that standard itself.",
                false => "List the valve on the Assemblies sheet. A valve in the hot line does not count.",
            }
        },
        source: { Some(source) },
    }

    /// New pipe that can freeze has no insulation.
    PipeFreezes { runs: String } = Fix "pipe-freezes" {
        found: "Pipe that lies where it freezes has no insulation: {runs}.",
        remedy: "Fill in Insulation in, or set Insulate in Job; 0 where heat or the place itself protects it. \
             Insulation only delays freezing: keep it toward the heated side, and see the local code.",
        source: "IRC P2603.5 (from memory); IPC 305.4 (from memory); UPC 312.6 (from memory)",
    }

    /// Hot pipe has no insulation.
    HotPipeBare { runs: String } = Note "hot-pipe-bare" {
        found: "Hot pipe of 3/4 and larger has no insulation: {runs}.",
        remedy: "Where the energy code holds it wants R-3 on it: fill in Insulation in, or set Insulate in Job; 0 to \
             leave it bare.",
        source: "IRC N1103.5 (from memory); IPC 607.5, which is IECC C404.4 (from memory); UPC 609.12 (from memory)",
    }

    /// Pipe that the codes list for the service alone carries hot water, or water inside the building.
    ServicePipeInside { run: String, material: String, hot: bool, to_mend: bool, source: String } = Fix if to_mend else Note "service-pipe-inside" {
        found: {
            match hot {
                true => format!("Run {run} is {material} and carries hot water. {material} is for the cold water service only."),
                false => format!("Run {run} is {material} inside the building. {material} is for the water service only."),
            }
        },
        remedy: {
            match to_mend {
                true => format!(
                    "Use pipe that is listed for water distribution, such as PEX, CPVC or copper. End {material} at the main \
                     shutoff, where the service comes in."
                ),
                false => "Ask the inspector whether pipe in place may stay.".to_owned(),
            }
        },
        source: { Some(source) },
    }

    /// Of pipe that is only said to be inside the house nobody knows whether it passes framing.
    FramingNotSaid { runs: Vec<String> } = Note "framing-not-said" {
        found: (
            "Where is inside for {}: no holes in studs and no nail plates are counted there.",
            listed(&runs)
        ),
        remedy: "OK for pipe in sight or along framing. Write inside wall for runs through studs.",
    }

    /// A hole for pipe takes more of a stud than the code allows, or may.
    StudBored {
        runs: String,
        /// Of the stud's depth, the worst of them.
        share: Decimal,
        most: Decimal,
        outside: bool,
        /// More than the code allows; else more only where the wall is bearing.
        sure: bool,
        source: String,
    } = Fix if sure else Note "stud-bored" {
        found: {
            let percent = |share: Decimal| (share * Decimal::ONE_HUNDRED).round().to_string();
            let (share, most) = (percent(share), percent(most));
            let wall = if outside { "an outside wall" } else { "a wall" };
            match sure {
                true => format!("Studs of {wall} bored up to {share}% of their depth; limit {most}%: {runs}."),
                false => format!("Studs bored up to {share}% of their depth, over 40% of a bearing wall: {runs}."),
            }
        },
        remedy: {
            match (sure, outside) {
                (true, true) => {
                    "Use deeper studs (Stud depth in Job), smaller pipe, or reroute. No more than two studs in a row \
                     may be bored to 60%, each doubled; see the local code."
                }
                (true, false) => "Use deeper studs (Stud depth in Job), smaller pipe, or reroute.",
                (false, _) => "OK in a non-bearing wall. In a bearing wall, use deeper studs or double them.",
            }
        },
        source: { Some(source) },
    }

    /// More lines come from a manifold than it has ports.
    ManifoldPorts { manifold: String, needed: String, ports: String } = Fix "manifold-ports" {
        found: "Manifold {manifold} has {ports} ports; {needed} needed.",
        remedy: "A manifold with more ports, or a second one; else feed some of the lines from another run.",
    }

    /// A manifold carries more than the code allows for its size.
    ManifoldFlow {
        manifold: String,
        /// Its size, and what its body is made of.
        what: String,
        gpm: f64,
        most: rust_decimal::Decimal,
        source: String,
    } = Fix "manifold-flow" {
        found: "Manifold {manifold} ({what}) carries {gpm:.1} gpm at peak; {most} gpm is the most for its size.",
        remedy: "A larger manifold, or two of them.",
        source: { Some(source) },
    }

    /// Existing pipe that stays feeds nothing.
    DeadLeg { runs: Vec<String> } = Note "dead-leg" {
        found: {
            match runs.as_slice() {
                [run] => format!("Existing run {run} is a dead leg: it feeds nothing."),
                _ => format!("Existing runs are a dead leg and feed nothing: {}.", listed(&runs)),
            }
        },
        remedy: "Set Status to remove (a cap is counted where it leaves pipe that stays), or connect what it feeds.",
    }

    /// Pipe of this job feeds nothing.
    NewDeadLeg {
        runs: Vec<String>,
        /// Their rows of Runs.
        rows: Vec<u64>,
        /// Fixtures that come out there.
        dropped: Vec<String>,
        /// Fixtures that take what runs in it and have no run for that.
        waiting: Vec<String>,
        /// What they lack.
        side: &'static str,
    } = Note "new-dead-leg" {
        found: {
            let (are, feed) = match runs.as_slice() {
                [run] => (format!("Run {run} is"), "feeds"),
                _ => (format!("Runs {} are", listed(&runs)), "feed"),
            };
            match dropped.is_empty() {
                true => format!("{are} priced and {feed} nothing."),
                false => format!("{are} still priced and {feed} nothing; {} is removed.", listed(&dropped)),
            }
        },
        remedy: {
            let rows = format!("{} {}", if rows.len() == 1 { "row" } else { "rows" }, rows_in_ranges(&rows));
            let feeds = match waiting.is_empty() {
                true => String::new(),
                false => format!("Fill in {side} where it feeds one of these fixtures: {}. If it feeds none, ", listed(&waiting)),
            };
            let delete = if feeds.is_empty() { "Delete" } else { "delete" };
            format!(
                "{feeds}{delete} {rows} of Runs, so that no dead leg is left. For a stub-out for later, list what it is for in \
                 Fixtures with Status by others."
            )
        },
    }
}
