//! What the tree alone decides, sizes aside: how runs meet and what joins them, what each needs in its own size, what goes
//! along them, where the main ends and where manifolds stand.

use super::fork::{Fork, main_runs};
use super::home_runs::{self, HomeRun, home_runs, manifold_at};
use super::junctions::{device_first, run_is_new};
use super::line_tees::line_tees;
use super::load::Loads;
use super::outlets::Outlet;
use super::part::{Layout, Part};
use super::run_accessories::{Accessories, accessories};
use super::run_parts::run_parts;
use super::water_carried::Water;
use super::{Context, ways};
use std::sync::Arc;

/// Vectors go by position in the network.
#[derive(Debug, Clone)]
pub struct Structure {
    /// How the runs that leave the end of each run leave it.
    pub forks: Vec<Fork>,
    /// Pieces that each run needs, and those at its end: the size search prices them, the take-off counts them.
    pub parts: Vec<Vec<Part>>,
    pub accessories: Vec<Accessories>,
    /// Runs from SUPPLY down to the first fork.
    pub main_runs: Vec<usize>,
    /// Runs of the main that are the service: where it comes in, and on as long as it lies under ground.
    pub service_runs: Vec<usize>,
    /// Runs that end in a manifold, and the lines from manifolds that serve one outlet alone.
    pub manifold_at: Vec<bool>,
    pub home_runs: Vec<HomeRun>,
}

impl Structure {
    pub fn of(context: &Context, materials: &[Arc<str>], waters: &[Water], outlets: &[Outlet], loads: &Loads) -> Self {
        let outlets_at = &loads.outlets_at;
        let main_runs = main_runs(context.network);
        let manifold_at = manifold_at(context);
        let mut structure = Self {
            forks: ways::forks(context, &loads.demand_gpm, outlets_at),
            parts: Vec::new(),
            accessories: accessories(context, materials, waters, outlets_at),
            home_runs: home_runs(context, &manifold_at, outlets),
            service_runs: home_runs::service_runs(context, &main_runs),
            main_runs,
            manifold_at,
        };
        let new: Vec<bool> = (0..materials.len()).map(|position| run_is_new(context, position)).collect();
        structure.parts = structure.parts(context, materials, outlets, &new);
        structure
    }

    /// The pieces of every run and its end where the runs in `new` are those that this job puts in.
    pub fn parts(&self, context: &Context, materials: &[Arc<str>], outlets: &[Outlet], new: &[bool]) -> Vec<Vec<Part>> {
        let Self { main_runs, manifold_at, forks, .. } = self;
        let device_first = &device_first(context);
        let mut drawing = vec![Vec::new(); materials.len()];
        for (index, outlet) in outlets.iter().enumerate() {
            [outlet.cold, outlet.hot].into_iter().flatten().for_each(|position| drawing[position].push(index));
        }
        let drawing = &drawing;
        let layout = Layout { context, materials, outlets, drawing, forks, main_runs, manifold_at, device_first, new };
        let mut parts = run_parts(&layout);
        for (position, (here, tees)) in parts.iter_mut().zip(line_tees(context, materials)).enumerate() {
            here.extend(tees);
            here.extend(layout.parts_at(position));
        }
        parts
    }
}
