//! The Counts sheet: every piece where it is needed.

use super::Context;
use crate::figure::{Book, CellKind, Column, ColumnId, Term, Value};
use crate::model::{Phase, Whereabouts};
use crate::parts::Count;
use crate::sheets::Page;
use crate::table::columns;
use crate::unit::Unit;

/// How the Counts sheet marks a piece that is in.
pub(super) const YES: &str = "yes";

/// Columns of the Counts sheet, and the pipe ends summed up from them.
#[derive(Debug, Clone)]
pub struct CountColumns {
    pub(super) phase: Column,
    /// Why each piece is needed.
    pub purpose: Column,
    location: Column,
    kind: Column,
    pub item: Column,
    pub quantity: Column,
    /// First, second, third and fourth pipe end of a piece.
    pub(super) ends: [Column; 4],
    /// Whether a piece is in already; `None` where nothing is.
    pub in_already: Option<Column>,
    joined: Vec<Joined>,
}

/// Pipe ends of one pipe that are joined in a phase at a place.
#[derive(Debug, Clone)]
pub struct Joined {
    /// `PEX 3/4"`
    pub pipe_key: String,
    pub phase: Phase,
    pub place: Whereabouts,
    pub ends: Term,
}

columns! {
    struct Columns(any_in: bool) on Counts("Every piece where it is needed") {
        origin: "For", words 12;
        purpose: "Why", words 28;
        phase: "Phase", words 12;
        location: "Location", words 18;
        kind: "Kind", quiet words 14;
        item: "Item", words 34;
        quantity: "Quantity", Quantity;
        ends as [ColumnId; 4]: ["Pipe end 1", "Pipe end 2", "Pipe end 3", "Pipe end 4"], quiet words 14;
        in_already as Option<ColumnId>: any_in.then_some("In already"), words;
    }
}

pub(super) fn put(book: &mut Book, context: &Context, counts: &[Count]) -> CountColumns {
    let any_in = counts.iter().any(|count| count.in_already);
    let Columns { table, origin, purpose, phase, location, kind, item, quantity, ends, in_already } =
        Columns::on_page(book, context, any_in);
    for count in counts {
        let row = book.row(table);
        if count.is_idle() {
            book.mark(row, CellKind::Idle);
        }
        let name = count.origin.figure(book);
        book.put(row, origin, name);
        book.label(row, purpose, count.purpose);
        book.label(row, phase, count.phase.word());
        match &count.form_cell {
            Some(form) => {
                let place = Term::text(format!("{}, ", count.place.word()));
                book.put(row, location, Term::join(&[&place, form]))
            }
            None => book.label(row, location, &count.location()),
        };
        book.label(row, kind, &count.item.kind);
        put_words(book, row, item, &count.key);
        let quantity = put_count(book, row, quantity, &count.quantity);
        book.unit(&quantity, if context.rules.is_feet(&count.item) { Unit::Feet } else { Unit::Each });
        for (column, end) in ends.iter().zip(&count.ends) {
            put_words(book, row, *column, end);
        }
        if let (Some(column), true) = (in_already, count.in_already) {
            book.label(row, column, YES);
        }
    }
    if counts.iter().any(Count::is_idle) {
        book.words(context.page(Page::Counts), crate::figure::Look::Small, crate::parts::FOLDED);
    }
    let mut columns = CountColumns {
        phase: book.whole(phase),
        purpose: book.whole(purpose),
        location: book.whole(location),
        kind: book.whole(kind),
        item: book.whole(item),
        quantity: book.whole(quantity),
        ends: ends.map(|column| book.whole(column)),
        in_already: in_already.map(|column| book.whole(column)),
        joined: Vec::new(),
    };
    columns.put_joined(book, context, counts);
    columns
}

/// A number that does not depend on any cell (two connections, one cap) is written as a number.
fn put_count(book: &mut Book, row: crate::figure::RowId, column: crate::figure::ColumnId, term: &Term) -> Term {
    book.put_or_state(row, column, term.clone(), "counted from the job")
}

/// Words that do not depend on any cell are written as words, not as a formula.
fn put_words(book: &mut Book, row: crate::figure::RowId, column: crate::figure::ColumnId, term: &Term) {
    match (term.expr(), term.value()) {
        (crate::figure::Expr::Const(_), Value::Text(text)) => book.label(row, column, text),
        _ => book.put(row, column, term.clone()),
    };
}

const AS_END: [&str; 4] = ["As end 1", "As end 2", "As end 3", "As end 4"];

columns! {
    struct Ends(used: usize) on Counts("Pipe ends joined") {
        pipe: "Pipe", words 12;
        phase: "In phase", words 12;
        location: "Lying", words 14;
        by_end as Vec<ColumnId>: &AS_END[..used], Each;
        all: "Joined", Each;
    }
}

impl CountColumns {
    /// How many of an item a phase needs, live.
    pub fn needed(&self, key: &Term, phase: Phase) -> Term {
        Term::sum_where(&self.quantity, &[(&self.item, key), (&self.phase, &Term::text(phase.word()))])
    }

    /// How many of an item a phase needs where it lies so, live. `phase` and `location` are words in cells.
    pub fn needed_at(&self, key: &Term, phase: &Term, location: &Term) -> Term {
        Term::sum_where(&self.quantity, &[(&self.item, key), (&self.phase, phase), (&self.location, location)])
    }

    /// The same of all items of a kind.
    pub fn needed_of_kind(&self, kind: &Term, phase: &Term, location: &Term) -> Term {
        Term::sum_where(&self.quantity, &[(&self.kind, kind), (&self.phase, phase), (&self.location, location)])
    }

    /// How many pipe ends of a pipe key (`PEX 3/4"`) are joined in a phase, live; `None` where none ever are.
    pub fn ends_joined(&self, pipe_key: &str, phase: Phase) -> Option<Term> {
        let joined = self.joined.iter().filter(|joined| joined.pipe_key == pipe_key && joined.phase == phase);
        let ends: Vec<&Term> = joined.map(|joined| &joined.ends).collect();
        (!ends.is_empty()).then(|| Term::total(&ends))
    }

    /// Pipe ends joined by pipe, phase and place, whatever the sizes come to be.
    pub fn joined(&self) -> &[Joined] {
        &self.joined
    }

    /// The sums of pipe ends, a row for each phase, place and size of every material that is joined there.
    fn put_joined(&mut self, book: &mut Book, context: &Context, counts: &[Count]) {
        let (keys, spots) = (keys_joined(context, counts), spots_joined(counts));
        if keys.is_empty() {
            return;
        }
        let used = (0..4).filter(|end| self.ends[*end].values().iter().any(|v| *v != Value::Blank)).count();
        let Ends { table, pipe, phase, location, by_end, all } = Ends::on_page(book, context, used);
        for pipe_key in keys {
            let of_it = |spot: &&Spot| spot.material.as_deref().is_none_or(|own| own == material_of(&pipe_key));
            let mut here: Vec<(Phase, Whereabouts)> = spots.iter().filter(of_it).map(|s| (s.phase, s.place)).collect();
            here.sort_by_key(|(phase, place)| (*phase, *place as usize));
            here.dedup();
            for (when, place) in here {
                let row = book.row(table);
                let key = book.label(row, pipe, &pipe_key);
                let word = book.label(row, phase, when.word());
                let where_ = book.label(row, location, place.word());
                let sum = |end: &Column| {
                    Term::sum_where(&self.quantity, &[(end, &key), (&self.phase, &word), (&self.location, &where_)])
                };
                let sums: Vec<Term> =
                    by_end.iter().zip(&self.ends).map(|(column, end)| book.put(row, *column, sum(end))).collect();
                let ends = book.put(row, all, Term::total(&sums.iter().collect::<Vec<_>>()));
                if ends.value().as_f64() == 0.0 {
                    book.mark(row, CellKind::Idle);
                }
                self.joined.push(Joined { pipe_key: pipe_key.clone(), phase: when, place, ends });
            }
        }
    }
}

/// Where ends of a material are joined; `None` where its end may be of any.
struct Spot {
    material: Option<String>,
    phase: Phase,
    place: Whereabouts,
}

fn spots_joined(counts: &[Count]) -> Vec<Spot> {
    let ends = counts.iter().flat_map(|count| count.ends.iter().map(move |end| (count, end.value().to_string())));
    let spot = |(count, end): (&Count, String)| Spot {
        // An end that is not joined as the sizes now are does not say what it is of.
        material: (!end.is_empty()).then(|| material_of(&end).to_owned()),
        phase: count.phase,
        place: count.place,
    };
    ends.map(spot).collect()
}

/// Every size of every material that is joined anywhere.
fn keys_joined(context: &Context, counts: &[Count]) -> Vec<String> {
    let mut materials: Vec<String> = Vec::new();
    let mut keys: Vec<String> = Vec::new();
    let ends = counts.iter().flat_map(|count| &count.ends).map(|end| end.value().to_string());
    for end in ends.filter(|end| !end.is_empty()) {
        let material = material_of(&end).to_owned();
        if !materials.contains(&material) {
            keys.extend(context.rules.pipes_of(&material).iter().rev().map(crate::rules::Pipe::key));
            materials.push(material);
        }
        if !keys.contains(&end) {
            keys.push(end);
        }
    }
    keys
}

pub(super) fn material_of(pipe_key: &str) -> &str {
    pipe_key.rsplit_once(' ').map_or("", |(material, _)| material)
}
