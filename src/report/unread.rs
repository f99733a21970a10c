//! Words that somebody types where a number belongs: which cell holds them, so that an error in the total can name it.

use super::Context;
use crate::figure::{Book, Column, ColumnId, Term, Value};
use crate::input::Kind;
use crate::input::raw_value;
use crate::model::KeptSheet;
use crate::model::range::Range;
use crate::place::column_letters;
use crate::table::columns;
use rust_decimal::Decimal;

columns! {
    struct Columns on Checks("Words where numbers belong") {
        what: "Column", words 34;
        /// How many cells hold words, and the numbers of their rows added up: now, and when the job was priced.
        now as [ColumnId; 2]: ["Cells with words", "Their rows, summed"], words 14;
        priced as [ColumnId; 2]: ["Cells as priced", "Rows as priced"], words 14;
        /// The number that one cell holds as text since.
        read: "Number as text", Ratio;
        /// 1 where a number that stands as text since is beyond what the column declares, or where several do.
        beyond: "Text beyond its range", Each 14;
        /// The first cell that has come to hold words, of this column or of one above.
        cell: "First such cell", words 14;
    }
}

/// Rows below the last one of a column in which words are noticed.
const ROWS_WATCHED: u32 = 200;

/// Puts a row for each column of numbers. Gives the cell that names the first one that has come to hold words, and how many
/// columns hold a number as text since that pricing would not take.
pub(super) fn put(book: &mut Book, context: &Context) -> Option<(Term, Term)> {
    let kept = context.kept;
    let decides = |sheet: &&KeptSheet| sheet.declared.is_some_and(|declared| !declared.is_idle);
    let sheets: Vec<&KeptSheet> = kept.sheets.iter().filter(decides).collect();
    let columns = Columns::on_page(book, context);
    let mut found: Option<Term> = None;
    for sheet in sheets {
        for numbers in numbers(sheet) {
            found = row(book, &columns, &numbers, found);
        }
    }
    found.map(|found| (found, Term::sum(&book.whole(columns.beyond))))
}

/// A column of numbers in a sheet of the user's.
struct Numbers<'a> {
    sheet: &'a KeptSheet,
    column: u16,
    heading: &'static str,
    range: Option<Range>,
}

/// The columns of a sheet that hold numbers; of settings all values.
fn numbers(sheet: &KeptSheet) -> Vec<Numbers<'_>> {
    let Some(declared) = sheet.declared else { return Vec::new() };
    let number = |kind: Kind| kind.is_number() || kind == Kind::Share;
    let of_job = declared.name == "Job";
    let known = declared.columns.iter().filter(|c| number(c.kind) || of_job && c.name == "Value");
    let column = |c: &crate::input::Column| {
        Some(Numbers { sheet, column: *sheet.column_of.get(c.name)?, heading: c.name, range: c.range })
    };
    known.filter_map(column).collect()
}

/// The cells of a column below its heading, and as many more as are watched. `None` where one holds an error: nothing can be
/// counted there.
pub(super) fn below_heading(book: &Book, sheet: &KeptSheet, column: u16) -> Option<Column> {
    let headings = sheet.heading_row?;
    let below = sheet.cells.iter().filter(|cell| cell.column == column && cell.row > headings);
    let filled: Vec<(u32, Value)> = below.map(|cell| (cell.row, raw_value(&cell.raw))).collect();
    if filled.iter().any(|(_, value)| value.fault().is_some()) {
        return None;
    }
    let last = filled.iter().map(|(row, _)| *row).max().unwrap_or(headings).saturating_add(ROWS_WATCHED);
    Some(book.input_column(sheet.place(headings + 1, column), last.min(crate::place::LAST_ROW), filled))
}

fn row(book: &mut Book, columns: &Columns, numbers: &Numbers, above: Option<Term>) -> Option<Term> {
    let Numbers { sheet, column, heading, range: ref declared } = *numbers;
    let Some(range) = below_heading(book, sheet, column) else { return above };
    let row = book.row(columns.what.table());
    let letters = column_letters(column);
    book.label(row, columns.what, &format!("{}, column {letters} ({heading})", sheet.name));
    let [count, rows] = Term::words_in(&range);
    let mut more = |index: usize, now: Term| {
        let now = book.put(row, columns.now[index], now);
        let was = book.choose_now(row, columns.priced[index], now.value().clone());
        (&now - &was, was)
    };
    let ((count, was), (rows, rows_were)) = (more(0, count), more(1, rows));
    let cell = Term::join(&[&Term::text(format!("{}!{letters}", sheet.name)), &rows]);
    let some = Term::join(&[&Term::text(format!("column {letters} of {}", sheet.name)), &Term::text("")]);
    let one = Term::number(1);
    let named = count.above(&one).pick(&some, &cell);
    let here = count.at_least(&one).pick(&named, &Term::text("")).or_if_fault(&Term::text(""));
    match declared {
        Some(of) => {
            // Counted from the first row below the headings.
            let headings = sheet.heading_row.map_or(0, |row| u64::from(row) + 1);
            let read = Term::at(&range, &(&rows - Term::number(headings))) + Term::number(0);
            let read = book.put(row, columns.read, read.or_if_fault(&Term::number(of.least)));
            let beyond = read.above(&Term::number(of.most)).or(&Term::number(of.least).above(&read));
            let beyond = beyond.pick(&one, &Term::number(0));
            let beyond = count.same(&one).pick(&beyond, &count.above(&one).pick(&one, &Term::number(0)));
            book.put(row, columns.beyond, beyond)
        }
        None => book.state(row, columns.beyond, Value::Exact(Decimal::ZERO), "no bounds"),
    };
    let first = match &above {
        Some(above) => above.is_blank().pick(&here, above),
        None => here,
    };
    let first = book.put(row, columns.cell, first);
    book.check_choice(&was, &first);
    book.check_choice(&rows_were, &first);
    Some(first)
}
