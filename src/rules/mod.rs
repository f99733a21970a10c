//! The rule tables: what codes, standards and the trade say, one row a fact, each row with its source.
//!
//! In: the CSV texts that the program carries, the job's own rule sheets, the texts of a `--rules` folder. Out:
//! [`Rules`], typed and ready for look-ups, and the same tables as text for listing and export. Never: reading files, or
//! judging a job by the rules.

mod assemblies;
mod bends;
mod cell;
mod code_sizes;
mod conditions;
mod declare;
mod devices;
pub(crate) mod findings;
mod fittings;
mod fixtures;
mod incoming;
mod item;
mod labor;
mod limits;
mod listing;
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
mod written;

pub use assemblies::{Part, PartMaterial, Side};
pub use bends::{BEND_SUPPORT, Bend, BendCells, ELBOW, NOTHING};
pub use cell::CellValue;
pub use code_sizes::{CODE_LENGTHS, CodeSize};
pub use conditions::LaborCondition;
pub use devices::{DeviceCells, DeviceLoss};
pub use fittings::{FITTING_SYSTEMS, FittingCells, FittingLengths};
pub use fixtures::{FixtureGroup, FixtureKind, FixtureUnits, GROUPS, GroupCells, Sides, UnitCells, split_group};
pub use incoming::heading;
pub use item::{Item, OTHER_KINDS, SIZED_KINDS, matches_item, matches_kind};
pub use labor::LaborHours;
pub use limits::Limit;
use listing::page;
pub use listing::{Listing, OnPage, Ruled, Shown};
pub use manifolds::ManifoldFlow;
pub use names::Names;
pub use origin::{Basis, Origin, ReadFrom};
pub use picking::{BY_SIZE_GROUP, OTHER_GROUP, Picking};
pub use pipe::{Material, Pipe, PipeCells, System};
pub use sleeves::{Sleeve, SleeveCells};
pub use supports::{Support, SupportCells};
pub use table::{Column, Spec, Table, TextRow};
pub use waste_allowance::Spare;
pub use water::{Curve, Demand, DemandCells, Outlet, OutletCells, WaterCells, WaterProperty};

use crate::finding::{Finding, Internal, UnknownName, nearest};
use crate::model::{Job, RuleSheet, Setting, fold, split_code_basis};
use crate::rules::findings::{BadRuleRow, RulesChanged};
pub use declare::Row;
use incoming::Incoming;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};
pub(crate) use written::UsersRow;

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
    /// In the order of the guide.
    pub const ALL: [Self; 3] = [Self::Irc, Self::Ipc, Self::Upc];

    /// As Code basis spells it.
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

    /// The code a job goes by; the IRC where it names none that there are tables of.
    pub(crate) fn of(job: &Job) -> Self {
        Self::named(&job.text(Setting::CodeBasis)).unwrap_or(Self::Irc)
    }
}

/// Whether the building is a dwelling or open to the public.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Occupancy {
    /// A dwelling.
    Private,
    /// Open to the public.
    Public,
}

impl Occupancy {
    /// In the order of the guide.
    pub const ALL: [Self; 2] = [Self::Private, Self::Public];

    /// As the Occupancy setting spells it.
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

    /// Whom the building of a job is for: private use where it does not say.
    pub(crate) fn of(job: &Job) -> Self {
        Self::named(&job.text(Setting::Occupancy)).unwrap_or(Self::Private)
    }
}

/// A table of a `--rules` folder: its file name and its text, already read.
#[derive(Debug, Clone)]
pub struct RuleFile {
    /// With its ending, without the folder.
    pub name: Arc<str>,
    /// CSV, as read.
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
    rows: Rows,
    /// The sizes of pipe with what their materials say.
    pipes: Vec<Pipe>,
    /// The edition of the code that the job goes by.
    edition: Option<u16>,
    labor_by_task: BTreeMap<String, usize>,
}

/// Lists the tables: the name of their rows among [`Rules`], and the type of a row.
macro_rules! tables {
    ($($name:ident: $file:ident::$row:ident;)+) => {
        /// The tables that the program carries.
        const TABLES: &[&Spec] = &[$($file::$row::SPEC),+];

        /// The rows of all tables, typed.
        #[derive(Debug, Clone, Default)]
        struct Rows {
            $($name: Vec<$file::$row>,)+
        }

        impl Rows {
            fn read(tables: &[Table], findings: &mut Vec<Finding>) -> Self {
                Self { $($name: rows_of(tables, findings),)+ }
            }
        }

        impl Rules {
            $(
                /// The rows of this table.
                pub fn $name(&self) -> &[$file::$row] {
                    &self.rows.$name
                }
            )+
        }
    };
}

// The tables of names come first: the others are read with the names they teach. Those with a sheet of the user's stand
// in the order in which its sheets are named.
tables! {
    fixtures: fixtures::FixtureKind;
    fixture_aliases: fixtures::FixtureAlias;
    materials: pipe::Material;
    material_aliases: pipe::MaterialAlias;
    pipe_sizes: pipe::PipeSize;
    unit_rows: fixtures::FixtureUnits;
    group_rows: fixtures::FixtureGroup;
    demand_rows: water::Demand;
    outlets: water::Outlet;
    limits: limits::Limit;
    assemblies: assemblies::Part;
    labor_conditions: conditions::LaborCondition;
    all_labor: labor::LaborHours;
    all_fitting_lengths: fittings::FittingLengths;
    device_losses: devices::DeviceLoss;
    water_properties: water::WaterProperty;
    spares: waste_allowance::Spare;
    supports: supports::Support;
    bends: bends::Bend;
    sleeves: sleeves::Sleeve;
    manifold_flows: manifolds::ManifoldFlow;
    code_size_rows: code_sizes::CodeSize;
    pickings: picking::Picking;
}

/// Types the rows of one table.
fn rows_of<R: Row>(tables: &[Table], findings: &mut Vec<Finding>) -> Vec<R> {
    let rows = tables.iter().filter(|table| table.name() == R::SPEC.name).flat_map(Table::rows);
    let typed = rows.filter_map(|row| {
        let typed = R::read(&row.cells, &row.origin);
        if typed.is_none() {
            let detail = format!("{}: the row passed its columns but could not be read", row.origin.read_from);
            findings.push(Finding::everywhere(Internal { detail }));
        }
        typed
    });
    typed.collect()
}

/// The user's sheets that go before a rule table.
pub fn sheets() -> impl Iterator<Item = &'static str> {
    TABLES.iter().filter_map(|spec| spec.sheet)
}

/// The one of [`sheets`] that is meant by a name, whatever its case and spacing.
pub fn sheet_named(name: &str) -> Option<&'static str> {
    sheets().find(|sheet| fold(sheet) == fold(name))
}

/// What a column may be called in the user's sheet of rules of this name; nothing where no table has it.
pub fn names_of_column(sheet: &str, column: &str) -> Vec<&'static str> {
    let spec = TABLES.iter().find(|spec| spec.sheet.is_some_and(|name| fold(name) == fold(sheet)));
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
        for spec in TABLES {
            let mut table = Table::new(spec);
            table.take(&Incoming::embedded(spec.file, spec.text), &rules.names, &mut findings);
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
        self.rows = Rows::read(&self.tables, findings);
        self.rows.demand_rows.sort_by_key(|row| (row.curve, row.units));
        self.rows.water_properties.sort_by_key(|row| row.temperature_f);
        self.pipes = pipe::pipes(&self.rows.pipe_sizes, &self.rows.materials);
        self.labor_by_task = self.rows.all_labor.iter().enumerate().map(|(i, row)| (fold(&row.task), i)).collect();
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
                let (table, column) = (Demand::SPEC.name, "Gpm".to_owned());
                let facts = BadRuleRow { table, row: at, column, found: row.gpm.to_string(), expected };
                findings.push(Finding::near(place.as_ref(), facts));
            }
        }
    }
}

/// Tells the files of a `--rules` folder that are no table.
fn unknown_files(files: &[RuleFile], findings: &mut Vec<Finding>) {
    let known = || TABLES.iter().map(|spec| spec.file);
    for file in files.iter().filter(|f| !known().any(|name| fold(name) == fold(&f.name))) {
        findings.push(Finding::everywhere(UnknownName {
            what: "rule table",
            found: file.name.to_string(),
            nearest: nearest(&file.name, known()).map(str::to_owned),
            remedy: format!("Name the file after a table: {}.", known().collect::<Vec<_>>().join(", ")),
        }));
    }
}
