//! The offers that each line's price is taken from, by the name that its choice says.

use super::Context;
use crate::buy::offer_name::{OfferName, meant, of_line};
use crate::choice::Choice;
use crate::figure::verdict::OK;
use crate::figure::{Book, CellKind, Column, ColumnId, Look, RowId, Term, Value};
use crate::model::{Price, Setting};
use crate::sheets::Page;
use crate::table::columns;
use crate::takeoff::Line;

/// What the check says of a line that nobody has priced.
pub(super) const NO_PRICE: &str = "no price";
/// What it says where no offer goes by the name that is chosen.
pub(super) const NO_OFFER: &str = "no such offer";

columns! {
    /// The table of all offers, at the end of Buying.
    pub(super) struct Table(dated: bool) on Buying("Offers of each line") {
        line: "Line", words 44;
        name: "Offer", words 30;
        price: "Price of one", UnitPrice;
        tax_rate: "Tax rate", Percent;
        reached: "Holds", Each;
        compared: "Price where it holds", UnitPrice;
        quoted as Option<ColumnId>: dated.then_some("Quoted on"), Date;
    }
}

/// An offer that could fill a line.
pub(super) struct Offer<'a> {
    pub row: &'a Price,
    pub name: OfferName,
    unit_price: Term,
    /// Whether its Price is blank now.
    blank: Option<Term>,
    /// Of a price break: whether what is needed reaches it.
    reached: Option<Term>,
}

impl Offer<'_> {
    fn holds(&self) -> bool {
        self.reached.as_ref().is_none_or(|reached| *reached.value() == Value::Flag(true))
    }
}

/// The offers of one line, and the columns they stand in.
pub(super) struct Offers<'a> {
    pub all: Vec<Offer<'a>>,
    names: Column,
    price: Column,
    tax_rate: Column,
    /// 1 where the price holds for what is needed.
    reached: Column,
    /// The price where it holds.
    compared: Column,
    /// The date it was quoted on, where that matters.
    quoted: Option<Column>,
    /// Of a line with one offer: its name, price, tax rate, whether it is reached and its date, as they stand in their cells.
    only: Option<[Term; 5]>,
}

impl Table {
    pub(crate) fn new(book: &mut Book, context: &Context) -> Self {
        book.end_of_print(context.page(Page::Buying));
        book.words(context.page(Page::Buying), Look::Small, WORDS);
        Self::on_page(book, context, context.job.carries_prices())
    }

    /// Every row of Prices that offers the line's item at a price, in the order of the sheet.
    pub(crate) fn of_line<'a>(&mut self, book: &mut Book, context: &Context<'a>, line: &Line) -> Offers<'a> {
        let mut all = Vec::new();
        let mut rows: Vec<(RowId, [Term; 5])> = Vec::new();
        for (index, name) in of_line(context.job, context.rules, line) {
            let of = &context.job.prices[index];
            let Some(unit_price) = of.unit_price(book) else { continue };
            let row = book.row(self.table);
            if line.idle {
                book.mark(row, CellKind::Idle);
            }
            book.put(row, self.line, line.key.clone());
            let live = name.live(book, of);
            let live = match live.expr() {
                crate::figure::Expr::Const(_) => book.label(row, self.name, name.text()),
                _ => book.put(row, self.name, live),
            };
            book.link(&live, &of.kind.place);
            let price = book.put(row, self.price, unit_price);
            let rate = of.tax.rate(book, &context.settings.get(Setting::TaxRate));
            let rate = book.put(row, self.tax_rate, rate);
            let reached = of.is_break().then(|| reached(book, of, &line.needed));
            let (one, nothing) = (Term::number(1), Term::text(""));
            let (holds, compared) = match &reached {
                Some(reached) => (reached.pick(&one, &Term::number(0)), reached.pick(&price, &nothing)),
                None => (one, price.clone()),
            };
            let holds = book.put_or_state(row, self.reached, holds, ALWAYS);
            book.put(row, self.compared, compared);
            let quoted = self.quoted.map(|column| {
                let date = quoted_on(book, of);
                book.put_or_state(row, column, date, "not dated")
            });
            rows.push((row, [live, price.clone(), rate, holds, quoted.unwrap_or(nothing)]));
            let blank = of.price.as_typed(book).map(|cell| cell.is_blank());
            all.push(Offer { row: of, name, unit_price: price, blank, reached });
        }
        let stretch = |book: &mut Book, column| match (rows.first(), rows.last()) {
            (Some((first, _)), Some((last, _))) => book.stretch(column, first.index, last.index),
            _ => book.none(),
        };
        let only = match rows.as_slice() {
            [(_, terms)] => Some(terms.clone()),
            _ => None,
        };
        Offers {
            all,
            names: stretch(book, self.name),
            price: stretch(book, self.price),
            tax_rate: stretch(book, self.tax_rate),
            reached: stretch(book, self.reached),
            compared: stretch(book, self.compared),
            quoted: self.quoted.map(|column| stretch(book, column)),
            only,
        }
    }
}

/// The date of a row of Prices; an empty text where it has none.
fn quoted_on(book: &mut Book, price: &Price) -> Term {
    match (price.quoted.value, price.quoted.as_typed(book)) {
        // One that is typed as words is as it was read.
        (Some(date), Some(cell)) => cell.is_number().pick(&cell, &Term::number(date)),
        (None, Some(cell)) => cell.is_number().pick(&cell, &Term::text("")),
        (_, None) => Term::text(""),
    }
}

const WORDS: &str = "Below stand the offers that the prices of Cost build-up are taken from, by the name of the Chosen offer there; \
     it is not printed.";
const ALWAYS: &str = "the price of the first Unit";

/// Whether so much of a line reaches the break.
fn reached(book: &mut Book, of: &Price, needed: &Term) -> Term {
    let from = of.from_units.figure(book);
    let pack = match (&of.pack.value, &of.pack.cell) {
        (None, None) => None,
        _ => Some(of.pack.figure(book)),
    };
    needed.at_least(&pack.map_or_else(|| from.clone(), |pack| &from * pack))
}

/// The offer held, when it still is one; else the cheapest for one, the first of equals.
pub(super) fn pick(context: &Context, line: &Line, offers: &Offers) -> Option<usize> {
    let saved = context.saved(Choice::Offer, &line.item.text());
    let saved = saved.and_then(|saved| meant(context.job, &of_line(context.job, context.rules, line), saved));
    let saved = saved.map(|row| context.job.prices[row].row);
    let still = saved.and_then(|saved| offers.all.iter().position(|offer| offer.row.row == saved));
    let price = |offer: &Offer| offer.unit_price.value().as_f64();
    let holding = (0..offers.all.len()).filter(|at| offers.all[*at].holds());
    still.or_else(|| holding.min_by(|a, b| price(&offers.all[*a]).total_cmp(&price(&offers.all[*b]))))
}

/// Whether the bid that is read chose the line's offer by its row in Prices, as earlier versions did: no offer is called by
/// a number now.
pub(super) fn is_held_by_row(context: &Context, line: &Line) -> bool {
    let saved = context.saved(Choice::Offer, &line.item.text());
    saved.is_some_and(|saved| !saved.trim().is_empty() && saved.trim().bytes().all(|b| b.is_ascii_digit()))
}

/// Where a line's choice stands among its offers.
pub(super) enum Position {
    /// Whether the only offer is the one that is chosen.
    Only(Term),
    /// From 1; an error where there is none of that name.
    Row(Term),
}

impl Offers<'_> {
    pub(crate) fn position(&self, choice: &Term) -> Position {
        match &self.only {
            Some([name, ..]) => Position::Only(choice.same(name)),
            None => Position::Row(Term::row_of(choice, &self.names)),
        }
    }

    /// The price of the offer that is chosen; 0 where there is none of that name, which the check says.
    pub(crate) fn price_of(&self, position: &Position) -> Term {
        self.take(position, &self.price, 1)
    }

    pub(crate) fn tax_rate_of(&self, position: &Position) -> Term {
        self.take(position, &self.tax_rate, 2)
    }

    /// When the chosen offer was quoted, where that matters.
    pub(crate) fn quoted(&self, position: &Position) -> Option<Term> {
        self.quoted.as_ref().map(|column| self.take(position, column, 4))
    }

    fn take(&self, position: &Position, column: &Column, at: usize) -> Term {
        let nothing = Term::number(0);
        match (position, &self.only) {
            (Position::Only(chosen), Some(terms)) => chosen.pick(&terms[at], &nothing),
            (Position::Row(row) | Position::Only(row), _) => Term::at(column, row).or_if_fault(&nothing),
        }
    }

    /// `OK` while no other offer is cheaper, and the price break that was chosen is reached; where there is no other,
    /// while there is a price.
    pub(crate) fn verdict(&self, price: &Term, position: &Position, needed: &Term) -> Term {
        let (zero, gone) = (Term::number(0), Term::text(NO_OFFER));
        let breaks = self.all.iter().any(|offer| offer.reached.is_some());
        let verdict = match &self.only {
            // A price of 0 is a price; a blank cell is none.
            Some(_) => match self.all.first().and_then(|only| only.blank.as_ref()) {
                Some(blank) => blank.and(&needed.above(&zero)).flag(NO_PRICE),
                None => Term::text(OK),
            },
            None => price.above(&Term::least(&self.compared)).flag("cheaper offer"),
        };
        let verdict = match breaks {
            true => self.take(position, &self.reached, 3).above(&zero).pick(&verdict, &Term::text("break not reached")),
            false => verdict,
        };
        match position {
            Position::Only(chosen) => chosen.pick(&verdict, &gone),
            Position::Row(row) => row.above(&zero).pick(&verdict, &gone).or_if_fault(&gone),
        }
    }
}
