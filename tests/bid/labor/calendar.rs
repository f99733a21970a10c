//! The phases on the calendar, worked by hand.

use super::rows::cells;
use crate::support::job::{Made, job};
use crate::support::recalc::recalculate_in_process;

/// Each phase: owner's and hired hours, weeks, days, wait, from and through day and week, first and last date, check.
fn calendar(made: &Made) -> Vec<Vec<String>> {
    cells(&made.price().book, "Schedule", "The phases on the calendar")
}

/// 20 h of underground work, 30 h of rough-in of which 10 hired, 5 h of test, 12 h of trim.
fn house(more: &str) -> Made {
    job(&format!(
        "Job: Labor by | owner
        Job: Owner hours per week | 16
        Runs: S | SUPPLY | 40 | Material PE | Size 1 | Where buried | Form coil
        Runs: A | S | 20 | Size 1/2 | Where inside wall | Form coil
        Fixtures: L | lavatory | Cold run A
        Labor: run PE 1 | ft | 0.5
        Labor: run PEX 1/2 | ft | 1
        Labor: rough in lavatory | each | 10 | By hired
        Labor: pressure test | each | 5
        Labor: trim lavatory | each | 12
        Labor: joint PE 1 | each | 0
        Labor: joint PEX 1/2 | each | 0
        Labor: joint PEX 1 | each | 0
        Labor: support pipe | each | 0
        Labor: plate studs | each | 0
        Labor: lay tracer wire | ft | 0
        Labor: flush and disinfect | each | 0
        {more}"
    ))
}

#[test]
fn without_a_start_date_there_are_weeks_and_no_dates() {
    let rows = calendar(&house(""));
    let row = |index: usize| rows[index].iter().map(String::as_str).collect::<Vec<_>>();
    // 20 / 16 = 1.25 weeks are 8.75 days; 20 / 16 + 10 / 40 = 1.5 weeks are 10.5; 5 / 16 are 2.2; 12 / 16 are 5.25.
    assert_eq!(row(0), ["Underground", "20", "0", "1.25", "9", "", "1", "9", "1", "2", "", "", "OK"]);
    assert_eq!(row(1), ["Rough-in", "20", "10", "1.5", "11", "0", "10", "20", "2", "3", "", "", "OK"]);
    assert_eq!(row(2), ["Test", "5", "0", "0.3125", "3", "", "21", "23", "3", "4", "", "", "OK"]);
    assert_eq!(row(3), ["Trim", "12", "0", "0.75", "6", "0", "24", "29", "4", "5", "", "", "OK"]);
    let priced = house("").price();
    let when: Vec<_> = priced.labor.calendar.phases.iter().map(|days| days.begins.value().to_string()).collect();
    assert_eq!(when, ["week 1", "week 2", "week 3", "week 4"]);
    assert_eq!((priced.labor.calendar.weeks.value().to_string().as_str()), "4.1");
}

/// 2026-06-13 is day 46186; the days after it by any calendar.
#[test]
fn a_start_date_gives_dates_and_waits_come_between() {
    let made =
        house("Job: Start date | 2026-06-13\nJob: Wait before rough-in | 5\nJob: Wait before trim | 21\nJob: Crew | 2");
    let rows = calendar(&made);
    let dates: Vec<_> = rows.iter().map(|row| (row[5].as_str(), row[10].as_str(), row[11].as_str())).collect();
    // The hired 10 h by two at once: 20 / 16 + 10 / 80 = 1.375 weeks, 10 days.
    assert_eq!(dates[0], ("", "46186", "46194")); // 13 to 21 June
    assert_eq!(dates[1], ("5", "46200", "46209")); // 27 June to 6 July
    assert_eq!(dates[2], ("", "46210", "46212")); // 7 to 9 July
    assert_eq!(dates[3], ("21", "46234", "46239")); // 31 July to 5 August
    assert_eq!(tallybore::model::date_text(46239.into()), "2026-08-05");
    assert_eq!(dates[4].2, "46239");
    assert_eq!(recalculate_in_process(&made.bid()), Vec::new());
}

#[test]
fn what_has_no_work_takes_no_days_and_nobody_waits_for_it() {
    // No underground work: the rough-in begins at once, whatever the wait.
    let made = job("Job: Start date | 2026-06-13
        Job: Wait before rough-in | 9
        Runs: A | SUPPLY | 20 | Size 1/2 | Where inside wall
        Fixtures: L | lavatory | Cold run A");
    let rows = calendar(&made);
    assert_eq!((rows[0][4].as_str(), rows[0][6].as_str(), rows[0][10].as_str()), ("0", "", ""));
    assert_eq!((rows[1][5].as_str(), rows[1][6].as_str(), rows[1][10].as_str()), ("0", "1", "46186"));
}
