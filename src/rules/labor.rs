//! Hours for one unit of a task.

use super::Rules;
use super::declare::rule;
use super::listing::page;
use crate::input::LaborTask;
use crate::model::columns::PHASES;
use crate::model::{Job, fold, same_folded};
use rust_decimal::Decimal;
use std::sync::Arc;

rule! {
    /// Hours of one person for one unit of a task, before conditions (labor_conditions); the job's Labor sheet goes before
    /// it.
    LaborHours "labor" {
        /// `run PEX 1/2`, `joint copper L 3/4`, `rough in lavatory`, `trim lavatory`, `set softener` ...
        key task: Arc<str> = Text;
        /// What the hours are for: a foot or a piece.
        value unit: Arc<str> = Word(&["ft", "each"]);
        /// Of one person.
        value hours: Decimal = Number to 1000;
        /// Where a run lies may say otherwise.
        value phase: Arc<str> = Word(PHASES);
        /// What the hours hold, and what they do not.
        optional includes: Arc<str> = Text;
        remark note: Arc<str> = Text;
    }
}

// By the headings of the Labor sheet, which goes before the table.
page! {
    LaborCells of LaborHours {
        task: "Task";
        hours ("Hours"): "Hours" SmallRatio;
        unit: "Unit";
        includes: "Includes";
    }
}

impl Rules {
    /// The task of this name, whatever its case and spacing.
    pub fn labor(&self, task: &str) -> Option<&LaborHours> {
        self.all_labor().get(*self.labor_by_task.get(&fold(task))?)
    }
}

/// Whose hours a task takes.
#[derive(Debug, Clone, Copy)]
pub enum HoursOf<'a> {
    /// The job's Labor sheet.
    Own(&'a LaborTask),
    /// The rule table.
    Table(&'a LaborHours),
}

impl HoursOf<'_> {
    /// Hours of one unit.
    pub fn value(self) -> Decimal {
        match self {
            Self::Own(row) => row.hours.value.unwrap_or_default(),
            Self::Table(row) => row.hours,
        }
    }
}

/// The hours of a task: the job's own where Labor has some, else the table's; `None` where nobody knows.
pub fn hours_of<'a>(job: &'a Job, rules: &'a Rules, task: &str) -> Option<HoursOf<'a>> {
    let own = job.labor.iter().find(|row| same_folded(&row.task.value, task));
    let own = own.filter(|own| own.hours.value.is_some()).map(HoursOf::Own);
    own.or_else(|| rules.labor(task).map(HoursOf::Table))
}
