//! The Cut plan sheet: for each stick and coil the pieces in order, with their runs, and what is left; and for each run
//! that it is covered.

use super::pipe::StockName;
use super::pipe::{Pipe, Source, feet as feet_of, run, spent_feet};
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
pub(super) struct Cuts {
    /// By pipe: what its units cost, and what of them is worth keeping.
    pub pipes: Vec<PipeCuts>,
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

pub(super) struct PipeCuts {
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

pub(super) fn put(book: &mut Book, context: &Context, pipes: &[Pipe]) -> Cuts {
    let sheet = context.page(Page::CutPlan);
    book.words(sheet, Look::Title, Page::CutPlan.name());
    book.words(sheet, Look::Words, WORDS);
    let pieces = Pieces::on_page(book, context);
    let units = Units::on_page(book, context);
    let runs = Runs::on_page(book, context);
    let mut cuts: Vec<PipeCuts> = Vec::new();
    // The cut of every piece, by pipe and run.
    let mut of_runs: Vec<Vec<Vec<Term>>> = Vec::new();
    for pipe in pipes {
        let mut of_run = vec![Vec::new(); pipe.runs.len()];
        let mut prices = Vec::new();
        let mut worths = Vec::new();
        for (n, cut) in pipe.plan.cuts.iter().enumerate() {
            let unit = pipe.unit_name(n);
            let rows: Vec<(RowId, Term)> = cut
                .pieces
                .iter()
                .enumerate()
                .map(|(at, piece)| {
                    let name = pipe.run_name(context, piece.run);
                    let row = book.row(pieces.table);
                    if at == 0 {
                        // A rule above each stick or coil.
                        book.mark(row, CellKind::Total);
                    }
                    book.label(row, pieces.name, &Pipe::piece_name(&unit, at, &name));
                    put_name(book, context, pipe, piece.run, (row, pieces.run));
                    let inches = (Decimal::from(piece.length) / Decimal::from(8)).normalize();
                    let length = book.choose_now(row, pieces.cut, Value::Exact(inches));
                    book.unit(&length, Unit::Inches);
                    book.put(row, pieces.cut_feet, &length / Term::number(12));
                    of_run[piece.run].push(length.clone());
                    (row, length)
                })
                .collect();
            let joined: Vec<bool> = cut.pieces.iter().map(|p| pieces_of(pipe, p.run) > 1).collect();
            let (price, worth) = put_unit(book, context, pipe, &unit, cut.stock, &pieces, &units, &rows, &joined);
            prices.push(price);
            worths.push(worth);
        }
        let all = |terms: &[Term]| Term::total(&terms.iter().collect::<Vec<_>>());
        let count: usize = pipe.plan.cuts.iter().map(|cut| cut.pieces.len()).sum();
        let covered = of_run.iter().filter(|pieces| !pieces.is_empty()).count();
        let joints = Term::number(count.saturating_sub(covered) as u64);
        cuts.push(PipeCuts { price: all(&prices), worth: all(&worths), joints });
        of_runs.push(of_run);
    }
    for (pipe, of_run) in pipes.iter().zip(&of_runs) {
        for (at, position) in pipe.runs.iter().enumerate() {
            put_run(book, context, pipe, at, *position, &of_run[at], &runs);
        }
    }
    Cuts {
        pipes: cuts,
        unit_item: book.whole(units.item),
        unit_offer: book.whole(units.offer),
        unit_feet: book.whole(units.feet),
        unit_worth: book.whole(units.worth),
        run_item: book.whole(runs.item),
        run_needs: book.whole(runs.needs),
        run_pieces: book.whole(runs.pieces),
        checks: vec![book.whole(pieces.check), book.whole(units.check), book.whole(runs.check)],
    }
}

/// How many pieces of a run a plan has.
fn pieces_of(pipe: &Pipe, run: usize) -> usize {
    pipe.plan.cuts.iter().flat_map(|cut| &cut.pieces).filter(|piece| piece.run == run).count()
}

/// A unit's row, and what is there before and left after each of its pieces. Gives its price and the worth of what is
/// left.
#[allow(clippy::too_many_arguments)]
fn put_unit(
    book: &mut Book,
    context: &Context,
    pipe: &Pipe,
    unit: &str,
    stock: usize,
    pieces: &Pieces,
    units: &Units,
    rows: &[(RowId, Term)],
    joined: &[bool],
) -> (Term, Term) {
    let source = pipe.sources[stock];
    let row = book.row(units.table);
    book.label(row, units.name, unit);
    book.label(row, units.item, &pipe.item.text());
    let from = &pipe.from[stock];
    let offer = book.choose_now(row, units.offer, Value::text(from.text.as_str()));
    let kerf = context.settings.get(Setting::SawKerf);
    let lengths: Vec<&Term> = rows.iter().map(|(_, length)| length).collect();
    let count: std::sync::Arc<str> = "pieces in this plan".into();
    let counted = book.state(row, units.pieces, Value::Exact(Decimal::from(rows.len())), &count);
    let cut = match (lengths.first(), rows.first(), rows.last()) {
        (Some(_), Some((first, _)), Some((last, _))) => {
            let column = book.stretch(pieces.cut, first.index, last.index);
            book.put(row, units.cut, Term::sum(&column))
        }
        _ => book.state(row, units.cut, Value::Exact(Decimal::ZERO), "nothing is cut from it"),
    };
    let begun = context.take_off.lines.iter().any(|line| line.item == pipe.item && !spent_feet(line).is_zero());
    let length = pipe.problem.stock.get(stock).filter(|_| begun).map(|stock| feet_of(stock.length));
    let (feet, price) = length_and_price(book, context, source, length, row, units, &cut);
    let inches = &feet * Term::number(12);
    let mut before = inches.clone();
    for (at, (row, length)) in rows.iter().enumerate() {
        before = book.put(*row, pieces.before, before);
        let after = (&before - length - &kerf).max(&Term::number(0));
        let after = book.put(*row, pieces.after, after);
        let fits = before.at_least(length).ok_or("does not fit");
        let shortest = context.settings.get(Setting::ShortestJoinedPiece);
        let verdict = match joined[at] {
            true => length.at_least(&shortest).pick(&fits, &Term::text("too short to join")),
            false => fits,
        };
        let verdict = book.put(*row, pieces.check, verdict);
        book.check_choice(length, &verdict);
        before = after;
    }
    let left = book.put(row, units.left, before);
    book.put(row, units.saw, &inches - &cut - &left);
    let keeps = left.at_least(&context.settings.get(Setting::UsableOffcut));
    let rest = left.above(&Term::number(0)).pick(&Term::text("scrap"), &Term::text("used up"));
    book.put(row, units.disposition, keeps.pick(&Term::text("keep"), &rest));
    let worth = match source {
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

/// How long a unit is, in feet, and what it costs.
fn length_and_price(
    book: &mut Book,
    context: &Context,
    source: Source,
    begun: Option<Decimal>,
    row: RowId,
    units: &Units,
    cut: &Term,
) -> (Term, Term) {
    match source {
        Source::OnHand(_) | Source::Bought(_) if begun.is_some() => {
            let of_it = begun.unwrap_or_default();
            let feet = book.state(row, units.feet, Value::Exact(of_it), "left of it by what is in already");
            (feet, book.state(row, units.price, Value::Exact(Decimal::ZERO), "there already"))
        }
        Source::Offer(index) => {
            let offer = &context.job.prices[index];
            let (feet, price) = (offer.pack.figure(book), offer.price.figure(book));
            let feet = put_either(book, row, units.feet, feet);
            (feet, put_either(book, row, units.price, price))
        }
        Source::ByFoot(index) => {
            let offer = &context.job.prices[index];
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
            let feet = context.job.on_hand[index].quantity.figure(book);
            let feet = put_either(book, row, units.feet, feet);
            (feet, book.state(row, units.price, Value::Exact(Decimal::ZERO), "on hand"))
        }
        Source::Bought(index) => {
            let offer = &context.job.prices[index];
            let pack = match offer.pack.value {
                Some(_) => offer.pack.figure(book),
                None => Term::number(1),
            };
            let feet = match offer.is_by_foot() {
                true => pack * offer.bought.figure(book),
                false => pack,
            };
            let feet = put_either(book, row, units.feet, feet);
            (feet, book.state(row, units.price, Value::Exact(Decimal::ZERO), "bought already"))
        }
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

fn put_run(book: &mut Book, context: &Context, pipe: &Pipe, at: usize, position: usize, cuts: &[Term], runs: &Runs) {
    let row = book.row(runs.table);
    put_name(book, context, pipe, at, (row, runs.run));
    let line = book.label(row, runs.item, &pipe.item.text());
    if pipe.is_nipples(at) {
        let words = pipe.item.text();
        book.label(row, runs.now, words.strip_prefix("pipe ").unwrap_or(&words));
        let needs = book.put(row, runs.needs, nipples::inches(context, &line, pipe.water));
        return put_covered(book, pipe, at, row, None, &needs, cuts, runs);
    }
    let now = book.put(row, runs.now, run(context, position).pipe.clone());
    let length = run(context, position).length.clone();
    let tail = context.settings.get(Setting::TailAllowance);
    // To the eighth of an inch, the tails of both ends included.
    let exact = (&length * Term::number(96) + tail * Term::number(16)).round(0) / Term::number(8);
    let needs = book.put(row, runs.needs, length.above(&Term::number(0)).pick(&exact, &Term::number(0)));
    put_covered(book, pipe, at, row, Some(&now), &needs, cuts, runs);
}

/// What is cut for a run, and whether that does. `now` is its pipe as the sizes now are; of nipples there is none.
#[allow(clippy::too_many_arguments)]
fn put_covered(
    book: &mut Book,
    pipe: &Pipe,
    at: usize,
    row: RowId,
    now: Option<&Term>,
    needs: &Term,
    cuts: &[Term],
    runs: &Runs,
) {
    let lengths: Vec<&Term> = cuts.iter().collect();
    let nothing: std::sync::Arc<str> = "in this plan".into();
    let cut = match lengths.is_empty() {
        true => book.state(row, runs.cut, Value::Exact(Decimal::ZERO), &nothing),
        false => book.put(row, runs.cut, Term::total(&lengths)),
    };
    book.state(row, runs.pieces, Value::Exact(Decimal::from(cuts.len())), &nothing);
    let key = pipe.item.text();
    let key = Term::text(key.strip_prefix("pipe ").unwrap_or(&key).to_owned());
    let whole = !pipe.problem.runs[at].joints && cuts.len() > 1;
    let covered = cut.above(needs).flag("cut too long");
    let covered = cut.at_least(needs).pick(&covered, &Term::text("not covered"));
    let kept = if whole { Term::text("must be one piece") } else { covered };
    let verdict = match now {
        Some(now) => now.same(&key).pick(&kept, &Term::text("other pipe now")),
        None => kept,
    };
    book.put(row, runs.check, verdict);
}
