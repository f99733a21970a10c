//! What the bid warns of, and the figures that the warnings name.

use super::{Context, terms};
use crate::figure::{Book, Look, Term, Value};
use crate::model::{Setting, Status, Whereabouts};
use crate::sheets::Page;
use crate::subjects::water::size::water_carried::HEATERS;
use crate::table::columns;

/// Limits of the rule tables that the warnings name, as figures.
pub(crate) struct Limits {
    air_test_psi: Option<Term>,
    air_test_minutes: Option<Term>,
    scald_f: Option<Term>,
}

columns! {
    struct Columns on Checks("Figures that the cautions name") {
        what: "Limit", words 34;
        value: "Value", words;
        source: "Source", words;
    }
}

impl Limits {
    pub(crate) fn put(book: &mut Book, context: &Context) -> Self {
        let Columns { table, what, value, source } = Columns::on_page(book, context);
        let mut put = |name: &str| {
            let limit = context.rules.limit(name, context.code)?;
            let row = book.row(table);
            book.label(row, what, &format!("{}, {}", limit.limit, limit.unit));
            let from = limit.origin.words();
            let term = book.rule(row, value, Value::Exact(limit.value), &from);
            book.label(row, source, &from);
            Some(term)
        };
        Self {
            air_test_psi: put("air test pressure"),
            air_test_minutes: put("air test minutes"),
            scald_f: put("hottest water shower"),
        }
    }
}

/// The user's own cautions, and the standing ones that this job calls for.
pub(super) fn put(book: &mut Book, context: &Context, limits: &Limits) {
    let sheet = context.page(Page::Bid);
    book.words(sheet, Look::Heading, "Cautions");
    terms::lines(book, context, "caution");
    let point = |book: &mut Book, words: &str| {
        book.words(sheet, Look::Words, &format!("- {words}"));
    };
    point(
        book,
        "Local code and the building official decide, before anything written here. Work that asks for a license is \
         done by, or under, somebody who holds it.",
    );
    point(
        book,
        "Pressure tests: nobody stands beside pipe under air, or tightens it; a fitting that lets go flies. No test \
         goes above what local code, the pipe's maker and the weakest part in the line allow, and plastic pipe is \
         tested with air only where all of them do.",
    );
    if let (Some(psi), Some(minutes)) = (&limits.air_test_psi, &limits.air_test_minutes) {
        let parts = ["- Test by the code's table: air at ", " psi for ", " minutes, or water at working pressure."];
        let [start, middle, end] = parts.map(Term::text);
        book.line(sheet, Look::Words, Term::join(&[&start, psi, &middle, minutes, &end]));
    }
    if has_hot_water(context) {
        point(
            book,
            "Hot water scalds, children and the old first. Showers and tubs get valves that hold the temperature; \
             the heater's dial is no such valve.",
        );
        if let Some(hottest) = &limits.scald_f {
            let parts = ["- Hot water as figured, at the heater: ", " F. Most at a shower or tub: ", " F."];
            let [start, middle, end] = parts.map(Term::text);
            let heater = context.settings.get(Setting::HotWaterTemperature);
            book.line(sheet, Look::Words, Term::join(&[&start, &heater, &middle, hottest, &end]));
        }
    }
    point(
        book,
        "Drinking water meets nothing else: vacuum breakers on hose connections, an air gap where a softener or a \
         relief valve drains, a backflow preventer of the kind the code asks for at boilers, irrigation and wells.",
    );
    if has_buried_pipe(context) {
        point(
            book,
            "Trenches: buried lines are marked before digging. Nobody enters a trench that could cave in until it is \
             sloped, shored or shielded as the safety law says; spoil and machines stay back from its edge.",
        );
    }
    if new_heater(context) {
        point(
            book,
            "A heater that burns gas: its gas pipe, vent and combustion air are a licensed fitter's work. A relief \
             valve is never plugged, and its drain runs down, full size, to where people can see it.",
        );
    }
}

fn has_hot_water(context: &Context) -> bool {
    context.sizes.waters.iter().any(|water| water.hot)
}

fn has_buried_pipe(context: &Context) -> bool {
    let buried = |place: Option<Whereabouts>| matches!(place, Some(Whereabouts::Buried));
    context.job.runs.iter().any(|run| buried(run.place.get()) && run.status.get().unwrap_or_default().is_of_this_job())
}

fn new_heater(context: &Context) -> bool {
    let new = |status: Option<Status>| status.unwrap_or_default().is_of_this_job();
    context.job.devices.iter().any(|d| HEATERS.contains(&&*d.kind.value) && new(d.status.get()))
}
