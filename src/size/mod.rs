//! Sizing: what every run serves and carries, how fast, at what loss, and what pressure is left where water is drawn.
//!
//! In: the job, its network, the rules, the settings' figures. Out: [`Sizes`] and findings. Never: prices, quantities.
//!
//! Flows come first (they do not depend on sizes), then the sizes are chosen by a search in f64, then the pressures are
//! put into the book as figures, which prove the choice.

pub mod along;
pub mod costs;
pub mod device_loss;
pub mod devices;
pub mod exact;
pub mod fitting_loss;
pub mod friction;
pub mod home_runs;
pub mod joints;
pub mod lay;
pub mod load;
pub mod outlets;
pub mod pressure;
pub mod rule_tables;
pub mod run_parts;
pub mod served;
pub mod sizing;
mod supply;
pub mod unit_costs;
pub mod water;

use crate::figure::settings::Settings;
use crate::figure::{Book, Column, SheetId, Term};
use crate::finding::{Code, Finding};
use crate::model::network::Network;
use crate::model::{Job, Setting, Size};
use crate::rules::{CodeBasis, Occupancy, Rules};
use std::sync::Arc;

/// The sheets this stage writes on.
#[derive(Debug, Clone, Copy)]
pub struct Sheets {
    pub sizing: SheetId,
    pub loads: SheetId,
    pub friction: SheetId,
    pub rules: SheetId,
}

/// What the size stage hands on. Vectors go by position in the network.
#[derive(Debug)]
pub struct Sizes {
    /// Material of each run, in the rules' own spelling.
    pub materials: Vec<Arc<str>>,
    pub served: Vec<served::Water>,
    pub outlets: Vec<outlets::Outlet>,
    /// How many outlet sides draw at each run's own end.
    pub outlets_at: Vec<usize>,
    /// How the runs that leave the end of each run leave it, and whose material is used there.
    pub forks: Vec<exact::Fork>,
    pub joints: Vec<joints::Joint>,
    /// Runs from SUPPLY down to the first fork.
    pub main_runs: Vec<usize>,
    /// Runs that end in a manifold, and the lines from manifolds that serve one outlet alone.
    pub manifold_at: Vec<bool>,
    pub home_runs: Vec<home_runs::HomeRun>,
    /// Pieces that each run needs in its own size.
    pub run_parts: Vec<Vec<run_parts::RunPart>>,
    /// Sleeves of each run: their kind and how many.
    pub sleeves: Vec<Option<(&'static str, u8)>>,
    /// Runs that pass through studs.
    pub in_studs: Vec<bool>,
    /// Runs that Insulate in Job asks to be insulated where Insulation in is blank.
    pub insulate: Vec<bool>,
    /// The size of each run as it now is (the user's word, the main's, or the choice).
    pub sizes: Vec<Option<Size>>,
    /// The size key cell of each run: `3/4"`, live.
    pub size_keys: Vec<Term>,
    /// The pipe key cell of each run: `PEX 3/4"`, live.
    pub pipe_keys: Vec<Term>,
    /// The row of each run's pipe in the pipe table, live, and that table's keys.
    pub pipe_rows: Vec<Term>,
    pub pipe_table_keys: Column,
    /// Developed length of each run, ft.
    pub length_ft: Vec<Term>,
    /// What a bend of each run takes, live: `elbow`, `bend support` or `none`; `None` where it is always an elbow.
    pub bend_parts: Vec<Option<Term>>,
    /// `auto`, `stick` or `coil`.
    pub forms: Vec<&'static str>,
    /// Supports, holes and sleeves by the row of the pipe table.
    pub lay: lay::Lay,
    pub fixture_units: Vec<Term>,
    pub demand_gpm: Vec<Term>,
    pub velocity_ft_s: Vec<Term>,
    /// All that is lost between the run's start and its end except height, psi.
    pub loss_psi: Vec<Term>,
    pub end_psi: Vec<Term>,
    pub checks: Vec<Term>,
    /// The least pressure to spare at any outlet, and the run where it is.
    pub least_spare: Option<(Term, Term)>,
    /// What the size search reckons for pipe, fittings and work in these sizes, tax and burden counted, in dollars. `None`
    /// where no sizes keep every pressure. The bid's own cost moves with the sizes as this does.
    pub search_cost: Option<rust_decimal::Decimal>,
    /// `OK`, or `price again` when what the sizes were chosen on has changed.
    pub choice_check: Option<Term>,
}

/// What every file of this stage works from.
pub struct Context<'a> {
    pub job: &'a Job,
    pub rules: &'a Rules,
    pub network: &'a Network,
    pub settings: &'a Settings,
    pub sheets: Sheets,
    pub code: CodeBasis,
    pub occupancy: Occupancy,
    /// True when sizes come from the bid that is read, not from a new search.
    pub hold: bool,
}

/// The whole stage.
pub fn size(book: &mut Book, context: &Context) -> (Sizes, Vec<Finding>) {
    let mut findings = Vec::new();
    if context.code == CodeBasis::Irc && context.occupancy == Occupancy::Public {
        let place = context.job.settings.get(&Setting::Occupancy).and_then(|f| f.cell.clone());
        findings.push(Finding::near(place.as_ref(), Code::CodeForDwellingsOnly));
    }
    let materials = outlets::materials(context, &mut findings);
    let tables = rule_tables::RuleTables::put(book, context, &materials);
    let lay = lay::put(book, context, &tables, &materials);
    let served = served::served(context);
    let outlets = outlets::outlets(book, context, &tables, &served, &mut findings);
    let loads = load::loads(book, context, &tables, &outlets, &served, &mut findings);
    let water = water::water(book, context, &tables);
    let devices = devices::devices(book, context, &tables, &mut findings);
    let manifold_at = home_runs::manifold_at(context);
    let home_runs = home_runs::home_runs(context, &manifold_at, &outlets);
    let entries = fitting_loss::entries(context.network, &loads.outlets_at, &manifold_at);
    let main_runs = sizing::main_runs(context);
    let smallest = home_runs::smallest_sizes(context, &main_runs, &home_runs);
    let velocity_limit: Vec<Term> =
        (0..context.network.len()).map(|p| tables.velocity_limit(context, &materials[p], served[p].hot)).collect();
    let forks = exact::forks(context.network, &loads.outlets_at);
    let joints = joints::joints(context, &forks, &materials, &outlets);
    let run_parts = run_parts::run_parts(context, &outlets, &loads.outlets_at, &main_runs);
    let along = along::along(context, &materials, &served, &loads.outlets_at);
    let physics = sizing::Physics {
        along: &along,
        manifold_at: &manifold_at,
        smallest: &smallest,
        forks: &forks,
        joints: &joints,
        run_parts: &run_parts,
        entries: &entries,
        main_runs: &main_runs,
        devices: &devices,
        psi_per_ft: tables.psi_per_ft.value().as_f64(),
        viscosity_ft2_s: water.viscosity_ft2_s.value().as_f64(),
        regulator_share: tables.regulator_share.value().as_f64(),
        velocity_limit: velocity_limit.iter().map(|limit| limit.value().as_f64()).collect(),
    };
    let (picked, search_cost) = sizing::sizes(context, &materials, &outlets, &loads, &physics, &mut findings);
    let given = pressure::Given {
        materials,
        served,
        outlets,
        loads,
        devices,
        entries,
        lay,
        forks,
        joints,
        run_parts,
        along,
        manifold_at,
        home_runs,
        main_runs,
        water,
        velocity_limit,
        picked,
    };
    let sizes = pressure::pressures(book, context, &tables, given, &mut findings);
    let sizes = Sizes { search_cost, ..sizes };
    supply::say(context, &tables, &sizes, &mut findings);
    (sizes, findings)
}
