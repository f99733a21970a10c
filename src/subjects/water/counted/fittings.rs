//! The pieces of runs and of what joins them, in figures: which there are does not depend on sizes, only what each is and how
//! many of it. Sizes changed in the finished bid move them.

use super::Context;
use crate::figure::{Book, Term};
use crate::model::Size;
use crate::parts::{Count, NIPPLE, nipples};
use crate::rules::{ELBOW, Item};
use crate::subjects::water::rules::{BEND_SUPPORT, NOTHING};
use crate::subjects::water::size::part::{Leg, Part, Piece, SizeOf};
use crate::table::columns;
use std::sync::Arc;

/// What is counted: a piece, or a tee that is still to be made up of what is sold.
pub(super) enum Counted {
    Piece(Box<Count>),
    Tee(Box<Spot>),
}

pub(super) fn pieces(book: &mut Book, context: &Context) -> Vec<Counted> {
    // Of the tees for what hangs on runs, in the order of their parts. What hangs on a tee comes behind it.
    let mut branches = hanging(book, context).into_iter();
    let mut branch = None;
    let mut counted = Vec::new();
    for (position, parts) in context.sizes.structure.parts.iter().enumerate() {
        counted.extend(elbows(book, context, position).map(|count| Counted::Piece(Box::new(count))));
        for part in parts.iter().filter(|part| has_sizes(context, part)) {
            if is_hanging_tee(part) {
                branch = branches.next();
            }
            Live { context, position, part, branch: branch.as_ref() }.count(&mut counted);
        }
    }
    counted
}

/// Whether it is a tee in a run for what hangs on it.
fn is_hanging_tee(part: &Part) -> bool {
    matches!(part.piece, Piece::Tee { legs: [.., Leg { size: SizeOf::Hanging(..), .. }], .. })
}

/// Whether every run that a part belongs to has a size.
fn has_sizes(context: &Context, part: &Part) -> bool {
    part.runs().iter().all(|run| context.sizes.sizes[*run].is_some())
}

fn elbows(book: &mut Book, context: &Context, position: usize) -> Option<Count> {
    let run = context.run_at(position);
    let (material, size) = (&context.sizes.materials[position], context.sizes.sizes[position]?);
    // A blank cell may be filled in later, in the finished bid; no column at all cannot.
    if !context.is_new(position) || run.bends.cell.is_none() {
        return None;
    }
    let bends = run.bends.figure(book);
    let pipe_key = &context.sizes.pipe_keys[position];
    // An elbow is cut in and joins two ends; a bend support holds the pipe as it is; a sweep takes nothing.
    let (kind, key, quantity, end) = match &context.sizes.bend_parts[position] {
        None => (ELBOW, Term::join(&[&Term::text("elbow "), pipe_key]), bends, pipe_key.clone()),
        Some(part) => (
            match context.rules.bend_part(material, context.sizes.forms[position], size) {
                NOTHING => ELBOW,
                kind => kind,
            },
            part.same(&Term::text(NOTHING)).pick(&Term::text(""), &Term::join(&[part, &Term::text(" "), pipe_key])),
            part.same(&Term::text(NOTHING)).pick(&Term::number(0), &bends),
            part.same(&Term::text(ELBOW)).pick(pipe_key, &Term::text("")),
        ),
    };
    let item = Item::new(kind, material, &[size]);
    let kinds = &[ELBOW, BEND_SUPPORT];
    Some(Count { quantity, kinds, ends: vec![end; 2], ..context.count_of_run(position, "its bends", item, key) })
}

/// Pipe between a fitting and the reducer or adapter beside it, at a run; so many of them.
pub(super) fn nipple(context: &Context, position: usize, item: Item, pipe_key: &Term, pieces: Term) -> Count {
    let key = Term::join(&[&Term::text("pipe "), pipe_key]);
    let nipple = context.count_of_run(position, nipples(context.sizes.waters[position].hot), item, key);
    Count { form: NIPPLE, quantity: pieces * &context.sizes.lay.nipple_ft, at_fork: true, ..nipple }
}

/// `reducer PEX 3/4" x 1/2"`, the larger first as it now is.
fn reducer_key(material: &str, [before, after]: [&Term; 2], rows: [&Term; 2]) -> Term {
    let x = Term::text(" x ");
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

/// The branches of tees in runs for what hangs on them, in the order of their parts: never larger than the run.
fn hanging(book: &mut Book, context: &Context) -> Vec<Term> {
    let parts = context.sizes.structure.parts.iter().flatten().filter(|part| has_sizes(context, part));
    let hangs = |part: &Part| match &part.piece {
        Piece::Tee { material, legs: [.., Leg { size: SizeOf::Hanging(largest, run), .. }] } => {
            Some((part.origin.value.clone(), material.clone(), *largest, *run))
        }
        _ => None,
    };
    let hangs: Vec<_> = parts.filter_map(hangs).collect();
    if hangs.is_empty() {
        return Vec::new();
    }
    let Hanging { table, what, run, largest, branch } = Hanging::on_page(book, context);
    let mut put = |(name, material, size, position): (Arc<str>, Arc<str>, Size, usize)| {
        let row = book.row(table);
        book.label(row, what, &name);
        book.label(row, run, &context.run_at(position).name.value);
        let largest = book.label(row, largest, &size.key());
        let pipe = Term::text(format!("{material} {}", size.key()));
        // The larger the size the later its row in the pipe table.
        let fits = context.sizes.pipe_rows[position].at_least(&Term::row_of(&pipe, &context.sizes.pipe_table_keys));
        book.put(row, branch, fits.pick(&largest, &context.sizes.size_keys[position]))
    };
    hangs.into_iter().map(&mut put).collect()
}

fn keyed(kind: &str, material: &str, size_key: &Term, joins: &str) -> Term {
    let words = if material.is_empty() { format!("{kind} ") } else { format!("{kind} {material} ") };
    match joins {
        "" => Term::join(&[&Term::text(words), size_key]),
        _ => Term::join(&[&Term::text(words), size_key, &Term::text(format!(" {joins}"))]),
    }
}

fn pipe_key_in(material: &str, size_key: &Term) -> Term {
    Term::join(&[&Term::text(format!("{material} ")), size_key])
}

/// A part at sizes that are live.
struct Live<'a, 'b> {
    context: &'a Context<'b>,
    /// Of the run that it belongs to.
    position: usize,
    part: &'a Part,
    /// Of the last tee in a run: the size of its branch.
    branch: Option<&'a Term>,
}

impl Live<'_, '_> {
    fn count(&self, counted: &mut Vec<Counted>) {
        let counts = match &self.part.piece {
            Piece::Tee { material, legs } => {
                return counted.push(Counted::Tee(Box::new(self.tee(material, legs))));
            }
            Piece::Fitting { kind, material, size, ends, joins } => {
                let item = Item::new(kind, material, &[self.size(*size)]).with_ends(joins);
                let ends = ends.iter().map(|leg| pipe_key_in(&leg.material, &self.key(leg.size)));
                vec![self.piece(item, keyed(kind, material, &self.key(*size), joins), ends.collect())]
            }
            Piece::Coupling { material, legs } => vec![self.coupling(material, legs)],
            Piece::Reducer { material, legs, nipple } => {
                let [before, after] = legs.each_ref().map(|leg| self.key(leg.size));
                let quantity = before.same(&after).pick(&Term::number(0), &self.part.times);
                let reducer = Count { quantity: quantity.clone(), ..self.reducer(material, legs) };
                [reducer].into_iter().chain(self.nipple(material, nipple.size, quantity)).collect()
            }
            Piece::Nipple { material, size } => {
                self.nipple(material, *size, self.part.times.clone()).into_iter().collect()
            }
        };
        counted.extend(counts.into_iter().map(|count| Counted::Piece(Box::new(count))));
    }

    fn piece(&self, item: Item, key: Term, ends: Vec<Term>) -> Count {
        let Part { origin, purpose, times, phase, at_fork, .. } = self.part;
        let one = self.context.count_of_run(self.position, purpose, item, key);
        let (origin, quantity, phase) = (origin.clone(), times.clone(), phase.unwrap_or(one.phase));
        Count { origin, quantity, phase, ends, at_fork: *at_fork, ..one }
    }

    /// As it now is. Parts of runs without a size are not counted.
    fn size(&self, size: SizeOf) -> Size {
        size.at(|run| self.context.sizes.sizes[run].unwrap_or(Size::MIN))
    }

    fn key(&self, size: SizeOf) -> Term {
        match size {
            SizeOf::Run(run) => self.context.sizes.size_keys[run].clone(),
            SizeOf::Hanging(_, run) => self.branch.unwrap_or(&self.context.sizes.size_keys[run]).clone(),
            SizeOf::Connection(size) => Term::text(size.key()),
        }
    }

    /// The row of the pipe table for a leg's size in this material: the larger the size the later the row.
    fn row_in(&self, material: &str, leg: &Leg) -> Term {
        if let (SizeOf::Run(run), true) = (leg.size, *leg.material == *material) {
            return self.context.sizes.pipe_rows[run].clone();
        }
        let row = Term::row_of(&pipe_key_in(material, &self.key(leg.size)), &self.context.sizes.pipe_table_keys);
        match leg.size {
            SizeOf::Connection(size) if self.context.rules.pipe(material, size).is_some() => row,
            _ => row.or_if_fault(&Term::number(0)),
        }
    }

    /// A tee by run x run x branch.
    fn tee(&self, material: &Arc<str>, legs: &[Leg; 3]) -> Spot {
        let sizes = legs.each_ref().map(|leg| self.size(leg.size));
        Spot {
            count: self.piece(Item::new("tee", material, &sizes), Term::text(""), Vec::new()),
            material: material.clone(),
            sizes,
            size_keys: legs.each_ref().map(|leg| self.key(leg.size)),
            run_rows: [&legs[0], &legs[1]].map(|leg| self.row_in(material, leg)),
            position: self.position,
        }
    }

    /// A coupling or a reducer as the sizes now are.
    fn coupling(&self, material: &str, legs: &[Leg; 2]) -> Count {
        let reducer = self.reducer(material, legs);
        let [before, after] = legs.each_ref().map(|leg| self.key(leg.size));
        let [from, to] = legs.each_ref().map(|leg| self.size(leg.size));
        let key = before.same(&after).pick(&keyed("coupling", material, &after, ""), &reducer.key);
        let item = if from == to { Item::new("coupling", material, &[to]) } else { reducer.item.clone() };
        Count { item, key, ..reducer }
    }

    fn reducer(&self, material: &str, legs: &[Leg; 2]) -> Count {
        let keys = legs.each_ref().map(|leg| self.key(leg.size));
        let rows = legs.each_ref().map(|leg| self.row_in(material, leg));
        let item = Item::new("reducer", material, &legs.each_ref().map(|leg| self.size(leg.size))).turned();
        let ends = keys.iter().map(|key| pipe_key_in(material, key)).collect();
        self.piece(item, reducer_key(material, keys.each_ref(), rows.each_ref()), ends)
    }

    /// Pipe between two fittings side by side, where there is any of that size.
    fn nipple(&self, material: &str, of: SizeOf, pieces: Term) -> Option<Count> {
        let size = self.size(of);
        self.context.rules.pipe(material, size)?;
        let item = Item::new("pipe", material, &[size]);
        let nipple = nipple(self.context, self.position, item, &pipe_key_in(material, &self.key(of)), pieces);
        let phase = self.part.phase.unwrap_or(nipple.phase);
        Some(Count { origin: self.part.origin.clone(), phase, ..nipple })
    }
}

/// A tee where it is needed.
pub(super) struct Spot {
    /// What is still to be filled in is what it is.
    pub count: Count,
    pub material: Arc<str>,
    /// Of the feeding run, the way on and the branch, as they now are.
    pub sizes: [Size; 3],
    pub size_keys: [Term; 3],
    /// Rows of the pipe table for the two ends of its run: the larger the size the later the row.
    pub run_rows: [Term; 2],
    /// Of the run at whose end it is, or that it is in.
    pub position: usize,
}
