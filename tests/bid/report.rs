//! The sheets that people read, in the written bid: what the customer is told, whether it adds up, and whether the bid
//! knows that it has to be priced again.

use crate::support::job::{Made, Shown, demonstration, job_of_book, shown};
use crate::support::recalc::{Held, Shelf, recalculate_in_process, recalculated};
use calamine::{Data, Reader, Xlsx};
use std::collections::BTreeSet;
use std::io::Cursor;
use std::sync::LazyLock;
use tallybore::Role;
use tallybore::figure::deciding::deciding;
use tallybore::figure::spell::depth;
use tallybore::figure::{Block, Expr, Term};
use tallybore::model::{Raw, Setting, SettingValue, Status, Whereabouts};
use tallybore::pipeline::{self, Options, Priced};
use tallybore::place::Place;
use tallybore::read;
use tallybore::write::{About, bid_bytes};

/// A house small enough to be read at a glance, with all that the sheets have words for. Everything is invented.
const CABIN: &str = r"
[Job]
Item           | Value
Job name       | Cabin at the bend
Prepared for   | Nell Quarrow
Date           |
Supply pressure | 52
Tax rate       | 6.5%
Overhead       | 10%
Profit         | 8%
Permit         | 90
Labor by       | owner
Owner rate     | 20
[Fixtures]
Tag | Fixture      | Group     | Count | Cold run | Hot run | Gpm | Status
WC1 | water closet |           |       | C2       |         |     |
LA1 | lavatory     |           | 2     | C2       | H2      |     |
HB1 | hose bibb    |           |       | EX       |         |     | existing
IC1 | other        |           |       | C3       |         | 0.5 |
[Runs]
Run | From   | Material   | Size | Length ft | Rise ft | Bends | Where  | Status   | Phase
S1  | SUPPLY | PE         |      | 40        | 4       | 0     | buried |          |
C1  | S1     |            |      | 12        | 1       | 1     | inside |          |
C2  | C1     |            |      | 9         | 1       | 1     | inside |          |
C3  | C1     |            |      | 6         | 1       | 1     | inside |          |
EX  | C1     | copper M   | 1/2  | 11        | 1       | 1     | inside | existing |
H1  | S1     |            |      | 10        | 1       | 1     | inside |          |
H2  | H1     |            |      | 8         | 1       | 1     | inside |          |
OLD | SUPPLY | galvanized | 3/4  | 25        | 0       | 2     | inside | remove   |
[Devices]
Device | On run | Kind          | Size | Rated gpm | Loss psi | Status
WH     | H1     | tank heater   | 3/4  | 10        | 1        |
MTR    | S1     | meter         | 1    | 20        | 2        | by others
[Prices]
Kind         | Material | Size | Unit  | Pack | Price | Supplier
pipe         | PE       | 3/4  | coil  | 100  | 62    | Ashbank Yard
pipe         | PE       | 1    | coil  | 100  | 88    | Ashbank Yard
pipe         | PEX      | 1/2  | stick | 20   | 9.4   | Ashbank Yard
pipe         | PEX      | 3/4  | stick | 20   | 15.1  | Ashbank Yard
ring         | PEX      | 1/2  | bag   | 25   | 9     | Ashbank Yard
tank heater  |          | 3/4  | each  |      | 900   | Ashbank Yard
stop valve   |          |      | each  |      | 11    | Ashbank Yard
[Labor]
Task                  | Unit | Hours | Phase | By
set tank heater       | each | 4     | trim  | hired
[Other costs]
Item   | Phase       | Unit | Quantity | Price
Trench | underground | ft   | 40       | 12
Travel |             | trip | 2        | 35
[On hand]
Kind | Material | Size | Unit | Quantity
pipe | PEX      | 1/2  | ft   | 15
[Terms]
Kind       | Text                                   | Amount
included   | New water lines from the curb stop.    |
excluded   | Painting, and patching of the bathroom wall. |
allowance  | Faucets                                | 300
alternate  | Tankless heater in place of the tank   | 450
payment    | On signing                             | 33.3%
payment    | After the rough-in test                | 33.3%
payment    | When all fixtures run                  |
";

/// The rows of a sheet, as a reader of the file sees them, blank cells as empty words.
fn rows(bid: &[u8], sheet: &str) -> Vec<Vec<String>> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bid.to_vec())).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    let shown = |cell: &Data| match cell {
        Data::Float(number) => format!("{number}"),
        Data::DateTime(date) => format!("{}", date.as_f64()),
        other => other.to_string(),
    };
    range.rows().map(|row| row.iter().map(shown).collect()).collect()
}

/// What stands right of this label.
fn beside(rows: &[Vec<String>], label: &str) -> Vec<String> {
    let row = rows.iter().find(|row| row[0] == label).unwrap_or_else(|| panic!("no row {label}"));
    row[1..].iter().filter(|cell| !cell.is_empty()).cloned().collect()
}

fn text(bid: &[u8], sheet: &str) -> String {
    rows(bid, sheet).iter().map(|row| row.join(" | ").trim_end_matches([' ', '|']).to_owned() + "\n").collect()
}

fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("no number: {text}"))
}

fn bid(text: &str) -> Vec<u8> {
    if text == CABIN { cabin().bid.clone() } else { job_of_book(text).bid() }
}

fn cabin() -> &'static Shown {
    static SHOWN: LazyLock<Shown> = LazyLock::new(|| Shown::of(job_of_book(CABIN)));
    &SHOWN
}

fn three() -> [&'static Shown; 3] {
    [cabin(), shown("prairie-house"), shown("corner-bakery")]
}

#[test]
fn every_figure_recalculates_to_what_it_holds() {
    // The demonstration bids are recalculated in `recalc`.
    let differences = recalculate_in_process(&cabin().bid);
    let reported: Vec<String> = differences.iter().map(std::string::ToString::to_string).collect();
    assert!(reported.is_empty(), "{}", reported.join("\n"));
}

#[test]
fn the_sheets_to_read_are_made_of_short_formulas() {
    let Shown { priced, bid, .. } = shown("prairie-house");
    let ours = ["Bid", "At a glance", "Findings", "Checks"];
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bid.clone())).unwrap();
    let formulas = ours.map(|sheet| book.worksheet_formula(sheet).unwrap());
    let formulas = || formulas.iter().flat_map(|sheet| sheet.used_cells()).map(|(_, _, formula)| formula);
    assert!(formulas().count() > 500, "{}", formulas().count());
    // But for one question about each of many cells.
    for formula in formulas().filter(|formula| !formula.contains("\"typed over\"")) {
        assert!(formula.len() <= 160, "{formula}");
    }
    for line in lines(priced, "Bid").iter().filter_map(|figure| priced.book.expr(*figure)) {
        assert!(depth(line) <= 6);
    }
}

/// The lines of words of a sheet.
fn lines(priced: &Priced, sheet: &str) -> Vec<tallybore::figure::Fig> {
    let spec = priced.book.sheets().iter().find(|spec| &*spec.name == sheet).unwrap();
    let line = |block: &Block| if let Block::Line { figure, .. } = block { Some(*figure) } else { None };
    spec.blocks.iter().filter_map(line).collect()
}

#[test]
fn the_scope_counts_what_is_new_and_names_what_stays_and_goes() {
    let bid = text(&bid(CABIN), "Bid");
    for line in [
        "1 | water closet",
        "2 | lavatory",
        "1 | outlet IC1",
        "1 | tank heater",
        "40 | PE pipe",
        // 12 + 9 + 6 + 10 + 8
        "45 | PEX pipe",
        "1 | hose bibb",
        "11 | copper M pipe",
        "25 | galvanized pipe",
        "1 | meter",
    ] {
        assert_eq!(bid.lines().filter(|found| *found == line).count(), 1, "{line} in\n{bid}");
    }
    let at = |words: &str| bid.lines().position(|line| line.contains(words)).unwrap_or_else(|| panic!("{words}"));
    assert!(at("Existing to remain") < at("hose bibb") && at("hose bibb") < at("Demolish and remove"));
    assert!(at("By others") < at("meter"));
}

#[test]
fn the_phases_and_the_payments_add_up_to_the_total() {
    for Shown { priced, bid, .. } in three() {
        let total = priced.bid.build_up.total.value().as_f64();
        let rows = rows(bid, "Bid");
        let below = |heading: &str| {
            let start = rows.iter().position(|row| row[0] == heading).unwrap();
            rows[start + 1..].iter().take_while(|row| !row[2].is_empty()).collect::<Vec<_>>()
        };
        let prices = below("Phase");
        let (last, phases) = prices.split_last().unwrap();
        assert_eq!(number(&last[2]), total);
        let cents = |rows: &[&Vec<String>]| rows.iter().map(|row| (number(&row[2]) * 100.0).round()).sum::<f64>();
        assert_eq!(cents(phases), (total * 100.0).round());
        assert_eq!(cents(&below("Share")), (total * 100.0).round());
    }
}

#[test]
fn the_last_payment_takes_what_the_shares_leave() {
    let rows = rows(&bid(CABIN), "Bid");
    let start = rows.iter().position(|row| row[0] == "Share").unwrap();
    let total = number(&beside(&rows, "Total $")[1]);
    let third = (total * 33.3).round() / 100.0;
    assert_eq!(rows[start + 1][..3], ["0.333", "On signing", &third.to_string()].map(str::to_owned));
    assert_eq!(rows[start + 3][..2], ["the rest", "When all fixtures run"].map(str::to_owned));
    let rest = ((total - 2.0 * third) * 100.0).round() / 100.0;
    assert_eq!(number(&rows[start + 3][2]), rest);
}

#[test]
fn a_share_of_30_is_30_percent() {
    assert_eq!(text(&bid(&CABIN.replace("33.3%", "33.3")), "Bid"), text(&bid(CABIN), "Bid"));
}

#[test]
fn an_alternate_is_not_in_the_total_and_an_allowance_is() {
    let total = |text: &str| number(&beside(&rows(&bid(text), "Bid"), "Total $")[1]);
    let with = |from: &str, to: &str| {
        let changed = CABIN.replace(from, to);
        assert_ne!(changed, CABIN);
        total(&changed)
    };
    let before = total(CABIN);
    assert_eq!(with("place of the tank   | 450", "place of the tank   | 950"), before);
    assert!((with("| 300", "| 350") - before - 50.0).abs() < 0.001);
}

#[test]
fn a_blank_date_prints_a_rule_to_write_on_and_never_a_zero() {
    let blank = beside(&rows(&bid(CABIN), "Bid"), "Date");
    assert!(blank[0].starts_with("____"), "{blank:?}");
    let dated = bid(&CABIN.replace("Date           |", "Date           | 2026-03-04"));
    assert_eq!(beside(&rows(&dated, "Bid"), "Date"), ["46085"]);
    for sheet in ["Bid", "At a glance"] {
        for cell in recalculated(&bid(CABIN)).iter().filter(|cell| cell.cell.starts_with(sheet)) {
            let plain = !cell.formula.contains(['(', '&', '+', '-', '*', '/']);
            assert!(!(plain && cell.stored.to_string() == "0"), "{} points at a blank cell", cell.cell);
        }
    }
}

#[test]
fn plain_exclusions_stand_only_where_the_user_says_nothing() {
    let ours =
        ["Patching and painting of walls", "Digging, backfill and hauling", "Work of others", "Hidden conditions"];
    let reported = text(&bid(CABIN), "Bid");
    assert_eq!(ours.map(|words| reported.contains(words)), [false, true, true, true]);
    assert!(reported.contains("- Painting, and patching of the bathroom wall."));
    let silent = &CABIN[..CABIN.find("[Terms]").unwrap()];
    let reported = text(&bid(silent), "Bid");
    assert_eq!(ours.map(|words| reported.contains(words)), [true; 4]);
    assert!(reported.contains("Payment in full is due on completion"));
}

#[test]
fn cautions_fit_the_job() {
    let all = text(&bid(CABIN), "Bid");
    let standing = ["pipe under air", "scalds", "Cross-connections", "Trenches:", "Gas heaters"];
    assert_eq!(standing.map(|words| all.contains(words)), [true; 5]);
    assert!(all.contains("air at 50 psi for 15 minutes"));
    let plain = CABIN
        .replace("buried", "inside")
        .replace("tank heater   | 3/4  | 10        | 1        |", "check valve   | 3/4  | | |");
    let dry = plain.replace("| C2       | H2      |     |", "| C2       |         |     |");
    let cold = text(&bid(&dry), "Bid");
    assert_eq!(standing.map(|words| cold.contains(words)), [true, false, true, false, false]);
}

#[test]
fn the_page_at_a_glance_points_at_the_figures_of_the_other_sheets() {
    let made = job_of_book(CABIN);
    let priced = made.price();
    let rows = rows(&made.bid(), "At a glance");
    let held = |term: &Term| term.value().as_f64();
    let build_up = &priced.bid.build_up;
    assert_eq!(number(&beside(&rows, "Hired price")[0]), held(&build_up.total));
    assert_eq!(number(&beside(&rows, "Cash out of pocket")[0]), held(&build_up.totals.cash_total));
    let weeks = number(&beside(&rows, "Weeks of them, at 20 h a week")[0]);
    assert_eq!(weeks, (held(&build_up.totals.owner_hours) / 20.0 * 10.0).round() / 10.0);
    let (least, run) = priced.subjects.water.least_spare.as_ref().unwrap();
    assert_eq!(number(&beside(&rows, "Least pressure to spare at an outlet")[0]), held(least));
    assert_eq!(beside(&rows, "at the end of run")[0], run.value().to_string());
    assert_eq!(beside(&rows, "Is the job still the one priced?")[0], "OK");
    // The first phase with something to buy is the trench: its dearest line is the pipe.
    let heads: Vec<&String> = rows.iter().map(|row| &row[0]).filter(|word| word.starts_with("To buy")).collect();
    assert!(matches!(heads[..], [head] if head.starts_with("To buy first, for underground")), "{heads:?}");
    let first = rows.iter().position(|row| row[0] == "Line").unwrap() + 1;
    assert_eq!(rows[first][0], "pipe PE 1\"");
    let fix = priced.findings.iter().filter(|f| f.severity.word() == "fix").count();
    assert!(fix > 1, "the cabin's prices lack most things");
    assert_eq!(number(&beside(&rows, "Findings to fix")[0]), fix as f64);
}

/// Where nobody works for nothing the page says nothing of an owner's own hours.
#[test]
fn a_shops_page_at_a_glance_has_no_hours_of_an_owner() {
    let page = |name| text(&shown(name).bid, "At a glance");
    let own = ["Left to the owner", "Owner's own hours", "own hours"];
    let shop = page("corner-bakery");
    assert_eq!(own.map(|words| shop.contains(words)), [false; 3]);
    assert!(shop.contains("Hired hours"));
    let builder = page("prairie-house");
    assert_eq!(own.map(|words| builder.contains(words)), [true; 3]);
}

#[test]
fn findings_are_told_in_rows_with_links_or_in_a_sentence() {
    let made = job_of_book(CABIN);
    let priced = made.price();
    let reported = rows(&made.bid(), "Findings");
    let start = reported.iter().position(|row| row[0] == "Severity").unwrap();
    assert_eq!(reported.len() - start - 1, priced.findings.len());
    for (row, finding) in reported[start + 1..].iter().zip(&priced.findings) {
        assert_eq!(
            [&row[0], &row[1], &row[4], &row[5]],
            [finding.severity.word(), finding.slug, &finding.found_and_table(20), &finding.remedy]
        );
    }
    // The bakery without its drains, its hot pipe left bare on purpose, and without the prices of things that are not counted.
    let mut clean = demonstration("corner-bakery");
    clean.job.drains.clear();
    for run in &mut clean.job.runs {
        run.insulation_in.value.get_or_insert_default();
    }
    // Deep studs, so that no bored one is worth a note.
    clean.job.settings.get_mut(&Setting::StudDepth).unwrap().value =
        Some(SettingValue::Number(rust_decimal::Decimal::new(725, 2)));
    // Tails by which no coil is used up to the last inch.
    clean.job.settings.get_mut(&Setting::TailAllowance).unwrap().value =
        Some(SettingValue::Number(rust_decimal::Decimal::from(7)));
    // Quotes that hold until the trim.
    clean.job.settings.get_mut(&Setting::PriceAgeLimit).unwrap().value =
        Some(SettingValue::Number(rust_decimal::Decimal::from(120)));
    let not_counted = ["cleanout", "closet flange"];
    clean.job.prices.retain(|price| !not_counted.contains(&&*price.kind.value));
    // No run leaves open which framing it passes through.
    for run in clean.job.runs.iter_mut().filter(|run| run.place.get() == Some(Whereabouts::Inside)) {
        run.place.value = Some(Whereabouts::Open);
    }
    assert!(text(&clean.bid(), "Findings").contains("There are none"));
}

/// The written bid, read again as `price --hold` reads it.
fn read_again(bytes: &[u8]) -> Made {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bid.xlsx");
    std::fs::write(&path, bytes).unwrap();
    let reading = read::open(&path);
    assert!(reading.job.is_bid);
    Made { job: reading.job, kept: reading.book, rule_files: Vec::new() }
}

fn held(made: &Made) -> Vec<u8> {
    let options = Options { hold: true, ..Options::default() };
    let priced = pipeline::price(&made.job, &made.kept, &[], &options).unwrap();
    bid_bytes(&priced.book, &made.kept, &About::default()).unwrap()
}

/// Rows of the Checks sheet that say price again.
fn again(bid: &[u8]) -> Vec<String> {
    let rows = rows(bid, "Checks");
    let found: Vec<String> =
        rows.iter().filter(|row| row.iter().any(|cell| cell == "price again")).map(|row| row[0].clone()).collect();
    assert_eq!(number(&beside(&rows, "Deciding inputs that say price again")[0]), found.len() as f64);
    found
}

#[test]
fn a_bid_just_priced_is_as_priced_and_adds_up() {
    for Shown { bid, .. } in three() {
        assert_eq!(again(bid), [""; 0]);
        let sums = rows(bid, "Checks");
        assert_eq!(beside(&sums, "Sums that do not add up"), ["0"]);
        let sums: Vec<_> = sums.iter().filter(|row| row[0].contains(" / ")).collect();
        assert!(sums.len() >= 8 && sums.iter().all(|row| row[3] == "OK"), "{sums:?}");
    }
}

#[test]
fn a_bid_priced_with_its_choices_held_is_priced_on_what_the_job_says_now() {
    let first = bid(CABIN);
    let unchanged = read_again(&first);
    assert_eq!(again(&held(&unchanged)), [""; 0]);

    let mut changed = read_again(&first);
    let hose = changed.job.fixtures.iter_mut().find(|f| &*f.tag.value == "HB1").unwrap();
    hose.status.value = Some(Status::New);
    hose.status.raw = Raw::Text("new".into());
    let cell = hose.status.cell.clone().unwrap();
    let sheet = changed.kept.sheets.iter_mut().find(|sheet| sheet.name == cell.sheet).unwrap();
    sheet.cells.iter_mut().find(|c| (c.row, c.column) == (cell.row, cell.column)).unwrap().raw =
        Raw::Text("new".into());
    assert_eq!(again(&held(&changed)), [""; 0], "it was just priced");

    // Without hold the job is priced on what it says now.
    assert_eq!(again(&changed.bid()), [""; 0]);
}

#[test]
fn a_new_row_is_noticed() {
    let bid = bid(CABIN);
    let costs = read_again(&bid);
    let last = costs.kept.declared("Other costs").unwrap().cells.last().unwrap().row;
    // Its name is counted, and so are the cells of rows that had none.
    assert_eq!(verdicts(&Shelf::of(bid), &[(Place::new("Other costs", last + 3, 0), "Lift")]), [2.0, 0.0]);
}

/// How many inputs say price again, and how many sums are off, after words are typed into the cell at this place.
fn verdicts(bid: &Shelf, typed: &[(Place, &str)]) -> [f64; 2] {
    let mut open = bid.open();
    typed.iter().for_each(|(place, words)| open.type_in(place, words));
    open.recalculate();
    [2, 3].map(|row| match open.value(&Place::new("Checks", row, 1)) {
        Held::Number(count) => count,
        other => panic!("row {row} of Checks holds {other:?}"),
    })
}

#[test]
fn a_changed_number_is_followed_and_a_changed_word_asks_for_a_new_price() {
    let Shown { made, bid, .. } = shown("prairie-house");
    let heads = rows(bid, "Checks");
    assert_eq!([&heads[2][0], &heads[3][0]], ["Deciding inputs that say price again", "Sums that do not add up"]);
    let run = |name: &str| made.job.runs.iter().find(|run| &*run.name.value == name).unwrap();
    let fixture = |tag: &str| made.job.fixtures.iter().find(|fixture| &*fixture.tag.value == tag).unwrap();
    let at = |cell: &Option<Place>| cell.clone().unwrap();
    let bid = Shelf::of(bid.clone());
    let after = |typed: &[(Place, &str)]| verdicts(&bid, typed);

    let settings = &made.job.settings;
    let new_row = Place { row: run("OG7").row + 4, ..run("OG7").name.place.clone() };
    let last = made.job.terms.iter().rfind(|term| &*term.kind.value == "payment").unwrap();
    assert_eq!(after(&[(at(&run("M1").length_ft.cell), "9"), (at(&fixture("WC1").count.cell), "2")]), [0.0, 0.0]);
    // Each of these by itself; the new row as a row of that name, and as a cell of a row that had none.
    let words = [
        (run("C2").from.place.clone(), "S1"),
        (at(&fixture("WC1").status.cell), "existing"),
        (at(&fixture("LB2").gpm.cell), "1.5"),
        (at(&settings[&Setting::CodeBasis].cell), "UPC"),
        (new_row, "X1"),
    ];
    assert_eq!(after(&words), [6.0, 0.0]);
    // A size that nobody has priced has no line for its fittings to go to. And 40 + 35 + 35 percent.
    assert_eq!(after(&[(at(&run("SV1").size.cell), "2"), (at(&last.amount.cell), "0.35")]), [0.0, 2.0]);
}

#[test]
fn a_changed_word_in_any_column_that_decides_asks_for_a_new_price() {
    let made = job_of_book(CABIN);
    let bid = Shelf::of(made.bid());
    let mut seen = BTreeSet::new();
    let mut deaf = Vec::new();
    for row in made.job.rows().into_iter().filter(|row| !row.sheet().is_idle) {
        for (column, cell) in row.sheet().columns.iter().zip(row.cells()) {
            let place = cell.place().filter(|_| matches!(column.role, Role::Decides | Role::Free));
            let Some(place) = place.filter(|_| seen.insert((row.sheet().name, column.name))) else { continue };
            let asks = verdicts(&bid, &[(place.clone(), "something else")])[0] > 0.0;
            if asks != (column.role == Role::Decides) {
                deaf.push(place.to_string());
            }
        }
    }
    assert_eq!(deaf, [""; 0]);
    assert!(seen.len() > 20, "{seen:?}");
}

#[test]
fn a_row_of_the_users_own_rules_is_watched() {
    let limits = "[Limits]\nLimit | Value\nvelocity cold | 7\n";
    let made = job_of_book(&format!("{CABIN}{limits}"));
    let rows = rows(&made.bid(), "Checks");
    assert!(rows.iter().any(|row| row[0].starts_with("Limits row ") && row[1] == "velocity cold|7"), "{rows:?}");
}

#[test]
fn the_words_of_the_bid_point_at_the_users_cells() {
    let priced = job_of_book(CABIN).price();
    let pointing = lines(&priced, "Bid").into_iter().filter(|figure| {
        let expr = priced.book.expr(*figure);
        expr.is_some_and(|expr| matches!(expr, Expr::Apply(..))) && !deciding(&priced.book, *figure).cells.is_empty()
    });
    let pointing: Vec<String> = pointing.map(|figure| priced.book.value(figure).to_string()).collect();
    assert!(pointing.contains(&"- New water lines from the curb stop.".to_owned()), "{pointing:?}");
    assert!(pointing.contains(&"This price holds for 30 days from the date of this bid.".to_owned()), "{pointing:?}");
}
