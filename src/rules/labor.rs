//! Hours for one unit of a task.

use super::Rules;
use super::declare::rule;
use super::listing::page;
use crate::model::columns::PHASES;
use crate::model::fold;
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
