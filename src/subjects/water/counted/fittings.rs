//! Fittings: elbows in runs, and what joins runs where they meet.
//!
//! At the end of a run: one way on is a coupling (a reducer where the size changes, an adapter where the material
//! does); more ways are tees in a row, the smaller branches first; none, with nothing drawing there, is a cap. A
//! fixture that draws where the run goes on is a branch like any other. Fittings are ours where any pipe they join is
//! new.

use super::Context;
use crate::figure::{Book, Term};
use crate::model::{At, Phase, Size, Whereabouts};
use crate::parts::Count;
use crate::parts::{NIPPLE, nipples};
use crate::rules::ELBOW;
use crate::rules::Item;
use crate::subjects::water::rules::NOTHING;
use crate::subjects::water::size::run_parts::RunPart;
use crate::table::columns;
use std::sync::Arc;

/// What the walk down the tree finds: a piece, or a tee that is still to be made up of what is sold.
pub(super) enum Piece {
    Count(Count),
    Tee(Spot),
}

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

pub(super) fn pieces(book: &mut Book, context: &Context) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let hanging = line_tees(book, context);
    for (position, mut hanging) in hanging.into_iter().enumerate() {
        elbows(book, context, position, &mut pieces);
        own_parts(context, position, &mut pieces);
        pieces.append(&mut hanging);
        let Some(feeder) = run_leg(context, position) else { continue };
        let fork = &context.sizes.structure.forks[position];
        let onward = fork.others.iter().copied().chain(fork.last);
        let mut branches: Vec<Leg> = onward.filter_map(|child| run_leg(context, child)).collect();
        let mut outlets = outlet_legs(context, position, &feeder);
        let through = match fork.straight {
            Some(child) => run_leg(context, child),
            None => outlets.pop(),
        };
        // Outlets first: where a row of tees ends, the run that goes on decides the last one.
        outlets.append(&mut branches);
        let joint = &context.sizes.structure.joints[position];
        let is_manifold = context.sizes.structure.manifold_at[position];
        if let Some(through) = through.filter(|_| joint.ours) {
            let mut node = Node { context, position, feeder, material: joint.material.clone(), pieces: &mut pieces };
            if is_manifold {
                std::iter::once(&through).chain(&outlets).for_each(|leg| node.port(leg));
            } else {
                node.join(&through, &outlets);
            }
        }
    }
    pieces
}

fn run_leg(context: &Context, position: usize) -> Option<Leg> {
    Some(Leg {
        material: context.sizes.materials[position].clone(),
        size: context.sizes.sizes[position]?,
        size_key: context.sizes.size_keys[position].clone(),
        pipe_row: context.sizes.pipe_rows[position].clone(),
        times: Term::number(1),
        new: context.is_new(position),
        starts_with_device: context.sizes.structure.joints[position].device_first,
        is_run: true,
    })
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
                new: fixture.status.get().unwrap_or_default().is_of_this_job(),
                starts_with_device: false,
                is_run: false,
            });
        }
    }
    legs
}

fn elbows(book: &mut Book, context: &Context, position: usize, pieces: &mut Vec<Piece>) {
    let run = &context.job.runs[context.network.order[position]];
    let Some(leg) = run_leg(context, position).filter(|leg| leg.new) else { return };
    // A blank cell may be filled in later, in the finished bid; no column at all cannot.
    if run.bends.cell.is_none() {
        return;
    }
    let bends = run.bends.figure(book);
    let pipe_key = &context.sizes.pipe_keys[position];
    // An elbow is cut in and joins two ends; a bend support holds the pipe as it is; a sweep takes nothing.
    let (kind, key, quantity, end) = match &context.sizes.bend_parts[position] {
        None => (ELBOW, Term::join(&[&Term::text("elbow "), pipe_key]), bends, pipe_key.clone()),
        Some(part) => (
            match context.rules.bend_part(&leg.material, context.sizes.forms[position], leg.size) {
                NOTHING => ELBOW,
                kind => kind,
            },
            part.same(&Term::text(NOTHING)).pick(&Term::text(""), &Term::join(&[part, &Term::text(" "), pipe_key])),
            part.same(&Term::text(NOTHING)).pick(&Term::number(0), &bends),
            part.same(&Term::text(ELBOW)).pick(pipe_key, &Term::text("")),
        ),
    };
    pieces.push(Piece::Count(Count {
        origin: run.name.clone(),
        why: "its bends",
        phase: context.phase_of_run(position),
        place: context.place_of_run(position),
        form: "",
        item: Item::new(kind, &leg.material, &[leg.size]),
        key,
        quantity,
        ends: vec![end; 2],
        at_fork: false,
        form_cell: None,
        in_already: false,
    }));
}

/// What a run needs in its own size: adapters, caps.
fn own_parts(context: &Context, position: usize, pieces: &mut Vec<Piece>) {
    let Some(leg) = run_leg(context, position) else { return };
    for part in &context.sizes.structure.run_parts[position] {
        let material = part.material_in(&leg.material);
        if let Some(connection) = part.connection {
            pieces.extend(at_device(context, position, &leg, part, connection).into_iter().map(Piece::Count));
            continue;
        }
        pieces.push(Piece::Count(Count {
            origin: part.origin.clone(),
            why: part.why,
            phase: part.phase.unwrap_or_else(|| context.phase_of_run(position)),
            place: context.place_of_run(position),
            form: "",
            item: Item::new(&part.kind, material, &[leg.size]),
            key: keyed(&part.kind, material, &leg.size_key),
            quantity: Term::number(part.pieces),
            ends: vec![pipe_key_in(&leg.material, &leg.size_key); usize::from(part.ends)],
            at_fork: false,
            form_cell: None,
            in_already: false,
        }));
    }
}

/// What connects a device of its own size: adapters of that size, and where the run has another, reducers and the nipples
/// between the two.
fn at_device(context: &Context, position: usize, run: &Leg, part: &RunPart, connection: Size) -> Vec<Count> {
    let material = run.material.clone();
    let leg = Leg { size: connection, size_key: Term::text(connection.key()), ..run.clone() };
    let pieces = Term::number(part.pieces);
    let quantity = run.size_key.same(&leg.size_key).pick(&Term::number(0), &pieces);
    let (before, after) = (pipe_key_in(&material, &run.size_key), pipe_key_in(&material, &leg.size_key));
    let count = Count {
        origin: part.origin.clone(),
        why: part.why,
        phase: part.phase.unwrap_or_else(|| context.phase_of_run(position)),
        place: context.place_of_run(position),
        form: "",
        item: Item::new(&part.kind, &material, &[connection]),
        key: keyed(&part.kind, &material, &leg.size_key),
        quantity: pieces,
        ends: vec![after.clone(); usize::from(part.ends)],
        at_fork: false,
        form_cell: None,
        in_already: false,
    };
    let row = Term::row_of(&after, &context.sizes.pipe_table_keys).or_if_fault(&Term::number(0));
    let reducer = Count {
        why: "down to its connections",
        item: Item::new("reducer", &material, &[run.size, connection]).turned(),
        key: reducer_key(&material, [run, &leg], [&run.pipe_row, &row]),
        quantity: quantity.clone(),
        ends: vec![before, after.clone()],
        ..count.clone()
    };
    let nipple = nipple(context, position, Item::new("pipe", &material, &[connection]), &after, quantity);
    let nipple = Count { origin: count.origin.clone(), phase: count.phase, ..nipple };
    let in_table = context.rules.pipe(&material, connection).is_some();
    [count, reducer].into_iter().chain(in_table.then_some(nipple)).collect()
}

/// Pipe between a fitting and the reducer or adapter beside it, at a run; so many of them.
pub(super) fn nipple(context: &Context, position: usize, item: Item, pipe_key: &Term, pieces: Term) -> Count {
    Count {
        origin: context.job.runs[context.network.order[position]].name.clone(),
        why: nipples(context.sizes.served[position].hot),
        phase: context.phase_of_run(position),
        place: context.place_of_run(position),
        form: NIPPLE,
        item,
        key: Term::join(&[&Term::text("pipe "), pipe_key]),
        quantity: pieces * &context.sizes.lay.nipple_ft,
        ends: Vec::new(),
        at_fork: true,
        form_cell: None,
        in_already: false,
    }
}

/// `reducer PEX 3/4" x 1/2"`, the larger first as it now is.
fn reducer_key(material: &str, legs: [&Leg; 2], rows: [&Term; 2]) -> Term {
    let x = Term::text(" x ");
    let [before, after] = legs.map(|leg| &leg.size_key);
    let (down, up) = (Term::join(&[before, &x, after]), Term::join(&[after, &x, before]));
    let sizes = rows[0].at_least(rows[1]).pick(&down, &up);
    Term::join(&[&Term::text(format!("reducer {material} ")), &sizes])
}

columns! {
    struct Hanging on Counts("What hangs on runs, by a tee") {
        what: "What", quiet words 14;
        run: "On run", quiet words 14;
        largest: "Largest branch", quiet words 14;
        branch: "Branch", quiet words 14;
    }
}

/// Tees in runs for what hangs on them, of the run's size both ways; the branch is never larger than the run.
fn line_tees(book: &mut Book, context: &Context) -> Vec<Vec<Piece>> {
    let mut pieces: Vec<Vec<Piece>> = (0..context.network.len()).map(|_| Vec::new()).collect();
    let tees = &context.sizes.structure.line_tees;
    if tees.iter().all(Vec::is_empty) {
        return pieces;
    }
    let Hanging { table, what, run, largest, branch } = Hanging::on_page(book, context);
    for (position, tee) in tees.iter().enumerate().flat_map(|(at, tees)| tees.iter().map(move |tee| (at, tee))) {
        let Some(leg) = run_leg(context, position) else { continue };
        let row = book.row(table);
        book.label(row, what, &tee.origin.value);
        book.label(row, run, &context.job.runs[context.network.order[position]].name.value);
        let largest = book.label(row, largest, &tee.branch.key());
        let pipe = Term::text(format!("{} {}", leg.material, tee.branch.key()));
        // The larger the size the later its row in the pipe table.
        let fits = leg.pipe_row.at_least(&Term::row_of(&pipe, &context.sizes.pipe_table_keys));
        let branch = book.put(row, branch, fits.pick(&largest, &leg.size_key));
        pieces[position].push(Piece::Tee(Spot {
            origin: tee.origin.clone(),
            why: "what hangs on its run",
            phase: tee.phase.unwrap_or_else(|| context.phase_of_run(position)),
            place: context.place_of_run(position),
            material: leg.material.clone(),
            sizes: [leg.size, leg.size, tee.branch.min(leg.size)],
            size_keys: [leg.size_key.clone(), leg.size_key.clone(), branch],
            run_rows: [leg.pipe_row.clone(), leg.pipe_row.clone()],
            times: Term::number(1),
            position,
        }));
    }
    pieces
}

fn keyed(kind: &str, material: &str, size_key: &Term) -> Term {
    let words = if material.is_empty() { format!("{kind} ") } else { format!("{kind} {material} ") };
    Term::join(&[&Term::text(words), size_key])
}

fn pipe_key_in(material: &str, size_key: &Term) -> Term {
    Term::join(&[&Term::text(format!("{material} ")), size_key])
}

const CHANGES: &str = "its size changes";

/// The end of one run and what meets there.
struct Node<'a, 'b> {
    context: &'a Context<'b>,
    position: usize,
    feeder: Leg,
    /// What the fittings are of.
    material: Arc<str>,
    pieces: &'a mut Vec<Piece>,
}

impl Node<'_, '_> {
    fn origin(&self) -> At<Arc<str>> {
        self.context.job.runs[self.context.network.order[self.position]].name.clone()
    }

    fn add(&mut self, why: &'static str, item: Item, key: Term, quantity: Term, ends: Vec<Term>) {
        let phase = self.context.phase_of_run(self.position);
        let (origin, place) = (self.origin(), self.context.place_of_run(self.position));
        let count = Count {
            origin,
            why,
            phase,
            place,
            form: "",
            item,
            key,
            quantity,
            ends,
            at_fork: true,
            form_cell: None,
            in_already: false,
        };
        self.pieces.push(Piece::Count(count));
    }

    /// Everything that joins the run to its way through and its branches.
    fn join(&mut self, through: &Leg, branches: &[Leg]) {
        let feeder = self.feeder.clone();
        // What is counted must not depend on counts and sizes, only how many of it: the finished bid is live in both.
        for (index, branch) in branches.iter().enumerate() {
            let goes_on = if index + 1 == branches.len() { through } else { &feeder };
            self.tee(goes_on, branch, &branch.times);
        }
        if !through.is_run {
            // Of several alike at one place, all but the last are branches.
            let more = (&through.times - Term::number(1)).max(&Term::number(0));
            self.tee(&feeder, through, &more);
        }
        match (branches.is_empty(), through.is_run) {
            (true, true) => self.one_way(through),
            (true, false) => self.reduce_to_outlet(through),
            (false, _) => std::iter::once(through).chain(branches).for_each(|leg| self.transition(leg)),
        }
        if !(branches.is_empty() && through.is_run) {
            self.transition(&feeder);
        }
    }

    /// A port of the manifold at its end, in the size and material of what it feeds.
    fn port(&mut self, leg: &Leg) {
        if leg.new {
            let item = Item::new("manifold port", &leg.material, &[leg.size]);
            let key = keyed("manifold port", &leg.material, &leg.size_key);
            let ends = vec![pipe_key_in(&leg.material, &leg.size_key)];
            self.add("feeds from its manifold", item, key, leg.times.clone(), ends);
        }
    }

    /// A tee by run x run x branch.
    fn tee(&mut self, through: &Leg, branch: &Leg, times: &Term) {
        let legs = [&self.feeder, through, branch];
        self.pieces.push(Piece::Tee(Spot {
            origin: self.origin(),
            why: "a branch at its end",
            phase: self.context.phase_of_run(self.position),
            place: self.context.place_of_run(self.position),
            material: self.material.clone(),
            sizes: legs.map(|leg| leg.size),
            size_keys: legs.map(|leg| leg.size_key.clone()),
            run_rows: [legs[0], legs[1]].map(|leg| self.row_in(&self.material, leg)),
            times: times.clone(),
            position: self.position,
        }));
    }

    /// The only way on: a coupling or a reducer as the sizes now are, or an adapter to another material.
    fn one_way(&mut self, through: &Leg) {
        let feeder = self.feeder.clone();
        if feeder.material != through.material {
            // The change of size, if any, is made in the pipe that is ours to choose.
            let (far, near) = if through.new { (&feeder, through) } else { (through, &feeder) };
            let beyond = (feeder.new && through.new).then_some(&*near.material);
            self.adapter(far, beyond);
            self.size_change(CHANGES, &near.material, through, far);
            return;
        }
        let material = self.material.clone();
        if through.starts_with_device {
            // The device joins them; only a change of size needs a piece of its own.
            self.size_change(CHANGES, &material, through, through);
            return;
        }
        let (before, after) = (&feeder.size_key, &through.size_key);
        let ends = vec![pipe_key_in(&material, before), pipe_key_in(&material, after)];
        let item = if feeder.size != through.size {
            self.reducer_item(&material, through)
        } else {
            Item::new("coupling", &material, &[through.size])
        };
        let reducer = self.reducer_key(&material, through);
        let key = before.same(after).pick(&keyed("coupling", &material, after), &reducer);
        self.add("the next run joins on", item, key, Term::number(1), ends);
    }

    /// A reducer where the size changes; none as long as it does not. `beside` is the side on which another fitting
    /// stands next to it.
    fn size_change(&mut self, why: &'static str, material: &str, to: &Leg, beside: &Leg) {
        let (before, after) = (&self.feeder.size_key, &to.size_key);
        let quantity = before.same(after).pick(&Term::number(0), &Term::number(1));
        let ends = vec![pipe_key_in(material, before), pipe_key_in(material, after)];
        let (item, key) = (self.reducer_item(material, to), self.reducer_key(material, to));
        self.add(why, item, key, quantity.clone(), ends);
        self.nipple(material, beside, quantity);
    }

    /// Pipe of a leg's size between two fittings side by side, where there is any.
    fn nipple(&mut self, material: &str, leg: &Leg, pieces: Term) {
        if self.context.rules.pipe(material, leg.size).is_none() {
            return;
        }
        let item = Item::new("pipe", material, &[leg.size]);
        let pipe_key = pipe_key_in(material, &leg.size_key);
        self.pieces.push(Piece::Count(nipple(self.context, self.position, item, &pipe_key, pieces)));
    }

    fn reducer_item(&self, material: &str, to: &Leg) -> Item {
        Item::new("reducer", material, &[self.feeder.size, to.size]).turned()
    }

    fn reducer_key(&self, material: &str, to: &Leg) -> Term {
        let [first, second] = [&self.feeder, to].map(|leg| self.row_in(material, leg));
        reducer_key(material, [&self.feeder, to], [&first, &second])
    }

    /// The row of the pipe table for a leg's size in this material: the larger the size the later the row.
    fn row_in(&self, material: &str, leg: &Leg) -> Term {
        if *leg.material == *material {
            return leg.pipe_row.clone();
        }
        let row = Term::row_of(&pipe_key_in(material, &leg.size_key), &self.context.sizes.pipe_table_keys);
        row.or_if_fault(&Term::number(0))
    }

    /// An adapter where a leg of another material meets the tee, and the nipple between them.
    fn transition(&mut self, leg: &Leg) {
        if leg.material != self.material {
            self.adapter(leg, leg.new.then_some(&*leg.material));
            let material = self.material.clone();
            self.nipple(&material, leg, leg.times.clone());
        }
    }

    /// An adapter of a leg's size. `beyond` is the material it joins on its far side, where that joint is ours too.
    fn adapter(&mut self, leg: &Leg, beyond: Option<&str>) {
        let material = self.material.clone();
        let mut ends = vec![pipe_key_in(&material, &leg.size_key)];
        ends.extend(beyond.map(|beyond| pipe_key_in(beyond, &leg.size_key)));
        let item = Item::new("adapter", &material, &[leg.size]);
        let key = keyed("adapter", &material, &leg.size_key);
        self.add("the material changes", item, key, leg.times.clone(), ends);
    }

    /// A run larger than the connection of what it ends at is brought down to it.
    fn reduce_to_outlet(&mut self, outlet: &Leg) {
        if !self.feeder.new {
            return;
        }
        let material = self.material.clone();
        self.size_change("down to the connection", &material, outlet, outlet);
    }
}

/// A tee where it is needed.
pub(super) struct Spot {
    /// The run at whose end it is, or the device that hangs on it.
    pub origin: At<Arc<str>>,
    pub why: &'static str,
    pub phase: Phase,
    pub place: Whereabouts,
    pub material: Arc<str>,
    /// Of the feeding run, the way on and the branch, as they now are.
    pub sizes: [Size; 3],
    pub size_keys: [Term; 3],
    /// Rows of the pipe table for the two ends of its run: the larger the size the later the row.
    pub run_rows: [Term; 2],
    pub times: Term,
    /// Of the run.
    pub position: usize,
}
