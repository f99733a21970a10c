//! The runs of water pipe as the stages after the subjects see them.

use super::size::Sizes;
use super::size::pressure::{NO_PRESSURE, SHORT, TOO_FAST};
use crate::figure::Value;
use crate::figure::verdict::OK;
use crate::model::fold;
use crate::parts::{COIL, Fault, PipeRun, phase_of};
use crate::rules::ELBOW;
use crate::view::View;
use rust_decimal::Decimal;

/// By position in the network.
pub(super) fn runs(view: &View<&Sizes>) -> Vec<PipeRun> {
    let sizes = view.results;
    let run = |(position, index): (usize, &usize)| {
        let run = &view.job.runs[*index];
        let check = sizes.checks[position].clone();
        PipeRun {
            name: run.name.clone(),
            status: run.status.get().unwrap_or_default(),
            phase: phase_of(run),
            place: run.place.get().unwrap_or_default(),
            material: sizes.materials[position].clone(),
            size: sizes.sizes[position],
            pipe: sizes.pipe_keys[position].clone(),
            length: sizes.length_ft[position].clone(),
            typed_ft: run.length_ft.value.unwrap_or_default(),
            length_at: run.length_ft.cell.clone().unwrap_or_else(|| run.name.place.clone()),
            hot: sizes.waters[position].hot,
            joints: run.joints.as_ref().map(|words| fold(words) != "none"),
            form: run.form.get(),
            takes_coil: takes_coil(view, position),
            fed_by: view.network.parent[position],
            fault: fault(check.value()),
            check,
            end_psi: Some(sizes.end_psi[position].clone()),
        }
    };
    view.network.order.iter().enumerate().map(run).collect()
}

/// Whether a run whose form is chosen is a coil for its own sake: a home run, or one with swept bends. Any other is cut from
/// whichever whole packs cost less.
fn takes_coil(view: &View<&Sizes>, position: usize) -> bool {
    let sizes = view.results;
    let home = sizes.structure.home_runs.iter().any(|line| line.runs.contains(&position));
    let bends = view.job.runs[view.network.order[position]].bends.value.unwrap_or_default() > Decimal::ZERO;
    let part = sizes.bend_parts[position].as_ref().map(|part| part.value().to_string());
    let swept = bends && part.is_some_and(|part| part != ELBOW);
    sizes.form_choices[position].is_some() && sizes.forms[position] == COIL && (home || swept)
}

/// What a run's check says is wrong with it.
fn fault(check: &Value) -> Option<Fault> {
    match &*check.to_string() {
        OK => None,
        TOO_FAST => Some(Fault::TooFast),
        check if check.starts_with(SHORT) || check == NO_PRESSURE => Some(Fault::Short),
        _ => Some(Fault::Other),
    }
}
