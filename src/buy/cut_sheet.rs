//! The Cut plan sheet: for each stick and coil the pieces in order, with their runs, and what is left; and for each run
//! that it is covered.

use super::cutting::Piece;
use super::pipe::{Pipe, Source, StockName, feet as feet_of, run, spent_feet};
use super::{Context, nipples};
use crate::choice::Choice;
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, CellKind, Column, ColumnId, Expr, Look, RowId, Term, Value};
use crate::model::Setting;
use crate::sheets::Page;
use crate::table::columns;
use crate::unit::Unit;
use rust_decimal::Decimal;

/// The figures of the sheet that others build on.
pub(super) struct Cuts<'p> {
    pub pipes: Vec<PipeCuts<'p>>,
    /// Columns over all units: pipe's item, choice of offer, feet, worth of what is left.
    pub unit_item: Column,
    pub unit_offer: Column,
    pub unit_feet: Column,
    pub unit_worth: Column,
    /// Over all runs: pipe's item, inches needed.
    pub run_item: Column,
    pub run_needs: Column,
    pub run_pieces: Column,
    pub checks: Vec<Column>,
}

/// What the units of a pipe cost, and what of them is worth keeping.
pub(super) struct PipeCuts<'p> {
    pub pipe: &'p Pipe,
    pub price: Term,
    pub worth: Term,
    pub joints: Term,
}

columns! {
    struct Pieces on CutPlan("Pieces, in the order they are cut") {
        name: "Piece", words 34;
        run: "Run", words 14;
        cut: Choice::Cut.heading(), words;
        cut_feet: "The same", Feet;
        before: "There before", quiet Inches;
        after: "Left after it", Inches;
        check: "Check", check 18;
    }
}

columns! {
    struct Units on CutPlan("Sticks and coils") {
        name: "Stick or coil", words 34;
        item: "Line", words 24;
        offer: Choice::Unit.heading(), words 28;
        feet: "Length", Feet;
        pieces: "Pieces", words;
        cut: "Cut", Inches;
        saw: "Saw", Inches;
        left: "Left", Inches;
        disposition: "Keep or scrap", words;
        price: "Price", Money;
        worth: "Left-over worth", Money;
        check: "Check", check 18;
    }
}

columns! {
    struct Runs on CutPlan("Runs, each covered once") {
        run: "Run", words 34;
        item: "Line", words 24;
        now: "Pipe now", words 14;
        needs: "Needs", Inches;
        cut: "Cut", Inches;
        pieces: "Pieces", words;
        check: "Check", check 18;
    }
}

const WORDS: &str = "Cut each stick and coil from its end, the pieces in this order. Lengths include the tail at both ends of \
     a run. A run of several pieces is joined end to end, in any order. Nipples between fittings are cut out of one length.";

pub(super) fn put<'p>(book: &mut Book, context: &Context, pipes: &'p [Pipe]) -> Cuts<'p> {
    let page = context.page(Page::CutPlan);
    book.words(page, Look::Title, Page::CutPlan.name());
    book.words(page, Look::Words, WORDS);
    let pieces = Pieces::on_page(book, context);
    let units = Units::on_page(book, context);
    let runs = Runs::on_page(book, context);
    let sheet = CutPlan { context, pieces, units, runs };
    let mut cuts: Vec<PipeCuts> = Vec::new();
    let mut of_runs: Vec<Vec<Vec<Term>>> = Vec::new();
    for pipe in pipes {
        let (cut, of_run) = sheet.put_units(book, pipe);
        cuts.push(cut);
        of_runs.push(of_run);
    }
    for (pipe, of_run) in pipes.iter().zip(&of_runs) {
        for (at, cuts) in of_run.iter().enumerate() {
            sheet.put_run(book, pipe, at, cuts);
        }
    }
    Cuts {
        pipes: cuts,
        unit_item: book.whole(sheet.units.item),
        unit_offer: book.whole(sheet.units.offer),
        unit_feet: book.whole(sheet.units.feet),
        unit_worth: book.whole(sheet.units.worth),
        run_item: book.whole(sheet.runs.item),
        run_needs: book.whole(sheet.runs.needs),
        run_pieces: book.whole(sheet.runs.pieces),
        checks: vec![book.whole(sheet.pieces.check), book.whole(sheet.units.check), book.whole(sheet.runs.check)],
    }
}

/// How many pieces of a run a plan has.
fn pieces_of(pipe: &Pipe, run: usize) -> usize {
    pipe.plan.cuts.iter().flat_map(|cut| &cut.pieces).filter(|piece| piece.run == run).count()
}

struct CutPlan<'a> {
    context: &'a Context<'a>,
    pieces: Pieces,
    units: Units,
    runs: Runs,
}

/// A piece of a unit: its row, its length in inches, and whether it is one of several of its run.
struct PieceRow {
    row: RowId,
    length: Term,
    joined: bool,
}

/// A unit's row, and its pieces.
struct UnitRow<'a> {
    sheet: &'a CutPlan<'a>,
    pipe: &'a Pipe,
    /// Index of the stock it is of.
    stock: usize,
    row: RowId,
    pieces: Vec<PieceRow>,
}

impl CutPlan<'_> {
    /// The units of a pipe; gives with them the cut of every piece, by run.
    fn put_units<'p>(&self, book: &mut Book, pipe: &'p Pipe) -> (PipeCuts<'p>, Vec<Vec<Term>>) {
        let mut of_run = vec![Vec::new(); pipe.runs.len()];
        let (mut prices, mut worths) = (Vec::new(), Vec::new());
        for (n, cut) in pipe.plan.cuts.iter().enumerate() {
            let name = pipe.unit_name(n);
            let pieces = self.put_pieces(book, pipe, &name, &cut.pieces);
            for (piece, put) in cut.pieces.iter().zip(&pieces) {
                of_run[piece.run].push(put.length.clone());
            }
            let row = book.row(self.units.table);
            let unit = UnitRow { sheet: self, pipe, stock: cut.stock, row, pieces };
            let (price, worth) = unit.put(book, &name);
            prices.push(price);
            worths.push(worth);
        }
        let all = |terms: &[Term]| Term::total(&terms.iter().collect::<Vec<_>>());
        let count: usize = pipe.plan.cuts.iter().map(|cut| cut.pieces.len()).sum();
        let covered = of_run.iter().filter(|pieces| !pieces.is_empty()).count();
        let joints = Term::number(count.saturating_sub(covered) as u64);
        (PipeCuts { pipe, price: all(&prices), worth: all(&worths), joints }, of_run)
    }

    /// The rows of a unit's pieces, in the order they are cut.
    fn put_pieces(&self, book: &mut Book, pipe: &Pipe, unit: &str, cut: &[Piece]) -> Vec<PieceRow> {
        let mut rows = Vec::new();
        for (at, piece) in cut.iter().enumerate() {
            let row = book.row(self.pieces.table);
            if at == 0 {
                // A rule above each stick or coil.
                book.mark(row, CellKind::Total);
            }
            let run = pipe.run_name(self.context, piece.run);
            book.label(row, self.pieces.name, &Pipe::piece_name(unit, at, &run));
            put_name(book, self.context, pipe, piece.run, (row, self.pieces.run));
            let inches = (Decimal::from(piece.length) / Decimal::from(8)).normalize();
            let length = book.choose_now(row, self.pieces.cut, Value::Exact(inches));
            book.unit(&length, Unit::Inches);
            book.put(row, self.pieces.cut_feet, &length / Term::number(12));
            rows.push(PieceRow { row, length, joined: pieces_of(pipe, piece.run) > 1 });
        }
        rows
    }

    /// A run, and what is cut for it.
    fn put_run(&self, book: &mut Book, pipe: &Pipe, at: usize, cuts: &[Term]) {
        let (context, runs) = (self.context, &self.runs);
        let row = book.row(runs.table);
        put_name(book, context, pipe, at, (row, runs.run));
        let line = book.label(row, runs.item, &pipe.item.text());
        let words = pipe.item.text();
        let pipe_key = words.strip_prefix("pipe ").unwrap_or(&words);
        let (now, needs) = if pipe.is_nipples(at) {
            book.label(row, runs.now, pipe_key);
            (None, nipples::inches(context, &line, pipe.water))
        } else {
            let run = run(context, pipe.runs[at]);
            let now = book.put(row, runs.now, run.pipe.clone());
            let length = run.length.clone();
            let tail = context.settings.get(Setting::TailAllowance);
            // To the eighth of an inch, the tails of both ends included.
            let exact = (&length * Term::number(96) + tail * Term::number(16)).round(0) / Term::number(8);
            (Some(now), length.above(&Term::number(0)).pick(&exact, &Term::number(0)))
        };
        let needs = book.put(row, runs.needs, needs);
        let cut = match cuts.is_empty() {
            true => book.state(row, runs.cut, Value::Exact(Decimal::ZERO), "in this plan"),
            false => book.put(row, runs.cut, Term::total(&cuts.iter().collect::<Vec<_>>())),
        };
        book.state(row, runs.pieces, Value::Exact(Decimal::from(cuts.len())), "in this plan");
        let whole = !pipe.problem.runs[at].joints && cuts.len() > 1;
        let covered = cut.above(&needs).flag("cut too long");
        let covered = cut.at_least(&needs).pick(&covered, &Term::text("not covered"));
        let kept = if whole { Term::text("must be one piece") } else { covered };
        let verdict = match now {
            // The pipe may have another size now; of nipples there is none.
            Some(now) => now.same(&Term::text(pipe_key)).pick(&kept, &Term::text("other pipe now")),
            None => kept,
        };
        book.put(row, runs.check, verdict);
    }
}

impl UnitRow<'_> {
    /// Gives its price and the worth of what is left.
    fn put(&self, book: &mut Book, name: &str) -> (Term, Term) {
        let (units, context, row) = (&self.sheet.units, self.sheet.context, self.row);
        book.label(row, units.name, name);
        book.label(row, units.item, &self.pipe.item.text());
        let from = &self.pipe.from[self.stock];
        let offer = book.choose_now(row, units.offer, Value::text(from.text.as_str()));
        let kerf = context.settings.get(Setting::SawKerf);
        let count = Value::Exact(Decimal::from(self.pieces.len()));
        let counted = book.state(row, units.pieces, count, "pieces in this plan");
        let cut = match (self.pieces.first(), self.pieces.last()) {
            (Some(first), Some(last)) => {
                let column = book.stretch(self.sheet.pieces.cut, first.row.index, last.row.index);
                book.put(row, units.cut, Term::sum(&column))
            }
            _ => book.state(row, units.cut, Value::Exact(Decimal::ZERO), "nothing is cut from it"),
        };
        let (feet, price) = self.length_and_price(book, &cut);
        let inches = &feet * Term::number(12);
        let left = self.cut_pieces(book, &inches, &kerf);
        let left = book.put(row, units.left, left);
        book.put(row, units.saw, &inches - &cut - &left);
        let keeps = left.at_least(&context.settings.get(Setting::UsableOffcut));
        let rest = left.above(&Term::number(0)).pick(&Term::text("scrap"), &Term::text("used up"));
        book.put(row, units.disposition, keeps.pick(&Term::text("keep"), &rest));
        let worth = match self.pipe.sources[self.stock] {
            Source::Offer(_) => {
                let share = context.settings.get(Setting::LeftoverWorth);
                let whole = &price * share * &left / (&feet * Term::number(12));
                book.put(row, units.worth, keeps.pick(&whole, &Term::number(0)).round(3))
            }
            Source::ByFoot(_) | Source::OnHand(_) | Source::Bought(_) => {
                book.state(row, units.worth, Value::Exact(Decimal::ZERO), "not counted")
            }
        };
        let spent = &cut + &kerf * (&counted - Term::number(1));
        let verdict = (&feet * Term::number(12)).at_least(&spent).ok_or("too short");
        let verdict = still_chosen(book, context, from, &offer).pick(&verdict, &Term::text(PRICE_AGAIN));
        let verdict = book.put(row, units.check, verdict);
        book.check_choice(&offer, &verdict);
        (price, worth)
    }

    /// What is there before and left after each of its pieces; gives what is left at the end, inches.
    fn cut_pieces(&self, book: &mut Book, inches: &Term, kerf: &Term) -> Term {
        let pieces = &self.sheet.pieces;
        let shortest = self.sheet.context.settings.get(Setting::ShortestJoinedPiece);
        let mut before = inches.clone();
        for PieceRow { row, length, joined } in &self.pieces {
            before = book.put(*row, pieces.before, before);
            let after = (&before - length - kerf).max(&Term::number(0));
            let after = book.put(*row, pieces.after, after);
            let fits = before.at_least(length).ok_or("does not fit");
            let verdict = match joined {
                true => length.at_least(&shortest).pick(&fits, &Term::text("too short to join")),
                false => fits,
            };
            let verdict = book.put(*row, pieces.check, verdict);
            book.check_choice(length, &verdict);
            before = after;
        }
        before
    }

    /// How long it is, in feet, and what it costs.
    fn length_and_price(&self, book: &mut Book, cut: &Term) -> (Term, Term) {
        let (units, row, job) = (&self.sheet.units, self.row, self.sheet.context.job);
        let none = Value::Exact(Decimal::ZERO);
        let lines = &self.sheet.context.take_off.lines;
        let begun = lines.iter().any(|line| line.item == self.pipe.item && !spent_feet(line).is_zero());
        let begun = self.pipe.problem.stock.get(self.stock).filter(|_| begun).map(|stock| feet_of(stock.length));
        match self.pipe.sources[self.stock] {
            Source::OnHand(_) | Source::Bought(_) if begun.is_some() => {
                let of_it = begun.unwrap_or_default();
                let feet = book.state(row, units.feet, Value::Exact(of_it), "left of it by what is in already");
                (feet, book.state(row, units.price, none, "there already"))
            }
            Source::Offer(index) => {
                let offer = &job.prices[index];
                let (feet, price) = (offer.pack.figure(book), offer.price.figure(book));
                let feet = put_either(book, row, units.feet, feet);
                (feet, put_either(book, row, units.price, price))
            }
            Source::ByFoot(index) => {
                let offer = &job.prices[index];
                let price = offer.price.figure(book);
                // So many whole feet, or packs of feet, as the pieces need.
                let feet = match offer.pack.value.filter(|pack| *pack > Decimal::ZERO) {
                    Some(_) => {
                        let pack = offer.pack.figure(book);
                        (cut / &(&pack * Term::number(12))).whole_up() * pack
                    }
                    None => (cut / &Term::number(12)).whole_up(),
                };
                let feet = book.put(row, units.feet, feet);
                let packs = match offer.pack.value.filter(|pack| *pack > Decimal::ZERO) {
                    Some(_) => &feet / &offer.pack.figure(book),
                    None => feet.clone(),
                };
                let price = book.put(row, units.price, packs * price);
                (feet, price)
            }
            Source::OnHand(index) => {
                let feet = job.on_hand[index].quantity.figure(book);
                let feet = put_either(book, row, units.feet, feet);
                (feet, book.state(row, units.price, none, "on hand"))
            }
            Source::Bought(index) => {
                let offer = &job.prices[index];
                let pack = match offer.pack.value {
                    Some(_) => offer.pack.figure(book),
                    None => Term::number(1),
                };
                let feet = match offer.is_by_foot() {
                    true => pack * offer.bought.figure(book),
                    false => pack,
                };
                let feet = put_either(book, row, units.feet, feet);
                (feet, book.state(row, units.price, none, "bought already"))
            }
        }
    }
}

/// Whether the choice is what the unit was planned on, and its row of Prices still goes by that name.
fn still_chosen(book: &mut Book, context: &Context, from: &StockName, choice: &Term) -> Term {
    let same = choice.same(&Term::text(from.text.as_str()));
    let Some((row, name)) = &from.offer else { return same };
    let live = name.live(book, &context.job.prices[*row]);
    match live.expr() {
        Expr::Const(_) => same,
        _ => same.and(&live.same(&Term::text(name.text()))),
    }
}

/// A number that no cell holds is written as a number.
pub(super) fn put_either(book: &mut Book, row: RowId, column: ColumnId, term: Term) -> Term {
    book.put_or_state(row, column, term, "as the job says")
}

/// The name of a run: its cell.
fn put_name(book: &mut Book, context: &Context, pipe: &Pipe, at: usize, (row, column): (RowId, ColumnId)) {
    if pipe.is_nipples(at) {
        book.label(row, column, &pipe.run_name(context, at));
        return;
    }
    let name = &run(context, pipe.runs[at]).name;
    let words = name.figure(book);
    book.put(row, column, words);
}
