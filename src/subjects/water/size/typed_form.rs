//! The form of a run's pipe as it is typed, and whether nobody has said it.

use super::Context;
use crate::model::columns::FORM;
use crate::model::{Price, Setting, counter_price, fold, same_folded};
use crate::parts::COIL;

/// The form of a run's pipe as it is typed: `auto`, `stick` or `coil`, as Runs says, else Form in Job.
pub(crate) fn form(context: &Context, position: usize) -> &'static str {
    let run = context.run_at(position);
    let known = |text: &str| FORM.iter().find(|form| fold(form) == fold(text)).copied();
    let own = run.form.as_ref().and_then(|text| known(text));
    own.or_else(|| known(&context.job.text(Setting::Form))).unwrap_or("auto")
}

/// Whether nobody has said the form of this run, and its pipe comes both ways.
pub(crate) fn is_open(context: &Context, position: usize, material: &str) -> bool {
    let run = context.run_at(position);
    let ours = run.status.get().unwrap_or_default().is_of_this_job();
    ours && form(context, position) == "auto" && comes_in_coils(context, material)
}

/// Whether pipe of a material is unrolled: the rules know what its bends take in a coil, or Prices has coils of it.
fn comes_in_coils(context: &Context, material: &str) -> bool {
    let bends = context.rules.bends().iter().any(|bend| *bend.material == *material && &*bend.form == COIL);
    let of_it =
        |price: &Price| price.material.get().and_then(|m| context.rules.canonical_material(&m)) == Some(material);
    let coils = |price: &&Price| same_folded(&price.kind.value, "pipe") && unit_is(price, COIL);
    bends || context.job.prices.iter().filter(coils).any(of_it)
}

/// Whether Prices sells it by this unit.
pub(super) fn unit_is(price: &Price, form: &str) -> bool {
    counter_price::same_unit(price.unit.text(), form)
}
