//! What goes along a run because of where it lies: sleeves, plates in studs, insulation that the job asks for.
//!
//! None of it depends on sizes, so the size search and the take-off share it.

use super::Context;
use super::junctions::run_is_new;
use super::water_carried::Water;
use crate::model::{Setting, Whereabouts, fold};
use std::sync::Arc;

/// What goes along a run because of where it lies.
#[derive(Debug, Clone)]
pub struct Accessories {
    /// The kind of its sleeves, and how many.
    pub sleeves: Option<(&'static str, u8)>,
    /// Its level pipe passes through studs.
    pub in_studs: bool,
    /// Nails could go through its pipe there.
    pub can_be_nailed: bool,
    /// Sole plates that it passes: one where it comes up or goes down in a wall, to another Level.
    pub plates_crossed: u8,
    /// Insulate in Job asks for insulation where the run says nothing of it.
    pub insulate: bool,
}

/// What goes along each run, by position.
pub(crate) fn accessories(
    context: &Context,
    materials: &[Arc<str>],
    waters: &[Water],
    outlets_at: &[usize],
) -> Vec<Accessories> {
    let insulate = fold(&context.job.text(Setting::Insulate));
    (0..context.network.len())
        .map(|position| {
            let place = place(context, position);
            let unheated = matches!(place, Whereabouts::CrawlSpace | Whereabouts::Attic | Whereabouts::OutsideWall);
            // A run that is only inside may pass no framing at all.
            let in_studs = matches!(place, Whereabouts::InsideWall | Whereabouts::OutsideWall);
            // Cast iron and galvanized steel need no plates: IRC P2603.2.1.
            let can_be_nailed = in_studs && !materials[position].starts_with("galvanized");
            Accessories {
                sleeves: sleeves(context, outlets_at, position),
                in_studs,
                can_be_nailed,
                plates_crossed: u8::from(can_be_nailed && changes_level(context, position)),
                insulate: (insulate.contains("hot") && waters[position].hot)
                    || (insulate.contains("unheated") && unheated),
            }
        })
        .collect()
}

fn place(context: &Context, position: usize) -> Whereabouts {
    context.job.runs[context.network.order[position]].place.get().unwrap_or_default()
}

/// Whether a run and what feeds it are on different floors, both of them told.
fn changes_level(context: &Context, position: usize) -> bool {
    let level = |position: usize| context.job.runs[context.network.order[position]].level.as_ref().map(|l| fold(l));
    let before = context.network.parent[position].and_then(level);
    level(position).zip(before).is_some_and(|(own, before)| !own.is_empty() && !before.is_empty() && own != before)
}

/// A new run under ground passes a wall wherever it meets pipe that is not; one in a slab passes the floor there, and
/// where it comes up to a fixture.
fn sleeves(context: &Context, outlets_at: &[usize], position: usize) -> Option<(&'static str, u8)> {
    let under = |position: usize| matches!(place(context, position), Whereabouts::Buried | Whereabouts::InSlab);
    let kind = match place(context, position) {
        Whereabouts::Buried => "foundation sleeve",
        Whereabouts::InSlab => "floor sleeve",
        _ => return None,
    };
    let neighbors = context.network.parent[position].iter().chain(&context.network.children[position]);
    let mut count = neighbors.filter(|neighbor| !under(**neighbor)).count();
    if kind == "floor sleeve" && outlets_at[position] > 0 {
        count += 1;
    }
    let count = u8::try_from(count).unwrap_or(u8::MAX);
    (count > 0 && run_is_new(context, position)).then_some((kind, count))
}
