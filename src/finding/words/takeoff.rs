//! The words for what the take-off finds: valves and safeguards that are wanting, manifolds, old pipe.

use super::{Words, listed, rows_in_ranges, sourced, words};
use crate::finding::Code;
use crate::finding::Severity::{Mend, Note};
use rust_decimal::Decimal;

/// `None` for a finding of another subject.
pub(super) fn of(code: &Code) -> Option<Words> {
    Some(match code {
        Code::NoMainShutoff { run } => sourced(
            words(
                Mend,
                "no-main-shutoff",
                format!("The main, which begins with run {run}, has no shutoff valve in Devices."),
                "Add one to Devices, or set Shutoff valves in Job to main.",
            ),
            "IRC P2903.9.1; IPC 606.1 (from memory)",
        ),
        Code::QuickClosingValve { tag, run, sure } => sourced(
            words(
                if *sure { Mend } else { Note },
                "quick-closing-valve",
                match sure {
                    true => format!("The valve of {tag} snaps shut, and run {run} has no hammer arrester."),
                    false => format!("If the valve of {tag} snaps shut, run {run} needs a hammer arrester."),
                },
                match sure {
                    true => "Add one to Devices, or set Hammer arresters in Job to at quick-closing valves.",
                    false => "Add one to Devices, unless the valve closes slowly.",
                },
            ),
            "IRC P2903.5",
        ),
        Code::PipeFreezes { runs } => sourced(
            words(
                Mend,
                "pipe-freezes",
                format!("Pipe that lies where it freezes has no insulation: {runs}."),
                "Fill in Insulation in, or set Insulate in Job; 0 where heat or the place itself protects it. Insulation only \
                 delays freezing: keep it toward the heated side, and see the local code.",
            ),
            "IRC P2603.5 (from memory)",
        ),
        Code::StudBored { runs, share, most, outside, sure, source } => {
            let percent = |share: &Decimal| (share * Decimal::ONE_HUNDRED).round().to_string();
            let (share, most) = (percent(share), percent(most));
            let wall = if *outside { "an outside wall" } else { "a wall" };
            sourced(
                words(
                    if *sure { Mend } else { Note },
                    "stud-bored",
                    match sure {
                        true => format!("Studs of {wall} bored up to {share}% of their depth; limit {most}%: {runs}."),
                        false => {
                            format!("Studs bored up to {share}% of their depth, over 40% of a bearing wall: {runs}.")
                        }
                    },
                    match (sure, outside) {
                        (true, true) => {
                            "Use deeper studs (Stud depth in Job), smaller pipe, or reroute. No more than two studs in a row \
                             may be bored to 60%, each doubled; see the local code."
                        }
                        (true, false) => "Use deeper studs (Stud depth in Job), smaller pipe, or reroute.",
                        (false, _) => "OK in a non-bearing wall. In a bearing wall, use deeper studs or double them.",
                    },
                ),
                source,
            )
        }
        Code::HotPipeBare { runs } => sourced(
            words(
                Note,
                "hot-pipe-bare",
                format!("Hot pipe of 3/4 and larger has no insulation: {runs}."),
                "Where the energy code holds it wants R-3 on it: fill in Insulation in, or set Insulate in Job; 0 to leave \
                 it bare.",
            ),
            "IRC N1103.5 (from memory)",
        ),
        Code::BibbFreezes { tag } => sourced(
            words(
                Note,
                "bibb-freezes",
                format!("Hose bibb {tag} is where it freezes, and no valve inside drains it."),
                "Right for a frostproof bibb whose stem reaches into heated space; else set Hose bibb shutoffs in Job \
                 to where it freezes.",
            ),
            "IRC P2903.10",
        ),
        Code::BibbWithoutBreaker { tag } => sourced(
            words(
                Note,
                "bibb-without-breaker",
                format!("No vacuum breaker is counted for hose bibb {tag}."),
                "Right for a bibb with one built in; else list it on the Assemblies sheet.",
            ),
            "IRC P2902.4.3",
        ),
        Code::ClosedSystem { heater, by, sure } => sourced(
            words(
                if *sure { Mend } else { Note },
                "closed-system",
                match sure {
                    true => {
                        format!("{by} lets no water back from heater {heater}, and there is no expansion tank.")
                    }
                    false => format!("If there is a check valve in {by}, heater {heater} needs an expansion tank."),
                },
                match sure {
                    true => "Add one to Devices, or set Expansion control in Job to where closed.",
                    false => "Ask who owns the meter; add an expansion tank to Devices where it has one.",
                },
            ),
            "IRC P2903.4",
        ),
        Code::ManifoldPorts { manifold, needed, ports } => words(
            Mend,
            "manifold-ports",
            format!("{needed} lines come from manifold {manifold}, which has {ports} ports."),
            "A manifold with more ports, or a second one; else feed some of the lines from another run.",
        ),
        Code::ManifoldFlow { manifold, what, gpm, most, source } => sourced(
            words(
                Mend,
                "manifold-flow",
                format!(
                    "Manifold {manifold} ({what}) carries {gpm:.1} gpm at peak; {most} gpm is the most for its size."
                ),
                "A larger manifold, or two of them.",
            ),
            source,
        ),
        Code::DeadLeg { runs } => words(
            Note,
            "dead-leg",
            match runs.as_slice() {
                [run] => format!("Existing run {run} is a dead leg: it feeds nothing."),
                _ => format!("Existing runs are a dead leg and feed nothing: {}.", listed(runs)),
            },
            "Set Status to remove (a cap is counted where it leaves pipe that stays), or connect what it feeds.",
        ),
        Code::NewDeadLeg { runs, rows, dropped } => words(
            Note,
            "new-dead-leg",
            format!(
                "{} {} priced and {} nothing{}.",
                if runs.len() == 1 { format!("Run {} is", runs[0]) } else { format!("Runs {} are", listed(runs)) },
                if dropped.is_empty() { "" } else { "still" },
                if runs.len() == 1 { "feeds" } else { "feed" },
                if dropped.is_empty() { String::new() } else { format!("; {} is removed", listed(dropped)) },
            )
            .replace("  ", " "),
            format!(
                "Delete {} {} of Runs, so that no dead leg is left. For a stub-out for later, list what it is for in \
                 Fixtures with Status by others.",
                if rows.len() == 1 { "row" } else { "rows" },
                rows_in_ranges(rows)
            ),
        ),
        _ => return None,
    })
}
