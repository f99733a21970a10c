//! Nipples between fittings: pipe that no run asks for. Those of one pipe are cut together, as one length.

use super::Context;
use super::cutting::{Cut, Form};
use super::findings::BoughtForNipples;
use super::pipe::{Pipe, Source, color};
use crate::figure::{Term, Value};
use crate::finding::Finding;
use crate::model::Status;
use crate::parts::{COLD_NIPPLE, HOT_NIPPLE, NIPPLE};
use rust_decimal::Decimal;

/// The nipples of one line's pipe in one color.
pub(super) struct Nipples {
    /// Index into the take-off's lines.
    pub line: usize,
    pub water: &'static str,
    pub feet: Decimal,
    /// Of the first run that has one.
    pub position: usize,
}

/// All that are still to be cut, by the colors of the plan that they are cut in.
pub(super) fn nipples(context: &Context, by_water: bool) -> Vec<Nipples> {
    let counts = &context.take_off.counts;
    let mut found: Vec<Nipples> = Vec::new();
    for (at, count) in context.take_off.parts.counts.iter().enumerate().filter(|(_, count)| count.form == NIPPLE) {
        let is_in = counts.in_already.as_ref().is_some_and(|is_in| is_in.values().get(at) != Some(&Value::Blank));
        let feet = count.quantity.value().as_decimal().unwrap_or_default();
        let Some(line) = context.take_off.lines.iter().position(|line| line.item == count.item) else { continue };
        if is_in || feet <= Decimal::ZERO {
            continue;
        }
        let Some(position) = at_run(context, count) else { continue };
        let water = color(by_water, &count.item.material, count.purpose == HOT_NIPPLE);
        match found.iter_mut().find(|known| known.line == line && known.water == water) {
            Some(known) => known.feet += feet,
            None => found.push(Nipples { line, water, feet, position }),
        }
    }
    found
}

/// The run whose fittings it stands between, on which the device does, or that feeds the fixture.
fn at_run(context: &Context, count: &crate::parts::Count) -> Option<usize> {
    let (job, place) = (context.job, &count.origin.place);
    let device = job.devices.iter().find(|device| device.name.place == *place);
    let run = job.runs.iter().find(|run| run.name.place == *place && run.status.get() != Some(Status::Remove));
    let fixture = job.fixtures.iter().find(|fixture| fixture.tag.place == *place);
    let fed_by = fixture.and_then(|fixture| fixture.cold_run.value.as_ref().or(fixture.hot_run.value.as_ref()));
    let name = device.map(|device| &device.on_run.value).or(run.map(|run| &run.name.value)).or(fed_by)?;
    context.take_off.parts.find_run(name)
}

/// Tells each coil of a plan that is all for nipples. A stick is what they are usually cut from.
pub(super) fn find_bought_for(context: &Context, pipe: &Pipe, findings: &mut Vec<Finding>) {
    let is_coil = |cut: &Cut| pipe.problem.stock.get(cut.stock).is_some_and(|stock| stock.form == Form::Coil);
    let is_for_nipples = |cut: &Cut| cut.pieces.iter().all(|piece| pipe.is_nipples(piece.run));
    for cut in pipe.plan.cuts.iter().filter(|cut| is_coil(cut) && is_for_nipples(cut)) {
        let (Some(Source::Offer(index)), eighths) = (pipe.sources.get(cut.stock), cut.pieces.iter().map(|p| p.length))
        else {
            continue;
        };
        let offer = &context.job.prices[*index];
        let told = BoughtForNipples {
            item: format!("pipe {}", pipe.label()),
            pack_ft: offer.pack_holds().normalize().to_string(),
            used_in: (Decimal::from(eighths.sum::<i64>()) / Decimal::from(8)).normalize().to_string(),
        };
        findings.push(Finding::at(&offer.kind.place, told));
    }
}

/// Their inches by pipe and color, live, to the eighth.
pub(super) fn inches(context: &Context, line_key: &Term, water: &str) -> Term {
    let counts = &context.take_off.counts;
    let of = |purpose: &str| {
        let purpose = Term::text(purpose);
        let all = Term::sum_where(&counts.quantity, &[(&counts.item, line_key), (&counts.purpose, &purpose)]);
        match &counts.in_already {
            None => all,
            Some(is_in) => {
                let yes = Term::text("yes");
                let there = [(&counts.item, line_key), (&counts.purpose, &purpose), (is_in, &yes)];
                all - Term::sum_where(&counts.quantity, &there)
            }
        }
    };
    let feet = match water {
        "cold" => of(COLD_NIPPLE),
        "hot" => of(HOT_NIPPLE),
        _ => of(COLD_NIPPLE) + of(HOT_NIPPLE),
    };
    (feet * Term::number(96)).round(0) / Term::number(8)
}
