//! Pressure and velocity down the tree, as figures: what each run loses, what is left at its end, what is needed there.

use super::device_table::DeviceTable;
use super::form_costs::FormTable;
use super::friction_table::{Flow, FrictionTable, PipeOfRun};
use super::given::Given;
use super::picked::Word;
use super::rule_tables::RuleTables;
use super::run_findings::Trouble;
use super::{Context, Sizes, chosen_on, friction, run_findings, ways};
use crate::choice::Choice;
use crate::figure::{Book, RowId, Term, Value};
use crate::finding::Finding;
use crate::model::{Run, Setting, Status};
use crate::sheets::Page;
use crate::table::{List, columns};
use crate::unit::Unit;

columns! {
    struct SizingColumns on Sizing("Size and pressure of each run") {
        run: "Run", words;
        from: "From", words;
        water: "Water", words;
        units: "Fixture units", FixtureUnits;
        demand: "Demand", Gpm;
        material: "Material", words;
        chosen: Choice::RunSize.heading(), words;
        size: Choice::SizeInBid.heading(), words;
        bore: "Inside diameter", Inches;
        velocity: "Velocity", FeetPerSecond;
        friction: "Friction", Psi;
        fittings: "Fittings", Psi;
        devices: "Devices", Psi;
        height: "Height", Psi;
        end: "Pressure at end", Psi;
        need: "Needed there", Psi;
        spare: "To spare", Psi;
        check: "Check", check 16;
    }
}

/// Puts sizes, losses, pressures and checks into the book.
pub(crate) fn pressures(
    book: &mut Book,
    context: &Context,
    rules: &RuleTables,
    given: Given,
    findings: &mut Vec<Finding>,
) -> Sizes {
    let tables = Tables::put(book, context, rules, &given);
    let mut trouble = Trouble::default();
    let mut runs: Vec<FiguredRun> = Vec::with_capacity(context.network.len());
    for position in 0..context.network.len() {
        let start = match context.network.parent[position] {
            Some(parent) => runs[parent].end.clone(),
            None => context.settings.get(Setting::SupplyPressure),
        };
        let row = tables.row(book, position);
        let run = row.put(book, &start);
        tables.judge(position, &run, &mut trouble, findings);
        runs.push(run);
    }
    trouble.find(context, given.sizes_will, findings);
    let least = given.loads.need_psi.iter().any(Option::is_some).then(|| tables.put_least(book));
    if let Some(Least { spare, run, .. }) = &least {
        run_findings::margin(context, spare, run, findings);
    }
    let too_fast = tables.put_too_fast(book);
    let pipes: Vec<&PipeOfRun> = runs.iter().map(|run| &run.pipe).collect();
    let unknown_forms = tables.forms.finish(book, context, &given, &pipes);
    let choice_check = chosen_on::put(book, context, &tables.chosen_on());
    let forks = &given.structure.forks;
    let unknown_ways = ways::put(book, context, &given.loads, forks, &given.structure.manifold_at);
    let [tank, valve] = rules.curves_off.clone();
    let typed_over = unknown_forms.map(|count| ("Forms typed over with what is none", count)).into_iter().chain([
        ("Demand out of order, without flush valves", tank),
        ("Demand out of order, with flush valves", valve),
        ("Ways typed over", unknown_ways),
    ]);
    let typed_over = typed_over.collect();
    let form_choices = tables.forms.choices();
    let sizes = sizes(context, rules, given, &runs);
    let sizes = Sizes { form_choices, too_fast, typed_over, choice_check: Some(choice_check), ..sizes };
    match least {
        Some(Least { spare, run, short_by }) => {
            Sizes { least_spare: Some((spare, run)), short_by: Some(short_by), ..sizes }
        }
        None => sizes,
    }
}

/// What the steps before found, run by run; what is known only at the end of the stage is left open.
fn sizes(context: &Context, rules: &RuleTables, given: Given, runs: &[FiguredRun]) -> Sizes {
    let of = |term: fn(&FiguredRun) -> &Term| runs.iter().map(|run| term(run).clone()).collect();
    let size_at = |position: usize| given.picked[position].size;
    let in_place = |position: usize| context.run_at(position).status.get().is_some_and(Status::is_in_place);
    Sizes {
        sizes: given.picked.iter().map(|picked| picked.size).collect(),
        size_keys: of(|run| &run.size),
        pipe_keys: of(|run| &run.pipe.key),
        pipe_rows: of(|run| &run.pipe.row),
        pipe_table_keys: rules.pipe.key.clone(),
        length_ft: of(|run| &run.pipe.length),
        bend_parts: runs.iter().map(|run| run.pipe.bend.clone()).collect(),
        forms: (0..runs.len()).map(|position| given.forms.of(position, size_at(position))).collect(),
        form_choices: Vec::new(),
        velocity_ft_s: of(|run| &run.velocity),
        loss_psi: of(|run| &run.loss),
        end_psi: of(|run| &run.end),
        height_psi: of(|run| &run.height),
        device_losses: runs.iter().flat_map(|run| run.devices.clone()).collect(),
        checks: of(|run| &run.check),
        main_idle: given.structure.main_runs.iter().all(|position| match given.picked[*position].word {
            Word::Run => true,
            Word::Main => false,
            Word::Choice => in_place(*position),
        }),
        least_spare: None,
        short_by: None,
        search_cost: None,
        short_psi: 0.0,
        too_fast: Term::number(0),
        typed_over: Vec::new(),
        remedy: None,
        choice_check: None,
        well_check: None,
        static_psi: None,
        materials: given.materials,
        waters: given.waters,
        outlets: given.outlets,
        outlets_at: given.loads.outlets_at,
        fixture_units: given.loads.fixture_units,
        demand_gpm: given.loads.demand_gpm,
        structure: given.structure,
        lay: given.lay,
    }
}

/// The tables of pressure, and what their rows are figured from.
struct Tables<'a> {
    context: &'a Context<'a>,
    rules: &'a RuleTables,
    given: &'a Given,
    sizing: SizingColumns,
    friction: FrictionTable<'a>,
    devices: Option<DeviceTable<'a>>,
    forms: FormTable,
}

/// A run, figured.
struct FiguredRun {
    size: Term,
    pipe: PipeOfRun,
    velocity: Term,
    /// Losses of its devices, psi: the index in Devices, the run's position, the loss.
    devices: Vec<(usize, usize, Term)>,
    height: Term,
    /// All that is lost but height, psi.
    loss: Term,
    end: Term,
    /// Where water is drawn at its end.
    outlet: Option<Outlet>,
    check: Term,
}

/// What is needed where water is drawn, and what lacks of that and `Pressure to spare`, psi.
struct Outlet {
    need: Term,
    short: Term,
}

/// The outlet with the least to spare.
struct Least {
    spare: Term,
    run: Term,
    short_by: Term,
}

impl<'a> Tables<'a> {
    fn put(book: &mut Book, context: &'a Context<'a>, rules: &'a RuleTables, given: &'a Given) -> Self {
        let sizing = SizingColumns::on_page(book, context);
        let devices = (!given.devices.is_empty()).then(|| DeviceTable::put(book, context, rules, &given.devices));
        let friction = FrictionTable::put(book, context, rules, given);
        let forms = FormTable::put(book, context, given);
        Self { context, rules, given, sizing, friction, devices, forms }
    }

    fn row(&self, book: &mut Book, position: usize) -> SizingRow<'_> {
        SizingRow { tables: self, position, run: self.context.run_at(position), at: book.row(self.sizing.table) }
    }

    /// What is wrong with a run. An unknown material has been told already, and so has what takes the pressure from a run
    /// farther up.
    fn judge<'t>(&self, position: usize, figured: &FiguredRun, trouble: &mut Trouble<'t>, findings: &mut Vec<Finding>)
    where
        'a: 't,
    {
        let (context, given) = (self.context, self.given);
        let known = context.rules.material(&given.materials[position]).is_some();
        if known && figured.pipe.row.value().fault().is_some() {
            run_findings::without_pipe(context, given, position, findings);
        } else if figured.end.value().fault().is_none() {
            if let Some(Outlet { need, short }) = &figured.outlet {
                trouble.outlet(context, given, position, [&figured.end, need, short]);
            }
            trouble.speed(context, given, position, [&figured.velocity, &figured.pipe.limit]);
        }
    }

    fn put_least(&self, book: &mut Book) -> Least {
        let spares = book.whole(self.sizing.spare);
        let runs = book.whole(self.sizing.run);
        let page = self.context.page(Page::Sizing);
        let list = List::put(book, page, "Where pressure is tightest", [0.0; 2], Unit::Psi);
        let spare = list.line(book, "Least to spare at an outlet, psi", Term::least(&spares));
        let run = list.line(book, "At the end of run", Term::at(&runs, &Term::row_of(&spare, &spares)));
        let kept = self.context.settings.get(Setting::PressureToSpare);
        let short_by = list.line(book, "Short by, psi", (kept - &spare).max(&Term::number(0)));
        Least { spare, run, short_by }
    }

    /// How many runs carry their water too fast now.
    fn put_too_fast(&self, book: &mut Book) -> Term {
        let checks = book.whole(self.sizing.check);
        let page = self.context.page(Page::Sizing);
        let list = List::put(book, page, "Where water runs too fast", [0.0; 2], Unit::Each);
        let too_fast = Term::count_where(&[(&checks, &Term::text(TOO_FAST))]);
        list.line(book, "Runs over their highest velocity", too_fast)
    }

    /// The columns that sizes are chosen on.
    fn chosen_on(&self) -> chosen_on::Columns {
        let (sizing, friction) = (&self.sizing, &self.friction.columns);
        chosen_on::Columns {
            demand: sizing.demand,
            height: sizing.height,
            need: sizing.need,
            devices: sizing.devices,
            bore: sizing.bore,
            length: friction.length,
            limit: friction.limit,
        }
    }
}

/// The row of a run.
struct SizingRow<'a> {
    tables: &'a Tables<'a>,
    position: usize,
    run: &'a Run,
    at: RowId,
}

impl SizingRow<'_> {
    /// A run that begins with the pressure `start`, psi.
    fn put(&self, book: &mut Book, start: &Term) -> FiguredRun {
        let (tables, columns, at) = (self.tables, &self.tables.sizing, self.at);
        let name = self.run.name.figure(book);
        book.put(at, columns.run, name.clone());
        let line = tables.friction.row(book, self.position, name);
        let demand = self.put_load(book);
        let (size, chosen) = self.put_size(book);
        let pipe = line.put_pipe(book, &size, &tables.forms.of(self.position));
        let bore = book.put(at, columns.bore, pipe.bore.clone());
        let velocity = book.put(at, columns.velocity, friction::velocity(&demand, &bore));
        let flow = Flow { demand, bore, velocity };
        let per_100_ft = line.put_methods(book, &pipe, &flow);
        let hundred = Term::number(100);
        let friction_psi = book.put(at, columns.friction, &pipe.length * &per_100_ft / &hundred);
        let fittings_psi = book.put(at, columns.fittings, &pipe.fitting_ft * &per_100_ft / &hundred);
        let devices = match &tables.devices {
            Some(table) => table.put_run(book, self.position, start, &flow.demand),
            None => Vec::new(),
        };
        let losses: Vec<&Term> = devices.iter().map(|(.., loss)| loss).collect();
        let devices_psi = (!losses.is_empty()).then(|| book.put(at, columns.devices, Term::total(&losses)));
        let rise = self.run.rise_ft.figure(book);
        let height = book.put(at, columns.height, rise * &tables.rules.psi_per_ft);
        let mut loss = &friction_psi + &fittings_psi;
        let mut left = start - &friction_psi - &fittings_psi;
        if let Some(devices) = &devices_psi {
            (loss, left) = (loss + devices, left - devices);
        }
        let end = book.put(at, columns.end, left - &height);
        let outlet = self.put_outlet(book, line.at, &end);
        let short = outlet.as_ref().map(|outlet| &outlet.short);
        let check = book.put(at, columns.check, verdict(&end, short, &flow.velocity, &pipe.limit));
        if let Some(chosen) = chosen {
            book.check_choice(&chosen, &check);
        }
        FiguredRun { size, pipe, velocity: flow.velocity, devices, height, loss, end, outlet, check }
    }

    /// What the run carries; gives its demand.
    fn put_load(&self, book: &mut Book) -> Term {
        let (columns, given) = (&self.tables.sizing, self.tables.given);
        let from = self.run.from.figure(book);
        book.put(self.at, columns.from, from);
        book.label(self.at, columns.water, given.waters[self.position].words());
        book.put(self.at, columns.units, given.loads.fixture_units[self.position].clone());
        let demand = book.put(self.at, columns.demand, given.loads.demand_gpm[self.position].clone());
        book.label(self.at, columns.material, &given.materials[self.position]);
        demand
    }

    /// The size cell, live: what Runs says, else Main size, else the choice. And the choice, where there is one.
    fn put_size(&self, book: &mut Book) -> (Term, Option<Term>) {
        let (given, columns, size) = (self.tables.given, &self.tables.sizing, &self.run.size);
        let picked = given.picked[self.position];
        if picked.word == Word::Run {
            let typed = size.figure(book);
            return (book.put(self.at, columns.size, typed), None);
        }
        // Main size is a key already, or an empty text: the settings see to that.
        let main = self.tables.context.settings.get(Setting::MainSize);
        let (fallback, chosen) = if picked.word == Word::Main {
            (main, None)
        } else {
            let pick = picked.size.map_or_else(|| Value::text(""), |size| Value::text(size.key()));
            let choice = book.choose_now(self.at, columns.chosen, pick);
            // Somebody may type another size over it, with an inch mark or without.
            let marked = choice.size_key();
            let in_place = self.run.status.get().is_some_and(Status::is_in_place);
            let on_main = given.structure.main_runs.contains(&self.position) && !in_place;
            let fallback = if on_main { main.is_blank().pick(&marked, &main) } else { marked };
            (fallback, Some(choice))
        };
        let live = match size.as_typed(book) {
            None => fallback,
            Some(cell) => {
                // What could not be read stands for nothing until something else is typed.
                let nothing = match size.is_blank() {
                    true => cell.is_blank(),
                    false => cell.same(&Term::constant(cell.value().clone())),
                };
                nothing.pick(&fallback, &book.size_typed(&cell))
            }
        };
        (book.put(self.at, columns.size, live), chosen)
    }

    /// What is needed at its end where water is drawn there. `line` is its row of the friction table.
    fn put_outlet(&self, book: &mut Book, line: RowId, end: &Term) -> Option<Outlet> {
        let tables = self.tables;
        let need = tables.given.loads.need_psi[self.position].clone()?;
        let need = book.put(self.at, tables.sizing.need, need);
        let spare = book.put(self.at, tables.sizing.spare, end - &need);
        let short = (tables.context.settings.get(Setting::PressureToSpare) - spare).max(&Term::number(0));
        Some(Outlet { need, short: book.put(line, tables.friction.columns.short, short) })
    }
}

/// What the check of a run says whose velocity is over its limit.
pub(crate) const TOO_FAST: &str = "too fast";
/// How it begins where an outlet at its end is short of pressure.
pub(crate) const SHORT: &str = "short ";
/// And where the pressure is used up before its end.
pub(crate) const NO_PRESSURE: &str = "no pressure left";

/// `OK`, or what is wrong now. `wanted` is what an outlet needs and is to keep besides.
fn verdict(end: &Term, short: Option<&Term>, velocity: &Term, limit: &Term) -> Term {
    let speed = velocity.above(limit).flag(TOO_FAST);
    let zero = Term::number(0);
    let verdict = match short {
        None => end.at_least(&zero).pick(&speed, &Term::text(NO_PRESSURE)),
        Some(short) => {
            let words = Term::join(&[&Term::text(SHORT), &short.show(1), &Term::text(" psi")]);
            short.above(&zero).pick(&words, &speed)
        }
    };
    // A size that no table knows gives #N/A all along the line; the check then says what to do.
    verdict.or_price_again()
}
