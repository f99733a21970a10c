//! Text that is meant to do harm arrives as text, in the workbook and in the CSV, read back with other readers.

use super::form::Sheet;
use crate::support::job::{Made, job};
use calamine::{Reader, Xlsx};
use std::io::Cursor;
use tallybore::csv_rows;
use tallybore::model::order_form as form;
use tallybore::model::{Field, Raw, Setting, SettingValue};
use tallybore::write::{About, csv_bytes, order_bytes};
use tallybore::{Input, Text};

const HOSTILE: &[&str] = &[
    "=1+1",
    "=HYPERLINK(\"http://example.invalid/?\"&A1,\"click\")",
    "=cmd|' /C calc'!A1",
    "+1-555-0100",
    "-2+3",
    "@SUM(1+1)",
    "\t=1+1",
    "\r=1+1",
    "\n=1+1",
    "\u{ff1d}1+1",
    "\u{ff0b}1",
    "\u{ff0d}1",
    "\u{ff20}SUM(1)",
    "\u{200b}=1+1",
    "{=1+1}",
    "'=1+1",
    "\"quoted\", with a comma;\tand a tab",
    "line one\r\nline two\u{b}\u{c}\u{85}\u{2028}three",
    "nul\u{0}bell\u{7}escape\u{1b}[31m",
    "\u{5d0}\u{5d1}\u{5d2} 3/4",
    "QM\u{202e}4321\u{202c}-\u{2066}X\u{2069}",
    "_x0041_ <b>&amp;</b> ]]>",
    "\u{fffe}\u{ffff}\u{1f6b0}",
];

fn field(text: &str) -> Input<Text> {
    Field { value: Some(text.into()), raw: Raw::Text(text.into()), cell: None }.into()
}

fn with_text(text: &str) -> Made {
    let mut made = job("Runs: A | SUPPLY | 12 | Size 1/2
        Fixtures: L | lavatory | Cold run A
        Prices: pipe | stick | 9 | Material PEX | Size 1/2 | Pack 20
        Prices: ring | bag | 8 | Material PEX | Size 1/2 | Pack 50");
    for price in &mut made.job.prices {
        price.supplier = field(text);
        price.part = field(text);
        price.description = field(text);
    }
    for setting in [
        Setting::OrderNumber,
        Setting::DeliverTo,
        Setting::DeliverContact,
        Setting::OrderNote,
        Setting::Returns,
        Setting::JobName,
    ] {
        made.job.settings.insert(
            setting,
            Field { value: Some(SettingValue::Text(text.into())), raw: Raw::Text(text.into()), cell: None },
        );
    }
    made
}

/// Without control characters and signs that turn the reading around, runs of spaces as one: what paper can bear.
fn expected(text: &str) -> String {
    let turning = "\u{61c}\u{200e}\u{200f}\u{202a}\u{202b}\u{202c}\u{202d}\u{202e}\u{2066}\u{2067}\u{2068}\u{2069}";
    let shown: String =
        text.chars().filter(|c| !turning.contains(*c)).map(|c| if c.is_control() { ' ' } else { c }).collect();
    // Two code points that XML cannot hold.
    let shown = shown.replace(['\u{fffe}', '\u{ffff}'], " ");
    shown.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn squeezed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn hostile_words_are_words_in_the_workbook_and_in_the_csv() {
    for text in HOSTILE {
        let made = with_text(text);
        let (orders, _) = made.price().orders(&made.job, &[], false, false).unwrap();
        let order = &orders.orders[0];
        let bytes = order_bytes(
            &order.book,
            &About { title: (*text).into(), job_name: (*text).into(), bid: (*text).into(), ..About::default() },
        )
        .unwrap();
        let sheet = Sheet::of(&bytes);
        let line = *sheet.lines().first().unwrap();
        let part = sheet.rows[line][sheet.column(form::PART)].to_string();
        assert_eq!(squeezed(&part), expected(text), "{text:?}");
        let item = squeezed(&sheet.rows[line][sheet.column(form::ITEM)].to_string());
        assert!(item.ends_with(&expected(text)) && item.starts_with("PEX pipe"), "{text:?}: {item}");
        let (row, column) = sheet.head(form::CONTACT).unwrap();
        assert_eq!(squeezed(&sheet.rows[row][column].to_string()), expected(text), "{text:?}");
        // No formula but the sums.
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(&bytes)).unwrap();
        let formulas = book.worksheet_formula(form::SHEET).unwrap();
        for (_, _, formula) in formulas.used_cells() {
            let theirs = ["1+1", "2+3", "cmd", "HYPERLINK", "SUM(1", "555"];
            assert!(theirs.iter().all(|words| !formula.contains(words)), "{formula}");
        }
        let count = formulas.used_cells().filter(|(_, _, formula)| !formula.is_empty()).count();
        let quoted = order.lines.iter().filter(|line| line.quoted.is_some()).count();
        assert_eq!(count, sheet.lines().len() + 3 + quoted + usize::from(quoted > 0), "{text:?}");

        let csv = csv_bytes(&csv_rows(order));
        let mut reader = csv::ReaderBuilder::new().has_headers(true).from_reader(csv.as_slice());
        let headings = reader.headers().unwrap().clone();
        let records: Vec<csv::StringRecord> = reader.records().map(|record| record.unwrap()).collect();
        assert_eq!(records.len(), order.lines.len(), "{text:?}: a record a line, whatever is in it");
        let at = |heading: &str| headings.iter().position(|h| h == heading).unwrap();
        for heading in [form::ORDER_NUMBER, form::SUPPLIER, form::PART] {
            let cell = &records[0][at(heading)];
            let plain = squeezed(cell.strip_prefix('\'').unwrap_or(cell));
            // An order's number ends in the supplier's own.
            let plain = if heading == form::ORDER_NUMBER { &plain[..plain.len() - 2] } else { &*plain };
            let own = expected(text);
            assert!(plain == own || squeezed(cell).starts_with(&own), "{text:?}: {cell:?}");
            let first = cell.chars().find(|c| !c.is_whitespace() && *c != '\u{200b}').unwrap_or('x');
            assert!(!"=+-@\u{ff1d}\u{ff0b}\u{ff0d}\u{ff20}".contains(first), "{text:?}: {cell:?} begins a formula");
            assert!(!cell.chars().any(char::is_control), "{text:?}: {cell:?}");
        }
        assert!(csv.ends_with(b"\r\n"));
    }
}

#[test]
fn words_as_long_as_a_cell_can_hold_arrive_whole() {
    let long = "x".repeat(32_000);
    let made = with_text(&long);
    let (orders, _) = made.price().orders(&made.job, &[], false, false).unwrap();
    let order = &orders.orders[0];
    let bytes = order_bytes(&order.book, &About::default()).unwrap();
    let sheet = Sheet::of(&bytes);
    let line = *sheet.lines().first().unwrap();
    assert_eq!(sheet.rows[line][sheet.column(form::PART)].to_string(), long);
    let csv = csv_bytes(&csv_rows(order));
    let mut reader = csv::Reader::from_reader(csv.as_slice());
    let record = reader.records().next().unwrap().unwrap();
    assert!(record.iter().any(|cell| cell == long));
    // A cell that would hold more is cut to what it can hold, not left out.
    let made = with_text(&"y".repeat(40_000));
    let (orders, _) = made.price().orders(&made.job, &[], false, false).unwrap();
    let bytes = order_bytes(&orders.orders[0].book, &About::default()).unwrap();
    let sheet = Sheet::of(&bytes);
    assert_eq!(sheet.rows[*sheet.lines().first().unwrap()][sheet.column(form::PART)].to_string().len(), 32_767);
}
