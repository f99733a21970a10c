//! Ring arithmetic: as many rings of a size as there are fitting ends of that size, over random trees. The ends are told
//! from the names of the pieces on the take-off's own lines, not from how the engine counted them.

use super::counted::without_spares;
use crate::support::job::{Lines, job};
use proptest::prelude::*;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use tallybore::model::Size;
use tallybore::pipeline::Priced;

const SIZES: [&str; 4] = ["3/8", "1/2", "3/4", "1"];
/// Fixtures whose parts' ends can be told from their names.
const FIXTURES: [&str; 4] = ["lavatory", "water closet", "kitchen sink", "hose bibb"];

/// Pipe ends on one piece, by what it is called: each of its sizes as often as given.
fn ends_of(kind: &str) -> usize {
    match kind {
        "elbow" | "coupling" | "ball valve" => 2,
        "tee" | "reducer" | "adapter" | "cap" | "manifold port" | "stub-out" | "frostproof hose bibb" => 1,
        _ => 0,
    }
}

fn ends_by_size(priced: &Priced) -> BTreeMap<Size, Decimal> {
    let mut ends: BTreeMap<Size, Decimal> = BTreeMap::new();
    for line in &priced.take_off.lines {
        // Of two ends of different sizes the first is the pipe's.
        let sizes = if line.item.ends.contains(" x hose") { &line.item.sizes[..1] } else { &line.item.sizes };
        for size in sizes {
            let each = Decimal::from(ends_of(&line.item.kind));
            *ends.entry(*size).or_default() += line.needed.value().as_decimal().unwrap() * each;
        }
    }
    ends.retain(|_, count| !count.is_zero());
    ends
}

fn rings_by_size(priced: &Priced) -> BTreeMap<Size, Decimal> {
    let rings = priced.take_off.lines.iter().filter(|line| line.item.kind == "ring");
    let by_size = rings.map(|line| (line.item.sizes[0], line.needed.value().as_decimal().unwrap()));
    by_size.filter(|(_, count)| !count.is_zero()).collect()
}

#[derive(Debug, Clone)]
struct Tree {
    /// What feeds each run, the size of each, its bends.
    runs: Vec<(Option<usize>, usize, u32)>,
    /// Fixture, run of its cold side, count.
    draws: Vec<(usize, usize, u32)>,
    manifold: Option<usize>,
    valves: &'static str,
    /// Tees and reducers that somebody offers.
    offered: Vec<[usize; 3]>,
    reducers: Vec<[usize; 2]>,
}

fn tree() -> impl Strategy<Value = Tree> {
    let runs = prop::collection::vec((0..100usize, 0..SIZES.len(), 0..3u32), 1..14);
    let draws = prop::collection::vec((0..FIXTURES.len(), 0..14usize, 0..4u32), 0..8);
    let size = 0..SIZES.len();
    let tees = prop::collection::vec([size.clone(), size.clone(), size.clone()], 0..12);
    let reducers = prop::collection::vec([size.clone(), size], 0..8);
    let valves = prop::sample::select(&["as listed", "main", "per bath", "per fixture"][..]);
    (runs, draws, prop::option::weighted(0.3, 0..14usize), valves, tees, reducers).prop_map(
        |(runs, draws, manifold, valves, offered, reducers)| {
            let count = runs.len();
            let feeder = |(at, (from, size, bends)): (usize, (usize, usize, u32))| {
                (at.checked_sub(1).map(|last| from % (last + 1)), size, bends)
            };
            Tree {
                runs: runs.into_iter().enumerate().map(feeder).collect(),
                draws: draws.into_iter().map(|(kind, run, alike)| (kind, run % count, alike)).collect(),
                manifold: manifold.map(|run| run % count),
                valves,
                offered,
                reducers,
            }
        },
    )
}

fn lines(tree: &Tree) -> String {
    let mut lines = Lines::default();
    for (item, value) in [("Supply pressure", "90"), ("Highest pressure", "75")] {
        lines.add(format!("Job: {item} | {value}"));
    }
    lines.add(format!("Job: Shutoff valves | {}", tree.valves));
    for (at, (feeder, size, bends)) in tree.runs.iter().enumerate() {
        let from = feeder.map_or("SUPPLY".to_owned(), |feeder| format!("R{feeder}"));
        lines.add(format!("Runs: R{at} | {from} | 9 | Size {} | Bends {bends}", SIZES[*size]));
    }
    for (at, (kind, run, count)) in tree.draws.iter().enumerate() {
        let row = format!("Fixtures: F{at} | {} | Cold run R{run} | Count {count}", FIXTURES[*kind]);
        lines.add(format!("{row} | Group half bath A"));
    }
    if let Some(run) = tree.manifold {
        lines.add(format!("Devices: MAN | R{run} | manifold"));
    }
    lines.add("Prices: ring | each | 0.25 | Material PEX");
    for (at, [run, on, branch]) in tree.offered.iter().enumerate() {
        let [run, on, branch] = [run, on, branch].map(|size| SIZES[*size]);
        lines.add(format!("Prices: tee | each | {} | Material PEX | Size {run} x {on} x {branch}", 2 + at));
    }
    for [a, b] in tree.reducers.iter().filter(|[a, b]| a != b) {
        lines.add(format!("Prices: reducer | each | 1.5 | Material PEX | Size {} x {}", SIZES[*a], SIZES[*b]));
    }
    lines.0
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn there_is_a_ring_for_every_fitting_end(tree in tree()) {
        let priced = without_spares(job(&lines(&tree))).price();
        prop_assert_eq!(rings_by_size(&priced), ends_by_size(&priced));
    }
}

/// The same by another way: every piece of pipe has two ends, each joined in one fitting. An elbow or a valve cut into a
/// run makes two pieces of it; a nipple between a tee and its reducer, or before a stub-out, is a piece too.
#[test]
fn every_piece_of_pipe_is_joined_at_both_ends() {
    let made = job("
        Job: Shutoff valves | main
        Job: Form | stick
        Runs: A | SUPPLY | 10 | Size 1 | Bends 2
        Runs: B | A | 10 | Size 3/4 | Bends 1
        Runs: C | A | 10 | Size 3/4
        Fixtures: L | lavatory | Cold run B
        Fixtures: W | water closet | Cold run C
        Prices: tee | each | 6 | Material PEX | Size 1
        Prices: reducer | each | 3 | Material PEX | Size 1 x 3/4");
    let priced = without_spares(made).price();
    // A in 4 pieces (two elbows, a valve), B in 2, C in 1; two nipples of 1 at the tee, two of 1/2 before the stub-outs.
    let pieces = Decimal::from(4 + 2 + 1 + 2 + 2);
    let rings: Decimal = rings_by_size(&priced).values().sum();
    assert_eq!(rings, pieces * Decimal::TWO);
}
