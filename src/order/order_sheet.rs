//! The sheet of an order: what a clerk needs to know, what is asked for, and blanks for the answer with live sums.

use super::words::{conditions, plain};
use super::{Order, OrderLine};
use crate::figure::{Book, CellKind, Look, RowId, SheetId, Term, Value};
use crate::model::order_form as form;
use crate::model::{Job, Phase, Setting, date_text};
use crate::table::columns;
use crate::unit::Unit;
use rust_decimal::Decimal;

const HOW_TO: &str = "Fill in the boxed cells. Prices are for one Unit, before tax. Totals calculate.";

/// What the paper is, in its first line: nobody ships from a request for a quote, or takes an order for one.
fn what_it_is(order: &Order) -> &'static str {
    match order.quotes() {
        _ if order.asks_only() => "Quote only. Not an order; do not ship.",
        0 => "This is a purchase order.",
        _ => "This is a purchase order, but for the lines marked quote: price those and do not ship them.",
    }
}

/// The book of one order: one sheet. `begins` where it has what the job needs first: later orders are called for when the
/// work before them is done.
pub(crate) fn paper(job: &Job, order: &Order, begins: bool) -> Book {
    let mut book = Book::new();
    let sheet = book.sheet(form::SHEET, true);
    book.words(sheet, Look::Title, &order.title());
    book.words(sheet, Look::Words, &format!("{} {HOW_TO}", what_it_is(order)));
    let charge = head(&mut book, sheet, job, order, begins);
    book.words(sheet, Look::Heading, "Conditions");
    for (at, condition) in conditions(job, order).iter().enumerate() {
        book.words(sheet, Look::Words, &format!("{}. {condition}", at + 1));
    }
    book.gap(sheet);
    lines(&mut book, sheet, order, &charge);
    // The keys of the lines are for programs.
    book.not_printed(sheet, 1);
    book
}

/// Labels and values, those of the supplier last. Gives the cell of the charge.
fn head(book: &mut Book, sheet: SheetId, job: &Job, order: &Order, begins: bool) -> Term {
    let list = book.list(sheet, "");
    let Head { label, value, .. } = Head::in_table(book, list);
    let text = |setting: Setting| plain(&job.text(setting));
    let deliver = [text(Setting::DeliverTo), text(Setting::Site)].into_iter().find(|words| !words.is_empty());
    let phases: Vec<&str> = order.phases.iter().map(|phase| phase.word()).collect();
    let needed_by = job.number(Setting::NeededBy).map(|day| match begins {
        true => date_text(day),
        false => "when released".to_owned(),
    });
    let entry = [
        (form::ORDER_NUMBER, order.number.clone()),
        (form::REVISES, order.revises.clone()),
        (form::SUPPLIER, order.supplier_name().to_owned()),
        (form::JOB, text(Setting::JobName)),
        (form::BID, bid(job)),
        (form::ORDERED_BY, text(Setting::PreparedBy)),
        (form::DELIVER_TO, deliver.unwrap_or_else(|| "call before shipping".to_owned())),
        (form::CONTACT, text(Setting::DeliverContact)),
        (form::NEEDED_BY, needed_by.unwrap_or_default()),
        (form::PHASES, if phases.is_empty() { "all phases".to_owned() } else { phases.join(", ") }),
    ];
    for (words, entry) in entry.iter().filter(|(_, entry)| !entry.is_empty()) {
        let row = book.row(list);
        book.label(row, label, words);
        book.label(row, value, entry);
    }
    let mut to_fill = |words: &str, unit: Unit| {
        let row = book.row(list);
        book.label(row, label, words);
        let blank = book.to_fill(row, value);
        book.unit(&blank, unit);
        blank
    };
    to_fill(form::QUOTED_BY, Unit::None);
    to_fill(form::QUOTED_ON, Unit::Date);
    to_fill(form::VALID_UNTIL, Unit::Date);
    to_fill(form::CHARGE, Unit::Money)
}

/// `H-14, revision 1`
fn bid(job: &Job) -> String {
    let (number, revision) = (plain(&job.text(Setting::BidNumber)), plain(&job.text(Setting::Revision)));
    match number.is_empty() {
        true => format!("revision {revision}"),
        false => format!("{number}, revision {revision}"),
    }
}

/// Over the lines that are asked for: they stand apart, so that nobody picks them.
const TO_QUOTE: &str = "quote only, not ordered";

columns! {
    /// [`form::COLUMNS`]: the cells of a price and a sum are money, but a sign in the heading would make it another one.
    struct Columns {
        number: form::ROW, words 3;
        item: form::ITEM, words 30;
        size: form::SIZE, words 18;
        part: form::PART, words 10;
        quantity: form::QUANTITY, Each;
        unit: form::UNIT, words 5;
        pack: form::PACK, words 6;
        needed_for: form::NEEDED_FOR, words 10;
        state: form::STATE, words 6;
        quoted: form::QUOTED_PRICE, words 9;
        extension: form::EXTENSION, words 9;
        price: form::PRICE, words 9;
        available: form::AVAILABLE, words 8;
        substitute: form::SUBSTITUTE, words 9;
        remark: form::REMARK, words 14;
        sum: form::SUM, words 9;
        line: form::LINE, quiet words 34;
    }
}

columns! {
    /// The lines' running numbers stand in the first column; the head keeps clear of it.
    struct Head {
        _clear: "", words 3;
        label: "", quiet words 30;
        value: "", words 15;
    }
}

fn lines(book: &mut Book, sheet: SheetId, order: &Order, charge: &Term) {
    let table = book.table(sheet, "");
    let columns = Columns::in_table(book, table);
    let mut group = None;
    let (mut first, mut last) = (None, 0);
    for (at, line) in order.lines.iter().enumerate() {
        let of = if line.quote && !order.asks_only() { TO_QUOTE } else { &*line.group };
        if group != Some(of) {
            group = Some(of);
            let row = book.row(columns.table);
            band(book, &columns, row, &capital(of));
            last += 1;
        }
        put_line(book, &columns, at + 1, line, order.asks_only());
        first.get_or_insert(last);
        last += 1;
    }
    let Some(first) = first else { return };
    let Columns { price, sum, extension, .. } = columns;
    let [extensions, sums, prices] = [extension, sum, price].map(|column| book.stretch(column, first, last - 1));
    let mut total = |words: &str, quoted: Option<Term>, term: Term, unit: Unit| {
        let row = book.row(columns.table);
        band(book, &columns, row, words);
        if let Some(quoted) = quoted {
            let put = book.put(row, extension, quoted);
            book.unit(&put, unit);
        }
        let put = book.put(row, sum, term);
        book.unit(&put, unit);
        put
    };
    let quoted = order.lines.iter().any(|line| line.quoted.is_some()).then(|| Term::sum(&extensions).cents());
    let all = total(form::LINES_END, quoted, Term::sum(&sums).cents(), Unit::Money);
    let zero = Term::number(0);
    total("With delivery or trip charge", None, all + charge.is_number().pick(charge, &zero), Unit::Money);
    let lines = Term::number(order.lines.len() as u64);
    total("Lines not yet priced by the supplier", None, lines - Term::count_filled(&prices), Unit::Each);
}

/// A row that is no line: a group, a total.
fn band(book: &mut Book, columns: &Columns, row: RowId, words: &str) {
    book.mark(row, CellKind::Total);
    book.label(row, columns.item, words);
}

fn put_line(book: &mut Book, columns: &Columns, number: usize, line: &OrderLine, asks_only: bool) {
    let row = book.row(columns.table);
    let key = line.key.to_string();
    let state = if line.quote { form::QUOTE } else { form::ORDERED };
    let (pack, needed) = (pack_words(line), needed_for(&line.needed_for));
    let words = [
        (columns.item, line.item.as_str()),
        (columns.size, &line.size),
        (columns.part, &line.part),
        (columns.unit, &line.unit),
        (columns.pack, &pack),
        (columns.needed_for, &needed),
        (columns.state, state),
        (columns.line, &key),
    ];
    for (column, words) in words.into_iter().filter(|(_, words)| !words.is_empty()) {
        book.label(row, column, words);
    }
    let own: std::sync::Arc<str> = "of this order".into();
    book.state(row, columns.number, Value::Exact(Decimal::from(number)), &own);
    let quantity = book.state(row, columns.quantity, Value::Exact(line.quantity), &own);
    if let Some(quoted) = line.quoted {
        let quoted = book.state(row, columns.quoted, Value::Exact(quoted), &own);
        book.unit(&quoted, Unit::Money);
        let extension = book.put(row, columns.extension, (&quantity * &quoted).cents());
        book.unit(&extension, Unit::Money);
    } else if !asks_only {
        book.label(row, columns.quoted, form::NO_PRICE);
    }
    for column in [columns.available, columns.substitute, columns.remark] {
        book.to_fill(row, column);
    }
    let price = book.to_fill(row, columns.price);
    book.unit(&price, Unit::Money);
    let sum = price.is_number().pick(&(quantity * &price).cents(), &Term::text(""));
    let sum = book.put(row, columns.sum, sum);
    book.unit(&sum, Unit::Money);
}

/// What one Unit holds: `20 ft`, `50 ea`.
pub(crate) fn pack_words(line: &OrderLine) -> String {
    format!("{} {}", line.pack.normalize(), if line.feet { "ft" } else { "ea" })
}

/// `rough-in`; of several phases how many each: `underground 1, rough-in 9`.
pub(crate) fn needed_for(phases: &[(Phase, Decimal)]) -> String {
    match phases {
        [(only, _)] => only.word().to_owned(),
        several => {
            let each = several.iter().map(|(phase, count)| format!("{} {}", phase.word(), count.normalize()));
            each.collect::<Vec<_>>().join(", ")
        }
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
