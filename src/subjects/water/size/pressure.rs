//! Pressure and velocity down the tree, as figures: what each run loses, what is left at its end, what is needed there.

use super::devices::InLine;
use super::fitting_loss::{self, Entry};
use super::form_costs::FormTable;
use super::given::Given;
use super::picked::{Picked, Word};
use super::rule_tables::RuleTables;
use super::water::WaterFigures;
use super::{Context, Sizes, chosen_on, device_loss, friction, run_findings, ways};
use crate::choice::Choice;
use crate::figure::{Book, ColumnId, RowId, Term, Value};
use crate::finding::Finding;
use crate::model::{Setting, Status};
use crate::rules::ELBOW;
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

columns! {
    struct FrictionColumns on Friction("Friction in each run") {
        run: "Run", words;
        pipe: "Pipe", words;
        pipe_row: "Row in pipe table", Each;
        length: "Length", Feet;
        bend: "A bend takes", words;
        fitting_row: "Row in fitting table", Each;
        fitting_ft: "Fittings as pipe", Feet;
        limit: "Velocity limit", FeetPerSecond;
        reynolds: "Reynolds number", Ratio;
        turbulent: "Turbulent factor", SmallRatio;
        factor: "Friction factor", SmallRatio;
        darcy: "Darcy-Weisbach", PsiPer100Ft;
        hazen: "Hazen-Williams", PsiPer100Ft;
        /// What the run's end lacks of the pressure needed there and `Pressure to spare`.
        short: "Short of pressure", Psi;
    }
}

columns! {
    struct DeviceColumns on Sizing("Devices in the line") {
        device: "Device", words;
        run: "On run", words;
        kind: "Kind", words;
        demand: "Demand", Gpm;
        rated: "Rated at", Gpm;
        loss_rated: "Loss when rated", Psi;
        flat: "Share that stays", Percent;
        set: "Set to", Psi;
        falloff: "Fall-off", Psi;
        inlet: "Psi in", Psi;
        outlet: "Psi out", Psi;
        loss: "Loss", Psi;
    }
}

/// Puts sizes, losses, pressures and checks into the book.
pub(crate) fn pressures(
    book: &mut Book,
    context: &Context,
    tables: &RuleTables,
    given: Given,
    findings: &mut Vec<Finding>,
) -> Sizes {
    let columns = SizingColumns::on_page(book, context);
    let device_columns = (!given.devices.is_empty()).then(|| DeviceColumns::on_page(book, context));
    let friction_columns = FrictionColumns::on_page(book, context);
    let forms = FormTable::put(book, context, &given);
    let device_rows: Vec<Option<RowId>> =
        given.devices.iter().map(|_| device_columns.as_ref().map(|c| book.row(c.table))).collect();

    let count = context.network.len();
    let mut sizes = Sizes {
        materials: given.materials.clone(),
        waters: given.waters.clone(),
        outlets: Vec::new(),
        outlets_at: given.loads.outlets_at.clone(),
        structure: given.structure.clone(),
        sizes: given.picked.iter().map(|p| p.size).collect(),
        size_keys: Vec::with_capacity(count),
        pipe_keys: Vec::with_capacity(count),
        pipe_rows: Vec::with_capacity(count),
        pipe_table_keys: tables.pipe.key.clone(),
        length_ft: Vec::with_capacity(count),
        bend_parts: Vec::with_capacity(count),
        forms: (0..count).map(|position| given.forms.of(position, given.picked[position].size)).collect(),
        form_choices: Vec::new(),
        fixture_units: given.loads.fixture_units.clone(),
        demand_gpm: given.loads.demand_gpm.clone(),
        velocity_ft_s: Vec::with_capacity(count),
        loss_psi: Vec::with_capacity(count),
        end_psi: Vec::with_capacity(count),
        checks: Vec::with_capacity(count),
        lay: given.lay.clone(),
        least_spare: None,
        device_losses: Vec::new(),
        height_psi: Vec::with_capacity(count),
        search_cost: None,
        short_psi: 0.0,
        remedy: None,
        short_by: None,
        too_fast: Term::number(0),
        main_idle: false,
        typed_over: Vec::new(),
        choice_check: None,
        well_check: None,
    };
    let supply = context.settings.get(Setting::SupplyPressure);
    let kept = context.settings.get(Setting::PressureToSpare);
    let mut trouble = run_findings::Trouble::default();
    for position in 0..count {
        let run = &context.job.runs[context.network.order[position]];
        let row = book.row(columns.run.table());
        let line = book.row(friction_columns.run.table());
        let name = run.name.figure(book);
        book.put(row, columns.run, name.clone());
        book.put(line, friction_columns.run, name);
        let from = run.from.figure(book);
        book.put(row, columns.from, from);
        book.label(row, columns.water, given.waters[position].words());
        book.put(row, columns.units, given.loads.fixture_units[position].clone());
        let demand = book.put(row, columns.demand, given.loads.demand_gpm[position].clone());
        book.label(row, columns.material, &given.materials[position]);

        let (size, chosen) = put_size(book, context, &columns, row, position, &given);
        let friction =
            put_friction(book, context, tables, &friction_columns, line, position, &given, &size, &forms.of(position));
        let bore = book.put(row, columns.bore, friction.bore.clone());
        let velocity = book.put(row, columns.velocity, friction::velocity(&demand, &bore));
        let per_100_ft =
            friction.finish(book, context, tables, &friction_columns, line, &given.water, &bore, &velocity, &demand);
        let hundred = Term::number(100);
        let friction_psi = book.put(row, columns.friction, &friction.length * &per_100_ft / &hundred);
        let fittings_psi = book.put(row, columns.fittings, &friction.fitting_ft * &per_100_ft / &hundred);

        let start = context.network.parent[position].map_or_else(|| supply.clone(), |p| sizes.end_psi[p].clone());
        let mut losses = Vec::new();
        let mut at = start.clone();
        for (index, device) in given.devices.iter().enumerate().filter(|(_, d)| d.position == position) {
            if let (Some(columns), Some(row)) = (&device_columns, device_rows[index]) {
                let (out, loss) = put_device(book, context, tables, columns, row, device, &at, &demand);
                sizes.device_losses.push((device.device, position, loss.clone()));
                losses.push(loss);
                at = out;
            }
        }
        let losses: Vec<&Term> = losses.iter().collect();
        let devices_psi = (!losses.is_empty()).then(|| book.put(row, columns.devices, Term::total(&losses)));
        let rise = run.rise_ft.figure(book);
        let height = book.put(row, columns.height, rise * &tables.psi_per_ft);
        let mut lost = &friction_psi + &fittings_psi;
        if let Some(devices) = &devices_psi {
            lost = lost + devices;
        }
        let behind = match &devices_psi {
            Some(devices) => &start - &friction_psi - &fittings_psi - devices,
            None => &start - &friction_psi - &fittings_psi,
        };
        let end = book.put(row, columns.end, behind - &height);
        let need = given.loads.need_psi[position].as_ref().map(|need| book.put(row, columns.need, need.clone()));
        let short = need.as_ref().map(|need| {
            let spare = book.put(row, columns.spare, &end - need);
            book.put(line, friction_columns.short, (&kept - &spare).max(&Term::number(0)))
        });
        let check = book.put(row, columns.check, verdict(&end, short.as_ref(), &velocity, &friction.limit));
        if let Some(chosen) = chosen {
            book.check_choice(&chosen, &check);
        }
        // An unknown material has been told already, and so has what takes the pressure from a run farther up.
        let known = context.rules.material(&given.materials[position]).is_some();
        if known && friction.pipe_row.value().fault().is_some() {
            run_findings::without_pipe(context, run, position, &given, findings);
        } else if end.value().fault().is_none() {
            if let (Some(need), Some(short)) = (&need, &short) {
                trouble.outlet(context, run, given.picked[position].word, [&end, need, short]);
            }
            trouble.speed(context, run, position, &given, [&velocity, &friction.limit]);
        }
        sizes.height_psi.push(height);
        sizes.size_keys.push(size);
        sizes.length_ft.push(friction.length);
        sizes.bend_parts.push(friction.bend);
        sizes.pipe_keys.push(friction.pipe);
        sizes.pipe_rows.push(friction.pipe_row);
        sizes.velocity_ft_s.push(velocity);
        sizes.loss_psi.push(lost);
        sizes.end_psi.push(end);
        sizes.checks.push(check);
    }
    trouble.say(context, given.sizes_will, findings);
    if given.loads.need_psi.iter().any(Option::is_some) {
        let spare = book.whole(columns.spare);
        let runs = book.whole(columns.run);
        let list = List::put(book, context.page(Page::Sizing), "Where pressure is tightest", [0.0; 2], Unit::Psi);
        let least = list.line(book, "Least to spare at an outlet, psi", Term::least(&spare));
        let place = list.line(book, "At the end of run", Term::at(&runs, &Term::row_of(&least, &spare)));
        run_findings::margin(context, &least, &place, findings);
        sizes.short_by = Some(list.line(book, "Short by, psi", (&kept - &least).max(&Term::number(0))));
        sizes.least_spare = Some((least, place));
    }
    sizes.too_fast = put_too_fast(book, context, &columns);
    sizes.main_idle = given.structure.main_runs.iter().all(|position| match given.picked[*position].word {
        Word::Run => true,
        Word::Main => false,
        Word::Choice => {
            context.job.runs[context.network.order[*position]].status.get().is_some_and(Status::is_in_place)
        }
    });
    let unknown_forms = forms.finish(book, context, &given, &sizes);
    sizes.typed_over.extend(unknown_forms.map(|count| ("Forms typed over with what is none", count)));
    let [tank, valve] = tables.curves_off.clone();
    sizes.typed_over.push(("Demand out of order, without flush valves", tank));
    sizes.typed_over.push(("Demand out of order, with flush valves", valve));
    sizes.form_choices = forms.choices();
    sizes.choice_check = Some(chosen_on::put(
        book,
        context,
        &chosen_on::Columns {
            demand: columns.demand,
            height: columns.height,
            need: columns.need,
            devices: columns.devices,
            bore: columns.bore,
            length: friction_columns.length,
            limit: friction_columns.limit,
        },
    ));
    sizes.typed_over.push((
        "Ways typed over",
        ways::put(book, context, &given.loads, &given.structure.forks, &given.structure.manifold_at),
    ));
    sizes.outlets = given.outlets;
    sizes
}

/// The size cell, live: what Runs says, else Main size, else the choice. And the choice, where there is one.
fn put_size(
    book: &mut Book,
    context: &Context,
    columns: &SizingColumns,
    row: RowId,
    position: usize,
    given: &Given,
) -> (Term, Option<Term>) {
    let run = &context.job.runs[context.network.order[position]];
    let Picked { size, word } = given.picked[position];
    if word == Word::Run {
        let typed = run.size.figure(book);
        return (book.put(row, columns.size, typed), None);
    }
    // Main size is a key already, or an empty text: the settings see to that.
    let main = context.settings.get(Setting::MainSize);
    let (fallback, chosen) = if word == Word::Main {
        (main, None)
    } else {
        let pick = size.map_or_else(|| Value::text(""), |size| Value::text(size.key()));
        let choice = book.choose_now(row, columns.chosen, pick);
        // Somebody may type another size over it, with an inch mark or without.
        let marked = choice.size_key();
        let on_main =
            given.structure.main_runs.contains(&position) && !run.status.get().is_some_and(Status::is_in_place);
        let fallback = if on_main { main.is_blank().pick(&marked, &main) } else { marked };
        (fallback, Some(choice))
    };
    let live = match run.size.as_typed(book) {
        None => fallback,
        Some(cell) => {
            // What could not be read stands for nothing until something else is typed.
            let nothing = match run.size.is_blank() {
                true => cell.is_blank(),
                false => cell.same(&Term::constant(cell.value().clone())),
            };
            nothing.pick(&fallback, &book.size_typed(&cell))
        }
    };
    (book.put(row, columns.size, live), chosen)
}

/// Half-made friction of a run: what is known before the velocity is.
struct Friction {
    pipe: Term,
    pipe_row: Term,
    bore: Term,
    length: Term,
    /// What a bend takes, where that is not an elbow in every size.
    bend: Option<Term>,
    fitting_ft: Term,
    limit: Term,
}

#[allow(clippy::too_many_arguments)]
fn put_friction(
    book: &mut Book,
    context: &Context,
    tables: &RuleTables,
    columns: &FrictionColumns,
    line: RowId,
    position: usize,
    given: &Given,
    size: &Term,
    form: &Term,
) -> Friction {
    let run = &context.job.runs[context.network.order[position]];
    let material = Term::text(format!("{} ", given.materials[position]));
    let pipe = book.put(line, columns.pipe, Term::join(&[&material, size]));
    let pipe_row = book.put(line, columns.pipe_row, Term::row_of(&pipe, &tables.pipe.key));
    let bore = Term::at(&tables.pipe.id_in, &pipe_row);
    let length = run.length_ft.figure(book);
    let length = book.put(line, columns.length, length);
    let bend = given.lay.bend_part(context, &given.materials[position], form, size);
    let bend = match bend {
        Some(part) => Some(book.put(line, columns.bend, part)),
        None => {
            book.label(line, columns.bend, ELBOW);
            None
        }
    };
    let fitting = match fitting_loss::allowance(context) {
        fitting_loss::Allowance::None => Term::number(0),
        fitting_loss::Allowance::Percent => &length * fitting_loss::percent_figure(context),
        fitting_loss::Allowance::ByFitting => {
            let system = Term::text(format!("{} ", fitting_loss::system(context, &given.materials[position])));
            let key = Term::join(&[&system, size]);
            let fitting_row = book.put(line, columns.fitting_row, Term::row_of(&key, &tables.fittings.key));
            let bends = run.bends.figure(book);
            let elbow = Term::at(&tables.fittings.elbow, &fitting_row);
            // A sweep is pipe like any other.
            let elbows = match &bend {
                Some(part) => part.same(&Term::text(ELBOW)).pick(&(bends * elbow), &Term::number(0)),
                None => bends * elbow,
            };
            match given.entries[position] {
                Entry::Supply => elbows,
                Entry::Coupling => Term::at(&tables.fittings.coupling, &fitting_row) + elbows,
                Entry::TeeRun => Term::at(&tables.fittings.tee_run, &fitting_row) + elbows,
                Entry::TeeBranch => Term::at(&tables.fittings.tee_branch, &fitting_row) + elbows,
            }
        }
    };
    let fitting_ft = book.put(line, columns.fitting_ft, fitting);
    let limit = book.put(line, columns.limit, given.velocity_limit[position].clone());
    Friction { pipe, pipe_row, bore, length, bend, fitting_ft, limit }
}

impl Friction {
    /// Both methods, in cells of their own; the one in use comes back, psi per 100 ft.
    #[allow(clippy::too_many_arguments)]
    fn finish(
        &self,
        book: &mut Book,
        context: &Context,
        tables: &RuleTables,
        columns: &FrictionColumns,
        line: RowId,
        water: &WaterFigures,
        bore: &Term,
        velocity: &Term,
        demand: &Term,
    ) -> Term {
        let roughness = Term::at(&tables.pipe.roughness_millionths, &self.pipe_row) / Term::number(1_000_000);
        // Never under 1: still water has no factor, and loses nothing at velocity 0 whatever its factor.
        let reynolds = friction::reynolds(velocity, bore, &water.viscosity_ft2_s).max(&Term::number(1));
        let reynolds = book.put(line, columns.reynolds, reynolds);
        let turbulent = book.put(line, columns.turbulent, friction::turbulent_factor(&reynolds, &roughness, bore));
        let factor = book.put(line, columns.factor, friction::factor(&reynolds, &turbulent));
        let darcy = friction::darcy_weisbach_psi_per_100_ft(&factor, velocity, bore, &tables.psi_per_ft);
        let darcy = book.put(line, columns.darcy, darcy);
        let c = Term::at(&tables.pipe.c, &self.pipe_row);
        let hazen = friction::hazen_williams_psi_per_100_ft(demand, &c, bore, &tables.psi_per_ft);
        let hazen = book.put(line, columns.hazen, hazen);
        if &*context.job.text(Setting::LossMethod) == "Darcy-Weisbach" { darcy } else { hazen }
    }
}

/// Pressure behind a device and what it took, psi.
#[allow(clippy::too_many_arguments)]
fn put_device(
    book: &mut Book,
    context: &Context,
    tables: &RuleTables,
    columns: &DeviceColumns,
    row: RowId,
    device: &InLine,
    inlet: &Term,
    demand: &Term,
) -> (Term, Term) {
    let input = &context.job.devices[device.device];
    let kind = input.kind.as_written(book);
    for (column, words) in
        [(columns.device, input.name.figure(book)), (columns.run, input.on_run.figure(book)), (columns.kind, kind)]
    {
        book.put(row, column, words);
    }
    let demand = book.put(row, columns.demand, demand.clone());
    let rated = put_figure(book, row, columns.rated, &device.rated_gpm);
    let loss_rated = put_figure(book, row, columns.loss_rated, &device.loss_psi);
    let flat = put_figure(book, row, columns.flat, &device.flat);
    let inlet = book.put(row, columns.inlet, inlet.clone());
    let loss = device_loss::loss(&demand, &rated, &loss_rated, &flat);
    match &device.regulator {
        None => {
            let loss = book.put(row, columns.loss, loss);
            (book.put(row, columns.outlet, &inlet - &loss), loss)
        }
        Some(regulator) => {
            let set = book.put(row, columns.set, regulator.set_psi.clone());
            let falloff = &regulator.falloff_psi * &demand / &regulator.falloff_gpm;
            let falloff = book.put(row, columns.falloff, falloff);
            let out = device_loss::regulated(&inlet, &loss, &set, &tables.regulator_share, &falloff);
            let out = book.put(row, columns.outlet, out);
            (out.clone(), book.put(row, columns.loss, &inlet - &out))
        }
    }
}

/// Points at the figure, or writes a constant as a plain number.
fn put_figure(book: &mut Book, row: RowId, column: ColumnId, term: &Term) -> Term {
    book.put_or_state(row, column, term.clone(), "counted as without loss")
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

/// How many runs carry their water too fast now.
fn put_too_fast(book: &mut Book, context: &Context, columns: &SizingColumns) -> Term {
    let checks = book.whole(columns.check);
    let list = List::put(book, context.page(Page::Sizing), "Where water runs too fast", [0.0; 2], Unit::Each);
    let too_fast = Term::count_where(&[(&checks, &Term::text(TOO_FAST))]);
    list.line(book, "Runs over their highest velocity", too_fast)
}
