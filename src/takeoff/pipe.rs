//! Pipe, its supports and its insulation, run by run.

use super::{Context, Count, Item};
use crate::figure::{Book, Term};
use crate::model::Whereabouts;
use rust_decimal::Decimal;

/// Feet of new pipe, supports by the code's spacing (both ends included), insulation where Insulation in says so.
pub(super) fn count(book: &mut Book, context: &Context, counts: &mut Vec<Count>) {
    for position in (0..context.network.len()).filter(|p| context.is_new(*p)) {
        let run = &context.job.runs[context.network.order[position]];
        let Some(size) = context.sizes.sizes[position] else { continue };
        let material = &context.sizes.materials[position];
        let phase = context.phase_of_run(position);
        let mut add = |why, kind: &str, item_material: &str, key: Term, quantity: Term| {
            let item = Item::new(kind, item_material, &[size]);
            counts.push(Count { origin: run.name.clone(), why, phase, item, key, quantity, ends: Vec::new() });
        };
        let length = book.number_input(&run.length_ft, Decimal::ZERO);
        let pipe_key = &context.sizes.pipe_keys[position];
        add("its length", "pipe", material, Term::join(&[&Term::text("pipe "), pipe_key]), length.clone());

        let place = run.place.get().unwrap_or_default();
        let size_key = &context.sizes.size_keys[position];
        if !matches!(place, Whereabouts::Buried | Whereabouts::InSlab) {
            // Both ends of a run are held, so there is one support more than there are spaces.
            let spacing = &context.sizes.support_spacing_ft[position];
            let supports = (&length / spacing).whole_up() + Term::number(1);
            add("spacing along it", "support", "", Term::join(&[&Term::text("support "), size_key]), supports);
        }
        if run.insulation_in.cell.is_some() {
            let thickness = book.number_input(&run.insulation_in, Decimal::ZERO);
            let insulated = thickness.above(&Term::number(0)).pick(&length, &Term::number(0));
            let key = Term::join(&[&Term::text("pipe insulation "), size_key]);
            add("insulated length", "pipe insulation", "", key, insulated);
        }
    }
}
