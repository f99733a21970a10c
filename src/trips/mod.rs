//! Trips: driving to the job by phase and to the supply house by order, the hours that are paid for it and the miles.
//!
//! In: the job, the take-off and the labor as figures. Out: costs. Never: hours of the work itself, nor the calendar.

use crate::figure::{Book, Look, Term};
use crate::labor::Labor;
use crate::model::{Phase, Setting};
use crate::parts::Cost;
use crate::sheets::Page;
use crate::table::{List, columns};
use crate::takeoff::TakeOff;
use crate::unit::Unit;
use crate::view::View;

/// What it takes from the stages before it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Inputs<'a> {
    pub take_off: &'a TakeOff,
    pub labor: &'a Labor,
}

type Context<'a> = View<'a, Inputs<'a>>;

const WORDS: &str = "To the job: a trip for each day of hired work in the phase. To the supply house: one run for the order of each phase that needs material, the test's with the rough-in's. A number typed in Job under Trips or Supply runs goes before what is reckoned; 0 turns the \
     line off. The owner's own time on the road is not paid, and not counted.";

/// Days of a week of hired work. Common practice.
const DAYS_A_WEEK: u32 = 5;

/// What Job says of the trips of each phase.
const TYPED: [Setting; 4] = [Setting::TripsUnderground, Setting::TripsRoughIn, Setting::TripsTrim, Setting::TripsTest];

columns! {
    struct Columns on Trips("Trips and what they cost") {
        what: "Where to, for what", words 34;
        hired: "Hired work", Hours 10;
        reckoned: "Reckoned", Each 10;
        counted: "Counted", Each 10;
        hours: "Paid hours of one", Hours 12;
        miles: "Miles of one", Ratio 10;
        each: "Dollars of one", Money;
        amount: "Dollars", Money;
    }
}

/// What all trips have in common.
struct Rates {
    /// Hours of a day of the whole crew.
    day: Term,
    crew: Term,
    /// The hired wage an hour, burden included.
    wage: Term,
    mile: Term,
}

/// There and back.
struct Way {
    hours: Term,
    miles: Term,
}

/// Puts the trips that Job has a way for, and gives them as costs.
pub(crate) fn trips(book: &mut Book, context: &Context) -> Vec<Cost> {
    let has = |settings: [Setting; 2]| settings.iter().any(|setting| !context.settings.is_blank(*setting));
    let (job, supply) = ([Setting::DriveHours, Setting::DriveMiles], [Setting::SupplyHours, Setting::SupplyMiles]);
    let mut costs = Vec::new();
    if !has(job) && !has(supply) {
        return costs;
    }
    let sheet = context.page(Page::Trips);
    book.words(sheet, Look::Title, Page::Trips.name());
    book.words(sheet, Look::Words, WORDS);
    let rates = Rates::put(book, context);
    let table = Table { rates, columns: Columns::on_page(book, context) };
    if has(job) {
        let way = Way::of(context, job);
        for (phase, typed) in Phase::ALL.into_iter().zip(TYPED) {
            costs.push(to_the_job(book, context, &table, &way, (phase, typed)));
        }
    }
    if has(supply) {
        costs.push(to_the_supply_house(book, context, &table, &Way::of(context, supply)));
    }
    let all = Term::sum(&book.whole(table.columns.amount));
    let list = List::put(book, sheet, "", [34.0, 10.0], Unit::Money);
    list.line_like(book, "All trips", all, crate::figure::CellKind::Total);
    costs
}

/// The trips, and what they are made of.
struct Table {
    columns: Columns,
    rates: Rates,
}

impl Rates {
    fn put(book: &mut Book, context: &Context) -> Self {
        let list = List::put(book, context.page(Page::Trips), "What a trip is made of", [34.0, 10.0], Unit::Hours);
        let setting = |setting| context.settings.get(setting);
        let mut line = |words: &str, term: Term, unit| list.line_in(book, words, term, unit);
        let crew = line("Hired hands at once", setting(Setting::Crew).max(&Term::number(1)), Unit::Each);
        let week = setting(Setting::HiredHoursPerWeek) / Term::number(DAYS_A_WEEK);
        let day = line("Hours of their day, five to a week", week * &crew, Unit::Hours);
        let wage = setting(Setting::LaborRate) * (Term::number(1) + setting(Setting::LaborBurden));
        let wage = line("Hired wage an hour, burden included", wage, Unit::Money);
        let mile = line("A mile", setting(Setting::MileageRate), Unit::Money);
        Self { day, crew, wage, mile }
    }
}

impl Way {
    /// From hours and miles one way; a blank is none.
    fn of(context: &Context, one_way: [Setting; 2]) -> Self {
        let [hours, miles] = one_way.map(|setting| {
            let typed = context.settings.get(setting);
            typed.is_blank().pick(&Term::number(0), &typed) * Term::number(2)
        });
        Self { hours, miles }
    }
}

/// A row of the table: how many are counted of those that are reckoned, and what one costs.
fn put(
    book: &mut Book,
    table: &Table,
    (row, what): (crate::figure::RowId, &str),
    (reckoned, typed): (Term, &Term),
    (hours, miles): (Term, &Term),
) -> Cost {
    let Table { columns, rates } = table;
    let zero = Term::number(0);
    let what = book.label(row, columns.what, what);
    let reckoned = book.put_or_state(row, columns.reckoned, reckoned, "no material is needed");
    let counted = book.put(row, columns.counted, typed.is_blank().pick(&reckoned, typed));
    let hours = book.put(row, columns.hours, hours);
    let miles = book.put(row, columns.miles, miles.max(&zero));
    let each = book.put(row, columns.each, (hours * &rates.wage + miles * &rates.mile).cents());
    book.put(row, columns.amount, (&counted * &each).cents());
    Cost { what, phase: None, quantity: counted, price: each, tax_rate: None }
}

fn to_the_job(book: &mut Book, context: &Context, table: &Table, way: &Way, (phase, typed): (Phase, Setting)) -> Cost {
    let zero = Term::number(0);
    let row = book.row(table.columns.table);
    let hired = book.put(row, table.columns.hired, context.labor.in_phase_by(phase, "hired"));
    let days = table.rates.day.above(&zero).pick(&(&hired / &table.rates.day).whole_up(), &zero);
    // Where the owner does all the work, nobody is paid on the road.
    let hours = hired.above(&zero).pick(&(&way.hours * &table.rates.crew), &zero);
    let what = format!("Trips to the job, {}", phase.word());
    let cost = put(book, table, (row, &what), (days, &context.settings.get(typed)), (hours, &way.miles));
    Cost { phase: Some(phase), ..cost }
}

fn to_the_supply_house(book: &mut Book, context: &Context, table: &Table, way: &Way) -> Cost {
    let zero = Term::number(0);
    let orders = orders(book, context);
    // One of the hired hands drives; who does his own work drives himself.
    let hours = context.settings.get(Setting::LaborBy).same(&Term::text("hired")).pick(&way.hours, &zero);
    let row = book.row(table.columns.table);
    let what = (row, "Supply house runs");
    put(book, table, what, (orders, &context.settings.get(Setting::SupplyRuns)), (hours, &way.miles))
}

/// How many orders need material: what the test takes comes with the rough-in's, right before it.
fn orders(book: &mut Book, context: &Context) -> Term {
    let (zero, one) = (Term::number(0), Term::number(1));
    let lines = &context.take_off.lines;
    let list = List::put(book, context.page(Page::Trips), "Orders that need material", [34.0, 10.0], Unit::Each);
    let together: [(&str, &[Phase]); 3] = [
        ("Underground", &[Phase::Underground]),
        ("Rough-in and test", &[Phase::RoughIn, Phase::Test]),
        ("Trim", &[Phase::Trim]),
    ];
    let orders = together.map(|(words, phases)| {
        let needed = phases.iter().filter_map(|phase| {
            let first = lines.iter().find_map(|line| line.by_phase[*phase as usize].as_ref())?;
            Some(Term::sum(&book.whole(book.column_of(first)?)))
        });
        let needed: Vec<Term> = needed.collect();
        let needed = Term::total(&needed.iter().collect::<Vec<_>>()).above(&zero).pick(&one, &zero);
        let row = list.label(book, words);
        book.put_or_state(row, list.value, needed, "no material is needed")
    });
    Term::total(&orders.each_ref())
}
