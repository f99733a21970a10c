//! The rule rows that formulas use, standing in the book on the Rules sheet with their sources.

use super::Context;
pub(super) use super::rule_writer::Writer;
use crate::figure::lookup::Curve;
use crate::figure::written::UsersRow;
use crate::figure::{Book, Column, Term, Value};
use crate::model::{Setting, Size, fold};
use crate::rules::{Curve as RuleCurve, GROUPS, Rules, split_group};
use crate::unit::Unit;
use rust_decimal::{Decimal, dec};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A fixture's units, as figures.
#[derive(Debug, Clone)]
pub struct FixtureRow {
    pub hot: Term,
    pub cold: Term,
    pub combined: Term,
    /// Each additional one (hose bibbs); the combined value where the code makes no difference.
    pub additional: Term,
    pub flush_valve: bool,
}

/// A group's units, as figures, and which fixtures make it up (each entry lists alternatives).
#[derive(Debug, Clone)]
pub struct GroupRow {
    pub hot: Term,
    pub cold: Term,
    pub combined: Term,
    pub members: Vec<Vec<Arc<str>>>,
}

/// What an outlet is listed for: its flow where the code gives one, and its flow pressure.
#[derive(Debug, Clone)]
pub struct OutletRow {
    pub gpm: Option<Term>,
    pub psi: Term,
}

/// Pipe rows that formulas look up by key (`PEX 3/4"`).
#[derive(Debug, Clone)]
pub struct PipeColumns {
    pub key: Column,
    pub od_in: Column,
    pub id_in: Column,
    pub c: Column,
    /// Millionths of an inch, so that a reader sees digits.
    pub roughness_millionths: Column,
}

/// Equivalent feet by fitting system and size (`metal insert 3/4"`).
#[derive(Debug, Clone)]
pub struct FittingColumns {
    pub key: Column,
    pub coupling: Column,
    pub elbow: Column,
    pub tee_run: Column,
    pub tee_branch: Column,
}

/// All rule tables of the size stage.
#[derive(Debug)]
pub struct RuleTables {
    fixtures: BTreeMap<String, FixtureRow>,
    groups: Vec<(String, GroupRow)>,
    outlets: BTreeMap<String, OutletRow>,
    any_outlet: OutletRow,
    devices: BTreeMap<u32, DeviceRow>,
    pub tank_curve: Curve,
    pub valve_curve: Curve,
    /// Of each curve, how many rows are out of order.
    pub curves_off: [Term; 2],
    pub pipe: PipeColumns,
    pub fittings: FittingColumns,
    /// Kinematic viscosity of water, millionths of ft2/s, by temperature F.
    pub viscosity: Curve,
    pub psi_per_ft: Term,
    pub regulator_share: Term,
    limits: BTreeMap<String, Term>,
}

/// A device's rated row.
#[derive(Debug, Clone)]
pub struct DeviceRow {
    pub gpm: Term,
    pub psi: Term,
    pub flat: Term,
    /// The size the row is for.
    pub size: Size,
}

impl RuleTables {
    /// Puts the tables, and says nothing: rows that are missing are told where they are missed.
    pub fn put(book: &mut Book, context: &Context, materials: &[Arc<str>]) -> Self {
        let rules = context.rules;
        let fixtures = put_fixtures(book, context);
        let groups = put_groups(book, context);
        let (outlets, any_outlet) = put_outlets(book, context);
        let limits = put_limits(book, context);
        let limit = |name: &str, otherwise: Decimal| {
            limits.get(&fold(name)).cloned().unwrap_or_else(|| Term::number(otherwise))
        };
        let (tank_curve, tank_off) = put_demand(book, context, "Demand without flush valves", Curves::Tank);
        let (valve_curve, valve_off) = put_demand(book, context, "Demand with flush valves", Curves::Valve);
        Self {
            fixtures,
            groups,
            outlets,
            any_outlet,
            tank_curve,
            valve_curve,
            curves_off: [tank_off, valve_off],
            pipe: put_pipe(book, context, materials),
            fittings: put_fittings(book, context, materials),
            viscosity: put_viscosity(book, rules, context),
            devices: put_devices(book, context),
            psi_per_ft: limit("psi per foot", dec!(0.4335)),
            regulator_share: limit("regulator share", dec!(0.8)),
            limits,
        }
    }

    pub fn fixture_row(&self, kind: &str) -> Option<FixtureRow> {
        self.fixtures.get(kind).cloned()
    }

    pub fn bibb_row(&self) -> Option<FixtureRow> {
        self.fixture_row("hose bibb")
    }

    /// The code's group values that a Group cell (`full bath A`) can mean; several where the members decide.
    pub fn group_rows(&self, label: &str) -> Vec<GroupRow> {
        let Some((group, _)) = split_group(label) else { return Vec::new() };
        self.groups.iter().filter(|(name, _)| name == group).map(|(_, row)| row.clone()).collect()
    }

    pub fn group_names(&self) -> Vec<String> {
        let mut names: Vec<String> = self.groups.iter().map(|(name, _)| name.clone()).collect();
        names.dedup();
        names
    }

    /// What an outlet of this kind needs; a kind without a row takes the row for any outlet.
    pub fn outlet_row(&self, kind: &str) -> OutletRow {
        self.outlets.get(kind).unwrap_or(&self.any_outlet).clone()
    }

    /// The rated row of a device, by kind and size.
    pub fn device_row(&self, device: &crate::model::Device) -> Option<DeviceRow> {
        self.devices.get(&device.row).cloned()
    }

    pub fn limit(&self, name: &str) -> Option<Term> {
        self.limits.get(&fold(name)).cloned()
    }

    /// Highest velocity in a run: the job's own word, else the limits table by water and material. ft/s.
    pub fn velocity_limit(&self, context: &Context, material: &str, hot: bool) -> Term {
        let setting = if hot { Setting::VelocityLimitHot } else { Setting::VelocityLimitCold };
        let name = match (hot, material.starts_with("copper")) {
            (false, _) => "velocity cold",
            (true, true) => "velocity hot copper",
            (true, false) => "velocity hot",
        };
        let by_table = self.limit(name).unwrap_or_else(|| Term::number(8));
        let own = context.settings.get(setting);
        if context.settings.is_blank(setting) && own.fig().is_none() {
            return by_table;
        }
        own.is_blank().pick(&by_table, &own)
    }
}

/// Which demand curve.
#[derive(Clone, Copy)]
enum Curves {
    Tank,
    Valve,
}

fn put_fixtures(book: &mut Book, context: &Context) -> BTreeMap<String, FixtureRow> {
    let (code, occupancy) = (context.code(), context.occupancy());
    let title = format!("Fixture units, {} {}", code.name(), occupancy.name());
    let units = Unit::FixtureUnits;
    let headings =
        [("Fixture", Unit::None), ("Hot", units), ("Cold", units), ("Both sides", units), ("Each additional", units)];
    let writer = Writer::new(book, context, &title, &headings);
    let mut rows = BTreeMap::new();
    for row in context.rules.all_fixture_units(code, occupancy).chain(lent_units(context)) {
        let values = [words(&row.fixture), exact(row.hot), exact(row.cold), exact(row.combined), exact(row.additional)];
        let keys = [("code", code.name()), ("occupancy", occupancy.name()), ("fixture", &row.fixture)];
        let users = UsersRow { sheet: "Units", keys: &keys };
        let names = [(1, "hot"), (2, "cold"), (3, "combined"), (4, "additional")];
        let terms = writer.open_row(book, &values, &row.origin, &users, &names);
        let curve = row.curve.or(context.rules.fixture(&row.fixture).map(|f| f.curve));
        if let [_, Some(hot), Some(cold), Some(combined), Some(additional)] = terms.as_slice() {
            let [hot, cold, combined, additional] = [hot, cold, combined, additional].map(Clone::clone);
            let flush_valve = curve == Some(RuleCurve::Valve);
            rows.insert(row.fixture.to_string(), FixtureRow { hot, cold, combined, additional, flush_valve });
        }
    }
    rows
}

/// Rows of other codes, or of the other use, for fixtures of the job that the code has none for; the checks tell of them.
fn lent_units<'a>(context: &'a Context) -> Vec<&'a crate::rules::FixtureUnits> {
    let (code, occupancy, rules) = (context.code(), context.occupancy(), context.rules);
    let mut lent: Vec<&crate::rules::FixtureUnits> = Vec::new();
    for fixture in context.job.fixtures.iter().filter(|fixture| fixture.gpm.is_blank()) {
        let Some(kind) = rules.canonical_fixture(&fixture.fixture.value).filter(|kind| *kind != "other") else {
            continue;
        };
        if rules.fixture_units(code, occupancy, kind).is_none() && !lent.iter().any(|row| *row.fixture == *kind) {
            lent.extend(rules.units_or_lent(code, occupancy, kind));
        }
    }
    lent
}

fn put_groups(book: &mut Book, context: &Context) -> Vec<(String, GroupRow)> {
    let (code, occupancy) = (context.code(), context.occupancy());
    let title = format!("Group values, {} {}", code.name(), occupancy.name());
    let units = Unit::FixtureUnits;
    let headings =
        [("Group", Unit::None), ("Hot", units), ("Cold", units), ("Both sides", units), ("Members", Unit::None)];
    let groups: Vec<_> = GROUPS.iter().flat_map(|group| context.rules.fixture_groups(code, occupancy, group)).collect();
    if groups.is_empty() {
        return Vec::new();
    }
    let writer = Writer::new(book, context, &title, &headings);
    let mut rows = Vec::new();
    for row in groups {
        let members = row.members.iter().map(|m| m.join(" or ")).collect::<Vec<_>>().join(", ");
        let values = [words(&row.group), exact(row.hot), exact(row.cold), exact(row.combined), words(&members)];
        let slots = row.members.iter().map(|m| m.join("/")).collect::<Vec<_>>().join(";");
        let (code, occupancy) = (code.name(), occupancy.name());
        let keys = [("code", code), ("occupancy", occupancy), ("group", &*row.group), ("members", &*slots)];
        let users = UsersRow { sheet: "Group units", keys: &keys };
        let terms = writer.open_row(book, &values, &row.origin, &users, &[(1, "hot"), (2, "cold"), (3, "combined")]);
        if let [_, Some(hot), Some(cold), Some(combined), _] = terms.as_slice() {
            let [hot, cold, combined] = [hot, cold, combined].map(Clone::clone);
            rows.push((row.group.to_string(), GroupRow { hot, cold, combined, members: row.members.clone() }));
        }
    }
    rows
}

fn put_outlets(book: &mut Book, context: &Context) -> (BTreeMap<String, OutletRow>, OutletRow) {
    let headings = [("Outlet", Unit::None), ("Flow", Unit::Gpm), ("Flow pressure", Unit::Psi)];
    let writer =
        Writer::new(book, context, &format!("Flow and pressure at outlets, {}", context.code().name()), &headings);
    let mut rows = BTreeMap::new();
    let mut any = None;
    let mut kinds: Vec<&str> = Vec::new();
    for fixture in &context.job.fixtures {
        if let Some(kind) = context.rules.canonical_fixture(&fixture.fixture.value)
            && !kinds.contains(&kind)
        {
            kinds.push(kind);
        }
    }
    for kind in kinds {
        let Some(row) = context.rules.outlet(context.code(), context.occupancy(), kind) else { continue };
        let keys = [("code", context.code().name()), ("occupancy", context.occupancy().name()), ("fixture", kind)];
        let users = UsersRow { sheet: "Outlets", keys: &keys };
        let values = [words(kind), row.gpm.and_then(exact), exact(row.psi)];
        let terms = writer.open_row(book, &values, &row.origin, &users, &[(1, "gpm"), (2, "psi")]);
        if let [_, gpm, Some(psi)] = terms.as_slice() {
            let outlet = OutletRow { gpm: gpm.clone(), psi: psi.clone() };
            any.get_or_insert_with(|| OutletRow { gpm: None, psi: psi.clone() });
            rows.insert(kind.to_owned(), outlet);
        }
    }
    (rows, any.unwrap_or_else(|| OutletRow { gpm: None, psi: Term::number(8) }))
}

/// Puts a curve. Gives it with how many of its rows do not draw less than the one above: pricing refuses such a curve.
fn put_demand(book: &mut Book, context: &Context, title: &str, which: Curves) -> (Curve, Term) {
    let writer = Writer::new(book, context, title, &[("Fixture units", Unit::FixtureUnits), ("Demand", Unit::Gpm)]);
    let check = writer.check(book);
    let curve = match which {
        Curves::Tank => RuleCurve::Tank,
        Curves::Valve => RuleCurve::Valve,
    };
    // High to low, as MATCH(x, range, -1) wants it: the next row up is the last that is still large enough.
    let mut above: Option<Term> = None;
    for row in context.rules.demand(curve).iter().rev() {
        let units = row.units.normalize().to_string();
        let keys = [("curve", if matches!(which, Curves::Tank) { "tank" } else { "valve" }), ("units", &*units)];
        let users = UsersRow { sheet: "Demand", keys: &keys };
        let (at, terms) = writer.start(book, &[exact(row.units), exact(row.gpm)], &row.origin);
        book.write_down(at, writer.as_written, &users, &[(writer.columns[1], "gpm", Decimal::ONE)]);
        let Some(gpm) = terms.into_iter().nth(1).flatten() else { continue };
        if let Some(above) = &above {
            book.put(at, check, above.above(&gpm).pick(&Term::text("OK"), &Term::text("out of order")));
        }
        above = Some(gpm);
    }
    let checks = book.whole(check);
    let rows = Term::number(checks.values().len().saturating_sub(1) as u64);
    let off = rows - Term::count_where(&[(&checks, &Term::text("OK"))]);
    (Curve { x: writer.whole(book, 0), y: writer.whole(book, 1) }, off)
}

fn put_pipe(book: &mut Book, context: &Context, materials: &[Arc<str>]) -> PipeColumns {
    let headings = [
        ("Pipe", Unit::None),
        ("Outside diameter", Unit::Inches),
        ("Inside diameter", Unit::Inches),
        ("C", Unit::Each),
        ("Roughness, millionths of an inch", Unit::Ratio),
        ("How the bore is reckoned", Unit::None),
    ];
    let writer = Writer::new(book, context, "Pipe", &headings);
    let million = Decimal::from(1_000_000);
    for row in context.rules.pipes().iter().filter(|pipe| materials.contains(&pipe.material)) {
        let values = [
            words(&row.key()),
            row.od_in.and_then(exact),
            exact(row.id_in),
            exact(row.c),
            exact((row.roughness_in * million).normalize()),
            words(&row.note),
        ];
        let size = row.size.to_string();
        let users = UsersRow { sheet: "Pipe", keys: &[("material", &*row.material), ("size", &*size)] };
        let names = [(1, "outside_diameter_in"), (2, "inside_diameter_in"), (3, "c")];
        writer.open_row(book, &values, &row.origin, &users, &names);
    }
    PipeColumns {
        key: writer.whole(book, 0),
        od_in: writer.whole(book, 1),
        id_in: writer.whole(book, 2),
        c: writer.whole(book, 3),
        roughness_millionths: writer.whole(book, 4),
    }
}

fn put_fittings(book: &mut Book, context: &Context, materials: &[Arc<str>]) -> FittingColumns {
    let feet = Unit::Feet;
    let headings =
        [("Fittings", Unit::None), ("Coupling", feet), ("Elbow", feet), ("Tee, run", feet), ("Tee, branch", feet)];
    let writer = Writer::new(book, context, "Fittings as feet of pipe", &headings);
    let systems: Vec<String> = materials.iter().map(|m| super::fitting_loss::system(context, m)).collect();
    for row in context.rules.all_fitting_lengths().iter().filter(|row| systems.iter().any(|s| **s == *row.system)) {
        let key = format!("{} {}", row.system, row.size.key());
        let lengths = [row.coupling_ft, row.elbow_ft, row.tee_run_ft, row.tee_branch_ft];
        let values: Vec<_> = std::iter::once(words(&key)).chain(lengths.map(exact)).collect();
        let size = row.size.to_string();
        let users = UsersRow { sheet: "Fitting lengths", keys: &[("system", &*row.system), ("size", &*size)] };
        let names = [(1, "coupling"), (2, "elbow"), (3, "tee_run"), (4, "tee_branch")];
        writer.open_row(book, &values, &row.origin, &users, &names);
    }
    FittingColumns {
        key: writer.whole(book, 0),
        coupling: writer.whole(book, 1),
        elbow: writer.whole(book, 2),
        tee_run: writer.whole(book, 3),
        tee_branch: writer.whole(book, 4),
    }
}

/// Viscosity in millionths of ft2/s, so that a reader sees digits.
fn put_viscosity(book: &mut Book, rules: &Rules, context: &Context) -> Curve {
    let headings = [("Temperature", Unit::Fahrenheit), ("Kinematic viscosity, millionths of ft2/s", Unit::Ratio)];
    let writer = Writer::new(book, context, "Water", &headings);
    let million = Decimal::from(1_000_000);
    for row in rules.water_properties().iter().rev() {
        let viscosity = (row.kinematic_viscosity_ft2_s * million).normalize();
        let temperature = row.temperature_f.normalize().to_string();
        let users = UsersRow { sheet: "Water properties", keys: &[("temperature_f", &*temperature)] };
        let (line, _) = writer.start(book, &[exact(row.temperature_f), exact(viscosity)], &row.origin);
        let figure = (writer.columns[1], "kinematic_viscosity_ft2_s", dec!(0.000001));
        book.write_down(line, writer.as_written, &users, &[figure]);
    }
    Curve { x: writer.whole(book, 0), y: writer.whole(book, 1) }
}

/// The rated rows of the job's devices, by their row in the Devices sheet.
fn put_devices(book: &mut Book, context: &Context) -> BTreeMap<u32, DeviceRow> {
    let mut used: Vec<(u32, &crate::rules::DeviceLoss)> = Vec::new();
    let main_runs = super::sizing::main_runs(context);
    let main_size = |position: usize| context.job.size(Setting::MainSize).filter(|_| main_runs.contains(&position));
    for device in &context.job.devices {
        // A device without a size is of its run's; where the engine chooses that, it is not known yet, and 3/4 is taken.
        let of_run = |position: usize| {
            let run = &context.job.runs[context.network.order[position]];
            run.size.get().or_else(|| main_size(position))
        };
        let own_size = device.size.get().or_else(|| context.network.find(&device.on_run.value).and_then(of_run));
        let size = own_size.or(Size::from_sixteenths(12));
        if let Some(row) = size.and_then(|size| context.rules.device(&device.kind.value, size)) {
            used.push((device.row, row));
        }
    }
    if used.is_empty() {
        return BTreeMap::new();
    }
    let headings = [
        ("Device", Unit::None),
        ("Rated at", Unit::Gpm),
        ("Loss there (a regulator: also its fall-off)", Unit::Psi),
        ("Share that stays", Unit::Percent),
    ];
    let writer = Writer::new(book, context, "Losses of devices, typical", &headings);
    let mut put: BTreeMap<String, DeviceRow> = BTreeMap::new();
    let mut rows = BTreeMap::new();
    for (device, row) in used {
        let name = format!("{} {}", row.kind, row.size.key());
        if !put.contains_key(&name) {
            let size = row.size.to_string();
            let users = UsersRow { sheet: "Device losses", keys: &[("kind", &*row.kind), ("size", &*size)] };
            let values = [words(&name), exact(row.gpm), exact(row.psi), exact(row.flat)];
            let names = [(1, "gpm"), (2, "psi"), (3, "flat")];
            let terms = writer.open_row(book, &values, &row.origin, &users, &names);
            if let [_, Some(gpm), Some(psi), Some(flat)] = terms.as_slice() {
                let (gpm, psi, flat) = (gpm.clone(), psi.clone(), flat.clone());
                put.insert(name.clone(), DeviceRow { gpm, psi, flat, size: row.size });
            }
        }
        if let Some(found) = put.get(&name) {
            rows.insert(device, found.clone());
        }
    }
    rows
}

/// Limits that formulas use.
const LIMITS: &[&str] = &[
    "velocity cold",
    "velocity hot",
    "velocity hot copper",
    "highest static pressure",
    "regulator share",
    "psi per foot",
    "nail plate edge distance",
    "nail plates per hole",
    "hole over pipe",
    "framing holds pipe",
    "nipple between fittings",
];

fn put_limits(book: &mut Book, context: &Context) -> BTreeMap<String, Term> {
    let writer =
        Writer::new(book, context, "Limits", &[("Limit", Unit::None), ("Value", Unit::None), ("Unit", Unit::None)]);
    let mut rows = BTreeMap::new();
    let on_well = &*context.job.text(Setting::Supply) == "well";
    let of_well = super::well::LIMITS.iter().filter(|_| on_well);
    for name in LIMITS.iter().chain(of_well) {
        let Some(limit) = context.rules.limit(name, context.code()) else { continue };
        let users = UsersRow { sheet: "Limits", keys: &[("limit", &*limit.limit), ("code", context.code().name())] };
        let values = [words(&limit.limit), exact(limit.value), words(&limit.unit)];
        let terms = writer.open_row(book, &values, &limit.origin, &users, &[(1, "value")]);
        if let [_, Some(value), _] = terms.as_slice() {
            rows.insert(fold(name), value.clone());
        }
    }
    rows
}

pub(super) fn exact(number: Decimal) -> Option<Value> {
    Some(Value::Exact(number))
}

pub(super) fn words(text: &str) -> Option<Value> {
    Some(Value::text(text))
}
