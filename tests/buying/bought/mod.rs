//! Buying and cutting in whole bids: every line tied to its need, every foot accounted for, choices that say when they no
//! longer do.

mod deliveries;
mod offers;

use crate::support::job::{Made, Shown, job, shown};
use calamine::{Data, Reader, Xlsx};
use std::io::Cursor;
use tallybore::finding::Severity;
use tallybore::model::Raw;
use tallybore::pipeline::{self, Options};
use tallybore::write::{About, bid_bytes};
use tallybore::{figure::Value, read};

/// The rows of a sheet as text.
fn rows(bid: &[u8], sheet: &str) -> Vec<Vec<String>> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bid)).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    let cell = |cell: &Data| if *cell == Data::Empty { String::new() } else { cell.to_string() };
    range.rows().map(|row| row.iter().map(cell).collect()).collect()
}

/// The rows under the table of this title, by heading.
fn table(bid: &[u8], sheet: &str, title: &str) -> Vec<Vec<(String, String)>> {
    let rows = rows(bid, sheet);
    let at = rows.iter().position(|row| row[0] == title).unwrap_or_else(|| panic!("{sheet} has no {title}"));
    let headings = &rows[at + 1];
    let body = rows[at + 2..].iter().take_while(|row| row.iter().any(|cell| !cell.is_empty()));
    body.map(|row| headings.iter().cloned().zip(row.iter().cloned()).collect()).collect()
}

fn of<'a>(row: &'a [(String, String)], heading: &str) -> &'a str {
    // The unit stands behind the heading, after a space that does not break.
    let bare = |name: &str| {
        let name = name.replace('\u{a0}', " ");
        [" ft", " in", " $", " h", " ea"].iter().find_map(|unit| name.strip_suffix(unit)).unwrap_or(&name).to_owned()
    };
    let found = row.iter().find(|(name, _)| bare(name) == heading);
    &found.unwrap_or_else(|| panic!("no {heading} in {row:?}")).1
}

fn number(row: &[(String, String)], heading: &str) -> f64 {
    let text = of(row, heading);
    if text.is_empty() { 0.0 } else { text.parse().unwrap_or_else(|_| panic!("{heading} is {text}")) }
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 0.006
}

/// What must hold in every bid that was just priced.
fn adds_up(bid: &[u8]) {
    for row in table(bid, "Buying", "Line by line") {
        let there = number(&row, "On hand") + number(&row, "Bought");
        let wanted = number(&row, "Needed") + number(&row, "Spares");
        assert!(close(there - wanted, number(&row, "Left over")), "{row:?}");
        assert!(matches!(of(&row, "Check"), "OK" | "no offer"), "{row:?}");
    }
    for row in table(bid, "Buying", "What to order") {
        assert!(close(number(&row, "Chosen packs") * number(&row, "One holds"), number(&row, "All hold")), "{row:?}");
        assert!(close(number(&row, "Chosen packs") * number(&row, "Price of one"), number(&row, "Cost")), "{row:?}");
        assert_eq!(of(&row, "Check"), "OK", "{row:?}");
    }
    let pieces = table(bid, "Cut plan", "Pieces, in the order they are cut");
    for unit in table(bid, "Cut plan", "Sticks and coils") {
        let name = format!("{}, piece ", of(&unit, "Stick or coil"));
        let cut: f64 =
            pieces.iter().filter(|p| of(p, "Piece").starts_with(&name)).map(|p| number(p, "Chosen cut")).sum();
        assert!(close(cut, number(&unit, "Cut")), "{unit:?}");
        let all = number(&unit, "Cut") + number(&unit, "Saw") + number(&unit, "Left");
        assert!(close(all, 12.0 * number(&unit, "Length")) && number(&unit, "Saw") >= 0.0, "{unit:?}");
        assert_eq!(of(&unit, "Check"), "OK", "{unit:?}");
    }
    for run in table(bid, "Cut plan", "Runs, each covered once") {
        let own = pieces.iter().filter(|piece| of(piece, "Run") == of(&run, "Run"));
        let lengths: Vec<f64> = own.map(|piece| number(piece, "Chosen cut")).collect();
        assert!(close(lengths.iter().sum(), number(&run, "Needs")), "{run:?}");
        assert!(lengths.len() == 1 || lengths.iter().all(|length| *length >= 24.0), "{run:?}: {lengths:?}");
        assert_eq!(of(&run, "Check"), "OK", "{run:?}");
    }
    assert!(pieces.iter().all(|piece| of(piece, "Check") == "OK"));
}

#[test]
fn every_line_is_bought_and_every_foot_is_accounted_for() {
    for name in ["prairie-house", "corner-bakery"] {
        let Shown { priced, bid, .. } = shown(name);
        adds_up(bid);
        let again = table(bid, "Buying", "What packs and cuts were chosen on");
        assert!(again.len() > 10 && again.iter().all(|row| of(row, "Check") == "OK"));
        let reported = table(bid, "Buying", "Sticks against coils, and how near the least cost");
        let proved = reported.iter().filter(|row| of(row, "How good") == "the least there is").count();
        assert!(proved * 4 >= reported.len() * 3, "{name}: {reported:?}");
        let purchases = &priced.purchases;
        assert_eq!(purchases.pipes.iter().filter(|pipe| pipe.proved).count(), proved);
        // Beside the bid's unit prices, not in them.
        let cost = rows(bid, "Cost build-up");
        let beside = cost.iter().find(|row| row[0].starts_with("Packs, sticks and coils")).unwrap();
        let total: f64 = beside[1].parse().unwrap();
        let costs: f64 = table(bid, "Buying", "Line by line").iter().map(|row| number(row, "Cost")).sum();
        assert!(close(total, costs));
        // What left-overs count stands wherever they are listed.
        for sheet in ["Buying", "Cost build-up", "At a glance"] {
            let rows = rows(bid, sheet);
            let share = rows.iter().find(|row| row[0].starts_with("Left-overs count at"));
            assert!(
                share.is_some_and(|row| row[1] == if name == "prairie-house" { "0.25" } else { "0.2" }),
                "{sheet}: {share:?}"
            );
        }
    }
}

/// Two hot and two cold runs of 1/2 in. PEX, sold in sticks of 20 ft.
const COTTAGE: &str = "Job: Pipe color | by water
    Job: Tail allowance | 0
    Runs: S | SUPPLY | 30 | Material PE | Size 1 | Where buried
    Runs: C1 | S | 9 | Size 1/2
    Runs: C2 | S | 9 | Size 1/2
    Runs: H1 | S | 11 | Size 1/2
    Runs: H2 | H1 | 10 | Size 1/2
    Fixtures: L | lavatory | Cold run C1 | Hot run H2
    Fixtures: K | kitchen sink | Cold run C2 | Hot run H1
    Devices: heater | H1 | tank heater | Size 1/2
    Prices: pipe | stick | 10 | Material PEX | Size 1/2 | Pack 20
    Prices: pipe | ft | 1.50 | Material PE | Size 1
    Prices: coupling | each | 2 | Material PEX | Size 1/2
    Prices: ring | bag | 5 | Material PEX | Size 1/2 | Pack 50
    Prices: ring | each | 0.25 | Material PEX | Size 1/2";

#[test]
fn left_overs_that_count_nothing_say_so() {
    let rows = rows(&job(COTTAGE).bid(), "Buying");
    assert!(rows.iter().any(|row| row[0].starts_with("Left-overs count at") && row[1] == "0"), "{rows:?}");
}

#[test]
fn one_color_saves_the_stick_that_two_colors_cost() {
    // Cold 9 and 9 from one stick, hot 11 and 10 from two: three sticks. All together: 11 and 9, and 10 and 9 and
    // four inches between the tees at the heater.
    let bid = job(COTTAGE).bid();
    adds_up(&bid);
    let saved = table(&bid, "Buying", "What one color saves");
    let now = |words: &str| number(saved.iter().find(|row| row[0].1.contains(words)).unwrap(), "Now");
    assert!(close(now("each for hot and cold"), 30.0));
    assert!(close(now("for all water"), 20.0));
    assert!(close(now("one color saves"), 10.0));
    let one = job(&COTTAGE.replace("by water", "one")).bid();
    adds_up(&one);
    assert!(close(number(&table(&one, "Buying", "What one color saves")[2], "Now"), 10.0));
    // The service is bought by the foot, in one piece.
    let order = table(&one, "Buying", "What to order");
    let pe = order.iter().find(|row| of(row, "Line").starts_with("pipe PE ")).unwrap();
    assert_eq!((number(pe, "Chosen packs"), number(pe, "Cost")), (30.0, 45.0));
}

#[test]
fn what_is_on_hand_is_cut_first_and_rings_have_their_spares() {
    let bid = job(&format!("{COTTAGE}\nOn hand: pipe | 21 | Material PEX | Size 1/2 | Unit ft")).bid();
    adds_up(&bid);
    let units = table(&bid, "Cut plan", "Sticks and coils");
    assert!(units.iter().any(|unit| of(unit, "Chosen offer").starts_with("on hand")));
    let lines = table(&bid, "Buying", "Line by line");
    let ring = lines.iter().find(|row| of(row, "Line").starts_with("ring")).unwrap();
    let needed = number(ring, "Needed");
    assert_eq!(number(ring, "Spares"), (needed * 0.05).ceil());
    assert!(number(ring, "Bought") >= needed + number(ring, "Spares"));
}

#[test]
fn a_run_that_no_coil_is_long_enough_for_is_named() {
    let made = job("Runs: S | SUPPLY | 70 | Material PE | Size 1 | Where buried | Joints none
        Runs: C | S | 9 | Size 1/2
        Fixtures: L | lavatory | Cold run C
        Prices: pipe | coil | 60 | Material PE | Size 1 | Pack 50
        Prices: pipe | stick | 10 | Material PEX | Size 1/2 | Pack 20");
    let found = made.price().findings;
    let slugs: Vec<&str> = found.iter().map(|finding| finding.slug).collect();
    assert!(slugs.contains(&"no-pipe-long-enough"), "{slugs:?}");
    assert!(found.iter().all(|finding| finding.severity != Severity::Stop));
    let bid = made.bid();
    let runs = table(&bid, "Cut plan", "Runs, each covered once");
    assert_eq!(of(&runs[0], "Check"), "not covered");
    // Joints allowed, it is joined.
    let joined = made_with_joints(&made);
    assert!(joined.price().findings.iter().all(|finding| finding.slug != "no-pipe-long-enough"));
}

fn made_with_joints(made: &Made) -> Made {
    let mut other = made.clone();
    other.job.runs[0].joints = other.job.runs[0].joints.holding(None, Raw::Blank);
    other
}

/// The written bid, read again as `price --hold` reads it, a run made longer.
#[test]
fn held_packs_and_cuts_say_that_they_no_longer_do() {
    let bid = &shown("prairie-house").bid;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bid.xlsx");
    std::fs::write(&path, bid).unwrap();
    let mut reading = read::open(&path);
    let run = reading.job.runs.iter_mut().find(|run| &*run.name.value == "KH1").unwrap();
    run.length_ft.value = Some(40.into());
    run.length_ft.raw = Raw::Number(40.into());
    let priced = |hold| {
        let options = Options { hold, ..Options::default() };
        let priced = pipeline::price(&reading.job, &reading.book, &reading.findings, &options).unwrap();
        bid_bytes(&priced.book, &reading.book, &About::default()).unwrap()
    };
    let held = priced(true);
    let cuts = |bid: &[u8]| -> Vec<(String, String)> {
        let pieces = table(bid, "Cut plan", "Pieces, in the order they are cut");
        pieces.iter().map(|row| (of(row, "Piece").to_owned(), of(row, "Chosen cut").to_owned())).collect()
    };
    assert_eq!(cuts(&held), cuts(bid));
    let runs = table(&held, "Cut plan", "Runs, each covered once");
    let of_run = |name: &str| runs.iter().find(|row| of(row, "Run") == name).map(|row| of(row, "Check").to_owned());
    assert_eq!((of_run("KH1").as_deref(), of_run("LH1").as_deref()), (Some("not covered"), Some("OK")));
    let again = table(&held, "Buying", "What packs and cuts were chosen on");
    assert!(again.iter().any(|row| of(row, "Check") == "price again"));
    let lines = table(&held, "Buying", "Line by line");
    assert!(lines.iter().any(|row| of(row, "Check") == "short"));
    adds_up(&priced(false));
}

#[test]
fn all_packs_are_in_the_figures_that_the_stage_hands_on() {
    let priced = &shown("corner-bakery").priced;
    let total: f64 = priced.purchases.packs.iter().map(|pack| pack.cost.value().as_f64()).sum();
    assert!(close(total, priced.purchases.total.value().as_f64()));
    assert!(priced.purchases.packs.iter().all(|pack| matches!(pack.packs.value(), Value::Exact(n) if !n.is_zero())));
}
