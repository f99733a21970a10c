//! The Schedule sheet: how long each phase takes at the hours there are, and when it is, by the week and, once Start date
//! is filled in, by the day. Nothing here reads the clock.

use super::{Context, Hours};
use crate::figure::{Book, CellKind, Look, Term};
use crate::model::{Phase, Setting};
use crate::sheets::Page;
use crate::table::{List, columns};
use crate::unit::Unit;

/// The phases as they follow each other on the calendar: pipe is tested before it is closed in.
const ORDER: [Phase; 4] = [Phase::Underground, Phase::RoughIn, Phase::Test, Phase::Trim];

const WORDS: &str = "Days are days of the calendar, seven to a week, with the work spread over them. In a phase the owner \
     and the hired hands work one after the other. Rough-in is tested before it is closed in, so the test comes before \
     the wait for the trim. Waits are those of Job; without a Start date there are weeks and no dates.";

/// When the phases are.
#[derive(Debug)]
pub struct Calendar {
    /// Underground, rough-in, test, trim.
    pub phases: Vec<PhaseDays>,
    /// Weeks from the first day to the last, waits included.
    pub weeks: Term,
    /// The last day; an empty text without a Start date.
    pub ends: Term,
}

/// One phase on the calendar.
#[derive(Debug)]
pub struct PhaseDays {
    pub phase: Phase,
    /// Dates, or words such as `week 3`; empty where there is nothing to do.
    pub begins: Term,
    pub ends: Term,
}

columns! {
    struct Columns on Schedule("The phases on the calendar") {
        phase: "Phase", words 24;
        owner: "Owner", Hours 10;
        hired: "Hired", Hours 10;
        weeks: "Weeks of work", Ratio 9;
        days: "Days", Days 7;
        wait: "Wait before", Days 8;
        from: "From day", words 8;
        through: "Through day", words 9;
        from_week: "From week", words 8;
        through_week: "Through week", words 9;
        begins: "Begins", Date 12;
        ends: "Ends", Date 12;
        check: "Check", check 16;
    }
}

impl Calendar {
    pub(super) fn put(book: &mut Book, context: &Context, sums: &Hours) -> Self {
        let sheet = context.page(Page::Schedule);
        book.words(sheet, Look::Title, Page::Schedule.name());
        book.words(sheet, Look::Words, WORDS);
        let week = Week::put(book, context);
        let phases_table = PhaseTable { context, sums, columns: Columns::on_page(book, context), week };
        let mut before = Term::number(0);
        let mut phases = Vec::new();
        for phase in ORDER {
            let days;
            (days, before) = phases_table.put(book, phase, &before);
            phases.push(days);
        }
        let columns = phases_table.columns;
        let row = book.row(columns.table);
        book.mark(row, CellKind::Total);
        book.label(row, columns.phase, "From first to last");
        let rows = ORDER.len() as u32;
        for column in [columns.owner, columns.hired, columns.weeks, columns.days] {
            let sum = Term::sum(&book.stretch(column, 0, rows - 1));
            book.put(row, column, sum);
        }
        let last = book.put(row, columns.through, before);
        let date = context.settings.get(Setting::StartDate);
        let dated = date.is_number().and(&last.above(&Term::number(0)));
        let ends = dated.pick(&(&date + &last - Term::number(1)), &Term::text(""));
        let ends = book.put(row, columns.ends, ends);
        let list = List::put(book, sheet, "", [24.0, 10.0], Unit::Ratio);
        let weeks = list.line(book, "Weeks, waits included", (last / Term::number(7)).round(1));
        book.name(&weeks, "Schedule_weeks");
        Self { phases, weeks, ends }
    }
}

/// The table of phases.
struct PhaseTable<'a> {
    context: &'a Context<'a>,
    sums: &'a Hours,
    columns: Columns,
    week: Week,
}

impl PhaseTable<'_> {
    /// A phase that begins when so many days are over; gives when they are over with it.
    fn put(&self, book: &mut Book, phase: Phase, before: &Term) -> (PhaseDays, Term) {
        let nothing = Term::text("");
        let row = book.row(self.columns.table);
        book.label(row, self.columns.phase, phase.title());
        let owner = book.put(row, self.columns.owner, self.sums.in_phase_by(phase, "owner"));
        let hired = book.put(row, self.columns.hired, self.sums.in_phase_by(phase, "hired"));
        let weeks = Week::of(&owner, &self.week.owner) + Week::of(&hired, &self.week.hired);
        let weeks = book.put(row, self.columns.weeks, weeks.round(4));
        let days = book.put(row, self.columns.days, (&weeks * Term::number(7)).whole_up());
        let any = days.above(&Term::number(0));
        let wait = match phase {
            Phase::RoughIn => Some(Setting::WaitBeforeRoughIn),
            Phase::Trim => Some(Setting::WaitBeforeTrim),
            Phase::Underground | Phase::Test => None,
        };
        // Nobody waits for a phase that has no work, or after none.
        let start = match wait {
            Some(setting) => {
                let waited = any.and(&before.above(&Term::number(0)));
                let days = waited.pick(&self.context.settings.get(setting), &Term::number(0)).whole_up();
                let days = book.put(row, self.columns.wait, days);
                before + &days
            }
            None => before.clone(),
        };
        let from = book.put(row, self.columns.from, any.pick(&(&start + Term::number(1)), &nothing));
        let through = book.put(row, self.columns.through, &start + &days);
        let week_of = |day: &Term| ((day - Term::number(1)) / Term::number(7)).whole_down() + Term::number(1);
        let from_week = book.put(row, self.columns.from_week, any.pick(&week_of(&from), &nothing));
        let through_week = book.put(row, self.columns.through_week, any.pick(&week_of(&through), &nothing));
        let date = self.context.settings.get(Setting::StartDate);
        let dated = date.is_number().and(&any);
        let on = |day: &Term| dated.pick(&(&date + day - Term::number(1)), &nothing);
        let begins = book.put(row, self.columns.begins, on(&from));
        let ends = book.put(row, self.columns.ends, on(&through));
        let lacking = Week::lacking(&owner, &self.week.owner).or(&Week::lacking(&hired, &self.week.hired));
        book.put(row, self.columns.check, lacking.flag("no hours a week"));
        let when = |date: &Term, week: &Term| {
            let words = Term::join(&[&Term::text("week "), week]);
            date.is_number().pick(date, &any.pick(&words, &nothing))
        };
        (PhaseDays { phase, begins: when(&begins, &from_week), ends: when(&ends, &through_week) }, through)
    }
}

/// Hours there are in a week.
struct Week {
    owner: Term,
    hired: Term,
}

impl Week {
    fn put(book: &mut Book, context: &Context) -> Self {
        let list = List::put(book, context.page(Page::Schedule), "Hours a week", [24.0, 10.0], Unit::Hours);
        let setting = |setting| context.settings.get(setting);
        let mut line = |words: &str, term: Term, unit| list.line_in(book, words, term, unit);
        let owner = line("The owner", setting(Setting::OwnerHoursPerWeek), Unit::Hours);
        let hand = line("One hired hand", setting(Setting::HiredHoursPerWeek), Unit::Hours);
        let crew = line("Hired hands at once", setting(Setting::Crew), Unit::Each);
        let hired = line("All of them", hand * crew, Unit::Hours);
        Self { owner, hired }
    }

    /// Weeks that hours take; none where there are no hours in a week, which the check tells.
    fn of(hours: &Term, a_week: &Term) -> Term {
        let zero = Term::number(0);
        a_week.above(&zero).pick(&(hours / a_week), &zero)
    }

    /// Hours to do, and none in a week to do them in.
    fn lacking(hours: &Term, a_week: &Term) -> Term {
        let zero = Term::number(0);
        hours.above(&zero).and(&a_week.above(&zero).negate())
    }
}
