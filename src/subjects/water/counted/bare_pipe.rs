//! Pipe without insulation where there should be some: where it can freeze, and where hot water cools in it.

use super::Context;
use crate::finding::Finding;
use crate::model::{Setting, Size, Whereabouts};
use crate::subjects::water::findings::counted::{HotPipeBare, PipeFreezes};
use rust_decimal::{Decimal, dec};

/// Water freezes, F.
const FREEZING_F: Decimal = dec!(32);
/// From this size on the energy chapter asks for insulation on hot pipe: 3/4 in.
const HOT_FROM_SIXTEENTHS: u16 = 12;

/// One finding for all runs of a kind: whoever insulates one insulates them all.
pub(super) fn find(context: &Context, findings: &mut Vec<Finding>) {
    let freezing = context.job.number(Setting::DesignLow).is_some_and(|low| low <= FREEZING_F);
    let bare: Vec<usize> = (0..context.network.len()).filter(|position| is_bare(context, *position)).collect();
    let place = |position: usize| run(context, position).place.get().unwrap_or_default();
    let cold_places = [Whereabouts::OutsideWall, Whereabouts::CrawlSpace, Whereabouts::Attic];
    let freezes: Vec<usize> =
        bare.iter().copied().filter(|position| freezing && cold_places.contains(&place(*position))).collect();
    let large = Size::from_sixteenths(HOT_FROM_SIXTEENTHS);
    let cools: Vec<usize> = bare
        .iter()
        .copied()
        .filter(|position| context.sizes.waters[*position].hot && context.sizes.sizes[*position] >= large)
        .filter(|position| !freezes.contains(position))
        .collect();
    if let Some(first) = freezes.first() {
        let facts = PipeFreezes { runs: names(context, &freezes) };
        findings.push(Finding::near(cell(context, *first), facts));
    }
    if let Some(first) = cools.first() {
        let facts = HotPipeBare { runs: names(context, &cools) };
        findings.push(Finding::near(cell(context, *first), facts));
    }
}

fn run<'a>(context: &Context<'a>, position: usize) -> &'a crate::model::Run {
    context.run_at(position)
}

/// Pipe of this job that nothing is to be put around. A 0 is the user's word, and a blank is not.
fn is_bare(context: &Context, position: usize) -> bool {
    let specified = run(context, position).insulation_in.value.is_some();
    context.is_new(position) && !specified && !context.sizes.structure.accessories[position].insulate
}

fn cell<'a>(context: &Context<'a>, position: usize) -> Option<&'a crate::place::Place> {
    let run = run(context, position);
    run.insulation_in.cell.as_ref().or(Some(&run.name.place))
}

fn names(context: &Context, positions: &[usize]) -> String {
    let names: Vec<&str> = positions.iter().map(|position| &*run(context, *position).name.value).collect();
    names.join(", ")
}
