//! Labor: hours by task and phase, and who does them.
//!
//! In: the job, the network, the sizes, the take-off as figures. Out: [`Labor`] and findings. Never: money.

mod tasks;

use crate::figure::settings::Settings;
use crate::figure::{Book, CellKind, Column, ColumnId, RowId, SheetId, Term};
use crate::finding::{Code, Finding};
use crate::model::network::Network;
use crate::model::{Field, Job, LaborTask, Phase, Setting, fold};
use crate::rules::Rules;
use crate::size::Sizes;
use crate::takeoff::TakeOff;
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::sync::Arc;

/// What every file of this stage works from.
pub struct Context<'a> {
    pub job: &'a Job,
    pub rules: &'a Rules,
    pub network: &'a Network,
    pub settings: &'a Settings,
    pub sizes: &'a Sizes,
    pub take_off: &'a TakeOff,
    pub hours: SheetId,
    pub rule_sheet: SheetId,
}

/// What the stage hands on.
#[derive(Debug)]
pub struct Labor {
    phase: Column,
    by: Column,
    hours: Column,
    /// All hours.
    pub total: Term,
}

impl Labor {
    /// Hours of a phase, whoever does them.
    pub fn in_phase(&self, phase: Phase) -> Term {
        Term::sum_where(&self.hours, &[(&self.phase, &Term::text(phase.word()))])
    }

    /// Hours of a phase by `owner` or `hired`.
    pub fn in_phase_by(&self, phase: Phase, by: &str) -> Term {
        Term::sum_where(&self.hours, &[(&self.phase, &Term::text(phase.word())), (&self.by, &Term::text(by))])
    }

    pub fn by(&self, by: &str) -> Term {
        Term::sum_where(&self.hours, &[(&self.by, &Term::text(by))])
    }
}

/// So much of a task in a phase.
pub(crate) struct Work {
    pub task: String,
    pub quantity: Term,
    /// Where the pipe lies decides; `None` leaves it to the task.
    pub phase: Option<Phase>,
}

struct Columns {
    task: ColumnId,
    phase: ColumnId,
    by: ColumnId,
    unit: ColumnId,
    quantity: ColumnId,
    each: ColumnId,
    hours: ColumnId,
}

/// The whole stage.
pub fn labor(book: &mut Book, context: &Context) -> (Labor, Vec<Finding>) {
    let mut findings = Vec::new();
    let work = tasks::work(book, context);
    let each = hours_each(book, context, &work, &mut findings);
    let table = book.table(context.hours, "Hours by task");
    let columns = Columns {
        task: book.column_like(table, "Task", Unit::None, 34.0, CellKind::Plain),
        phase: book.column_like(table, "Phase", Unit::None, 13.0, CellKind::Plain),
        by: book.column_like(table, "By", Unit::None, 9.0, CellKind::Plain),
        unit: book.column_like(table, "Unit", Unit::None, 8.0, CellKind::Plain),
        quantity: book.column(table, "Quantity", Unit::Quantity),
        each: book.column_like(table, "Hours for one", Unit::SmallRatio, 11.0, CellKind::Plain),
        hours: book.column(table, "Hours", Unit::Hours),
    };
    let mut rows: Vec<(Work, Each)> = work.into_iter().zip(each).collect();
    // What there is to do by phase; then what there would be at other sizes.
    rows.sort_by_key(|(work, each)| (work.quantity.value().as_f64() == 0.0, work.phase.unwrap_or(each.phase)));
    for (work, each) in rows {
        let row = book.row(table);
        if work.quantity.value().as_f64() == 0.0 {
            book.mark(row, CellKind::Idle);
        }
        put(book, row, &columns, context, &work, &each);
    }
    book.words(context.hours, crate::figure::Look::Small, crate::takeoff::FOLDED);
    let hours = book.whole(columns.hours);
    let (phase, by) = (book.whole(columns.phase), book.whole(columns.by));
    let list = book.list(context.hours, "");
    let label = book.column_like(list, "", Unit::None, 0.0, CellKind::Plain);
    let value = book.column(list, "", Unit::Hours);
    let row = book.row(list);
    book.mark(row, CellKind::Total);
    book.label(row, label, "All hours");
    let total = book.put(row, value, Term::sum(&hours));
    book.name(&total, "All_hours");
    (Labor { phase, by, hours, total }, findings)
}

fn put(book: &mut Book, row: RowId, columns: &Columns, context: &Context, work: &Work, each: &Each) {
    book.label(row, columns.task, &work.task);
    book.label(row, columns.phase, work.phase.unwrap_or(each.phase).word());
    let by = each.by.clone().unwrap_or_else(|| context.job.text(Setting::LaborBy));
    book.label(row, columns.by, &by);
    book.label(row, columns.unit, &each.unit);
    let counted: Arc<str> = "counted from the job".into();
    let quantity = match work.quantity.expr() {
        crate::figure::Expr::Const(value) => book.rule(row, columns.quantity, value.clone(), &counted),
        _ => book.put(row, columns.quantity, work.quantity.clone()),
    };
    book.unit(&quantity, if each.unit == "ft" { Unit::Feet } else { Unit::Each });
    if let Some(hours) = &each.hours {
        let hours = book.put(row, columns.each, hours.clone());
        book.put(row, columns.hours, (quantity * hours).round(4));
    }
}

/// Hours for one unit of a task, when, and by whom.
struct Each {
    hours: Option<Term>,
    unit: String,
    phase: Phase,
    by: Option<Arc<str>>,
}

/// The user's own hours first, else the starting values, which are put on the Rules sheet.
fn hours_each(book: &mut Book, context: &Context, work: &[Work], findings: &mut Vec<Finding>) -> Vec<Each> {
    let table = book.table(context.rule_sheet, "Hours for one of each task, where Labor says nothing");
    let columns = [
        ("Task", Unit::None),
        ("Hours", Unit::SmallRatio),
        ("Unit", Unit::None),
        ("Source", Unit::None),
        ("Basis", Unit::None),
    ]
    .map(|(heading, unit)| book.column(table, heading, unit));
    let mut put: Vec<(String, Term)> = Vec::new();
    let mut all = Vec::with_capacity(work.len());
    for work in work {
        let own = context.job.labor.iter().find(|row| fold(&row.task.value) == fold(&work.task));
        let rule = context.rules.labor(&work.task);
        let phase_of = |own: &LaborTask| own.phase.as_ref().and_then(|text| Phase::parse(text));
        let phase = own.and_then(phase_of).or_else(|| rule.and_then(|r| Phase::parse(&r.phase)));
        let unit = own.and_then(|row| row.unit.get()).or_else(|| rule.map(|r| r.unit.clone()));
        let hours = match (own, rule) {
            (Some(own), _) if own.hours.value.is_some() => Some(book.number_input(&own.hours, Decimal::ZERO)),
            (_, Some(rule)) => Some(match put.iter().find(|(task, _)| *task == work.task) {
                Some((_, term)) => term.clone(),
                None => {
                    let row = book.row(table);
                    let basis = rule.origin.basis.word();
                    let source: Arc<str> = format!("{} ({basis})", rule.origin.source).into();
                    book.label(row, columns[0], &rule.task);
                    let term = book.rule(row, columns[1], crate::figure::Value::Exact(rule.hours), &source);
                    book.label(row, columns[2], &rule.unit);
                    book.label(row, columns[3], &rule.origin.source);
                    book.label(row, columns[4], basis);
                    put.push((work.task.clone(), term.clone()));
                    term
                }
            }),
            _ => {
                if work.quantity.value().as_f64() > 0.0 {
                    findings.push(Finding::everywhere(Code::NoHours { task: work.task.clone() }));
                }
                None
            }
        };
        all.push(Each {
            hours,
            unit: unit.map_or_else(|| "each".to_owned(), |unit| unit.to_string()),
            phase: phase.unwrap_or(Phase::RoughIn),
            by: own.and_then(|row| Field::get(&row.by)),
        });
    }
    all
}
