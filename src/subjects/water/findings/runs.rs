//! What is wrong with how runs, fixtures and heaters hang together.

use crate::finding::findings;

findings! {
    /// Runs feed each other in a ring.
    LoopedRuns { runs: Vec<String> } = Stop "looped-runs" {
        found: ("These runs feed each other in a ring: {}.", runs.join(" > ")),
        remedy: "Water pipe is figured as trees from SUPPLY. Take the return line of a recirculation loop out of Runs \
             and enter its pipe under Other costs; otherwise fix From.",
    }

    /// A run, fixture or device hangs on a run that comes out.
    RunRemoved { what: &'static str, name: String, run: String } = Stop "run-removed" {
        found: "The {what} {name} hangs on the run {run}, which comes out (Status remove).",
        remedy: "Name a run that stays, or let this one stay.",
    }

    /// A run that comes from itself has the name of the supply.
    ReservedName { found: String } = Stop "reserved-name" {
        found: "The run {found} comes from itself: {found} also means the supply.",
        remedy: "Give the run another name, or write SUPPLY in From.",
    }

    /// A fixture has neither a Cold run nor a Hot run.
    FixtureWithoutRun { tag: String } = Fix "fixture-without-run" {
        found: "{tag} has neither a Cold run nor a Hot run: it loads no pipe.",
        remedy: "Name the run whose end feeds it.",
    }

    /// A fixture that takes hot and cold has a run for one of them alone.
    OneSideOnly { tag: String, kind: String, side: &'static str } = Note "one-side-only" {
        found: "{tag} ({kind}) takes hot and cold, and its {side} is blank: nothing is counted on that side.",
        remedy: "Fill in {side}. Leave it blank only where the fixture gets one side.",
    }

    /// A Hot run has no heater above it.
    HotRunWithoutHeater { run: String } = Fix "hot-run-without-heater" {
        found: "No heater stands in the run {run} or above it: its water is cold.",
        remedy: "Enter the heater in Devices, on the first hot run; or name another Hot run.",
    }

    /// A Cold run is fed through a heater.
    ColdRunIsHot { run: String, heater: String } = Fix "cold-run-is-hot" {
        found: "The run {run} is fed through the heater {heater}: its water is hot.",
        remedy: "Name a run above the heater as the Cold run.",
    }

    /// A fixture of no listed kind has no flow.
    OtherWithoutGpm { tag: String } = Stop "other-without-gpm" {
        found: "{tag} is of no listed kind (other), and its Gpm is blank.",
        remedy: "Enter the flow it takes in Gpm.",
    }
}
