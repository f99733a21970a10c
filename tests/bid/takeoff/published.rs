//! Supports by the code's spacing and man-hours by a published sample: tests/published/supports_and_hours.csv.

use super::counted::{of, rows};
use crate::support::job::{Made, job};
use rust_decimal::Decimal;
use std::path::Path;

fn cases() -> Vec<csv::StringRecord> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/supports_and_hours.csv");
    let mut reader = csv::Reader::from_path(path).unwrap();
    assert_eq!(reader.headers().unwrap().iter().next_back(), Some("source"));
    let cases: Vec<_> = reader.records().map(Result::unwrap).collect();
    assert!(cases.iter().all(|case| case.iter().next_back().is_some_and(|source| !source.is_empty())));
    cases
}

fn number(text: &str) -> Decimal {
    text.parse().unwrap_or_else(|_| panic!("no number: {text}"))
}

/// Level pipe of this kind and length, with so many bends, and these rows more.
fn line(pipe: &str, feet: &str, bends: &str, more: &str) -> Made {
    let (material, size) = pipe.rsplit_once(' ').unwrap();
    job(&format!("Runs: A | SUPPLY | {feet} | Material {material} | Size {size} | Bends {bends}\n{more}"))
}

#[test]
fn supports_stand_at_the_codes_spacing() {
    let mut held = 0;
    for case in cases() {
        let (pipe, spaces, supports) = (&case[1], number(&case[3]), number(&case[4]));
        let found = of(&line(pipe, &case[2], "0", "").price(), &format!("support {pipe}\""));
        assert_eq!([found, found - Decimal::ONE], [supports, spaces], "{}", &case[0]);
        held += 1;
    }
    assert_eq!(held, 10);
}

/// The published hours come by the job's factor on the built-in hours, which are those of the average job, and by the
/// user's own hours in Labor.
#[test]
fn fittings_take_the_published_hours() {
    let mut held = 0;
    for case in cases().iter().filter(|case| !case[5].is_empty()) {
        let (pipe, fittings, each, published) = (&case[1], number(&case[5]), number(&case[6]), number(&case[7]));
        let factor = case[8].split_once("E = ").unwrap().1;
        let by_factor = format!("Job: Labor factor | {factor}");
        let own = format!("Labor: joint {pipe} | each | {}", each / Decimal::TWO);
        for more in [by_factor, own] {
            let bid = line(pipe, &case[2], &fittings.to_string(), &more).bid();
            let task = rows(&bid, "Hours").into_iter().find(|row| row[0] == format!("joint {pipe}")).unwrap();
            let [quantity, one, factor, hours] = [5, 6, 7, 8].map(|column| number(&task[column]));
            // A fitting has two ends. One end more is joined at the supply, one at the cap.
            let joints = fittings * Decimal::TWO;
            assert_eq!(quantity, joints + Decimal::TWO, "{task:?}");
            assert_eq!(one * factor * Decimal::TWO, each, "{more}: {task:?}");
            assert_eq!(one * factor * joints, published, "{more}: {}", &case[0]);
            assert_eq!(hours, one * factor * quantity, "{task:?}");
            held += 1;
        }
    }
    assert_eq!(held, 6);
}
