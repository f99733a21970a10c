//! The job as the size search sees it: runs with the sizes they could have and what each would lose, in plain numbers.

use super::devices::InLine;
use super::fitting_loss::{self, Entry, Fitted};
use super::forms::Forms;
use super::installation::Lay;
use super::load::Loads;
use super::outlets::Outlet;
use super::structure::Structure;
use super::{Context, friction};
use crate::figure::Number;
use crate::model::{Run, Setting, Size};
use crate::rules::ELBOW;
use rust_decimal::prelude::ToPrimitive;
use std::sync::Arc;

/// One run as the search sees it. All options are in rising order of size.
#[derive(Debug, Clone)]
pub struct SearchRun {
    /// Index of the run that feeds it, lower than its own; `None` at the supply.
    pub parent: Option<usize>,
    /// At peak demand, gpm.
    pub flow_gpm: f64,
    /// Pressure that its rise takes, psi; negative downward.
    pub height_psi: f64,
    /// Pressure needed at its end, psi; `None` where nothing draws there.
    pub need_psi: Option<f64>,
    /// At least one.
    pub options: Vec<SearchOption>,
    /// Index of the only option allowed, when the size is somebody's word.
    pub fixed: Option<usize>,
    /// New pipe, which is paid for; where its size is chosen, never larger than that of such pipe which feeds it.
    pub new: bool,
}

/// A size that a run could have, and what it would lose.
#[derive(Debug, Clone, Copy)]
pub struct SearchOption {
    /// Nominal.
    pub size: Size,
    /// Friction and fittings, psi.
    pub loss_psi: f64,
    /// Its water runs faster than the limit.
    pub fast: bool,
}

/// The job as the size search sees it.
#[derive(Clone)]
pub struct Search<'a> {
    /// At the supply, static, psi.
    pub source_psi: f64,
    /// Share of a regulator's setting that sizing counts on, 0 to 1.
    pub regulator_share: f64,
    /// What every outlet keeps over its need, psi.
    pub to_spare_psi: f64,
    /// How short of that outlets may be, psi: 0 where some sizes keep every pressure.
    pub short_psi: f64,
    /// A run before those that it feeds.
    pub runs: Vec<SearchRun>,
    /// By index into the job's devices; their `position` is an index into `runs`.
    pub devices: &'a [InLine],
}

/// Lengths, fittings and limits of the runs, in plain numbers for the search.
pub struct Physics<'a> {
    /// By position: what the water is led through where the run begins.
    pub entries: &'a [Entry],
    /// What the tree alone decides.
    pub structure: &'a Structure,
    /// Supports, holes and limits by the row of the pipe table.
    pub lay: &'a Lay,
    /// Stick or coil.
    pub forms: &'a Forms,
    /// The smallest size that the code allows each run.
    pub smallest: &'a [Size],
    /// In the order they stand.
    pub devices: &'a [InLine],
    /// Of height, at the coldest water.
    pub psi_per_ft: f64,
    /// Kinematic, at the coldest water.
    pub viscosity_ft2_s: f64,
    /// See [`Search::regulator_share`].
    pub regulator_share: f64,
    /// Highest velocity allowed, ft/s, by position.
    pub velocity_limit: Vec<f64>,
}

/// What a run of the search is made from.
#[derive(Clone, Copy)]
pub(super) struct Job<'a> {
    pub context: &'a Context<'a>,
    pub materials: &'a [Arc<str>],
    pub outlets: &'a [Outlet],
    pub loads: &'a Loads,
    pub physics: &'a Physics<'a>,
}

/// What is settled of a run before the search: its size, and whether it is put in anew.
#[derive(Clone, Copy)]
pub(super) struct Given {
    pub size: Option<Size>,
    pub new: bool,
}

impl<'a> Job<'a> {
    pub(crate) fn run(&self, position: usize) -> &'a Run {
        self.context.run_at(position)
    }

    pub(crate) fn search_run(&self, position: usize, given: Given) -> SearchRun {
        let Self { context, materials, loads, physics, .. } = *self;
        let run = self.run(position);
        let number =
            |field: &crate::model::Field<rust_decimal::Decimal>| field.value.and_then(|d| d.to_f64()).unwrap_or(0.0);
        let flow_gpm = loads.demand_gpm[position].value().as_f64();
        let method_is_darcy = &*context.job.text(Setting::LossMethod) == "Darcy-Weisbach";
        let material = &materials[position];
        let smallest = physics.smallest[position];
        // What is in already was not bought from today's offers.
        let priced = if given.new { priced_sizes(context, material) } else { Vec::new() };
        let option = |pipe: &crate::rules::Pipe| {
            let form = physics.forms.of(position, Some(pipe.size));
            let id_in = f64::of(pipe.id_in);
            let per_100_ft = if method_is_darcy {
                friction::darcy_weisbach(
                    flow_gpm,
                    id_in,
                    f64::of(pipe.roughness_in),
                    physics.viscosity_ft2_s,
                    physics.psi_per_ft,
                )
            } else {
                friction::hazen_williams_psi_per_100_ft(&flow_gpm, &f64::of(pipe.c), &id_in, &physics.psi_per_ft)
            };
            let elbows = context.rules.bend_part(material, form, pipe.size) == ELBOW;
            let fitted = Fitted {
                entry: physics.entries[position],
                bends: if elbows { number(&run.bends) } else { 0.0 },
                length_ft: number(&run.length_ft),
            };
            let feet = fitted.length_ft + fitting_loss::equivalent_ft(context, material, pipe.size, &fitted);
            let velocity = friction::velocity(&flow_gpm, &id_in);
            SearchOption {
                size: pipe.size,
                loss_psi: per_100_ft * feet / 100.0,
                fast: ((velocity - physics.velocity_limit[position]) * 1e6).round() > 0.0,
            }
        };
        let options: Vec<SearchOption> = context
            .rules
            .pipes_of(material)
            .iter()
            .filter(|pipe| match given.size {
                Some(size) => pipe.size == size,
                None => pipe.size >= smallest && (priced.is_empty() || priced.contains(&pipe.size)),
            })
            .map(option)
            .collect();
        SearchRun {
            parent: context.network.parent[position],
            flow_gpm,
            height_psi: number(&run.rise_ft) * physics.psi_per_ft,
            need_psi: loads.need_psi[position].as_ref().map(|need| need.value().as_f64()),
            fixed: (given.size.is_some() && !options.is_empty()).then_some(0),
            options,
            new: given.new,
        }
    }
}

impl SearchRun {
    /// The smallest size that is not too fast, else the largest; `None` where the run has no option at all.
    pub(super) fn slowest_enough(&self) -> Option<usize> {
        let slow = self.options.iter().position(|option| !option.fast);
        self.fixed.or(slow).or(self.options.len().checked_sub(1))
    }
}

impl Search<'_> {
    /// The least pressure that a run's end must have, psi: what is drawn there needs, and is to keep besides; where nothing is
    /// drawn, that water arrives at all. Less what outlets may be short of.
    pub fn least_end_psi(&self, position: usize) -> f64 {
        let need = self.runs[position].need_psi.map_or(0.0, |need| (need + self.to_spare_psi).max(0.0));
        need - self.short_psi
    }

    /// Pressure at the end of every run under these options, psi.
    pub fn end_psi(&self, pick: &[Option<usize>]) -> Vec<f64> {
        let mut ends: Vec<f64> = Vec::with_capacity(self.runs.len());
        for (position, run) in self.runs.iter().enumerate() {
            let start = run.parent.map_or(self.source_psi, |parent| ends[parent]);
            ends.push(match pick[position] {
                Some(option) => self.end_of(position, start, option),
                None => self.behind_devices(position, start) - run.height_psi,
            });
        }
        ends
    }

    /// Pressure at a run's end from that at its start, psi.
    pub fn end_of(&self, position: usize, start_psi: f64, option: usize) -> f64 {
        let run = &self.runs[position];
        self.behind_devices(position, start_psi) - run.options[option].loss_psi - run.height_psi
    }

    fn behind_devices(&self, position: usize, start_psi: f64) -> f64 {
        let here = self.devices.iter().filter(|device| device.position == position);
        here.fold(start_psi, |psi, device| device.outlet_psi(psi, self.runs[position].flow_gpm, self.regulator_share))
    }

    /// What the start of a run must have so that this much is left behind its devices; `None` when a regulator there
    /// never lets so much through.
    pub fn inlet_needed(&self, position: usize, behind_psi: f64) -> Option<f64> {
        let here = self.devices.iter().rev().filter(|device| device.position == position);
        here.into_iter().try_fold(behind_psi, |psi, device| {
            device.inlet_needed(psi, self.runs[position].flow_gpm, self.regulator_share)
        })
    }
}

/// Sizes of this material's pipe that the Prices sheet offers; empty when it offers none.
pub(super) fn priced_sizes(context: &Context, material: &str) -> Vec<Size> {
    let offers = context
        .job
        .prices
        .iter()
        .filter(|p| crate::model::same_folded(&p.kind.value, "pipe") && p.price.value.is_some());
    offers
        .filter(|p| p.material.as_ref().and_then(|m| context.rules.canonical_material(m)) == Some(material))
        .filter_map(|p| p.sizes.as_ref().and_then(|sizes| sizes.first().copied()))
        .collect()
}
