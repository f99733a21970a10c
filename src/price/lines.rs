//! Take-off lines at the prices of the chosen offers.

use super::{Context, unlisted};
use crate::figure::input::raw_value;
use crate::figure::{Book, CellKind, Column, ColumnId, Term, Value};
use crate::finding::{Code, Finding};
use crate::model::{Phase, Price, Setting};
use crate::takeoff::{Line, matches_item};
use crate::unit::Unit;
use rust_decimal::Decimal;
use std::sync::Arc;

/// What the check says of a line that nobody has priced.
const NO_PRICE: &str = "no price";

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
}

/// The columns that the build-up sums.
pub(super) struct LineColumns {
    pub by_phase: [Column; 4],
    pub to_buy: Column,
    /// The rate of sales tax on each line.
    pub tax_rate: Column,
    /// How many lines of which something is needed have no price.
    pub unpriced: Term,
}

/// An offer that could fill a line.
struct Offer<'a> {
    row: &'a Price,
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

pub(super) fn lines(book: &mut Book, context: &Context, findings: &mut Vec<Finding>) -> (Vec<PricedLine>, LineColumns) {
    let table = book.table(context.cost, "Material, line by line");
    let name = book.column_like(table, "Line", Unit::None, 36.0, CellKind::Plain);
    let chosen = book.column_like(table, "Chosen offer", Unit::Each, 9.0, CellKind::Plain);
    let supplier = book.column_like(table, "Supplier", Unit::None, 20.0, CellKind::Plain);
    let unit_price = book.column(table, "Price of one", Unit::UnitPrice);
    let tax_rate = book.column(table, "Tax rate", Unit::Percent);
    let phases = Phase::ALL.map(|phase| book.column(table, phase.title(), Unit::Money));
    let amount = book.column(table, "Amount", Unit::Money);
    let to_buy = book.column(table, "Of it to buy", Unit::Money);
    let check = book.column_like(table, "Check", Unit::None, 18.0, CellKind::Check);
    let mut priced_lines = Vec::new();
    let (mut missing, mut first_missing) = (Vec::new(), None);
    for (index, line) in context.take_off.lines.iter().enumerate() {
        let row = book.row(table);
        if line.idle {
            book.mark(row, CellKind::Idle);
        }
        book.put(row, name, line.key.clone());
        let offers = offers(book, context, line);
        let pick = pick(context, line, &offers);
        let (price, from) = match pick.map(|i| &offers[i]) {
            Some(offer) => {
                let price = book.put(row, unit_price, offer.unit_price.clone());
                let rate = book.tax_input(&offer.row.tax, &context.settings.get(Setting::TaxRate), true);
                book.put(row, tax_rate, rate);
                let from = offer.row.supplier.get().unwrap_or_default();
                if let (false, Some(place)) = (from.is_empty(), &offer.row.supplier.cell) {
                    let words = book.input_cell(place, Value::Text(from.clone()));
                    book.put(row, supplier, words);
                }
                let sheet_row = Value::Exact(Decimal::from(offer.row.row + 1));
                let choice =
                    book.choose(row, chosen, sheet_row, check, |_| cheapest(&price, &line.needed, pick, &offers));
                book.link(&choice, &offer.row.kind.place);
                (price, from)
            }
            None => {
                book.label(row, supplier, "no price");
                let none = book.rule(row, unit_price, Value::Exact(Decimal::ZERO), &"no price".into());
                let short = line.needed.above(&Term::number(0)).pick(&Term::text(NO_PRICE), &Term::text("OK"));
                book.put(row, check, short);
                if line.needed.value().as_f64() > 0.0 {
                    let quantity = format!("{} {}", line.needed.value(), if line.feet { "ft" } else { "each" });
                    missing.push((line.item.text(), quantity));
                    first_missing = first_missing.or(line.first.as_ref());
                }
                (none, Arc::from(""))
            }
        };
        let mut sums = Vec::new();
        for (column, quantity) in phases.iter().zip(&line.by_phase) {
            if let Some(quantity) = quantity {
                sums.push(book.put(row, *column, (quantity * &price).cents()));
            }
        }
        let sums: Vec<&Term> = sums.iter().collect();
        let amount = book.put(row, amount, Term::total(&sums).cents());
        let to_buy = book.put(row, to_buy, (&line.to_buy * &price).cents());
        priced_lines.push(PricedLine {
            line: index,
            unit_price: price,
            amount,
            to_buy,
            supplier: from,
            priced: pick.is_some(),
        });
    }
    if context.take_off.lines.iter().any(|line| line.idle) {
        book.words(context.cost, crate::figure::Look::Small, crate::takeoff::FOLDED);
    }
    if !missing.is_empty() {
        findings.push(Finding::near(first_missing, Code::NoPrice { items: missing }));
    }
    let checks = book.whole(check);
    let unpriced = unpriced(book, context, &checks);
    let whole = |book: &mut Book, column: ColumnId| book.whole(column);
    let columns = LineColumns {
        by_phase: phases.map(|column| whole(book, column)),
        to_buy: whole(book, to_buy),
        tax_rate: whole(book, tax_rate),
        unpriced,
    };
    (priced_lines, columns)
}

/// How many of the lines stand at nothing though something is needed of them, and how many things are needed that have no
/// line at all.
fn unpriced(book: &mut Book, context: &Context, checks: &Column) -> Term {
    let list = book.list(context.cost, "");
    let label = book.column_like(list, "", Unit::None, 36.0, CellKind::Plain);
    let value = book.column_like(list, "", Unit::Each, 9.0, CellKind::Plain);
    let row = book.row(list);
    book.label(row, label, "Lines needed that have no price");
    // Where the price alone is asked for, the sizes are those that the lines were made for.
    let unlisted = context.purchases.and_then(|_| unlisted::put(book, context));
    let count = match checks.values().is_empty() {
        true => book.rule(row, value, Value::Exact(Decimal::ZERO), &"nothing is needed".into()),
        false => {
            let without = Term::count_where(&[(checks, &Term::text(NO_PRICE))]);
            book.put(row, value, unlisted.map_or(without.clone(), |unlisted| without + unlisted))
        }
    };
    book.name(&count, "Lines_without_price");
    count
}

/// Every row of Prices that offers the line's item at a price, in the order of the sheet.
fn offers<'a>(book: &mut Book, context: &Context<'a>, line: &Line) -> Vec<Offer<'a>> {
    let mut offers = Vec::new();
    for row in &context.job.prices {
        let sizes = row.sizes.get().unwrap_or_default();
        let material = row.material.as_ref().map(|m| &**m);
        if !matches_item(context.rules, &line.item, &row.kind.value, material, &sizes) {
            continue;
        }
        let Some(unit_price) = book.unit_price(row) else { continue };
        let reached = row.is_break().then(|| {
            let from = book.number_input(&row.from_units, Decimal::ONE);
            let pack = match (&row.pack.value, &row.pack.cell) {
                (None, None) => None,
                _ => Some(book.number_input(&row.pack, Decimal::ONE)),
            };
            line.needed.at_least(&pack.map_or_else(|| from.clone(), |pack| &from * pack))
        });
        let blank = row.price.cell.as_ref().map(|place| book.input_cell(place, raw_value(&row.price.raw)).is_blank());
        offers.push(Offer { row, unit_price, blank, reached });
    }
    offers
}

/// The offer held, when it still is one; else the cheapest for one, the first of equals.
fn pick(context: &Context, line: &Line, offers: &[Offer]) -> Option<usize> {
    let held = context.hold.then(|| context.job.held.get(&("Cost build-up".to_owned(), line.item.text()))).flatten();
    let held = held.and_then(|row| row.parse::<Decimal>().ok());
    let still = held.and_then(|held| offers.iter().position(|offer| Decimal::from(offer.row.row + 1) == held));
    let price = |offer: &Offer| offer.unit_price.value().as_f64();
    let holding = (0..offers.len()).filter(|at| offers[*at].holds());
    still.or_else(|| holding.min_by(|a, b| price(&offers[*a]).total_cmp(&price(&offers[*b]))))
}

/// `OK` while no other offer is cheaper, and the price break that was chosen is reached; where there is no other, while
/// there is a price.
fn cheapest(price: &Term, needed: &Term, picked: Option<usize>, offers: &[Offer]) -> Term {
    let others = offers.iter().enumerate().filter(|(i, _)| Some(*i) != picked);
    let others = others.map(|(_, offer)| match &offer.reached {
        // One that is not reached is no cheaper than what is chosen.
        Some(reached) => reached.pick(&offer.unit_price, price),
        None => offer.unit_price.clone(),
    });
    let ok = Term::text("OK");
    let verdict = match others.reduce(|a, b| a.min(&b)) {
        Some(least) => price.above(&least).pick(&Term::text("cheaper offer"), &ok),
        // A price of 0 is a price; a blank cell is none.
        None => match picked.and_then(|picked| offers[picked].blank.as_ref()) {
            Some(blank) => blank.and(&needed.above(&Term::number(0))).pick(&Term::text(NO_PRICE), &ok),
            None => ok,
        },
    };
    match picked.and_then(|picked| offers[picked].reached.as_ref()) {
        Some(reached) => reached.pick(&verdict, &Term::text("break not reached")),
        None => verdict,
    }
}
