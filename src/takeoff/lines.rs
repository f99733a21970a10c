//! The lines of the take-off: sums over the Counts sheet by item and phase, waste and spares, what is on hand, and where
//! each comes from.

use super::counts::CountColumns;
use super::installed::InAlready;
use super::items::items;
use super::{Context, Item, bought, fits};
use crate::figure::{Book, CellKind, ColumnId, RowId, Term};
use crate::model::{OnHand, Phase, Setting};
use crate::parts::{Count, counted_from, is_ring};
use crate::place::Place;
use crate::rules::{Listing, Spare};
use crate::sheets::Page;
use crate::table::columns;
use crate::unit::Unit;

/// One line: so much of one thing.
#[derive(Debug)]
pub struct Line {
    /// What it is.
    pub item: Item,
    /// The line's name: the item's key.
    pub key: Term,
    /// True for feet, false for pieces.
    pub feet: bool,
    /// What each phase needs, waste included; `None` where no piece of any phase's could fall on the line.
    pub by_phase: [Option<Term>; 4],
    /// All phases together.
    pub needed: Term,
    /// In feet or pieces.
    pub on_hand: Term,
    /// What is bought already, in feet or pieces; `None` where nobody has bought anything yet.
    pub bought: Option<Term>,
    /// The rows of Prices (indices) that it was bought by.
    pub bought_by: Vec<usize>,
    /// What is in already, waste and spares included; `None` where nothing of it is.
    pub in_already: Option<Term>,
    /// Needed less what is on hand or bought, or less what is in already where that is more; never under 0.
    pub to_buy: Term,
    /// All phases together, without waste and spares.
    pub counted: Term,
    /// The runs, fixtures and devices it is needed for, live as far as words can be.
    pub places: Term,
    /// The cell of the first run, fixture or device that it is needed for.
    pub first: Option<Place>,
    /// Nothing of it is needed at the sizes as they now are.
    pub idle: bool,
}

/// The lines, and what is known once all stand.
pub(super) struct Summed {
    pub lines: Vec<Line>,
    pub pipe_phases: Vec<Phase>,
    pub waste_off: Option<Term>,
}

columns! {
    struct Columns(bought: bool, in_already: bool) on TakeOff("What the job needs") {
        line: "Line", words 36;
        unit: "Unit", words;
        phases as [ColumnId; 4]: Phase::ALL.map(Phase::title), Quantity;
        waste: "Waste, spares", Percent;
        needed: "Needed", Quantity;
        on_hand: "On hand", Quantity;
        bought as Option<ColumnId>: bought.then_some("Bought"), Quantity;
        in_already as Option<ColumnId>: in_already.then_some("In already"), Quantity;
        to_buy: "To buy", Quantity;
        places: "Where", quiet words 44;
    }
}

pub(super) fn lines(book: &mut Book, context: &Context, columns: &CountColumns) -> Summed {
    let counts = &context.parts.counts;
    let (needed, idle) = items(context);
    let in_phase = |wanted: &dyn Fn(&Count) -> bool| -> Vec<Phase> {
        let found = |phase: &Phase| counts.iter().any(|count| count.phase == *phase && wanted(count));
        Phase::ALL.into_iter().filter(found).collect()
    };
    let pipe_phases = in_phase(&|count| count.item.kind == "pipe");
    let sized_phases = in_phase(&|count| count.item.is_sized());
    let bought = bought::by_line(context, &needed.iter().chain(&idle).collect::<Vec<_>>());
    let is_in = InAlready::new(book, context, columns);
    let table_columns = Columns::on_page(book, context, bought.iter().any(|rows| !rows.is_empty()), is_in.is_some());
    let mut lines = Vec::new();
    let mut waste_allowance = Listing::new(context, "Spares");
    let mut shares: Vec<(Term, u32)> = Vec::new();
    let all: Vec<Item> = needed.iter().chain(&idle).cloned().collect();
    let items = needed.into_iter().map(|i| (i, false)).chain(idle.into_iter().map(|i| (i, true)));
    for ((item, is_idle), bought_by) in items.zip(bought) {
        let row = book.row(table_columns.table);
        if is_idle {
            book.mark(row, CellKind::Idle);
        }
        let mut maker = Maker {
            context,
            counts,
            items: &all,
            sums: columns,
            columns: &table_columns,
            sized_phases: &sized_phases,
            is_in: is_in.as_ref(),
            waste_allowance: &mut waste_allowance,
            shares: &mut shares,
        };
        lines.push(maker.line(book, row, item, is_idle, bought_by));
    }
    if lines.iter().any(|line| line.idle) {
        book.words(context.page(Page::TakeOff), crate::figure::Look::Small, crate::parts::FOLDED);
    }
    let waste_off = (!shares.is_empty()).then(|| {
        let there = Term::sum(&book.whole(table_columns.waste));
        let belong = shares.iter().map(|(share, times)| share * &Term::number(*times));
        (there - belong.reduce(|sum, share| sum + share).unwrap_or_else(|| Term::number(0))).round(6)
    });
    Summed { lines, pipe_phases, waste_off }
}

struct Maker<'a, 'b> {
    context: &'a Context<'b>,
    counts: &'a [Count],
    /// Of all lines in their order.
    items: &'a [Item],
    sums: &'a CountColumns,
    columns: &'a Columns,
    /// Phases in which anything is needed whose size may change.
    sized_phases: &'a [Phase],
    is_in: Option<&'a InAlready>,
    /// What is bought beyond the need of small parts: one share for a kind, whatever its sizes.
    waste_allowance: &'a mut Listing<Spare>,
    /// Every share of waste or spares, and on how many lines it stands.
    shares: &'a mut Vec<(Term, u32)>,
}

impl Maker<'_, '_> {
    fn line(&mut self, book: &mut Book, row: RowId, item: Item, idle: bool, bought_by: Vec<usize>) -> Line {
        let (context, columns) = (self.context, self.columns);
        let feet = item.is_feet();
        let key = book.label(row, columns.line, &item.text());
        book.label(row, columns.unit, if feet { "ft" } else { "each" });
        let more = match context.rules.spare(&item.kind).filter(|_| is_ring(&item)) {
            _ if item.kind == "pipe" => Some(context.settings.get(Setting::Waste)),
            Some(spare) => Some(self.waste_allowance.row(book, spare).share),
            None => None,
        };
        let more = more.map(|share| {
            match self.shares.iter_mut().find(|(known, _)| known.fig() == share.fig()) {
                Some((_, times)) => *times += 1,
                None => self.shares.push((share.clone(), 1)),
            }
            book.put(row, columns.waste, share)
        });
        let mut by_phase: [Option<Term>; 4] = Default::default();
        let mut counted = Vec::new();
        let mut in_already = Vec::new();
        let with_more = |quantity: Term| match &more {
            // Feet are bought with their waste, to the hundredth of a foot; rings with their spares, whole.
            Some(waste) if feet => (quantity * (Term::number(1) + waste)).round(2),
            Some(waste_allowance) => (quantity * (Term::number(1) + waste_allowance)).whole_up(),
            None => quantity,
        };
        for phase in Phase::ALL {
            let Some(quantity) = self.quantity(&item, &key, phase) else { continue };
            counted.push(quantity.clone());
            in_already
                .extend(self.is_in.and_then(|is_in| is_in.of(book, (self.counts, self.sums), &item, phase, with_more)));
            let quantity = with_more(quantity);
            by_phase[phase as usize] = Some(book.put(row, columns.phases[phase as usize], quantity));
        }
        let present: Vec<&Term> = by_phase.iter().flatten().collect();
        let count_unit = if feet { Unit::Feet } else { Unit::Each };
        present.iter().for_each(|term| book.unit(term, count_unit));
        let needed = book.put(row, columns.needed, Term::total(&present));
        let stock = self.stock(book, &item);
        let stock: Vec<&Term> = stock.iter().collect();
        let on_hand = match stock.is_empty() {
            true => Term::number(0),
            false => book.put(row, columns.on_hand, Term::total(&stock)),
        };
        let bought = match (bought::quantity(book, context, &bought_by), columns.bought) {
            (Some(quantity), Some(column)) => Some(book.put(row, column, quantity)),
            _ => None,
        };
        let column = columns.in_already.filter(|_| !in_already.is_empty());
        let in_already =
            column.map(|column| book.put(row, column, Term::total(&in_already.iter().collect::<Vec<_>>())));
        let have: Vec<&Term> = (!stock.is_empty()).then_some(&on_hand).into_iter().chain(&bought).collect();
        let zero = Term::number(0);
        let to_buy = match (&in_already, have.is_empty()) {
            (None, true) => needed.clone(),
            (None, false) => have.iter().fold(needed.clone(), |left, have| left - *have).max(&zero),
            (Some(is_in), true) => (&needed - is_in).max(&zero),
            // What is in came out of what was on hand or bought, as far as that went.
            (Some(is_in), false) => (&needed - Term::total(&have).max(is_in)).max(&zero),
        };
        let to_buy = book.put(row, columns.to_buy, to_buy);
        [&needed, &on_hand, &to_buy]
            .into_iter()
            .chain(&bought)
            .chain(&in_already)
            .for_each(|term| book.unit(term, count_unit));
        let counted = match &more {
            Some(_) => Term::total(&counted.iter().collect::<Vec<_>>()),
            None => needed.clone(),
        };
        let places = book.put(row, columns.places, self.places(&item, &needed));
        let first = self.counted_for(&item).first().map(|count| count.origin.place.clone());
        Line {
            item,
            key,
            feet,
            by_phase,
            needed,
            on_hand,
            bought,
            bought_by,
            in_already,
            to_buy,
            counted,
            places,
            first,
            idle,
        }
    }

    /// What a phase needs before waste and spares; `None` where nothing of the phase's could fall on the line.
    fn quantity(&self, item: &Item, key: &Term, phase: Phase) -> Option<Term> {
        if is_ring(item) {
            let pipe_key = item.text().split_once(' ').map(|(_, pipe_key)| pipe_key.to_owned())?;
            return self.sums.ends_joined(&pipe_key, phase);
        }
        let here = match item.is_sized() {
            true => self.sized_phases.contains(&phase),
            false => {
                let could_be = |count: &Count| count.follows_a_size() && count.item.kind == item.kind;
                self.counts.iter().any(|count| count.phase == phase && (count.item == *item || could_be(count)))
            }
        };
        here.then(|| self.sums.needed(key, phase))
    }

    /// Rows of On hand for a line. What says no ends serves the first line it fits, so that it is counted once.
    fn stock(&self, book: &mut Book, item: &Item) -> Vec<Term> {
        let rules = self.context.rules;
        let is_first = |have: &OnHand| self.items.iter().find(|first| fits(rules, first, have)) == Some(item);
        let ours = |have: &&OnHand| fits(rules, item, *have) && (item.ends.is_empty() || is_first(have));
        self.context.job.on_hand.iter().filter(ours).map(|have| have.quantity.figure(book)).collect()
    }

    /// The pieces that come to the line at the sizes as they now are.
    fn counted_for(&self, item: &Item) -> Vec<&Count> {
        let pipe_key = item.text().split_once(' ').map(|(_, pipe_key)| pipe_key.to_owned()).unwrap_or_default();
        let is_for = |count: &&Count| match is_ring(item) {
            true => count.joins(&pipe_key),
            false => count.item == *item,
        };
        self.counts.iter().filter(is_for).filter(|count| !count.is_idle()).collect()
    }

    /// The runs, fixtures and devices the line is needed for.
    fn places(&self, item: &Item, needed: &Term) -> Term {
        let counted = self.counted_for(item);
        counted_from(&counted.iter().map(|count| &*count.origin.value).collect::<Vec<_>>(), needed)
    }
}
