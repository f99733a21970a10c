//! Hours for one of a task: the user's own first, else the starting values, which are put on the Rules sheet.

use super::{Context, Work};
use crate::figure::{Book, Term};
use crate::input::LaborTask;
use crate::model::{Field, Phase, same_folded};
use crate::rules::{HoursOf, LaborHours, Listing, UsersRow, hours_of};
use std::sync::Arc;

/// Hours for one unit of a task, when, and by whom.
pub(super) struct Each {
    pub hours: Option<Term>,
    pub unit: String,
    pub phase: Phase,
    /// The phase that Labor gives the task.
    pub own_phase: Option<Phase>,
    pub by: Option<Arc<str>>,
}

/// The table of starting values, filled as tasks are asked for.
pub(super) struct Starters(Listing<LaborHours>);

impl Starters {
    pub(crate) fn put(book: &mut Book, context: &Context) -> Self {
        Self(Listing::new(context, "Hours for one of each task, where Labor says nothing").open(book))
    }

    pub(crate) fn each(&mut self, book: &mut Book, context: &Context, work: &Work) -> Each {
        let own = context.job.labor.iter().find(|row| same_folded(&row.task.value, &work.task));
        let rule = context.rules.labor(&work.task);
        let own_phase = own.and_then(|row| Phase::from_name(row.phase.as_ref()?));
        let phase = own_phase.or_else(|| rule.and_then(|rule| Phase::from_name(&rule.phase)));
        let unit = own.and_then(|row| row.unit.get()).or_else(|| rule.map(|rule| rule.unit.clone()));
        let hours = hours_of(context.job, context.rules, &work.task).map(|hours| match hours {
            HoursOf::Own(own) => own.hours.figure(book),
            HoursOf::Table(rule) => self.starter(book, rule),
        });
        Each {
            hours,
            unit: unit.map_or_else(|| "each".to_owned(), |unit| unit.to_string()),
            phase: phase.unwrap_or(Phase::RoughIn),
            own_phase,
            by: own.and_then(|row| Field::get(&row.by)),
        }
    }

    fn starter(&mut self, book: &mut Book, rule: &LaborHours) -> Term {
        let keys = [("Task", &*rule.task), ("Unit", &*rule.unit)];
        self.0.row_of(book, rule, UsersRow { sheet: LaborTask::SHEET.name, keys: &keys }).hours
    }
}
