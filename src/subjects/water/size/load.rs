//! Load and demand: fixture units of every run, and the flow the code's demand table makes of them.
//!
//! What a run feeds is one contiguous range of the parts in `draws`, so every load is a plain SUM. Hose bibbs, where a code
//! counts the first and the additional ones apart, are counted per run and never added up subtree by subtree.

use super::Context;
use super::draws::{Part, PartColumns, PartTable, Stretch};
use super::rule_tables::{FixtureRow, RuleTables};
use super::water_carried::Water;
use crate::figure::lookup::Curve;
use crate::figure::{Book, RowId, Term};
use crate::finding::Finding;
use crate::model::Setting;
use crate::subjects::water::findings::loads::LoadAboveTable;
use crate::table::columns;

/// What the load stage hands on, by position.
#[derive(Debug)]
pub struct Loads {
    pub fixture_units: Vec<Term>,
    pub demand_gpm: Vec<Term>,
    /// The flow pressure needed at the run's own end; `None` where nothing draws.
    pub need_psi: Vec<Option<Term>>,
    /// How many outlet sides draw at the run's own end.
    pub outlets_at: Vec<usize>,
    /// Positions whose load is above the demand table.
    pub above_table: Vec<usize>,
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

/// Puts the parts and the loads into the book.
pub(crate) fn loads(
    book: &mut Book,
    context: &Context,
    tables: &RuleTables,
    parts: &[Part],
    waters: &[Water],
) -> Loads {
    let network = context.network;
    let drawn = PartTable::put(book, context, parts);
    let columns = RunColumns::on_page(book, context);
    let mut loads = Loads {
        fixture_units: Vec::new(),
        demand_gpm: Vec::new(),
        need_psi: Vec::new(),
        outlets_at: vec![0; network.len()],
        above_table: Vec::new(),
    };
    parts.iter().filter(|part| part.is_side()).for_each(|part| loads.outlets_at[part.position] += 1);
    for (position, water) in waters.iter().enumerate() {
        let at = book.row(columns.table);
        let name = context.run_at(position).name.figure(book);
        book.put(at, columns.run, name);
        book.label(at, columns.water, water.words());
        let row = RunRow { tables, columns: &columns, parts: &drawn.columns, at };
        let below = drawn.at(position..network.end[position]);
        let load = row.put_load(book, below);
        let in_table = load.where_any(load.by_curve(|curve| curve.row(&load.units)));
        let in_table = book.put(at, columns.row_in_table, in_table);
        if in_table.value().fault().is_some() {
            loads.above_table.push(position);
        }
        let between_rows = &*context.job.text(Setting::DemandBetweenRows) == "interpolate";
        let by_table = row.put_flow(book, &load, &in_table, between_rows);
        loads.demand_gpm.push(row.put_demand(book, below, &by_table));
        loads.fixture_units.push(load.units);
        let need = drawn.at(position..position + 1).cells(book, drawn.columns.need);
        loads.need_psi.push(need.map(|psi| Term::greatest(&psi)).filter(|_| loads.outlets_at[position] > 0));
    }
    loads
}

/// The runs whose load the demand table does not reach.
pub(crate) fn find(context: &Context, loads: &Loads, findings: &mut Vec<Finding>) {
    findings.extend(loads.above_table.iter().map(|position| {
        let name = &context.run_at(*position).name;
        let units = loads.fixture_units[*position].value().to_string();
        Finding::at(&name.place, LoadAboveTable { run: name.value.to_string(), units })
    }));
}

/// What a run feeds, for the demand table to be read at.
struct Load<'a> {
    tables: &'a RuleTables,
    units: Term,
    valves: Term,
}

impl Load<'_> {
    /// What is read off the curve that the load goes by, live where there are flush valves.
    fn by_curve(&self, read: impl Fn(&Curve) -> Term) -> Term {
        let tank = read(&self.tables.tank_curve);
        if self.valves.value().as_f64() > 0.0 {
            self.valves.above(&Term::number(0)).pick(&read(&self.tables.valve_curve), &tank)
        } else {
            tank
        }
    }

    /// 0 where the run feeds nothing.
    fn where_any(&self, term: Term) -> Term {
        let zero = Term::number(0);
        self.units.above(&zero).pick(&term, &zero)
    }
}

/// The row of a run.
struct RunRow<'a> {
    tables: &'a RuleTables,
    columns: &'a RunColumns,
    parts: &'a PartColumns,
    at: RowId,
}

impl<'a> RunRow<'a> {
    fn put_load(&self, book: &mut Book, below: Stretch) -> Load<'a> {
        let mut units = below.sum(book, self.parts.units);
        let bibbs = below.cells(book, self.parts.bibbs).map(|bibbs| Term::sum(&bibbs));
        if let (Some(bibbs), Some(bibb)) = (bibbs, self.tables.bibb_row())
            && bibbs.value().as_f64() > 0.0
        {
            units = units + bibb_units(&bibbs, &bibb);
        }
        let units = book.put(self.at, self.columns.units, units);
        let valves = below.sum(book, self.parts.valves);
        Load { tables: self.tables, units, valves: book.put(self.at, self.columns.valves, valves) }
    }

    /// The flow by the table, gpm: on the line between its rows, or the next row up.
    fn put_flow(&self, book: &mut Book, load: &Load, in_table: &Term, between_rows: bool) -> Term {
        let by_curve = if between_rows {
            let slope = load.where_any(load.by_curve(|curve| curve.slope(in_table)));
            let slope = book.put(self.at, self.columns.slope, slope);
            // Below the table's first row the line is held at that row, never drawn down to nothing.
            load.by_curve(|curve| curve.between(&load.units, in_table, &slope))
        } else {
            load.by_curve(|curve| curve.next_row_up(in_table))
        };
        book.put(self.at, self.columns.table_gpm, load.where_any(by_curve))
    }

    /// The flow of the run, gpm: no more than all its outlets draw at once, no less than the largest of them, and what flows
    /// steadily besides.
    fn put_demand(&self, book: &mut Book, below: Stretch, by_table: &Term) -> Term {
        let (columns, parts, zero) = (self.columns, self.parts, Term::number(0));
        let steady = below.sum(book, parts.steady);
        let steady = book.put(self.at, columns.steady, steady);
        let listed = below.sum(book, parts.listed);
        let listed = book.put(self.at, columns.listed, listed);
        let largest = below.cells(book, parts.largest).map_or(zero.clone(), |flows| Term::greatest(&flows));
        let largest = book.put(self.at, columns.largest, largest);
        let unlisted = below.sum(book, parts.unlisted);
        let unlisted = book.put(self.at, columns.unlisted, unlisted);
        let capped = unlisted.above(&zero).pick(by_table, &by_table.min(&listed));
        book.put(self.at, columns.demand, capped.max(&largest) + &steady)
    }
}

/// First bibb at its value, each further one at its own.
fn bibb_units(bibbs: &Term, bibb: &FixtureRow) -> Term {
    let one = Term::number(1);
    let more = (bibbs - &one).max(&Term::number(0));
    bibbs.min(&one) * &bibb.combined + more * &bibb.additional
}
