//! A small job, its orders, and a counter that fills them in: as a workbook written by a general library, so that nothing
//! of ours but the words is in it.

use crate::program::Folder;
use calamine::{Data, Reader, Xlsx};
use rust_xlsxwriter::{DocProperties, Formula, Workbook};
use serde_json::Value;
use std::fs;
use std::io::Cursor;
use tallybore::model::book_text;
use tallybore::model::order_form as form;
use tallybore::write::job_book;

pub const JOB: &str = "[Job]
Item | Value
Job name | Test house
Order number | T-1
Date | 2026-05-10
Supply pressure | 60
Tail allowance | 0

[Fixtures]
Tag | Fixture | Cold run
L1 | lavatory | A

[Runs]
Run | From | Size | Length ft
A | SUPPLY | 1/2 | 12

[Assemblies]
Assembly | Phase | Side | Kind | Size | Quantity
lavatory | trim | each | trap | 1-1/4 | 0
lavatory | trim | cold | escutcheon | 1/2 | 0

[Sundries]
Part | For each | Phase | Quantity
thread tape | threaded joint | rough-in | 0
blocking | stub-out | rough-in | 0
pressure gauge | job | test | 0
disinfectant | job | test | 0

[Prices]
Kind | Material | Size | Unit | Pack | Price | Supplier | Part no. | Quoted
pipe | PEX | 1/2 | stick | 20 | 9.41 | Quillmoor Supply | Q-1 | 2026-01-05
ring | PEX | 1/2 | bag | 50 | 14.90 | Quillmoor Supply | R-1 | 2026-01-05
stop valve | | 1/2 | each | | 6.20 | Stenvik Yard | S-1 | 2026-01-05
";

pub const QUILLMOOR: &str = "job-order-quillmoor-supply.xlsx";
pub const STENVIK: &str = "job-order-stenvik-yard.xlsx";

/// Keys of the job's lines: two that Quillmoor sells, one that Stenvik sells, and what both are asked for.
pub const PIPE: &str = "pipe|PEX|1/2|stick 20";
pub const RING: &str = "ring|PEX|1/2|bag 50";
pub const STOP: &str = "stop valve||1/2 x 3/8|each 1|ends compression x compression";
pub const ASKED: [&str; 5] = [
    "adapter|PEX|1/2|each 1|ends crimp x MPT",
    "stub-out|PEX|1/2|each 1|ends crimp x copper pipe",
    "support|PEX|1/2|each 1",
    "supply line||3/8 x 1/2|each 1|ends compression x FIP",
    "test cap||1/2|each 1|ends push-fit",
];

/// A folder with `job.xlsx` made from a text, and its orders.
pub fn ordered(text: &str) -> Folder {
    let (book, faults) = book_text::parse(text);
    assert!(faults.is_empty(), "{faults:?}");
    let folder = Folder::empty();
    fs::write(folder.path("job.xlsx"), job_book::from_text(&book).unwrap()).unwrap();
    folder.done(&["order", "job.xlsx"]);
    folder
}

/// What is typed into a cell.
#[derive(Debug, Clone)]
pub enum Typed {
    Text(String),
    Number(f64),
    /// A formula, and the value that was stored with it.
    Formula(&'static str, &'static str),
}

impl From<f64> for Typed {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl From<&str> for Typed {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

/// An order on a desk.
#[derive(Clone)]
pub struct Form {
    pub rows: Vec<Vec<Option<Typed>>>,
    pub properties: Vec<(String, String)>,
    pub sheet: String,
}

impl Form {
    pub fn of(folder: &Folder, name: &str) -> Self {
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(folder.bytes(name))).unwrap();
        let mut properties: Vec<(String, String)> =
            book.workbook_properties().unwrap().custom_properties.into_iter().collect();
        properties.sort();
        let range = book.worksheet_range(form::SHEET).unwrap();
        let typed = |cell: &Data| match cell {
            Data::Empty => None,
            Data::Float(number) => Some(Typed::Number(*number)),
            other => Some(Typed::Text(other.to_string())),
        };
        let rows = range.rows().map(|row| row.iter().map(typed).collect()).collect();
        Self { rows, properties, sheet: form::SHEET.to_owned() }
    }

    fn is(cell: Option<&Option<Typed>>, words: &str) -> bool {
        matches!(cell, Some(Some(Typed::Text(text))) if text == words)
    }

    pub fn headings(&self) -> usize {
        let has = |row: &Vec<Option<Typed>>| row.iter().any(|cell| Self::is(Some(cell), form::LINE));
        self.rows.iter().position(has).unwrap()
    }

    pub fn column(&self, heading: &str) -> usize {
        let headings = &self.rows[self.headings()];
        headings.iter().position(|cell| Self::is(Some(cell), heading)).unwrap_or_else(|| panic!("no {heading}"))
    }

    pub fn row(&self, key: &str) -> usize {
        let column = self.column(form::LINE);
        self.rows.iter().position(|row| Self::is(row.get(column), key)).unwrap_or_else(|| panic!("no {key}"))
    }

    pub fn put(&mut self, key: &str, heading: &str, typed: impl Into<Typed>) -> &mut Self {
        let (row, column) = (self.row(key), self.column(heading));
        self.rows[row][column] = Some(typed.into());
        self
    }

    pub fn price(&mut self, key: &str, typed: impl Into<Typed>) -> &mut Self {
        self.put(key, form::PRICE, typed)
    }

    pub fn head(&mut self, label: &str, typed: impl Into<Typed>) -> &mut Self {
        let row = self.rows.iter().position(|row| Self::is(row.get(1), label)).unwrap_or_else(|| panic!("no {label}"));
        self.rows[row][2] = Some(typed.into());
        self
    }

    /// Where a cell is, as findings say it.
    pub fn place(&self, key: &str, heading: &str) -> String {
        tallybore::place::a1(self.row(key) as u32, self.column(heading) as u16)
    }

    pub fn save(&self, folder: &Folder, name: &str) {
        let mut workbook = Workbook::new();
        let mut properties = DocProperties::new();
        for (name, value) in &self.properties {
            properties = properties.set_custom_property(name, value.as_str());
        }
        workbook.set_properties(&properties);
        let sheet = workbook.add_worksheet();
        sheet.set_name(&self.sheet).unwrap();
        for (row, cells) in self.rows.iter().enumerate() {
            for (column, cell) in cells.iter().enumerate() {
                let (row, column) = (row as u32, column as u16);
                match cell {
                    None => continue,
                    Some(Typed::Text(text)) => sheet.write_string(row, column, text),
                    Some(Typed::Number(number)) => sheet.write_number(row, column, *number),
                    Some(Typed::Formula(formula, result)) => {
                        sheet.write_formula(row, column, Formula::new(*formula).set_result(*result))
                    }
                }
                .unwrap();
            }
        }
        workbook.save(folder.path(name)).unwrap();
    }
}

/// All findings of a run: file, code, cell, words.
pub fn findings(document: &Value) -> Vec<(String, String, String, String)> {
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let files = document["files"].as_array().unwrap();
    let of = |file: &Value| {
        let name = text(&file["file"]);
        let findings = file["findings"].as_array().unwrap().clone();
        findings
            .into_iter()
            .map(move |one| (name.clone(), text(&one["code"]), text(&one["cell"]), text(&one["found"])))
            .collect::<Vec<_>>()
    };
    files.iter().flat_map(of).collect()
}

/// Reads the quotes of `a.xlsx` and whatever else, replacing what is there, and holds the document to its schema.
pub fn read(folder: &Folder, files: &[&str]) -> Value {
    let document = folder.json(&[&["quotes", "job.xlsx", "--json", "--replace"], files].concat());
    let schema = fs::read_to_string(crate::program::project("templates/quotes.schema.json")).unwrap();
    let problems = crate::schema::problems(&serde_json::from_str(&schema).unwrap(), &document);
    assert!(problems.is_empty(), "{problems:?}");
    document
}

/// The price of a line from a supplier, and its state.
pub fn price(document: &Value, key: &str, supplier: &str) -> (Option<String>, String) {
    let lines = document["lines"].as_array().unwrap();
    let line = lines.iter().find(|line| line["line"] == key).unwrap_or_else(|| panic!("no {key}"));
    let prices = line["prices"].as_array().unwrap();
    let one = prices.iter().find(|price| price["supplier"] == supplier).unwrap_or_else(|| panic!("no {supplier}"));
    (one["price"].as_str().map(str::to_owned), one["state"].as_str().unwrap().to_owned())
}
