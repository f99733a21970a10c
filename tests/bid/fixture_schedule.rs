//! Fixtures by the schedule: who furnishes them and who sets them changes what is bought, taxed and worked; allowances are
//! held against what was chosen. Money is worked out here by hand. That an allowance is for the cost delivered and taxed,
//! without overhead and profit, and that the difference goes into the price by a change order, is common practice.

use crate::support::job::{Made, job_of_book};
use crate::support::recalc::{Held, Shelf, recalculate_in_process};
use calamine::{Data, Reader, Xlsx};
use std::io::Cursor;
use tallybore::model::parse_feet;
use tallybore::pipeline::Priced;
use tallybore::place::Place;

/// A lavatory in two rooms and a closet; `?` stands for what a test says of them. Everything is invented.
const JOB: &str = "[Job]
Item            | Value
Supply pressure | 60
Tax rate        | 10%
Labor rate      | 40
Overhead        | 20%
Revision        | 0

[Fixtures]
Tag | Fixture      | Count | Cold run | Maker     | Model | Furnished by | Set by | Rough-in | Price | Allowance
LA1 | lavatory     | 2     | A        | Brookfern | Tarn  | ?
WC1 | water closet |       | A        |           |       |              |        |          |       | 250

[Runs]
Run | From   | Size | Length ft
A   | SUPPLY | 3/4  | 10

[Prices]
Kind     | Material | Size | Unit | Price
pipe     | PEX      | 3/4  | ft   | 1
lavatory |          |      | each | 90
";

fn made(lavatory: &str) -> Made {
    job_of_book(&JOB.replace('?', lavatory))
}

fn part(priced: &Priced, name: &str) -> f64 {
    let parts = &priced.bid.build_up.parts;
    parts.iter().find(|part| part.name == name).map_or(0.0, |part| part.whole.value().as_f64())
}

fn lavatories_bought(priced: &Priced) -> f64 {
    let lines = priced.take_off.lines.iter();
    lines.filter(|line| line.item.kind == "lavatory").map(|line| line.needed.value().as_f64()).sum()
}

/// A row of a sheet, by its first cell, as words.
fn row(bid: &[u8], sheet: &str, first: &str) -> Vec<String> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bid.to_vec())).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    let found = range.rows().find(|row| row[0] == Data::String(first.to_owned()));
    found.unwrap_or_else(|| panic!("{sheet} has no row {first}")).iter().map(ToString::to_string).collect()
}

#[test]
fn what_nobody_furnishes_is_set_only_where_furnished() {
    let priced = made("").bid();
    let bare = job_of_book(&JOB.replace('?', "").replace("lavatory |          |      | each | 90\n", "")).bid();
    let said = row(&priced, "Fixture schedule", "LA1");
    assert_eq!([&said[7], &said[8]], ["us, by Prices", "us"]);
    let said = row(&bare, "Fixture schedule", "LA1");
    assert_eq!([&said[7], &said[8]], ["not said", "us, where furnished"]);
    let words = "- Fixtures that this price does not include are set only where furnished.";
    assert_eq!(row(&bare, "Bid", words)[0], words);
}

#[test]
fn who_furnishes_a_fixture_changes_part_and_tax() {
    let (nobody, ours, priced_here, owners) =
        (made("").price(), made("us").price(), made("us | | | 120").price(), made("owner").price());
    // Prices has a lavatory, so nobody's word is ours: two of them in the take-off.
    assert_eq!([&nobody, &ours].map(lavatories_bought), [2.0, 2.0]);
    assert_eq!([&priced_here, &owners].map(lavatories_bought), [0.0, 0.0]);
    // Two at $120, and their tax at 10 % in place of that on two at $90.
    assert_eq!(part(&priced_here, "Fixtures"), 240.0);
    assert_eq!(part(&nobody, "Material") - part(&priced_here, "Material"), 180.0);
    assert_eq!(part(&priced_here, "Sales tax") - part(&nobody, "Sales tax"), 6.0);
    assert_eq!(part(&nobody, "Sales tax") - part(&owners, "Sales tax"), 18.0);
    // What has a price here bears overhead as material does: 20 % of $66 more.
    assert!((part(&priced_here, "Overhead") - part(&nobody, "Overhead") - 13.2).abs() < 0.005);
    // A fixture that we furnish and nobody has priced is told of.
    let bare = job_of_book(&JOB.replace('?', "us").replace("lavatory |          |      | each | 90\n", "")).price();
    assert!(bare.findings.iter().any(|finding| finding.slug == "no-price"));
    assert_eq!(lavatories_bought(&bare), 2.0);
}

#[test]
fn who_sets_a_fixture_changes_the_hours() {
    let hours = |lavatory: &str| made(lavatory).price().labor.total.value().as_f64();
    let all = hours("us | us | | 120");
    assert_eq!(hours("us | | | 120"), all, "blank is us");
    // By the table of hours: 1.25 to trim a lavatory, 0.25 to check in one that others bring.
    assert!((all - hours("us | others | | 120") - 2.5).abs() < 1e-9);
    assert!((hours("owner") - all - 0.5).abs() < 1e-9);
    assert!((all - hours("owner | owner") - 2.5).abs() < 1e-9, "who sets what he brings checks it in himself");
}

#[test]
fn an_allowance_gives_way_to_what_was_chosen() {
    let waiting = made("owner").price();
    assert_eq!(part(&waiting, "Allowances"), 250.0);
    for (price, over) in [(310, 91.0), (200, -30.0)] {
        // The choice with its tax, 10 %, less 250; no overhead on either.
        let text = JOB.replace('?', "owner").replace("|       | 250", &format!("| {price} | 250"));
        let chosen = job_of_book(&text);
        let priced = chosen.price();
        assert_eq!(part(&priced, "Allowances"), 250.0 + over);
        assert_eq!(part(&priced, "Overhead"), part(&waiting, "Overhead"));
        let total = |priced: &Priced| priced.bid.build_up.total.value().as_f64();
        assert!((total(&priced) - total(&waiting) - over).abs() < 0.005);
        let schedule = row(&chosen.bid(), "Fixture schedule", "WC1");
        assert_eq!(schedule[11..], [price.to_string(), "250".into(), (250.0 + over).to_string(), over.to_string()]);
        assert_eq!(recalculate_in_process(&chosen.bid()), Vec::new());
    }
    // A lump sum of Terms, likewise.
    let terms = "\n[Terms]\nKind | Text | Amount | Chosen\nallowance | Tile | 500 | 440\nallowance | Mirror | 100\n";
    let priced = job_of_book(&format!("{}{terms}", JOB.replace('?', "owner"))).price();
    assert_eq!(part(&priced, "Allowances"), 250.0 + 440.0 + 100.0);
}

#[test]
fn a_price_typed_into_the_bid_moves_it_as_pricing_does() {
    let text = JOB.replace('?', "us | | | 120").replace("|       | 250", "| 300 | 250");
    let bid = Shelf::of(job_of_book(&text).bid());
    let mut open = bid.open();
    open.type_in(&Place::parse("Fixtures!J4").unwrap(), "135");
    open.type_in(&Place::parse("Fixtures!J5").unwrap(), "340");
    open.type_in(&Place::parse("Fixtures!K5").unwrap(), "280");
    open.recalculate();
    let typed = text.replace("| 120", "| 135").replace("| 300 | 250", "| 340 | 280");
    let priced = job_of_book(&typed).price();
    let cell = open.cell_named("Bid_total");
    let Held::Number(total) = open.value(&Place::parse(&cell.replace('$', "")).unwrap()) else { panic!("{cell}") };
    assert!((total - priced.bid.build_up.total.value().as_f64()).abs() < 0.005, "{total}");
}

/// Usual rough-in dimensions in inches, as public rough-in tables and pages give them; the hose bibb's is common practice.
const ROUGH_IN: &[(&str, &str)] = &[
    ("water closet", "drain center from finished wall 12; supply height above floor 8-1/4"),
    ("lavatory", "drain center height 18; supply height above floor 21"),
    ("kitchen sink", "drain center height 16; supply height in wall 20"),
    ("bathtub", "drain center from end wall 14; valve height, tub and shower 28"),
    ("shower", "valve height 48; shower arm height 80"),
    ("clothes washer", "outlet box height 42; standpipe above trap weir 30"),
    ("hose bibb", "height above grade 18; slope to outside, degrees 5"),
    ("urinal flush valve", "supply height, top spud 42; drain center height 17-1/4"),
    ("water closet flush valve", "supply height above the spud 11-1/2; supply offset from center 4-3/4"),
];

#[test]
fn the_schedule_says_where_the_rough_in_goes() {
    for (kind, expected) in ROUGH_IN {
        let bid = job_of_book(&JOB.replace('?', "").replace("WC1 | water closet |", &format!("X1 | {kind} |"))).bid();
        assert_eq!(row(&bid, "Fixture schedule", "X1")[9], *expected, "{kind}");
    }
    // The fixture's own word, then the job's own table, go before the program's.
    let bid = made("us | | drain 10 in from the wall | 120").bid();
    assert_eq!(row(&bid, "Fixture schedule", "LA1")[9], "drain 10 in from the wall");
    let own = "\n[Rough-in]\nFixture | Dimension | Usual\nlavatory | drain center height | 19-1/2\n";
    let bid = job_of_book(&format!("{}{own}", JOB.replace('?', ""))).bid();
    let lavatory = row(&bid, "Fixture schedule", "LA1");
    assert_eq!(lavatory[9], "drain center height 19-1/2; supply height above floor 21");
    assert_eq!(lavatory[4..6], ["Brookfern", "Tarn"]);
}

#[test]
fn every_rough_in_is_a_length_within_its_bounds() {
    let csv = include_str!("../../templates/rules/rough_in.csv");
    let mut rows = csv::Reader::from_reader(csv.as_bytes());
    let mut count = 0;
    for row in rows.records().map(Result::unwrap) {
        let inches = |at: usize| (!row[at].is_empty()).then(|| parse_feet(&format!("{}\"", &row[at])).unwrap());
        let usual = inches(2).unwrap();
        assert!(inches(3).is_none_or(|least| least <= usual), "{row:?}");
        assert!(inches(4).is_none_or(|most| most >= usual), "{row:?}");
        count += 1;
    }
    assert!(count > 35, "{count}");
}

/// Nobody signs for a shower that is in no price: what we furnish without a Price or an Allowance is bought by Prices, or told.
#[test]
fn a_shower_that_we_furnish_without_a_price_is_told() {
    let made = crate::support::job::job(
        "Job: Supply pressure | 60
        Runs: A | SUPPLY | 12 | Size 1/2
        Fixtures: SH1 | shower | Cold run A | Furnished by us
        Prices: pipe | coil | 40 | Material PEX | Size 1/2 | Pack 100",
    );
    let priced = made.price();
    let line = priced.bid.lines.iter().find(|line| priced.take_off.lines[line.line].item.text() == "shower");
    assert!(line.is_some_and(|line| !line.priced), "the shower has a line, and no price");
}
