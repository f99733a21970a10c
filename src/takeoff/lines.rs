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
    let sized_phases = in_phase(&|count| context.rules.is_sized(&count.item));
    let bought = bought::by_line(context, &needed.iter().chain(&idle).collect::<Vec<_>>());
    let is_in = InAlready::new(book, context, columns);
    let table_columns = Columns::on_page(book, context, bought.iter().any(|rows| !rows.is_empty()), is_in.is_some());
    let all: Vec<Item> = needed.iter().chain(&idle).cloned().collect();
    let mut maker = Maker {
        context,
        counts,
        items: &all,
        sums: columns,
        columns: table_columns,
        sized_phases,
        is_in,
        waste_allowance: Listing::new(context, "Spares"),
        shares: Vec::new(),
    };
    let items = needed.into_iter().map(|i| (i, false)).chain(idle.into_iter().map(|i| (i, true)));
    let lines: Vec<Line> =
        items.zip(bought).map(|((item, idle), bought_by)| maker.line(book, item, idle, bought_by)).collect();
    if lines.iter().any(|line| line.idle) {
        book.words(context.page(Page::TakeOff), crate::figure::Look::Small, crate::parts::FOLDED);
    }
    let waste_off = maker.waste_off(book);
    Summed { lines, pipe_phases, waste_off }
}

struct Maker<'a, 'b> {
    context: &'a Context<'b>,
    counts: &'a [Count],
    /// Of all lines in their order.
    items: &'a [Item],
    sums: &'a CountColumns,
    columns: Columns,
    /// Phases in which anything is needed whose size may change.
    sized_phases: Vec<Phase>,
    is_in: Option<InAlready<'a>>,
    /// What is bought beyond the need of small parts: one share for a kind, whatever its sizes.
    waste_allowance: Listing<Spare>,
    /// Every share of waste or spares, and on how many lines it stands.
    shares: Vec<(Term, u32)>,
}

/// A line that is begun.
struct Begun<'i> {
    row: RowId,
    item: &'i Item,
    key: Term,
    feet: bool,
    /// Of waste or spares.
    share: Option<Term>,
    /// Several places share one of it.
    shared: bool,
}

impl Begun<'_> {
    fn with_share(&self, quantity: Term) -> Term {
        match &self.share {
            // Feet are bought with their waste, to the hundredth of a foot; rings with their spares, whole.
            Some(waste) if self.feet => (quantity * (Term::number(1) + waste)).round(2),
            Some(spares) => (quantity * (Term::number(1) + spares)).whole_up(),
            None if self.shared => quantity.whole_up(),
            None => quantity,
        }
    }
}

/// What the phases need of a line.
#[derive(Default)]
struct ByPhase {
    /// With waste and spares; `None` where no piece of the phase's could fall on the line.
    needed: [Option<Term>; 4],
    /// Without them.
    counted: Vec<Term>,
    in_already: Vec<Term>,
}

impl Maker<'_, '_> {
    fn line(&mut self, book: &mut Book, item: Item, idle: bool, bought_by: Vec<usize>) -> Line {
        let begun = self.begin(book, &item, idle);
        let ByPhase { needed: by_phase, counted, in_already } = self.put_phases(book, &begun);
        let Begun { row, key, feet, share, shared, .. } = begun;
        let columns = &self.columns;
        let total = |terms: &[Term]| Term::total(&terms.iter().collect::<Vec<_>>());
        let present: Vec<&Term> = by_phase.iter().flatten().collect();
        let needed = book.put(row, columns.needed, Term::total(&present));
        let stock = self.stock(book, &item);
        let on_hand = (!stock.is_empty()).then(|| book.put(row, columns.on_hand, total(&stock)));
        let bought = bought::quantity(book, self.context, &bought_by);
        let bought = bought.zip(columns.bought).map(|(quantity, column)| book.put(row, column, quantity));
        let column = columns.in_already.filter(|_| !in_already.is_empty());
        let in_already = column.map(|column| book.put(row, column, total(&in_already)));
        let have: Vec<&Term> = on_hand.iter().chain(&bought).collect();
        let to_buy = book.put(row, columns.to_buy, to_buy(&needed, &have, in_already.as_ref()));
        let put = present.into_iter().chain([&needed, &to_buy]).chain(&on_hand).chain(&bought).chain(&in_already);
        put.for_each(|term| book.unit(term, if feet { Unit::Feet } else { Unit::Each }));
        let counted = if share.is_some() || shared { total(&counted) } else { needed.clone() };
        let places = book.put(row, columns.places, self.places(&item, &needed));
        let first = self.counted_for(&item).first().map(|count| count.origin.place.clone());
        let on_hand = on_hand.unwrap_or_else(|| Term::number(0));
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

    /// Its name, its unit, and its share of waste or spares.
    fn begin<'i>(&mut self, book: &mut Book, item: &'i Item, idle: bool) -> Begun<'i> {
        let row = book.row(self.columns.table);
        if idle {
            book.mark(row, CellKind::Idle);
        }
        let key = book.label(row, self.columns.line, &item.text());
        let feet = self.context.rules.is_feet(item);
        book.label(row, self.columns.unit, if feet { "ft" } else { "each" });
        let share = match self.context.rules.spare(&item.kind).filter(|_| is_ring(item)) {
            _ if item.kind == "pipe" => Some(self.context.settings.get(Setting::Waste)),
            Some(spare) => Some(self.waste_allowance.row(book, spare).share),
            None => None,
        };
        let share = share.map(|share| {
            match self.shares.iter_mut().find(|(known, _)| known.fig() == share.fig()) {
                Some((_, times)) => *times += 1,
                None => self.shares.push((share.clone(), 1)),
            }
            book.put(row, self.columns.waste, share)
        });
        let shared = self.counts.iter().any(|count| count.shared && count.item == *item);
        Begun { row, item, key, feet, share, shared }
    }

    fn put_phases(&self, book: &mut Book, begun: &Begun) -> ByPhase {
        let mut by_phase = ByPhase::default();
        for phase in Phase::ALL {
            let Some(quantity) = self.quantity(begun.item, &begun.key, phase) else { continue };
            by_phase.counted.push(quantity.clone());
            let with_share = |quantity| begun.with_share(quantity);
            let in_already = self.is_in.as_ref().and_then(|is_in| is_in.of(book, begun.item, phase, with_share));
            by_phase.in_already.extend(in_already);
            let needed = book.put(begun.row, self.columns.phases[phase as usize], with_share(quantity));
            by_phase.needed[phase as usize] = Some(needed);
        }
        by_phase
    }

    /// How far the shares that stand in the lines are off from those that belong there.
    fn waste_off(&self, book: &mut Book) -> Option<Term> {
        let belong = self.shares.iter().map(|(share, times)| share * &Term::number(*times));
        let belong = belong.reduce(|sum, share| sum + share)?;
        Some((Term::sum(&book.whole(self.columns.waste)) - belong).round(6))
    }

    /// What a phase needs before waste and spares; `None` where nothing of the phase's could fall on the line.
    fn quantity(&self, item: &Item, key: &Term, phase: Phase) -> Option<Term> {
        if is_ring(item) {
            let pipe_key = item.text().split_once(' ').map(|(_, pipe_key)| pipe_key.to_owned())?;
            return self.sums.ends_joined(&pipe_key, phase);
        }
        let here = match self.context.rules.is_sized(item) {
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

/// `have` is on hand and bought.
fn to_buy(needed: &Term, have: &[&Term], in_already: Option<&Term>) -> Term {
    let zero = Term::number(0);
    match in_already {
        None if have.is_empty() => needed.clone(),
        None => have.iter().fold(needed.clone(), |left, have| left - *have).max(&zero),
        Some(is_in) if have.is_empty() => (needed - is_in).max(&zero),
        // What is in came out of what was on hand or bought, as far as that went.
        Some(is_in) => (needed - Term::total(have).max(is_in)).max(&zero),
    }
}
