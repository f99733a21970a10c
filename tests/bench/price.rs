//! How long a whole `price` takes, against a floor measured in the same run: `cargo bench`.
//!
//! The floor is what any program must do that reads this workbook and writes this bid with the same two libraries:
//! calamine streams every cell of the job workbook, and rust_xlsxwriter writes every cell of the finished bid, its
//! formulas as ready-made texts with their stored values, its number formats, bold and fills; no widths, notes,
//! drop-downs, page set-up or properties. Both sides start from the file on the disk and end with the bytes of a
//! workbook. The two take turns, so that a busy machine slows both.
//!
//! `TALLYBORE_BENCH_ROUNDS=100 cargo bench` takes more turns than the 30 it takes without.

#![allow(unreachable_pub, reason = "nothing of a test is public")]
use calamine::{Data, DataRef, FillPattern, FontWeight, Reader, Xlsx};
use rust_xlsxwriter::{Format, Formula, Workbook};
use std::collections::BTreeMap;
use std::hint::black_box;
use std::io::Cursor;
use std::path::Path;
use std::time::{Duration, Instant};
use tallybore::commands::about::about;
use tallybore::pipeline::{self, Options};
use tallybore::write::bid_bytes;
use tallybore::{read, rules::Rules};

/// Where the time of one whole `price` goes.
#[derive(Clone, Copy, Default)]
struct Times {
    read: Duration,
    /// Rule tables, network, checks: what comes before the first figure. Part of `figures`, measured apart.
    check: Duration,
    figures: Duration,
    write: Duration,
}

impl Times {
    fn whole(&self) -> Duration {
        self.read + self.figures + self.write
    }
}

fn price(path: &Path) -> (Vec<u8>, Times) {
    let mut times = Times::default();
    let start = Instant::now();
    let reading = read::open(path);
    times.read = start.elapsed();
    let start = Instant::now();
    let priced = pipeline::price(&reading.job, &reading.book, &reading.findings, &Options::default());
    let Ok(priced) = priced else { panic!("findings stop the demonstration book") };
    times.figures = start.elapsed();
    let start = Instant::now();
    let bytes = bid_bytes(&priced.book, &reading.book, &about(&reading.job, &reading.book)).expect("a bid");
    drop(priced);
    times.write = start.elapsed();
    let start = Instant::now();
    black_box(pipeline::check(&reading.job, &Options::default()));
    times.check = start.elapsed();
    (bytes, times)
}

/// Reads every cell of a workbook and keeps none.
fn read_floor(path: &Path) -> usize {
    let bytes = std::fs::read(path).expect("the demonstration book");
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).expect("a workbook");
    let mut cells = 0;
    for name in book.sheet_names() {
        let mut reader = book.worksheet_cells_reader(&name).expect("a sheet");
        while let Some(cell) = reader.next_cell().expect("a cell") {
            cells += usize::from(!matches!(black_box(cell.get_value()), DataRef::Empty));
        }
    }
    cells
}

/// A cell of the finished bid, ready to be written.
struct Ready {
    row: u32,
    column: u16,
    format: usize,
    holds: Holds,
}

enum Holds {
    Nothing,
    Number(f64),
    Text(String),
    Flag(bool),
    /// Its text and the value stored with it.
    Formula(String, String),
}

/// The cells of a bid by sheet, and the formats they use.
struct ReadyBook {
    formats: Vec<Format>,
    sheets: Vec<(String, Vec<Ready>)>,
}

impl ReadyBook {
    fn of(bytes: &[u8]) -> Self {
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).expect("our own bid");
        let mut formats = Vec::new();
        let mut sheets = Vec::new();
        for name in book.sheet_names() {
            let mut formulas = BTreeMap::new();
            let mut reader = book.worksheet_cells_reader(&name).expect("a sheet");
            while let Some(cell) = reader.next_formula().expect("a formula") {
                formulas.insert(cell.get_position(), cell.get_value().clone());
            }
            drop(reader);
            let mut reader = book.worksheet_cells_reader(&name).expect("a sheet");
            if formats.is_empty() {
                formats = reader.styles().iter().map(format).collect();
            }
            let mut cells = Vec::new();
            while let Some((cell, format)) = reader.next_cell_with_style_id().expect("a cell") {
                let value = Data::from(cell.get_value().clone());
                let stored = match &value {
                    Data::Bool(flag) => flag.to_string().to_uppercase(),
                    other => other.to_string(),
                };
                let holds = match (formulas.remove(&cell.get_position()).filter(|f| !f.is_empty()), value) {
                    (Some(formula), _) => Holds::Formula(formula, stored),
                    (None, Data::Empty) => Holds::Nothing,
                    (None, Data::Float(number)) => Holds::Number(number),
                    (None, Data::Int(number)) => Holds::Number(number as f64),
                    (None, Data::DateTime(time)) => Holds::Number(time.as_f64()),
                    (None, Data::Bool(flag)) => Holds::Flag(flag),
                    (None, _) => Holds::Text(stored),
                };
                let (row, column) = cell.get_position();
                cells.push(Ready { row, column: column as u16, format, holds });
            }
            sheets.push((name, cells));
        }
        Self { formats, sheets }
    }

    fn write(&self) -> Vec<u8> {
        let mut workbook = Workbook::new();
        for (name, cells) in &self.sheets {
            let sheet = workbook.add_worksheet();
            sheet.set_name(name).expect("a name");
            sheet.set_formula_result_default("");
            for cell in cells {
                let (row, column, format) = (cell.row, cell.column, &self.formats[cell.format]);
                match &cell.holds {
                    Holds::Nothing => sheet.write_blank(row, column, format),
                    Holds::Number(number) => sheet.write_number_with_format(row, column, *number, format),
                    Holds::Text(text) => sheet.write_string_with_format(row, column, text, format),
                    Holds::Flag(flag) => sheet.write_boolean_with_format(row, column, *flag, format),
                    Holds::Formula(formula, stored) => {
                        let formula = Formula::new(formula).set_result(stored);
                        sheet.write_formula_with_format(row, column, formula, format)
                    }
                }
                .expect("a cell");
            }
        }
        workbook.save_to_buffer().expect("a workbook")
    }

    fn cells(&self) -> (usize, usize) {
        let all = self.sheets.iter().flat_map(|(_, cells)| cells);
        let formulas = all.clone().filter(|cell| matches!(cell.holds, Holds::Formula(..))).count();
        (all.count(), formulas)
    }
}

/// The number format, bold and fill of a style.
fn format(style: &calamine::Style) -> Format {
    let mut format = Format::new();
    if let Some(number) = &style.number_format {
        format = format.set_num_format(&number.format_code);
    }
    if style.font.as_ref().is_some_and(|font| font.weight == FontWeight::Bold) {
        format = format.set_bold();
    }
    if style.fill.as_ref().is_some_and(|fill| fill.pattern == FillPattern::Solid) {
        format = format.set_background_color("EEEEEE");
    }
    format
}

/// Least and median of some durations, in ms.
fn least_and_median(of: impl Iterator<Item = Duration>) -> (f64, f64) {
    let mut ms: Vec<f64> = of.map(|duration| duration.as_secs_f64() * 1000.0).collect();
    ms.sort_by(f64::total_cmp);
    (ms[0], ms[ms.len() / 2])
}

fn line(what: &str, durations: impl Iterator<Item = Duration>) -> (f64, f64) {
    let (least, median) = least_and_median(durations);
    println!("  {what:<44}{least:>9.2}{median:>9.2}");
    (least, median)
}

fn main() {
    // `cargo test --benches` asks for a proof that it runs, not for figures.
    let only_once = std::env::args().any(|arg| arg == "--test");
    let rounds = std::env::var("TALLYBORE_BENCH_ROUNDS").ok().and_then(|rounds| rounds.parse().ok());
    let rounds: usize = if only_once { 1 } else { rounds.unwrap_or(30) }.max(1);
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-books/prairie-house.xlsx");
    let start = Instant::now();
    black_box(Rules::load(&[], &[]));
    let first_rules = start.elapsed();
    let (bid, _) = price(&path);
    let ready = ReadyBook::of(&bid);
    let floor_bytes = ready.write();
    let (mut whole, mut floor) = (Vec::new(), Vec::new());
    for _ in 0..rounds {
        let (bytes, times) = price(&path);
        assert!(bytes == bid, "the same job gave other bytes");
        whole.push(times);
        let start = Instant::now();
        black_box(read_floor(&path));
        let read = start.elapsed();
        let start = Instant::now();
        black_box(ready.write());
        floor.push((read, start.elapsed()));
    }
    let (cells, formulas) = ready.cells();
    println!(
        "demo-books/prairie-house.xlsx, {} cells -> a bid of {cells} cells, {formulas} formulas",
        read_floor(&path)
    );
    println!("bid {} KB, floor's {} KB; {rounds} turns each", bid.len() / 1024, floor_bytes.len() / 1024);
    println!("  {:<44}{:>9}{:>9}", "ms", "least", "median");
    let price = line("price, the whole of it", whole.iter().map(Times::whole));
    line("  guard and read", whole.iter().map(|times| times.read));
    line("  figures: check, size, take off, price", whole.iter().map(|times| times.figures));
    line("    of them rules, network, checks", whole.iter().map(|times| times.check));
    line("  write", whole.iter().map(|times| times.write));
    let least = line("floor, the whole of it", floor.iter().map(|(read, write)| *read + *write));
    line("  calamine reads the job", floor.iter().map(|(read, _)| *read));
    line("  rust_xlsxwriter writes the cells", floor.iter().map(|(_, write)| *write));
    println!("  {:<44}{:>9.2}{:>9.2}", "price / floor", price.0 / least.0, price.1 / least.1);
    println!("  {:<44}{:>9.2}", "(loading the rule tables the first time)", first_rules.as_secs_f64() * 1000.0);
}
