//! The rule tables: what codes, standards and the trade say, one row a fact, each row with its source.
//!
//! In: the CSV texts that the program carries, the job's own rule sheets, the texts of a `--rules` folder. Out:
//! [`Rules`], typed and ready for look-ups, and the same tables as text for listing and export. Never: reading files, or
//! judging a job by the rules.

mod assemblies;
pub(crate) mod cell;
mod conditions;
mod counter;
pub(crate) mod declare;
pub(crate) mod findings;
mod fixtures;
mod incoming;
mod item;
mod labor;
mod limits;
mod listing;
mod names;
mod origin;
mod overrides;
mod part_names;
mod picking;
mod pipe;
mod price_rise;
mod sundries;
pub(crate) mod table;
mod waste_allowance;
mod written;

pub(crate) use assemblies::RUN_END;
pub use assemblies::{Part, PartMaterial, Side};
pub use cell::CellValue;
pub use conditions::LaborCondition;
pub(crate) use declare::rule;
pub(crate) use fixtures::CURVES;
pub use fixtures::{Curve, FixtureKind, Sides};
pub use incoming::heading;
pub(crate) use item::IN_WALL;
pub(crate) use item::PARTS;
pub use item::{BY, ELBOW, INSULATION, Item, Named, PartKind, Rank, SUPPORT, fits, matches_kind};
pub(crate) use item::{offers_of, sizes_of_kind};
pub use labor::{HoursOf, LaborHours, hours_of};
pub use limits::Limit;
pub(crate) use listing::page;
pub use listing::{Listing, OnPage, Ruled, Shown};
pub use names::Names;
pub use origin::{Basis, Origin, ReadFrom};
pub use picking::{BY_SIZE_GROUP, OTHER_GROUP, Picking, SUPPORTS_GROUP};
pub use pipe::{Material, MaterialAlias, Pipe, PipeCells, System};
pub use price_rise::{PriceRise, YEAR};
pub use sundries::{
    BURIED_FOOT, GOES_BY, JOB, METAL_METER, RATED_WALL, REPLACED_MAIN, SOCKET_JOINT, SPARE_PORT, SWEAT_JOINT, Sundry,
    SundryCells, THREADED_JOINT, UPC_DISHWASHER,
};
pub use table::{Column, MoreRows, Spec, Table, TextRow, TypedRows};
pub use waste_allowance::Spare;

use crate::finding::{Finding, Internal, UnknownName, nearest};
use crate::folding::{Worded, worded};
use crate::model::{Job, RuleSheet, Setting, fold, split_code_basis};
use crate::rules::findings::RulesChanged;
pub use declare::Row;
use incoming::Incoming;
use std::any::TypeId;
use std::collections::BTreeMap;
use std::sync::Arc;
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
    pub fn from_name(name: &str) -> Option<Self> {
        let (code, _) = split_code_basis(name)?;
        Self::ALL.into_iter().find(|c| c.name() == code)
    }

    /// The code a job goes by; the IRC where it names none that there are tables of.
    pub(crate) fn of(job: &Job) -> Self {
        Self::from_name(&job.text(Setting::CodeBasis)).unwrap_or(Self::Irc)
    }
}

impl Worded for CodeBasis {
    fn word(self) -> &'static str {
        self.name()
    }

    fn from_name(word: &str) -> Option<Self> {
        Self::from_name(word)
    }
}

worded! {
    /// Whether the building is a dwelling or open to the public.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Occupancy {
        /// A dwelling.
        Private = "private",
        /// Open to the public.
        Public = "public",
    }
}

impl Occupancy {
    /// Whom the building of a job is for: private use where it does not say.
    pub(crate) fn of(job: &Job) -> Self {
        Self::from_name(&job.text(Setting::Occupancy)).unwrap_or(Self::Private)
    }
}

/// As the tables name them.
pub(crate) const OCCUPANCIES: &[&str] = Occupancy::WORDS;

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
    tables: Vec<(Table, TypedRows)>,
    names: Names,
    /// The rows of each table, by the type of a list of them.
    rows: BTreeMap<TypeId, TypedRows>,
    /// The sizes of pipe with what their materials say.
    pipes: Vec<Pipe>,
    /// The kinds of parts that can be counted.
    part_kinds: Vec<PartKind>,
    /// The edition of the code that the job goes by.
    edition: Option<u16>,
    labor_by_task: BTreeMap<String, usize>,
}

/// Lists the tables of a stage or a subject: how [`Rules`] is asked for the rows, and the type of a row.
macro_rules! tables {
    ($($name:ident: $file:ident::$row:ident;)+) => {
        /// The tables that are declared here.
        pub(crate) const TABLES: &[&$crate::rules::Spec] = &[$(<$file::$row as $crate::rules::Row>::SPEC),+];

        impl $crate::rules::Rules {
            $(
                /// The rows of this table.
                pub fn $name(&self) -> &[$file::$row] {
                    self.rows_of()
                }
            )+
        }
    };
}
pub(crate) use tables;

// The tables of names come first: the others are read with the names they teach. Those with a sheet of the user's stand
// in the order in which its sheets are named.
tables! {
    fixtures: fixtures::FixtureKind;
    fixture_aliases: fixtures::FixtureAlias;
    materials: pipe::Material;
    material_aliases: pipe::MaterialAlias;
    part_names: part_names::PartName;
    end_names: part_names::EndName;
    pipe_sizes: pipe::PipeSize;
    limits: limits::Limit;
    assemblies: assemblies::Part;
    sundries: sundries::Sundry;
    labor_conditions: conditions::LaborCondition;
    all_labor: labor::LaborHours;
    spares: waste_allowance::Spare;
    pickings: picking::Picking;
    counter_rows: counter::Counter;
    price_rises: price_rise::PriceRise;
}

/// Types the rows of one table, sorted and checked as it is declared.
pub(crate) fn typed<R: Row>(table: &Table, findings: &mut Vec<Finding>) -> TypedRows {
    let typed = table.rows().iter().filter_map(|row| {
        let typed = R::read(&row.cells, &row.origin);
        if typed.is_none() {
            let detail = format!("{}: the row passed its columns but could not be read", row.origin.read_from);
            findings.push(Finding::everywhere(Internal { detail }));
        }
        typed
    });
    let mut rows: Vec<R> = typed.collect();
    R::sort(&mut rows);
    R::check(&rows, findings);
    Arc::new(rows)
}

impl Rules {
    /// These tables, with the rows that subjects add to some and with the user's over them: first those of the files, then those
    /// of the sheets, which go before all. Rows that cannot be used are findings and leave the tables as they were; tables
    /// that were changed are noted. `plain` is the same with nothing of the user's: what he leaves alone is taken from there.
    pub fn read(
        plain: Option<&Self>,
        (specs, more): (&[&'static Spec], &[MoreRows]),
        part_kinds: Vec<PartKind>,
        sheets: &[RuleSheet],
        files: &[RuleFile],
    ) -> (Self, Vec<Finding>) {
        let mut findings = Vec::new();
        let mut rules = Self { part_kinds, ..Self::default() };
        let mut plain = plain;
        for spec in specs.iter().copied() {
            let users = users_rows_of(spec, sheets, files);
            let known = plain.filter(|_| users.is_empty()).and_then(|plain| plain.as_read(spec));
            let (table, rows) = known.unwrap_or_else(|| {
                let table = rules.table_of(spec, more, &users, &mut findings);
                let rows = (spec.rows)(&table, &mut findings);
                (table, rows)
            });
            let taught = rules.names.learn(table.name(), table.rows().iter().map(|row| &*row.cells));
            // Where the user has names of his own, the other tables are read by those from here on.
            plain = plain.filter(|_| users.is_empty() || !taught);
            rules.rows.insert((*rows).type_id(), rows.clone());
            rules.tables.push((table, rows));
        }
        unknown_files(specs, files, &mut findings);
        rules.pipes = pipe::pipes(rules.pipe_sizes(), rules.materials());
        rules.labor_by_task = rules.all_labor().iter().zip(0..).map(|(row, at)| (fold(&row.task), at)).collect();
        (rules, findings)
    }

    /// A table with its rows, as these rules have it.
    fn as_read(&self, spec: &Spec) -> Option<(Table, TypedRows)> {
        self.tables.iter().find(|(table, _)| table.name() == spec.name).cloned()
    }

    /// One table, read by the names that stand in those before it.
    fn table_of(
        &self,
        spec: &'static Spec,
        more: &[MoreRows],
        users: &[(Arc<str>, Incoming)],
        findings: &mut Vec<Finding>,
    ) -> Table {
        let mut table = Table::new(spec);
        let more = more.iter().filter(|more| more.table == spec.name).map(|more| (more.file, more.text));
        for (file, text) in [(spec.file, spec.text)].into_iter().chain(more) {
            table.take(&Incoming::embedded(file, text), &self.names, findings);
        }
        for (name, incoming) in users {
            let counts = table.take(incoming, &self.names, findings);
            if counts != overrides::Counts::default() {
                let (replaced, added) = (counts.replaced, counts.added);
                let facts = RulesChanged { table: spec.name, from: name.to_string(), replaced, added };
                findings.push(Finding::everywhere(facts));
            }
        }
        table
    }

    /// The rows of a table.
    pub fn rows_of<R: Row>(&self) -> &[R] {
        let rows = self.rows.get(&TypeId::of::<Vec<R>>()).and_then(|rows| rows.downcast_ref::<Vec<R>>());
        rows.map_or(&[], Vec::as_slice)
    }

    /// Every table, for listing and export.
    pub fn tables(&self) -> impl ExactSizeIterator<Item = &Table> {
        self.tables.iter().map(|(table, _)| table)
    }

    /// A table by its name or file name.
    pub fn table(&self, name: &str) -> Option<&Table> {
        let wanted = fold(name);
        self.tables().find(|t| fold(t.name()) == wanted || fold(t.spec.file) == wanted)
    }

    /// The rows that are the user's, by table.
    pub fn users_rows(&self) -> impl Iterator<Item = (&Table, &TextRow)> {
        self.tables().flat_map(|t| t.rows().iter().filter(|r| r.origin.is_users()).map(move |r| (t, r)))
    }

    /// Names of fixtures and materials.
    pub fn names(&self) -> &Names {
        &self.names
    }
}

/// What the user has put before a table, by where it stands: the files first.
fn users_rows_of(spec: &Spec, sheets: &[RuleSheet], files: &[RuleFile]) -> Vec<(Arc<str>, Incoming)> {
    let files = files.iter().filter(|file| fold(&file.name) == fold(spec.file));
    let sheets = sheets.iter().filter(|own| spec.sheet.is_some_and(|name| fold(name) == fold(&own.sheet)));
    let files = files.map(|file| (file.name.clone(), Incoming::file(&file.name, &file.text)));
    files.chain(sheets.map(|own| (own.sheet.clone(), Incoming::sheet(own)))).collect()
}

/// Tells the files of a `--rules` folder that are no table.
fn unknown_files(specs: &[&Spec], files: &[RuleFile], findings: &mut Vec<Finding>) {
    let known = || specs.iter().map(|spec| spec.file);
    for file in files.iter().filter(|f| !known().any(|name| fold(name) == fold(&f.name))) {
        findings.push(Finding::everywhere(UnknownName {
            what: "rule table",
            found: file.name.to_string(),
            nearest: nearest(&file.name, known()).map(str::to_owned),
            remedy: format!("Name the file after a table: {}.", known().collect::<Vec<_>>().join(", ")),
        }));
    }
}
