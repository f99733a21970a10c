//! What fittings lose, as feet of the pipe they join.

use crate::model::Size;
use crate::rules::Rules;
use crate::rules::{page, rule};
use rust_decimal::Decimal;
use std::sync::Arc;

/// Fitting systems. The first three join PEX; the job's Fittings setting chooses among them.
pub const FITTING_SYSTEMS: &[&str] =
    &["metal insert", "polymer insert", "expansion", "copper", "CPVC", "threaded", "PE"];

rule! {
    /// Equivalent feet of pipe of a coupling, an elbow, and a tee straight through and to its branch.
    FittingLengths "fitting_lengths" overridden by "Fitting lengths" {
        key system: Arc<str> = Word(FITTING_SYSTEMS);
        key size: Size = Size;
        /// A coupling.
        value coupling_ft ("coupling"): Decimal = Number to 1000;
        /// A 90 degree elbow.
        value elbow_ft ("elbow"): Decimal = Number to 1000;
        /// A tee, straight through.
        value tee_run_ft ("tee_run"): Decimal = Number to 1000;
        /// A tee, from the run into the branch.
        value tee_branch_ft ("tee_branch"): Decimal = Number to 1000;
        remark note: Arc<str> = Text;
    }
}

page! {
    FittingCells of FittingLengths {
        key: "Fittings" = |row| format!("{} {}", row.system, row.size.key());
        coupling: "Coupling" Feet = |row| row.coupling_ft;
        elbow: "Elbow" Feet = |row| row.elbow_ft;
        tee_run: "Tee, run" Feet = |row| row.tee_run_ft;
        tee_branch: "Tee, branch" Feet = |row| row.tee_branch_ft;
    }
}

impl Rules {
    /// Lengths of a system (see [`Rules::fitting_system`]) in one size.
    pub fn fitting_lengths(&self, system: &str, size: Size) -> Option<&FittingLengths> {
        self.all_fitting_lengths().iter().find(|f| f.size == size && *f.system == *system)
    }
}
