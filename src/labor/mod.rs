//! Labor: hours by task and phase, and who does them.
//!
//! In: the job, the network, the sizes, the take-off as figures. Out: [`Labor`] and findings. Never: money.

mod calendar;
mod conditions;
pub(crate) mod findings;
mod piping;
mod starters;

pub(crate) use calendar::Calendar;

use crate::figure::{Book, CellKind, Column, Term};
use crate::finding::Finding;
use crate::labor::findings::NoHours;
use crate::model::{Phase, Setting, fold};
use crate::parts::{From, Quantity, When, Work, counted_from};
use crate::sheets::Page;
use crate::table::{List, columns};
use crate::takeoff::TakeOff;
use crate::unit::Unit;
use crate::view::View;
use conditions::Conditions;
use starters::{Each, Starters};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// What it takes from the stages before it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Inputs<'a> {
    /// Beside what follows from the parts themselves.
    pub work: &'a [Work],
    pub take_off: &'a TakeOff,
}

/// What every file of this stage works from.
pub(crate) type Context<'a> = View<'a, Inputs<'a>>;

/// What the stage hands on.
#[derive(Debug)]
pub struct Labor {
    /// Every task that has a row, as [`fold`] spells it, and who does it where Labor does not say.
    tasks: BTreeMap<String, Arc<str>>,
    sums: Hours,
    /// All hours.
    pub total: Term,
    pub calendar: Calendar,
}

/// The columns that hours are summed over.
#[derive(Debug)]
struct Hours {
    phase: Column,
    by: Column,
    hours: Column,
}

impl Hours {
    fn in_phase_by(&self, phase: Phase, by: &str) -> Term {
        Term::sum_where(&self.hours, &[(&self.phase, &Term::text(phase.word())), (&self.by, &Term::text(by))])
    }
}

impl Labor {
    /// Who does a task where Labor does not say; `None` of one that has no row.
    pub fn unless_said(&self, task: &str) -> Option<&Arc<str>> {
        self.tasks.get(&fold(task))
    }

    /// Hours of a phase, whoever does them.
    pub fn in_phase(&self, phase: Phase) -> Term {
        Term::sum_where(&self.sums.hours, &[(&self.sums.phase, &Term::text(phase.word()))])
    }

    /// Hours of a phase by `owner` or `hired`.
    pub fn in_phase_by(&self, phase: Phase, by: &str) -> Term {
        self.sums.in_phase_by(phase, by)
    }

    pub fn by(&self, by: &str) -> Term {
        Term::sum_where(&self.sums.hours, &[(&self.sums.by, &Term::text(by))])
    }
}

impl Work {
    fn phase(&self, each: &Each) -> Phase {
        match self.when {
            When::Place(phase) => phase,
            When::Unless(phase) => each.own_phase.unwrap_or(phase),
            When::Task => each.phase,
        }
    }

    /// Live, by the words of its phase and how it lies.
    fn term(&self, context: &Context, phase: &Term, location: &Term) -> Term {
        let counts = &context.take_off.counts;
        match &self.quantity {
            Quantity::Term(term) => term.clone(),
            Quantity::Item(key) => counts.needed_at(&Term::text(key.as_str()), phase, location),
            Quantity::Kind(kind) => counts.needed_of_kind(&Term::text(*kind), phase, location),
        }
    }
}

columns! {
    struct Columns on Hours("Hours by task") {
        task: "Task", words 30;
        phase: "Phase", words 13;
        location: "Location", words 18;
        by: "By", words 8;
        unit: "Unit", words 7;
        quantity: "Quantity", Quantity;
        each: "Hours for one", SmallRatio 11;
        factor: "Factor", Ratio 9;
        hours: "Hours", Hours;
        from: "Counted from", quiet words 40;
    }
}

/// A row of the table: what there is to do, how long one of it takes, and how much there is as the sizes now are.
struct Row<'a> {
    work: &'a Work,
    each: Each,
    idle: bool,
}

/// The whole stage.
pub(crate) fn labor(book: &mut Book, context: &Context, findings: &mut Vec<Finding>) -> Labor {
    let (mut rows, mut without_hours): (Vec<Row>, _) = (Vec::new(), BTreeSet::new());
    let mut hours = Starters::put(book, context);
    let of_piping = piping::work(context);
    for work in of_piping.iter().chain(context.work) {
        let each = hours.each(book, context, work);
        let location = Term::text(work.location());
        let quantity = work.term(context, &Term::text(work.phase(&each).word()), &location);
        let is_needed = quantity.value().as_f64() != 0.0;
        // What takes no hours of its own is no line to read.
        let idle = !is_needed || each.hours.as_ref().is_some_and(|hours| hours.value().as_f64() == 0.0);
        if each.hours.is_none() && is_needed && without_hours.insert(work.task.clone()) {
            findings.push(Finding::everywhere(NoHours { task: work.task.clone() }));
        }
        rows.push(Row { work, each, idle });
    }
    // What there is to do by phase; then what there would be at other sizes.
    rows.sort_by_key(|row| (row.idle, row.work.phase(&row.each)));
    let mut conditions = Conditions::put(book, context);
    let columns = Columns::on_page(book, context);
    for row in &rows {
        let factor = conditions.factor(book, context, row.work);
        put(book, &columns, context, row, factor);
    }
    book.words(context.page(Page::Hours), crate::figure::Look::Small, INCLUDES);
    book.words(context.page(Page::Hours), crate::figure::Look::Small, crate::parts::FOLDED);
    let hours = book.whole(columns.hours);
    let (phase, by) = (book.whole(columns.phase), book.whole(columns.by));
    let list = List::put(book, context.page(Page::Hours), "", [0.0; 2], Unit::Hours);
    let total = list.line_like(book, "All hours", Term::sum(&hours), CellKind::Total);
    book.name(&total, "All_hours");
    let sums = Hours { phase, by, hours };
    let calendar = Calendar::put(book, context, &sums);
    let doer = |row: &Row| who(context, row.work.phase(&row.each));
    let tasks = rows.iter().map(|row| (fold(&row.work.task), doer(row))).collect();
    Labor { tasks, sums, total, calendar }
}

fn put(book: &mut Book, columns: &Columns, context: &Context, row: &Row, factor: Term) {
    let Row { work, each, idle } = row;
    let row = book.row(columns.table);
    if *idle {
        book.mark(row, CellKind::Idle);
    }
    book.label(row, columns.task, &work.task);
    let phase = book.label(row, columns.phase, work.phase(each).word());
    let location = book.label(row, columns.location, &work.location());
    let by = each.by.clone().unwrap_or_else(|| who(context, work.phase(each)));
    book.label(row, columns.by, &by);
    book.label(row, columns.unit, &each.unit);
    let counted: Arc<str> = "counted from the job".into();
    let quantity = work.term(context, &phase, &location);
    let quantity = book.put_or_state(row, columns.quantity, quantity, &counted);
    book.unit(&quantity, if each.unit == "ft" { Unit::Feet } else { Unit::Each });
    if let Some(hours) = &each.hours {
        let hours = book.put(row, columns.each, hours.clone());
        let factor = book.put(row, columns.factor, factor);
        book.put(row, columns.hours, (&quantity * hours * factor).round(4));
    }
    match &work.from {
        From::Counted(names) => {
            let names: Vec<&str> = names.iter().map(|name| &**name).collect();
            book.put(row, columns.from, counted_from(&names, &quantity));
        }
        From::Words(words) => _ = book.label(row, columns.from, words),
    }
}

const INCLUDES: &str = "What one of each task includes stands beside its hours on the Rules sheet. Running pipe includes \
     boring and fastening: supports take hours of their own only where Labor gives them some.";

/// Of a phase that does not say who does its work.
const AS_THE_JOB: &str = "as the job";

/// Who does the tasks of a phase that do not say.
fn who(context: &Context, phase: Phase) -> Arc<str> {
    let of_phase = context.job.text(match phase {
        Phase::Underground => Setting::LaborByUnderground,
        Phase::RoughIn => Setting::LaborByRoughIn,
        Phase::Trim => Setting::LaborByTrim,
        Phase::Test => Setting::LaborByTest,
    });
    if &*of_phase == AS_THE_JOB { context.job.text(Setting::LaborBy) } else { of_phase }
}
