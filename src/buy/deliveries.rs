//! What has come, what of it is used, what is still to come, and what can go back: the Received sheet held against what was
//! bought (Bought in Prices) and what is in already (Status installed). It changes no need, no order and no price: those
//! go by Bought and Status alone, so nothing counts twice. Bought is what is kept: what goes back comes off it.

use super::offer_name;
use super::{Context, LineBought};
use crate::buy::findings::{ReceivedNotBought, ReceivedNotNeeded, ReceivedTooFew};
use crate::figure::{Book, CellKind, ColumnId, Look, Term};
use crate::finding::Finding;
use crate::model::Received;
use crate::rules::fits;
use crate::sheets::Page;
use crate::table::List;
use crate::table::columns;
use crate::takeoff::Line;
use crate::unit::Unit;
use rust_decimal::Decimal;

const WORDS: &str = "On site is what came less what is used and returned. Wanted yet is what the runs, fixtures and devices that \
     are not installed need, spares included, less what is used ahead of their Status. What went back comes off Bought in Prices. What can go back is what is on site beyond \
     that, at the price it was bought at; ask the supplier what comes back of it.";

const NUMBERS: [&str; 9] =
    ["Bought", "Received", "Still to come", "Used", "Returned", "On site", "Wanted yet", "Short", "Can go back"];

columns! {
    struct Columns on Buying("Deliveries") {
        line: "Line", words 44;
        unit: "Unit", words;
        numbers as [ColumnId; 9]: NUMBERS, Quantity;
        worth: "Worth", Money;
        check: "Check", check 18;
    }
}

/// The table, where anything has come.
pub(super) fn put(book: &mut Book, context: &Context, lines: &[LineBought], findings: &mut Vec<Finding>) {
    if context.job.received.is_empty() {
        return;
    }
    let mut deliveries: Vec<Delivery> = lines.iter().map(|line| Delivery::of(context, line)).collect();
    for received in &context.job.received {
        let is_of = |delivery: &&mut Delivery| fits(context.rules, &delivery.line.item, received);
        match deliveries.iter_mut().find(is_of) {
            Some(delivery) => delivery.rows.push(received),
            None => {
                let item = received.kind.value.to_string();
                findings.push(Finding::at(&received.kind.place, ReceivedNotNeeded { item }));
            }
        }
    }
    deliveries.retain(|delivery| !delivery.rows.is_empty());
    if deliveries.is_empty() {
        return;
    }
    let columns = Columns::on_page(book, context);
    for delivery in deliveries {
        let sums = delivery.put(book, context, &columns);
        delivery.say(&sums, findings);
    }
    let worths = book.whole(columns.worth);
    let list = List::put(book, context.page(Page::Buying), "", [44.0, 0.0], Unit::Money);
    list.line_like(book, "Worth of what can go back", Term::sum(&worths).cents(), CellKind::Total);
    book.words(context.page(Page::Buying), Look::Small, WORDS);
}

/// What came of one line.
struct Delivery<'a> {
    line: &'a Line,
    bought: &'a LineBought,
    rows: Vec<&'a Received>,
}

/// In feet or pieces.
struct Sums {
    paid_for: Term,
    received: Term,
    returned: Term,
    on_site: Term,
}

impl<'a> Delivery<'a> {
    fn of(context: &Context<'a>, bought: &'a LineBought) -> Self {
        Self { line: &context.take_off.lines[bought.line], bought, rows: Vec::new() }
    }

    fn put(&self, book: &mut Book, context: &Context, columns: &Columns) -> Sums {
        let line = self.line;
        let row = book.row(columns.table);
        book.put(row, columns.line, line.key.clone());
        book.label(row, columns.unit, if line.feet { "ft" } else { "each" });
        let zero = Term::number(0);
        let fields: [fn(&Received) -> &crate::input::Input<crate::input::Positive>; 3] =
            [|row| &row.received, |row| &row.used, |row| &row.returned];
        let [received, used, returned] = fields.map(|field| {
            let cells: Vec<Term> = self.rows.iter().map(|row| field(row).figure(book)).collect();
            Term::total(&cells.iter().collect::<Vec<_>>())
        });
        let unit = if line.feet { Unit::Feet } else { Unit::Each };
        let mut put = |at: usize, term: Term| {
            let put = book.put_or_state(row, columns.numbers[at], term, "none");
            book.unit(&put, unit);
            put
        };
        let paid_for = put(0, line.bought.clone().unwrap_or_else(|| zero.clone()));
        let received = put(1, received);
        // What went back is no longer bought.
        let to_come = put(2, (&paid_for - (&received - &returned)).max(&zero));
        let used = put(3, used);
        let returned = put(4, returned);
        let on_site = put(5, &received - &used - &returned);
        // What is used ahead of its Status is wanted no more.
        let is_in = line.in_already.clone().unwrap_or_else(|| zero.clone());
        let wanted = put(6, (&self.bought.wanted - (&used - &is_in).max(&zero)).max(&zero));
        // What is in and did not come came out of the shop.
        let shop = (&line.on_hand - (&is_in - &used).max(&zero)).max(&zero);
        put(7, (&wanted - shop - &on_site - to_come).max(&zero));
        let back = put(8, (&on_site - &wanted).max(&zero));
        let offer = line
            .bought_by
            .first()
            .copied()
            .or_else(|| offer_name::fitting(context.job, context.rules, line).first().copied());
        let price = offer.and_then(|offer| context.job.prices[offer].unit_price(book));
        if let Some(price) = price {
            book.put(row, columns.worth, (back * price).cents());
        }
        let enough = on_site.at_least(&zero).ok_or("more than came");
        book.put(row, columns.check, enough);
        Sums { paid_for, received, returned, on_site }
    }

    fn say(&self, sums: &Sums, findings: &mut Vec<Finding>) {
        let (line, Sums { paid_for, received, returned, on_site }) = (self.line, sums);
        let number = |term: &Term| term.value().as_decimal().unwrap_or_default();
        let shown = |term: &Term| format!("{} {}", number(term).normalize(), if line.feet { "ft" } else { "each" });
        let place = &self.rows[0].kind.place;
        if number(on_site) < Decimal::ZERO {
            findings.push(Finding::at(place, ReceivedTooFew { item: line.item.text() }));
        }
        let kept = received - returned;
        if number(&kept) > number(paid_for) {
            let (item, received, bought) = (line.item.text(), shown(&kept), shown(paid_for));
            findings.push(Finding::at(place, ReceivedNotBought { item, received, bought }));
        }
    }
}
