//! What keeps the water safe and the pipe whole: shutoffs, hammer arresters, vacuum breakers, expansion control. What the
//! code asks for and the job has not is a finding; where the job's settings say so it is counted.

use super::Context;
use super::fittings::nipple;
use crate::figure::{Book, Term};
use crate::finding::Finding;
use crate::model::{At, Fixture, Phase, Setting, Size, Whereabouts, fold};
use crate::parts::{Count, Task};
use crate::rules::Item;
use crate::subjects::water::findings::counted::{
    BibbFreezes, BibbWithoutBreaker, ClosedSystem, NoMainShutoff, QuickClosingValve,
};
use crate::subjects::water::size::bought_ends::bought_ends;
use crate::subjects::water::size::closed_systems::{Closed, TANK, closed, has_device, tank_size};
use crate::subjects::water::size::run_parts::{Policy, each_main, has_main_shutoff};
use rust_decimal::{Decimal, dec};
use std::sync::Arc;

/// Fixtures whose valves snap shut.
const QUICK_CLOSING: &[&str] = &["dishwasher", "clothes washer"];
/// A fill valve, perhaps: who knows what closes it.
const PERHAPS_QUICK_CLOSING: &[&str] = &["ice maker", "other"];
/// Parts that shut a fixture off where it stands.
const OWN_STOPS: &[&str] = &["stop valve", "flush valve", "washer box", "ice maker box", "stop and waste valve"];
/// Devices at valves that snap shut.
const ARRESTER: &str = "hammer arrester";
/// Water freezes, F.
const FREEZING_F: Decimal = dec!(32);

pub(super) fn count(
    book: &mut Book,
    context: &Context,
    counts: &mut Vec<Count>,
    tasks: &mut Vec<Task>,
    findings: &mut Vec<Finding>,
) {
    main_shutoff(context, findings);
    for (index, fixture) in context.job.fixtures.iter().enumerate() {
        let Some(kind) = context.rules.canonical_fixture(&fixture.fixture.value) else { continue };
        if !fixture.status.get().unwrap_or_default().is_of_this_job() {
            continue;
        }
        let hung = Hung { fixture, index, kind, count: fixture.count.figure(book) };
        hung.shutoffs(context, counts);
        hung.bibb(context, counts, findings);
        hung.arresters(context, counts, tasks, findings);
    }
    expansion(context, counts, tasks, findings);
}

fn main_shutoff(context: &Context, findings: &mut Vec<Finding>) {
    let asked = Policy::from_name(&context.job.text(Setting::ShutoffValves)) >= Policy::Main;
    let (job, network) = (context.job, context.network);
    for main in each_main(network, &context.sizes.structure.main_runs) {
        let Some(root) = main.first().filter(|root| !asked && context.is_new(**root)) else { continue };
        if !has_main_shutoff(job, network, main) {
            let run = &job.runs[network.order[*root]];
            findings.push(Finding::at(&run.name.place, NoMainShutoff { run: run.name.value.to_string() }));
        }
    }
}

/// A new fixture and how it hangs on its runs.
struct Hung<'a> {
    fixture: &'a Fixture,
    index: usize,
    kind: &'a str,
    count: Term,
}

impl Hung<'_> {
    /// Positions of the runs that it draws from.
    fn sides<'a>(&self, context: &'a Context) -> impl Iterator<Item = usize> + 'a {
        let index = self.index;
        let outlet = context.sizes.outlets.iter().find(move |outlet| outlet.fixture == index);
        outlet.into_iter().flat_map(|outlet| [outlet.cold, outlet.hot]).flatten()
    }

    fn connection(&self, context: &Context) -> Option<Size> {
        context.rules.fixture(self.kind).map(|kind| kind.connection)
    }

    /// A valve of its connection's size in its line.
    fn valve(&self, context: &Context, position: usize, kind: &str, purpose: &'static str) -> Option<Count> {
        let size = self.connection(context)?;
        let material = &context.sizes.materials[position];
        let item = Item::new(kind, "", &[size]).with_ends(context.fitting_end(material).unwrap_or_default());
        let end = Term::text(format!("{material} {}", size.key()));
        let place = context.place_of_run(position);
        let valve = Count::new(&self.fixture.tag, purpose, item, self.count.clone());
        Some(Count { place, ends: vec![end; 2], ..valve })
    }

    /// An arrester and what it hangs on, of the fixture's connection: a tee, an adapter, and the nipple between the two.
    fn arrester(&self, context: &Context, position: usize) -> Option<Vec<Count>> {
        let (size, material) = (self.connection(context)?, &context.sizes.materials[position]);
        let bought = bought_ends(context, ARRESTER, Some(size));
        let ([inlet, _], own) = (bought.connections, context.fitting_end(material));
        let direct = bought.joined_directly(own);
        let joins = context.rules.adapter_ends(context.pipe_end(material), inlet);
        let end = Term::text(format!("{material} {}", size.key()));
        let piece = |why, item: Item, ends| Count {
            place: context.place_of_run(position),
            ends: vec![end.clone(); ends],
            ..Count::new(&self.fixture.tag, why, item, self.count.clone())
        };
        let pipe = Item::new("pipe", material, &[size]);
        let nipple = nipple(context, position, pipe, &end, self.count.clone());
        let mut pieces = vec![
            piece("its valve is quick-closing", Item::new(ARRESTER, "", &[size]).with_ends(&bought.said), direct),
            piece("for its arrester", Item::new("tee", material, &[size; 3]), 3),
        ];
        // A threaded tee takes it as it is.
        if context.rules.mate(inlet) != own {
            if direct == 0 {
                pieces.push(piece("for its arrester", Item::new("adapter", material, &[size]).with_ends(&joins), 1));
            }
            pieces.push(Count { origin: self.fixture.tag.clone(), phase: Phase::RoughIn, ..nipple });
        }
        Some(pieces)
    }

    fn has_part(&self, context: &Context, wanted: &[&str]) -> bool {
        context.rules.assembly(self.kind).any(|part| wanted.contains(&&*part.kind))
    }

    /// A valve on each side of a fixture that has no stop of its own, where the job wants one at every fixture.
    fn shutoffs(&self, context: &Context, counts: &mut Vec<Count>) {
        let asked = Policy::from_name(&context.job.text(Setting::ShutoffValves)) >= Policy::PerFixture;
        // A bibb's valve is a matter of frost.
        if !asked || self.kind == "hose bibb" || self.has_part(context, OWN_STOPS) {
            return;
        }
        for position in self.sides(context) {
            counts.extend(self.valve(context, position, "ball valve", "shuts it off"));
        }
    }

    /// A hose bibb's valve inside where it freezes, and its vacuum breaker.
    fn bibb(&self, context: &Context, counts: &mut Vec<Count>, findings: &mut Vec<Finding>) {
        if self.kind != "hose bibb" {
            return;
        }
        let tag = self.fixture.tag.value.to_string();
        // A frostproof bibb has its own (ASSE 1019).
        if !self.has_part(context, &["vacuum breaker", "frostproof hose bibb"]) {
            findings.push(Finding::at(&self.fixture.fixture.place, BibbWithoutBreaker { tag: tag.clone() }));
        }
        let freezes = context.job.number(Setting::DesignLow).is_some_and(|low| low < FREEZING_F);
        // Whether it freezes is a number of the job, and live in the bid.
        let low = context.settings.get(Setting::DesignLow);
        let cold = Term::number(FREEZING_F).above(&low).pick(&self.count, &Term::number(0));
        let asked = match fold(&context.job.text(Setting::HoseBibbShutoffs)).as_str() {
            "all" => Some(self.count.clone()),
            "whereitfreezes" => Some(low.is_blank().pick(&Term::number(0), &cold)),
            _ => None,
        };
        for position in self.sides(context) {
            if is_shut_off(context, position) {
                continue;
            }
            if let Some(quantity) = &asked {
                let valve = self.valve(context, position, "stop and waste valve", "shuts it off and drains it");
                counts.extend(valve.map(|count| Count { quantity: quantity.clone(), ..count }));
            } else if freezes {
                findings.push(Finding::at(&self.fixture.fixture.place, BibbFreezes { tag: tag.clone() }));
            }
        }
    }

    /// Arresters at valves that snap shut.
    fn arresters(
        &self,
        context: &Context,
        counts: &mut Vec<Count>,
        tasks: &mut Vec<Task>,
        findings: &mut Vec<Finding>,
    ) {
        let sure = QUICK_CLOSING.contains(&self.kind);
        if !sure && !PERHAPS_QUICK_CLOSING.contains(&self.kind) {
            return;
        }
        let asked = fold(&context.job.text(Setting::HammerArresters)) != "aslisted";
        for position in self.sides(context) {
            let above = context.network.parent[position];
            let near = [Some(position), above].into_iter().flatten();
            if near.into_iter().any(|run| has_device(context, run, &["hammer arrester"])) {
                continue;
            }
            if asked && sure {
                counts.extend(self.arrester(context, position).into_iter().flatten());
                tasks.push(Task::new("set hammer arrester", &self.fixture.tag, self.count.clone()));
            } else {
                let run = &context.run_at(position).name.value;
                let (tag, run) = (self.fixture.tag.value.to_string(), run.to_string());
                findings.push(Finding::at(&self.fixture.fixture.place, QuickClosingValve { tag, run, sure }));
            }
        }
    }
}

/// A valve in Devices stands in its line, or in one that feeds nothing else.
fn is_shut_off(context: &Context, position: usize) -> bool {
    let network = context.network;
    let alone = |run: &usize| {
        let outlets = context.sizes.outlets.iter();
        let sides = outlets.flat_map(|outlet| [(outlet, outlet.cold), (outlet, outlet.hot)]);
        let mut fed = sides.filter_map(|(outlet, side)| Some((outlet, side?))).filter(|(_, s)| network.feeds(*run, *s));
        fed.all(|(outlet, _)| &*outlet.kind == "hose bibb")
    };
    network.path_up(position).take_while(alone).any(|run| has_device(context, run, &["shutoff valve"]))
}

/// Hot water that expands in a tank must have somewhere to go where the way back to the main is closed.
fn expansion(context: &Context, counts: &mut Vec<Count>, tasks: &mut Vec<Task>, findings: &mut Vec<Finding>) {
    for Closed { heater, position, by, sure, tank } in closed(context) {
        if tank {
            let item = Item::new(TANK, "", tank_size().as_slice());
            let place = context.place_of_run(position);
            counts.push(single(&heater.name, "takes up what the tank heats", place, item));
            tasks.push(Task::new("set expansion tank", &heater.name, Term::number(1)));
        } else {
            let (heater_name, by) = (heater.name.value.to_string(), by.name.value.to_string());
            findings.push(Finding::at(&heater.name.place, ClosedSystem { heater: heater_name, by, sure }));
        }
    }
}

fn single(origin: &At<Arc<str>>, purpose: &'static str, place: Whereabouts, item: Item) -> Count {
    Count { phase: Phase::Trim, place, ..Count::new(origin, purpose, item, Term::number(1)) }
}
