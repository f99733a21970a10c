//! What fittings lose, as feet of the pipe they join.

use super::Rules;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use crate::model::Size;
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

/// Fitting systems. The first three join PEX; the job's Fittings setting chooses among them.
pub const FITTING_SYSTEMS: &[&str] =
    &["metal insert", "polymer insert", "expansion", "copper", "CPVC", "threaded", "PE"];

pub(super) const FITTING_LENGTHS: Spec = Spec {
    name: "fitting_lengths",
    file: "fitting_lengths.csv",
    about: "equivalent feet of pipe of a coupling, an elbow, and a tee straight through and to its branch",
    sheet: Some("Fitting lengths"),
    columns: &[
        Column::new("system", Kind::Word(FITTING_SYSTEMS), Role::Key),
        Column::new("size", Kind::Size, Role::Key),
        Column::new("coupling", Kind::Number, Role::Value).to(dec!(1000)),
        Column::new("elbow", Kind::Number, Role::Value).to(dec!(1000)),
        Column::new("tee_run", Kind::Number, Role::Value).to(dec!(1000)),
        Column::new("tee_branch", Kind::Number, Role::Value).to(dec!(1000)),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// Equivalent lengths of one size of fittings, ft of the pipe they join.
#[derive(Debug, Clone, PartialEq)]
pub struct FittingLengths {
    /// One of [`FITTING_SYSTEMS`].
    pub system: Arc<str>,
    pub size: Size,
    pub coupling_ft: Decimal,
    /// A 90 degree elbow.
    pub elbow_ft: Decimal,
    /// A tee, straight through.
    pub tee_run_ft: Decimal,
    /// A tee, from the run into the branch.
    pub tee_branch_ft: Decimal,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for FittingLengths {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            system: cells.text("system"),
            size: cells.size("size")?,
            coupling_ft: cells.number("coupling")?,
            elbow_ft: cells.number("elbow")?,
            tee_run_ft: cells.number("tee_run")?,
            tee_branch_ft: cells.number("tee_branch")?,
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    pub fn all_fitting_lengths(&self) -> &[FittingLengths] {
        &self.fitting_lengths
    }

    /// Lengths of a system (see [`Rules::fitting_system`]) in one size.
    pub fn fitting_lengths(&self, system: &str, size: Size) -> Option<&FittingLengths> {
        self.fitting_lengths.iter().find(|f| f.size == size && *f.system == *system)
    }
}
