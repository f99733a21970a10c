//! Tees in the middle of a run for what hangs on it: a hammer arrester, an expansion tank, a heater's boiler drain. The
//! parts table says which devices have one.
//!
//! None of it depends on sizes, so the size search and the take-off share it.

use super::Context;
use crate::model::{At, Phase, Size, Status};
use std::sync::Arc;

/// What takes a tee in the parts table.
pub(crate) const TEE: &str = "tee";

/// A tee of the run's own size both ways.
#[derive(Debug, Clone)]
pub struct LineTee {
    /// The device that hangs on it.
    pub origin: At<Arc<str>>,
    /// No larger than the run, whatever stands here.
    pub branch: Size,
    /// `None`: when the run's pipe is put in.
    pub phase: Option<Phase>,
}

/// The tees of every run, by position.
pub(crate) fn line_tees(context: &Context, materials: &[Arc<str>]) -> Vec<Vec<LineTee>> {
    let mut tees = vec![Vec::new(); context.network.len()];
    for device in context.job.devices.iter().filter(|d| d.status.get().unwrap_or_default() == Status::New) {
        let Some(position) = context.network.find(&device.on_run.value) else { continue };
        for part in context.rules.assembly(&device.kind.value).filter(|part| *part.kind == *TEE) {
            let Some(asked) = part.size.or(device.size.get()) else { continue };
            // A material does not come in every size: then the next larger one it comes in.
            let mut own = context.rules.pipes_of(&materials[position]).iter().map(|pipe| pipe.size);
            let Some(branch) = own.find(|size| *size >= asked) else { continue };
            let pieces = (0..).map(rust_decimal::Decimal::from).take_while(|n| *n < part.quantity).take(MOST);
            let tee = LineTee { origin: device.name.clone(), branch, phase: Phase::parse(&part.phase) };
            tees[position].extend(pieces.map(|_| tee.clone()));
        }
    }
    tees
}

/// No device hangs on more tees than this.
const MOST: usize = 8;
