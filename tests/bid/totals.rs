//! The parts of the price and the two totals: tax row by row, what a bid must not be signed over, what makes the hired
//! price and the cash differ, and how whole packs tie to Buying. Worked out here from the rows of the job, by hand or in
//! whole cents.

use crate::support::job::{Made, Shown, job_of_book, shown};
use crate::support::recalc::{Held, Shelf, recalculate_in_process};
use calamine::{Data, Reader, Xlsx};
use std::io::Cursor;
use tallybore::figure::Term;
use tallybore::place::Place;

/// One run, one basin, everything priced. Everything is invented.
const POTTING_ROOM: &str = r"
[Job]
Item            | Value
Supply pressure | 50
Tax rate        | 10%
Labor rate      | 30
Labor burden    | 20%
Overhead        | 10%
Profit          | 5%
Contingency     | 4%
Permit          | 60
Minimum charge  | 0
Labor by        | owner
Owner rate      | 25
[Fixtures]
Tag | Fixture  | Cold run
LA1 | lavatory | A
[Runs]
Run | From   | Size | Length ft
A   | SUPPLY | 1/2  | 40
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
Kind        | Material | Size | Unit | Pack | Price | Tax
pipe        | PEX      | 1/2  | coil | 100  | 50.00 |
adapter     | PEX      | 1/2  | each |      | 5.00  | no
ring        | PEX      | 1/2  | bag  | 25   | 10.00 | 4%
support     |          | 1/2  | bag  | 50   | 6.00  | yes
stop valve  |          |      | each |      | 9.00  | 0%
supply line |          |      | each |      | 7.00  |
test cap    |          | 1/2  | each |      | 1.00  |
stub-out    | PEX      | 1/2  | each |      | 4.00  |
[Labor]
Task                | Unit | Hours | By
rough-in lavatory   | each | 2     | hired
[Other costs]
Item    | Quantity | Price | Tax
Rental  | 1        | 80    | yes
Travel  | 2        | 20    |
Hauling | 1        | 50    | 2%
";

fn made(text: &str) -> Made {
    job_of_book(text)
}

fn cents(term: &Term) -> i64 {
    (term.value().as_f64() * 100.0).round() as i64
}

/// A row of a sheet by its first words; its other cells as they are.
fn row(bid: &[u8], sheet: &str, label: &str) -> Vec<Data> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bid.to_vec())).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    let found = range.rows().find(|row| row[0] == Data::String(label.to_owned()));
    found.unwrap_or_else(|| panic!("{sheet} has no row {label}"))[1..].to_vec()
}

fn numbers(cells: &[Data]) -> Vec<f64> {
    cells.iter().filter_map(|cell| if let Data::Float(number) = cell { Some(*number) } else { None }).collect()
}

#[test]
fn each_row_bears_the_tax_that_stands_on_it() {
    let priced = made(POTTING_ROOM).price();
    // By the rows of Prices above: 10 % but where the row says otherwise.
    let rate = |kind: &str| match kind {
        "adapter" | "stop valve" => 0.0,
        "ring" => 0.04,
        _ => 0.1,
    };
    let lines = priced.bid.lines.iter();
    let taxed = lines.map(|line| line.amount.value().as_f64() * rate(&priced.take_off.lines[line.line].item.kind));
    let material: f64 = taxed.sum();
    assert!(material > 3.0, "{material}");
    // Rental 80 at 10 %, hauling 50 at 2 %, travel untaxed, the stop and the adapter too.
    let expected = material + 80.0 * 0.1 + 50.0 * 0.02;
    let tax = priced.bid.build_up.parts.iter().find(|part| part.name == "Sales tax").unwrap();
    // Each phase is rounded to the cent.
    assert!((tax.whole.value().as_f64() - expected).abs() < 0.021, "{} {expected}", tax.whole.value());
    let bare = made(&POTTING_ROOM.replace(" | 4%", " | 0%").replace(" | yes", " | no").replace("| 2%", "| 0%"));
    let bare = bare.price();
    let bare = bare.bid.build_up.parts.iter().find(|part| part.name == "Sales tax").unwrap().whole.value().as_f64();
    assert!(bare < tax.whole.value().as_f64() - 8.0, "{bare}");
    assert_eq!(recalculate_in_process(&made(POTTING_ROOM).bid()), Vec::new());
}

#[test]
fn a_word_typed_under_tax_moves_the_tax() {
    let made = made(POTTING_ROOM);
    let bid = made.bid();
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bid.clone())).unwrap();
    let range = book.worksheet_range("Cost build-up").unwrap();
    let label = "Sales tax on material and taxed other costs";
    let at = range.rows().position(|row| row[0] == Data::String(label.into())).unwrap();
    let place = Place::new("Cost build-up", at as u32, 6);
    let bid = Shelf::of(bid);
    let tax = |typed: &[(&str, &str)]| {
        let mut open = bid.open();
        typed.iter().for_each(|(cell, words)| open.type_in(&Place::parse(cell).unwrap(), words));
        open.recalculate();
        let Held::Number(tax) = open.value(&place) else { panic!("{:?}", open.value(&place)) };
        (tax * 100.0).round() as i64
    };
    let as_priced = tax(&[]);
    // Rental of 80 at 10 %: 8 dollars less; at 2.5 %: 6 less.
    assert_eq!(tax(&[("'Other costs'!D4", "no")]), as_priced - 800);
    assert_eq!(tax(&[("'Other costs'!D4", "0.025")]), as_priced - 600);
    // The travel of 40 dollars: 4 dollars more.
    assert_eq!(tax(&[("'Other costs'!D5", "yes")]), as_priced + 400);
    // A stop of 9 dollars, untaxed before: 20 % of it.
    assert_eq!(tax(&[("Prices!G8", "0.2")]), as_priced + 180);
    assert_eq!(tax(&[("Prices!G8", "yes")]), as_priced + 90);
}

#[test]
fn the_difference_of_the_two_totals_is_explained_to_the_cent() {
    let own = Shown::of(made(POTTING_ROOM));
    for Shown { priced, bid, .. } in [&own, shown("prairie-house"), shown("corner-bakery")] {
        let totals = &priced.bid.build_up.totals;
        let parts = ["Material", "Sales tax", "Labor, burden included", "Other costs", "Overhead", "Profit"];
        let parts = parts.into_iter().chain(["Contingency", "Permit", "Allowances", "Up to the minimum charge"]);
        let mut sums = [0; 3];
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bid.clone())).unwrap();
        let range = book.worksheet_range("Cost build-up").unwrap();
        let start = range.rows().position(|row| row[0] == Data::String("The two totals side by side".into())).unwrap();
        // Fixtures at prices of their own are a part where the job has any.
        let fixtures = priced.bid.build_up.parts.iter().any(|part| part.name == "Fixtures").then_some("Fixtures");
        for part in parts.chain(fixtures) {
            let found = range.rows().skip(start).find(|row| row[0] == Data::String(part.into())).unwrap();
            for (sum, number) in sums.iter_mut().zip(numbers(&found[1..4])) {
                *sum += (number * 100.0).round() as i64;
            }
        }
        assert_eq!(sums, [cents(&priced.bid.build_up.total), cents(&totals.cash_total), cents(&totals.difference)]);
        // By hand: the hours at the wage and its burden.
        let hours = totals.owner_hours.value().as_f64();
        if hours > 0.0 {
            let an_hour = totals.difference.value().as_f64() / hours;
            assert!((totals.an_hour.value().as_f64() - an_hour).abs() < 0.005);
        }
    }
    let priced = made(POTTING_ROOM).price();
    let totals = &priced.bid.build_up.totals;
    let hours = totals.owner_hours.value().as_f64();
    assert!(hours > 0.5 && totals.hired_hours.value().as_f64() == 2.0, "{hours}");
    assert!((totals.hired_worth.value().as_f64() - hours * 36.0).abs() < 0.005);
    assert!((totals.own_worth.value().as_f64() - hours * 25.0).abs() < 0.005);
}

#[test]
fn cash_with_whole_packs_is_tied_to_buying() {
    let made = made(POTTING_ROOM);
    let priced = made.price();
    let whole_packs = priced.bid.whole_packs.as_ref().unwrap();
    // A whole coil at 50 taxed at 10 %, bags of rings at 10 taxed at 4 %, a bag of supports, single pieces.
    let mut packs = 0.0;
    for pack in &priced.purchases.packs {
        let rate = match &*made.job.prices[pack.price].kind.value {
            "adapter" | "stop valve" => 0.0,
            "ring" => 0.04,
            _ => 0.1,
        };
        let cost: f64 = pack.cost.value().as_f64();
        packs += cost + (cost * rate * 100.0).round() / 100.0;
    }
    assert!(packs > 60.0, "{packs}");
    let counted = priced.bid.lines.iter().map(|line| line.to_buy.value().as_f64()).sum::<f64>();
    let more = whole_packs.more.value().as_f64();
    assert!(more > 20.0, "half a coil and most of a bag are left over: {more}");
    assert!(more < packs - counted, "{more}");
    let cash = priced.bid.build_up.totals.cash_total.value().as_f64();
    assert!((whole_packs.cash.value().as_f64() - cash - more).abs() < 0.005);
    let glance = row(&made.bid(), "At a glance", "Cash with whole packs");
    assert_eq!(numbers(&glance), [whole_packs.cash.value().as_f64()]);
}

#[test]
fn flags_show_themselves_only_while_they_arise() {
    let words = |bid: &[u8]| {
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bid.to_vec())).unwrap();
        let range = book.worksheet_range("Bid").unwrap();
        range.rows().map(|row| row[0].to_string()).collect::<Vec<_>>()
    };
    let flags = ["without a price", "Short of pressure by", "price it again before"];
    let shown = |lines: &[String]| flags.map(|flag| lines.iter().any(|line| line.contains(flag)));
    let whole = made(POTTING_ROOM).bid();
    assert_eq!(shown(&words(&whole)), [false; 3]);
    let lacking = POTTING_ROOM.replace("stop valve  |          |      | each |      | 9.00  | 0%\n", "");
    let lines = words(&made(&lacking).bid());
    assert_eq!(shown(&lines), [true, false, false]);
    assert!(
        lines.iter().any(|line| line.starts_with("Items without a price yet: 1. The total is not complete")),
        "{lines:?}"
    );
    let short = POTTING_ROOM.replace("Supply pressure | 50", "Supply pressure | 5");
    assert_eq!(shown(&words(&made(&short).bid())), [false, true, false]);
    // Live: a price taken out, the pressure lowered, a fixture turned into another.
    let lines = words(&whole);
    let total = lines.iter().position(|line| line.starts_with("Total ")).unwrap();
    let whole = Shelf::of(whole);
    let now = |cell: &str, typed: &str| {
        let mut open = whole.open();
        open.type_in(&Place::parse(cell).unwrap(), typed);
        open.recalculate();
        let at = |row: usize| open.value(&Place::new("Bid", row as u32, 0)).to_string();
        (total..total + 12).map(at).collect::<Vec<_>>()
    };
    // Without a price there is an offer less to choose from.
    assert_eq!(shown(&now("Prices!F8", "")), [true, false, true]);
    // A price of 0 is a price, as for what the owner furnishes.
    assert_eq!(shown(&now("Prices!F8", "0")), [false; 3]);
    assert_eq!(shown(&now("Job!B4", "5")), [false, true, false]);
    assert_eq!(shown(&now("Fixtures!B4", "shower")), [false, false, true]);
}

#[test]
fn markups_stand_on_the_base_that_is_named() {
    // By hand, on a direct cost of D: on cost, overhead is D/10 and profit 5 % of 1.1 D; on price, the price before
    // contingency is D / 0.85, of which overhead takes a tenth and profit a twentieth.
    for (markup, overhead, profit, named) in [
        ("on cost", 0.1, 0.055, "Profit, share of direct cost and overhead"),
        ("on price", 0.1 / 0.85, 0.05 / 0.85, "Profit, share of price before contingency"),
    ] {
        let made = made(&POTTING_ROOM.replace("Minimum charge  | 0", &format!("Markup          | {markup}")));
        let priced = made.price();
        let build_up = &priced.bid.build_up;
        for phase in 0..5 {
            let of = |row: &[Term; 5]| row[phase].value().as_f64();
            let direct = of(&build_up.direct);
            assert!((of(&build_up.overhead) - direct * overhead).abs() < 0.0051);
            assert!((of(&build_up.profit) - direct * profit).abs() < 0.0056);
            assert!((of(&build_up.contingency) - direct * 0.04).abs() < 0.0051);
        }
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(made.bid())).unwrap();
        let build_up = book.worksheet_range("Cost build-up").unwrap();
        assert!(build_up.rows().any(|row| row[0].to_string().contains(named)), "{markup}");
        // The customer's page says nothing of what the shop adds, nor on what.
        let bid = book.worksheet_range("Bid").unwrap();
        let words = bid.rows().flatten().map(|cell| cell.to_string().to_lowercase());
        assert!(words.into_iter().all(|words| !words.contains("overhead") && !words.contains("profit")), "{markup}");
    }
}
