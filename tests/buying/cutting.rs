//! Buying and cutting pipe: published instances to the proven optimum, small random jobs against an independent search
//! of all plans, larger ones against first fit, and every foot added up.

use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use std::collections::BTreeMap;
use tallybore::cutting::{Effort, Form, Plan, Problem, Run, Stock, plan};

const EFFORT: Effort = Effort { steps: 5_000_000 };

fn stick(length: i64, price: i64) -> Stock {
    Stock { form: Form::Stick, length, price, worth: 0, available: None }
}

fn coil(feet: i64, price: i64) -> Stock {
    Stock { form: Form::Coil, length: feet * 96, price, worth: 0, available: None }
}

fn run(length: i64) -> Run {
    Run { length, joints: true, form: None }
}

fn whole(length: i64) -> Run {
    Run { length, joints: false, form: None }
}

/// Checks a plan by the rules of the model alone, and gives its cost worked out anew.
fn cost_by_the_rules(problem: &Problem, plan: &Plan) -> i64 {
    let mut pieces: BTreeMap<usize, Vec<i64>> = BTreeMap::new();
    let mut used: BTreeMap<usize, u32> = BTreeMap::new();
    let mut cost = 0;
    for cut in &plan.cuts {
        let stock = &problem.stock[cut.stock];
        *used.entry(cut.stock).or_default() += 1;
        assert!(!cut.pieces.is_empty(), "a unit was bought for nothing");
        let taken: i64 = cut.pieces.iter().map(|piece| piece.length).sum();
        assert_eq!(taken + cut.kerf + cut.left, stock.length, "pieces, kerf and left-over are not the unit: {cut:?}");
        let between = problem.kerf * (cut.pieces.len() as i64 - 1);
        assert!(cut.left >= 0 && cut.kerf >= between && cut.kerf <= between + problem.kerf);
        assert!(cut.left == 0 || cut.kerf == between + problem.kerf, "nothing is left without a cut");
        let worth = if cut.left >= problem.usable { stock.worth * cut.left / stock.length } else { 0 };
        assert_eq!(worth, cut.worth);
        cost += stock.price - worth;
        let mut here = Vec::new();
        for piece in &cut.pieces {
            assert!(!here.contains(&piece.run), "two pieces of a run from one unit");
            here.push(piece.run);
            pieces.entry(piece.run).or_default().push(piece.length);
            assert!(problem.runs[piece.run].form.is_none_or(|form| form == stock.form));
        }
    }
    for (stock, used) in used {
        assert!(problem.stock[stock].available.is_none_or(|there| used <= there), "more than there is");
    }
    let mut joints = 0;
    for (index, run) in problem.runs.iter().enumerate() {
        let pieces = pieces.remove(&index).unwrap_or_default();
        if plan.unmet.contains(&index) || run.length <= 0 {
            assert!(pieces.is_empty());
            continue;
        }
        assert_eq!(pieces.iter().sum::<i64>(), run.length, "run {index} is not covered once");
        if pieces.len() > 1 {
            assert!(run.joints, "run {index} may not be joined");
            assert!(pieces.iter().all(|piece| *piece >= problem.shortest_piece), "run {index} has a piece too short");
            joints += pieces.len() as i64 - 1;
        }
    }
    assert!(pieces.is_empty());
    cost += joints * problem.joint_cost;
    assert_eq!(i64::from(plan.joints), joints);
    assert_eq!(plan.cost, cost);
    assert_eq!(plan.stock_cost + plan.joint_cost - plan.worth, cost);
    assert!(plan.bound <= cost);
    assert_eq!(plan.proved, plan.bound == cost);
    cost
}

fn rows(text: &str) -> Vec<csv::StringRecord> {
    csv::Reader::from_reader(text.as_bytes()).records().map(Result::unwrap).collect()
}

fn numbers(text: &str) -> Vec<i64> {
    text.split_whitespace().map(|word| word.parse().unwrap()).collect()
}

#[test]
fn published_cutting_instances_are_solved_to_the_proven_optimum() {
    let rows = rows(include_str!("../published/cutting_stock.csv"));
    assert_eq!(rows.len(), 40);
    for row in &rows {
        let own: i64 = row[3].parse().unwrap();
        for kerf in 0..=1 {
            let fewest: i64 = row[5 + kerf as usize].parse().unwrap();
            let runs = numbers(&row[4]).into_iter().map(whole).collect();
            let stock = vec![stick(row[2].parse().unwrap(), 10_000)];
            let problem = Problem { stock, runs, joint_cost: 0, kerf, shortest_piece: 192, usable: 288 };
            let plan = plan(&problem, EFFORT);
            cost_by_the_rules(&problem, &plan);
            assert_eq!(plan.cuts.len() as i64, fewest, "{} with kerf {kerf}", &row[0]);
            assert!(plan.proved, "{} with kerf {kerf}: bound {}", &row[0], plan.bound);
            if kerf == own {
                assert!(fewest <= row[7].parse().unwrap());
            }
        }
    }
}

#[test]
fn published_purchases_are_solved_to_the_proven_cost() {
    let rows = rows(include_str!("../published/purchase_mix.csv"));
    assert_eq!(rows.len(), 18);
    for row in &rows {
        let mut stock = Vec::new();
        if !row[3].is_empty() {
            stock.push(stick(1920, 10 * row[3].parse::<i64>().unwrap()));
        }
        for offer in row[4].split_whitespace() {
            let (feet, cents) = offer.split_once(':').unwrap();
            stock.push(coil(feet.parse().unwrap(), 10 * cents.parse::<i64>().unwrap()));
        }
        let runs = row[2].split_whitespace().map(|word| match word.strip_suffix('n') {
            Some(length) => whole(length.parse().unwrap()),
            None => run(word.parse().unwrap()),
        });
        let problem = Problem {
            stock,
            runs: runs.collect(),
            joint_cost: 10 * row[5].parse::<i64>().unwrap(),
            kerf: 0,
            shortest_piece: row[6].parse().unwrap(),
            usable: 288,
        };
        let plan = plan(&problem, EFFORT);
        cost_by_the_rules(&problem, &plan);
        assert_eq!(plan.cost, 10 * row[7].parse::<i64>().unwrap(), "{}", &row[0]);
        assert!(plan.proved, "{}: bound {}", &row[0], plan.bound);
        assert!(plan.cost <= 10 * row[8].parse::<i64>().unwrap());
    }
}

/// All plans of a small job, run by run: each piece of every length on every unit, bought or yet to buy.
struct All<'a> {
    problem: &'a Problem,
    /// Kind, pieces and length used, kerf left out.
    units: Vec<(usize, i64, i64)>,
    runs: Vec<usize>,
    /// Of the runs that are cut so far.
    joints: i64,
    best: i64,
}

impl All<'_> {
    /// The least cost of a plan that costs less than `limit`.
    fn cheaper_than(limit: i64, problem: &Problem) -> Option<i64> {
        let runs = (0..problem.runs.len()).filter(|run| problem.runs[*run].length > 0).collect();
        let mut all = All { problem, units: Vec::new(), runs, joints: 0, best: limit };
        all.next(0);
        (all.best < limit).then_some(all.best)
    }

    fn room(&self, unit: usize) -> i64 {
        let (kind, pieces, used) = self.units[unit];
        self.problem.stock[kind].length - used - self.problem.kerf * pieces
    }

    fn spent(&self) -> i64 {
        self.units.iter().map(|(kind, _, _)| self.problem.stock[*kind].price - self.problem.stock[*kind].worth).sum()
    }

    fn next(&mut self, at: usize) {
        // What does not fit into the units so far needs more, each at no less than its price for length.
        let to_come: i64 = self.runs[at..].iter().map(|run| self.problem.runs[*run].length).sum();
        let need = to_come - (0..self.units.len()).map(|unit| self.room(unit).max(0)).sum::<i64>();
        let per_length =
            self.problem.stock.iter().map(|s| (s.price - s.worth) as f64 / s.length as f64).fold(1e9, f64::min);
        let more = if need > 0 { (need as f64 * per_length - 1e-6).ceil() as i64 } else { 0 };
        if self.spent() + more + self.joints * self.problem.joint_cost >= self.best {
            return;
        }
        match self.runs.get(at) {
            Some(run) => self.piece(at, self.problem.runs[*run].length, 0, 0),
            None => {
                let kept: i64 = (0..self.units.len())
                    .map(|unit| {
                        let stock = &self.problem.stock[self.units[unit].0];
                        let left = self.room(unit).max(0);
                        if left >= self.problem.usable { stock.worth * left / stock.length } else { 0 }
                    })
                    .sum();
                let prices: i64 = self.units.iter().map(|(kind, _, _)| self.problem.stock[*kind].price).sum();
                self.best = self.best.min(prices - kept + self.joints * self.problem.joint_cost);
            }
        }
    }

    /// The pieces of a run go on units of rising number, so no two lie on one.
    fn piece(&mut self, at: usize, left: i64, pieces: i64, first_unit: usize) {
        let run = &self.problem.runs[self.runs[at]];
        let shortest = self.problem.shortest_piece;
        let mut lengths = Vec::new();
        if pieces == 0 || left >= shortest {
            lengths.push(left);
        }
        if run.joints {
            lengths.extend(shortest..=left - shortest);
        }
        let kinds = self.problem.stock.len();
        for choice in first_unit..self.units.len() + kinds {
            let fresh = choice >= self.units.len();
            let open = self.units.len();
            if fresh {
                let kind = choice - open;
                let there = self.units.iter().filter(|unit| unit.0 == kind).count() as u32;
                if self.problem.stock[kind].available.is_some_and(|available| there >= available) {
                    continue;
                }
                self.units.push((kind, 0, 0));
            }
            let unit = if fresh { open } else { choice };
            let stock = &self.problem.stock[self.units[unit].0];
            if run.form.is_none_or(|form| form == stock.form) {
                for length in &lengths {
                    if *length > self.room(unit) {
                        continue;
                    }
                    self.units[unit].1 += 1;
                    self.units[unit].2 += length;
                    match left - length {
                        0 => {
                            self.joints += pieces;
                            self.next(at + 1);
                            self.joints -= pieces;
                        }
                        rest => self.piece(at, rest, pieces + 1, unit + 1),
                    }
                    self.units[unit].1 -= 1;
                    self.units[unit].2 -= length;
                }
            }
            if fresh {
                self.units.pop();
            }
        }
    }
}

fn check(cases: u32, strategy: impl Strategy<Value = Problem>, test: impl Fn(&Problem)) {
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    let mut runner = TestRunner::new_with_rng(
        config,
        proptest::test_runner::TestRng::deterministic_rng(proptest::test_runner::RngAlgorithm::ChaCha),
    );
    runner
        .run(&strategy, |problem| {
            test(&problem);
            Ok(())
        })
        .unwrap();
}

/// Small lengths and prices, so that a search of all plans ends.
fn small_jobs() -> impl Strategy<Value = Problem> {
    let form = prop_oneof![Just(Form::Stick), Just(Form::Coil)];
    let stock = (form, 5..11i64, 3..30i64, 0..3i64, prop_oneof![4 => Just(None), 1 => (1..3u32).prop_map(Some)])
        .prop_map(|(form, length, price, share, available)| {
            let price = if available.is_some() { price / 4 } else { price };
            Stock { form, length, price, worth: price * share / 4, available }
        });
    let wanted = prop_oneof![6 => Just(None), 1 => Just(Some(Form::Stick)), 1 => Just(Some(Form::Coil))];
    let a_run =
        (1..12i64, prop::bool::weighted(0.75), wanted).prop_map(|(length, joints, form)| Run { length, joints, form });
    (
        prop::collection::vec(stock, 1..4),
        prop::collection::vec(a_run, 1..5),
        prop_oneof![1 => Just(0i64), 9 => 1..9i64],
        0..2i64,
        2..4i64,
        1..5i64,
    )
        .prop_map(|(stock, runs, joint_cost, kerf, shortest_piece, usable)| Problem {
            stock,
            runs,
            joint_cost,
            kerf,
            shortest_piece,
            usable,
        })
}

#[test]
fn small_jobs_with_joints_cost_what_a_search_of_all_plans_finds() {
    check(150, small_jobs(), |problem| {
        let plan = plan(problem, EFFORT);
        cost_by_the_rules(problem, &plan);
        if plan.unmet.is_empty() {
            // The plan keeps the rules, so all that is left to find is a cheaper one. How joined runs are best laid out
            // for the sake of left-overs is not always found; then the gap says so.
            let worth = problem.stock.iter().any(|stock| stock.worth > 0);
            assert!(plan.proved || worth, "{plan:?}");
            let cheaper = All::cheaper_than(plan.cost, problem);
            assert!(
                if plan.proved { cheaper.is_none() } else { cheaper.is_none_or(|cost| cost >= plan.bound) },
                "{plan:?}"
            );
        }
    });
}

/// Up to nine whole pieces from sticks of one or two lengths.
fn whole_pieces(stick_length: i64) -> impl Strategy<Value = Problem> {
    (
        prop::collection::vec(1..=stick_length, 1..10),
        0..2i64,
        prop::option::of((stick_length / 3..stick_length, 20..120i64)),
    )
        .prop_map(move |(lengths, kerf, short)| {
            let mut stock = vec![stick(stick_length, 100)];
            stock.extend(short.map(|(length, price)| stick(length, price)));
            let runs = lengths.into_iter().map(whole).collect();
            Problem { stock, runs, joint_cost: 5, kerf, shortest_piece: 192, usable: 288 }
        })
}

#[test]
fn up_to_nine_whole_pieces_cost_what_a_search_of_all_plans_finds() {
    check(300, whole_pieces(1920), |problem| {
        let plan = plan(problem, EFFORT);
        cost_by_the_rules(problem, &plan);
        assert_eq!(All::cheaper_than(plan.cost + 1, problem), Some(plan.cost));
        assert!(plan.proved);
    });
}

/// Sticks that first fit takes, the longest piece first.
fn first_fit(problem: &Problem) -> usize {
    let mut lengths: Vec<i64> = problem.runs.iter().map(|run| run.length).collect();
    lengths.sort_unstable_by(|a, b| b.cmp(a));
    let mut rooms: Vec<i64> = Vec::new();
    for length in lengths {
        let open = rooms.iter().position(|room| *room >= length);
        let at = open.unwrap_or_else(|| {
            rooms.push(problem.stock[0].length);
            rooms.len() - 1
        });
        rooms[at] -= length + problem.kerf;
    }
    rooms.len()
}

#[test]
fn many_pieces_are_never_cut_worse_than_by_first_fit() {
    let jobs = (prop::collection::vec(60..1500i64, 10..80), 0..2i64).prop_map(|(lengths, kerf)| {
        let runs = lengths.into_iter().map(whole).collect();
        Problem { stock: vec![stick(1920, 100)], runs, joint_cost: 0, kerf, shortest_piece: 192, usable: 288 }
    });
    check(60, jobs, |problem| {
        let plan = plan(problem, Effort { steps: 300_000 });
        cost_by_the_rules(problem, &plan);
        assert!(plan.cuts.len() <= first_fit(problem));
    });
}

/// A house: runs of a foot to thirty, sticks and coils, some in a slab.
fn houses() -> impl Strategy<Value = Problem> {
    let a_run =
        (100..3000i64, prop::bool::weighted(0.9)).prop_map(|(length, joints)| Run { length, joints, form: None });
    (prop::collection::vec(a_run, 5..60), 0..3i64, 0..8i64, 0..2usize).prop_map(|(runs, kerf, quarter, hand)| {
        let mut stock = vec![
            Stock { worth: 9_410 * quarter / 20, ..stick(1920, 9_410) },
            Stock { worth: 42_000 * quarter / 20, ..coil(100, 42_000) },
            Stock { worth: 113_400 * quarter / 20, ..coil(300, 113_400) },
        ];
        for _ in 0..hand {
            stock.push(Stock { available: Some(1), ..coil(40, 0) });
        }
        Problem { stock, runs, joint_cost: 4_300, kerf, shortest_piece: 192, usable: 288 }
    })
}

#[test]
fn every_foot_of_a_house_adds_up_and_the_same_house_is_cut_the_same_way() {
    check(40, houses(), |problem| {
        let effort = Effort { steps: 300_000 };
        let first = plan(problem, effort);
        assert!(first.unmet.is_empty());
        cost_by_the_rules(problem, &first);
        assert_eq!(first, plan(problem, effort));
    });
}

#[test]
fn five_hundred_runs_are_planned_with_their_gap_told() {
    let mut seed = 7u64;
    let mut next = || {
        seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (seed >> 33) as i64
    };
    let runs: Vec<Run> =
        (0..500).map(|_| Run { length: 100 + next() % 2300, joints: next() % 9 > 0, form: None }).collect();
    let stocks =
        [vec![stick(1920, 9_410), coil(100, 42_000), coil(300, 113_400)], vec![stick(1920, 9_410), stick(960, 5_250)]];
    for stock in stocks {
        let mut runs = runs.clone();
        if stock.iter().all(|stock| stock.length <= 1920) {
            runs.iter_mut().for_each(|run| run.joints = true);
        }
        let problem = Problem { stock, runs, joint_cost: 4_300, kerf: 1, shortest_piece: 192, usable: 288 };
        let plan = plan(&problem, EFFORT);
        cost_by_the_rules(&problem, &plan);
        assert!(plan.unmet.is_empty());
        assert!(plan.cost - plan.bound <= plan.cost / 10, "gap {} of {}", plan.cost - plan.bound, plan.cost);
        println!("cost {} bound {} joints {} units {}", plan.cost, plan.bound, plan.joints, plan.cuts.len());
    }
}

#[test]
fn thousands_of_runs_are_planned_without_harm() {
    let runs = (0..6_000).map(|at| run(200 + at * 37 % 2_000)).collect();
    let problem = Problem {
        stock: vec![stick(1920, 9_410), coil(100, 42_000), Stock { available: Some(3_000), ..coil(30, 9_000) }],
        runs,
        joint_cost: 4_300,
        kerf: 0,
        shortest_piece: 192,
        usable: 288,
    };
    let plan = plan(&problem, Effort { steps: 100_000 });
    cost_by_the_rules(&problem, &plan);
    assert!(plan.unmet.is_empty());
}

#[test]
fn a_run_that_nothing_is_long_enough_for_is_named_and_the_others_are_cut() {
    let runs = vec![whole(2000), run(2000), run(500), Run { length: 100, joints: true, form: Some(Form::Coil) }];
    let problem =
        Problem { stock: vec![stick(1920, 100)], runs, joint_cost: 5, kerf: 0, shortest_piece: 192, usable: 288 };
    let plan = plan(&problem, EFFORT);
    cost_by_the_rules(&problem, &plan);
    assert_eq!(plan.unmet, vec![0, 3]);
    assert_eq!((plan.cuts.len(), plan.joints), (2, 1));
    assert!(plan.proved);
}

#[test]
fn what_is_on_hand_is_cut_first_and_no_more_of_it_than_there_is() {
    let mut stock = vec![stick(1920, 9_000), Stock { available: Some(1), ..coil(30, 0) }];
    let runs = vec![whole(1900), whole(1900), whole(900), whole(900)];
    let of = |stock: &Vec<Stock>| Problem {
        stock: stock.clone(),
        runs: runs.clone(),
        joint_cost: 1_000,
        kerf: 0,
        shortest_piece: 192,
        usable: 288,
    };
    let with_hand = plan(&of(&stock), EFFORT);
    cost_by_the_rules(&of(&stock), &with_hand);
    assert_eq!((with_hand.cost, with_hand.proved), (18_000, true));
    stock.pop();
    assert_eq!(plan(&of(&stock), EFFORT).cost, 27_000);
}

#[test]
fn absurd_numbers_are_refused_without_harm() {
    let huge = i64::MAX;
    let problem = Problem {
        stock: vec![stick(huge, huge), stick(-5, -5), stick(1920, 0), Stock { worth: huge, ..stick(960, 3) }],
        runs: vec![run(huge), run(-3), run(0), whole(1), run(1_000_000)],
        joint_cost: huge,
        kerf: 0,
        shortest_piece: huge,
        usable: -1,
    };
    let plan = plan(&problem, Effort { steps: 100_000 });
    assert!(plan.unmet.contains(&0));
    assert!(plan.cuts.iter().flat_map(|cut| &cut.pieces).any(|piece| piece.run == 3));
}
