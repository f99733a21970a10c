//! The fixtures as outlets: which code row speaks for each, where its cold and hot sides draw, what they need.

use super::Context;
use super::rule_tables::{FixtureRow, OutletRow, RuleTables};
use crate::figure::{Book, Term};
use crate::model::{Setting, fold};
use std::sync::Arc;

/// One fixture row of the job that draws water, ready for counting.
#[derive(Debug, Clone)]
pub struct Outlet {
    /// Index into `job.fixtures`.
    pub fixture: usize,
    /// The fixture's name in the code table's spelling.
    pub kind: Arc<str>,
    /// Positions of the runs at whose ends it draws.
    pub cold: Option<usize>,
    pub hot: Option<usize>,
    pub count: Term,
    /// The code table's row; `None` for a continuous flow.
    pub units: Option<FixtureRow>,
    /// A continuous flow in gpm in place of fixture units.
    pub steady_gpm: Option<Term>,
    /// Flow that the code or the user lists for it, gpm, where one is listed.
    pub listed_gpm: Option<Term>,
    /// Flow pressure it needs, psi.
    pub need_psi: Term,
}

/// Materials of all runs by position, in the rules' spelling; the checks have told of unknown ones, which are read as
/// written.
pub(crate) fn materials(context: &Context) -> Vec<Arc<str>> {
    let main = context.job.text(Setting::MainMaterial);
    let written = |index: &usize| context.job.runs[*index].material.get().unwrap_or_else(|| main.clone());
    let known = |name: Arc<str>| context.rules.canonical_material(&name).map_or(name.clone(), Arc::from);
    context.network.order.iter().map(written).map(known).collect()
}

/// Every fixture that draws water at the end of a run, in the order of their tees.
pub(crate) fn outlets(book: &mut Book, context: &Context, tables: &RuleTables) -> Vec<Outlet> {
    let mut outlets = Vec::new();
    for (index, fixture) in context.job.fixtures.iter().enumerate() {
        if !fixture.status.get().unwrap_or_default().carries_water() {
            continue;
        }
        let name = &fixture.fixture.value;
        // The checks have told of a fixture that nobody knows, and of one that the code gives no units.
        let Some(kind) = context.rules.canonical_fixture(name) else { continue };
        let find = |field: &crate::model::Field<Arc<str>>| field.as_ref().and_then(|run| context.network.find(run));
        let (cold, hot) = (find(&fixture.cold_run), find(&fixture.hot_run));
        if cold.is_none() && hot.is_none() {
            // Without a run it draws nowhere; the checks have said so.
            continue;
        }
        let count = fixture.count.figure(book);
        let steady_gpm = fixture.gpm.value.map(|_| fixture.gpm.figure(book));
        let units = tables.fixture_row(kind);
        if units.is_none() && steady_gpm.is_none() {
            continue;
        }
        let OutletRow { gpm, psi } = tables.outlet_row(kind);
        let need_psi = match fixture.need_psi.value {
            Some(_) => fixture.need_psi.figure(book),
            None => match fixture.need_psi.as_typed(book) {
                // A blank cell takes the table until somebody types there.
                Some(cell) => cell.is_blank().pick(&psi, &(&cell + Term::number(0))),
                None => psi,
            },
        };
        outlets.push(Outlet {
            fixture: index,
            kind: kind.into(),
            cold,
            hot,
            count,
            listed_gpm: if steady_gpm.is_some() { None } else { gpm },
            units: if steady_gpm.is_some() { None } else { units },
            steady_gpm,
            need_psi,
        });
    }
    in_order_of_tees(context, &mut outlets);
    outlets
}

/// Outlets in the order of their tees where several draw at one place: the smaller connection first, as runs branch off; of
/// equal ones by tag, and by what else stands in the row should two have none. The order of the rows says nothing.
fn in_order_of_tees(context: &Context, outlets: &mut [Outlet]) {
    outlets.sort_by_cached_key(|outlet| {
        let fixture = &context.job.fixtures[outlet.fixture];
        let connection = context.rules.fixture(&outlet.kind).map(|kind| kind.connection);
        let runs = [&fixture.cold_run, &fixture.hot_run].map(|run| fold(run.text()));
        (connection, fold(&fixture.tag.value), outlet.kind.clone(), runs, fixture.count.value)
    });
}
