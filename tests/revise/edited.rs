//! Bids that somebody has edited: choices typed over, rule figures and defaults changed, rows and sheets moved or added.
//! What the bid then shows (worked out by a spreadsheet engine that is not ours) is what pricing it with its choices held
//! comes to, or it says `price again`.

use crate::support::job::{Made, job};
use crate::support::recalc::{Held, Lent, Shelf, with_number_typed};
use std::sync::LazyLock;
use tallybore::Choice;
use tallybore::finding::Internal;
use tallybore::model::{BID_PROPERTY, KeptBook};
use tallybore::pipeline::{self, Options, Priced};
use tallybore::place::Place;
use tallybore::read::findings::kept::EditReadBack;
use tallybore::read::{self, Reading};
use tallybore::write::{About, bid_bytes};

/// A cabin with two suppliers of everything. Everything is invented.
const CABIN: &str = "Job: Supply pressure | 60
    Job: Job name | Cabin
    Job: Labor rate | 50
    Job: Waste | 10%
    Runs: A | SUPPLY | 30 | Material PEX | Size 3/4 | Where crawl space
    Runs: B | A | 18 | Material PEX | Size 1/2 | Where crawl space
    Runs: C | A | 12 | Material PEX | Size 1/2 | Bends 2
    Fixtures: L1 | lavatory | Cold run B
    Fixtures: H1 | hose bibb | Cold run C
    Prices: pipe | coil | 80 | Material PEX | Size 3/4 | Pack 100 | Supplier Quillmoor Supply
    Prices: pipe | coil | 95 | Material PEX | Size 3/4 | Pack 100 | Supplier Stenvik
    Prices: pipe | coil | 30 | Material PEX | Size 1/2 | Pack 100 | Supplier Quillmoor Supply
    Prices: pipe | coil | 100 | Material PEX | Size 1/2 | Pack 300 | Supplier Quillmoor Supply
    Prices: ring | bag | 12 | Material PEX | Size 3/4 | Pack 50 | Supplier Stenvik
    Prices: ring | bag | 10 | Material PEX | Size 1/2 | Pack 50 | Supplier Stenvik
    Prices: elbow | each | 1.10 | Material PEX | Size 1/2";

/// A bid as it was written.
struct Written {
    made: Made,
    priced: Priced,
    bid: Shelf,
}

impl Written {
    fn of(text: &str) -> Self {
        let made = job(text);
        let priced = made.price();
        let about =
            About { title: "Bid".into(), properties: vec![(BID_PROPERTY.into(), "1".into())], ..About::default() };
        let bid = Shelf::of(bid_bytes(&priced.book, &made.kept, &about).unwrap());
        Self { made, priced, bid }
    }

    fn open(&self) -> Bid<'_> {
        Bid { written: self, open: self.bid.open() }
    }
}

/// A bid open in a spreadsheet.
struct Bid<'a> {
    written: &'a Written,
    open: Lent<'a>,
}

/// The bid of the cabin, open as it was written.
fn cabin() -> Bid<'static> {
    static CABIN_BID: LazyLock<Written> = LazyLock::new(|| Written::of(CABIN));
    CABIN_BID.open()
}

impl Bid<'_> {
    fn total(&self) -> f64 {
        match self.open.value(&self.named("Bid_total")) {
            Held::Number(total) => total,
            other => panic!("the total is {other}"),
        }
    }

    fn asks(&self) -> bool {
        match self.open.value(&self.named("Price_again")) {
            Held::Number(count) => count > 0.0,
            other => panic!("{other}"),
        }
    }

    /// The cell that bears a name.
    fn named(&self, name: &str) -> Place {
        Place::parse(&self.open.cell_named(name)).unwrap()
    }

    fn types(&mut self, place: &Place, words: &str) {
        self.open.type_in(place, words);
        self.open.recalculate();
    }

    /// The cell under a heading, in the row whose first cell says this.
    fn cell(&self, sheet: &str, row: &str, heading: &str) -> Place {
        self.find(sheet, heading, |first| first == row)
    }

    fn find(&self, sheet: &str, heading: &str, is_row: impl Fn(&str) -> bool) -> Place {
        use calamine::Reader;
        let mut book: calamine::Xlsx<_> =
            calamine::Xlsx::new(std::io::Cursor::new(self.written.bid.bytes().to_vec())).unwrap();
        let range = book.worksheet_range(sheet).unwrap();
        let mut column = None;
        for row in 0..=range.end().unwrap().0 {
            let text = |column: u32| range.get_value((row, column)).map(ToString::to_string).unwrap_or_default();
            let last = range.end().unwrap().1;
            column = (0..=last).find(|at| text(*at) == heading).or(column);
            if let Some(column) = column.filter(|_| is_row(&text(0))) {
                return Place::new(sheet, row, column as u16);
            }
        }
        panic!("{sheet} has no such row under {heading}")
    }

    /// The bid as it stands on the disk, read; with some numbers in it changed first.
    fn read(&self, edits: &[(&Place, &str)]) -> Reading {
        use calamine::Reader;
        let mut bytes = self.written.bid.bytes().to_vec();
        let names = calamine::Xlsx::new(std::io::Cursor::new(self.written.bid.bytes().to_vec())).unwrap();
        let names: calamine::Xlsx<_> = names;
        for (place, number) in edits {
            let sheet = names.sheet_names().iter().position(|name| **name == *place.sheet).unwrap() + 1;
            bytes = with_number_typed(&bytes, &format!("xl/worksheets/sheet{sheet}.xml"), &place.cell(), number);
        }
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("cabin-bid.xlsx");
        std::fs::write(&file, bytes).unwrap();
        read::open(&file)
    }
}

fn priced(reading: &Reading, hold: bool) -> Priced {
    let options = Options { hold, ..Options::default() };
    pipeline::price(&reading.job, &reading.book, &reading.findings, &options)
        .unwrap_or_else(|found| panic!("{found:?}"))
}

fn total(priced: &Priced) -> f64 {
    priced.bid.build_up.total.value().as_f64()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 0.005
}

#[test]
fn the_price_of_a_line_follows_the_offer_that_is_typed_for_it() {
    let mut bid = cabin();
    let before = bid.total();
    let choice = bid.cell("Cost build-up", "pipe PEX 3/4\"", "Chosen offer");
    bid.types(&choice, "Stenvik");
    assert!(bid.total() > before + 1.0, "{} {before}", bid.total());
    assert!(!bid.asks(), "an offer that is there may be chosen");
    let mut reading = bid.read(&[]);
    reading.job.saved.set(Choice::Offer, "pipe PEX 3/4\"", "Stenvik".into());
    assert!(near(total(&priced(&reading, true)), bid.total()));
    // By the number of a row, or anything else that is no offer: the price is 0, and the bid says so in red.
    bid.types(&choice, "28");
    assert!(bid.asks());
    assert!(bid.total() < before);
    let check = bid.cell("Cost build-up", "pipe PEX 3/4\"", "Check");
    assert_eq!(bid.open.value(&check), Held::Text("no such offer".into()));
}

#[test]
fn offers_that_an_old_bid_held_by_row_are_told_to_be_chosen_again() {
    let bid = cabin();
    let reported = |held: &str, hold: bool| {
        let mut reading = bid.read(&[]);
        reading.job.saved.set(Choice::Offer, "pipe PEX 3/4\"", held.into());
        let findings = priced(&reading, hold).findings;
        let words = findings.into_iter().find(|finding| finding.slug == "offers-by-row");
        words.map(|words| words.found)
    };
    let words = reported("28", true).expect("a finding");
    assert!(words.contains("pipe PEX 3/4\"") && words.contains("row number"), "{words}");
    assert_eq!(reported("28", false), None, "nothing is held");
    assert_eq!(reported("Stenvik", true), None);
}

#[test]
fn offers_of_one_supplier_are_told_apart_by_as_much_as_it_takes() {
    let bid = cabin();
    let chosen = |row: &str| {
        let place = bid.cell("Cost build-up", row, "Chosen offer");
        bid.open.value(&place)
    };
    assert_eq!(chosen("pipe PEX 3/4\""), Held::Text("Quillmoor Supply".into()));
    assert_eq!(chosen("pipe PEX 1/2\""), Held::Text("Quillmoor Supply, of 100".into()));
    assert_eq!(chosen("elbow PEX 1/2\""), Held::Text("any supplier".into()));
}

#[test]
fn choices_are_held_wherever_their_rows_of_prices_go() {
    let bid = cabin();
    let saved = bid.read(&[]).job.saved;
    let mut rows: Vec<&str> = CABIN.lines().collect();
    let prices = rows.iter().position(|row| row.trim().starts_with("Prices")).unwrap();
    rows[prices..].reverse();
    // A cheaper offer, in front of all.
    rows.insert(prices, "Prices: pipe | coil | 50 | Material PEX | Size 3/4 | Pack 100 | Supplier Newcomb");
    let mut moved = job(&rows.join("\n"));
    assert!(total(&moved.price()) < total(&bid.written.priced) - 1.0, "without holding the newcomer is chosen");
    moved.job.saved = saved;
    let reading = Reading { job: moved.job, findings: Vec::new(), book: moved.kept };
    let again = priced(&reading, true);
    assert_eq!(again.bid.build_up.total.value(), bid.written.priced.bid.build_up.total.value());
    let order = |priced: &Priced, prices: &[tallybore::model::Price]| {
        let pack = |pack: &tallybore::PackBought| {
            let of = &prices[pack.price];
            format!("{} {} {} {}", of.kind.value, of.supplier.text(), of.pack_holds(), pack.packs.value())
        };
        let mut order: Vec<String> = priced.purchases.packs.iter().map(pack).collect();
        order.sort();
        order
    };
    assert_eq!(order(&again, &reading.job.prices), order(&bid.written.priced, &bid.written.made.job.prices));
    let codes: Vec<_> = again.findings.iter().filter(|finding| finding.is::<Internal>()).collect();
    assert!(codes.is_empty(), "{codes:?}");
}

#[test]
fn rows_of_prices_that_change_places_ask_for_pricing() {
    let mut bid = cabin();
    let supplier = |row: u32| Place::new("Prices", row, 7);
    let names: Vec<Held> = (3..5).map(|row| bid.open.value(&supplier(row))).collect();
    assert_eq!(names[0], Held::Text("Quillmoor Supply".into()), "the column of the suppliers");
    let price = |row: u32| Place::new("Prices", row, 6);
    for (place, words) in
        [(supplier(3), "Stenvik"), (price(3), "95"), (supplier(4), "Quillmoor Supply"), (price(4), "80")]
    {
        bid.open.type_in(&place, words);
    }
    bid.open.recalculate();
    assert!(near(bid.total(), total(&bid.written.priced)), "the line keeps its offer: {}", bid.total());
    assert!(bid.asks(), "packs and cuts are of rows that say something else now");
}

#[test]
fn a_rule_figure_typed_into_the_bid_is_read_back_as_the_users_own_row() {
    let cases = [
        ("Rules", "crawl space", "Factor", "2.5", "Labor conditions"),
        ("Rules", "run PEX 1/2", "Hours", "0.4", "Labor"),
        ("Rules", "ring", "Bought beyond the need", "1", "Spares"),
        // Its hours go with it.
        ("Rules", "disinfectant", "Quantity", "0", "Sundries"),
    ];
    for (sheet, row, heading, typed, own) in cases {
        let mut bid = cabin();
        let before = bid.total();
        let place = bid.cell(sheet, row, heading);
        bid.types(&place, typed);
        assert!(!near(bid.total(), before), "{row}: nothing moves");
        let reading = bid.read(&[(&place, typed)]);
        let reported = reading.findings.iter().filter(|finding| finding.slug == "edit-read-back").count();
        assert_eq!(reported, 1, "{row}: {:?}", reading.findings);
        let kept: &KeptBook = &reading.book;
        assert!(kept.sheets.iter().any(|sheet| *sheet.name == *own), "{row}: no sheet {own}");
        assert!(
            near(total(&priced(&reading, true)), bid.total()),
            "{row}: {} {}",
            total(&priced(&reading, true)),
            bid.total()
        );
    }
}

#[test]
fn rated_walls_typed_into_the_bid_move_it_as_pricing_would() {
    let text = format!("{CABIN}\n    Prices: firestop caulk | each | 9\n    Runs: D | A | 5 | Rated walls 1");
    let written = Written::of(&text);
    let mut bid = written.open();
    let column = bid.written.made.kept.declared("Runs").unwrap().column_of["Rated walls"];
    let run = |bid: &Bid, at: usize| Place { column, ..bid.written.made.job.runs[at].name.place.clone() };
    for (at, typed) in [(3, "11"), (0, "2")] {
        let before = bid.total();
        let place = run(&bid, at);
        bid.types(&place, typed);
        assert!(bid.total() > before + 1.0, "nothing moves");
        assert!(!bid.asks());
    }
    let again = format!("{text}\n").replace("| Rated walls 1\n", "| Rated walls 11\n");
    let again = again.replace("| Size 3/4 | Where crawl space", "| Size 3/4 | Where crawl space | Rated walls 2");
    let again = total(&job(&again).price());
    assert!(near(bid.total(), again), "{} {again}", bid.total());
}

#[test]
fn figures_that_are_not_read_back_ask_for_pricing() {
    let mut bid = cabin();
    assert!(!bid.asks());
    let place = bid.cell("Rules", "PEX 1/2\"", "Roughness, millionths of an inch");
    bid.types(&place, "900");
    assert!(bid.asks());
    let mut bid = cabin();
    let place = bid.cell("Take-off", "pipe PEX 1/2\"", "Waste, spares");
    bid.types(&place, "0.5");
    assert!(bid.asks(), "a share typed over the take-off");
}

#[test]
fn a_default_typed_into_the_bid_is_a_setting_of_the_job_from_then_on() {
    let mut bid = cabin();
    let place = bid.cell("Defaults", "Labor burden", "Value");
    assert_eq!(place.column, 1);
    bid.types(&place, "0.25");
    let reading = bid.read(&[(&place, "0.25")]);
    let again = total(&priced(&reading, true));
    assert!(near(again, bid.total()), "{again} {}", bid.total());
    assert!(bid.total() > total(&bid.written.priced) + 1.0);
    let codes: Vec<_> = reading.findings.iter().filter(|f| f.is::<EditReadBack>()).collect();
    assert_eq!(codes.len(), 1, "{codes:?}");
    let item = codes[0].place.as_ref().unwrap();
    assert_eq!(*item.sheet, *"Job");
}

#[test]
fn a_setting_that_is_cleared_stands_on_its_default() {
    let mut bid = cabin();
    let rate = job_value(&bid, "Labor rate");
    bid.open.type_in(&rate, "");
    bid.open.recalculate();
    let without = job(&CABIN.replace("Job: Labor rate | 50\n", ""));
    assert!(near(bid.total(), total(&without.price())), "{} {}", bid.total(), total(&without.price()));
}

fn job_value(bid: &Bid, item: &str) -> Place {
    let place =
        bid.written.made.job.settings.iter().find(|(setting, _)| setting.name() == item).unwrap().1.cell.clone();
    place.unwrap()
}

#[test]
fn what_the_next_pricing_would_read_otherwise_is_seen() {
    let below = |sheet: &str, bid: &Bid| bid.written.made.kept.declared(sheet).unwrap().cells.last().unwrap().row + 1;
    let asks = |make: &dyn Fn(&Bid) -> (Place, &'static str)| {
        let mut bid = cabin();
        let (place, words) = make(&bid);
        bid.types(&place, words);
        bid.asks()
    };
    // An item that is misspelled; a heading that is lost; one that is added; a row without a name.
    assert!(asks(&|bid| {
        let value = job_value(bid, "Labor rate");
        (Place { column: value.column - 1, ..value }, "Labor rte")
    }));
    let heading = |bid: &Bid, name: &str| bid.written.made.kept.declared("Runs").unwrap().column_of[name];
    assert!(asks(&|bid| (Place::new("Runs", 2, heading(bid, "Bends")), "Bnds")));
    assert!(asks(&|bid| (Place::new("Runs", 2, heading(bid, "Note") + 1), "Stud depth")));
    assert!(asks(&|bid| (Place::new("Prices", below("Prices", bid), 3), "each")));
    assert!(asks(&|bid| (Place::new("Runs", below("Runs", bid), 0), "D")));
    // A note of the user's beside the rows is nobody's business.
    assert!(!asks(&|bid| (Place::new("Runs", 4, heading(bid, "Note")), "by the north wall")));
}
