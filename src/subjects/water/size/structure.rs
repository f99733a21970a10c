//! What the tree alone decides, sizes aside: how runs meet, what goes along them, what each needs in its own size, where
//! the main ends and where manifolds stand.

use super::exact::Fork;
use super::home_runs::{self, HomeRun, home_runs, manifold_at};
use super::junctions::{Joint, joints};
use super::line_tees::{LineTee, line_tees};
use super::load::Loads;
use super::outlets::Outlet;
use super::run_accessories::{Along, along};
use super::run_parts::{RunPart, run_parts};
use super::water_carried::Water;
use super::{Context, sizing, ways};
use std::sync::Arc;

/// Vectors go by position in the network.
#[derive(Debug, Clone)]
pub struct Structure {
    /// How the runs that leave the end of each run leave it, and whose material is used there.
    pub forks: Vec<Fork>,
    pub joints: Vec<Joint>,
    /// Pieces that each run needs in its own size.
    pub run_parts: Vec<Vec<RunPart>>,
    /// Tees in each run for what hangs on it.
    pub line_tees: Vec<Vec<LineTee>>,
    pub along: Vec<Along>,
    /// Runs from SUPPLY down to the first fork.
    pub main_runs: Vec<usize>,
    /// Runs of the main that are the service: where it comes in, and on as long as it lies under ground.
    pub service_runs: Vec<usize>,
    /// Runs that end in a manifold, and the lines from manifolds that serve one outlet alone.
    pub manifold_at: Vec<bool>,
    pub home_runs: Vec<HomeRun>,
}

impl Structure {
    pub fn of(context: &Context, materials: &[Arc<str>], served: &[Water], outlets: &[Outlet], loads: &Loads) -> Self {
        let outlets_at = &loads.outlets_at;
        let forks = ways::forks(context, &loads.demand_gpm, outlets_at);
        let main_runs = sizing::main_runs(context);
        let manifold_at = manifold_at(context);
        Self {
            joints: joints(context, &forks, materials, outlets),
            run_parts: run_parts(context, outlets, outlets_at, &main_runs),
            line_tees: line_tees(context, materials),
            along: along(context, materials, served, outlets_at),
            home_runs: home_runs(context, &manifold_at, outlets),
            forks,
            service_runs: home_runs::service_runs(context, &main_runs),
            main_runs,
            manifold_at,
        }
    }
}
