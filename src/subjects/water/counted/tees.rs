//! Tees as they are made up: a tee in just these sizes where it is offered, else, or where that is cheaper, a larger one
//! with reducers. One row for each combination of the sizes that a material's tees and reducers are offered in, so that a
//! size changed in the finished bid finds its tee there.

use super::Context;
use super::fittings::{Counted, Spot, nipple};
use super::no_straight_tee::{self, Tees};
use crate::basis::{Record, record};
use crate::choice::Choice;
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, CellKind, Column, ColumnId, Look, Term, Value};
use crate::finding::Finding;
use crate::model::{Setting, Size, fold};
use crate::parts::{Count, ring_kind};
use crate::rules::Item;
use crate::sheets::Page;
use crate::subjects::water::size::unit_costs::UnitCosts;
use crate::table::columns;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The tees chosen, and the columns that formulas find them in.
struct Chosen {
    tees: Tees,
    columns: Option<Columns>,
}

struct Columns {
    needed: Column,
    chosen: Column,
    check: Column,
    sold_as: Column,
    ends: [Column; 3],
}

/// What is to be said of the tees: whether they are still the ones to choose, and how many cannot be taken.
pub(super) struct Verdicts {
    pub choices: Option<Term>,
    /// How many tees are to be bought for a choice that cannot be taken there.
    pub gone: Option<Term>,
    /// Tees without a price, for which larger ones are bought.
    pub unpriced: Vec<Item>,
}

/// Makes up every tee. Gives the pieces in their order, and whether the tees are still the ones to choose.
pub(super) fn make_up(
    book: &mut Book,
    context: &Context,
    pieces: Vec<Counted>,
    findings: &mut Vec<Finding>,
) -> (Vec<Count>, Verdicts) {
    let spots: Vec<&Spot> = pieces
        .iter()
        .filter_map(|piece| match piece {
            Counted::Tee(spot) => Some(&**spot),
            Counted::Piece(_) => None,
        })
        .collect();
    book.words(context.page(Page::Tees), Look::Title, Page::Tees.name());
    book.words(
        context.page(Page::Tees),
        Look::Words,
        if spots.is_empty() { "No run branches: there are none." } else { TEES },
    );
    let costs = UnitCosts::new(context);
    let chosen = choose(book, context, &costs, &spots);
    let verdict = chosen.columns.as_ref().map(|_| put_record(book, context, &spots));
    let unpriced = no_straight_tee::find(context, &costs, (&spots, &chosen.tees), findings);
    let (places, gone) = put_places(book, context, &spots, &chosen);
    let mut places = places.into_iter();
    let mut counts = Vec::with_capacity(pieces.len());
    for piece in pieces {
        match piece {
            Counted::Piece(count) => counts.push(*count),
            // One place was put for every tee, in their order.
            Counted::Tee(spot) => {
                counts.extend(places.next().into_iter().flat_map(|place| place.counts(context, &spot)))
            }
        }
    }
    (counts, Verdicts { choices: verdict, gone, unpriced })
}

/// So many others may be typed over a tee, beside the one chosen, for a formula that can still be read.
const OTHER_TEES: usize = 3;

const TEES: &str = "A tee is bought in just its sizes, or as a larger one with reducers where that is cheaper, joints and \
     work counted, or all that is offered. Sizes changed in the bid find their tee here.";

fn materials(spots: &[&Spot]) -> Vec<Arc<str>> {
    let mut materials: Vec<Arc<str>> = Vec::new();
    for spot in spots {
        if !materials.contains(&spot.material) {
            materials.push(spot.material.clone());
        }
    }
    materials
}

columns! {
    struct MadeUp on Tees("Tees as made up") {
        needed: "Tee needed", words 34;
        ends as [ColumnId; 3]: ["In", "On", "Branch"], words;
        sold_as: "Sold as", words 34;
        pick: Choice::Tee.heading(), words 34;
        check: "Check", check 16;
    }
}

/// The table of all combinations, each with its choice.
fn choose(book: &mut Book, context: &Context, costs: &UnitCosts, spots: &[&Spot]) -> Chosen {
    let used: BTreeSet<(&str, [Size; 3])> = spots.iter().map(|spot| (&*spot.material, spot.sizes)).collect();
    let mut rows = Vec::new();
    for material in materials(spots) {
        let tees = costs.tees(&material);
        let sizes: Vec<Size> = tees.sizes().iter().rev().copied().collect();
        let text = |tee: [Size; 3]| Item::new("tee", &material, &tee).text();
        let offered: BTreeMap<String, [Size; 3]> = tees.offered().map(|tee| (text(tee), tee)).collect();
        for asked in combinations(&sizes) {
            let saved = context.saved(Choice::Tee, &text(asked)).and_then(|text| offered.get(text).copied());
            let tee = saved.filter(|tee| tees.fits(*tee, asked)).or_else(|| tees.made_up(asked));
            rows.extend(tee.map(|tee| (material.clone(), asked, tee)));
        }
    }
    let mut chosen = Chosen { tees: BTreeMap::new(), columns: None };
    if rows.is_empty() {
        return chosen;
    }
    let MadeUp { table, needed, ends, sold_as, pick, check } = MadeUp::on_page(book, context);
    let put: Vec<_> = rows.iter().map(|_| book.row(table)).collect();
    for (row, (material, asked, _)) in put.iter().zip(&rows) {
        let item = Item::new("tee", material, asked);
        book.label(*row, needed, &item.text());
        for (column, size) in ends.iter().zip(asked) {
            book.label(*row, *column, &size.key());
        }
        book.label(*row, sold_as, &item.turned().text());
        if !used.contains(&(&**material, *asked)) {
            book.mark(*row, CellKind::Idle);
        }
    }
    let keys = book.whole(needed);
    for (row, (material, asked, tee)) in put.iter().zip(rows) {
        let name = |tee: &[Size; 3]| Item::new("tee", &material, tee).text();
        // Whoever types another tee here may take any that is offered and can be brought down to these sizes.
        let tees = costs.tees(&material);
        let mut others: Vec<String> =
            tees.offered().filter(|other| tees.fits(*other, asked)).map(|o| name(&o)).collect();
        others.retain(|other| *other != name(&tee));
        others.truncate(OTHER_TEES);
        book.choose(*row, [pick, check], Value::text(name(&tee)), |choice| {
            let first = choice.same(&Term::text(name(&tee)));
            let does = others.iter().fold(first, |does, other| does.or(&choice.same(&Term::text(other.as_str()))));
            let found = Term::row_of(choice, &keys).or_if_fault(&Term::number(0)).above(&Term::number(0));
            found.and(&does).ok_or(PRICE_AGAIN)
        });
        chosen.tees.insert((material, asked), tee);
    }
    book.words(context.page(Page::Tees), Look::Small, crate::parts::FOLDED);
    chosen.columns = Some(Columns {
        needed: keys,
        chosen: book.whole(pick),
        check: book.whole(check),
        sold_as: book.whole(sold_as),
        ends: ends.map(|end| book.whole(end)),
    });
    chosen
}

fn combinations(sizes: &[Size]) -> impl Iterator<Item = [Size; 3]> + '_ {
    let all = || sizes.iter().copied();
    all().flat_map(move |run| all().flat_map(move |on| all().map(move |branch| [run, on, branch])))
}

columns! {
    struct Offers on Tees("Offers that the tees were chosen among") {
        name: "Offer", quiet words 34;
        price: "Price of one", UnitPrice;
    }
}

/// What the choice rests on, beside what it is now.
fn put_record(book: &mut Book, context: &Context, spots: &[&Spot]) -> Term {
    let materials = materials(spots);
    let rings: Vec<&str> = materials.iter().filter_map(|material| ring_kind(context.job, material)).collect();
    let Offers { table, name, price } = Offers::on_page(book, context);
    for offer in &context.job.prices {
        let own = offer.material.as_ref().map(|m| &**m).filter(|m| !m.trim().is_empty());
        let material = own.map_or(Some(""), |m| context.rules.canonical_material(m));
        let of_ours = material.filter(|m| m.is_empty() || materials.iter().any(|ours| **ours == **m));
        let sizes = offer.sizes.get().unwrap_or_default();
        let item = of_ours.and_then(|material| Item::offered(context.rules, &offer.kind.value, material, &sizes));
        let decides =
            item.is_some_and(|item| ["tee", "reducer", "pipe"].iter().chain(&rings).any(|kind| *kind == item.kind));
        if let Some(one) = offer.unit_price(book).filter(|_| decides && !offer.is_break()) {
            let row = book.row(table);
            let label = book.label(row, name, &format!("Prices row {}", u64::from(offer.row) + 1));
            book.link(&label, &offer.kind.place);
            book.put(row, price, one);
        }
    }
    let mut now = vec![("Prices of these offers, sum", Term::sum(&book.whole(price)))];
    for (words, setting) in [
        ("Tax rate when the tees were chosen", Setting::TaxRate),
        ("Waste when the tees were chosen", Setting::Waste),
        ("Labor rate when the tees were chosen", Setting::LaborRate),
        ("Labor burden when the tees were chosen", Setting::LaborBurden),
        ("Labor factor when the tees were chosen", Setting::LaborFactor),
    ] {
        now.push((words, context.settings.get(setting)));
    }
    let joints: Vec<String> = materials.iter().map(|material| fold(&format!("joint {material}"))).collect();
    let own = context.job.labor.iter().filter(|row| joints.iter().any(|task| fold(&row.task.value).starts_with(task)));
    let hours: Vec<Term> = own.map(|row| row.hours.figure(book)).collect();
    if !hours.is_empty() {
        now.push(("Hours of one joint each, sum", Term::total(&hours.iter().collect::<Vec<_>>())));
    }
    let of = Record {
        kind: Choice::TeesBasis,
        title: "What the tees were chosen on",
        question: "Are the tees still the ones to choose?",
    };
    record(book, context, &of, &now)
}

/// A tee where it is needed, as figures: what is bought for it.
struct Place {
    key: Term,
    item: Item,
    /// Sizes of its ends.
    tee: [Size; 3],
    /// Pipe keys of the ends of the tee bought.
    ends: [Term; 3],
    /// The reducer at each end; empty where none is needed.
    reducers: [Term; 3],
    reducer_items: [Option<Item>; 3],
    /// Pipe keys of what is joined.
    asked: [Term; 3],
}

columns! {
    struct Needed on Tees("Tees where they are needed") {
        origin: "At the end of, or for", quiet words 12;
        needed: "Tee needed", quiet words 34;
        run: "Its run, larger end first", quiet words 16;
        full_name: "By its name", quiet words 34;
        found: "Row of the tee bought", quiet words;
        check: "Can be taken", quiet words 14;
        bought: "Tee bought", quiet words 34;
        ends as [ColumnId; 3]: ["Its end in", "Its end on", "Its branch"], quiet words 9;
        reducers as [ColumnId; 3]: ["Reducer in", "Reducer on", "Reducer at branch"], quiet words 24;
    }
}

/// The places, and how many of their choices are tees that cannot be taken there.
fn put_places(book: &mut Book, context: &Context, spots: &[&Spot], chosen: &Chosen) -> (Vec<Place>, Option<Term>) {
    if spots.is_empty() {
        return (Vec::new(), None);
    }
    let Needed { table, origin, needed, run, full_name, found, check, bought, ends, reducers } =
        Needed::on_page(book, context);
    let x = Term::text(" x ");
    let mut places = Vec::with_capacity(spots.len());
    for spot in spots {
        let row = book.row(table);
        let name = spot.count.origin.figure(book);
        book.put(row, origin, name);
        let [first, on, branch] = &spot.size_keys;
        let material = Term::text(format!("{} ", spot.material));
        let head = Term::text(format!("tee {} ", spot.material));
        let asked_key = book.put(row, needed, Term::join(&[&head, first, &x, on, &x, branch]));
        let asked = spot.size_keys.each_ref().map(|size| Term::join(&[&material, size]));
        let tee = chosen.tees.get(&(spot.material.clone(), spot.sizes)).copied().unwrap_or(spot.sizes);
        let its_run = book.put(row, run, larger_end_first(spot));
        let own_name = book.put(row, full_name, Term::join(&[&head, &its_run, &x, &spot.size_keys[2]]));
        let Some(columns) = &chosen.columns else {
            places.push(Place::as_asked(spot, tee, own_name, asked));
            continue;
        };
        let asked_row = Term::row_of(&asked_key, &columns.needed);
        // Sizes beyond the table have no choice that could be wrong.
        let stands = Term::at(&columns.check, &asked_row).or_if_fault(&Term::text(""));
        book.put(row, check, stands);
        let its_row = Term::row_of(&Term::at(&columns.chosen, &asked_row), &columns.needed);
        let its_row = book.put(row, found, its_row.or_if_fault(&Term::number(0)));
        let is_there = its_row.above(&Term::number(0));
        let key = is_there.pick(&Term::at(&columns.sold_as, &its_row), &own_name);
        let key = book.put(row, bought, key);
        let sizes: [Term; 3] = std::array::from_fn(|i| {
            let size = is_there.pick(&Term::at(&columns.ends[i], &its_row), &spot.size_keys[i]);
            book.put(row, ends[i], size)
        });
        let reducer = |i: usize| {
            let head = Term::text(format!("reducer {} ", spot.material));
            let words = Term::join(&[&head, &sizes[i], &x, &spot.size_keys[i]]);
            sizes[i].same(&spot.size_keys[i]).pick(&Term::text(""), &words)
        };
        let reducers: [Term; 3] = std::array::from_fn(|i| book.put(row, reducers[i], reducer(i)));
        places.push(Place {
            item: Item::new("tee", &spot.material, &tee).turned(),
            tee,
            key,
            ends: sizes.each_ref().map(|size| Term::join(&[&material, size])),
            reducer_items: std::array::from_fn(|i| {
                (tee[i] != spot.sizes[i]).then(|| Item::new("reducer", &spot.material, &[tee[i], spot.sizes[i]]))
            }),
            reducers,
            asked,
        });
    }
    let gone = chosen.columns.as_ref().map(|_| Term::price_again_in(&book.whole(check)));
    (places, gone)
}

/// A tee has no direction along its run: the larger end is named first, as it now is.
fn larger_end_first(spot: &Spot) -> Term {
    let x = Term::text(" x ");
    let [from, on, _] = &spot.size_keys;
    let (down, up) = (Term::join(&[from, &x, on]), Term::join(&[on, &x, from]));
    spot.run_rows[0].at_least(&spot.run_rows[1]).pick(&down, &up)
}

impl Place {
    /// Where no tee is offered: the tee that is needed.
    fn as_asked(spot: &Spot, tee: [Size; 3], key: Term, asked: [Term; 3]) -> Self {
        Self {
            key,
            item: Item::new("tee", &spot.material, &tee).turned(),
            tee,
            ends: asked.clone(),
            reducers: std::array::from_fn(|_| Term::text("")),
            reducer_items: [None, None, None],
            asked,
        }
    }

    /// The tee and its three reducers, each with the nipple between; those that are not needed stand at nothing.
    fn counts(self, context: &Context, spot: &Spot) -> Vec<Count> {
        let of = &spot.count;
        let mut counts = vec![Count { item: self.item, key: self.key, ends: self.ends.to_vec(), ..of.clone() }];
        let purpose = ["down to the tee's inlet", "down from the tee's run", "down from the tee's branch"];
        for (i, item) in self.reducer_items.into_iter().enumerate() {
            let reducer = &self.reducers[i];
            if reducer.fig().is_none() {
                continue;
            }
            let quantity = reducer.is_blank().pick(&Term::number(0), &of.quantity);
            let ends = vec![self.ends[i].clone(), self.asked[i].clone()];
            let item = item.unwrap_or_else(|| Item::new("reducer", &spot.material, &[]));
            let pipe = Item::new("pipe", &spot.material, &[self.tee[i]]);
            let between = nipple(context, spot.position, pipe, &self.ends[i], quantity.clone());
            counts.push(Count { purpose: purpose[i], item, key: reducer.clone(), quantity, ends, ..of.clone() });
            if context.rules.pipe(&spot.material, self.tee[i]).is_some() {
                let (origin, phase, place) = (of.origin.clone(), of.phase, of.place);
                counts.push(Count { origin, phase, place, ..between });
            }
        }
        counts
    }
}
