//! The words for what the sizing finds: fixtures' units, devices, pressure, velocity.

use super::{Words, sourced, words};
use crate::finding::Code;
use crate::finding::Severity::{Mend, Note, Stop};
use crate::finding::sizes::{FastRun, HEIGHT, LargerRun, ShortOutlet, SingleChange};
use rust_decimal::Decimal;

/// `None` for a finding of another subject.
pub(super) fn of(code: &Code) -> Option<Words> {
    Some(match code {
        Code::CodeForDwellingsOnly => sourced(
            words(
                Stop,
                "code-for-dwellings-only",
                "The code basis is IRC, which is for dwellings, and the occupancy is public.".to_owned(),
                "Set Code basis to IPC, or Occupancy to private where this is a dwelling.",
            ),
            "IRC R101.2, scope",
        ),
        Code::FixtureWithoutUnits { fixture, code, occupancy } => words(
            Stop,
            "fixture-without-units",
            format!("The {code} table for {occupancy} use has no fixture units for a {fixture}."),
            "Give its flow under Gpm, or its units on a sheet named Units.",
        ),
        Code::UnitsLent { code, lender, fixtures, too_few } => words(
            if *too_few { Mend } else { Note },
            "units-lent",
            format!("The {code} table has no fixture units for: {}. The {lender} table is used.", fixtures.join(", ")),
            match too_few {
                true => "Private use draws less: enter the flow under Gpm, or the units on a sheet named Units.",
                false => {
                    "OK unless local code has its own; if so, enter them on a sheet named Units, or the flow under Gpm."
                }
            },
        ),
        Code::DeviceHalfRated { device, kind, without_flow, psi, gpm } => words(
            Mend,
            "device-half-rated",
            match without_flow {
                true => format!(
                    "{device} has Loss psi and no Rated gpm; {psi} psi is counted at the peak flow of its run, {gpm} gpm."
                ),
                false => format!(
                    "{device} has Rated gpm and no Loss psi; a typical {kind} is counted, {psi} psi at {gpm} gpm."
                ),
            },
            match without_flow {
                true => "Enter in Rated gpm the flow at which the data sheet gives that loss.",
                false => "Enter in Loss psi what the data sheet gives at that flow.",
            },
        ),
        Code::PressureLost { run, by_psi, supply, takes, more } => words(
            Mend,
            "pressure-lost",
            format!(
                "Run {run} ends {by_psi} psi short of what is needed there. Of {supply} psi at the supply, {}.",
                taken(takes, more.as_deref())
            ),
            // Nobody lowers a house: of what can be changed the largest.
            match takes.iter().find(|(what, _)| what != HEIGHT) {
                Some((largest, _)) => format!("Start with {largest}. It takes the most of what can be changed."),
                None => "Raise the pressure at the supply.".to_owned(),
            },
        ),
        Code::UnknownGroup { group, code, known } => words(
            Mend,
            "unknown-group",
            match known.is_empty() {
                true => format!(
                    "The {code} table has no values for groups: the fixtures of \"{group}\" are counted singly."
                ),
                false => format!("The {code} has no value for a group \"{group}\"; its fixtures are counted singly."),
            },
            match known.is_empty() {
                true => "Leave Group blank under this code.".to_owned(),
                false => format!("Begin Group with one of: {}; a label may follow.", known.join(", ")),
            },
        ),
        Code::GroupIncomplete { group, missing } => words(
            Mend,
            "group-incomplete",
            format!("Group \"{group}\" has no {}; its fixtures are counted singly.", missing.join(", no ")),
            "Give the missing fixture the same Group, or leave Group blank.",
        ),
        Code::LoadAboveTable { run, units } => words(
            Stop,
            "load-above-table",
            format!("Run {run} serves {units} fixture units; the demand table ends below that."),
            "Split the supply, or put rows for larger loads on a sheet named Demand.",
        ),
        Code::DeviceWithoutLoss { device, kind } => words(
            Mend,
            "device-without-loss",
            format!(
                "{device} ({kind}) has no Rated gpm and Loss psi, and the table has no row for it; it is counted as losing nothing."
            ),
            "Fill in both from the maker's sheet.",
        ),
        Code::LossOfOtherSize { device, kind, size, sized } => words(
            Mend,
            "loss-of-other-size",
            match sized {
                true => format!("The table has no {kind} of {device}'s size; the loss of a {size} in one is used."),
                false => format!("{device} has no Size; the loss of a {size} in {kind} is used."),
            },
            match sized {
                true => "Fill in Rated gpm and Loss psi from the maker's sheet.",
                false => "Fill in Size, or Rated gpm and Loss psi from the maker's sheet.",
            },
        ),
        Code::RegulatorWithoutSetting { device } => words(
            Mend,
            "regulator-without-setting",
            format!("Regulator {device} has no Set psi; it is counted as wide open."),
            "Fill in the pressure it is set to.",
        ),
        Code::ExistingSizeAssumed { run, size } => words(
            Mend,
            "existing-size-assumed",
            format!(
                "Run {run} is in already and has no Size; {size} is taken: what the bid has for it, else what new pipe would get."
            ),
            "Measure it and fill in Size: a smaller old pipe would leave less pressure than shown. To let go of it, make its \
             Status new.",
        ),
        Code::SizeUnderCode { run, size, least, source } => Words {
            source: source.clone(),
            ..words(
                Mend,
                "size-under-code",
                format!("Run {run} is {size}; the least that the code allows there is {least}."),
                "Use that size or a larger one, or put the local limit on a sheet named Limits.",
            )
        },
        Code::SizeNotInTable { run, size, material } => words(
            Stop,
            "size-not-in-table",
            match size.as_str() {
                "" => format!(
                    "No size can be chosen for run {run}: Prices offers no {material} pipe large enough for it."
                ),
                _ => format!("Run {run} is {size} {material}; the pipe table has no such pipe."),
            },
            match size.as_str() {
                "" => "Add the pipe to Prices, or fill in Size.",
                _ => "Write a size that the material comes in, or add it on a sheet named Pipe.",
            },
        ),
        Code::NoSizesWill { short, at_best, by_psi, supply_psi, cheapest, others } => words(
            Mend,
            "no-sizes-will",
            short_whatever(short, *at_best, by_psi, supply_psi.as_deref()),
            mending(cheapest.as_deref(), others, supply_psi.is_some()),
        ),
        Code::ShortOfPressure { runs, to_spare, sizes_will } => short(runs, to_spare.as_deref(), *sizes_will),
        Code::TooFast { runs } => fast(runs),
        Code::LittleToSpare { run, psi } => words(
            Note,
            "little-to-spare",
            format!("Only {psi} psi is left over what is needed at the end of run {run}."),
            "Measure the supply at peak hours before you rely on it. For a margin at every fixture, set Pressure to spare \
             in Job.",
        ),
        Code::MainSizeWithoutSay { size, runs } => words(
            Note,
            "main-size-without-say",
            format!("Main size {size} has no say over pipe that lies there already, of another size: {runs}."),
            "Right where it stays. To replace it, make its Status new and give the old pipe a row of its own with Status remove.",
        ),
        Code::MainSizeNotUsed { size, runs } => words(
            Note,
            "main-size-not-used",
            format!("Main size {size} changes nothing: each run of the main has a Size of its own in Runs ({runs})."),
            "Clear the Size of those runs for Main size to hold, or clear Main size.",
        ),
        Code::LargerThanFeeder { runs, chosen } => words(
            Note,
            "larger-than-feeder",
            larger(runs, *chosen),
            match chosen {
                true => {
                    "Right where that size stays: larger pipe behind it loses less. A larger size there may let these be smaller."
                }
                false => "Right where it is meant so; else see which of the sizes is a slip.",
            },
        ),
        Code::PressureTooHigh { psi, allowed } => sourced(
            words(
                Mend,
                "pressure-too-high",
                format!(
                    "The pressure can reach {psi} psi; over {allowed} psi a regulator is needed, and there is none."
                ),
                "Add a regulator to Devices, at the start of the main, and see to thermal expansion behind it.",
            ),
            "IRC P2903.3.1; UPC 608.2",
        ),
        Code::TankNotJudged { missing } => words(
            Note,
            "tank-not-judged",
            format!(
                "The well's pressure tank and the pump's run time are not checked. Blank in Job: {}.",
                missing.join(", ")
            ),
            "Fill them in. Supply pressure is the cut-in, Highest pressure the cut-out.",
        ),
        Code::PumpRunShort { of } => sourced(
            words(
                Mend,
                "pump-run-short",
                format!(
                    "The pump runs {} min at each start; it should run {} min. At {} psi the {} gal tank draws down {} gal, and the pump delivers {} gpm.",
                    of.run, of.least, of.range, of.tank, of.draw_down, of.pump
                ),
                format!(
                    "Fit {} gal of tank or more. OK if a constant-pressure drive runs the pump, or its maker allows shorter runs.",
                    of.smallest
                ),
            ),
            "motor makers, by a well-drilling trade journal: 1 min, more for 1 hp and over. Sheet Limits, least pump run, overrides it",
        ),
        Code::PrechargeAssumed { precharge } => words(
            Note,
            "precharge-assumed",
            format!("Precharge is blank; {precharge} psi is assumed, just under the cut-in."),
            "Measure it with the pump off and the tank empty of water, and enter it in Job.",
        ),
        Code::PrechargeOverCutIn { precharge, cut_in } => words(
            Mend,
            "precharge-over-cut-in",
            format!(
                "The tank is charged to {precharge} psi, over the cut-in of {cut_in} psi: it runs empty before the pump starts."
            ),
            "Set the precharge 2 psi under the cut-in, with the tank empty of water.",
        ),
        Code::PumpTooSmall { asked, pump } => words(
            Mend,
            "pump-too-small",
            format!("The job can draw {asked} gpm; the pump gives {pump} gpm."),
            "Fit a larger pump or add storage; otherwise the pressure falls below cut-in at peak.",
        ),
        _ => return None,
    })
}

/// `SF1 (softener) takes 15.0, height 6.1, run M1 (3/4) 5.2 and 4 more 1.9`
fn taken(takes: &[(String, String)], more: Option<&(usize, String)>) -> String {
    let verb = |at: usize| if at == 0 { " takes" } else { "" };
    let each = takes.iter().enumerate().map(|(at, (what, psi))| format!("{what}{} {psi}", verb(at)));
    let each = each.collect::<Vec<_>>().join(", ");
    match (each.is_empty(), more) {
        (true, _) => "nothing is lost on the way".to_owned(),
        (false, Some((count, psi))) => format!("{each} and {count} more {psi}"),
        (false, None) => each,
    }
}

/// Runs told in one finding.
const RUNS_TOLD: usize = 6;

/// The first few, and how many more.
fn told(each: impl ExactSizeIterator<Item = String>) -> String {
    let more = match each.len().saturating_sub(RUNS_TOLD) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("{}{more}", each.take(RUNS_TOLD).collect::<Vec<_>>().join(", "))
}

fn short_whatever(short: &[(String, String)], at_best: bool, by_psi: &str, supply_psi: Option<&str>) -> String {
    let runs = told(short.iter().map(|(run, psi)| format!("{run} by {psi} psi")));
    let supply = supply_psi.map_or(String::new(), |more| {
        format!(" With {more} psi (rounded up) more at the supply every outlet would have its pressure.")
    });
    let when = if at_best { "With the least loss all the way" } else { "In the sizes chosen" };
    format!(
        "No pipe sizes give every outlet its pressure. {when} these runs are short: {runs}. The sizes chosen keep the \
         worst shortage to {by_psi} psi.{supply}"
    )
}

/// One outlet in a sentence, more in a table.
fn short(runs: &[ShortOutlet], to_spare: Option<&str>, sizes_will: bool) -> Words {
    let spare = to_spare.map_or(String::new(), |psi| format!(" with {psi} psi to spare"));
    let found = match runs {
        [one] => format!(
            "Run {} ends at {} psi. Needed there: {} psi{spare}. It is short by {} psi.",
            one.run, one.left, one.need, one.by
        ),
        _ if spare.is_empty() => format!("{} outlets are short of pressure.", runs.len()),
        _ => format!("{} outlets are short of the pressure needed there{spare}.", runs.len()),
    };
    let fix = match sizes_will {
        true => "Use larger pipe on the way, a device that loses less, or more pressure at the supply.",
        false => "Larger pipe alone does not mend it; see no-sizes-will. These figures are for the sizes in the bid.",
    };
    let row = |of: &ShortOutlet| {
        let Some(psi) = (runs.len() > 1).then_some([&of.left, &of.need, &of.by]) else { return Vec::new() };
        let [left, need, by] = psi;
        vec![
            format!("run {}", of.run),
            format!("{left} psi left"),
            format!("{need} psi needed"),
            format!("short by {by} psi"),
        ]
    };
    let table = runs.iter().map(row).filter(|row| !row.is_empty()).collect();
    Words { table, ..words(Mend, "short-of-pressure", found, fix) }
}

/// One run in a sentence, more in a table.
fn fast(runs: &[FastRun]) -> Words {
    let found = match runs {
        [one] => format!(
            "Water runs at {} ft/s in run {} ({}); the limit is {} ft/s.",
            one.velocity, one.run, one.size, one.limit
        ),
        _ => format!("Water runs too fast in {} runs.", runs.len()),
    };
    let mut wanting: Vec<&str> = runs.iter().filter_map(|run| run.wanting.as_deref()).collect();
    wanting.sort_unstable();
    wanting.dedup();
    let larger = if runs.iter().any(|run| run.wanting.is_none()) { "Use a larger size, or raise" } else { "Or raise" };
    let fix = match wanting.is_empty() {
        true => "Use a larger size, or raise the velocity limit in Job.".to_owned(),
        false => format!(
            "Add {} to Prices, which has none so large. {larger} the velocity limit in Job.",
            wanting.join(", ")
        ),
    };
    let row = |of: &FastRun| {
        vec![
            format!("run {}", of.run),
            of.size.clone(),
            format!("{} ft/s", of.velocity),
            format!("limit {} ft/s", of.limit),
        ]
    };
    let table = if runs.len() > 1 { runs.iter().map(row).collect() } else { Vec::new() };
    Words { table, ..words(Mend, "too-fast", found, fix) }
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
            format!("{head}: {}.", told(each))
        }
    }
}

fn mending(cheapest: Option<&(SingleChange, Option<Decimal>)>, others: &[SingleChange], by_supply: bool) -> String {
    let others: Vec<String> = others.iter().map(change).collect();
    match (cheapest, others.as_slice()) {
        (None, []) if by_supply => {
            "No one size or device mends it: raise the pressure at the supply, shorten the way, or change \
                                    several of these together."
                .to_owned()
        }
        (None, []) => {
            "No single change mends it: more pressure alone, one other size or one other device is not enough. \
                       Shorten the way, or change several of these together."
                .to_owned()
        }
        (None, _) => {
            format!("A single change that mends it, at a price this job does not know: {}.", others.join("; or "))
        }
        (Some((mend, more)), _) => {
            let mend = change(mend);
            let first = match more {
                Some(more) => format!(
                    "The cheapest single change that mends it: {mend}, about ${:.2} {} in material and labor than the sizes as \
                     bid, before markups.",
                    more.abs(),
                    if more.is_sign_negative() { "less" } else { "more" }
                ),
                None => {
                    format!("A single change that mends it: {mend}. Its cost is not known, since prices are missing.")
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
