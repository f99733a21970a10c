//! Sizing: what every run serves and carries, how fast, at what loss, and what pressure is left where water is drawn.
//!
//! In: the job, its network, the rules, the settings' figures. Out: [`Sizes`] and findings. Never: prices, quantities.
//!
//! Flows come first (they do not depend on sizes), then the sizes are chosen by a search in f64, then the pressures are
//! put into the book as figures, which prove the choice.

pub(crate) mod accessory_counts;
pub(crate) mod bought_ends;
pub(crate) mod choices;
mod chosen_on;
pub(crate) mod closed_systems;
pub(crate) mod code_table;
pub(crate) mod costs;
pub(crate) mod device_loss;
mod device_table;
pub mod devices;
pub(crate) mod draws;
pub mod exact;
pub(crate) mod fitting_loss;
pub mod fork;
mod form_costs;
pub(crate) mod forms;
pub mod friction;
mod friction_table;
mod given;
pub(crate) mod home_runs;
pub(crate) mod installation;
pub(crate) mod junctions;
pub(crate) mod line_tees;
pub(crate) mod load;
pub(crate) mod outlets;
pub(crate) mod part;
mod picked;
pub(crate) mod pressure;
mod pressure_lost;
pub mod remedy;
pub(crate) mod rule_tables;
pub(crate) mod run_accessories;
mod run_findings;
pub(crate) mod run_parts;
pub mod search;
pub(crate) mod shared_stops;
pub mod shortage;
pub mod sizing;
pub(crate) mod structure;
mod supply;
mod typed_form;
pub(crate) mod unit_costs;
pub(crate) mod water;
pub(crate) mod water_carried;
pub(crate) mod ways;
pub(in crate::subjects::water) mod well;

use crate::figure::{Book, Column, Term};
use crate::finding::Finding;
use crate::model::Size;
use crate::view::View;
use std::sync::Arc;
use structure::Structure;

/// What the size stage hands on. Vectors go by position in the network.
#[derive(Debug)]
pub struct Sizes {
    /// Material of each run, in the rules' own spelling.
    pub materials: Vec<Arc<str>>,
    /// Whether each run carries hot or cold water, and whether it is softened.
    pub waters: Vec<water_carried::Water>,
    /// Fixtures that draw water, in the order of their tees.
    pub outlets: Vec<outlets::Outlet>,
    /// How many outlet sides draw at each run's own end.
    pub outlets_at: Vec<usize>,
    /// What the tree alone decides.
    pub structure: Structure,
    /// The size of each run as it now is (the user's word, the main's, or the choice).
    pub sizes: Vec<Option<Size>>,
    /// The size key cell of each run: `3/4"`, live.
    pub size_keys: Vec<Term>,
    /// The pipe key cell of each run: `PEX 3/4"`, live.
    pub pipe_keys: Vec<Term>,
    /// The row of each run's pipe in the pipe table, live, and that table's keys.
    pub pipe_rows: Vec<Term>,
    /// Keys of the pipe table, material and size.
    pub pipe_table_keys: Column,
    /// Developed length of each run, ft.
    pub length_ft: Vec<Term>,
    /// What a bend of each run takes, live: `elbow`, `bend support` or `none`; `None` where it is always an elbow.
    pub bend_parts: Vec<Option<Term>>,
    /// `auto`, `stick` or `coil`.
    pub forms: Vec<&'static str>,
    /// Where the form is chosen its cell, live.
    pub form_choices: Vec<Option<Term>>,
    /// Supports, holes and sleeves by the row of the pipe table.
    pub lay: installation::Lay,
    /// Water supply fixture units through each run.
    pub fixture_units: Vec<Term>,
    /// Flow of each run, gpm.
    pub demand_gpm: Vec<Term>,
    /// Velocity in each run, ft/s.
    pub velocity_ft_s: Vec<Term>,
    /// All that is lost between the run's start and its end except height, psi.
    pub loss_psi: Vec<Term>,
    /// Pressure left at each run's end, psi.
    pub end_psi: Vec<Term>,
    /// Pressure that its rise takes from each run, psi.
    pub height_psi: Vec<Term>,
    /// What each device takes, psi: its index in Devices, the position of its run, the loss.
    pub device_losses: Vec<(usize, usize, Term)>,
    /// `OK`, or what is wrong with each run, live.
    pub checks: Vec<Term>,
    /// The least pressure to spare at any outlet, and the run where it is.
    pub least_spare: Option<(Term, Term)>,
    /// What that outlet lacks of `Pressure to spare`, psi; 0 where it has it.
    pub short_by: Option<Term>,
    /// What the size search reckons for pipe, fittings and work in these sizes, tax and burden counted, in dollars. `None`
    /// where no sizes keep every pressure. The bid's own cost moves with the sizes as this does.
    pub search_cost: Option<rust_decimal::Decimal>,
    /// How short the chosen sizes leave the worst outlet, psi, to a hundredth upward: the least that any sizes would. 0 where
    /// they keep every pressure.
    pub short_psi: f64,
    /// How many runs carry their water too fast.
    pub too_fast: Term,
    /// Whether Main size speaks for no run: each of the main has its own, or lies there.
    pub main_idle: bool,
    /// How many choices and figures were typed over with what pricing would not take: ways at tees, forms of runs, the range
    /// of the code's table, rows of a demand curve.
    pub typed_over: Vec<(&'static str, Term)>,
    /// What fixes that.
    pub remedy: Option<super::findings::remedy::Remedy>,
    /// `OK`, or `price again` when what the sizes were chosen on has changed.
    pub choice_check: Option<Term>,
    /// Of a job on a well: `OK`, `short run` or `not known`, whether its pump runs long enough at each start.
    pub well_check: Option<Term>,
    /// The most that the supply stands at and what the code allows, psi, where no regulator lowers it.
    pub static_psi: Option<[Term; 2]>,
}

impl Sizes {
    /// How short the outlet with the least pressure to spare is, psi, 0 where it is not, and the run where it is; `None`
    /// where nothing draws.
    pub fn shortage(&self) -> Option<(&Term, &Term)> {
        self.short_by.as_ref().zip(self.least_spare.as_ref().map(|(_, run)| run))
    }
}

/// What every file of this stage works from.
pub type Context<'a> = View<'a>;

/// The whole stage.
pub fn size(book: &mut Book, context: &Context, findings: &mut Vec<Finding>) -> Sizes {
    let materials = outlets::materials(context);
    let tables = rule_tables::RuleTables::put(book, context, &materials);
    let lay = installation::put(book, context, &tables, &materials);
    let waters = water_carried::waters(context);
    let outlets = outlets::outlets(book, context, &tables);
    let parts = draws::parts(context, &tables, &outlets, findings);
    let loads = load::loads(book, context, &tables, &parts, &waters);
    load::find(context, &loads, findings);
    let water = water::water(book, context, &tables);
    let devices = devices::devices(book, context, &tables, &loads.demand_gpm, findings);
    let structure = Structure::of(context, &materials, &waters, &outlets, &loads);
    let forms = forms::Forms::new(context, &materials, &structure);
    let entries = fitting_loss::entries(context.network, &structure.forks, &loads.outlets_at, &structure.manifold_at);
    let velocity_limit: Vec<Term> =
        (0..context.network.len()).map(|p| tables.velocity_limit(context, &materials[p], waters[p].hot)).collect();
    let physics = search::Physics {
        structure: &structure,
        lay: &lay,
        forms: &forms,
        smallest: &home_runs::smallest_sizes(context, &structure.service_runs, &structure.home_runs),
        entries: &entries,
        devices: &devices,
        psi_per_ft: tables.psi_per_ft.value().as_f64(),
        viscosity_ft2_s: water.viscosity_ft2_s.value().as_f64(),
        regulator_share: tables.regulator_share.value().as_f64(),
        velocity_limit: velocity_limit.iter().map(|limit| limit.value().as_f64()).collect(),
    };
    let job = search::Job { context, materials: &materials, outlets: &outlets, loads: &loads, physics: &physics };
    let chosen = sizing::sizes(&job, findings);
    devices::other_sizes(context, &tables, &devices, &chosen.picked, findings);
    devices::meters(context, &devices, &chosen.picked, &loads.demand_gpm, findings);
    let given = given::Given {
        materials,
        waters,
        outlets,
        loads,
        devices,
        entries,
        lay,
        structure,
        forms,
        water,
        velocity_limit,
        picked: chosen.picked,
        // Of held sizes it is not known.
        sizes_will: chosen.short_psi == 0.0 || context.hold,
    };
    let sizes = pressure::pressures(book, context, &tables, given, findings);
    let mut sizes = Sizes { search_cost: chosen.cost, short_psi: chosen.short_psi, remedy: chosen.remedy, ..sizes };
    if context.advice {
        let typed_over = code_table::put(book, context, &sizes);
        sizes.typed_over.extend(typed_over.map(|count| ("Range of the code's table typed over", count)));
    }
    supply::find(context, &tables, &sizes, findings);
    let static_psi = supply::unregulated(context, &tables);
    pressure_lost::find(context, &sizes, findings);
    let well_check = well::put(book, context, &tables, findings);
    Sizes { well_check, static_psi, ..sizes }
}
