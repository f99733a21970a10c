//! The rule tables: what codes, standards and the trade say, one row a fact, each row with its source.
//!
//! In: the CSV texts that the program carries, the job's own rule sheets, the texts of a `--rules` folder. Out:
//! [`Rules`], typed and ready for look-ups, and the same tables as text for listing and export. Never: reading files, or
//! judging a job by the rules.

mod assemblies;
mod bends;
mod code_sizes;
mod conditions;
mod devices;
mod embedded;
pub mod findings;
mod fittings;
mod fixtures;
mod incoming;
mod item;
mod labor;
mod limits;
mod manifolds;
mod names;
mod origin;
mod overrides;
mod picking;
mod pipe;
mod sleeves;
mod supports;
mod table;
mod waste_allowance;
mod water;

pub use assemblies::{Part, PartMaterial, Side};
pub use bends::{BEND_SUPPORT, Bend, ELBOW, NOTHING};
pub use code_sizes::{CODE_LENGTHS, CodeSize};
pub use conditions::LaborCondition;
pub use devices::DeviceLoss;
pub use fittings::{FITTING_SYSTEMS, FittingLengths};
pub use fixtures::{FixtureGroup, FixtureKind, FixtureUnits, GROUPS, split_group};
pub use item::{Item, OTHER_KINDS, SIZED_KINDS, matches_item, matches_kind};
pub use labor::LaborHours;
pub use limits::Limit;
pub use manifolds::ManifoldFlow;
pub use names::Names;
pub use origin::{Basis, Origin, ReadFrom};
pub use picking::{BY_SIZE_GROUP, OTHER_GROUP, Picking};
pub use pipe::{Material, Pipe, System};
pub use sleeves::Sleeve;
pub use supports::Support;
pub use table::{Column, Spec, Table, TextRow};
pub use waste_allowance::Spare;
pub use water::{Curve, Demand, Outlet, WaterProperty};

use crate::finding::{Finding, Internal, UnknownName, nearest};
use crate::model::{RuleSheet, fold, split_code_basis};
use crate::rules::findings::{BadRuleRow, RulesChanged};
use incoming::Incoming;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};
use table::{Cells, Row};

/// The code whose tables speak.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum CodeBasis {
    /// International Residential Code: dwellings only.
    Irc,
    /// International Plumbing Code.
    Ipc,
    /// Uniform Plumbing Code.
    Upc,
}

impl CodeBasis {
    pub const ALL: [Self; 3] = [Self::Irc, Self::Ipc, Self::Upc];

    pub fn name(self) -> &'static str {
        match self {
            Self::Irc => "IRC",
            Self::Ipc => "IPC",
            Self::Upc => "UPC",
        }
    }

    /// The code itself, then the others, the one of the same family first.
    pub fn and_kin(self) -> [Self; 3] {
        match self {
            Self::Irc => [Self::Irc, Self::Ipc, Self::Upc],
            Self::Ipc => [Self::Ipc, Self::Irc, Self::Upc],
            Self::Upc => [Self::Upc, Self::Ipc, Self::Irc],
        }
    }

    /// From the Code basis setting, whatever its edition.
    pub fn named(name: &str) -> Option<Self> {
        let (code, _) = split_code_basis(name)?;
        Self::ALL.into_iter().find(|c| c.name() == code)
    }
}

/// Whether the building is a dwelling or open to the public.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Occupancy {
    Private,
    Public,
}

impl Occupancy {
    pub const ALL: [Self; 2] = [Self::Private, Self::Public];

    pub fn name(self) -> &'static str {
        match self {
            Self::Private => "private",
            Self::Public => "public",
        }
    }

    /// From the Occupancy setting.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|o| o.name().eq_ignore_ascii_case(name.trim()))
    }
}

/// A table of a `--rules` folder: its file name and its text, already read.
#[derive(Debug, Clone)]
pub struct RuleFile {
    pub name: Arc<str>,
    pub text: String,
}

/// All tables, typed, with the user's rows in place.
///
/// ```
/// use tallybore::model::Size;
/// use tallybore::rules::Rules;
/// let pipe = Rules::embedded().pipe("pex-a", Size::parse("3/4").unwrap()).unwrap();
/// assert_eq!((pipe.key(), pipe.id_in.to_string()), ("PEX 3/4\"".to_owned(), "0.671".to_owned()));
/// assert_eq!(pipe.origin.source.as_ref(), "ASTM F876 SDR 9");
/// ```
#[derive(Debug, Clone, Default)]
pub struct Rules {
    tables: Vec<Table>,
    names: Names,
    fixtures: Vec<FixtureKind>,
    fixture_units: Vec<FixtureUnits>,
    fixture_groups: Vec<FixtureGroup>,
    demand_tank: Vec<Demand>,
    demand_valve: Vec<Demand>,
    outlets: Vec<Outlet>,
    water_properties: Vec<WaterProperty>,
    materials: Vec<Material>,
    pipes: Vec<Pipe>,
    fitting_lengths: Vec<FittingLengths>,
    device_losses: Vec<DeviceLoss>,
    limits: Vec<Limit>,
    /// The edition of the code that the job goes by.
    edition: Option<u16>,
    supports: Vec<Support>,
    bends: Vec<Bend>,
    code_sizes: Vec<CodeSize>,
    sleeves: Vec<Sleeve>,
    manifold_flows: Vec<ManifoldFlow>,
    spares: Vec<Spare>,
    pickings: Vec<Picking>,
    labor: Vec<LaborHours>,
    labor_by_task: BTreeMap<String, usize>,
    labor_conditions: Vec<LaborCondition>,
    assemblies: Vec<Part>,
}

/// What a column may be called in the user's sheet of rules of this name; nothing where no table has it.
pub fn names_of_column(sheet: &str, column: &str) -> Vec<&'static str> {
    let tables = embedded::TABLES.iter().map(|(spec, _)| spec);
    let spec = tables.into_iter().find(|spec| spec.sheet.is_some_and(|name| fold(name) == fold(sheet)));
    let found = spec.and_then(|spec| spec.columns.iter().find(|found| found.name == column));
    found.map(|found| std::iter::once(found.name).chain(found.aliases.iter().copied()).collect()).unwrap_or_default()
}

impl Rules {
    /// The program's own tables, with nothing changed.
    pub fn embedded() -> &'static Self {
        static EMBEDDED: OnceLock<Rules> = OnceLock::new();
        // Findings here would be faults of the program's tables; `load` gives them, and a test holds that there are none.
        EMBEDDED.get_or_init(|| Self::load(&[], &[]).0)
    }

    /// The program's tables with the user's rows over them: first those of the files, then those of the sheets, which go
    /// before all. Rows that cannot be used are findings and leave the tables as they were; tables that were changed are
    /// noted.
    pub fn load(sheets: &[RuleSheet], files: &[RuleFile]) -> (Self, Vec<Finding>) {
        let mut findings = Vec::new();
        let mut rules = Self::default();
        for (spec, text) in embedded::TABLES {
            let mut table = Table::new(spec);
            table.take(&Incoming::embedded(spec.file, text), &rules.names, &mut findings);
            let from_files = files.iter().filter(|f| fold(&f.name) == fold(spec.file));
            let files = from_files.map(|f| (f.name.clone(), Incoming::file(&f.name, &f.text)));
            let of_table = |s: &&RuleSheet| spec.sheet.is_some_and(|name| fold(name) == fold(&s.sheet));
            let sheets = sheets.iter().filter(of_table).map(|s| (s.sheet.clone(), Incoming::sheet(s)));
            for (name, incoming) in files.chain(sheets) {
                let counts = table.take(&incoming, &rules.names, &mut findings);
                if counts != overrides::Counts::default() {
                    let (replaced, added) = (counts.replaced, counts.added);
                    let facts = RulesChanged { table: spec.name, from: name.to_string(), replaced, added };
                    findings.push(Finding::everywhere(facts));
                }
            }
            rules.names.learn(&table);
            rules.tables.push(table);
        }
        unknown_files(files, &mut findings);
        rules.read_rows(&mut findings);
        rules.check_curves(&mut findings);
        (rules, findings)
    }

    /// Every table, for listing and export.
    pub fn tables(&self) -> &[Table] {
        &self.tables
    }

    /// A table by its name or file name.
    pub fn table(&self, name: &str) -> Option<&Table> {
        let wanted = fold(name);
        self.tables.iter().find(|t| fold(t.name()) == wanted || fold(t.spec.file) == wanted)
    }

    /// The rows that are the user's, by table.
    pub fn users_rows(&self) -> impl Iterator<Item = (&Table, &TextRow)> {
        self.tables.iter().flat_map(|t| t.rows().iter().filter(|r| r.origin.is_users()).map(move |r| (t, r)))
    }

    /// Names of fixtures and materials.
    pub fn names(&self) -> &Names {
        &self.names
    }

    /// Types the rows of all tables.
    fn read_rows(&mut self, findings: &mut Vec<Finding>) {
        self.fixtures = self.rows_of(&fixtures::FIXTURES, findings);
        self.fixture_units = self.rows_of(&fixtures::FIXTURE_UNITS, findings);
        self.fixture_groups = self.rows_of(&fixtures::FIXTURE_GROUPS, findings);
        let mut demand: Vec<Demand> = self.rows_of(&water::DEMAND, findings);
        demand.sort_by_key(|d| (d.curve, d.units));
        (self.demand_tank, self.demand_valve) = demand.into_iter().partition(|d| d.curve == Curve::Tank);
        self.outlets = self.rows_of(&water::OUTLETS, findings);
        self.water_properties = self.rows_of(&water::WATER_PROPERTIES, findings);
        self.water_properties.sort_by_key(|w| w.temperature_f);
        self.materials = self.rows_of(&pipe::MATERIALS, findings);
        let materials = &self.materials;
        self.pipes = self.typed(&pipe::PIPE, findings, |cells| pipe::pipe_of(cells, materials));
        let place = |name: &str| self.materials.iter().position(|m| *m.material == *name);
        self.pipes.sort_by_key(|p| (place(&p.material), p.size));
        self.fitting_lengths = self.rows_of(&fittings::FITTING_LENGTHS, findings);
        self.device_losses = self.rows_of(&devices::DEVICE_LOSSES, findings);
        self.limits = self.rows_of(&limits::LIMITS, findings);
        self.supports = self.rows_of(&supports::SUPPORTS, findings);
        self.code_sizes = self.rows_of(&code_sizes::CODE_SIZES, findings);
        self.bends = self.rows_of(&bends::BENDS, findings);
        self.sleeves = self.rows_of(&sleeves::SLEEVES, findings);
        self.manifold_flows = self.rows_of(&manifolds::MANIFOLD_FLOWS, findings);
        self.spares = self.rows_of(&waste_allowance::SPARES, findings);
        self.pickings = self.rows_of(&picking::PICKING, findings);
        self.labor = self.rows_of(&labor::LABOR, findings);
        self.labor_by_task = self.labor.iter().enumerate().map(|(i, l)| (fold(&l.task), i)).collect();
        self.labor_conditions = self.rows_of(&conditions::LABOR_CONDITIONS, findings);
        self.assemblies = self.rows_of(&assemblies::ASSEMBLIES, findings);
    }

    fn rows_of<R: Row>(&self, spec: &'static Spec, findings: &mut Vec<Finding>) -> Vec<R> {
        self.typed(spec, findings, R::read)
    }

    fn typed<R>(
        &self,
        spec: &'static Spec,
        findings: &mut Vec<Finding>,
        read: impl Fn(&Cells<'_>) -> Option<R>,
    ) -> Vec<R> {
        let Some(table) = self.tables.iter().find(|t| t.name() == spec.name) else { return Vec::new() };
        let mut rows = Vec::with_capacity(table.rows().len());
        for row in table.rows() {
            match read(&Cells { spec, row }) {
                Some(typed) => rows.push(typed),
                None => {
                    let detail = format!("{}: the row passed its columns but could not be read", row.origin.read_from);
                    findings.push(Finding::everywhere(Internal { detail }));
                }
            }
        }
        rows
    }

    /// A demand curve that falls, or stands still, is no curve: the row that breaks it is told.
    fn check_curves(&self, findings: &mut Vec<Finding>) {
        for curve in Curve::ALL {
            for pair in self.demand(curve).windows(2) {
                let [below, above] = pair else { continue };
                if above.gpm > below.gpm {
                    continue;
                }
                // The user's row is to blame where only one of the two is theirs.
                let row = if above.origin.is_users() || !below.origin.is_users() { above } else { below };
                let expected = format!(
                    "gpm that rises with the units: {} units draw {} gpm, {} units {} gpm",
                    below.units, below.gpm, above.units, above.gpm
                );
                let (place, at) = match &row.origin.read_from {
                    ReadFrom::Sheet(place) => (Some(place.clone()), String::new()),
                    other => (None, other.to_string()),
                };
                let (table, column) = (water::DEMAND.name, "Gpm".to_owned());
                let facts = BadRuleRow { table, row: at, column, found: row.gpm.to_string(), expected };
                findings.push(Finding::near(place.as_ref(), facts));
            }
        }
    }
}

/// Tells the files of a `--rules` folder that are no table.
fn unknown_files(files: &[RuleFile], findings: &mut Vec<Finding>) {
    let known = || embedded::TABLES.iter().map(|(spec, _)| spec.file);
    for file in files.iter().filter(|f| !known().any(|name| fold(name) == fold(&f.name))) {
        findings.push(Finding::everywhere(UnknownName {
            what: "rule table",
            found: file.name.to_string(),
            nearest: nearest(&file.name, known()).map(str::to_owned),
            remedy: format!("Name the file after a table: {}.", known().collect::<Vec<_>>().join(", ")),
        }));
    }
}
