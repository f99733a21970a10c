//! Take-off lines at the prices of the chosen offers.

use super::nearest::nearest_offer;
use super::offers::{self, NO_OFFER, NO_PRICE, is_held_by_row, pick};
use super::{Context, unlisted};
use crate::choice::Choice;
use crate::figure::{Book, CellKind, Column, ColumnId, Term, Value};
use crate::finding::Finding;
use crate::model::Phase;
use crate::price::findings::{NoPrice, OffersByRow};
use crate::sheets::Page;
use crate::table::List;
use crate::table::columns;
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
    let Columns { table, name, chosen, unit_price, tax_rate, phases, amount, to_buy, check } =
        Columns::on_page(book, context);
    let mut table_of_offers = offers::Table::new(book, context);
    let mut priced_lines = Vec::new();
    let (mut missing, mut first_missing) = (Vec::new(), None);
    let mut by_row = Vec::new();
    for (index, line) in context.take_off.lines.iter().enumerate() {
        let row = book.row(table);
        if line.idle {
            book.mark(row, CellKind::Idle);
        }
        book.put(row, name, line.key.clone());
        let offers = table_of_offers.of_line(book, context, line);
        let pick = pick(context, line, &offers);
        if pick.is_some() && is_held_by_row(context, line) {
            by_row.push(line.item.text());
        }
        let (price, from) = match pick {
            Some(pick) => {
                let offer = &offers.all[pick];
                let choice = book.choose_now(row, chosen, Value::text(offer.name.text()));
                book.link(&choice, &offer.row.kind.place);
                let position = offers.position(&choice);
                let price = book.put(row, unit_price, offers.price_of(&position));
                book.put(row, tax_rate, offers.tax_rate_of(&position));
                let verdict = offers.verdict(&price, &position, &line.needed);
                let verdict = book.put(row, check, verdict);
                book.check_choice(&choice, &verdict);
                (price, offer.row.supplier.get().unwrap_or_default())
            }
            None => {
                book.label(row, chosen, NO_PRICE);
                let none = book.state(row, unit_price, Value::Exact(Decimal::ZERO), "no price");
                let short = line.needed.flag_any(NO_PRICE);
                book.put(row, check, short);
                if line.needed.value().as_f64() > 0.0 {
                    let quantity = format!("{} {}", line.needed.value(), if line.feet { "ft" } else { "each" });
                    missing.push((line.item.text(), quantity, nearest_offer(context.job, context.rules, &line.item)));
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
        book.words(context.page(Page::CostBuildUp), crate::figure::Look::Small, crate::parts::FOLDED);
    }
    if !missing.is_empty() {
        findings.push(Finding::near(first_missing, NoPrice { items: missing }));
    }
    if !by_row.is_empty() {
        findings.push(Finding::everywhere(OffersByRow { lines: by_row }));
    }
    let checks = book.whole(check);
    let unpriced = unpriced(book, context, &checks);
    let gone = Term::count_where(&[(&checks, &Term::text(NO_OFFER))]);
    let whole = |book: &mut Book, column: ColumnId| book.whole(column);
    let columns = LineColumns {
        by_phase: phases.map(|column| whole(book, column)),
        to_buy: whole(book, to_buy),
        tax_rate: whole(book, tax_rate),
        unpriced,
        gone,
    };
    (priced_lines, columns)
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
