//! Studs that a run's hole takes too much of: more of a bearing wall's than the code allows, or of any wall's.

use super::Context;
use crate::figure::Term;
use crate::finding::Finding;
use crate::model::{Run, Setting, Whereabouts};
use crate::subjects::water::findings::counted::{FramingNotSaid, StudBored};
use rust_decimal::Decimal;

/// One finding for all runs that the same is wrong with.
pub(super) fn find(context: &Context, findings: &mut Vec<Finding>) {
    framing_not_said(context, findings);
    let code = context.code;
    let limit = |name: &str| context.rules.limit(name, code);
    let (Some(bearing), Some(other)) = (limit("stud bored, bearing wall"), limit("stud bored, other wall")) else {
        return;
    };
    let bored: Vec<Bored> = (0..context.network.len()).filter_map(|position| bored(context, position)).collect();
    let of = |outside: bool, over: Decimal, up_to: Option<Decimal>| -> Vec<&Bored> {
        let fits = |bored: &&Bored| {
            bored.outside == outside && bored.share > over && up_to.is_none_or(|most| bored.share <= most)
        };
        bored.iter().filter(fits).collect()
    };
    for (bored, most, sure) in [
        (of(true, bearing.value, None), bearing, true),
        (of(false, other.value, None), other, true),
        (of(false, bearing.value, Some(other.value)), bearing, false),
    ] {
        let Some(first) = bored.first() else { continue };
        let worst = bored.iter().map(|bored| bored.share).max().unwrap_or_default();
        let names: Vec<&str> = bored.iter().map(|bored| &*bored.run.name.value).collect();
        let facts = StudBored {
            runs: names.join(", "),
            share: worst,
            most: most.value,
            outside: first.outside,
            sure,
            source: most.origin.source.to_string(),
        };
        findings.push(Finding::near(first.run.place.cell.as_ref(), facts));
    }
}

/// Runs of this job that are inside, by what is written, and perhaps in a wall.
fn framing_not_said(context: &Context, findings: &mut Vec<Finding>) {
    let is_inside = |run: &&Run| run.place.get() == Some(Whereabouts::Inside);
    let new = (0..context.network.len()).filter(|position| context.is_new(*position));
    let runs: Vec<&Run> = new.map(|position| context.run_at(position)).filter(is_inside).collect();
    if let Some(first) = runs.first() {
        let names = runs.iter().map(|run| run.name.value.to_string()).collect();
        findings.push(Finding::near(first.place.cell.as_ref(), FramingNotSaid { runs: names }));
    }
}

/// A run of this job through studs.
struct Bored<'a> {
    run: &'a Run,
    /// In an outside wall, which bears.
    outside: bool,
    /// Of the stud's depth.
    share: Decimal,
}

fn bored<'a>(context: &Context<'a>, position: usize) -> Option<Bored<'a>> {
    let run = context.run_at(position);
    context.sizes.sizes[position]?;
    if !context.is_new(position) || !context.sizes.structure.accessories[position].in_studs {
        return None;
    }
    let hole = Term::at(&context.sizes.lay.hole_in, &context.sizes.pipe_rows[position]).value().as_decimal()?;
    let share = hole.checked_div(context.job.number(Setting::StudDepth)?)?;
    Some(Bored { run, outside: run.place.get() == Some(Whereabouts::OutsideWall), share })
}
