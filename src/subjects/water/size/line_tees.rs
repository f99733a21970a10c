//! Tees in the middle of a run for what hangs on it: a hammer arrester, an expansion tank, a heater's boiler drain. The
//! parts table says which devices have one.

use super::Context;
use super::bought_ends::bought_ends;
use super::closed_systems::{Closed, TANK, closed, tank_size};
use super::part::{Leg, Part, Piece, SizeOf};
use crate::figure::Term;
use crate::model::{At, Phase, Size};
use crate::rules::RUN_END;
use std::sync::Arc;

/// What takes a tee in the parts table.
pub(crate) const TEE: &str = "tee";
/// What joins the branch of a tee to what hangs there.
pub(crate) const ADAPTER: &str = "adapter";

/// What hangs on a run by a tee.
struct Hung<'a> {
    origin: &'a At<Arc<str>>,
    kind: &'a str,
    size: Option<Size>,
    /// Of its run.
    position: usize,
}

/// The tees of every run, by position: of the run's own size both ways, the branch no larger than the run.
pub(super) fn line_tees(context: &Context, materials: &[Arc<str>]) -> Vec<Vec<Part>> {
    let mut tees = vec![Vec::new(); context.network.len()];
    let devices = context.job.devices.iter().filter(|d| d.status.get().unwrap_or_default().is_of_this_job());
    let listed = devices.filter_map(|device| {
        let position = context.network.find(&device.on_run.value)?;
        Some(Hung { origin: &device.name, kind: &device.kind.value, size: device.size.get(), position })
    });
    let tanks = closed(context).into_iter().filter(|closed| closed.tank).map(|Closed { heater, position, .. }| Hung {
        origin: &heater.name,
        kind: TANK,
        size: tank_size(),
        position,
    });
    for hung in listed.chain(tanks) {
        tees[hung.position].extend(hung.tees(context, &materials[hung.position]));
    }
    tees
}

impl Hung<'_> {
    fn tees(&self, context: &Context, material: &Arc<str>) -> Vec<Part> {
        let mut tees = Vec::new();
        for part in context.rules.assembly(self.kind).filter(|part| *part.kind == *TEE) {
            let run = SizeOf::Run(self.position);
            // A material does not come in every size: then the next larger one it comes in.
            let mut own = context.rules.pipes_of(material).iter().map(|pipe| pipe.size);
            let branch = match part.size.or(self.size) {
                Some(asked) => own.find(|size| *size >= asked).map(|size| SizeOf::Hanging(size, self.position)),
                None => Some(run),
            };
            let Some(branch) = branch else { continue };
            let pieces = (0..).map(rust_decimal::Decimal::from).take_while(|n| *n < part.quantity).take(MOST);
            let legs = [run, run, branch];
            let legs = legs.map(|size| Leg { material: material.clone(), size });
            let tee = Part {
                origin: self.origin.clone(),
                purpose: "what hangs on its run",
                piece: Piece::Tee { material: material.clone(), legs },
                times: Term::number(1),
                phase: Phase::from_name(&part.phase),
                at_fork: true,
            };
            let mut adapters = context.rules.assembly(self.kind).filter(|part| *part.kind == *ADAPTER).peekable();
            let own = context.fitting_end(material);
            let direct = bought_ends(context, self.kind, self.size).joined_directly(own) > 0;
            // Without an adapter it is a bypass: a nipple to the valve on it.
            let bypass = adapters.peek().is_none().then(|| nipple(&tee, material, branch));
            let hanging = adapters.flat_map(|adapter| on_branch(context, &tee, adapter, direct)).chain(bypass);
            let with_tee: Vec<Part> = std::iter::once(tee.clone()).chain(hanging).collect();
            tees.extend(pieces.flat_map(|_| with_tee.clone()));
        }
        tees
    }
}

/// Pipe from the branch of a tee to what stands next.
fn nipple(tee: &Part, material: &Arc<str>, size: SizeOf) -> Part {
    Part { piece: Piece::Nipple { material: material.clone(), size }, ..tee.clone() }
}

/// The adapter on the branch of a tee, and the nipple between the two; none where the branch has the wanted end itself, the
/// nipple alone where pipe is joined to what hangs there.
fn on_branch(context: &Context, tee: &Part, adapter: &crate::rules::Part, direct: bool) -> Vec<Part> {
    let Piece::Tee { material, legs: [.., leg] } = &tee.piece else { return Vec::new() };
    let own = context.fitting_end(material);
    if adapter.ends_of_it().all(|end| end == RUN_END || Some(end) == own) {
        return Vec::new();
    }
    let nipple = nipple(tee, material, leg.size);
    if direct {
        return vec![nipple];
    }
    let piece = Piece::Fitting {
        kind: adapter.kind.clone(),
        material: material.clone(),
        size: leg.size,
        ends: vec![leg.clone(); usize::from(adapter.pipe_ends())],
        joins: adapter.ends_said(own).into(),
    };
    vec![Part { purpose: "on the branch of its tee", piece, ..tee.clone() }, nipple]
}

/// Whether it stands in the run rather than with the device.
pub(crate) fn in_run(part: &crate::rules::Part) -> bool {
    *part.kind == *TEE || *part.kind == *ADAPTER
}

/// No device hangs on more tees than this.
const MOST: usize = 8;
