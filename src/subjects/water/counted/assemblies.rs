//! What each fixture and device brings with it: stub-outs, boxes and valves at rough-in, stops and supplies at trim.

use super::Context;
use crate::figure::{Book, Term};
use crate::finding::Finding;
use crate::input::US;
use crate::model::{At, Device, Field, Fixture, Phase, Size, Whereabouts};
use crate::parts::{Count, NIPPLE, nipples};
use crate::rules::{Item, Listing, Part, Side, matches_kind};
use crate::subjects::water::findings::counted::NoAssembly;
use crate::subjects::water::size::bought_ends::bought_ends;
use crate::subjects::water::size::costs::takes_size_of_run;
use crate::subjects::water::size::junctions::in_line;
use crate::subjects::water::size::line_tees::in_run;
use crate::subjects::water::size::shared_stops::beside;
use std::sync::Arc;

/// What an assembly hangs on.
struct Host<'a> {
    origin: At<Arc<str>>,
    /// Material of the run that feeds it.
    material: Option<Arc<str>>,
    place: Whereabouts,
    size: Option<Size>,
    count: Term,
    cold: bool,
    hot: bool,
    parts: Vec<&'a Part>,
}

pub(super) fn count(book: &mut Book, context: &Context, counts: &mut Vec<Count>, findings: &mut Vec<Finding>) {
    let mut rows = Listing::new(context, "Parts that go with one fixture or device").open(book);
    for fixture in context.job.fixtures.iter().filter(|f| f.status.get().unwrap_or_default().is_of_this_job()) {
        let Some(kind) = context.rules.canonical_fixture(&fixture.fixture.value) else { continue };
        let beside = beside(context, fixture);
        let parts: Vec<_> = context.rules.assembly_beside(kind, &beside).collect();
        if parts.is_empty() {
            findings.push(Finding::at(&fixture.fixture.place, NoAssembly { what: kind.to_string() }));
        }
        counts.extend(itself(book, context, fixture, kind, &parts));
        let host = Host {
            origin: fixture.tag.clone(),
            material: material_of(context, &fixture.cold_run).or_else(|| material_of(context, &fixture.hot_run)),
            place: context.place_of(fixture.cold_run.as_ref().or(fixture.hot_run.as_ref()).map(|run| &**run)),
            size: None,
            count: fixture.count.figure(book),
            cold: fixture.cold_run.value.is_some(),
            hot: fixture.hot_run.value.is_some(),
            parts,
        };
        host.count_parts(context, book, &mut rows, counts);
    }
    for device in context.job.devices.iter().filter(|d| d.status.get().unwrap_or_default().is_of_this_job()) {
        let kind = &*device.kind.value;
        let size = device.size.get();
        let phase = match kind {
            "softener" | "filter" | "tank heater" | "tankless heater" => Phase::Trim,
            _ => Phase::RoughIn,
        };
        let place = context.place_of(Some(&device.on_run.value));
        counts.push(Count { phase, place, ..device_itself(context, device) });
        let host = Host {
            origin: device.name.clone(),
            material: context.network.find(&device.on_run.value).map(|p| context.sizes.materials[p].clone()),
            place,
            size: context.rules.connection_size(device),
            count: Term::number(1),
            cold: true,
            hot: true,
            // A tee in the run is made up of what is sold, with the run's others.
            // What has no size of its own, on a device that has none either, is counted with its run.
            parts: context.rules.assembly(kind).filter(|part| part.size.or(size).is_some() && !in_run(part)).collect(),
        };
        host.count_parts(context, book, &mut rows, counts);
    }
}

/// The device itself: of its own size, else of its run's as that now is. What stands on a tee is of the smallest size of its
/// kind. Bought with the end of the run's fittings, it takes the pipe itself.
fn device_itself(context: &Context, device: &Device) -> Count {
    let kind = &*device.kind.value;
    let ends = bought_ends(context, kind, device.size.get());
    let on_tee = !in_line(kind) && !matches!(kind, "manifold" | "other");
    let position = context.network.find(&device.on_run.value);
    let of_run = position.filter(|at| takes_size_of_run(device) && context.sizes.sizes[*at].is_some());
    let size = match (device.size.get(), of_run) {
        (None, _) if on_tee => {
            let sizes = context.rules.device_losses().iter().filter(|row| *row.kind == *kind).map(|row| row.size);
            sizes.min()
        }
        (None, Some(position)) => context.sizes.sizes[position],
        (size, _) => size,
    };
    let item = Item::new(kind, "", size.as_slice()).with_ends(&ends.said);
    let one = Count::new(&device.name, "the device itself", item, Term::number(1));
    let Some(position) = position else { return one };
    let material = &context.sizes.materials[position];
    let direct = ends.joined_directly(context.fitting_end(material));
    let pipe = match of_run {
        Some(_) => context.sizes.pipe_keys[position].clone(),
        None => Term::text(format!("{material} {}", size.map_or_else(String::new, Size::key))),
    };
    let said = if ends.said.is_empty() { String::new() } else { format!(" {}", ends.said) };
    let key = match of_run {
        Some(_) => {
            let words = [Term::text(format!("{kind} ")), context.sizes.size_keys[position].clone(), Term::text(said)];
            Term::join(&words[..if ends.said.is_empty() { 2 } else { 3 }].iter().collect::<Vec<_>>())
        }
        None => one.key.clone(),
    };
    Count { key, ends: vec![pipe; direct], ..one }
}

/// What goes with a shower, though its name ends as the fixture's does.
const HAND_SHOWER: &str = "hand shower";

/// The fixture itself, where the job buys it: where we furnish it, or nobody says who does and Prices has a row of its name.
/// What has a price of its own is bought by the fixture schedule; what its parts hold already (a frostproof hose bibb) is
/// not bought twice.
fn itself(book: &mut Book, context: &Context, fixture: &Fixture, kind: &str, parts: &[&Part]) -> Option<Count> {
    let bought = match fixture.furnisher() {
        Some(who) => who == US && !fixture.is_priced_here(),
        None => context.job.prices.iter().any(|price| matches_kind(kind, &price.kind.value)),
    };
    let holds_it =
        |part: &&Part| part.kind.strip_suffix(kind).is_some_and(|head| head.is_empty() || head.ends_with(' '));
    if !bought || parts.iter().any(|part| holds_it(part) && *part.kind != *HAND_SHOWER) {
        return None;
    }
    let count = fixture.count.figure(book);
    let itself = Count::new(&fixture.tag, "the fixture itself", Item::new(kind, "", &[]), count);
    Some(Count { phase: Phase::Trim, ..itself })
}

fn material_of(context: &Context, run: &Field<Arc<str>>) -> Option<Arc<str>> {
    let position = context.network.find(run.as_ref()?)?;
    Some(context.sizes.materials[position].clone())
}

impl Host<'_> {
    fn count_parts(&self, context: &Context, book: &mut Book, rows: &mut Listing<Part>, counts: &mut Vec<Count>) {
        for part in &self.parts {
            let piped = match part.side {
                Side::Cold => self.cold,
                Side::Hot => self.hot,
                Side::Each => true,
            };
            if !piped {
                continue;
            }
            let run_material = self.material.as_deref().unwrap_or("");
            let size = part.size.or(self.size);
            let sizes: Vec<Size> = size.into_iter().chain(part.outlet_size).collect();
            let item = Item::new(&part.kind, part.material.of_run(run_material), &sizes)
                .with_ends(&part.ends_said(context.fitting_end(run_material)));
            let end = size.map(|size| Term::text(format!("{run_material} {}", size.key())));
            // Pipe that goes with it (a shower's riser) is cut between two fittings.
            let form = if item.kind == "pipe" { NIPPLE } else { "" };
            let purpose = match part.side {
                _ if form == NIPPLE => nipples(part.side == Side::Hot),
                Side::Cold => "its cold side",
                Side::Hot => "its hot side",
                Side::Each => "each one",
            };
            let quantity = &self.count * rows.row(book, part).quantity;
            counts.push(Count {
                phase: Phase::from_name(&part.phase).unwrap_or(Phase::RoughIn),
                place: self.place,
                form,
                ends: end.map_or_else(Vec::new, |end| vec![end; usize::from(part.pipe_ends())]),
                ..Count::new(&self.origin, purpose, item, quantity)
            });
        }
    }
}
