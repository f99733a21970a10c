//! Hours for one unit of a task.

use super::Rules;
use super::origin::Origin;
use super::table::{Cells, Column, Kind, Role, Row, Spec};
use crate::model::columns::PHASES;
use crate::model::fold;
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

pub(super) const LABOR: Spec = Spec {
    name: "labor",
    file: "labor.csv",
    about: "hours of one person for one unit of a task, before conditions (labor_conditions); the job's Labor sheet goes before it",
    sheet: None,
    columns: &[
        Column::new("task", Kind::Text, Role::Key),
        Column::new("unit", Kind::Word(&["ft", "each"]), Role::Value),
        Column::new("hours", Kind::Number, Role::Value).to(dec!(1000)),
        Column::new("phase", Kind::Word(PHASES), Role::Value),
        Column::new("includes", Kind::Text, Role::Optional),
        Column::new("note", Kind::Text, Role::Remark),
    ],
};

/// Hours for one unit of a task.
#[derive(Debug, Clone, PartialEq)]
pub struct LaborHours {
    /// `run PEX 1/2`, `joint copper L 3/4`, `rough in lavatory`, `trim lavatory`, `set softener` ...
    pub task: Arc<str>,
    /// `ft` or `each`.
    pub unit: Arc<str>,
    pub hours: Decimal,
    /// One of [`PHASES`]; where a run lies may say otherwise.
    pub phase: Arc<str>,
    /// What the hours hold, and what they do not.
    pub includes: Arc<str>,
    pub note: Arc<str>,
    pub origin: Origin,
}

impl Row for LaborHours {
    fn read(cells: &Cells<'_>) -> Option<Self> {
        Some(Self {
            task: cells.text("task"),
            unit: cells.text("unit"),
            hours: cells.number("hours")?,
            phase: cells.text("phase"),
            includes: cells.text("includes"),
            note: cells.text("note"),
            origin: cells.origin(),
        })
    }
}

impl Rules {
    pub fn all_labor(&self) -> &[LaborHours] {
        &self.labor
    }

    /// The task of this name, whatever its case and spacing.
    pub fn labor(&self, task: &str) -> Option<&LaborHours> {
        self.labor.get(*self.labor_by_task.get(&fold(task))?)
    }
}
