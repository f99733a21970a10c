//! Line by line: what is needed, on hand, bought, left over, and what that is worth.

use super::cut_sheet::{Cuts, PipeCuts, put_either};
use super::pipe::Pipe;
use super::{Context, LineBought, PackBought};
use crate::figure::{Book, CellKind, Column, RowId, Term, Value};
use crate::parts::ring_kind;
use crate::sheets::Page;
use crate::table::{List, columns};
use crate::takeoff::Line;
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::sync::Arc;

columns! {
    struct Columns(some_bought: bool) on Buying("Line by line") {
        line: "Line", words 44;
        unit: "Unit", words;
        bid: "In the bid", quiet Quantity;
        joined: "For joints in cut runs", quiet Quantity;
        needed: "Needed", Quantity;
        share: "Spare share", quiet Percent;
        spares: "Spares", Quantity;
        on_hand: if some_bought { "On hand, or bought already" } else { "On hand" }, Quantity;
        to_get: "To get", Quantity;
        bought: "Bought", Quantity;
        cost: "Cost", Money;
        left: "Left over", Quantity;
        worth: "Left-over worth", Money;
        check: "Check", check 18;
    }
}

/// The table of lines.
pub(super) struct Lines<'a> {
    context: &'a Context<'a>,
    columns: Columns,
}

/// What is to be got, by line of the take-off.
pub(super) struct Needs {
    pub lines: Vec<LineNeed>,
}

pub(super) struct LineNeed {
    /// Index into the take-off's lines.
    pub line: usize,
    row: RowId,
    /// Needed and spares.
    wanted: Term,
    on_hand: Term,
    pub to_get: Term,
}

/// Couplings, or the rings on them, for the pieces that runs are cut in; live. `None` where no run is cut.
fn joined(context: &Context, line: &Line, cuts: &Cuts) -> Option<Term> {
    let each: u32 = match line.item.kind.as_str() {
        "coupling" => 1,
        kind if ring_kind(context.job, &line.item.material) == Some(kind) => 2,
        _ => return None,
    };
    let of_it = |pipe: &&Pipe| pipe.item.material == line.item.material && pipe.item.sizes == line.item.sizes;
    let is_joined = |cut: &&PipeCuts| of_it(&cut.pipe) && cut.joints.value().as_f64() > 0.0;
    let pipe = cuts.pipes.iter().find(is_joined)?.pipe;
    let key = Term::text(pipe.item.text());
    let pieces = Term::sum_where(&cuts.run_pieces, &[(&cuts.run_item, &key)]);
    let joints = (pieces - Term::count_where(&[(&cuts.run_item, &key)])).max(&Term::number(0));
    Some(if each == 1 { joints } else { joints * Term::number(each) })
}

impl<'a> Lines<'a> {
    pub(crate) fn new(book: &mut Book, context: &'a Context<'a>) -> Self {
        let some_bought = context.take_off.lines.iter().any(|line| line.bought.is_some());
        Self { context, columns: Columns::on_page(book, context, some_bought) }
    }

    /// The lines that anything is needed of. Pipe needs what its runs need, tails included; the bid adds its waste, and
    /// its own spares to rings.
    pub(crate) fn needs(&self, book: &mut Book, cuts: &Cuts) -> Needs {
        let (context, columns) = (self.context, &self.columns);
        let mut lines = Vec::new();
        for (index, line) in context.take_off.lines.iter().enumerate() {
            // Where a run is cut in pieces, what joins them is needed beside what the take-off counts.
            let joined = joined(context, line, cuts);
            if line.idle && joined.is_none() {
                continue;
            }
            let row = book.row(columns.table);
            book.put(row, columns.line, line.key.clone());
            book.label(row, columns.unit, if line.feet { "ft" } else { "each" });
            let in_bid = book.put(row, columns.bid, line.needed.clone());
            let piped = cuts.pipes.iter().any(|cut| cut.pipe.item == line.item);
            let needed = match piped {
                true => Term::sum_where(&cuts.run_needs, &[(&cuts.run_item, &line.key)]) / Term::number(12),
                false => line.counted.clone(),
            };
            // What is in already is needed no more, nor is what it was made of still there. The cuts leave it out.
            let needed = match &line.in_already {
                Some(is_in) if !piped => (needed - is_in).max(&Term::number(0)),
                _ => needed,
            };
            let joined = joined.map(|joined| book.put(row, columns.joined, joined));
            let needed = joined.as_ref().map_or(needed.clone(), |joined| needed + joined);
            let needed = book.put(row, columns.needed, needed);
            let mut count = vec![in_bid, needed.clone()];
            count.extend(joined);
            let mut wanted = needed.clone();
            if let Some(spare) = context.rules.spare(&line.item.kind) {
                let source = spare.origin.words();
                let share = book.rule(row, columns.share, Value::Exact(spare.share), &source);
                let spares = book.put(row, columns.spares, (&needed * share).whole_up());
                wanted = wanted + &spares;
                count.push(spares);
            }
            let there = line.bought.as_ref().map_or_else(|| line.on_hand.clone(), |bought| &line.on_hand + bought);
            let there = match &line.in_already {
                Some(is_in) => (there - is_in).max(&Term::number(0)),
                None => there,
            };
            let on_hand = put_either(book, row, columns.on_hand, there);
            let to_get = (&wanted - &on_hand).max(&Term::number(0));
            let to_get = book.put(row, columns.to_get, if line.feet { to_get } else { to_get.whole_up() });
            count.extend([on_hand.clone(), to_get.clone()]);
            let unit = if line.feet { Unit::Feet } else { Unit::Each };
            count.iter().for_each(|term| book.unit(term, unit));
            lines.push(LineNeed { line: index, row, wanted, on_hand, to_get });
        }
        Needs { lines }
    }

    /// What is bought and left over of each line; gives the cost of all, the worth of all that is left, and the lines.
    pub(crate) fn finish(
        &self,
        book: &mut Book,
        needs: &Needs,
        bought: &Bought,
        cuts: &Cuts,
    ) -> (Term, Term, Vec<LineBought>) {
        let (context, columns) = (self.context, &self.columns);
        let zero = Term::number(0);
        let mut all = Vec::new();
        for need in &needs.lines {
            let line = &context.take_off.lines[need.line];
            let of = |column: &Column| Term::sum_where(column, &[(&bought.line, &line.key)]);
            let nothing: Arc<str> = "nobody offers it".into();
            let offered = bought.packs.iter().any(|pack| pack.line == need.line);
            let (got, cost) = match offered {
                true => (
                    book.put(need.row, columns.bought, of(&bought.holds)),
                    book.put(need.row, columns.cost, of(&bought.cost)),
                ),
                false => (
                    book.state(need.row, columns.bought, Value::Exact(Decimal::ZERO), &nothing),
                    book.state(need.row, columns.cost, Value::Exact(Decimal::ZERO), &nothing),
                ),
            };
            let there = &need.on_hand + &got;
            let left = book.put(need.row, columns.left, &there - &need.wanted);
            let piped = cuts.pipes.iter().any(|cut| cut.pipe.item == line.item);
            match (piped, offered) {
                (true, _) => {
                    let worth = Term::sum_where(&cuts.unit_worth, &[(&cuts.unit_item, &line.key)]).cents();
                    book.put(need.row, columns.worth, worth);
                }
                (false, true) => {
                    // At what it cost; of what was on hand before, nothing.
                    let back = left.min(&got).max(&zero) * &cost / &got;
                    let worth = got.above(&zero).pick(&back, &zero).cents();
                    book.put(need.row, columns.worth, worth);
                }
                (false, false) => {}
            }
            let verdict = there.at_least(&need.wanted).ok_or(if offered { "short" } else { "no offer" });
            book.put(need.row, columns.check, verdict);
            let unit = if line.feet { Unit::Feet } else { Unit::Each };
            book.unit(&got, unit);
            book.unit(&left, unit);
            all.push(LineBought {
                line: need.line,
                wanted: need.wanted.clone(),
                on_hand: need.on_hand.clone(),
                to_get: need.to_get.clone(),
                bought: got,
                left,
            });
        }
        let (costs, worths) = (book.whole(columns.cost), book.whole(columns.worth));
        let list = List::put(book, context.page(Page::Buying), "", [44.0, 0.0], Unit::Money);
        let mut put = |label: &str, column: &Column| {
            let row = list.label(book, label);
            book.mark(row, CellKind::Total);
            match column.values().is_empty() {
                true => book.state(row, list.value, Value::Exact(Decimal::ZERO), "nothing is bought"),
                false => book.put(row, list.value, Term::sum(column).cents()),
            }
        };
        let cost = put("What all packs, sticks and coils cost", &costs);
        (cost, put("Worth of what is left over", &worths), all)
    }

    pub(crate) fn checks(&self, book: &mut Book) -> Vec<Column> {
        vec![book.whole(self.columns.check)]
    }
}

/// What is ordered.
pub(super) struct Bought {
    pub packs: Vec<PackBought>,
    /// Columns over all packs.
    pub line: Column,
    pub holds: Column,
    pub cost: Column,
    pub supplier: Column,
    pub tax: Column,
    pub checks: Vec<Column>,
}
