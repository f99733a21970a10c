//! What the checks find of rows that stand by themselves, and of what the job as a whole is.

use crate::finding::findings;
use crate::finding::phrases::{listed, rows_in_ranges};

findings! {
    /// A new run has no length.
    ZeroLength { run: String } = Fix "zero-length" {
        found: "The new run {run} is 0 ft long: it takes no pipe.",
        remedy: "Enter its developed length, risers included.",
    }

    /// A run of this job, not in the ground, is longer than a house has them.
    LongRun { run: String, length: String, most: u32, perhaps: Option<String> } = Fix "long-run" {
        found: {
            let perhaps = perhaps.map(|feet| format!(" Did you mean {feet}?")).unwrap_or_default();
            format!("Run {run} is {length} ft long; inside a building up to {most} ft is usual.{perhaps}")
        },
        remedy: "Correct Length ft. OK if it is that long.",
    }

    /// A run rises more than it is long.
    RiseOverLength { rise: String, length: String } = Stop "rise-over-length" {
        found: "The run rises {rise} ft, but is only {length} ft long.",
        remedy: "Length ft is the developed length, risers included: fix one of the two.",
    }

    /// An everyday name of pipe means one of two materials.
    MaterialReadAs {
        written: String,
        material: String,
        also: String,
        /// Main material says it.
        main: bool,
        /// Runs of it, one of which is in place already.
        runs: Vec<String>,
        /// Rows of Prices.
        rows: Vec<u64>,
        in_place: bool,
    } = Fix if in_place else Note "material-read-as" {
        found: {
            let places = [
                main.then(|| "Main material".to_owned()),
                (!runs.is_empty()).then(|| format!("Runs: {}", listed(&runs))),
                (!rows.is_empty()).then(|| format!("Rows of Prices: {}", rows_in_ranges(&rows))),
            ];
            let places: Vec<String> = places.into_iter().flatten().collect();
            format!("\"{written}\" is read as {material}; it may also mean {also}. {}.", places.join(". "))
        },
        remedy: "Write {material} if it is that. If it is {also}, write {also}.",
    }

    /// Pipe of lead or polybutylene is to carry water.
    HazardousPipe { run: String, material: &'static str } = Stop "hazardous-pipe" {
        found: {
            match material {
                "lead" => format!("Run {run} is of lead, and is to carry water that people drink."),
                _ => format!("Run {run} is {material}. Its fittings are known to fail; do not tie in to it."),
            }
        },
        remedy: "Ask the owner before going on. Give it the Status remove and enter the new pipe in its place, or end \
             the job where it begins.",
        source: {
            let source = match material {
                "lead" => "Safe Drinking Water Act, section 1417; 40 CFR 141.43 (from memory)",
                _ => "in no table of water pipe of the codes in use; common practice",
            };
            Some(source.to_owned())
        },
    }

    /// Supply pressure is above Highest pressure.
    SupplyOverHighest { supply: String, highest: String } = Fix "supply-over-highest" {
        found: "Supply pressure is {supply} psi, the lowest to design on; Highest pressure is only {highest} psi.",
        remedy: "Fix the one that is wrong.",
    }

    /// The supply is a well, whose equipment is in no quantity.
    WellNotCounted {} = Note "well-not-counted" {
        found: "The supply is a well. SUPPLY is the outlet of its pressure tank.",
        remedy: "Pump, drop pipe, tank, tank tee, pressure switch, gauge, check and relief valves are in no quantity: \
             enter them under Other costs, or leave them out by name in Terms. Supply pressure is the pump's cut-in.",
    }

    /// Drains are listed, and are in no quantity or price.
    DrainsNotPriced { rows: usize } = Note "drains-not-priced" {
        found: "Drain runs listed: {rows}. Drain, waste and vent pipe is in no quantity, hour or price of this bid.",
        remedy: "Enter it under Other costs, or leave it out by name in Terms. The bid says that it is not included.",
    }

    /// Code basis is IRC, which is for dwellings, and the occupancy is public.
    CodeForDwellingsOnly {} = Stop "code-for-dwellings-only" {
        found: "The code basis is IRC, which is for dwellings, and the occupancy is public.",
        remedy: "Set Code basis to IPC, or Occupancy to private where this is a dwelling.",
        source: "IRC R101.2, scope",
    }
}
