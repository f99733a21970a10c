//! The rule tables: complete, sourced, consistent.

use tallybore::rules::Rules;

#[test]
fn the_built_in_tables_load_without_a_finding() {
    let (rules, findings) = Rules::load(&[], &[]);
    assert_eq!(findings, []);
    assert!(rules.tables().iter().all(|t| !t.rows().is_empty()));
}
