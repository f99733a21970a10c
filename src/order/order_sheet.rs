//! The sheet of an order: what a clerk needs to know, what is asked for, and blanks for the answer with live sums.

use super::lines::plain;
use super::words::conditions;
use super::{Order, OrderLine};
use crate::figure::{Book, CellKind, ColumnId, Look, RowId, SheetId, TableId, Term, Value};
use crate::model::order_form as form;
use crate::model::{Job, Phase, Setting, date_text};
use crate::unit::Unit;
use rust_decimal::Decimal;

const HOW_TO: &str = "Please fill in the boxed cells: prices are for one Unit, before tax. All other cells are locked; the sums \
     follow what you type.";

/// The book of one order: one sheet. `begins` where it has what the job needs first: later orders are called for when the
/// work before them is done.
pub(crate) fn paper(job: &Job, order: &Order, begins: bool) -> Book {
    let mut book = Book::new();
    let sheet = book.sheet(form::SHEET, true);
    book.words(sheet, Look::Title, &order.title(job));
    book.words(sheet, Look::Words, HOW_TO);
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
    // The lines' running numbers stand in the first column; the head keeps clear of it.
    book.column_like(list, "", Unit::None, 3.0, CellKind::Plain);
    let label = book.column_like(list, "", Unit::None, 30.0, CellKind::Quiet);
    let value = book.column_like(list, "", Unit::None, 15.0, CellKind::Plain);
    let text = |setting: Setting| plain(&job.text(setting));
    let deliver = [text(Setting::DeliverTo), text(Setting::Site)].into_iter().find(|words| !words.is_empty());
    let phases: Vec<&str> = order.phases.iter().map(|phase| phase.word()).collect();
    let needed_by = job.number(Setting::NeededBy).map(|day| match begins {
        true => date_text(day),
        false => "when we call for it".to_owned(),
    });
    let said = [
        (form::ORDER_NUMBER, text(Setting::OrderNumber)),
        (form::SUPPLIER, order.supplier_name().to_owned()),
        (form::JOB, text(Setting::JobName)),
        (form::BID, bid(job)),
        (form::ORDERED_BY, text(Setting::PreparedBy)),
        (form::DELIVER_TO, deliver.unwrap_or_else(|| "ask before you send it".to_owned())),
        (form::CONTACT, text(Setting::DeliverContact)),
        (form::NEEDED_BY, needed_by.unwrap_or_default()),
        (form::PHASES, if phases.is_empty() { "all phases".to_owned() } else { phases.join(", ") }),
    ];
    for (words, said) in said.iter().filter(|(_, said)| !said.is_empty()) {
        let row = book.row(list);
        book.label(row, label, words);
        book.label(row, value, said);
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
const TO_QUOTE: &str = "please quote, not ordered";

struct Columns {
    table: TableId,
    all: Vec<ColumnId>,
}

impl Columns {
    fn put(book: &mut Book, sheet: SheetId) -> Self {
        let table = book.table(sheet, "");
        let all = form::COLUMNS.iter().map(|column| {
            let (unit, width, kind) = match column.heading {
                form::ROW => (Unit::None, 3.0, CellKind::Plain),
                form::ITEM => (Unit::None, 30.0, CellKind::Plain),
                form::SIZE => (Unit::None, 18.0, CellKind::Plain),
                form::PART => (Unit::None, 10.0, CellKind::Plain),
                form::QUANTITY => (Unit::Each, 0.0, CellKind::Plain),
                form::UNIT => (Unit::None, 5.0, CellKind::Plain),
                form::PACK => (Unit::None, 6.0, CellKind::Plain),
                form::NEEDED_FOR => (Unit::None, 10.0, CellKind::Plain),
                form::STATE => (Unit::None, 6.0, CellKind::Plain),
                // Their cells are money; a sign in the heading would make it another one than is declared.
                form::PRICE | form::SUM => (Unit::None, 9.0, CellKind::Plain),
                form::AVAILABLE => (Unit::None, 8.0, CellKind::Plain),
                form::SUBSTITUTE => (Unit::None, 9.0, CellKind::Plain),
                form::REMARK => (Unit::None, 14.0, CellKind::Plain),
                _ => (Unit::None, 34.0, CellKind::Quiet),
            };
            book.column_like(table, column.heading, unit, width, kind)
        });
        Self { table, all: all.collect() }
    }

    /// Every heading of the form has its column.
    fn of(&self, heading: &str) -> ColumnId {
        let at = form::COLUMNS.iter().position(|column| column.heading == heading).unwrap_or(0);
        self.all[at]
    }
}

fn lines(book: &mut Book, sheet: SheetId, order: &Order, charge: &Term) {
    let columns = Columns::put(book, sheet);
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
        put_line(book, &columns, at + 1, line);
        first.get_or_insert(last);
        last += 1;
    }
    let Some(first) = first else { return };
    let (price, sum) = (columns.of(form::PRICE), columns.of(form::SUM));
    let sums = book.stretch(sum, first, last - 1);
    let prices = book.stretch(price, first, last - 1);
    let mut total = |words: &str, term: Term, unit: Unit| {
        let row = book.row(columns.table);
        band(book, &columns, row, words);
        let put = book.put(row, sum, term);
        book.unit(&put, unit);
        put
    };
    let all = total(form::LINES_END, Term::sum(&sums).cents(), Unit::Money);
    let zero = Term::number(0);
    total("With delivery or trip charge", all + charge.is_number().pick(charge, &zero), Unit::Money);
    let lines = Term::number(order.lines.len() as u64);
    total("Lines without a price yet", lines - Term::count_filled(&prices), Unit::Each);
}

/// A row that is no line: a group, a total.
fn band(book: &mut Book, columns: &Columns, row: RowId, words: &str) {
    book.mark(row, CellKind::Total);
    book.label(row, columns.of(form::ITEM), words);
}

fn put_line(book: &mut Book, columns: &Columns, number: usize, line: &OrderLine) {
    let row = book.row(columns.table);
    let key = line.key.to_string();
    let state = if line.quote { form::QUOTE } else { form::ORDERED };
    let (pack, needed) = (pack_words(line), needed_for(&line.needed_for));
    let words = [
        (form::ITEM, line.item.as_str()),
        (form::SIZE, &line.size),
        (form::PART, &line.part),
        (form::UNIT, &line.unit),
        (form::PACK, &pack),
        (form::NEEDED_FOR, &needed),
        (form::STATE, state),
        (form::LINE, &key),
    ];
    for (heading, words) in words.into_iter().filter(|(_, words)| !words.is_empty()) {
        book.label(row, columns.of(heading), words);
    }
    let own: std::sync::Arc<str> = "of this order".into();
    book.state(row, columns.of(form::ROW), Value::Exact(Decimal::from(number)), &own);
    let quantity = book.state(row, columns.of(form::QUANTITY), Value::Exact(line.quantity), &own);
    let filled = form::COLUMNS.iter().filter(|column| column.filled);
    for column in filled.filter(|column| column.heading != form::PRICE) {
        book.to_fill(row, columns.of(column.heading));
    }
    let price = book.to_fill(row, columns.of(form::PRICE));
    book.unit(&price, Unit::Money);
    let sum = price.is_number().pick(&(quantity * &price).cents(), &Term::text(""));
    let sum = book.put(row, columns.of(form::SUM), sum);
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
