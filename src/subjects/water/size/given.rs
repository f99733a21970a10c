//! What the earlier steps of sizing found, for those that put it into the book.

use super::devices::InLine;
use super::fitting_loss::Entry;
use super::forms::Forms;
use super::installation::Lay;
use super::load::Loads;
use super::outlets::Outlet;
use super::picked::Picked;
use super::structure::Structure;
use super::water::WaterFigures;
use super::water_carried::Water;
use crate::figure::Term;
use std::sync::Arc;

/// What the earlier steps of the stage found.
pub(crate) struct Given {
    pub materials: Vec<Arc<str>>,
    pub waters: Vec<Water>,
    pub outlets: Vec<Outlet>,
    pub loads: Loads,
    pub devices: Vec<InLine>,
    pub entries: Vec<Entry>,
    pub lay: Lay,
    pub structure: Structure,
    pub forms: Forms,
    pub water: WaterFigures,
    /// Highest velocity allowed, by position.
    pub velocity_limit: Vec<Term>,
    pub picked: Vec<Picked>,
    /// False where no sizes keep every pressure.
    pub sizes_will: bool,
}
