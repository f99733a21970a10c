//! Jobs made in code, so that a test reads like the story it tells.
//!
//! [`job`] takes one row a line: the sheet, then what the sheet must have in the order of its columns, then whatever else
//! is to be said, each by its heading. A sheet of rules (`Pipe`, `Limits` ...) begins with a line of its headings.
//!
//! ```text
//! Job: Supply pressure | 60
//! Runs: A | SUPPLY | 20 | Size 3/4 | Rise ft 2
//! Fixtures: L1 | lavatory | Cold run A
//! Pipe: Material | Size | Inside diameter in
//! Pipe: PEX | 3/4 | 0.671
//! ```
//!
//! [`job_of_book`] takes the text form of whole books. Either gives the job as the reader would, every value with its
//! cell, and the sheets as they stood.

use std::fmt::Write as _;
use std::sync::LazyLock;
use tallybore::Settings;
use tallybore::Summary;
use tallybore::View;
use tallybore::entered;
use tallybore::figure::{Book, Term};
use tallybore::finding::{Finding, Severity};
use tallybore::model::book_text::{self, BookText, TextCell, TextSheet};
use tallybore::model::columns::{Column, Kind, Sheet};
use tallybore::model::network::Network;
use tallybore::model::{Job, KeptBook, KeptCell, KeptSheet, Raw, Setting, Size};
use tallybore::pipeline::{self, Options, Priced, Tables};
use tallybore::read::{self, Reading};
use tallybore::rules::{RuleFile, Rules};
use tallybore::water::size::{self, Sizes};
use tallybore::write::{About, bid_bytes};
use tallybore::{Page, Pages};

/// The row of the headings of every sheet, from 0, as job workbooks of ours have it.
const HEADING_ROW: u32 = 2;

/// A job and the sheets it stands on.
#[derive(Debug, Clone)]
pub struct Made {
    pub job: Job,
    pub kept: KeptBook,
    pub rule_files: Vec<RuleFile>,
}

/// A job from its rows; see the head of this file.
pub fn job(lines: &str) -> Made {
    let mut book = BookText::default();
    for line in lines.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let (name, rest) = line.split_once(':').unwrap_or_else(|| panic!("no sheet before the colon: {line}"));
        let cells: Vec<&str> = rest.split('|').map(str::trim).collect();
        let declared = tallybore::input_sheets().find(|sheet| sheet.name == name.trim());
        let headings: Vec<String> = match declared {
            Some(sheet) => sheet.columns.iter().map(|column| column.name.to_owned()).collect(),
            None => cells.iter().map(|cell| (*cell).to_owned()).collect(),
        };
        let at = book.sheets.iter().position(|sheet| sheet.name == name.trim());
        let at = at.unwrap_or_else(|| {
            book.sheets.push(TextSheet { name: name.trim().to_owned(), headings, rows: Vec::new() });
            book.sheets.len() - 1
        });
        let sheet = &mut book.sheets[at];
        match declared {
            Some(declared) => sheet.rows.push(row_of(declared, &cells)),
            // The first line of an undeclared sheet was its headings.
            None if cells == sheet.headings && sheet.rows.is_empty() => {}
            None => sheet.rows.push(cells.iter().map(|cell| typed_cell(cell)).collect()),
        }
    }
    Made::of(&book)
}

/// A job from the text form of a whole book.
pub fn job_of_book(text: &str) -> Made {
    let (book, findings) = book_text::parse(text);
    assert!(findings.is_empty(), "{findings:?}");
    Made::of(&book)
}

/// The demonstration job of this name.
pub fn demonstration(name: &str) -> Made {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-books").join(name).with_extension("txt");
    job_of_book(&std::fs::read_to_string(path).unwrap())
}

/// A job with its price and its bid, for tests that only look at them.
pub struct Shown {
    pub made: Made,
    pub priced: Priced,
    pub bid: Vec<u8>,
}

impl Shown {
    pub fn of(made: Made) -> Self {
        let priced = made.price();
        Self { bid: made.bid_of(&priced), made, priced }
    }
}

/// A demonstration job, priced once for all tests of a program.
pub fn shown(name: &str) -> &'static Shown {
    static HOUSE: LazyLock<Shown> = LazyLock::new(|| Shown::of(demonstration("prairie-house")));
    static BAKERY: LazyLock<Shown> = LazyLock::new(|| Shown::of(demonstration("corner-bakery")));
    match name {
        "prairie-house" => &HOUSE,
        "corner-bakery" => &BAKERY,
        _ => panic!("no demonstration of that name: {name}"),
    }
}

fn typed_cell(text: &str) -> TextCell {
    if text.is_empty() { TextCell::Blank } else { TextCell::Typed(text.to_owned()) }
}

/// The cells of a declared sheet's row: the required columns by their order, the others by name.
fn row_of(sheet: &Sheet, cells: &[&str]) -> Vec<TextCell> {
    let mut row = vec![TextCell::Blank; sheet.columns.len()];
    let required: Vec<usize> = (0..sheet.columns.len()).filter(|at| sheet.columns[*at].required).collect();
    for (order, cell) in cells.iter().enumerate() {
        let (at, text) = match required.get(order) {
            Some(at) => (*at, *cell),
            None => {
                let names = sheet.columns.iter().enumerate().map(|(at, column)| (at, column.name));
                let named = names.filter_map(|(at, name)| Some((at, name, cell.strip_prefix(name)?)));
                let longest = named.filter(|(_, _, rest)| rest.starts_with(' ')).max_by_key(|(_, name, _)| name.len());
                let (at, _, text) = longest.unwrap_or_else(|| panic!("{} has no such column: {cell}", sheet.name));
                (at, text.trim())
            }
        };
        row[at] = typed_cell(text);
    }
    row
}

impl Made {
    fn of(book: &BookText) -> Self {
        let kept = KeptBook { sheets: book.sheets.iter().map(keep).collect() };
        let blank = Job { file: "made in a test".into(), ..Job::default() };
        let Reading { job, findings, book: kept } = read::retype(&Reading { job: blank, ..Reading::default() }, kept);
        let stops: Vec<Finding> = findings.into_iter().filter(|f| f.severity == Severity::Stop).collect();
        assert!(stops.is_empty(), "{}", reported(&stops));
        Self { job, kept, rule_files: Vec::new() }
    }

    /// The same job with a table of a rules folder over the program's own.
    pub fn with_rules(mut self, file: &str, csv: &str) -> Self {
        self.rule_files.push(RuleFile { name: file.into(), text: csv.to_owned() });
        self
    }

    fn options(&self, hold: bool) -> Options {
        Options { hold, rule_files: self.rule_files.clone(), ..Options::default() }
    }

    /// The job priced; a finding that stops it fails the test.
    pub fn price(&self) -> Priced {
        let priced = pipeline::price(&self.job, &self.kept, &[], &self.options(false));
        priced.unwrap_or_else(|findings| panic!("{}", reported(&findings)))
    }

    /// The price alone, by the foot, on tables that were read before; see [`Made::tables`].
    pub fn summed(&self, tables: &Tables) -> Summary {
        let summary = pipeline::sum_up(&self.job, &[], tables, &self.options(false));
        summary.unwrap_or_else(|findings| panic!("{}", reported(&findings)))
    }

    /// The tables it is priced by.
    pub fn tables(&self) -> Tables {
        Tables::of(&self.job, &self.options(false).rule_files)
    }

    /// Types a size for the run of this index.
    pub fn type_size(&mut self, index: usize, size: Size) {
        let run = &mut self.job.runs[index];
        run.size = run.size.holding(Some(size), Raw::Text(size.to_string().into()));
    }

    /// The bid workbook.
    pub fn bid(&self) -> Vec<u8> {
        self.bid_of(&self.price())
    }

    /// The bid workbook of the job as it is priced already.
    pub fn bid_of(&self, priced: &Priced) -> Vec<u8> {
        bid_bytes(&priced.book, &self.kept, &About { title: "Bid".into(), ..About::default() }).unwrap()
    }

    /// The size stage alone, as the pipeline calls it.
    pub fn sized(&self) -> Sized {
        // Reading the tables anew would take most of the time of a test over hundreds of jobs.
        let own = self.job.overrides.is_empty() && self.rule_files.is_empty();
        let load = || Rules::load(&self.job.overrides, &self.rule_files);
        let (rules, mut findings) = if own { (Rules::embedded().clone(), Vec::new()) } else { load() };
        let (network, problems) = Network::build(&self.job);
        assert!(problems.is_empty(), "{problems:?}");
        let mut book = Book::new();
        let pages = Pages::put(&mut book, tallybore::pages(), Vec::new());
        let settings = Settings::put(&mut book, pages.id(Page::Defaults), &self.job, tallybore::settings());
        let view = View::new(&self.job, &rules, &network, &settings, &pages);
        let sizes = size::size(&mut book, &view, &mut findings);
        let stops: Vec<Finding> = findings.iter().filter(|f| f.severity == Severity::Stop).cloned().collect();
        assert!(stops.is_empty(), "{}", reported(&stops));
        assert!(book.defects().is_empty(), "{:?}", book.defects());
        Sized { network, rules, sizes, findings }
    }
}

fn reported(findings: &[Finding]) -> String {
    tallybore::finding::text::lines("made in a test", findings)
}

/// The size stage's results, by the names of the runs.
pub struct Sized {
    pub network: Network,
    pub rules: Rules,
    pub sizes: Sizes,
    pub findings: Vec<Finding>,
}

impl Sized {
    pub fn at(&self, run: &str) -> usize {
        self.network.find(run).unwrap_or_else(|| panic!("no run {run}"))
    }

    fn figure(&self, figures: &[Term], run: &str) -> f64 {
        figures[self.at(run)].value().as_f64()
    }

    pub fn units(&self, run: &str) -> f64 {
        self.figure(&self.sizes.fixture_units, run)
    }

    pub fn gpm(&self, run: &str) -> f64 {
        self.figure(&self.sizes.demand_gpm, run)
    }

    pub fn velocity(&self, run: &str) -> f64 {
        self.figure(&self.sizes.velocity_ft_s, run)
    }

    /// Friction, fittings and devices, psi.
    pub fn loss_psi(&self, run: &str) -> f64 {
        self.figure(&self.sizes.loss_psi, run)
    }

    pub fn end_psi(&self, run: &str) -> f64 {
        self.figure(&self.sizes.end_psi, run)
    }

    /// What is left over the need where it is least, psi.
    pub fn least_spare(&self) -> f64 {
        self.sizes.least_spare.as_ref().expect("an outlet").0.value().as_f64()
    }

    pub fn check(&self, run: &str) -> String {
        self.sizes.checks[self.at(run)].value().to_string()
    }
}

/// A sheet as it stands: its name, its headings, its rows.
fn keep(text: &TextSheet) -> KeptSheet {
    let declared = tallybore::input_sheets().find(|sheet| sheet.is_called(&text.name));
    let known: Vec<Option<&'static Column>> = text.headings.iter().map(|heading| declared?.find(heading)).collect();
    let words = |row, column, text: &str| KeptCell { row, column, raw: Raw::Text(text.into()), ..KeptCell::default() };
    let mut cells = vec![words(0, 0, &text.name)];
    cells.extend((0..).zip(&text.headings).map(|(column, heading)| words(HEADING_ROW, column, heading)));
    for (row, line) in (HEADING_ROW + 1..).zip(&text.rows) {
        for (column, cell) in (0..).zip(line) {
            let declared = known[usize::from(column)];
            let setting = setting_in(line, &known).filter(|_| declared.is_some_and(|column| column.name == "Value"));
            let kind = setting.map(|setting| setting.spec().kind.into()).or(declared.map(|column| column.kind));
            cells.extend(kept_cell(row, column, cell, kind));
        }
    }
    KeptSheet {
        name: text.name.as_str().into(),
        shown: text.name.as_str().into(),
        hidden: false,
        declared,
        heading_row: Some(HEADING_ROW),
        column_of: (0..).zip(&known).filter_map(|(at, column)| Some(((*column)?.name, at))).collect(),
        cells,
        merged: Vec::new(),
    }
}

fn setting_in(line: &[TextCell], known: &[Option<&'static Column>]) -> Option<Setting> {
    let item = known.iter().position(|column| column.is_some_and(|column| column.name == "Item"))?;
    match line.get(item)? {
        TextCell::Typed(name) | TextCell::Text(name) => Setting::find(name),
        _ => None,
    }
}

fn kept_cell(row: u32, column: u16, cell: &TextCell, kind: Option<Kind>) -> Option<KeptCell> {
    let (raw, format, formula) = match cell {
        TextCell::Blank => return None,
        TextCell::Typed(text) => {
            let (raw, format) = entered(kind, text);
            (raw, format, None)
        }
        TextCell::Text(text) => (Raw::Text(text.as_str().into()), None, None),
        TextCell::Date(serial) => (Raw::Date(*serial), None, None),
        TextCell::Formula { formula, shown } => {
            let (raw, format) = shown.as_deref().map_or((Raw::Blank, None), |shown| entered(kind, shown));
            (raw, format, Some(formula.trim_start_matches('=').to_owned()))
        }
    };
    Some(KeptCell { row, column, raw, formula: formula.map(Into::into), format: format.map(Into::into) })
}

/// Lines put together, for jobs that a program thinks up.
#[derive(Debug, Clone, Default)]
pub struct Lines(pub String);

impl Lines {
    pub fn add(&mut self, line: impl AsRef<str>) {
        writeln!(self.0, "{}", line.as_ref()).unwrap();
    }
}
