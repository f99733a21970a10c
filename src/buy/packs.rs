//! What to order: the packs of each offer, as choices that are checked against the need; sticks and coils as the cut
//! plan has them.

use super::allowed::Allowed;
use super::cut_sheet::{Cuts, put_either};
use super::lines::{Bought, LineNeed, Needs};
use super::offer_name::{self, OfferName};
use super::offers::{self, LineOffers};
use super::pipe::Source;
use super::purchase;
use super::{Context, PackBought};
use crate::choice::Choice;
use crate::figure::verdict::PRICE_AGAIN;
use crate::figure::{Book, Expr, RowId, Term, Value};
use crate::model::{Price, Setting};
use crate::table::columns;
use crate::takeoff::Line;
use crate::unit::Unit;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

columns! {
    struct Columns on Buying("What to order") {
        name: "Order", words 44;
        line: "Line", quiet words 30;
        supplier: "Supplier", words 18;
        part: "Part no.", words 12;
        unit: "Unit", words;
        pack: "One holds", Quantity;
        price: "Price of one", Money;
        packs: Choice::Packs.heading(), words;
        holds: "All hold", Quantity;
        cost: "Cost", Money;
        tax: "Sales tax", Money;
        check: "Check", check 18;
        /// Whether the row of Prices still says what the offer was called by.
        offer: "Offer", check 12;
    }
}

/// The table of orders.
pub(super) struct Orders<'a> {
    context: &'a Context<'a>,
    columns: Columns,
}

/// A row of an offer that is begun.
struct Begun<'a> {
    row: RowId,
    line: &'a Line,
    offer: &'a Price,
    /// What one pack holds, and what it costs.
    pack: Term,
    one: Term,
}

/// What is ordered by a row.
struct Ordered {
    packs: Term,
    holds: Term,
    cost: Term,
}

impl<'a> Orders<'a> {
    pub(crate) fn new(book: &mut Book, context: &'a Context<'a>) -> Self {
        Self { context, columns: Columns::on_page(book, context) }
    }

    pub(crate) fn fill(&self, book: &mut Book, cuts: &Cuts, needs: &Needs, allowed: &Allowed) -> Bought {
        let mut packs = Vec::new();
        for need in &needs.lines {
            packs.extend(match self.context.take_off.lines[need.line].item.kind == "pipe" {
                true => self.put_pipe(book, need, cuts),
                false => self.put_packs(book, need, allowed),
            });
        }
        let columns = &self.columns;
        Bought {
            packs,
            line: book.whole(columns.line),
            holds: book.whole(columns.holds),
            cost: book.whole(columns.cost),
            supplier: book.whole(columns.supplier),
            tax: book.whole(columns.tax),
            checks: vec![book.whole(columns.check), book.whole(columns.offer)],
        }
    }

    /// Sticks and coils, as they are cut.
    fn put_pipe(&self, book: &mut Book, need: &LineNeed, cuts: &Cuts) -> Vec<PackBought> {
        let line = &self.context.take_off.lines[need.line];
        let names = offer_name::of_line(self.context.job, self.context.rules, line);
        let mut all = Vec::new();
        for price in offers_cut(cuts, line) {
            let Some((_, name)) = names.iter().find(|(row, _)| *row == price) else { continue };
            let begun = self.begin(book, line, price, name);
            let from = Term::text(name.text());
            let feet = Term::sum_where(&cuts.unit_feet, &[(&cuts.unit_item, &line.key), (&cuts.unit_offer, &from)]);
            let packs = book.put(begun.row, self.columns.packs, feet / &begun.pack);
            let Ordered { packs, cost, .. } = self.finish(book, &begun, packs);
            book.put(begun.row, self.columns.check, packs.above(&Term::number(0)).ok_or("not cut"));
            all.push(PackBought { line: need.line, price, packs, cost });
        }
        all
    }

    /// Whole packs, as they are chosen.
    fn put_packs(&self, book: &mut Book, need: &LineNeed, allowed: &Allowed) -> Vec<PackBought> {
        let line = &self.context.take_off.lines[need.line];
        let names = offer_name::of_line(self.context.job, self.context.rules, line);
        let amount = need.to_get.value().as_decimal().unwrap_or_default();
        let mut rows = Vec::new();
        for (price, count) in chosen(self.context, line, &names, amount, allowed) {
            let Some((_, name)) = names.iter().find(|(row, _)| *row == price) else { continue };
            let begun = self.begin(book, line, price, name);
            let packs = book.choose_now(begun.row, self.columns.packs, Value::Exact(Decimal::from(count)));
            let ordered = self.finish(book, &begun, packs);
            rows.push((begun, ordered, price));
        }
        let together: Vec<&Term> = rows.iter().map(|(_, ordered, _)| &ordered.holds).collect();
        let together = Term::total(&together);
        for (begun, Ordered { packs, .. }, price) in &rows {
            let step = Step::of(book, self.context, line, *price);
            // Short, or one pack of these could stay at the counter: unless the price holds from no fewer.
            let spare = (&together - &begun.pack).at_least(&need.to_get).and(&packs.above(&step.first));
            let enough = spare.flag("one too many");
            let verdict = together.at_least(&need.to_get).pick(&enough, &Term::text("short"));
            let verdict = book.put(begun.row, self.columns.check, step.verdict(packs, verdict));
            book.check_choice(packs, &verdict);
        }
        let bought = |(_, Ordered { packs, cost, .. }, price)| PackBought { line: need.line, price, packs, cost };
        rows.into_iter().map(bought).collect()
    }

    /// A row of an offer, by its index in the job's prices: what one pack holds and costs.
    fn begin<'l>(&self, book: &mut Book, line: &'l Line, price: usize, name: &OfferName) -> Begun<'l>
    where
        'a: 'l,
    {
        let (columns, offer) = (&self.columns, &self.context.job.prices[price]);
        let row = book.row(columns.table);
        book.label(row, columns.name, &row_name(line, name));
        self.still_there(book, row, offer, name);
        // Words with a link do not wrap in every program, and the name is long.
        let live = book.put(row, columns.line, line.key.clone());
        book.link(&live, &offer.kind.place);
        for (column, field) in
            [(columns.supplier, &offer.supplier), (columns.part, &offer.part), (columns.unit, &offer.unit)]
        {
            if let Some(words) = field.as_typed(book).filter(|_| matches!(field.raw, crate::model::Raw::Text(_))) {
                book.put(row, column, words);
            }
        }
        let pack = match offer.pack.value {
            Some(_) => offer.pack.figure(book),
            None => Term::number(1),
        };
        let pack = put_either(book, row, columns.pack, pack);
        let one = offer.price.figure(book);
        let one = put_either(book, row, columns.price, one);
        Begun { row, line, offer, pack, one }
    }

    /// Whether the row of Prices still says what the offer was called by.
    fn still_there(&self, book: &mut Book, row: RowId, of: &Price, offer: &OfferName) {
        let live = offer.live(book, of);
        if !matches!(live.expr(), Expr::Const(_)) {
            let same = live.same(&Term::text(offer.text()));
            book.put(row, self.columns.offer, same.ok_or(PRICE_AGAIN));
        }
    }

    /// So many packs of it; taxed at the rate of its row.
    fn finish(&self, book: &mut Book, begun: &Begun, packs: Term) -> Ordered {
        let Begun { row, line, offer, pack, one } = begun;
        let holds = book.put(*row, self.columns.holds, &packs * pack);
        let cost = book.put(*row, self.columns.cost, (&packs * one).cents());
        let unit = if line.feet { Unit::Feet } else { Unit::Each };
        book.unit(&holds, unit);
        book.unit(pack, unit);
        book.unit(&packs, Unit::Quantity);
        let rate = offer.tax.rate(book, &self.context.settings.get(Setting::TaxRate));
        book.put(*row, self.columns.tax, (&cost * &rate).cents());
        Ordered { packs, holds, cost }
    }
}

/// The name of an offer's row: what it fills, and whose it is.
fn row_name(line: &Line, name: &OfferName) -> String {
    format!("{}{FROM}{}", line.item.text(), name.text())
}

const FROM: &str = ", from ";

/// Offers that pipe of a line is cut from, in the order of Prices.
fn offers_cut(cuts: &Cuts, line: &Line) -> Vec<usize> {
    let pipes = cuts.pipes.iter().map(|cut| cut.pipe);
    let cut = pipes.filter(|pipe| pipe.item == line.item).flat_map(|pipe| {
        pipe.plan.cuts.iter().filter_map(|cut| match pipe.sources.get(cut.stock) {
            Some(Source::Offer(price) | Source::ByFoot(price)) => Some(*price),
            _ => None,
        })
    });
    let mut offers: Vec<usize> = cut.collect();
    offers.sort_unstable();
    offers.dedup();
    offers
}

/// From how many Units on a row's price holds, and from how many the next one does; live.
struct Step {
    /// 0 where it holds from the first.
    first: Term,
    next: Option<Term>,
}

impl Step {
    fn of(book: &mut Book, context: &Context, line: &Line, price: usize) -> Self {
        let of = &context.job.prices[price];
        let mut first = Term::number(0);
        for field in [&of.from_units, &of.minimum_units] {
            if field.value.is_some() {
                let units = field.figure(book);
                first = if *first.value() == Value::Exact(Decimal::ZERO) { units } else { first.max(&units) };
            }
        }
        let steps = offers::steps(context, &offer_name::fitting(context.job, context.rules, line));
        let next = steps.into_iter().find_map(|rows| {
            let at = rows.iter().position(|row| *row == price)?;
            rows.get(at + 1).copied()
        });
        let next = next.map(|next| context.job.prices[next].from_units.figure(book));
        Self { first, next }
    }

    /// What is wrong with so many packs at this price, else `otherwise`.
    fn verdict(&self, packs: &Term, otherwise: Term) -> Term {
        let otherwise = match &self.next {
            Some(next) => packs.at_least(next).pick(&Term::text("take the break"), &otherwise),
            None => otherwise,
        };
        match *self.first.value() == Value::Exact(Decimal::ZERO) {
            true => otherwise,
            false => packs.at_least(&self.first).pick(&otherwise, &Term::text("under its least")),
        }
    }
}

/// Whether these packs would do with one less.
fn one_too_many(prices: &[Price], packs: &[(usize, u32)], amount: Decimal) -> bool {
    let pack = |row: usize| prices[row].pack_holds();
    let whole: Decimal = packs.iter().map(|(row, count)| pack(*row).saturating_mul(Decimal::from(*count))).sum();
    packs.iter().any(|(row, count)| *count > 0 && whole - pack(*row) >= amount)
}

/// Packs of each row of Prices: those of the bid that is read when it holds its choices, else the cheapest from those who
/// may be bought from.
fn chosen(
    context: &Context,
    line: &Line,
    offer_names: &[(usize, OfferName)],
    amount: Decimal,
    allowed: &Allowed,
) -> Vec<(usize, u32)> {
    let prices = &context.job.prices;
    if context.hold {
        let head = format!("{}{FROM}", line.item.text());
        let open = offer_name::fitting(context.job, context.rules, line);
        let of_line = context.job.saved.of(Choice::Packs).filter_map(|(key, packs)| {
            let name = key.strip_prefix(&head)?;
            let row = offer_name::meant(context.job, offer_names, name).filter(|row| open.contains(row))?;
            Some((row, packs.parse::<Decimal>().ok()?.to_u32()?))
        });
        let mut saved: Vec<(usize, u32)> = of_line.collect();
        saved.sort_unstable();
        saved.dedup_by_key(|(row, _)| *row);
        // What has been bought, put in or found on hand since is not ordered once more, whatever was chosen before.
        let there = line.on_hand.value().as_f64() > 0.0;
        let changed = there || line.bought.is_some() || line.in_already.is_some();
        let fits = !changed || !one_too_many(prices, &saved, amount);
        if !saved.is_empty() && fits {
            return saved;
        }
    }
    let of_line: LineOffers = offers::of_line(context, line, amount, allowed);
    let bought = purchase::cheapest(&of_line.need);
    let packs = bought.map(|bought| bought.packs).unwrap_or_default();
    let by_row = packs.into_iter().enumerate().filter(|(_, count)| *count > 0);
    let mut chosen: Vec<(usize, u32)> =
        by_row.filter_map(|(offer, count)| Some((of_line.row_at(context, offer, count)?, count))).collect();
    chosen.sort_unstable();
    chosen
}
