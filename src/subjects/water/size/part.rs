//! A piece that runs need, whatever their sizes come to be: what it is, and whose size it has. The size search prices it at
//! every size that it tries, the take-off counts it at sizes that are live.

use super::Context;
use super::fork::Fork;
use super::outlets::Outlet;
use crate::figure::Term;
use crate::model::{At, Phase, Setting, Size};
use crate::subjects::water::rules::PipeEnd;
use crate::view::View;
use std::sync::Arc;

/// Whose size it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SizeOf {
    /// Of the run at this position.
    Run(usize),
    /// Of what is connected: a fixture, a device.
    Connection(Size),
    /// Of what hangs on the run at this position: no larger than the run.
    Hanging(Size, usize),
}

impl SizeOf {
    /// As it is where the runs have these sizes.
    pub fn at(self, run: impl Fn(usize) -> Size) -> Size {
        match self {
            Self::Run(position) => run(position),
            Self::Connection(size) => size,
            Self::Hanging(largest, position) => largest.min(run(position)),
        }
    }
}

/// The device that a run starts with.
#[derive(Debug, Clone)]
pub(super) struct First {
    pub name: At<Arc<str>>,
    /// Empty where nobody knows.
    pub inlet: String,
    pub size: SizeOf,
    /// This job sets it.
    pub is_ours: bool,
}

/// Pipe that is joined to a piece.
#[derive(Debug, Clone)]
pub struct Leg {
    pub material: Arc<str>,
    pub size: SizeOf,
}

/// What a piece is.
#[derive(Debug, Clone)]
pub enum Piece {
    /// A fitting or valve of one size, and the pipe ends that are joined to it. It joins what `joins` says
    /// ([`crate::rules::Item::ends`]).
    Fitting { kind: Arc<str>, material: Arc<str>, size: SizeOf, ends: Vec<Leg>, joins: Arc<str> },
    /// A tee by run x run x branch, made up of what is sold.
    Tee { material: Arc<str>, legs: [Leg; 3] },
    /// A coupling, or a reducer where the sizes differ.
    Coupling { material: Arc<str>, legs: [Leg; 2] },
    /// Where the sizes differ a reducer, and a nipple to the fitting that stands beside it.
    Reducer { material: Arc<str>, legs: [Leg; 2], nipple: Leg },
    /// Pipe between two fittings that stand side by side, where the material comes in that size.
    Nipple { material: Arc<str>, size: SizeOf },
}

/// So many of a piece.
#[derive(Debug, Clone)]
pub struct Part {
    /// The run or device that needs it: its name and cell.
    pub origin: At<Arc<str>>,
    pub purpose: &'static str,
    pub piece: Piece,
    pub times: Term,
    /// `None`: when the run's pipe is put in.
    pub phase: Option<Phase>,
    /// It joins the run to what leaves its end, rather than being the run's own.
    pub at_fork: bool,
}

impl<R> View<'_, R> {
    /// The end that fittings have for pipe of a material as the job joins it.
    pub(crate) fn pipe_end(&self, material: &str) -> Option<&PipeEnd> {
        self.rules.pipe_end(material, &self.job.text(Setting::Joining))
    }

    /// The same in words.
    pub(crate) fn fitting_end(&self, material: &str) -> Option<&str> {
        self.pipe_end(material).map(|row| &*row.end)
    }
}

impl Part {
    /// The same where it is a fitting that joins these ends.
    pub fn joining(mut self, ends: &str) -> Self {
        if let Piece::Fitting { joins, .. } = &mut self.piece {
            *joins = ends.into();
        }
        self
    }

    /// The runs whose sizes it has.
    pub fn runs(&self) -> Vec<usize> {
        let sizes: Vec<SizeOf> = match &self.piece {
            Piece::Fitting { size, ends, .. } => ends.iter().map(|leg| leg.size).chain([*size]).collect(),
            Piece::Tee { legs, .. } => legs.iter().map(|leg| leg.size).collect(),
            Piece::Coupling { legs, .. } => legs.iter().map(|leg| leg.size).collect(),
            Piece::Reducer { legs, nipple, .. } => legs.iter().chain([nipple]).map(|leg| leg.size).collect(),
            Piece::Nipple { size, .. } => vec![*size],
        };
        let run = |size: SizeOf| match size {
            SizeOf::Run(position) | SizeOf::Hanging(_, position) => Some(position),
            SizeOf::Connection(_) => None,
        };
        sizes.into_iter().filter_map(run).collect()
    }
}

/// What decides the parts of runs. Vectors go by position.
#[derive(Clone, Copy)]
pub(super) struct Layout<'a> {
    pub context: &'a Context<'a>,
    pub materials: &'a [Arc<str>],
    pub outlets: &'a [Outlet],
    /// Outlets by the run that they draw from, a side each.
    pub drawing: &'a [Vec<usize>],
    pub forks: &'a [Fork],
    pub main_runs: &'a [usize],
    pub manifold_at: &'a [bool],
    /// What runs start with that start with a device: it brings its own adapters.
    pub device_first: &'a [Option<First>],
    /// Runs that are put in by this job.
    pub new: &'a [bool],
}
