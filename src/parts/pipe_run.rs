//! A run of pipe as its subject has sized it: what is cut and bought for it, and what a revision holds against the old bid.

use crate::figure::Term;
use crate::model::{At, Phase, Size, Status, Whereabouts};
use crate::place::Place;
use rust_decimal::Decimal;
use std::sync::Arc;

/// One run of pipe.
#[derive(Debug, Clone)]
pub struct PipeRun {
    /// Its name, with its cell.
    pub name: At<Arc<str>>,
    pub status: Status,
    pub phase: Phase,
    pub place: Whereabouts,
    /// In the rules' own spelling.
    pub material: Arc<str>,
    /// As it now is; `None` where it has none.
    pub size: Option<Size>,
    /// Its pipe, live: `PEX 3/4"`.
    pub pipe: Term,
    /// Developed length, ft: live.
    pub length: Term,
    /// The same as it was typed; 0 where it was not.
    pub typed_ft: Decimal,
    /// Where that was, or else where its name is.
    pub length_at: Place,
    /// It carries hot water, for which pipe may have a color of its own.
    pub hot: bool,
    /// Whether the job lets it be joined along the way; `None` where it does not say.
    pub joints: Option<bool>,
    /// `stick` or `coil` where the job says so.
    pub form: Option<Arc<str>>,
    /// The job leaves its form open, and it is bent or runs home in one piece: that takes a coil.
    pub takes_coil: bool,
    /// Index of the run that it hangs on; `None` where it begins.
    pub fed_by: Option<usize>,
    /// `OK`, or what is wrong with it, live.
    pub check: Term,
    /// What is wrong with it as it is priced; `None` where nothing is.
    pub fault: Option<Fault>,
    /// Pressure left at its end, psi; `None` of what is under none.
    pub end_psi: Option<Term>,
}

/// What can be wrong with a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// An outlet at its end gets too little pressure.
    Short,
    /// It carries its water faster than its limit.
    TooFast,
    /// What its check says.
    Other,
}
