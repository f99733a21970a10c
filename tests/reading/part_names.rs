//! What people call parts and ends: each everyday name means one thing of the program's, the user's own sheets add more, and what
//! has no price is told with the row of Prices that comes nearest.

use crate::support::job::{Made, job};
use std::collections::BTreeSet;
use tallybore::model::columns::DEVICE_KINDS;
use tallybore::rules::Rules;

#[test]
fn each_name_of_a_part_or_an_end_means_one_that_there_is() {
    let rules = Rules::embedded();
    let parts = rules.assemblies().iter().map(|part| &*part.kind);
    let parts = parts.chain(rules.sundries().iter().map(|sundry| &*sundry.part));
    let kinds: BTreeSet<&str> =
        tallybore::part_kinds().map(|kind| kind.name).chain(DEVICE_KINDS.iter().copied()).chain(parts).collect();
    for row in rules.part_names() {
        assert!(kinds.contains(&*row.part), "{} is no part", row.part);
        let own = kinds.iter().find(|kind| kind.eq_ignore_ascii_case(&row.name));
        assert_eq!(own, None, "{} is a part itself", row.name);
        assert_eq!(rules.names().part(&row.name.to_uppercase()), &*row.part);
    }
    let ends: BTreeSet<&str> = rules.joints().iter().flat_map(|row| [&*row.end, &*row.meets]).collect();
    for row in rules.end_names() {
        assert!(ends.contains(&*row.end), "{} is no end", row.end);
        assert!(!ends.iter().any(|end| end.eq_ignore_ascii_case(&row.name)), "{} is an end itself", row.name);
    }
}

/// Rows of the finding that things have no price.
fn unpriced(made: &Made) -> Vec<Vec<String>> {
    let priced = made.price();
    priced.findings.iter().filter(|f| f.slug == "no-price").flat_map(|f| f.table.clone()).collect()
}

const COTTAGE: &str = "Job: Form | stick
    Runs: M | SUPPLY | 6 | Size 3/4
    Runs: K | M | 10 | Size 1/2 | Bends 2
    Fixtures: S | lavatory | Cold run K
    Prices: pipe | coil | 50 | Material PEX | Size 1/2 | Pack 100";

#[test]
fn a_counters_words_find_their_prices() {
    let plain = unpriced(&job(COTTAGE));
    let named = unpriced(&job(&format!(
        "{COTTAGE}
        Prices: 90 elbow | each | 1 | Material PEX | Size 1/2
        Prices: crimp ring | each | 0.2 | Material PEX | Size 1/2
        Prices: angle stop | each | 8 | Size 1/2 x 3/8 | Ends comp x comp
        Prices: faucet connector | each | 6 | Size 3/8 x 1/2 | Ends comp x FIP
        Prices: dohickey | each | 3 | Material PEX | Size 1/2 | Ends crimp x copper
        Part names: Name | Part
        Part names: dohickey | stub-out"
    )));
    let gone: Vec<&str> =
        plain.iter().map(|row| &*row[0]).filter(|item| !named.iter().any(|row| row[0] == *item)).collect();
    let found = [
        "elbow PEX 1/2\"",
        "ring PEX 1/2\"",
        "stub-out PEX 1/2\" crimp x copper pipe",
        "stop valve 1/2\" compression x 3/8\" compression",
        "supply line 3/8\" compression x 1/2\" FIP",
    ];
    assert_eq!(BTreeSet::from_iter(gone), BTreeSet::from(found));
}

/// A book of prices from before ends were said, or for other pipe: what it does not fit is told with the row that comes nearest.
#[test]
fn what_has_no_price_is_told_with_the_nearest_row() {
    let rows = unpriced(&job(&format!(
        "{COTTAGE}
        Prices: adapter | each | 4 | Material copper L | Size 3/4
        Prices: elbow | each | 1 | Material PEX | Size 3/4
        Prices: stop valve | each | 8 | Size 1/2 | Ends FPT x compression
        Prices: escutcheon | each | | Size 1/2"
    )));
    let near = |item: &str| {
        let row =
            rows.iter().find(|row| row[0].starts_with(item)).unwrap_or_else(|| panic!("{item} has a price: {rows:?}"));
        row.get(2).cloned().unwrap_or_default()
    };
    assert_eq!(near("adapter PEX 3/4"), "nearest in Prices, row 5: adapter copper L 3/4\" (other material)");
    assert_eq!(near("elbow PEX 1/2"), "nearest in Prices, row 6: elbow PEX 3/4\" (other size)");
    assert_eq!(near("stop valve"), "nearest in Prices, row 7: stop valve 1/2\" FPT x compression (other ends)");
    assert_eq!(near("escutcheon"), "nearest in Prices, row 8: escutcheon 1/2\" (asks for a quote)");
    assert_eq!(near("test cap"), "");
}
