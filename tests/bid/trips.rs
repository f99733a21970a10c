//! Trips and mobilization: how often somebody drives to the job and to the supply house and what that costs, prices carried from
//! the day they were quoted to the day work begins, quotes that run out before. Worked out here by hand. A day of work of an
//! eighth of forty hours is common practice, and so are the shares of the Escalation table.

use crate::support::job::{Made, job_of_book};
use crate::support::recalc::{Held, Shelf, recalculate_in_process};
use tallybore::pipeline::Priced;
use tallybore::place::Place;

/// Twelve lavatories on one run. Everything is invented; `?` stands for settings.
const JOB: &str = "[Job]
Item            | Value
Supply pressure | 60
Labor rate      | 50
Labor burden    | 20%
Tax rate        | 10%
Date            | 2026-05-01
Start date      | 2026-06-01
Price age limit | 60
?

[Fixtures]
Tag | Fixture  | Count | Cold run
L1  | lavatory | 12    | B

[Runs]
Run | From   | Material | Size | Length ft
B   | SUPPLY | PEX      | 3/4  | 120

[Prices]
Kind       | Material | Size | Unit | Price | Supplier         | Quoted
pipe       | PEX      | 3/4  | ft   | 10.00 | Quillmoor Supply | 2026-04-15
stop valve |          |      | each | 10.00 | Quillmoor Supply | 2026-04-15
stop valve |          |      | each | 12.00 | Brae Supply      | 2026-03-15
";

fn made(settings: &str) -> Made {
    job_of_book(&JOB.replace('?', settings))
}

fn part(priced: &Priced, name: &str) -> f64 {
    let parts = &priced.bid.build_up.parts;
    parts.iter().find(|part| part.name == name).map_or(0.0, |part| part.whole.value().as_f64())
}

fn travel(settings: &str) -> f64 {
    part(&made(settings).price(), "Other costs")
}

/// Hired hours of rough-in, trim and test.
fn hired(priced: &Priced) -> [f64; 3] {
    use tallybore::model::Phase::{RoughIn, Test, Trim};
    [RoughIn, Trim, Test].map(|phase| priced.labor.in_phase_by(phase, "hired").value().as_f64())
}

const WAY: &str = "Drive hours | 1.5\nDrive miles | 62\nMileage rate | 0.50";

#[test]
fn a_job_that_says_no_way_has_no_trips() {
    let priced = made("").price();
    assert_eq!(part(&priced, "Other costs"), 0.0);
    assert!(priced.book.sheets().iter().all(|sheet| &*sheet.name != "Trips" || sheet.is_empty()));
}

#[test]
fn a_trip_a_day_of_hired_work_in_each_phase() {
    let made = made(WAY);
    let days: f64 = hired(&made.price()).iter().map(|hours| (hours / 8.0).ceil()).sum();
    assert!(days >= 5.0, "{days}");
    // There and back: 3 hours at 50 and 20 %, 124 miles at 50 cents.
    assert_eq!(travel(WAY), days * (3.0 * 60.0 + 62.0));
    assert_eq!(recalculate_in_process(&made.bid()), Vec::new());
    // Two hands are paid for the way, and half as many days are driven for.
    let crew = format!("{WAY}\nCrew | 2");
    let days: f64 = hired(&made.price()).iter().map(|hours| (hours / 16.0).ceil()).sum();
    assert_eq!(travel(&crew), days * (2.0 * 3.0 * 60.0 + 62.0));
}

#[test]
fn trips_are_typed_or_turned_off() {
    let only = format!("{WAY}\nTrips rough-in | 4\nTrips trim | 0\nTrips test | 0");
    assert_eq!(travel(&only), 4.0 * 242.0);
    // Live, as pricing has it.
    let bid = Shelf::of(made(&only).bid());
    let mut open = bid.open();
    open.type_in(&Place::parse("Job!B14").unwrap(), "6");
    open.type_in(&Place::parse("Job!B11").unwrap(), "1");
    open.recalculate();
    let total = open.cell_named("Bid_total").replace('$', "");
    let Held::Number(total) = open.value(&Place::parse(&total).unwrap()) else { panic!("{total}") };
    let typed = only.replace("rough-in | 4", "rough-in | 6").replace("hours | 1.5", "hours | 1");
    let priced = made(&typed).price();
    let (expected, before) =
        (priced.bid.build_up.total.value().as_f64(), made(&only).price().bid.build_up.total.value().as_f64());
    assert!((total - expected).abs() < 0.005 && (expected - before - (6.0 * 182.0 - 968.0)).abs() < 0.005, "{total}");
}

#[test]
fn who_does_his_own_work_is_not_paid_on_the_road() {
    assert_eq!(travel(&format!("{WAY}\nLabor by | owner")), 0.0);
    // He says how often he drives: the miles alone.
    assert_eq!(travel(&format!("{WAY}\nLabor by | owner\nTrips trim | 3")), 3.0 * 62.0);
}

#[test]
fn a_run_to_the_supply_house_for_each_order() {
    // Material at rough-in, with the test's, and at trim.
    let way = "Supply house miles | 55\nSupply house hours | 1\nMileage rate | 0.50";
    assert_eq!(travel(way), 2.0 * (2.0 * 60.0 + 55.0));
    assert_eq!(travel(&format!("{way}\nLabor by | owner")), 2.0 * 55.0);
    assert_eq!((travel(&format!("{way}\nSupply runs | 5")), travel(&format!("{way}\nSupply runs | 0"))), (875.0, 0.0));
}

#[test]
fn a_way_filled_in_later_asks_for_a_new_price() {
    let bid = Shelf::of(made("Drive hours | ").bid());
    let mut open = bid.open();
    open.type_in(&Place::parse("Job!B11").unwrap(), "1.5");
    open.recalculate();
    let again = open.cell_named("Price_again").replace('$', "");
    assert!(matches!(open.value(&Place::parse(&again).unwrap()), Held::Number(changed) if changed > 0.0));
}

#[test]
fn prices_are_carried_from_quoted_to_start_date() {
    let carried = made("Escalation | to start date");
    let priced = carried.price();
    // 47 days from April 15 to June 1 at 4 % a year, of pipe with its waste and of 12 stops.
    let line = |kind: &str| {
        let found =
            priced.bid.lines.iter().find(|line| priced.take_off.lines[line.line].item.kind == kind && line.priced);
        found.unwrap().to_buy.value().as_f64()
    };
    let rise = |amount: f64| (amount * 0.04 * 47.0 / 365.0 * 100.0).round() / 100.0;
    let expected = rise(line("pipe")) + rise(line("stop valve"));
    assert!(line("pipe") > 1200.0 && expected > 6.0, "{expected}");
    assert!((part(&priced, "Other costs") - expected).abs() < 0.005, "{expected}");
    // It is taxed as the material is.
    let tax = part(&priced, "Sales tax") - part(&made("").price(), "Sales tax");
    assert!((tax - expected * 0.1).abs() < 0.006, "{tax}");
    assert_eq!(recalculate_in_process(&carried.bid()), Vec::new());
    // The job's own share, for pipe of this material alone.
    let own = format!(
        "{}\n[Escalation]\nKind | Material | Yearly\npipe | PEX | 10%\n",
        JOB.replace('?', "Escalation | to start date")
    );
    let own = part(&job_of_book(&own).price(), "Other costs");
    assert!((own - expected - line("pipe") * 0.06 * 47.0 / 365.0).abs() < 0.01, "{own}");
    // A price quoted after work begins does not fall.
    let late = JOB.replace("2026-06-01", "2026-04-01").replace('?', "Escalation | to start date");
    assert_eq!(part(&job_of_book(&late).price(), "Other costs"), 0.0);
}

#[test]
fn the_rise_follows_the_offer_that_is_chosen() {
    let text = JOB.replace('?', "Escalation | to start date");
    let bid = job_of_book(&text).bid();
    let shelf = Shelf::of(bid);
    let mut open = shelf.open();
    // The stop of Brae Supply was quoted in March: 78 days.
    open.type_in(&Place::parse("Prices!E5").unwrap(), "13");
    let line = (0..400).map(|row| Place::new("Cost build-up", row, 1));
    let chosen = line.into_iter().find(|place| {
        let is_stop = matches!(open.value(&Place::new("Cost build-up", place.row, 0)), Held::Text(words) if words.starts_with("stop valve"));
        is_stop && matches!(open.value(place), Held::Text(words) if words.starts_with("Quillmoor"))
    });
    open.type_in(&chosen.unwrap(), "Brae Supply");
    open.recalculate();
    let total = open.cell_named("Bid_total").replace('$', "");
    let Held::Number(total) = open.value(&Place::parse(&total).unwrap()) else { panic!("{total}") };
    let priced = job_of_book(&text.replace("each | 10.00", "each | 13.00")).price();
    assert!((total - priced.bid.build_up.total.value().as_f64()).abs() < 0.005, "{total}");
}

#[test]
fn a_quote_that_runs_out_before_its_phase_is_told() {
    let told = |text: &str| {
        let priced = job_of_book(text).price();
        priced.findings.iter().filter(|f| f.slug == "quote-expires").map(|f| f.found_and_table(0)).collect::<Vec<_>>()
    };
    // Good until June 14. Rough-in and trim begin in June; with a wait of 60 days the trim begins in August.
    assert_eq!(told(&JOB.replace('?', "")).len(), 0);
    let late = told(&JOB.replace('?', "Wait before trim | 60"));
    assert_eq!(late.len(), 1);
    assert!(late[0].contains("good until 2026-06-14") && late[0].contains("the trim begins 2026-08-0"), "{late:?}");
    assert_eq!(told(&JOB.replace('?', "Wait before trim | 60").replace("limit | 60", "limit | 120")).len(), 0);
}
