//! A finished bid that is edited warns by itself, in red on the Bid: of what is wrong, and that it must be priced again. Each
//! edit is made in a spreadsheet engine that is not ours.

use super::typed_over::{after, bid, under};
use crate::support::recalc::{Held, Open, Shelf};
use tallybore::place::Place;

/// A bath house whose main has its own sizes. Everything is invented.
const BATH_HOUSE: &str = r"
[Job]
Item            | Value
Supply pressure | 75
Main size       | 1
Labor rate      | 40
[Fixtures]
Tag | Fixture  | Count | Cold run | Hot run
LA1 | lavatory | 1     | B        | H
LA2 | lavatory | 1     | C        |
[Runs]
Run | From   | Size | Length ft | Bends
A   | SUPPLY | 1    | 20        | 1
B   | A      |      | 12        | 2
C   | A      |      | 31        |
H   | A      |      | 6         |
[Devices]
Device | On run | Kind              | Size
V1     | A      | ball valve        | 1
W1     | H      | tank water heater | 3/4
[Prices]
Kind       | Material | Size | Unit | Pack | Price
pipe       | PEX      | 1/2  | coil | 100  | 41.00
pipe       | PEX      | 3/4  | coil | 100  | 66.00
pipe       | PEX      | 1    | coil | 100  | 99.00
ball valve |          | 1    | each |      | 18.00
[Terms]
Kind    | Text                            | Amount
payment | 40 % on signing                 | 40%
payment | When the rough-in is tested     | 35%
payment | When all runs                   | 25%
";

/// What stands in red on the Bid once this is typed.
fn red(bid: &Shelf, typed: &[(&str, &str)]) -> Vec<String> {
    let lines = |open: &Open| -> Vec<String> {
        let words = |row| match open.value(&Place::new("Bid", row, 0)) {
            Held::Text(words) => words,
            _ => String::new(),
        };
        (0..120).map(words).collect()
    };
    let mut open = bid.open();
    let before = lines(&open);
    typed.iter().for_each(|(cell, words)| open.type_in(&Place::parse(cell).unwrap(), words));
    open.recalculate();
    let shown = lines(&open).into_iter().zip(before);
    shown.filter(|(now, then)| !now.is_empty() && then.is_empty()).map(|(now, _)| now).collect()
}

fn has(lines: &[String], words: &str) -> bool {
    lines.iter().any(|line| line.contains(words))
}

const AGAIN: &str = "price it again before it is signed";

#[test]
fn water_that_comes_to_run_too_fast_is_told() {
    let (bid, _) = bid(BATH_HOUSE);
    assert!(red(&bid, &[]).is_empty(), "{:?}", red(&bid, &[]));
    let phrases = red(&bid, &[("Fixtures!C5", "60")]);
    assert!(has(&phrases, "faster than their limit: 1; see Sizing"), "{phrases:?}");
    let glance = under(&bid, "At a glance", "Does water keep to its highest velocity?");
    let beside = Place::new("At a glance", glance.row - 1, glance.column + 1).to_string();
    assert_eq!(after(&bid, &[], &beside), Held::Text("OK".into()));
    assert_eq!(after(&bid, &[("Fixtures!C5", "60")], &beside), Held::Text("too fast".into()));
}

#[test]
fn what_makes_another_size_the_cheapest_asks_for_a_new_choice() {
    let (bid, _) = bid(BATH_HOUSE);
    let glance = under(&bid, "At a glance", "Are the sizes still the ones to choose?");
    let beside = Place::new("At a glance", glance.row - 1, glance.column + 1).to_string();
    assert_eq!(after(&bid, &[], &beside), Held::Text("OK".into()));
    // A price, a pack, bends, a size, the hour, the waste.
    let edits = [("Prices!F5", "23.00"), ("Prices!E4", "50"), ("Runs!E5", "9"), ("Runs!C5", "1"), ("Job!B6", "80")];
    for edit in edits {
        assert_eq!(after(&bid, &[edit], &beside), Held::Text("price again".into()), "{edit:?}");
    }
}

#[test]
fn shares_of_payments_that_are_no_whole_are_told() {
    let (bid, _) = bid(BATH_HOUSE);
    let phrases = red(&bid, &[("Terms!C5", "0.5")]);
    assert!(has(&phrases, "shares of the payments do not add up"), "{phrases:?}");
    // Still the whole, but the words of one name what it was.
    let typed = [("Terms!C4", "0.35"), ("Terms!C5", "0.4")];
    let phrases = red(&bid, &typed);
    assert!(has(&phrases, AGAIN) && !has(&phrases, "shares of the payments"), "{phrases:?}");
    // Percent typed as a whole number is read as pricing reads it.
    assert!(red(&bid, &[("Terms!C5", "35")]).is_empty());
}

#[test]
fn a_main_size_that_nothing_goes_by_is_not_typed_in_silence() {
    let (bid, reported) = bid(BATH_HOUSE);
    assert!(!reported.contains("main-size-not-used"), "{reported}");
    let phrases = red(&bid, &[("Job!B5", "7/8")]);
    assert!(has(&phrases, AGAIN), "{phrases:?}");
    let (_, reported) = super::typed_over::bid(&BATH_HOUSE.replace("Main size       | 1", "Main size       | 7/8"));
    assert!(reported.contains("main-size-not-used") && reported.contains("Job!B5"), "{reported}");
}

#[test]
fn a_cell_with_words_for_a_number_is_named() {
    let (bid, _) = bid(BATH_HOUSE);
    let phrases = red(&bid, &[("Prices!F4", "$15.10 ea")]);
    assert!(has(&phrases, "no number") && has(&phrases, "Look first at Prices!F4:"), "{phrases:?}");
    let phrases = red(&bid, &[("Job!B6", "forty")]);
    assert!(has(&phrases, "Look first at Job!B6:"), "{phrases:?}");
}

#[test]
fn choices_and_sums_that_no_formula_goes_by_are_not_typed_over_in_silence() {
    let (bid, _) = bid(BATH_HOUSE);
    let range = under(&bid, "Code sizes", "Pressure range, psi");
    let range = Place::new("Code sizes", range.row - 1, range.column + 2).to_string();
    let ways = under(&bid, "Sizing", "Which way goes straight on");
    let ways = Place::new("Sizing", ways.row + 1, ways.column + 1).to_string();
    for cell in [range, ways] {
        assert!(matches!(after(&bid, &[], &cell), Held::Text(_)), "{cell}");
        assert!(has(&red(&bid, &[(&cell, "some other")]), AGAIN), "{cell}");
    }
    // The amounts of the material stand before what of it is still to buy.
    let to_buy = under(&bid, "Cost build-up", "Of it to buy\u{a0}$");
    let amount = Place::new("Cost build-up", to_buy.row, to_buy.column - 1).to_string();
    assert!(has(&red(&bid, &[(&amount, "1")]), AGAIN), "{amount}");
    assert!(matches!(after(&bid, &[], &bid.open().cell_named("Price_again")), Held::Number(n) if n == 0.0));
}

/// The bath house with settings of every kind. Everything is invented.
fn with_settings() -> String {
    let settings = "Labor rate      | 40\nTax rate        | 7%\nProfit          |\nPermit          | 120\nDesign low      | 20\n\
                    Waste           | 5%\nDate            | 2026-05-01\nLead free       | yes\nFittings loss   | 50%\n\
                    Valid days      | 30\nLabor by        | hired\nFrost depth     |\n";
    BATH_HOUSE.replace("Labor rate      | 40\n", settings)
}

fn settings_cell(item: &str) -> String {
    let items: Vec<String> =
        with_settings().lines().skip(3).map(|line| line.split('|').next().unwrap().trim().into()).collect();
    format!("Job!B{}", items.iter().position(|found| found == item).unwrap() + 4)
}

#[test]
fn the_text_of_a_number_in_a_setting_is_that_number() {
    let (bid, _) = bid(&with_settings());
    let total = bid.open().cell_named("Bid_total");
    let now = |cell: &str, words: &str, as_text: bool| {
        let mut open = bid.open();
        let place = Place::parse(cell).unwrap();
        if as_text {
            open.type_words(&place, words);
        } else {
            open.type_in(&place, words);
        }
        open.recalculate();
        open.value(&Place::parse(&total).unwrap())
    };
    let plain = now("Job!B6", "40", false);
    for (item, text, number) in [
        ("Tax rate", "8.25%", "0.0825"),
        ("Tax rate", "0.0825", "0.0825"),
        ("Profit", "12%", "0.12"),
        ("Waste", " 9% ", "0.09"),
        ("Permit", "240", "240"),
        ("Labor rate", "52.5", "52.5"),
    ] {
        let cell = settings_cell(item);
        let (typed, expected) = (now(&cell, text, true), now(&cell, number, false));
        assert!(matches!(expected, Held::Number(_)) && expected != plain, "{item}: {expected:?}");
        assert_eq!(typed, expected, "{item}: {text}");
    }
}

#[test]
fn a_setting_that_no_formula_reads_asks_to_be_priced_again() {
    let (bid, _) = bid(&with_settings());
    for (item, typed) in [
        // Pricing reads this as 8.25 %, a cell that shows percents as 825 %: no formula can tell.
        ("Tax rate", "8.25"),
        ("Profit", "a tenth"),
        ("Permit", "$240 each"),
        ("Waste", "five"),
        ("Design low", "cold"),
        ("Supply pressure", "60 bar"),
        ("Valid days", "a month"),
        ("Date", "in May"),
        ("Lead free", "perhaps"),
        ("Fittings loss", "half"),
        ("Fittings loss", "50"),
        ("Labor by", "a friend"),
        ("Main size", "7/9"),
        ("Frost depth", "four feet"),
    ] {
        let phrases = red(&bid, &[(&settings_cell(item), typed)]);
        assert!(has(&phrases, AGAIN), "{item}: {typed}: {phrases:?}");
    }
    // What orders alone go by may change.
    assert!(red(&bid, &[(&settings_cell("Lead free"), "no")]).is_empty());
    assert!(red(&bid, &[(&settings_cell("Date"), "46200")]).is_empty());
    assert!(red(&bid, &[(&settings_cell("Valid days"), "45")]).is_empty());
}

#[test]
fn a_demand_curve_out_of_order_is_told() {
    let (bid, _) = bid(BATH_HOUSE);
    let first = under(&bid, "Rules", "Demand gpm");
    let cell = Place::new("Rules", first.row + 2, first.column).to_string();
    let Held::Number(gpm) = after(&bid, &[], &cell) else { panic!("{cell} holds no number") };
    assert!(red(&bid, &[(&cell, &(gpm + 0.001).to_string())]).is_empty());
    for typed in ["0.01", "99999", "many"] {
        assert!(has(&red(&bid, &[(&cell, typed)]), AGAIN), "{typed}");
    }
}

/// No total moves by it, so pricing again would not be asked for.
#[test]
fn a_pressure_that_wants_a_regulator_is_told() {
    let (bid, _) = bid(BATH_HOUSE);
    assert!(red(&bid, &[("Job!B4", "80")]).is_empty());
    assert!(has(&red(&bid, &[("Job!B4", "96")]), "A regulator is needed"));
}
