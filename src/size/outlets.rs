//! The fixtures as outlets: which code row speaks for each, where its cold and hot sides draw, what they need.

use super::Context;
use super::rule_tables::{FixtureRow, OutletRow, RuleTables};
use crate::figure::{Book, Term};
use crate::finding::{Code, Finding, nearest};
use crate::model::{Fixture, Setting, fold};
use rust_decimal::Decimal;
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

/// Materials of all runs by position, in the rules' spelling; an unknown one is a finding and read as written.
pub fn materials(context: &Context, findings: &mut Vec<Finding>) -> Vec<Arc<str>> {
    let main = context.job.text(Setting::MainMaterial);
    let mut told_main = false;
    let mut result = Vec::with_capacity(context.network.len());
    for index in &context.network.order {
        let run = &context.job.runs[*index];
        let written = run.material.get().unwrap_or_else(|| main.clone());
        match context.rules.canonical_material(&written) {
            Some(material) => result.push(material.into()),
            None if hazard(&written).is_some() => {
                let code = Code::HazardousPipe {
                    run: run.name.value.to_string(),
                    material: hazard(&written).unwrap_or_default(),
                };
                findings.push(Finding::near(run.material.cell.as_ref().or(Some(&run.name.place)), code));
                result.push(written);
            }
            None => {
                let from_main = run.material.value.is_none();
                let place = if from_main { main_material_cell(context) } else { run.material.cell.clone() };
                if !(from_main && told_main) {
                    let known = context.rules.names().materials();
                    findings.push(Finding::near(
                        place.as_ref(),
                        Code::UnknownName {
                            what: "pipe material",
                            found: written.to_string(),
                            nearest: nearest(&written, known.iter().map(|m| &**m)).map(str::to_owned),
                            remedy: format!(
                                "Write one of: {}.",
                                known.iter().map(|m| &**m).collect::<Vec<_>>().join(", ")
                            ),
                        },
                    ));
                }
                told_main |= from_main;
                result.push(written);
            }
        }
    }
    result
}

/// Old materials that no water for people may run through, or that do not hold.
fn hazard(written: &str) -> Option<&'static str> {
    match fold(written).as_str() {
        "lead" | "leadpipe" | "leadservice" => Some("lead"),
        "polybutylene" | "polybutylenepipe" | "pb" | "polyb" => Some("polybutylene"),
        _ => None,
    }
}

fn main_material_cell(context: &Context) -> Option<crate::place::Place> {
    context.job.settings.get(&Setting::MainMaterial).and_then(|f| f.cell.clone())
}

/// Every fixture that draws water at the end of a run.
pub fn outlets(book: &mut Book, context: &Context, tables: &RuleTables, findings: &mut Vec<Finding>) -> Vec<Outlet> {
    let mut outlets = Vec::new();
    for (index, fixture) in context.job.fixtures.iter().enumerate() {
        if !fixture.status.get().unwrap_or_default().carries_water() {
            continue;
        }
        let name = &fixture.fixture.value;
        let Some(kind) = context.rules.canonical_fixture(name) else {
            findings.push(unknown_fixture(context, fixture));
            continue;
        };
        let find = |field: &crate::model::Field<Arc<str>>| field.as_ref().and_then(|run| context.network.find(run));
        let (cold, hot) = (find(&fixture.cold_run), find(&fixture.hot_run));
        if cold.is_none() && hot.is_none() {
            // Without a run it draws nowhere; the checks have said so.
            continue;
        }
        let count = book.number_input(&fixture.count, Decimal::ONE);
        let steady_gpm = fixture.gpm.value.map(|_| book.number_input(&fixture.gpm, Decimal::ZERO));
        let units = tables.fixture_row(kind);
        if units.is_none() && steady_gpm.is_none() {
            // A code for dwellings has no units at all for public use; that is told once, of the setting.
            if !context.is_beyond_its_code() {
                findings.push(Finding::at(
                    &fixture.fixture.place,
                    Code::FixtureWithoutUnits {
                        fixture: kind.to_string(),
                        code: context.code.name().to_owned(),
                        occupancy: context.occupancy.name().to_owned(),
                    },
                ));
            }
            continue;
        }
        let OutletRow { gpm, psi } = tables.outlet_row(kind);
        let need_psi = match fixture.need_psi.value {
            Some(_) => book.number_input(&fixture.need_psi, Decimal::ZERO),
            None => match &fixture.need_psi.cell {
                // A blank cell takes the table until somebody types there.
                Some(place) => {
                    let cell = book.input_cell(place, crate::figure::Value::Blank);
                    cell.is_blank().pick(&psi, &cell)
                }
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
    outlets
}

fn unknown_fixture(context: &Context, fixture: &Fixture) -> Finding {
    let known = context.rules.names().fixtures();
    let name = &fixture.fixture.value;
    Finding::at(
        &fixture.fixture.place,
        Code::UnknownName {
            what: "fixture",
            found: name.to_string(),
            nearest: nearest(name, known.iter().map(|n| &**n)).map(str::to_owned),
            remedy: "Write a fixture of the code's table, or other with its flow under Gpm.".to_owned(),
        },
    )
}
