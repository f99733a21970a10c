//! Hours for one of a task: the user's own first, else the starting values, which are put on the Rules sheet.

use super::{Context, Work};
use crate::figure::written::UsersRow;
use crate::figure::{Book, ColumnId, TableId, Term, Value};
use crate::model::{Field, Phase, same_folded};
use crate::rules::LaborHours;
use crate::sheets::Page;
use crate::unit::Unit;
use rust_decimal::Decimal;
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
pub(super) struct Starters {
    table: TableId,
    columns: [ColumnId; 6],
    as_written: ColumnId,
    put: Vec<(String, Term)>,
}

impl Starters {
    pub fn put(book: &mut Book, context: &Context) -> Self {
        let table = book.table(context.page(Page::Rules), "Hours for one of each task, where Labor says nothing");
        let columns = [
            ("Task", Unit::None),
            ("Hours", Unit::SmallRatio),
            ("Unit", Unit::None),
            ("Includes", Unit::None),
            ("Source", Unit::None),
            ("Basis", Unit::None),
        ]
        .map(|(heading, unit)| book.column(table, heading, unit));
        let as_written = book.as_written_column(table);
        Self { table, columns, as_written, put: Vec::new() }
    }

    pub fn each(&mut self, book: &mut Book, context: &Context, work: &Work) -> Each {
        let own = context.job.labor.iter().find(|row| same_folded(&row.task.value, &work.task));
        let rule = context.rules.labor(&work.task);
        let own_phase = own.and_then(|row| Phase::parse(row.phase.as_ref()?));
        let phase = own_phase.or_else(|| rule.and_then(|rule| Phase::parse(&rule.phase)));
        let unit = own.and_then(|row| row.unit.get()).or_else(|| rule.map(|rule| rule.unit.clone()));
        let hours = match (own, rule) {
            (Some(own), _) if own.hours.value.is_some() => Some(own.hours.figure(book)),
            (_, Some(rule)) => Some(self.starter(book, rule)),
            _ => None,
        };
        Each {
            hours,
            unit: unit.map_or_else(|| "each".to_owned(), |unit| unit.to_string()),
            phase: phase.unwrap_or(Phase::RoughIn),
            own_phase,
            by: own.and_then(|row| Field::get(&row.by)),
        }
    }

    fn starter(&mut self, book: &mut Book, rule: &LaborHours) -> Term {
        if let Some((_, known)) = self.put.iter().find(|(task, _)| **task == *rule.task) {
            return known.clone();
        }
        let row = book.row(self.table);
        let basis = rule.origin.basis.word();
        let source = rule.origin.words();
        book.label(row, self.columns[0], &rule.task);
        let term = book.rule(row, self.columns[1], Value::Exact(rule.hours), &source);
        book.label(row, self.columns[2], &rule.unit);
        book.label(row, self.columns[3], &rule.includes);
        book.label(row, self.columns[4], &rule.origin.source);
        book.label(row, self.columns[5], basis);
        let users = UsersRow { sheet: "Labor", keys: &[("Task", &*rule.task), ("Unit", &*rule.unit)] };
        book.write_down(row, self.as_written, &users, &[(self.columns[1], "Hours", Decimal::ONE)]);
        self.put.push((rule.task.to_string(), term.clone()));
        term
    }
}
