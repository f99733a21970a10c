//! The rule rows that formulas use, standing in the book on the Rules sheet with their sources.

use super::Context;
use crate::figure::lookup::Curve;
use crate::figure::{Book, Column, Term};
use crate::model::{Setting, Size, fold};
use crate::rules::{Curve as RuleCurve, Listing, PipeCells, UsersRow};
use crate::subjects::water::rules::{
    DemandCells, DeviceCells, FittingCells, FixtureUnits, GROUPS, GroupCells, Outlet, OutletCells, UnitCells,
    WaterCells, split_group,
};
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
    /// Pipe by its key: `PEX 3/4"`.
    pub pipe: PipeCells<Column>,
    /// Equivalent feet by fitting system and size: `metal insert 3/4"`.
    pub fittings: FittingCells<Column>,
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
        let fixtures = put_fixtures(book, context);
        let groups = put_groups(book, context);
        let (outlets, any_outlet) = put_outlets(book, context);
        let limits = put_limits(book, context);
        let limit = |name: &str, otherwise: Decimal| {
            limits.get(&fold(name)).cloned().unwrap_or_else(|| Term::number(otherwise))
        };
        let (tank_curve, tank_off) = put_demand(book, context, "Demand without flush valves", RuleCurve::Tank);
        let (valve_curve, valve_off) = put_demand(book, context, "Demand with flush valves", RuleCurve::Valve);
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
            viscosity: put_viscosity(book, context),
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

fn put_fixtures(book: &mut Book, context: &Context) -> BTreeMap<String, FixtureRow> {
    let (code, occupancy) = (context.code, context.occupancy);
    let title = format!("Fixture units, {} {}", code.name(), occupancy.word());
    let mut listing = Listing::new(context, &title).open(book);
    let mut rows = BTreeMap::new();
    for row in context.rules.all_fixture_units(code, occupancy).chain(lent_units(context)) {
        // A row that is lent stands for one of this code.
        let UnitCells { hot, cold, combined, additional, .. } =
            listing.row(book, &FixtureUnits { code, occupancy, ..row.clone() });
        let curve = row.curve.or(context.rules.fixture(&row.fixture).map(|f| f.curve));
        let flush_valve = curve == Some(RuleCurve::Valve);
        rows.insert(row.fixture.to_string(), FixtureRow { hot, cold, combined, additional, flush_valve });
    }
    rows
}

/// Rows of other codes, or of the other use, for fixtures of the job that the code has none for; the checks tell of them.
fn lent_units<'a>(context: &'a Context) -> Vec<&'a FixtureUnits> {
    let (code, occupancy, rules) = (context.code, context.occupancy, context.rules);
    let mut lent: Vec<&FixtureUnits> = Vec::new();
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
    let (code, occupancy) = (context.code, context.occupancy);
    let mut listing = Listing::new(context, &format!("Group values, {} {}", code.name(), occupancy.word()));
    let groups = GROUPS.iter().flat_map(|group| context.rules.fixture_groups(code, occupancy, group));
    let put = groups.map(|row| {
        let GroupCells { hot, cold, combined, .. } = listing.row(book, row);
        (row.group.to_string(), GroupRow { hot, cold, combined, members: row.members.clone() })
    });
    put.collect()
}

fn put_outlets(book: &mut Book, context: &Context) -> (BTreeMap<String, OutletRow>, OutletRow) {
    let (code, occupancy) = (context.code, context.occupancy);
    let title = format!("Flow and pressure at outlets, {}", code.name());
    let mut listing = Listing::new(context, &title).open(book);
    let mut rows = BTreeMap::new();
    let mut any = None;
    for fixture in &context.job.fixtures {
        let Some(kind) = context.rules.canonical_fixture(&fixture.fixture.value) else { continue };
        let Some(row) = context.rules.outlet(code, occupancy, kind).filter(|_| !rows.contains_key(kind)) else {
            continue;
        };
        // The row may be one for any use, or for any fixture: it stands for this one.
        let own = Outlet { code, occupancy: Some(occupancy), fixture: kind.into(), ..row.clone() };
        let OutletCells { gpm, psi, .. } = listing.row(book, &own);
        any.get_or_insert_with(|| OutletRow { gpm: None, psi: psi.clone() });
        rows.insert(kind.to_owned(), OutletRow { gpm: row.gpm.map(|_| gpm), psi });
    }
    (rows, any.unwrap_or_else(|| OutletRow { gpm: None, psi: Term::number(8) }))
}

/// Puts a curve. Gives it with how many of its rows do not draw less than the one above: pricing refuses such a curve.
fn put_demand(book: &mut Book, context: &Context, title: &str, curve: RuleCurve) -> (Curve, Term) {
    let mut listing = Listing::new(context, title);
    let check = listing.check(book);
    // High to low, as MATCH(x, range, -1) wants it: the next row up is the last that is still large enough.
    let mut above: Option<Term> = None;
    for row in context.rules.demand(curve).iter().rev() {
        let (line, DemandCells { gpm, .. }) = listing.line(book, row);
        if let Some(above) = &above {
            book.put(line, check, above.above(&gpm).ok_or("out of order"));
        }
        above = Some(gpm);
    }
    let checks = book.whole(check);
    let off = Term::not_ok(&checks);
    let DemandCells { units, gpm } = listing.whole(book);
    (Curve { x: units, y: gpm }, off)
}

fn put_pipe(book: &mut Book, context: &Context, materials: &[Arc<str>]) -> PipeCells<Column> {
    let mut listing = Listing::new(context, "Pipe");
    for row in context.rules.pipes().iter().filter(|pipe| materials.contains(&pipe.material)) {
        listing.row(book, row);
    }
    listing.whole(book)
}

fn put_fittings(book: &mut Book, context: &Context, materials: &[Arc<str>]) -> FittingCells<Column> {
    let mut listing = Listing::new(context, "Fittings as feet of pipe");
    let systems: Vec<String> = materials.iter().map(|m| super::fitting_loss::system(context, m)).collect();
    for row in context.rules.all_fitting_lengths().iter().filter(|row| systems.iter().any(|s| **s == *row.system)) {
        listing.row(book, row);
    }
    listing.whole(book)
}

fn put_viscosity(book: &mut Book, context: &Context) -> Curve {
    let mut listing = Listing::new(context, "Water");
    for row in context.rules.water_properties().iter().rev() {
        listing.row(book, row);
    }
    let WaterCells { temperature_f, kinematic_viscosity_ft2_s } = listing.whole(book);
    Curve { x: temperature_f, y: kinematic_viscosity_ft2_s }
}

/// The rated rows of the job's devices, by their row in the Devices sheet.
fn put_devices(book: &mut Book, context: &Context) -> BTreeMap<u32, DeviceRow> {
    let mut listing = Listing::new(context, "Losses of devices, typical");
    let main_runs = super::fork::main_runs(context.network);
    let main_size = |position: usize| context.job.size(Setting::MainSize).filter(|_| main_runs.contains(&position));
    let mut rows = BTreeMap::new();
    for device in &context.job.devices {
        // A device without a size is of its run's; where the engine chooses that, it is not known yet, and 3/4 is taken.
        let of_run = |position: usize| {
            let run = context.run_at(position);
            run.size.get().or_else(|| main_size(position))
        };
        let own_size = device.size.get().or_else(|| context.network.find(&device.on_run.value).and_then(of_run));
        let size = own_size.or(Size::from_sixteenths(12));
        if let Some(row) = size.and_then(|size| context.rules.device(&device.kind.value, size)) {
            let DeviceCells { gpm, psi, flat, .. } = listing.row(book, row);
            rows.insert(device.row, DeviceRow { gpm, psi, flat, size: row.size });
        }
    }
    rows
}

/// Limits that only a job on a well asks for.
/// Names of the limits.
pub(super) const LEAST_RUN: &str = "least pump run";
pub(super) const UNDER_CUT_IN: &str = "precharge under cut-in";
const OF_WELL: [&str; 2] = [LEAST_RUN, UNDER_CUT_IN];
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
    let mut listing = Listing::new(context, "Limits").open(book);
    let mut rows = BTreeMap::new();
    let on_well = &*context.job.text(Setting::Supply) == "well";
    let of_well = OF_WELL.iter().filter(|_| on_well);
    for name in LIMITS.iter().chain(of_well) {
        let Some(limit) = context.rules.limit(name, context.code) else { continue };
        let keys = [("limit", &*limit.limit), ("code", context.code.name())];
        let users = UsersRow { sheet: "Limits", keys: &keys };
        rows.insert(fold(name), listing.row_of(book, limit, users).value);
    }
    rows
}
