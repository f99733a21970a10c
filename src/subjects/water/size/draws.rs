//! What draws where: each fixture and complete group at the runs where its sides part and join, with what it counts there.
//!
//! A run that feeds both sides of a fixture carries its combined value; after they part, the cold or the hot value. So
//! every fixture is entered in up to three parts: its cold value where it draws cold, its hot value where it draws hot,
//! and `combined - cold - hot` at the run where the two paths join. Groups are entered likewise. The parts are listed
//! in the network's depth-first order, which makes whatever a run feeds one contiguous range of rows.

use super::Context;
use super::outlets::Outlet;
use super::rule_tables::{FixtureRow, GroupRow, RuleTables};
use crate::figure::{Book, Column, ColumnId, RowId, Term};
use crate::finding::Finding;
use crate::model::fold;
use crate::subjects::water::findings::loads::{GroupIncomplete, UnknownGroup};
use crate::table::columns;
use std::ops::Range;
use std::rc::Rc;
use std::sync::Arc;

/// One entry of a fixture or a group at a run.
pub(crate) struct Part<'a> {
    pub position: usize,
    label: &'static str,
    entry: Entry<'a>,
}

enum Entry<'a> {
    Side {
        outlet: &'a Outlet,
        hot: bool,
    },
    /// Where both sides of one fixture join.
    Join {
        outlet: &'a Outlet,
    },
    /// Where all cold (0), all hot (1) or all sides (2) of a group have joined.
    Group {
        group: Rc<Group<'a>>,
        which: usize,
    },
}

/// A code group that is complete: its members, one of each kind.
struct Group<'a> {
    name: String,
    members: Vec<&'a Outlet>,
    row: GroupRow,
}

columns! {
    pub(super) struct PartColumns on Loads("What draws where") {
        run: "Run", words;
        what: "Fixture or group", words;
        label: "Counted for", words;
        count: "Count", Each;
        units_each: "Units each", FixtureUnits;
        pub units: "Fixture units", FixtureUnits;
        pub bibbs: "Hose bibbs", Each;
        pub valves: "Flush valves", Each;
        pub steady: "Steady flow", Gpm;
        pub listed: "Listed flow", Gpm;
        pub largest: "Single flow", Gpm;
        pub unlisted: "No listed flow", Each;
        pub need: "Needs", Psi;
    }
}

impl Part<'_> {
    /// Whether it is a side of a fixture at its own run, not a sum that replaces others.
    pub(super) fn is_side(&self) -> bool {
        matches!(self.entry, Entry::Side { .. })
    }
}

/// The parts in the book.
pub(super) struct PartTable {
    pub columns: PartColumns,
    /// The row of the first part at each position or behind it, and of the end.
    first: Vec<u32>,
}

/// The parts of a stretch of the network.
#[derive(Clone, Copy)]
pub(super) struct Stretch {
    first: u32,
    end: u32,
}

impl Stretch {
    /// `None` where nothing draws.
    pub(super) fn cells(self, book: &mut Book, column: ColumnId) -> Option<Column> {
        (self.first < self.end).then(|| book.stretch(column, self.first, self.end - 1))
    }

    pub(super) fn sum(self, book: &mut Book, column: ColumnId) -> Term {
        self.cells(book, column).map_or_else(|| Term::number(0), |cells| Term::sum(&cells))
    }
}

impl PartTable {
    pub(super) fn put(book: &mut Book, context: &Context, parts: &[Part]) -> Self {
        let before = |position: usize| parts.partition_point(|part| part.position < position) as u32;
        let first = (0..=context.network.len()).map(before).collect();
        Self { columns: put_parts(book, context, parts), first }
    }

    /// The parts at these positions.
    pub(super) fn at(&self, positions: Range<usize>) -> Stretch {
        Stretch { first: self.first[positions.start], end: self.first[positions.end] }
    }
}

/// All parts, in depth-first order of their runs.
pub(crate) fn parts<'a>(
    context: &Context,
    tables: &RuleTables,
    outlets: &'a [Outlet],
    findings: &mut Vec<Finding>,
) -> Vec<Part<'a>> {
    let network = context.network;
    let join = |runs: &[usize]| {
        let (first, rest) = runs.split_first()?;
        rest.iter().try_fold(*first, |so_far, run| network.join(so_far, *run))
    };
    let mut parts = Vec::new();
    for group in groups(context, tables, outlets, findings).into_iter().map(Rc::new) {
        let cold: Vec<usize> = group.members.iter().filter_map(|o| o.cold).collect();
        let hot: Vec<usize> = group.members.iter().filter_map(|o| o.hot).collect();
        // A group that is piped on one side only carries that side's value, and never the two joined.
        let piped_twice = !cold.is_empty() && !hot.is_empty();
        let both: Vec<usize> = cold.iter().chain(&hot).copied().filter(|_| piped_twice).collect();
        for (which, (runs, label)) in
            [(&cold, "group, cold side"), (&hot, "group, hot side"), (&both, "group, both sides")]
                .into_iter()
                .enumerate()
        {
            if let Some(position) = join(runs) {
                parts.push(Part { position, label, entry: Entry::Group { group: Rc::clone(&group), which } });
            }
        }
    }
    for outlet in outlets {
        for (run, hot) in [(outlet.cold, false), (outlet.hot, true)] {
            if let Some(position) = run {
                let label = if hot { "hot side" } else { "cold side" };
                parts.push(Part { position, label, entry: Entry::Side { outlet, hot } });
            }
        }
        if let (Some(cold), Some(hot)) = (outlet.cold, outlet.hot)
            && let Some(position) = network.join(cold, hot)
        {
            parts.push(Part { position, label: "both sides join", entry: Entry::Join { outlet } });
        }
    }
    parts.sort_by_key(|part| part.position);
    parts
}

/// Complete groups of the job. A group missing a member, or with two of a kind, is a finding and counts singly.
fn groups<'a>(
    context: &Context,
    tables: &RuleTables,
    outlets: &'a [Outlet],
    findings: &mut Vec<Finding>,
) -> Vec<Group<'a>> {
    let mut labels: Vec<String> = Vec::new();
    for outlet in outlets {
        let label = context.job.fixtures[outlet.fixture].group.text().trim();
        if !label.is_empty() && !labels.iter().any(|known| fold(known) == fold(label)) {
            labels.push(label.to_owned());
        }
    }
    let mut groups = Vec::new();
    for label in labels {
        let tagged: Vec<&Outlet> = outlets
            .iter()
            .filter(|o| fold(context.job.fixtures[o.fixture].group.text()) == fold(&label) && o.units.is_some())
            .collect();
        let first = tagged.iter().min_by_key(|outlet| outlet.fixture);
        let place = first.and_then(|o| context.job.fixtures[o.fixture].group.cell.as_ref());
        let rows = tables.group_rows(&label);
        if rows.is_empty() {
            findings.push(Finding::near(
                place,
                UnknownGroup { group: label, code: context.code.name(), known: tables.group_names() },
            ));
            continue;
        }
        // Where the code has several values for a group, the first whose members are all there speaks.
        let complete = rows.iter().find_map(|row| {
            let member = |kinds: &Vec<Arc<str>>| tagged.iter().copied().find(|o| kinds.contains(&o.kind));
            let members: Option<Vec<&Outlet>> = row.members.iter().map(member).collect();
            members.map(|members| Group { name: label.clone(), members, row: row.clone() })
        });
        match complete {
            Some(group) => groups.push(group),
            None => {
                let absent = |kinds: &&Vec<Arc<str>>| !tagged.iter().any(|o| kinds.contains(&o.kind));
                let missing = rows[0].members.iter().filter(absent).map(|kinds| kinds.join(" or ")).collect();
                findings.push(Finding::near(place, GroupIncomplete { group: label, missing }));
            }
        }
    }
    groups
}

/// What one side of a fixture counts: its own value, or the combined one when the other side is not piped and this
/// side has no value of its own.
fn side_units(outlet: &Outlet, units: &FixtureRow, hot: bool) -> Term {
    let (own, other_piped) = match hot {
        true => (&units.hot, outlet.cold.is_some()),
        false => (&units.cold, outlet.hot.is_some()),
    };
    if !other_piped && own.value().as_f64() == 0.0 { units.combined.clone() } else { own.clone() }
}

fn is_bibb(outlet: &Outlet) -> bool {
    &*outlet.kind == "hose bibb"
}

fn put_parts(book: &mut Book, context: &Context, parts: &[Part]) -> PartColumns {
    let columns = PartColumns::on_page(book, context);

    let rows: Vec<RowId> = parts.iter().map(|_| book.row(columns.table)).collect();
    for (part, row) in parts.iter().zip(&rows) {
        let place = &context.run_at(part.position).name;
        let name = place.figure(book);
        book.put(*row, columns.run, name);
        book.label(*row, columns.label, part.label);
        match &part.entry {
            Entry::Side { outlet, hot } => {
                tag(book, context, *row, columns.what, outlet);
                put_side(book, &columns, *row, outlet, *hot);
            }
            Entry::Join { outlet } => {
                tag(book, context, *row, columns.what, outlet);
                put_join(book, &columns, *row, outlet);
            }
            Entry::Group { group, which } => {
                book.label(*row, columns.what, &group.name);
                put_group(book, &columns, *row, group, *which);
            }
        }
    }
    columns
}

fn tag(book: &mut Book, context: &Context, row: RowId, what: ColumnId, outlet: &Outlet) {
    let at = &context.job.fixtures[outlet.fixture].tag;
    let tag = at.figure(book);
    book.put(row, what, tag);
}

fn put_side(book: &mut Book, columns: &PartColumns, row: RowId, outlet: &Outlet, hot: bool) {
    let count = book.put(row, columns.count, outlet.count.clone());
    let mut put = |column: ColumnId, term: Option<Term>| term.map(|term| book.put(row, column, term));
    let bibb = is_bibb(outlet) && outlet.units.is_some();
    let each =
        put(columns.units_each, outlet.units.as_ref().filter(|_| !bibb).map(|units| side_units(outlet, units, hot)));
    put(columns.units, each.map(|each| &count * each));
    put(columns.bibbs, bibb.then(|| count.clone()));
    put(columns.valves, outlet.units.as_ref().filter(|u| u.flush_valve).map(|_| count.clone()));
    put(columns.steady, outlet.steady_gpm.as_ref().map(|gpm| &count * gpm));
    put(columns.listed, outlet.listed_gpm.as_ref().map(|gpm| &count * gpm));
    let none = Term::number(0);
    put(columns.largest, outlet.listed_gpm.as_ref().map(|gpm| count.above(&none).pick(gpm, &none)));
    put(columns.unlisted, has_no_listed_flow(outlet).then(|| count.clone()));
    put(columns.need, Some(outlet.need_psi.clone()));
}

fn has_no_listed_flow(outlet: &Outlet) -> bool {
    outlet.listed_gpm.is_none() && outlet.steady_gpm.is_none()
}

/// Where both sides have joined, the combined value takes the place of the two, and one mixed flow that of both.
fn put_join(book: &mut Book, columns: &PartColumns, row: RowId, outlet: &Outlet) {
    let count = book.put(row, columns.count, outlet.count.clone());
    let mut put = |column: ColumnId, term: Option<Term>| term.map(|term| book.put(row, column, term));
    let once_less = |times: Term| Term::number(0) - times;
    let bibb = is_bibb(outlet) && outlet.units.is_some();
    let relief = outlet.units.as_ref().filter(|_| !bibb).map(|u| &u.combined - &u.cold - &u.hot);
    let each = put(columns.units_each, relief);
    put(columns.units, each.map(|each| &count * each));
    put(columns.bibbs, bibb.then(|| once_less(count.clone())));
    put(columns.valves, outlet.units.as_ref().filter(|u| u.flush_valve).map(|_| once_less(count.clone())));
    put(columns.steady, outlet.steady_gpm.as_ref().map(|gpm| once_less(&count * gpm)));
    put(columns.listed, outlet.listed_gpm.as_ref().map(|gpm| once_less(&count * gpm)));
    put(columns.unlisted, has_no_listed_flow(outlet).then(|| once_less(count.clone())));
}

/// Where a whole group has joined, its value takes the place of its members'. As many groups as the scarcest member.
fn put_group(book: &mut Book, columns: &PartColumns, row: RowId, group: &Group, which: usize) {
    let fewest = group.members.iter().map(|o| o.count.clone()).reduce(|least, count| least.min(&count));
    let count = book.put(row, columns.count, fewest.unwrap_or_else(|| Term::number(0)));
    let mut members = Vec::new();
    for outlet in &group.members {
        let Some(units) = &outlet.units else { continue };
        match which {
            0 if outlet.cold.is_some() => members.push(side_units(outlet, units, false)),
            1 if outlet.hot.is_some() => members.push(side_units(outlet, units, true)),
            2 if outlet.cold.is_some() && outlet.hot.is_some() => {
                members.push(&units.combined - &units.cold - &units.hot);
            }
            _ => {}
        }
    }
    let value = match which {
        0 => group.row.cold.clone(),
        1 => group.row.hot.clone(),
        _ => &group.row.combined - &group.row.cold - &group.row.hot,
    };
    let members: Vec<&Term> = members.iter().collect();
    let each = book.put(row, columns.units_each, value - Term::total(&members));
    book.put(row, columns.units, &count * &each);
}
