//! The code's own size table beside the sizes of the bid: a second opinion by pressure, developed length and fixture units.
//!
//! The table is read as the codes say: the pressure at the supply less height and what devices other than the meter take,
//! the way to the farthest outlet, and the units of the whole job give the smallest meter and service that carry them;
//! every run then gets the smallest pipe that carries its own units behind that meter, in the same column.
//!
//! It has a sheet of its own, with the lines of the table that are read. Which range of pressure is read is a choice with its check; all else is live.

use super::{Context, Sizes};
use crate::choice::Choice;
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, Column, ColumnId, Look, RowId, Term, Value};
use crate::model::{Setting, Size, cited_for};
use crate::rules::{Basis, Listing, Origin};
use crate::sheets::Page;
use crate::subjects::water::rules::{CODE_LENGTHS, CodeSize};
use crate::table::columns;
use crate::unit::Unit;
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

const RANGE: &str = "Pressure range, psi";
/// What does not fit the table.
const OVER: &str = "over the table";

/// A range of pressure of the table, with its lines.
struct Range<'a> {
    from: Decimal,
    /// Where the next range begins.
    next: Option<Decimal>,
    /// The next range is the open one, which the codes print as "over": it begins above that pressure.
    next_is_open: bool,
    open: bool,
    name: String,
    lines: Vec<&'a CodeSize>,
}

impl Range<'_> {
    /// Whether a pressure is read in this range, by number and as a figure.
    fn holds(&self, psi: &Term, from: &Term, next: Option<&Term>) -> Term {
        let begins = if self.open { psi.above(from) } else { psi.at_least(from) };
        match next {
            Some(next) if self.next_is_open => begins.and(&next.at_least(psi)),
            Some(next) => begins.and(&next.above(psi)),
            None => begins,
        }
    }

    fn holds_number(&self, psi: f64) -> bool {
        let number = |d: Decimal| Term::number(d);
        let psi = Term::constant(Value::Physical(psi));
        let verdict = self.holds(&psi, &number(self.from), self.next.map(number).as_ref());
        verdict.value().truth() == Ok(true)
    }
}

fn ranges<'a>(lines: &[&'a CodeSize]) -> Vec<Range<'a>> {
    let mut from: Vec<(Decimal, Option<Decimal>)> = lines.iter().map(|line| (line.psi_from, line.psi_to)).collect();
    from.dedup();
    let range = |(index, (psi, to)): (usize, &(Decimal, Option<Decimal>))| Range {
        from: *psi,
        next: from.get(index + 1).map(|(next, _)| *next),
        next_is_open: from.get(index + 1).is_some_and(|(_, to)| to.is_none()),
        open: to.is_none(),
        name: to.map_or_else(|| format!("over {psi}"), |to| format!("{psi} to {to}")),
        lines: lines.iter().copied().filter(|line| line.psi_from == *psi).collect(),
    };
    from.iter().enumerate().map(range).collect()
}

columns! {
    /// The table of runs.
    struct Runs {
        run: "Run", words;
        way: "Way to its end", Feet;
        taken: "Height and devices", Psi;
        units: "Fixture units", FixtureUnits;
        own: "In the bid", words;
        by_table: "By the table", words;
        comparison: "So it is", words;
    }
}

columns! {
    /// The table of what the code's table is read with.
    struct Read on CodeSizes("What the code's size table is read with") {
        label: "Read with", words;
        now: "Now", words;
        chosen: Choice::CodeRange.heading(), words;
        check: "Check", check 16;
    }
}

impl Read {
    fn put(&self, book: &mut Book, label: &str, term: Term, unit: Unit) -> Term {
        let row = book.row(self.table);
        book.label(row, self.label, label);
        let term = book.put(row, self.now, term);
        book.unit(&term, unit);
        term
    }
}

/// Puts the second opinion, and the lines of the table it is read from.
///
/// Gives whether another range was typed over the one that it is read by, 1 or 0: the lines that are here are of one range only.
pub(crate) fn put(book: &mut Book, context: &Context, sizes: &Sizes) -> Option<Term> {
    let lines = context.rules.code_sizes(context.code);
    if sizes.size_keys.is_empty() || lines.is_empty() {
        return None;
    }
    let sheet = context.page(Page::CodeSizes);
    book.words(sheet, Look::Title, "Sizes by the code's own table");
    let words = format!(
        "A second opinion: the {} size table, read by pressure, length and fixture units alone. The sizes of this bid come \
         from the pressure and velocity in every run; where the table asks for more, ask the inspector which holds.",
        context.code.name()
    );
    book.words(sheet, Look::Words, &words);
    let read = Read::on_page(book, context);
    let table = book.table(sheet, &format!("Sizes by the {} table", context.code.name()));
    let runs = Runs::in_table(book, table);
    let (rows, farthest, taken) = put_runs(book, context, sizes, &runs);
    let supply = read.put(book, "Pressure at the supply", context.settings.get(Setting::SupplyPressure), Unit::Psi);
    let taken = read.put(book, "Height and devices but meters take at most", taken, Unit::Psi);
    let left = read.put(book, "Left for the pipe", &supply - &taken, Unit::Psi);
    let length = read.put(book, "Way to the farthest run's end", farthest, Unit::Feet);
    let roots = || (0..context.network.len()).filter(|p| context.network.parent[*p].is_none());
    let units: Vec<&Term> = roots().map(|root| &sizes.fixture_units[root]).collect();
    let units = read.put(book, "Fixture units in all", Term::total(&units), Unit::FixtureUnits);

    let ranges = ranges(&lines);
    let (range, typed_over) = read.put_range(book, context, &ranges, &left)?;
    let peak = roots().map(|root| sizes.demand_gpm[root].clone()).reduce(|one, other| one.max(&other));
    let peak = read.put(book, "Peak flow", peak.unwrap_or_else(|| Term::number(0)), Unit::Gpm);
    let behind = put_carried(book, context, range, &read, [&length, &units, &peak]);
    for row in rows {
        behind.compare(book, row, &runs);
    }
    Some(typed_over)
}

impl Read {
    /// The range that a pressure is read in, and whether another was typed over it, 1 or 0; `None` where there is none.
    fn put_range<'r, 'a>(
        &self,
        book: &mut Book,
        context: &Context,
        ranges: &'r [Range<'a>],
        left: &Term,
    ) -> Option<(&'r Range<'a>, Term)> {
        let saved = context.saved(Choice::CodeRange, RANGE);
        let range = ranges.iter().find(|range| match (context.hold, saved) {
            (true, saved) => saved.is_some_and(|saved| *saved == range.name),
            (false, _) => range.holds_number(left.value().as_f64()),
        });
        let row = book.row(self.table);
        book.label(row, self.label, RANGE);
        let Some(range) = range else {
            book.label(row, self.now, "not in the table");
            return None;
        };
        let source = &range.lines[0].origin.words();
        let mut bound = |label: &str, psi: Decimal| {
            let row = book.row(self.table);
            book.label(row, self.label, label);
            let bound = book.rule(row, self.now, Value::Exact(psi), source);
            book.unit(&bound, Unit::Psi);
            bound
        };
        let from = bound("That range begins at", range.from);
        let next = range.next.map(|psi| bound("The next begins at", psi));
        let read_by = Term::text(range.name.clone());
        let pick = Value::text(range.name.clone());
        let chosen = book.choose(row, [self.chosen, self.check], pick, |chosen| {
            let holds = range.holds(left, &from, next.as_ref()).and(&chosen.same(&read_by));
            holds.ok_or(PRICE_AGAIN)
        });
        Some((range, chosen.same(&read_by).pick(&Term::number(0), &Term::number(1))))
    }
}

/// Reads the lines of a range: what carries the fixture units of the whole job over its length, and the pipe behind that
/// meter. A word in place of a row makes the look-ups behind it say the same word.
fn put_carried(
    book: &mut Book,
    context: &Context,
    range: &Range,
    read: &Read,
    [length, units, peak]: [&Term; 3],
) -> BehindMeter {
    let table = put_lines(book, context, range);
    let over = Term::text(OVER);
    let at = Term::row_at_least(length, &table.feet).or_if_fault(&over);
    let at = read.put(book, "Row of that length in the table", at, Unit::Each);
    let carries = put_carries(book, context, (range, &table), &at, [units, peak]);
    let first = Term::row_of(&Term::number(1), &carries.enough).or_if_fault(&over);
    let first = read.put(book, "First line that carries them", first, Unit::Each);
    let meter = Term::at(&carries.meter, &first).or_if_fault(&over);
    let meter = read.put(book, "Meter and service by the table", meter, Unit::None);
    let main = Term::at(&carries.pipe, &first).or_if_fault(&over);
    read.put(book, "Main by the table", main, Unit::None);
    put_behind(book, context, range, &carries, &meter)
}

impl BehindMeter {
    /// The size of a run by the table, and whether the bid's is that.
    fn compare(&self, book: &mut Book, row: RowId, runs: &Runs) {
        let (Some(units), Some(own)) = (book.at(row, runs.units), book.at(row, runs.own)) else { return };
        let by_table = Term::at(&self.pipes, &Term::row_at_least(&units, &self.carried)).or_if_fault(&Term::text(OVER));
        let by_table = book.put(row, runs.by_table, by_table);
        // Larger sizes stand above smaller ones.
        let (here, there) = (Term::row_of(&own, &self.pipes), Term::row_of(&by_table, &self.pipes));
        let smaller = here.above(&there).pick(&Term::text("bid smaller"), &Term::text("bid larger"));
        let comparison = own.same(&by_table).pick(&Term::text("same"), &smaller);
        book.put(row, runs.comparison, comparison.or_if_fault(&Term::text("not compared")));
    }
}

/// Ways and what they take, run by run; the greatest of each comes back.
fn put_runs(book: &mut Book, context: &Context, sizes: &Sizes, runs: &Runs) -> (Vec<RowId>, Term, Term) {
    let count = context.network.len();
    let rows: Vec<RowId> = (0..count).map(|_| book.row(runs.table)).collect();
    let (mut ways, mut takes): (Vec<Term>, Vec<Term>) = (Vec::new(), Vec::new());
    for (position, row) in rows.iter().enumerate() {
        let run = context.run_at(position);
        let name = run.name.figure(book);
        book.put(*row, runs.run, name);
        let parent = context.network.parent[position];
        let own = sizes.length_ft[position].clone();
        let way = parent.map_or(own.clone(), |parent| &ways[parent] + &own);
        ways.push(book.put(*row, runs.way, way));
        let is_meter = |device: usize| &*context.job.devices[device].kind.value == "meter";
        let here = sizes.device_losses.iter().filter(|(device, at, _)| *at == position && !is_meter(*device));
        let before = parent.map(|parent| &takes[parent]);
        let parts: Vec<&Term> =
            before.into_iter().chain([&sizes.height_psi[position]]).chain(here.map(|(_, _, loss)| loss)).collect();
        takes.push(book.put(*row, runs.taken, Term::total(&parts)));
        book.put(*row, runs.units, sizes.fixture_units[position].clone());
        book.put(*row, runs.own, sizes.size_keys[position].clone());
    }
    let (ways, takes) = (book.whole(runs.way), book.whole(runs.taken));
    (rows, Term::greatest(&ways), Term::greatest(&takes).max(&Term::number(0)))
}

/// The lines of one range: a row for each length, the longest first, a column for each line.
struct Lines {
    feet: Column,
    units: Vec<Column>,
}

columns! {
    struct LineColumns(names: &[String]) {
        feet: "Developed length", Feet;
        units as Vec<ColumnId>: names, FixtureUnits;
    }
}

fn put_lines(book: &mut Book, context: &Context, range: &Range) -> Lines {
    let (sheet, code) = (context.page(Page::CodeSizes), context.code.name());
    let table = book.table(sheet, &format!("{code} size table, {} psi: fixture units by length", range.name));
    let names = range.lines.iter().map(|line| format!("{} meter, {} pipe", line.meter.key(), line.pipe.key()));
    let names: Vec<String> = names.collect();
    let LineColumns { feet, units, .. } = LineColumns::in_table(book, table, &names);
    for (index, length) in CODE_LENGTHS.iter().enumerate().rev() {
        if range.lines.iter().all(|line| line.units()[index].is_none()) {
            continue;
        }
        let row = book.row(table);
        book.rule(row, feet, Value::Exact(Decimal::from(*length)), &range.lines[0].origin.words());
        for (line, column) in range.lines.iter().zip(&units) {
            if let Some(units) = line.units()[index] {
                book.rule(row, *column, Value::Exact(units), &line.origin.words());
            }
        }
    }
    let mut origins: Vec<Arc<str>> = range.lines.iter().map(|line| source_words(context, &line.origin)).collect();
    origins.dedup();
    book.words(sheet, Look::Small, &format!("Source: {}.", origins.join("; ")));
    let units = units.into_iter().map(|column| book.whole(column)).collect();
    Lines { feet: book.whole(feet), units }
}

/// Where a line is from, for whoever the page is shown to: the job's own code, and what is to be held against a copy of it.
fn source_words(context: &Context, origin: &Origin) -> Arc<str> {
    match origin.is_users() {
        true => format!("{}, your own line in {}", origin.source, origin.read_from).into(),
        false => {
            let cited = cited_for(&origin.source, context.code.name());
            let check = if origin.basis == Basis::FromMemory { "; check against your copy" } else { "" };
            format!("{cited}{check}").into()
        }
    }
}

/// What each line carries over the job's length.
struct Carries {
    meter: Column,
    pipe: Column,
    carries: Column,
    /// 1 where it carries the whole job.
    enough: Column,
}

columns! {
    struct CarriesColumns on CodeSizes("What the code's size table carries over this job's length") {
        meter: "Meter and service", words;
        pipe: "Pipe", words;
        carries: "Carries", FixtureUnits;
        safe: "Safe flow of the meter", Gpm;
        enough: "Enough for all", Each;
    }
}

fn put_carries(
    book: &mut Book,
    context: &Context,
    (range, lines): (&Range, &Lines),
    at: &Term,
    [units, peak]: [&Term; 2],
) -> Carries {
    let CarriesColumns { table, meter, pipe, carries, safe, enough } = CarriesColumns::on_page(book, context);
    let none = Term::number(0);
    let mut flows = Listing::new(context, "Flow that meters may carry").open(book);
    for (line, column) in range.lines.iter().zip(&lines.units) {
        let row = book.row(table);
        book.rule(row, meter, Value::text(line.meter.key()), &line.origin.words());
        book.rule(row, pipe, Value::text(line.pipe.key()), &line.origin.words());
        let carried = book.put(row, carries, Term::at(column, at).or_if_fault(&none));
        // The table knows units, and not what flush valves draw at once: the meter must carry the peak flow too.
        let flow = context.rules.meter_flow(line.meter).map(|flow| flows.row(book, flow).gpm);
        let flow = flow.map(|flow| book.put(row, safe, flow));
        let holds = carried.at_least(units);
        let holds = flow.map_or(holds.clone(), |flow| holds.and(&flow.at_least(peak)));
        book.put(row, enough, holds.pick(&Term::number(1), &none));
    }
    let [meter, pipe, carries, enough] = [meter, pipe, carries, enough].map(|column| book.whole(column));
    Carries { meter, pipe, carries, enough }
}

columns! {
    struct Behind on CodeSizes("What pipe carries behind that meter") {
        pipe: "Pipe", words;
        by_table: "By the table", FixtureUnits;
        carried: "Carries", FixtureUnits;
    }
}

/// Pipe behind the meter, the largest first, and what each carries.
struct BehindMeter {
    pipes: Column,
    carried: Column,
}

/// A larger one counts as carrying a hair more than the
/// next smaller one, so that of equals the smaller is found.
fn put_behind(book: &mut Book, context: &Context, range: &Range, carries: &Carries, meter: &Term) -> BehindMeter {
    let mut pipes: Vec<Size> = range.lines.iter().map(|line| line.pipe).collect();
    pipes.sort_unstable();
    pipes.dedup();
    let Behind { table, pipe, by_table, carried } = Behind::on_page(book, context);
    let rows: Vec<RowId> = pipes.iter().map(|_| book.row(table)).collect();
    let mut smaller: Option<Term> = None;
    for (size, row) in pipes.iter().zip(rows.iter().rev()) {
        let name = book.rule(*row, pipe, Value::text(size.key()), &range.lines[0].origin.words());
        let carries = Term::sum_where(&carries.carries, &[(&carries.meter, meter), (&carries.pipe, &name)]);
        let carries = book.put(*row, by_table, carries);
        let more = smaller.map(|smaller| smaller + Term::number(dec!(0.0001)));
        let carries = more.map_or(carries.clone(), |more| carries.max(&more));
        smaller = Some(book.put(*row, carried, carries));
    }
    BehindMeter { pipes: book.whole(pipe), carried: book.whole(carried) }
}
