//! Numbers typed into a finished bid that pricing would refuse, and figures of the bid's own that are typed over: none in
//! silence.

use super::typed_over::bid;
use crate::support::recalc::{Held, Open, Shelf, recalculated};
use std::collections::BTreeMap;
use tallybore::place::Place;

/// A shed with a row of everything. Everything is invented.
const SHED: &str = r#"
[Job]
Item            | Value
Supply pressure | 60
Labor rate      | 40
Labor factor    | 1
Tax rate        | 7%
Wait before trim |
Highest pressure | 70
Design low      |
[Fixtures]
Tag | Fixture  | Count | Cold run | Gpm
LA1 | lavatory | 1     | B        |
IR1 | hose bibb | 1    | C        | 4
[Runs]
Run | From   | Size | Length ft | Rise ft | Bends
A   | SUPPLY |      | 20        | 2       | 1
B   | A      |      | 12'6"     | -3      | 2
C   | A      |      | 31        |         |
[Devices]
Device | On run | Kind       | Size | Rated gpm | Loss psi
V1     | A      | ball valve | 3/4  |           |
F1     | A      | filter     | 3/4  | 10        | 4
[Prices]
Kind       | Material | Size | Unit | Pack | Price | Tax
pipe       | PEX      | 1/2  | coil | 100  | 41.00 |
pipe       | PEX      | 3/4  | coil | 100  | 66.00 | 3%
ball valve |          | 3/4  | each |      | 18.00 | no
[Labor]
Task         | Unit | Hours
trim lavatory | each | 1.5
[Other costs]
Item  | Quantity | Price | Tax
Skip  | 1        | 180   | yes
Drive | 4        | 22    |
[On hand]
Kind | Material | Size | Unit | Quantity
pipe | PEX      | 1/2  | ft   | 12
"#;

const AGAIN: &str = "price it again before it is signed";

/// A bid that is open, again and again as it was written.
struct Written {
    shelf: Shelf,
    before: Vec<String>,
}

impl Written {
    fn of(text: &str) -> Self {
        let shelf = bid(text).0;
        let before = {
            let mut open = shelf.open();
            open.recalculate();
            let price_again = open.cell_named("Price_again");
            assert_eq!(open.value(&Place::parse(&price_again).unwrap()), Held::Number(0.0));
            Self::lines(&open)
        };
        Self { shelf, before }
    }

    fn lines(open: &Open) -> Vec<String> {
        let words = |row| match open.value(&Place::new("Bid", row, 0)) {
            Held::Text(words) => words,
            _ => String::new(),
        };
        (0..120).map(words).collect()
    }

    /// What stands in red on the Bid once this is typed.
    fn red(&self, cell: &str, words: &str) -> Vec<String> {
        let mut open = self.shelf.open();
        let place = Place::parse(cell).unwrap();
        match words.strip_prefix('\'') {
            Some(number) => open.type_words(&place, number),
            None => open.type_in(&place, words),
        }
        open.recalculate();
        let shown = Self::lines(&open).into_iter().zip(&self.before);
        shown.filter(|(now, then)| !now.is_empty() && then.is_empty()).map(|(now, _)| now).collect()
    }
}

fn has(lines: &[String], words: &str) -> bool {
    lines.iter().any(|line| line.contains(words))
}

#[test]
fn a_number_that_pricing_refuses_is_told_with_its_column() {
    let written = Written::of(SHED);
    for (cell, typed, column) in [
        ("Fixtures!C4", "5000", "Count in Fixtures"),
        ("Fixtures!C4", "-1", "Count in Fixtures"),
        ("Fixtures!C4", "1.5", "Count in Fixtures"),
        ("Fixtures!E5", "1e9", "Gpm in Fixtures"),
        ("Runs!D4", "50000", "Length ft in Runs"),
        ("Runs!F5", "0.5", "Bends in Runs"),
        ("Runs!E5", "-13", "More Rise ft than Length ft in Runs, rows 4 to 5"),
        ("Runs!E4", "21", "More Rise ft than Length ft in Runs, rows 4 to 5"),
        ("Devices!F5", "900", "Loss psi in Devices"),
        ("Prices!E4", "0", "Pack in Prices"),
        ("Prices!F5", "2000000", "Price in Prices"),
        ("Prices!F5", "-66", "Price in Prices"),
        ("Prices!G4", "0.6", "Tax in Prices"),
        ("Labor!C4", "1e6", "Hours in Labor"),
        ("'Other costs'!B4", "-1", "Quantity in Other costs"),
        ("'Other costs'!C5", "90000000", "Price in Other costs"),
        ("'On hand'!E4", "-3", "Quantity in On hand"),
        ("Job!B4", "500", "Job Supply pressure"),
        ("Job!B5", "-40", "Job Labor rate"),
        ("Job!B6", "110", "Job Labor factor"),
        ("Job!B7", "0.65", "Job Tax rate"),
        ("Job!B8", "-3", "Job Wait before trim"),
    ] {
        let said = written.red(cell, typed);
        let named = said.iter().any(|line| line.contains(AGAIN) && line.contains(&format!("First change: {column}")));
        assert!(named, "{cell} {typed}: {said:?}");
    }
    for (cell, typed) in [("Fixtures!E5", "3"), ("Runs!E4", "20"), ("Runs!E5", "-12.5"), ("Job!B6", "2")] {
        let said = written.red(cell, typed);
        assert!(!has(&said, AGAIN), "{cell} {typed}: {said:?}");
    }
}

/// As a sheet of another program often has them.
#[test]
fn a_number_kept_as_text_beyond_its_range_and_a_date_for_a_price_are_told() {
    let written = Written::of(SHED);
    for (cell, typed) in [
        ("Prices!F5", "'9999999"),
        ("Prices!F5", "'-66"),
        ("Runs!D4", "'50000"),
        ("Fixtures!C4", "'5000"),
        ("'Other costs'!C5", "'90000000"),
        ("Job!B5", "'99999"),
        ("Prices!F5", "46085"),
        ("'Other costs'!C4", "46085"),
    ] {
        assert!(has(&written.red(cell, typed), AGAIN), "{cell} {typed}: {:?}", written.red(cell, typed));
    }
    for (cell, typed) in [("Prices!F5", "'68"), ("Runs!D4", "'22"), ("Job!B5", "'41"), ("Prices!F5", "31000")] {
        assert!(!has(&written.red(cell, typed), AGAIN), "{cell} {typed}: {:?}", written.red(cell, typed));
    }
}

/// Pricing takes a bare 8.25 for 8.25 %, or for 825 % where the cell shows percents.
#[test]
fn a_bare_number_for_a_tax_is_no_tax_of_eight_times_the_price() {
    let written = Written::of(SHED);
    for cell in ["Prices!G4", "'Other costs'!D4", "'Other costs'!D5"] {
        assert!(has(&written.red(cell, "8.25"), AGAIN), "{cell}");
        assert!(written.red(cell, "0.0825").is_empty(), "{cell}");
    }
    // Priced so it is 7 %; what is typed over it then is looked at anew.
    let written = Written::of(&SHED.replace("180   | yes", "180   | '7"));
    assert!(has(&written.red("'Other costs'!D4", "8"), AGAIN));
}

#[test]
fn two_of_a_name_are_told() {
    let written = Written::of(SHED);
    for (cell, typed) in [("Fixtures!A5", "LA1"), ("Fixtures!A5", "la1"), ("Devices!A5", "V1")] {
        assert!(has(&written.red(cell, typed), AGAIN), "{cell} {typed}");
    }
    assert!(written.red("Fixtures!A5", "IR2").is_empty());
}

#[test]
fn a_figure_that_is_typed_over_is_told_wherever_it_stands() {
    let written = Written::of(SHED);
    let mut by_sheet: BTreeMap<String, Vec<(String, Held)>> = BTreeMap::new();
    for cell in recalculated(written.shelf.bytes()) {
        let (sheet, _) = cell.cell.split_once('!').unwrap();
        by_sheet.entry(sheet.to_owned()).or_default().push((cell.cell, cell.stored));
    }
    // Lines of words on Bid, and what the checks are made of, are nobody's figures.
    by_sheet.remove("Checks");
    by_sheet.remove("Revisions");
    // What is typed over a setting there is the user's own from then on.
    by_sheet.get_mut("Defaults").unwrap().retain(|(cell, _)| !cell.starts_with("Defaults!B"));
    let numbers = |cells: &[(String, Held)]| -> Vec<String> {
        cells.iter().filter(|(_, held)| matches!(held, Held::Number(_))).map(|(cell, _)| cell.clone()).collect()
    };
    for (sheet, cells) in &by_sheet {
        let cells = numbers(cells);
        for cell in cells.iter().step_by((cells.len() / 2).max(1)) {
            let said = written.red(cell, "3.5");
            assert!(has(&said, "price it again"), "{cell}: {said:?}");
            assert!(has(&said, &format!("Typed over a figure of the program's: {sheet}")), "{cell}: {said:?}");
        }
    }
    assert!(by_sheet.len() > 12, "{:?}", by_sheet.keys());
}

#[test]
fn a_setting_may_have_its_unit_and_one_that_cannot_be_read_is_named() {
    let written = Written::of(SHED);
    for typed in ["45 psi", "45psi", " 45 PSI ", "45"] {
        let said = written.red("Job!B4", typed);
        assert_eq!(said, written.red("Job!B4", "45"), "{typed}");
        assert!(!has(&said, "no number") && !has(&said, AGAIN), "{typed}: {said:?}");
    }
    let said = written.red("Job!B4", "45 bar");
    assert!(has(&said, "a warning cannot be worked out"), "{said:?}");
    assert!(has(&said, "Look first at Job!B4: words stand there where a number belongs."), "{said:?}");
    assert!(has(&said, AGAIN) && !said.iter().any(|line| line.starts_with('#')), "{said:?}");
}

/// Rows of one thing at one supplier go by their numbers.
#[test]
fn a_suppliers_number_asks_for_nothing_where_nothing_goes_by_it() {
    let rows = "Kind | Material | Size | Unit | Pack | Price | Tax | Supplier | Part no.
pipe | PEX | 1/2 | coil | 100 | 41.00 | | Quillmoor Supply | Q-1
pipe | PEX | 1/2 | coil | 100 | 44.00 | | Quillmoor Supply | Q-2
pipe | PEX | 3/4 | coil | 100 | 66.00 | | Quillmoor Supply | Q-3
";
    let (before, rest) = SHED.split_once("Kind       | Material").unwrap();
    let after = rest.split_once("ball valve |").unwrap().1;
    let written = Written::of(&format!("{before}{rows}ball valve |{}", after.replace("| no\n", "| no | |\n")));
    assert!(written.red("Prices!I6", "as agreed").is_empty());
    assert!(has(&written.red("Prices!I4", "as agreed"), AGAIN));
}

/// One without a default, too; only on Defaults there is nothing that a formula could follow.
#[test]
fn a_setting_that_is_cleared_or_filled_in_is_followed() {
    let written = Written::of(SHED);
    for (cell, words) in [("Job!B9", ""), ("Job!B9", "75"), ("Job!B10", "20"), ("Job!B8", "7")] {
        assert!(written.red(cell, words).is_empty(), "{cell} {words}: {:?}", written.red(cell, words));
    }
    let blank = (0..120)
        .map(|row| Place::new("Defaults", row, 0))
        .find(|place| written.shelf.open().value(place) == Held::Text("Pump gpm".into()));
    let cell = blank.map(|place| Place::new("Defaults", place.row, 1).to_string()).expect("no Pump gpm");
    assert!(has(&written.red(&cell, "12"), AGAIN));
}
