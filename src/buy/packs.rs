//! What to order: the packs of each offer, as choices that are checked against the need; sticks and coils as the cut
//! plan has them.

use super::allowed::Allowed;
use super::cut_sheet::{Cuts, put_either};
use super::lines::{Bought, Needs};
use super::offer_name::{self, OfferName};
use super::offers::{self, LineOffers};
use super::pipe::{Pipe, Source};
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
    pub(super) struct Table on Buying("What to order") {
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

impl Table {
    pub(crate) fn fill(
        &self,
        book: &mut Book,
        context: &Context,
        pipes: &[Pipe],
        cuts: &Cuts,
        needs: &Needs,
        allowed: &Allowed,
    ) -> Bought {
        let mut all = Vec::new();
        for need in &needs.lines {
            let line = &context.take_off.lines[need.line];
            let offer_names = offer_name::of_line(context.job, context.rules, line);
            let name_of = |price: usize| offer_names.iter().find(|(row, _)| *row == price).map(|(_, name)| name);
            if line.item.kind == "pipe" {
                for price in offers_cut(pipes, line) {
                    let (of, Some(name)) = (&context.job.prices[price], name_of(price)) else { continue };
                    let (row, pack, one) = self.start(book, line, of, name);
                    let from = Term::text(name.text());
                    let feet =
                        Term::sum_where(&cuts.unit_feet, &[(&cuts.unit_item, &line.key), (&cuts.unit_offer, &from)]);
                    let packs = book.put(row, self.packs, feet / &pack);
                    let packs = self.finish(book, row, &packs, &pack, &one, line.feet);
                    self.tax(book, context, row, of, &packs.2);
                    let verdict = packs.0.above(&Term::number(0)).ok_or("not cut");
                    book.put(row, self.check, verdict);
                    all.push(PackBought { line: need.line, price, packs: packs.0, cost: packs.2 });
                }
                continue;
            }
            let mut rows = Vec::new();
            let amount = need.to_get.value().as_decimal().unwrap_or_default();
            for (price, count) in chosen(context, line, &offer_names, amount, allowed) {
                let (of, Some(name)) = (&context.job.prices[price], name_of(price)) else { continue };
                let (row, pack, one) = self.start(book, line, of, name);
                let packs = book.choose_now(row, self.packs, Value::Exact(Decimal::from(count)));
                let (packs, holds, cost) = self.finish(book, row, &packs, &pack, &one, line.feet);
                self.tax(book, context, row, of, &cost);
                rows.push((row, packs.clone(), pack, holds, price));
                all.push(PackBought { line: need.line, price, packs, cost });
            }
            let together: Vec<&Term> = rows.iter().map(|(_, _, _, holds, _)| holds).collect();
            let together = Term::total(&together);
            for (row, packs, pack, _, price) in &rows {
                let step = Step::of(book, context, line, *price);
                // Short, or one pack of these could stay at the counter: unless the price holds from no fewer.
                let spare = (&together - pack).at_least(&need.to_get).and(&packs.above(&step.first));
                let enough = spare.flag("one too many");
                let verdict = together.at_least(&need.to_get).pick(&enough, &Term::text("short"));
                let verdict = step.verdict(packs, verdict);
                let verdict = book.put(*row, self.check, verdict);
                book.check_choice(packs, &verdict);
            }
        }
        Bought {
            packs: all,
            line: book.whole(self.line),
            holds: book.whole(self.holds),
            cost: book.whole(self.cost),
            supplier: book.whole(self.supplier),
            tax: book.whole(self.tax),
            checks: vec![book.whole(self.check), book.whole(self.offer)],
        }
    }

    /// A row of an offer: what one pack holds and costs.
    fn start(&self, book: &mut Book, line: &Line, of: &Price, offer: &OfferName) -> (RowId, Term, Term) {
        let row = book.row(self.table);
        book.label(row, self.name, &row_name(line, offer));
        self.still_there(book, row, of, offer);
        // Words with a link do not wrap in every program, and the name is long.
        let live = book.put(row, self.line, line.key.clone());
        book.link(&live, &of.kind.place);
        for (column, field) in [(self.supplier, &of.supplier), (self.part, &of.part), (self.unit, &of.unit)] {
            if let Some(words) = field.as_typed(book).filter(|_| matches!(field.raw, crate::model::Raw::Text(_))) {
                book.put(row, column, words);
            }
        }
        let pack = match of.pack.value {
            Some(_) => of.pack.figure(book),
            None => Term::number(1),
        };
        let pack = put_either(book, row, self.pack, pack);
        let price = of.price.figure(book);
        let price = put_either(book, row, self.price, price);
        (row, pack, price)
    }

    /// Whether the row of Prices still says what the offer was called by.
    fn still_there(&self, book: &mut Book, row: RowId, of: &Price, offer: &OfferName) {
        let live = offer.live(book, of);
        if !matches!(live.expr(), Expr::Const(_)) {
            let same = live.same(&Term::text(offer.text()));
            book.put(row, self.offer, same.ok_or(PRICE_AGAIN));
        }
    }

    /// Tax on an offer's packs, at the rate of its row.
    fn tax(&self, book: &mut Book, context: &Context, row: RowId, of: &Price, cost: &Term) {
        let rate = of.tax.rate(book, &context.settings.get(Setting::TaxRate));
        book.put(row, self.tax, (cost * &rate).cents());
    }

    fn finish(
        &self,
        book: &mut Book,
        row: RowId,
        packs: &Term,
        pack: &Term,
        one: &Term,
        feet: bool,
    ) -> (Term, Term, Term) {
        let holds = book.put(row, self.holds, packs * pack);
        let cost = book.put(row, self.cost, (packs * one).cents());
        let unit = if feet { Unit::Feet } else { Unit::Each };
        book.unit(&holds, unit);
        book.unit(pack, unit);
        book.unit(packs, Unit::Quantity);
        (packs.clone(), holds, cost)
    }
}

/// The name of an offer's row: what it fills, and whose it is.
fn row_name(line: &Line, name: &OfferName) -> String {
    format!("{}{FROM}{}", line.item.text(), name.text())
}

const FROM: &str = ", from ";

/// Offers that pipe of a line is cut from, in the order of Prices.
fn offers_cut(pipes: &[Pipe], line: &Line) -> Vec<usize> {
    let cut = pipes.iter().filter(|pipe| pipe.item == line.item).flat_map(|pipe| {
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
        // What has been bought or put in since is not ordered once more, whatever was chosen before.
        let changed = line.bought.is_some() || line.in_already.is_some();
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
