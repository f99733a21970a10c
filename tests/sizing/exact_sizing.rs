//! The exact size search against proven optima and against trying everything.

use proptest::prelude::*;
use tallybore::model::Size;
use tallybore::size::exact::{Costs, Fork, cheapest};
use tallybore::size::friction::{hazen_williams_psi_per_100_ft, velocity};
use tallybore::size::remedy;
use tallybore::size::sizing::{Search, SearchOption, SearchRun};

/// Money for pipe alone, in tenths of a cent.
struct PipeOnly(Vec<Vec<i64>>);

impl Costs for PipeOnly {
    fn run(&self, position: usize, option: usize) -> i64 {
        self.0[position][option]
    }
    fn joint(&self, _: usize, _: usize, _: (usize, usize), _: Option<(usize, usize)>) -> i64 {
        0
    }
    fn branch(&self, _: usize, _: usize, _: (usize, usize)) -> i64 {
        0
    }
}

fn rows(text: &str) -> Vec<csv::StringRecord> {
    csv::Reader::from_reader(text.as_bytes()).into_records().map(Result::unwrap).collect()
}

/// All but the first child of every run as branches before the last: any tree has such forks.
fn forks(runs: &[SearchRun]) -> Vec<Fork> {
    let mut forks = vec![Fork::default(); runs.len()];
    for (position, run) in runs.iter().enumerate() {
        let Some(parent) = run.parent else { continue };
        let fork = &mut forks[parent];
        match (fork.straight, fork.last) {
            (None, _) => fork.straight = Some(position),
            (_, None) => fork.last = Some(position),
            _ => fork.others.push(position),
        }
    }
    forks
}

// tests/published/sizing_*.csv: 22 trees whose cheapest sizes a constraint solver and a MILP solver have proven
// (Hazen-Williams, C 150, 8 ft/s, no child larger than its feeder); two of them cannot be done.
#[test]
fn proven_optima_are_reached_and_the_impossible_is_seen() {
    let sizes = rows(include_str!("../published/sizing_sizes.csv"));
    let pipes = rows(include_str!("../published/sizing_pipes.csv"));
    let mut solved = 0;
    for instance in rows(include_str!("../published/sizing_instances.csv")) {
        let number = |text: &str| text.parse::<f64>().unwrap();
        let list: Vec<_> = sizes.iter().filter(|row| row[0] == instance[0]).collect();
        let mut nodes: Vec<(String, f64)> = vec![("S".to_owned(), number(&instance[2]))];
        let (mut runs, mut costs) = (Vec::new(), Vec::new());
        for pipe in pipes.iter().filter(|row| row[0] == instance[0]) {
            let from = nodes.iter().position(|(name, _)| *name == pipe[2]).unwrap();
            let (length, flow, up) = (number(&pipe[4]), number(&pipe[5]), number(&pipe[6]));
            let options = list
                .iter()
                .map(|size| {
                    let id_in = number(&size[2]);
                    SearchOption {
                        size: Size::parse(&size[1]).unwrap(),
                        loss_psi: hazen_williams_psi_per_100_ft(&flow, &150.0, &id_in, &0.4335) * length / 100.0,
                        fast: velocity(&flow, &id_in) > 8.0,
                    }
                })
                .collect();
            costs.push(list.iter().map(|size| (length * 10.0 * number(&size[3])).round() as i64).collect());
            runs.push(SearchRun {
                parent: from.checked_sub(1),
                flow_gpm: flow,
                height_psi: (up - nodes[from].1) * 0.4335,
                need_psi: pipe[7].parse().ok(),
                options,
                fixed: None,
                new: true,
            });
            nodes.push((pipe[3].to_owned(), up));
        }
        let forks = forks(&runs);
        let search = Search { source_psi: number(&instance[1]), regulator_share: 0.8, runs, devices: &[] };
        let costs = PipeOnly(costs);
        let found = cheapest(&search, &forks, &costs);
        match &instance[3] {
            "yes" => {
                assert_eq!(found.map(|o| o.cost), Some(instance[4].parse().unwrap()), "{}", &instance[0]);
                solved += 1;
            }
            _ => {
                assert_eq!(found, None, "{}", &instance[0]);
                impossible_at(search, &forks, &costs);
            }
        }
    }
    assert_eq!(solved, 20);
}

/// Where no sizes will do somebody is short; the supply pressure told is enough, and two tenths less is not.
fn impossible_at(search: Search, forks: &[Fork], costs: &impl Costs) {
    let short = remedy::short(&search);
    let way = remedy::common_way(&search, &short);
    assert!(!short.is_empty() && way.first() == Some(&0), "{short:?} {way:?}");
    let needed = remedy::supply_needed(&search, forks, costs).expect("more pressure always does without a regulator");
    let most = short.iter().map(|(_, by)| *by).fold(0.0, f64::max);
    assert!((needed - search.source_psi - most).abs() <= 0.1, "{needed} for {most} more than {}", search.source_psi);
    assert!(cheapest(&Search { source_psi: needed, ..search.clone() }, forks, costs).is_some());
    assert_eq!(cheapest(&Search { source_psi: needed - 0.2, ..search }, forks, costs), None);
}

/// A random tree of up to seven runs with up to four options, tight in pressure, and money for joints and branches.
#[derive(Debug, Clone)]
struct Tree {
    parents: Vec<usize>,
    losses: Vec<Vec<u16>>,
    costs: Vec<Vec<u16>>,
    needs: Vec<Option<u8>>,
    joints: Vec<u16>,
    source: u8,
    old: Vec<bool>,
}

fn tree() -> impl Strategy<Value = Tree> {
    (1usize..7, 2usize..4).prop_flat_map(|(runs, options)| {
        (
            prop::collection::vec(0usize..7, runs),
            prop::collection::vec(prop::collection::vec(0u16..900, options), runs),
            prop::collection::vec(prop::collection::vec(0u16..500, options), runs),
            prop::collection::vec(prop::option::of(0u8..30), runs),
            prop::collection::vec(0u16..300, 64),
            10u8..60,
            prop::collection::vec(prop::bool::weighted(0.2), runs),
        )
            .prop_map(|(parents, losses, costs, needs, joints, source, old)| Tree {
                parents,
                losses,
                costs,
                needs,
                joints,
                source,
                old,
            })
    })
}

/// Money for joints by a fixed jumble of all that they may depend on.
struct Jumbled<'a>(&'a Tree);

impl Jumbled<'_> {
    fn price(&self, parts: &[usize]) -> i64 {
        let key = parts.iter().fold(7usize, |key, part| (key * 31 + part + 1) % 64);
        i64::from(self.0.joints[key])
    }
}

impl Costs for Jumbled<'_> {
    fn run(&self, position: usize, option: usize) -> i64 {
        i64::from(self.0.costs[position][option])
    }
    fn joint(&self, position: usize, option: usize, straight: (usize, usize), last: Option<(usize, usize)>) -> i64 {
        let (last, other) = last.unwrap_or((63, 63));
        self.price(&[position, option, straight.0, straight.1, last, other])
    }
    fn branch(&self, position: usize, option: usize, branch: (usize, usize)) -> i64 {
        self.price(&[position, option, branch.0, branch.1])
    }
}

fn search(tree: &Tree) -> Search<'static> {
    let runs = (0..tree.parents.len())
        .map(|p| {
            // Losses fall as sizes rise, as they do in pipe.
            let mut losses = tree.losses[p].clone();
            losses.sort_unstable_by(|a, b| b.cmp(a));
            SearchRun {
                parent: (p > 0).then(|| tree.parents[p] % p),
                flow_gpm: 1.0,
                height_psi: 0.0,
                need_psi: tree.needs[p].map(f64::from),
                options: losses
                    .iter()
                    .enumerate()
                    .map(|(o, loss)| SearchOption {
                        size: Size::from_sixteenths(8 + 4 * o as u16).unwrap(),
                        loss_psi: f64::from(*loss) / 100.0,
                        fast: false,
                    })
                    .collect(),
                fixed: None,
                new: !tree.old[p],
            }
        })
        .collect();
    Search { source_psi: f64::from(tree.source), regulator_share: 0.8, runs, devices: &[] }
}

/// The cost of a full assignment, or nothing when it breaks a rule.
fn judge(search: &Search, forks: &[Fork], costs: &impl Costs, pick: &[usize]) -> Option<i64> {
    let ends = search.end_psi(&pick.iter().map(|p| Some(*p)).collect::<Vec<_>>());
    let mut total = 0;
    for (p, run) in search.runs.iter().enumerate() {
        if ends[p] < run.need_psi.unwrap_or(0.0).max(0.0) - 5e-7 {
            return None;
        }
        if let Some(parent) = run.parent
            && run.new
            && search.runs[parent].new
            && run.options[pick[p]].size > search.runs[parent].options[pick[parent]].size
        {
            return None;
        }
        total += costs.run(p, pick[p]);
        let fork = &forks[p];
        if let Some(straight) = fork.straight {
            total += costs.joint(p, pick[p], (straight, pick[straight]), fork.last.map(|l| (l, pick[l])));
        }
        total += fork.others.iter().map(|b| costs.branch(p, pick[p], (*b, pick[*b]))).sum::<i64>();
    }
    Some(total)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn nothing_beats_it_when_everything_is_tried(tree in tree()) {
        let search = search(&tree);
        let forks = forks(&search.runs);
        let costs = Jumbled(&tree);
        let options = search.runs[0].options.len();
        let mut best: Option<i64> = None;
        for code in 0..options.pow(search.runs.len() as u32) {
            let pick: Vec<usize> = (0..search.runs.len()).map(|p| code / options.pow(p as u32) % options).collect();
            if let Some(cost) = judge(&search, &forks, &costs, &pick) {
                best = Some(best.map_or(cost, |b| b.min(cost)));
            }
        }
        let found = cheapest(&search, &forks, &costs);
        prop_assert_eq!(found.as_ref().map(|o| o.cost), best);
        if let Some(found) = found {
            prop_assert_eq!(judge(&search, &forks, &costs, &found.options), best);
        }
    }
}
