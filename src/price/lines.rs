//! Take-off lines at the prices of the chosen offers.

use super::nearest::nearest_offer;
use super::offers::{self, NO_OFFER, NO_PRICE, is_held_by_row, pick};
use super::{Context, unlisted};
use crate::choice::Choice;
use crate::figure::{Book, CellKind, Column, ColumnId, RowId, Term, Value};
use crate::finding::Finding;
use crate::model::Phase;
use crate::place::Place;
use crate::price::findings::{NoPrice, OffersByRow};
use crate::rules::fits;
use crate::sheets::Page;
use crate::table::List;
use crate::table::columns;
use crate::takeoff::Line;
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::sync::Arc;

/// A take-off line with its money.
#[derive(Debug)]
pub struct PricedLine {
    /// Index into the take-off's lines.
    pub line: usize,
    /// Price of one foot or piece; 0 where there is no price.
    pub unit_price: Term,
    /// All phases, to the cent.
    pub amount: Term,
    /// What is not on hand, to the cent.
    pub to_buy: Term,
    pub supplier: Arc<str>,
    pub priced: bool,
    /// The row of Prices that is chosen.
    pub(crate) price_row: Option<u32>,
    /// When it was quoted, where prices are carried to Start date.
    pub(crate) quoted: Option<Term>,
}

/// The columns that the build-up sums.
pub(super) struct LineColumns {
    pub by_phase: [Column; 4],
    pub to_buy: Column,
    /// The rate of sales tax on each line.
    pub tax_rate: Column,
    /// How many lines of which something is needed have no price.
    pub unpriced: Term,
    /// How many lines have no offer of the name that is chosen.
    pub gone: Term,
}

columns! {
    struct Columns on CostBuildUp("Material, line by line") {
        name: "Line", words 36;
        chosen: Choice::Offer.heading(), words 26;
        unit_price: "Price of one", UnitPrice;
        tax_rate: "Tax rate", Percent;
        phases as [ColumnId; 4]: Phase::ALL.map(Phase::title), Money;
        amount: "Amount", Money;
        to_buy: "Of it to buy", Money;
        check: "Check", check 18;
    }
}

pub(super) fn lines(book: &mut Book, context: &Context, findings: &mut Vec<Finding>) -> (Vec<PricedLine>, LineColumns) {
    let columns = Columns::on_page(book, context);
    let offers = offers::Table::new(book, context);
    let mut table = Table { context, columns, offers, missing: Vec::new(), first_missing: None, by_row: Vec::new() };
    let lines = &context.take_off.lines;
    let priced = lines.iter().enumerate().map(|(index, line)| table.put(book, index, line)).collect();
    if lines.iter().any(|line| line.idle) {
        book.words(context.page(Page::CostBuildUp), crate::figure::Look::Small, crate::parts::FOLDED);
    }
    let columns = table.find(findings);
    let checks = book.whole(columns.check);
    let unpriced = unpriced(book, context, &checks);
    let gone = Term::count_where(&[(&checks, &Term::text(NO_OFFER))]);
    let mut whole = |column: ColumnId| book.whole(column);
    let by_phase = columns.phases.map(&mut whole);
    let (to_buy, tax_rate) = (whole(columns.to_buy), whole(columns.tax_rate));
    (priced, LineColumns { by_phase, to_buy, tax_rate, unpriced, gone })
}

/// The table of lines, and what is told once all stand.
struct Table<'a> {
    context: &'a Context<'a>,
    columns: Columns,
    offers: offers::Table,
    /// What is needed and has no price: the line, and how much.
    missing: Vec<(String, String, String)>,
    first_missing: Option<&'a Place>,
    /// Lines whose offer is held by its row.
    by_row: Vec<String>,
}

impl<'a> Table<'a> {
    fn put(&mut self, book: &mut Book, index: usize, line: &'a Line) -> PricedLine {
        let row = book.row(self.columns.table);
        if line.idle {
            book.mark(row, CellKind::Idle);
        }
        book.put(row, self.columns.name, line.key.clone());
        let offers = self.offers.of_line(book, self.context, line);
        let picked = pick(self.context, line, &offers);
        let mut quoted = None;
        let (unit_price, supplier) = match picked {
            Some(pick) => {
                if is_held_by_row(self.context, line) {
                    self.by_row.push(line.item.text());
                }
                let offer = &offers.all[pick];
                let choice = book.choose_now(row, self.columns.chosen, Value::text(offer.name.text()));
                book.link(&choice, &offer.row.kind.place);
                let position = offers.position(&choice);
                quoted = offers.quoted(&position);
                let price = book.put(row, self.columns.unit_price, offers.price_of(&position));
                book.put(row, self.columns.tax_rate, offers.tax_rate_of(&position));
                let verdict = offers.verdict(&price, &position, &line.needed);
                let verdict = book.put(row, self.columns.check, verdict);
                book.check_choice(&choice, &verdict);
                (price, offer.row.supplier.get().unwrap_or_default())
            }
            None => (self.put_without_offer(book, row, line), Arc::from("")),
        };
        let mut sums = Vec::new();
        for (column, quantity) in self.columns.phases.iter().zip(&line.by_phase) {
            if let Some(quantity) = quantity {
                sums.push(book.put(row, *column, (quantity * &unit_price).cents()));
            }
        }
        let amount = Term::total(&sums.iter().collect::<Vec<_>>()).cents();
        let amount = book.put(row, self.columns.amount, amount);
        let to_buy = book.put(row, self.columns.to_buy, (&line.to_buy * &unit_price).cents());
        let price_row = picked.map(|pick| offers.all[pick].row.row);
        PricedLine { line: index, unit_price, amount, to_buy, supplier, priced: picked.is_some(), price_row, quoted }
    }

    fn put_without_offer(&mut self, book: &mut Book, row: RowId, line: &'a Line) -> Term {
        let Context { job, rules, .. } = *self.context;
        let asked = job.prices.iter().find(|price| price.is_open() && fits(rules, &line.item, *price));
        let words = asked.map(|price| format!("to be quoted {}", price.supplier.text()));
        book.label(row, self.columns.chosen, words.as_deref().map_or(NO_PRICE, str::trim_end));
        let none = book.state(row, self.columns.unit_price, Value::Exact(Decimal::ZERO), "no price");
        book.put(row, self.columns.check, line.needed.flag_any(NO_PRICE));
        if line.needed.value().as_f64() > 0.0 {
            let quantity = format!("{} {}", line.needed.value(), if line.feet { "ft" } else { "each" });
            let near = nearest_offer(self.context.job, self.context.rules, &line.item);
            self.missing.push((line.item.text(), quantity, near));
            self.first_missing = self.first_missing.or(line.first.as_ref());
        }
        none
    }

    fn find(self, findings: &mut Vec<Finding>) -> Columns {
        if !self.missing.is_empty() {
            findings.push(Finding::near(self.first_missing, NoPrice { items: self.missing }));
        }
        if !self.by_row.is_empty() {
            findings.push(Finding::everywhere(OffersByRow { lines: self.by_row }));
        }
        self.columns
    }
}

/// How many of the lines stand at nothing though something is needed of them, and how many things are needed that have no
/// line at all.
fn unpriced(book: &mut Book, context: &Context, checks: &Column) -> Term {
    let list = List::put(book, context.page(Page::CostBuildUp), "", [36.0, 9.0], Unit::Each);
    let row = list.label(book, "Lines needed that have no price");
    // Where the price alone is asked for, the sizes are those that the lines were made for.
    let unlisted = context.purchases.and_then(|_| unlisted::put(book, context));
    let count = match checks.values().is_empty() {
        true => book.state(row, list.value, Value::Exact(Decimal::ZERO), "nothing is needed"),
        false => {
            let [none, gone] = [NO_PRICE, NO_OFFER].map(|word| Term::count_where(&[(checks, &Term::text(word))]));
            let without = none + gone;
            book.put(row, list.value, unlisted.map_or(without.clone(), |unlisted| without + unlisted))
        }
    };
    book.name(&count, "Lines_without_price");
    count
}
