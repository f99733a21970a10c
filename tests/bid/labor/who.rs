//! Who does what, and when: by the task, else by the phase, else by the job.

use super::rows::{Row, tasks};
use crate::support::job::job;
use rust_decimal::dec;

fn by<'a>(rows: &'a [Row], task: &str) -> (&'a str, &'a str) {
    let row = rows.iter().find(|row| row.task == task).unwrap_or_else(|| panic!("no {task} in {rows:#?}"));
    (&row.phase, &row.by)
}

#[test]
fn the_task_goes_before_the_phase_and_the_phase_before_the_job() {
    let made = job("Job: Labor by | owner
        Job: Labor by underground | hired
        Job: Labor by trim | hired
        Runs: S | SUPPLY | 40 | Material PE | Size 1 | Where buried
        Runs: A | S | 12 | Size 3/4 | Where inside wall
        Fixtures: L | lavatory | Cold run A
        Fixtures: WC | water closet | Cold run A
        Labor: trim water closet | each | 1 | By owner");
    let priced = made.price();
    let rows = tasks(&priced.book);
    assert_eq!(by(&rows, "run PE 1"), ("underground", "hired"));
    assert_eq!(by(&rows, "run PEX 3/4"), ("rough-in", "owner"));
    assert_eq!(by(&rows, "trim lavatory"), ("trim", "hired"));
    assert_eq!(by(&rows, "trim water closet"), ("trim", "owner"));
    assert_eq!(by(&rows, "pressure test"), ("test", "owner"));
    let all = priced.labor.by("owner").value().as_f64() + priced.labor.by("hired").value().as_f64();
    assert!((all - priced.labor.total.value().as_f64()).abs() < 1e-9);
}

/// The water is off when the new pipe is put in: a tie-in stands in the phase of the run that is tied in.
#[test]
fn a_tie_in_stands_in_the_phase_of_its_run() {
    let rows = |labor: &str| {
        let made = job(&format!(
            "Runs: OLD | SUPPLY | 30 | Material copper L | Size 3/4 | Status existing
            Runs: N1 | OLD | 12 | Size 1/2 | Where inside wall
            Runs: N2 | OLD | 20 | Size 1/2 | Where in slab
            Runs: N3 | OLD | 9 | Size 1/2 | Phase trim
            {labor}"
        ));
        let rows = tasks(&made.price().book);
        let ties = rows.iter().filter(|row| row.task == "drain down and tie in");
        let mut ties: Vec<_> = ties.map(|row| (row.phase.clone(), row.quantity, row.from.clone())).collect();
        ties.sort();
        ties
    };
    let own = |phase: &str, run: &str| (phase.to_owned(), dec!(1), run.to_owned());
    assert_eq!(rows(""), [own("rough-in", "N1"), own("trim", "N3"), own("underground", "N2")]);
    // The hours of the user's own row; its blank Phase leaves it to the runs.
    assert_eq!(rows("Labor: drain down and tie in | each | 3 | By hired"), rows(""));
    // A phase that is typed is the user's word.
    let typed = rows("Labor: drain down and tie in | each | 3 | Phase trim");
    assert_eq!(typed, [own("trim", "N1"), own("trim", "N2"), own("trim", "N3")]);
}
