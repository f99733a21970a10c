//! Outside figures: worked examples, friction tables and libraries' values, held against the engine.
//!
//! What must agree is asserted in the modules. Printed figures that may disagree, because they were rounded, read off a
//! chart, or made by another method, are cases of a ratchet: `tests/published/agreement.txt` lists those that agree. The
//! test fails when a listed one breaks and when an unlisted one begins to agree; `TALLYBORE_UPDATE=1 cargo test --test
//! published` writes the list anew, for the diff to be judged.

mod curves;
mod friction;
mod worked_examples;

use std::collections::BTreeMap;

/// One printed figure and ours.
pub struct Case {
    pub name: String,
    pub published: f64,
    pub ours: f64,
    /// How far apart they may be and still agree.
    pub within: f64,
}

impl Case {
    fn agrees(&self) -> bool {
        (self.published - self.ours).abs() <= self.within
    }
}

/// What was listed and agrees no more, and what agrees and is not listed.
fn changes(cases: &BTreeMap<String, Case>, listed: &[&str]) -> (Vec<String>, Vec<String>) {
    let reported = |name: &str| match cases.get(name) {
        Some(case) => format!("{name}: published {}, ours {:.4}, within {:.4}", case.published, case.ours, case.within),
        None => format!("{name}: no such case any more"),
    };
    let agrees = |name: &str| cases.get(name).is_some_and(Case::agrees);
    let broken = listed.iter().filter(|name| !agrees(name)).map(|name| reported(name)).collect();
    let mended =
        cases.keys().filter(|name| agrees(name) && !listed.contains(&name.as_str())).map(|name| reported(name));
    (broken, mended.collect())
}

#[test]
fn the_outside_figures_that_agree_are_those_listed() {
    let mut cases: BTreeMap<String, Case> = BTreeMap::new();
    for case in worked_examples::cases().into_iter().chain(friction::cases()) {
        assert!(case.ours.is_finite(), "{} is {}", case.name, case.ours);
        let name = case.name.clone();
        assert!(cases.insert(name.clone(), case).is_none(), "two cases are called {name}");
    }
    let path = format!("{}/tests/published/agreement.txt", env!("CARGO_MANIFEST_DIR"));
    let agreeing: Vec<&str> = cases.values().filter(|case| case.agrees()).map(|case| case.name.as_str()).collect();
    if std::env::var("TALLYBORE_UPDATE").is_ok_and(|update| update == "1") {
        std::fs::write(&path, agreeing.join("\n") + "\n").unwrap();
    }
    println!("{} outside figures, {} agree", cases.len(), agreeing.len());
    for case in cases.values().filter(|case| !case.agrees()) {
        println!("disagrees: {}: published {}, ours {:.4}", case.name, case.published, case.ours);
    }
    let text = std::fs::read_to_string(&path).unwrap();
    let (broken, mended) = changes(&cases, &text.lines().collect::<Vec<_>>());
    assert!(broken.is_empty(), "these agreed and do not any more:\n{}", broken.join("\n"));
    assert!(mended.is_empty(), "these agree now; list them:\n{}", mended.join("\n"));
}

#[test]
fn the_list_holds_in_both_directions() {
    let case = |name: &str, ours| (name.to_owned(), Case { name: name.to_owned(), published: 10.0, ours, within: 0.5 });
    let cases = BTreeMap::from([case("near", 10.4), case("far", 10.6), case("new", 10.0)]);
    let (broken, mended) = changes(&cases, &["far", "gone", "near"]);
    assert_eq!(broken.iter().map(|reported| &reported[..4]).collect::<Vec<_>>(), ["far:", "gone"]);
    assert_eq!(mended, ["new: published 10, ours 10.0000, within 0.5000"]);
}
