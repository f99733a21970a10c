//! What the checks and the sizing find of loads, devices and the supply.

use crate::finding::findings;

findings! {
    /// Code basis names another edition than the tables are of.
    OtherEdition { asked: String, tables: String } = Note "other-edition" {
        found: "Code basis is {asked}; the tables used are of {tables}.",
        remedy: "Compare the two where they differ, and put local rows on sheets named Units, Demand, Outlets or \
             Limits.",
    }

    /// The code gives a fixture no units.
    FixtureWithoutUnits { fixture: String, code: String, occupancy: String } = Stop "fixture-without-units" {
        found: "The {code} table for {occupancy} use has no fixture units for a {fixture}.",
        remedy: "Give its flow under Gpm, or its units on a sheet named Units.",
    }

    /// The code gives fixtures no units, and those of another table are used.
    UnitsLent {
        code: String,
        lender: String,
        fixtures: Vec<String>,
        too_few: bool,
    } = Fix if too_few else Note "units-lent" {
        found: ("The {code} table has no fixture units for: {}. The {lender} table is used.", fixtures.join(", ")),
        remedy: {
            match too_few {
                true => "Private use draws less: enter the flow under Gpm, or the units on a sheet named Units.",
                false => {
                    "OK unless local code has its own; if so, enter them on a sheet named Units, or the flow under Gpm."
                }
            }
        },
    }

    /// The code has no value for a group of fixtures.
    UnknownGroup { group: String, code: &'static str, known: Vec<String> } = Fix "unknown-group" {
        found: {
            match known.is_empty() {
                true => format!(
                    "The {code} table has no values for groups: the fixtures of \"{group}\" are counted singly."
                ),
                false => format!("The {code} has no value for a group \"{group}\"; its fixtures are counted singly."),
            }
        },
        remedy: {
            match known.is_empty() {
                true => "Leave Group blank under this code.".to_owned(),
                false => format!("Begin Group with one of: {}; a label may follow.", known.join(", ")),
            }
        },
    }

    /// A group of fixtures lacks one that belongs to it.
    GroupIncomplete { group: String, missing: Vec<String> } = Fix "group-incomplete" {
        found: ("Group \"{group}\" has no {}; its fixtures are counted singly.", missing.join(", no ")),
        remedy: "Give the missing fixture the same Group, or leave Group blank.",
    }

    /// A run serves more fixture units than the demand table goes to.
    LoadAboveTable { run: String, units: String } = Stop "load-above-table" {
        found: "Run {run} serves {units} fixture units; the demand table ends below that.",
        remedy: "Split the supply, or put rows for larger loads on a sheet named Demand.",
    }

    /// A device has no pressure loss, its own or the table's.
    DeviceWithoutLoss { device: String, kind: String } = Fix "device-without-loss" {
        found: "{device} ({kind}) has no Rated gpm and Loss psi, and the table has no row for it; it is counted as \
             losing nothing.",
        remedy: "Fill in both from the maker's sheet.",
    }

    /// A device has only one of Rated gpm and Loss psi.
    DeviceHalfRated {
        device: String,
        kind: String,
        /// True where Rated gpm is what is missing: the loss is counted at the run's own peak flow.
        without_flow: bool,
        psi: String,
        gpm: String,
    } = Fix "device-half-rated" {
        found: {
            match without_flow {
                true => format!(
                    "{device} has Loss psi and no Rated gpm; {psi} psi is counted at the peak flow of its run, {gpm} \
                     gpm."
                ),
                false => format!(
                    "{device} has Rated gpm and no Loss psi; a typical {kind} is counted, {psi} psi at {gpm} gpm."
                ),
            }
        },
        remedy: {
            match without_flow {
                true => "Enter in Rated gpm the flow at which the data sheet gives that loss.",
                false => "Enter in Loss psi what the data sheet gives at that flow.",
            }
        },
    }

    /// The loss of a device is taken from another size.
    LossOfOtherSize { device: String, kind: String, size: String, sized: bool } = Fix "loss-of-other-size" {
        found: {
            match sized {
                true => format!("The table has no {kind} of {device}'s size; the loss of a {size} in one is used."),
                false => format!("{device} has no Size; the loss of a {size} in {kind} is used."),
            }
        },
        remedy: {
            match sized {
                true => "Fill in Rated gpm and Loss psi from the maker's sheet.",
                false => "Fill in Size, or Rated gpm and Loss psi from the maker's sheet.",
            }
        },
    }

    /// A regulator has no Set psi.
    RegulatorWithoutSetting { device: String } = Fix "regulator-without-setting" {
        found: "PRV {device} has no Set psi; treated as wide open.",
        remedy: "Enter its setting.",
    }

    /// The job can draw more than its meter may carry.
    MeterOverSafeFlow { meter: String, size: String, gpm: f64, most: rust_decimal::Decimal, larger: Option<String>, source: String }
    = Fix "meter-over-safe-flow" {
        found: "Meter {meter} ({size}) carries {gpm:.1} gpm at peak; its safe maximum flow is {most} gpm.",
        remedy: {
            match larger {
                Some(larger) => format!("Ask the utility for a {larger} meter, or enter its own maximum on a sheet Meter flows."),
                None => "Ask the utility for a larger meter, or enter its own maximum on a sheet Meter flows.".to_owned(),
            }
        },
        source: { Some(source) },
    }

    /// The pressure can exceed what the code allows without a regulator.
    PressureTooHigh { psi: String, allowed: String } = Fix "pressure-too-high" {
        found: "Static pressure can reach {psi} psi; a PRV is required above {allowed} psi.",
        remedy: "Add a PRV at the start of the main, with thermal expansion control.",
        source: "IRC P2903.3.1; IPC 604.8 (from memory); UPC 608.2",
    }

    /// A well's pump gives less than the job can draw.
    PumpTooSmall { asked: String, pump: String } = Fix "pump-too-small" {
        found: "Peak demand is {asked} gpm; the pump delivers {pump} gpm.",
        remedy: "Use a larger pump or add storage. Pressure will drop below cut-in at peak.",
    }

    /// What a well's tank and pump are checked by is blank in Job.
    TankNotJudged { missing: Vec<String> } = Note "tank-not-judged" {
        found: (
            "The well's pressure tank and the pump's run time are not checked. Job lacks: {}.",
            missing.join(", "),
        ),
        remedy: "Fill them in. Supply pressure is the cut-in, Highest pressure the cut-out.",
    }

    /// A well's pump fills its tank in less time than it should run.
    PumpRunShort {
        /// Minutes.
        run: String,
        least: String,
        /// Gallons.
        draw_down: String,
        tank: String,
        /// Gpm.
        pump: String,
        /// `30/50`
        range: String,
        /// The tank that would do, gallons.
        smallest: String,
        /// Where the tank is charged far under the cut-in, the charge it should have, psi.
        charge_to: Option<String>,
    } = Fix "pump-run-short" {
        found: "The pump runs {run} min at each start; it should run {least} min. At {range} psi the {tank} gal tank \
             draws down {draw_down} gal, and the pump delivers {pump} gpm.",
        remedy: {
            match charge_to {
                Some(psi) => format!("Charge the tank to {psi} psi, with the pump off and the tank empty of water, and price again."),
                None => format!(
                    "Fit {smallest} gal of tank or more. OK if a constant-pressure drive runs the pump, or its maker \
                     allows shorter runs."
                ),
            }
        },
        source: "motor makers, by a well-drilling trade journal: 1 min, more for 1 hp and over. Sheet Limits, least \
             pump run, overrides it",
    }

    /// The charge of a well's tank is not given.
    PrechargeAssumed { precharge: String } = Note "precharge-assumed" {
        found: "Precharge is blank; {precharge} psi is assumed, just under the cut-in.",
        remedy: "Measure it with the pump off and the tank empty of water, and enter it in Job.",
    }

    /// A well's tank is charged above the pressure at which the pump starts.
    PrechargeOverCutIn { precharge: String, cut_in: String } = Fix "precharge-over-cut-in" {
        found: "The tank is charged to {precharge} psi, over the cut-in of {cut_in} psi: it runs empty before the pump \
             starts.",
        remedy: "Set the precharge 2 psi under the cut-in, with the tank empty of water.",
    }
}
