//! The form: what its file says of itself, which cells are the supplier's, and sums that follow what they type.

use crate::program::Folder;
use crate::support::recalc::{Held, Open, rechecked};
use calamine::{Data, Reader, Xlsx};
use std::collections::BTreeMap;
use std::io::{Cursor, Read, Write};
use tallybore::model::order_form as form;
use tallybore::place::{Place, a1};

/// A part of a workbook file as text.
pub fn part(bytes: &[u8], name: &str) -> String {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut text = String::new();
    archive.by_name(name).unwrap_or_else(|e| panic!("{name}: {e}")).read_to_string(&mut text).unwrap();
    text
}

fn with_part(bytes: &[u8], name: &str, text: &str) -> Vec<u8> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for index in 0..archive.len() {
        let mut file = archive.by_index(index).unwrap();
        let mut content = Vec::new();
        file.read_to_end(&mut content).unwrap();
        let own = file.name().unwrap().into_owned();
        out.start_file(own.clone(), zip::write::SimpleFileOptions::default()).unwrap();
        out.write_all(if own == name { text.as_bytes() } else { &content }).unwrap();
    }
    out.finish().unwrap().into_inner()
}

const SHEET: &str = "xl/worksheets/sheet1.xml";

/// The sheet, read by another reader.
pub struct Sheet {
    pub rows: Vec<Vec<Data>>,
    pub headings: usize,
}

impl Sheet {
    pub fn of(bytes: &[u8]) -> Self {
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
        assert_eq!(book.sheet_names(), [form::SHEET]);
        let range = book.worksheet_range(form::SHEET).unwrap();
        assert_eq!(range.start(), Some((0, 0)));
        let rows: Vec<Vec<Data>> = range.rows().map(<[Data]>::to_vec).collect();
        let headings = rows.iter().position(|row| row.last().is_some_and(|cell| *cell == form::LINE)).unwrap();
        Self { rows, headings }
    }

    pub fn column(&self, heading: &str) -> usize {
        let is = |cell: &Data| *cell == heading;
        self.rows[self.headings].iter().position(is).unwrap_or_else(|| panic!("no {heading}"))
    }

    /// Rows of lines, as they stand in the sheet.
    pub fn lines(&self) -> Vec<usize> {
        let item = self.column(form::ITEM);
        let end = self.rows.iter().position(|row| row[item] == form::LINES_END).unwrap();
        let line = self.column(form::LINE);
        (self.headings + 1..end).filter(|row| self.rows[*row][line] != Data::Empty).collect()
    }

    /// The cell beside a label of the head.
    pub fn head(&self, label: &str) -> Option<(usize, usize)> {
        let at = |row: &Vec<Data>| row.iter().position(|cell| *cell == label);
        (0..self.headings).find_map(|row| at(&self.rows[row]).map(|column| (row, column + 1)))
    }
}

fn order(supplier: &str) -> Vec<u8> {
    let folder = Folder::with_books();
    folder.done(&["order", "house.xlsx"]);
    folder.bytes(&format!("house-order-{supplier}.xlsx"))
}

/// The same order with a price in its first line; and with a date in its head.
pub fn some_cells_filled(bytes: &[u8]) -> Vec<Vec<u8>> {
    let sheet = Sheet::of(bytes);
    let line = (sheet.lines()[0], sheet.column(form::PRICE));
    [line, sheet.head(form::VALID_UNTIL).unwrap()].into_iter().map(|at| filled(bytes, at, "12.5")).collect()
}

fn filled(bytes: &[u8], (row, column): (usize, usize), number: &str) -> Vec<u8> {
    let xml = part(bytes, SHEET);
    let from = xml.find(&format!("<c r=\"{}\"", a1(row as u32, column as u16))).unwrap();
    let end = from + xml[from..].find("/>").unwrap();
    with_part(bytes, SHEET, &format!("{}><v>{number}</v></c>{}", &xml[..end], &xml[end + 2..]))
}

#[test]
fn the_file_says_what_it_is() {
    let bytes = order("stenvik-yard");
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(&bytes)).unwrap();
    let properties = book.workbook_properties().unwrap().custom_properties;
    let of = |name: &str| properties.get(name).map(String::as_str);
    assert_eq!(of(form::PROPERTY), Some(form::VERSION));
    assert_eq!(of(form::NUMBER_PROPERTY), Some("H-14-P"));
    assert_eq!(of(form::JOB_PROPERTY), Some("Two-bath house with crawl space, new water lines"));
    assert_eq!(of(form::REVISION_PROPERTY), Some("0"));
    assert_eq!(of(form::SUPPLIER_PROPERTY), Some("Stenvik Yard"));
    assert_eq!(of(form::PHASES_PROPERTY), None, "it is for all phases");
    assert_eq!(of("tallybore-bid"), None, "an order is no bid");
}

#[test]
fn the_sheet_is_laid_out_as_it_is_declared() {
    for supplier in ["stenvik-yard", "quillmoor-supply"] {
        let sheet = Sheet::of(&order(supplier));
        let columns: Vec<usize> = form::COLUMNS.iter().map(|column| sheet.column(column.heading)).collect();
        assert_eq!(columns, (0..form::COLUMNS.len()).collect::<Vec<_>>());
        let head = |label: &str| sheet.head(label).map(|(row, column)| sheet.rows[row][column].to_string());
        let number = if supplier == "quillmoor-supply" { "H-14-P-1" } else { "H-14-P-2" };
        assert_eq!(head(form::ORDER_NUMBER).as_deref(), Some(number));
        assert_eq!(head(form::REVISES), None, "it is the first");
        assert_eq!(head(form::DELIVER_TO).as_deref(), Some("Lot 14, Windrow Lane, leave in the garage"));
        assert_eq!(head(form::CONTACT).as_deref(), Some("the owner-builder, at the house after 5, 555-0142"));
        assert_eq!(head(form::NEEDED_BY).as_deref(), Some("2026-06-11"));
        for label in form::HEAD_FILLED {
            assert_eq!(head(label).as_deref(), Some(""), "{label}");
        }
        for row in sheet.lines() {
            let of = |heading| sheet.rows[row][sheet.column(heading)].clone();
            let key = form::LineKey::parse(&of(form::LINE).to_string()).unwrap();
            assert!(matches!(of(form::QUANTITY), Data::Float(n) if n >= 1.0 && n.fract() == 0.0));
            assert_eq!(of(form::UNIT), key.unit.as_str());
            assert!(of(form::PACK).to_string().starts_with(&key.pack.to_string()));
            for column in form::COLUMNS.iter().filter(|column| column.filled) {
                assert_eq!(of(column.heading), Data::Empty, "{}", column.heading);
            }
        }
        let words: Vec<String> = sheet.rows[..sheet.headings].iter().map(|row| row[0].to_string()).collect();
        let words = words.join("\n");
        for phrases in [
            "NSF/ANSI/CAN 61",
            "NSF/ANSI/CAN 372",
            "metal insert fittings joined with crimp rings",
            "No substitutions without approval",
        ] {
            assert!(words.contains(phrases), "{phrases} in\n{words}");
        }
    }
}

/// Fittings come by size, the largest first; groups in the order a counter walks. Source: common practice.
#[test]
fn lines_stand_as_a_counter_picks_them() {
    let sheet = Sheet::of(&order("quillmoor-supply"));
    let item = sheet.column(form::ITEM);
    let line = sheet.column(form::LINE);
    let groups: Vec<String> = (sheet.headings + 1..*sheet.lines().last().unwrap())
        .filter(|row| sheet.rows[*row][line] == Data::Empty)
        .map(|row| sheet.rows[row][item].to_string())
        .collect();
    assert_eq!(groups, ["Pipe", "Fittings", "Valves", "Supports", "Fixtures and devices", "Other"]);
    let keys = sheet.lines().into_iter().map(|row| form::LineKey::parse(&sheet.rows[row][line].to_string()).unwrap());
    let fittings =
        keys.filter(|key| key.material == "PEX" && !["pipe", "bend support", "support"].contains(&&*key.kind));
    let sizes: Vec<_> = fittings.filter_map(|key| key.sizes.first().copied()).collect();
    assert!(sizes.len() > 15 && sizes.windows(2).all(|pair| pair[0] >= pair[1]), "{sizes:?}");
}

#[test]
fn the_suppliers_cells_are_open_and_all_others_locked() {
    let bytes = order("quillmoor-supply");
    let (xml, styles) = (part(&bytes, SHEET), part(&bytes, "xl/styles.xml"));
    assert!(xml.contains("<sheetProtection ") && !xml.contains("sheetProtection sheet=\"0\""));
    let formats = styles.split("<cellXfs").nth(1).unwrap().split("</cellXfs>").next().unwrap();
    let open: Vec<bool> = formats.split("<xf ").skip(1).map(|xf| xf.contains("locked=\"0\"")).collect();
    let sheet = Sheet::of(&bytes);
    let mut expected: Vec<(usize, usize)> = form::HEAD_FILLED.iter().map(|label| sheet.head(label).unwrap()).collect();
    for column in form::COLUMNS.iter().filter(|column| column.filled) {
        expected.extend(sheet.lines().into_iter().map(|row| (row, sheet.column(column.heading))));
    }
    let mut expected: Vec<String> = expected.into_iter().map(|(row, column)| a1(row as u32, column as u16)).collect();
    expected.sort();
    let mut found: Vec<String> = xml
        .split("<c r=\"")
        .skip(1)
        .filter(|cell| {
            let style = cell.split("s=\"").nth(1).and_then(|rest| rest.split('"').next()).unwrap_or("0");
            cell.find('>').unwrap() > cell.find("s=\"").unwrap_or(usize::MAX) && open[style.parse::<usize>().unwrap()]
        })
        .map(|cell| cell.split('"').next().unwrap().to_owned())
        .collect();
    found.sort();
    assert!(found.len() > 200);
    assert_eq!(found, expected);
}

#[test]
fn every_page_bears_the_order_and_repeats_the_headings() {
    let bytes = order("quillmoor-supply");
    let (xml, book) = (part(&bytes, SHEET), part(&bytes, "xl/workbook.xml"));
    let row = Sheet::of(&bytes).headings + 1;
    assert!(book.contains(&format!("Order!${row}:${row}")), "{book}");
    assert!(
        xml.contains("Purchase order H-14-P-1: Quillmoor Supply") && xml.contains("Page &amp;P of &amp;N"),
        "{xml}"
    );
    assert!(xml.contains("fitToHeight=\"0\"") && xml.contains("orientation=\"landscape\""));
    // The keys, which are for programs, stay off the paper.
    let last = tallybore::place::column_letters(form::COLUMNS.len() as u16 - 2);
    assert!(book.contains(&format!("Order!$A$1:${last}$")), "{book}");
}

#[test]
fn sums_follow_what_is_typed() {
    let bytes = order("stenvik-yard");
    let sheet = Sheet::of(&bytes);
    // A sum and an extension a line, their totals, the total with the charge and the count of what has no price.
    assert_eq!(rechecked(&bytes), (2 * sheet.lines().len() + 4, Vec::new()));
    let place = |row: usize, column: usize| Place::new(form::SHEET, row as u32, column as u16);
    let mut open = Open::of(&bytes);
    let (price, sum, quantity) = (sheet.column(form::PRICE), sheet.column(form::SUM), sheet.column(form::QUANTITY));
    let mut sums: BTreeMap<usize, f64> = BTreeMap::new();
    // All lines but the last; one of them in words.
    let lines = sheet.lines();
    for (at, row) in lines[..lines.len() - 1].iter().enumerate() {
        if at == 2 {
            open.type_in(&place(*row, price), "call us");
            continue;
        }
        let cents = 105 + 37 * at;
        open.type_in(&place(*row, price), &format!("{}.{:02}", cents / 100, cents % 100));
        let units: f64 = sheet.rows[*row][quantity].to_string().parse().unwrap();
        sums.insert(*row, (units * cents as f64).round() / 100.0);
    }
    let (row, column) = sheet.head(form::CHARGE).unwrap();
    open.type_in(&place(row, column), "35");
    open.recalculate();
    let held = |row: usize| open.value(&place(row, sum));
    for row in &lines {
        let expected = sums.get(row).map_or(Held::Text(String::new()), |sum| Held::Number(*sum));
        match (held(*row), expected) {
            (Held::Number(a), Held::Number(b)) => assert!((a - b).abs() < 1e-9, "row {row}: {a} for {b}"),
            (a, b) => assert_eq!(a, b, "row {row}"),
        }
    }
    let item = sheet.column(form::ITEM);
    let row_of = |words: &str| sheet.rows.iter().position(|row| row[item] == words).unwrap();
    let number = |words: &str| match held(row_of(words)) {
        Held::Number(number) => number,
        other => panic!("{words}: {other}"),
    };
    let all: f64 = sums.values().sum();
    assert!((number(form::LINES_END) - all).abs() < 0.005);
    // What the order itself comes to, at the prices that it is ordered at: the rows of the demonstration text.
    let extension = sheet.column(form::EXTENSION);
    let cents = |row: usize, heading: &str| sheet.rows[row][sheet.column(heading)].to_string().parse::<f64>().unwrap();
    let ordered: f64 = lines.iter().map(|row| cents(*row, form::QUANTITY) * cents(*row, form::QUOTED_PRICE)).sum();
    match open.value(&place(row_of(form::LINES_END), extension)) {
        Held::Number(total) => assert!(ordered > 100.0 && (total - ordered).abs() < 0.005 * lines.len() as f64),
        other => panic!("{other}"),
    }
    assert!((number("With delivery or trip charge") - all - 35.0).abs() < 0.005);
    assert_eq!(number("Lines without a price yet"), 1.0);
}

/// No two suppliers or phases share a number; an order of a later revision says whether it takes the place of the one
/// before, or adds to it.
#[test]
fn each_order_has_a_number_and_says_what_it_revises() {
    let text = "Job: Order number | P
        Runs: A | SUPPLY | 12 | Size 1/2
        Fixtures: L | lavatory | Cold run A
        Prices: pipe | stick | 9 | Material PEX | Size 1/2 | Pack 20 | Supplier Harl
        Prices: ring | bag | 8 | Material PEX | Size 1/2 | Pack 50 | Supplier Thrupp
        Prices: escutcheon | each | 1 | Size 1/2";
    let heads = |text: &str, by_phase| {
        let made = crate::support::job::job(text);
        let orders = made.price().orders(&made.job, &[], by_phase, false).unwrap().0.orders;
        orders.into_iter().map(|order| (order.number, order.revises)).collect::<Vec<_>>()
    };
    let numbers: Vec<String> = heads(text, false).into_iter().map(|(number, _)| number).collect();
    assert_eq!(numbers, ["P-1", "P-2", "P-0"]);
    let by_phase: Vec<String> = heads(text, true).into_iter().map(|(number, _)| number).collect();
    let unlike: std::collections::BTreeSet<&String> = by_phase.iter().collect();
    assert!(unlike.len() == by_phase.len() && by_phase.contains(&"P-1B".to_owned()), "{by_phase:?}");
    let revised = text.replace("Order number | P", "Order number | P\n Job: Revision | 2");
    let bought = revised.replace("| 12 |", "| 30 |").replace("Supplier Harl", "Supplier Harl | Bought 1");
    assert!(heads(text, false).iter().all(|(_, revises)| revises.is_empty()));
    assert!(heads(&revised, false)[0].1.contains("P-1 of an earlier revision: this order supersedes it"));
    assert!(heads(&bought, false)[0].1.ends_with("these lines are in addition to what was bought on it"));
}

/// Nobody takes a request for an order, or an order for a request: title and first line say which it is.
#[test]
fn an_order_and_a_request_say_what_they_are() {
    let folder = Folder::with_books();
    for (options, title, first) in [
        (&["order", "house.xlsx"][..], "Purchase order H-14-P", "This is a purchase order"),
        (
            &["order", "--ask", "house.xlsx", "-o", "asked"][..],
            "Request for quote (RFQ) H-14-P",
            "Quote only. Not an order",
        ),
    ] {
        folder.done(options);
        let at = if options.contains(&"--ask") {
            "asked/house-request-quillmoor-supply.xlsx"
        } else {
            "house-order-quillmoor-supply.xlsx"
        };
        let sheet = Sheet::of(&folder.bytes(at));
        let words = |row: usize| sheet.rows[row].iter().map(ToString::to_string).collect::<String>();
        assert!(words(0).starts_with(title), "{}", words(0));
        assert!(words(1).starts_with(first), "{}", words(1));
    }
}
