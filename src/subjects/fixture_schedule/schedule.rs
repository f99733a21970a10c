//! The Fixture schedule sheet, a row a fixture; and where the rough-ins of its kinds go.

use super::rules::RoughIn;
use crate::figure::{Book, Look, Term};
use crate::input::US;
use crate::model::{Fixture, Setting, Status};
use crate::rules::{Listing, Part, Side, matches_kind};
use crate::sheets::Page;
use crate::subjects::Results;
use crate::table::columns;
use crate::view::View;
use std::collections::BTreeSet;

/// A fixture that this job buys by its row, as figures.
#[derive(Debug)]
pub struct Scheduled {
    /// `WC1 water closet`, with maker and model where they are given.
    pub what: Term,
    pub count: Term,
    /// Dollars for one; `None` while nothing is chosen.
    pub price: Option<Term>,
    /// Dollars allowed for all of them.
    pub allowed: Option<Term>,
    /// Dollars for all of them as chosen, sales tax included.
    pub chosen: Option<Term>,
}

const WORDS: &str = "What is furnished by us at a Price or an Allowance on Fixtures is bought by this sheet; supplier orders do not \
     list it. The choice costs its price and sales tax; where there is an allowance, over or under is the choice less the \
     allowance, and goes into the price with nothing added. Minus is under.";

const MAKERS: &str = "Inches from the finished floor, wall or center line. Rough in by the maker's sheet of the fixture at hand; \
     local code goes before both.";

columns! {
    struct Columns on FixtureSchedule("Fixtures") {
        tag: "Tag", words 8;
        fixture: "Fixture", words 20;
        room: "Room", words 14;
        count: "Count", Each 7;
        maker: "Maker", words 14;
        model: "Model", words 14;
        finish: "Finish", words 12;
        furnished: "Furnished by", words 12;
        set: "Set by", words 9;
        rough_in: "Rough-in, inches", words 34;
        connection: "Connection", words 34;
        price: "Price of one", Money;
        allowed: "Allowance", Money;
        chosen: "Chosen, tax included", Money;
        over: "Over or under", Money;
    }
}

columns! {
    struct Dimensions on FixtureSchedule("Where rough-ins go") {
        fixture: "Fixture", words 20;
        dimension: "Dimension", words 14;
        usual: "Inches", words 8;
        least: "Least", words 8;
        most: "Most", words 8;
        note: "Note", words 34;
    }
}

/// Puts the fixtures of this job, and those that others bring and set.
pub(super) fn put(book: &mut Book, view: &View<Results>) -> Vec<Scheduled> {
    let is_listed = |fixture: &&Fixture| {
        let status = fixture.status.get().unwrap_or_default();
        status.is_of_this_job() || status == Status::ByOthers
    };
    let fixtures: Vec<&Fixture> = view.job.fixtures.iter().filter(is_listed).collect();
    if fixtures.is_empty() {
        return Vec::new();
    }
    let sheet = view.page(Page::FixtureSchedule);
    book.words(sheet, Look::Title, Page::FixtureSchedule.name());
    book.words(sheet, Look::Words, WORDS);
    let columns = Columns::on_page(book, view);
    let mut rough_ins = Listing::new(view, "Where rough-ins go, inches");
    let scheduled = fixtures.iter().filter_map(|fixture| row(book, view, &columns, &mut rough_ins, fixture)).collect();
    dimensions(book, view, &mut rough_ins, &fixtures);
    book.words(sheet, Look::Small, MAKERS);
    scheduled
}

/// Who furnishes a fixture, as Fixtures or Prices say; `None` where neither does.
pub(super) fn furnisher<'a, R>(view: &View<'a, R>, fixture: &'a Fixture) -> Option<&'a str> {
    let kind = view.rules.canonical_fixture(&fixture.fixture.value);
    let is_priced =
        || kind.is_some_and(|kind| view.job.prices.iter().any(|price| matches_kind(kind, &price.kind.value)));
    fixture.furnisher().or_else(|| is_priced().then_some("us, by Prices"))
}

/// A row of the schedule; what of it is bought by this job.
fn row(
    book: &mut Book,
    view: &View<Results>,
    columns: &Columns,
    rough_ins: &mut Listing<RoughIn>,
    fixture: &Fixture,
) -> Option<Scheduled> {
    let row = book.row(columns.table);
    let kind = view.rules.canonical_fixture(&fixture.fixture.value);
    let (tag, written) = (fixture.tag.figure(book), fixture.fixture.figure(book));
    let tag = book.put(row, columns.tag, tag);
    let written = book.put(row, columns.fixture, written);
    let count = fixture.count.figure(book);
    let count = book.put_or_state(row, columns.count, count, "one row of the job is one of it");
    let mut what = vec![tag, Term::text(" "), written];
    let words = [
        (columns.room, &fixture.room, false),
        (columns.maker, &fixture.maker, true),
        (columns.model, &fixture.model, true),
        (columns.finish, &fixture.finish, false),
    ];
    for (column, field, names_it) in words {
        if field.value.is_some()
            && let Some(cell) = field.as_typed(book)
        {
            let cell = book.put(row, column, cell);
            if names_it {
                what.extend([Term::text(" "), cell]);
            }
        }
    }
    let by_others = fixture.status.get() == Some(Status::ByOthers);
    let furnisher = if by_others { Some("others") } else { furnisher(view, fixture) };
    book.label(row, columns.furnished, furnisher.unwrap_or("not said"));
    let set = match fixture.set_by.value.as_deref() {
        _ if by_others => "others",
        Some(who) => who,
        None if furnisher.is_none() => "us, where furnished",
        None => US,
    };
    book.label(row, columns.set, set);
    match (&fixture.rough_in.value, fixture.rough_in.as_typed(book)) {
        (Some(_), Some(cell)) => _ = book.put(row, columns.rough_in, cell),
        _ => {
            if let Some(words) = kind.and_then(|kind| usual(book, view, rough_ins, kind)) {
                book.put(row, columns.rough_in, words);
            }
        }
    }
    if let Some(connection) = kind.and_then(|kind| connection(view, fixture, kind)) {
        book.label(row, columns.connection, &connection);
    }
    let priced = fixture.is_priced_here() && !by_others;
    let tax = Term::number(1) + view.settings.get(Setting::TaxRate);
    let price = (priced && fixture.price.value.is_some()).then(|| fixture.price.figure(book));
    let price = price.map(|price| book.put(row, columns.price, price));
    let allowed = (priced && fixture.allowance.value.is_some()).then(|| fixture.allowance.figure(book) * &count);
    let allowed = allowed.map(|allowed| book.put(row, columns.allowed, allowed.cents()));
    let chosen = price.as_ref().map(|price| (price * &count * tax).cents());
    let chosen = chosen.map(|chosen| book.put(row, columns.chosen, chosen));
    if let (Some(allowed), Some(chosen)) = (&allowed, &chosen) {
        book.put(row, columns.over, chosen - allowed);
    }
    let what = Term::join(&what.iter().collect::<Vec<_>>());
    priced.then_some(Scheduled { what, count, price, allowed, chosen })
}

/// `drain center from finished wall 12; supply height above floor 8-1/4`: the first two of the table for the kind.
fn usual(book: &mut Book, view: &View<Results>, rough_ins: &mut Listing<RoughIn>, kind: &str) -> Option<Term> {
    let rows = view.rules.rough_ins().iter().filter(|row| *row.fixture == *kind).take(2);
    let mut words: Vec<Term> = Vec::new();
    for row in rows {
        let cells = rough_ins.row(book, row);
        if !words.is_empty() {
            words.push(Term::text("; "));
        }
        words.extend([cells.dimension, Term::text(" "), cells.usual]);
    }
    (!words.is_empty()).then(|| Term::join(&words.iter().collect::<Vec<_>>()))
}

/// All rows of the table for the kinds of the job, as they stand on Rules.
fn dimensions(book: &mut Book, view: &View<Results>, rough_ins: &mut Listing<RoughIn>, fixtures: &[&Fixture]) {
    let kinds: BTreeSet<&str> =
        fixtures.iter().filter_map(|fixture| view.rules.canonical_fixture(&fixture.fixture.value)).collect();
    let rows: Vec<&RoughIn> = view.rules.rough_ins().iter().filter(|row| kinds.contains(&*row.fixture)).collect();
    if rows.is_empty() {
        return;
    }
    let columns = Dimensions::on_page(book, view);
    for rule in rows {
        let row = book.row(columns.table);
        let cells = rough_ins.row(book, rule);
        book.put(row, columns.fixture, cells.fixture);
        book.put(row, columns.dimension, cells.dimension);
        book.put(row, columns.usual, cells.usual);
        for (column, text, cell) in [(columns.least, &rule.least, cells.least), (columns.most, &rule.most, cells.most)]
        {
            if !text.is_empty() {
                book.put(row, column, cell);
            }
        }
        book.label(row, columns.note, &rule.note);
    }
}

/// What the fixture is connected by: the part that stands last on each of its sides, and its trap.
fn connection(view: &View<Results>, fixture: &Fixture, kind: &str) -> Option<String> {
    let parts: Vec<&Part> = view.rules.assembly(kind).filter(|part| &*part.phase == "trim").collect();
    let last =
        |side: Side| parts.iter().rfind(|part| part.side == side && !part.outlet.is_empty()).map(|part| words(part));
    let cold = fixture.cold_run.value.as_ref().and_then(|_| last(Side::Cold));
    let hot = fixture.hot_run.value.as_ref().and_then(|_| last(Side::Hot));
    let water = match (cold, hot) {
        (Some(cold), Some(hot)) if cold == hot => vec![format!("hot and cold {cold}")],
        (cold, hot) => {
            let (cold, hot) = (cold.map(|words| format!("cold {words}")), hot.map(|words| format!("hot {words}")));
            cold.into_iter().chain(hot).collect()
        }
    };
    let drain = parts.iter().filter(|part| part.side == Side::Each && ["trap", "wax ring"].contains(&&*part.kind));
    let all: Vec<String> = water.into_iter().chain(drain.map(|part| words(part))).collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// `supply line 3/8 compression x 7/8 ballcock`
fn words(part: &Part) -> String {
    let size = |size: Option<crate::model::Size>| size.map(|size| format!(" {size}")).unwrap_or_default();
    match (part.inlet.is_empty(), part.outlet.is_empty()) {
        (false, false) => {
            let outlet = size(part.outlet_size);
            format!("{}{} {} x{outlet} {}", part.kind, size(part.size), part.inlet, part.outlet)
        }
        _ => format!("{}{}", part.kind, size(part.size)),
    }
}
