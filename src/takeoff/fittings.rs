//! Fittings: elbows in runs, and what joins runs where they meet.
//!
//! At the end of a run: one way on is a coupling (a reducer where the size changes, an adapter where the material
//! does); more ways are tees in a row, the smaller branches first; none, with nothing drawing there, is a cap. A
//! fixture that draws where the run goes on is a branch like any other. Fittings are ours where any pipe they join is
//! new.

use super::{Context, Count, Item};
use crate::figure::{Book, Term};
use crate::model::{At, Size, Status};
use crate::size::fitting_loss::{outlets_below, straight_on};
use rust_decimal::Decimal;
use std::sync::Arc;

/// One pipe that meets others in a fitting.
#[derive(Clone)]
struct Leg {
    material: Arc<str>,
    size: Size,
    size_key: Term,
    /// Its row in the pipe table: of one material, the larger the size the later the row.
    pipe_row: Term,
    /// How many such legs: 1 for a run, the fixture's count for an outlet.
    times: Term,
    new: bool,
    /// A run starts with a device, which brings its own adapters.
    starts_with_device: bool,
    is_run: bool,
}

pub(super) fn count(book: &mut Book, context: &Context, counts: &mut Vec<Count>) {
    let outlets_below = outlets_below(context.network, &context.sizes.outlets_at);
    for position in 0..context.network.len() {
        elbows(book, context, position, counts);
        device_adapters(context, position, counts);
        let Some(feeder) = run_leg(context, position) else { continue };
        let children = &context.network.children[position];
        let straight = straight_on(children, &outlets_below);
        let mut branches: Vec<Leg> =
            children.iter().filter(|c| Some(**c) != straight).filter_map(|c| run_leg(context, *c)).collect();
        let mut outlets = outlet_legs(context, position, &feeder);
        let through = match straight {
            Some(child) => run_leg(context, child),
            None => outlets.pop(),
        };
        // Outlets first: where a row of tees ends, the run that goes on decides the last one.
        outlets.append(&mut branches);
        let node = Node { context, position, feeder };
        match through {
            None if children.is_empty() => node.cap(counts),
            None => {}
            Some(through) => node.join(&through, &outlets, counts),
        }
    }
}

fn run_leg(context: &Context, position: usize) -> Option<Leg> {
    let device_here = |d: &&crate::model::Device| context.network.find(&d.on_run.value) == Some(position);
    Some(Leg {
        material: context.sizes.materials[position].clone(),
        size: context.sizes.sizes[position]?,
        size_key: context.sizes.size_keys[position].clone(),
        pipe_row: context.sizes.pipe_rows[position].clone(),
        times: Term::number(1),
        new: context.is_new(position),
        starts_with_device: context.job.devices.iter().filter(|d| in_line(&d.kind.value)).any(|d| device_here(&d)),
        is_run: true,
    })
}

/// Devices that water flows through, as against those that hang on a branch.
fn in_line(kind: &str) -> bool {
    !matches!(kind, "expansion tank" | "hammer arrester" | "other")
}

/// The sides of fixtures that draw at the end of a run, as legs of their connection size in the run's material.
fn outlet_legs(context: &Context, position: usize, run: &Leg) -> Vec<Leg> {
    let mut legs = Vec::new();
    for outlet in &context.sizes.outlets {
        let fixture = &context.job.fixtures[outlet.fixture];
        let size = context.rules.fixture(&outlet.kind).map_or(run.size, |kind| kind.connection);
        for _ in [outlet.cold, outlet.hot].into_iter().filter(|side| *side == Some(position)) {
            legs.push(Leg {
                material: run.material.clone(),
                size,
                size_key: Term::text(size.key()),
                pipe_row: Term::row_of(
                    &Term::text(format!("{} {}", run.material, size.key())),
                    &context.sizes.pipe_table_keys,
                ),
                times: outlet.count.clone(),
                new: fixture.status.get().unwrap_or_default() == Status::New,
                starts_with_device: false,
                is_run: false,
            });
        }
    }
    legs
}

fn elbows(book: &mut Book, context: &Context, position: usize, counts: &mut Vec<Count>) {
    let run = &context.job.runs[context.network.order[position]];
    let Some(leg) = run_leg(context, position).filter(|leg| leg.new) else { return };
    // A blank cell may be filled in later, in the finished bid; no column at all cannot.
    if run.bends.cell.is_none() {
        return;
    }
    let bends = book.number_input(&run.bends, Decimal::ZERO);
    let pipe_key = &context.sizes.pipe_keys[position];
    counts.push(Count {
        origin: run.name.clone(),
        why: "its bends",
        phase: context.phase_of_run(position),
        item: Item::new("elbow", &leg.material, &[leg.size]),
        key: Term::join(&[&Term::text("elbow "), pipe_key]),
        quantity: bends,
        ends: vec![pipe_key.clone(); 2],
    });
}

/// A device in the line is joined to pipe at both sides.
fn device_adapters(context: &Context, position: usize, counts: &mut Vec<Count>) {
    let Some(leg) = run_leg(context, position) else { return };
    for device in &context.job.devices {
        let new = device.status.get().unwrap_or_default() == Status::New;
        if !new || !in_line(&device.kind.value) || context.network.find(&device.on_run.value) != Some(position) {
            continue;
        }
        counts.push(Count {
            origin: device.name.clone(),
            why: "its two connections",
            phase: context.phase_of_run(position),
            item: Item::new("adapter", &leg.material, &[leg.size]),
            key: keyed("adapter", &leg.material, &leg.size_key),
            quantity: Term::number(2),
            ends: vec![pipe_key_in(&leg.material, &leg.size_key)],
        });
    }
}

fn keyed(kind: &str, material: &str, size_key: &Term) -> Term {
    Term::join(&[&Term::text(format!("{kind} {material} ")), size_key])
}

fn pipe_key_in(material: &str, size_key: &Term) -> Term {
    Term::join(&[&Term::text(format!("{material} ")), size_key])
}

/// The end of one run and what meets there.
struct Node<'a, 'b> {
    context: &'a Context<'b>,
    position: usize,
    feeder: Leg,
}

impl Node<'_, '_> {
    fn origin(&self) -> At<Arc<str>> {
        self.context.job.runs[self.context.network.order[self.position]].name.clone()
    }

    fn add(&self, counts: &mut Vec<Count>, why: &'static str, item: Item, key: Term, quantity: Term, ends: Vec<Term>) {
        let phase = self.context.phase_of_run(self.position);
        counts.push(Count { origin: self.origin(), why, phase, item, key, quantity, ends });
    }

    fn cap(&self, counts: &mut Vec<Count>) {
        if self.feeder.new {
            let Leg { material, size, size_key, .. } = &self.feeder;
            let item = Item::new("cap", material, &[*size]);
            let ends = vec![pipe_key_in(material, size_key)];
            self.add(counts, "nothing beyond its end", item, keyed("cap", material, size_key), Term::number(1), ends);
        }
    }

    /// Everything that joins the run to its way through and its branches.
    fn join(&self, through: &Leg, branches: &[Leg], counts: &mut Vec<Count>) {
        let legs = || std::iter::once(through).chain(branches);
        if !self.feeder.new && !legs().any(|leg| leg.new) {
            return;
        }
        // Fittings are of the feeding pipe's material where that is new, else of the first new pipe that meets it.
        let material = if self.feeder.new {
            self.feeder.material.clone()
        } else {
            legs().find(|leg| leg.new).map_or_else(|| self.feeder.material.clone(), |leg| leg.material.clone())
        };
        // What is counted must not depend on counts and sizes, only how many of it: the finished bid is live in both.
        for (index, branch) in branches.iter().enumerate() {
            let goes_on = if index + 1 == branches.len() { through } else { &self.feeder };
            self.tee(goes_on, branch, &branch.times, &material, counts);
        }
        if !through.is_run {
            // Of several alike at one place, all but the last are branches.
            let more = (&through.times - Term::number(1)).max(&Term::number(0));
            self.tee(&self.feeder, through, &more, &material, counts);
        }
        match (branches.is_empty(), through.is_run) {
            (true, true) => self.one_way(through, &material, counts),
            (true, false) => self.reduce_to_outlet(through, &material, counts),
            (false, _) => legs().for_each(|leg| self.transition(leg, &material, counts)),
        }
        if self.feeder.material != material && !(branches.is_empty() && through.is_run) {
            self.transition(&self.feeder, &material, counts);
        }
    }

    /// A tee by run x run x branch.
    fn tee(&self, through: &Leg, branch: &Leg, times: &Term, material: &Arc<str>, counts: &mut Vec<Count>) {
        let x = Term::text(" x ");
        // A tee has no direction along its run: the larger end is named first, as it now is.
        let (from, on) = (&self.feeder, through);
        let (down, up) =
            (Term::join(&[&from.size_key, &x, &on.size_key]), Term::join(&[&on.size_key, &x, &from.size_key]));
        let run = from.pipe_row.at_least(&on.pipe_row).pick(&down, &up);
        let key = Term::join(&[&Term::text(format!("tee {material} ")), &run, &x, &branch.size_key]);
        let item = Item::new("tee", material, &[from.size.max(on.size), from.size.min(on.size), branch.size]);
        let ends = [&self.feeder, through, branch].map(|leg| pipe_key_in(material, &leg.size_key)).to_vec();
        self.add(counts, "a branch at its end", item, key, times.clone(), ends);
    }

    /// The only way on: a coupling or a reducer as the sizes now are, or an adapter to another material.
    fn one_way(&self, through: &Leg, material: &Arc<str>, counts: &mut Vec<Count>) {
        if self.feeder.material != through.material {
            self.transition(if self.feeder.new { through } else { &self.feeder }, material, counts);
            return;
        }
        let (before, after) = (&self.feeder.size_key, &through.size_key);
        let same = before.same(after);
        let reducer = self.reducer_key(material, through);
        let ends = vec![pipe_key_in(material, before), pipe_key_in(material, after)];
        let reduced = self.feeder.size != through.size;
        if through.starts_with_device {
            // The device joins them; only a change of size needs a piece of its own.
            let quantity = same.pick(&Term::number(0), &Term::number(1));
            self.add(counts, "its size changes", self.reducer_item(material, through), reducer, quantity, ends);
            return;
        }
        let item = if reduced {
            self.reducer_item(material, through)
        } else {
            Item::new("coupling", material, &[through.size])
        };
        let key = same.pick(&keyed("coupling", material, after), &reducer);
        self.add(counts, "the next run joins on", item, key, Term::number(1), ends);
    }

    fn reducer_item(&self, material: &str, to: &Leg) -> Item {
        let (large, small) = (self.feeder.size.max(to.size), self.feeder.size.min(to.size));
        Item::new("reducer", material, &[large, small])
    }

    /// `reducer PEX 3/4" x 1/2"`, the larger first as it now is.
    fn reducer_key(&self, material: &str, to: &Leg) -> Term {
        let x = Term::text(" x ");
        let (before, after) = (&self.feeder.size_key, &to.size_key);
        let (down, up) = (Term::join(&[before, &x, after]), Term::join(&[after, &x, before]));
        let sizes = self.feeder.pipe_row.at_least(&to.pipe_row).pick(&down, &up);
        Term::join(&[&Term::text(format!("reducer {material} ")), &sizes])
    }

    /// An adapter where a leg of another material meets the fitting.
    fn transition(&self, leg: &Leg, material: &Arc<str>, counts: &mut Vec<Count>) {
        if leg.material == *material {
            return;
        }
        let item = Item::new("adapter", material, &[leg.size]);
        let ends = vec![pipe_key_in(material, &leg.size_key)];
        self.add(
            counts,
            "the material changes",
            item,
            keyed("adapter", material, &leg.size_key),
            leg.times.clone(),
            ends,
        );
    }

    /// A run larger than the connection of what it ends at is brought down to it.
    fn reduce_to_outlet(&self, outlet: &Leg, material: &Arc<str>, counts: &mut Vec<Count>) {
        if !self.feeder.new {
            return;
        }
        let quantity = self.feeder.size_key.same(&outlet.size_key).pick(&Term::number(0), &Term::number(1));
        let ends = vec![pipe_key_in(material, &self.feeder.size_key), pipe_key_in(material, &outlet.size_key)];
        let (item, key) = (self.reducer_item(material, outlet), self.reducer_key(material, outlet));
        self.add(counts, "down to the connection", item, key, quantity, ends);
    }
}
