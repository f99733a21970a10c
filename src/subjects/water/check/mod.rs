//! What is wrong with the runs and what hangs on them.

mod coverage;
mod ends;
mod runs;
mod sizes;
mod sundries;
mod units;

use crate::view::Check;

/// In the order in which their findings are made.
pub(crate) const CHECKS: &[Check] = &[
    runs::runs,
    runs::hangers,
    sizes::in_table,
    coverage::fixtures,
    coverage::hot_and_cold,
    units::known,
    units::edition,
    ends::known,
    ends::of_pipe,
    sundries::known,
];
