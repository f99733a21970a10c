//! Load and demand: fixture units of every run, and the flow the code's demand table makes of them.
//!
//! A run that feeds both sides of a fixture carries its combined value; after they part, the cold or the hot value. So
//! every fixture is entered in up to three parts: its cold value where it draws cold, its hot value where it draws hot,
//! and `combined - cold - hot` at the run where the two paths join. Groups are entered likewise. The parts are listed
//! in the network's depth-first order, which makes whatever a run feeds one contiguous range of rows, and every load a
//! plain SUM. Hose bibbs, where a code counts the first and the additional ones apart, are counted per run and never
//! added up subtree by subtree.

use super::outlets::Outlet;
use super::rule_tables::RuleTables;
use super::water_carried::Water;
use super::{Context, rule_tables::FixtureRow};
use crate::figure::{Book, ColumnId, RowId, Term};
use crate::finding::Finding;
use crate::model::{Setting, fold};
use crate::subjects::water::findings::loads::{GroupIncomplete, LoadAboveTable, UnknownGroup};
use crate::table::columns;
use std::sync::Arc;

/// What the load stage hands on, by position.
#[derive(Debug)]
pub struct Loads {
    pub fixture_units: Vec<Term>,
    pub demand_gpm: Vec<Term>,
    /// The flow pressure needed at the run's own end; `None` where nothing draws.
    pub need_psi: Vec<Option<Term>>,
    /// How many outlet sides draw at the run's own end.
    pub outlets_at: Vec<usize>,
}

/// One entry of a fixture or a group at a run.
struct Part<'a> {
    position: usize,
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
        group: &'a Group<'a>,
        which: usize,
    },
}

/// A code group that is complete: its members, one of each kind.
struct Group<'a> {
    name: String,
    members: Vec<&'a Outlet>,
    row: super::rule_tables::GroupRow,
}

columns! {
    struct PartColumns on Loads("What draws where") {
        run: "Run", words;
        what: "Fixture or group", words;
        label: "Counted for", words;
        count: "Count", Each;
        units_each: "Units each", FixtureUnits;
        units: "Fixture units", FixtureUnits;
        bibbs: "Hose bibbs", Each;
        valves: "Flush valves", Each;
        steady: "Steady flow", Gpm;
        listed: "Listed flow", Gpm;
        largest: "Single flow", Gpm;
        unlisted: "No listed flow", Each;
        need: "Needs", Psi;
    }
}

/// Puts the parts and the loads into the book.
pub(crate) fn loads(
    book: &mut Book,
    context: &Context,
    tables: &RuleTables,
    outlets: &[Outlet],
    waters: &[Water],
    findings: &mut Vec<Finding>,
) -> Loads {
    let groups = groups(context, tables, outlets, findings);
    let parts = parts(context, outlets, &groups);
    let columns = put_parts(book, context, &parts);

    let network = context.network;
    let first_part: Vec<usize> =
        (0..=network.len()).map(|position| parts.partition_point(|part| part.position < position)).collect();
    let mut result = Loads {
        fixture_units: Vec::new(),
        demand_gpm: Vec::new(),
        need_psi: Vec::new(),
        outlets_at: vec![0; network.len()],
    };
    for part in &parts {
        if matches!(part.entry, Entry::Side { .. }) {
            result.outlets_at[part.position] += 1;
        }
    }

    let RunColumns {
        table,
        run,
        water,
        units,
        valves,
        row_in_table,
        table_gpm,
        steady,
        listed,
        largest,
        unlisted,
        slope,
        demand,
    } = RunColumns::on_page(book, context);
    let between = &*context.job.text(Setting::DemandBetweenRows) == "interpolate";
    let zero = Term::number(0);

    for position in 0..network.len() {
        let below = (first_part[position], first_part[network.end[position]]);
        let own = (first_part[position], first_part[position + 1]);
        let over = |book: &mut Book, column: ColumnId, (from, to): (usize, usize)| {
            (from < to).then(|| book.stretch(column, from as u32, to as u32 - 1))
        };
        let sum = |book: &mut Book, column: ColumnId| over(book, column, below).map_or(zero.clone(), |c| Term::sum(&c));
        let row = book.row(table);
        let place = &context.job.runs[network.order[position]].name;
        let name = place.figure(book);
        book.put(row, run, name);
        book.label(row, water, waters[position].words());

        let mut total = sum(book, columns.units);
        let bibbs = over(book, columns.bibbs, below).map(|c| Term::sum(&c));
        if let (Some(bibbs), Some(bibb)) = (bibbs, tables.bibb_row())
            && bibbs.value().as_f64() > 0.0
        {
            total = total + bibb_units(&bibbs, &bibb);
        }
        let units_here = book.put(row, units, total);
        let valves_here = sum(book, columns.valves);
        let has_valves = valves_here.value().as_f64() > 0.0;
        let valves_here = book.put(row, valves, valves_here);
        let curve_row = |which: &crate::figure::lookup::Curve| which.row(&units_here);
        let found = match (has_valves, &tables.valve_curve, &tables.tank_curve) {
            (true, valve, tank) => valves_here.above(&zero).pick(&curve_row(valve), &curve_row(tank)),
            (false, _, tank) => curve_row(tank),
        };
        let in_table = book.put(row, row_in_table, units_here.above(&zero).pick(&found, &zero));
        if in_table.value().fault().is_some() {
            findings.push(Finding::at(
                &place.place,
                LoadAboveTable { run: place.value.to_string(), units: units_here.value().to_string() },
            ));
        }
        let read = |curve: &crate::figure::lookup::Curve, slope: &Option<Term>| match slope {
            // Below the table's first row the line is held at that row, never drawn down to nothing.
            Some(slope) => curve.between(&units_here, &in_table, slope),
            None => curve.next_row_up(&in_table),
        };
        let slope_here = between.then(|| {
            let of = |curve: &crate::figure::lookup::Curve| curve.slope(&in_table);
            let line = if has_valves {
                valves_here.above(&zero).pick(&of(&tables.valve_curve), &of(&tables.tank_curve))
            } else {
                of(&tables.tank_curve)
            };
            book.put(row, slope, units_here.above(&zero).pick(&line, &zero))
        });
        let by_curve = if has_valves {
            let (valve, tank) = (read(&tables.valve_curve, &slope_here), read(&tables.tank_curve, &slope_here));
            valves_here.above(&zero).pick(&valve, &tank)
        } else {
            read(&tables.tank_curve, &slope_here)
        };
        let by_table = book.put(row, table_gpm, units_here.above(&zero).pick(&by_curve, &zero));
        let steady_sum = sum(book, columns.steady);
        let steady_here = book.put(row, steady, steady_sum);
        let listed_sum = sum(book, columns.listed);
        let listed_here = book.put(row, listed, listed_sum);
        let greatest = over(book, columns.largest, below).map_or(zero.clone(), |c| Term::greatest(&c));
        let largest_here = book.put(row, largest, greatest);
        let unlisted_sum = sum(book, columns.unlisted);
        let unlisted_here = book.put(row, unlisted, unlisted_sum);
        let capped = unlisted_here.above(&zero).pick(&by_table, &by_table.min(&listed_here));
        let flow = book.put(row, demand, capped.max(&largest_here) + &steady_here);

        let need = over(book, columns.need, own).map(|c| Term::greatest(&c));
        result.fixture_units.push(units_here);
        result.demand_gpm.push(flow);
        result.need_psi.push(need.filter(|_| result.outlets_at[position] > 0));
    }
    result
}

/// First bibb at its value, each further one at its own.
fn bibb_units(bibbs: &Term, bibb: &FixtureRow) -> Term {
    let one = Term::number(1);
    let more = (bibbs - &one).max(&Term::number(0));
    bibbs.min(&one) * &bibb.combined + more * &bibb.additional
}

fn is_bibb(outlet: &Outlet) -> bool {
    &*outlet.kind == "hose bibb"
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

/// All parts, in depth-first order of their runs.
fn parts<'a>(context: &Context, outlets: &'a [Outlet], groups: &'a [Group<'a>]) -> Vec<Part<'a>> {
    let network = context.network;
    let join = |runs: &[usize]| {
        let (first, rest) = runs.split_first()?;
        rest.iter().try_fold(*first, |so_far, run| network.join(so_far, *run))
    };
    let mut parts = Vec::new();
    for group in groups {
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
                parts.push(Part { position, label, entry: Entry::Group { group, which } });
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

/// What one side of a fixture counts: its own value, or the combined one when the other side is not piped and this
/// side has no value of its own.
fn side_units(outlet: &Outlet, units: &FixtureRow, hot: bool) -> Term {
    let (own, other_piped) = match hot {
        true => (&units.hot, outlet.cold.is_some()),
        false => (&units.cold, outlet.hot.is_some()),
    };
    if !other_piped && own.value().as_f64() == 0.0 { units.combined.clone() } else { own.clone() }
}

columns! {
    struct RunColumns on Loads("Load and demand of each run") {
        run: "Run", words;
        water: "Water", words;
        units: "Fixture units", FixtureUnits;
        valves: "Flush valves", Each;
        row_in_table: "Row in demand table", Each;
        table_gpm: "By table", Gpm;
        steady: "Steady flows", Gpm;
        listed: "All listed flows at once", Gpm;
        largest: "Largest single flow", Gpm;
        unlisted: "Outlets without a listed flow", Each;
        slope: "Slope between rows", quiet Ratio;
        demand: "Demand", Gpm;
    }
}

fn put_parts(book: &mut Book, context: &Context, parts: &[Part]) -> PartColumns {
    let columns = PartColumns::on_page(book, context);

    let rows: Vec<RowId> = parts.iter().map(|_| book.row(columns.table)).collect();
    for (part, row) in parts.iter().zip(&rows) {
        let place = &context.job.runs[context.network.order[part.position]].name;
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
