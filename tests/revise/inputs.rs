//! Which cells of the input sheets count as a change.

use crate::support::job::job;
use tallybore::{InputChange, differences};

#[test]
fn what_decides_is_told_and_words_for_the_reader_are_not() {
    let old = job("Runs: A | SUPPLY | 20 | Level 1 | Note by the stairs
        Fixtures: L1 | lavatory | Room bath | Cold run A");
    let new = job("Runs: A | SUPPLY | 20 | Level 2 | Note by the door
        Fixtures: L1 | lavatory | Room hall | Cold run A");
    let changes: Vec<String> = differences(&old.kept, &new.kept).iter().map(InputChange::words).collect();
    assert_eq!(changes, ["Level of run A from 1 to 2"]);
}
