//! The order of rows in any sheet says nothing: shuffled, the demonstration jobs come to the same sizes, pressures and money.

use crate::support::job::{Made, demonstration};

/// A fixed shuffle of so many, by a little generator of pseudo-random numbers.
fn shuffle<T>(rows: &mut [T], seed: u64) {
    let mut state = seed;
    for at in (1..rows.len()).rev() {
        // Constants of Knuth's MMIX, from memory; any would do.
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        rows.swap(at, (state >> 33) as usize % (at + 1));
    }
}

fn shuffled(made: &Made, seed: u64) -> Made {
    let mut made = made.clone();
    let job = &mut made.job;
    shuffle(&mut job.runs, seed);
    shuffle(&mut job.fixtures, seed);
    shuffle(&mut job.devices, seed);
    shuffle(&mut job.prices, seed);
    shuffle(&mut job.suppliers, seed);
    shuffle(&mut job.labor, seed);
    shuffle(&mut job.other_costs, seed);
    shuffle(&mut job.on_hand, seed);
    shuffle(&mut job.drains, seed);
    made
}

#[test]
fn shuffled_rows_are_the_same_bid() {
    for name in ["prairie-house", "corner-bakery"] {
        let made = demonstration(name);
        let tables = made.tables();
        let own = made.summed(&tables);
        for seed in 1..=4 {
            let other = shuffled(&made, seed).summed(&tables);
            for run in &own.runs {
                let same = other.run(&run.name).unwrap();
                assert_eq!(run.size, same.size, "{name}, shuffle {seed}: {}", run.name);
                let [psi, as_listed] = [run, same].map(|run| run.end_psi.unwrap());
                assert!((psi - as_listed).abs() < 1e-9, "{name}, shuffle {seed}: {}", run.name);
            }
            assert_eq!(own.total, other.total, "{name}, shuffle {seed}");
            assert_eq!(own.cash_total, other.cash_total, "{name}, shuffle {seed}");
            assert_eq!(own.all_hours, other.all_hours, "{name}, shuffle {seed}");
        }
    }
}
