//! The exact size search against proven optima and against trying everything.

use proptest::prelude::*;
use rust_decimal::Decimal;
use tallybore::figure::Term;
use tallybore::model::Size;
use tallybore::water::size::devices::{InLine, Regulator};
use tallybore::water::size::exact::{Costs, cheapest};
use tallybore::water::size::fork::Fork;
use tallybore::water::size::friction::{hazen_williams_psi_per_100_ft, velocity};
use tallybore::water::size::search::{Search, SearchOption, SearchRun};
use tallybore::water::size::{remedy, shortage};

/// Money for pipe alone, in tenths of a cent.
struct PipeOnly(Vec<Vec<i64>>);

impl Costs for PipeOnly {
    fn run(&self, position: usize, option: usize) -> i64 {
        self.0[position][option]
    }
    fn junction_cost(&self, _: usize, _: usize, _: (usize, usize), _: Option<(usize, usize)>) -> i64 {
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
        let search = Search { source_psi: number(&instance[1]), runs, ..nothing_asked(&[]) };
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

/// A search without runs and without a margin.
fn nothing_asked(devices: &[InLine]) -> Search<'_> {
    Search { source_psi: 0.0, regulator_share: 0.8, to_spare_psi: 0.0, short_psi: 0.0, runs: Vec::new(), devices }
}

/// Where no sizes will do somebody is short; the shortage told is what the supply lacks, and a hundredth or two less of it is
/// not enough.
fn impossible_at(search: Search, forks: &[Fork], costs: &impl Costs) {
    let short = shortage::whatever_is_chosen(&search);
    let way = remedy::common_way(&search, &short);
    assert!(!short.is_empty() && way.first() == Some(&0), "{short:?} {way:?}");
    let by = shortage::least(&search).expect("every run has sizes");
    let most = short.iter().map(|(_, by)| *by).fold(0.0, f64::max);
    assert!((by - most).abs() <= 0.01, "{by}, and the worst is short by {most}");
    let with = |psi: f64| cheapest(&Search { source_psi: search.source_psi + psi, ..search.clone() }, forks, costs);
    assert_eq!(with(by - 0.02), None);
    let nearest = cheapest(&Search { short_psi: by, ..search.clone() }, forks, costs).expect("sizes that short");
    assert_eq!(Some(nearest.cost), with(by).map(|optimum| optimum.cost));
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
    to_spare: u8,
    old: Vec<bool>,
    /// Sizes that somebody gave.
    given: Vec<Option<usize>>,
    heights: Vec<i8>,
    /// Position, loss in tenths of a psi, and the setting of a regulator.
    devices: Vec<(usize, u8, Option<u8>)>,
}

fn tree() -> impl Strategy<Value = Tree> {
    (1usize..7, 2usize..4).prop_flat_map(|(runs, options)| {
        let losses = prop::collection::vec(prop::collection::vec(0u16..900, options), runs);
        let costs = prop::collection::vec(prop::collection::vec(0u16..500, options), runs);
        let rows = (
            prop::collection::vec(0usize..7, runs),
            prop::collection::vec(prop::option::of(0u8..30), runs),
            prop::collection::vec(prop::bool::weighted(0.2), runs),
            prop::collection::vec(prop::option::weighted(0.2, 0..options), runs),
            prop::collection::vec(-6i8..12, runs),
        );
        let devices = prop::collection::vec((0..runs, 0u8..80, prop::option::weighted(0.4, 20u8..90)), 0..3);
        let margin = prop_oneof![3 => Just(0u8), 1 => 1u8..6];
        (losses, costs, rows, prop::collection::vec(0u16..300, 64), 10u8..60, margin, devices).prop_map(
            |(losses, costs, (parents, needs, old, given, heights), joints, source, to_spare, devices)| Tree {
                parents,
                losses,
                costs,
                needs,
                joints,
                source,
                to_spare,
                old,
                given,
                heights,
                devices,
            },
        )
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
    fn junction_cost(
        &self,
        position: usize,
        option: usize,
        straight: (usize, usize),
        last: Option<(usize, usize)>,
    ) -> i64 {
        let (last, other) = last.unwrap_or((63, 63));
        self.price(&[position, option, straight.0, straight.1, last, other])
    }
    fn branch(&self, position: usize, option: usize, branch: (usize, usize)) -> i64 {
        self.price(&[position, option, branch.0, branch.1])
    }
}

fn devices(tree: &Tree) -> Vec<InLine> {
    let psi = |tenths: u32| Term::number(Decimal::new(i64::from(tenths), 1));
    let in_line = |(device, (position, loss, set)): (usize, &(usize, u8, Option<u8>))| InLine {
        device,
        position: *position,
        rated_gpm: Term::number(1),
        loss_psi: psi(u32::from(*loss)),
        flat: Term::number(0),
        regulator: set.map(|set| Regulator {
            set_psi: psi(u32::from(set) * 10),
            falloff_psi: psi(u32::from(*loss)),
            falloff_gpm: Term::number(1),
        }),
    };
    tree.devices.iter().enumerate().map(in_line).collect()
}

fn search<'a>(tree: &Tree, devices: &'a [InLine]) -> Search<'a> {
    let runs = (0..tree.parents.len())
        .map(|p| {
            // Losses fall as sizes rise, as they do in pipe.
            let mut losses = tree.losses[p].clone();
            losses.sort_unstable_by(|a, b| b.cmp(a));
            let option = |(o, loss): (usize, &u16)| SearchOption {
                size: Size::from_sixteenths(8 + 4 * o as u16).unwrap(),
                loss_psi: f64::from(*loss) / 100.0,
                fast: false,
            };
            let options: Vec<SearchOption> = losses.iter().enumerate().map(option).collect();
            // A size that is given is the only option there is.
            let given = tree.given[p].map(|o| vec![options[o]]);
            SearchRun {
                parent: (p > 0).then(|| tree.parents[p] % p),
                flow_gpm: 1.0,
                height_psi: f64::from(tree.heights[p]) / 2.0,
                need_psi: tree.needs[p].map(f64::from),
                fixed: given.as_ref().map(|_| 0),
                options: given.unwrap_or(options),
                new: !tree.old[p],
            }
        })
        .collect();
    let (source_psi, to_spare_psi) = (f64::from(tree.source), f64::from(tree.to_spare));
    Search { source_psi, to_spare_psi, runs, ..nothing_asked(devices) }
}

/// How short a full assignment leaves the worst outlet, psi, and what it costs; nothing when it breaks a rule.
fn judge(search: &Search, forks: &[Fork], costs: &impl Costs, pick: &[usize]) -> Option<(f64, i64)> {
    let ends = search.end_psi(&pick.iter().map(|p| Some(*p)).collect::<Vec<_>>());
    let (mut total, mut short) = (0, f64::NEG_INFINITY);
    for (p, run) in search.runs.iter().enumerate() {
        let wanted = run.need_psi.map_or(0.0, |need| need + search.to_spare_psi);
        short = short.max(wanted - ends[p]);
        if let Some(parent) = run.parent {
            let feeder = &search.runs[parent];
            let chosen_anew = |run: &SearchRun| run.new && run.fixed.is_none();
            if chosen_anew(run) && chosen_anew(feeder) && run.options[pick[p]].size > feeder.options[pick[parent]].size
            {
                return None;
            }
        }
        total += costs.run(p, pick[p]);
        let fork = &forks[p];
        if let Some(straight) = fork.straight {
            total += costs.junction_cost(p, pick[p], (straight, pick[straight]), fork.last.map(|l| (l, pick[l])));
        }
        total += fork.others.iter().map(|b| costs.branch(p, pick[p], (*b, pick[*b]))).sum::<i64>();
    }
    Some((short, total))
}

/// Every assignment that breaks no rule.
fn all(search: &Search, forks: &[Fork], costs: &impl Costs) -> Vec<(f64, i64)> {
    let mut picks: Vec<Vec<usize>> = vec![Vec::new()];
    for run in &search.runs {
        let longer = |pick: &Vec<usize>| {
            let pick = pick.clone();
            (0..run.options.len()).map(move |option| pick.iter().copied().chain([option]).collect())
        };
        picks = picks.iter().flat_map(longer).collect();
    }
    picks.iter().filter_map(|pick| judge(search, forks, costs, pick)).collect()
}

/// Rounding of doubles.
const SLACK_PSI: f64 = 1e-6;

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(1000) })]

    /// The worst outlet is as little short as can be, to a hundredth upward; and of all sizes that leave nobody shorter the
    /// cheapest are taken.
    #[test]
    fn nothing_beats_it_when_everything_is_tried(tree in tree()) {
        let devices = devices(&tree);
        let search = search(&tree, &devices);
        let forks = forks(&search.runs);
        let costs = Jumbled(&tree);
        let all = all(&search, &forks, &costs);
        let least = all.iter().map(|(short, _)| *short).fold(f64::INFINITY, f64::min).max(0.0);
        let short_psi = shortage::least(&search).unwrap();
        prop_assert!(short_psi >= least - SLACK_PSI && short_psi < least + 0.01 + SLACK_PSI, "{short_psi} for {least}");
        let allowed = all.iter().filter(|(short, _)| *short <= short_psi + SLACK_PSI);
        let best = allowed.map(|(_, cost)| *cost).min();
        let found = cheapest(&Search { short_psi, ..search.clone() }, &forks, &costs).unwrap();
        prop_assert_eq!(Some(found.cost), best);
        let (short, cost) = judge(&search, &forks, &costs, &found.options).expect("a choice that breaks no rule");
        prop_assert!(short <= short_psi + SLACK_PSI && cost == found.cost);
    }

    /// More pressure at the supply: nobody is shorter, and what passes costs no more. What is short by so much passes with so
    /// much more, where no regulator is between.
    #[test]
    fn more_pressure_never_harms(tree in tree(), more in 1u8..40) {
        let devices = devices(&tree);
        let search = search(&tree, &devices);
        let forks = forks(&search.runs);
        let costs = Jumbled(&tree);
        let at = |psi: f64| Search { source_psi: psi, ..search.clone() };
        let before = shortage::least(&search).unwrap();
        let higher = at(search.source_psi + f64::from(more));
        let after = shortage::least(&higher).unwrap();
        prop_assert!(after <= before, "short by {before}, by {after} with {more} psi more");
        let cost = |search: &Search| cheapest(search, &forks, &costs).map(|optimum| optimum.cost);
        if before == 0.0 {
            prop_assert!(cost(&higher) <= cost(&search));
        }
        if devices.iter().all(|device| device.regulator.is_none()) {
            let met = at(search.source_psi + before);
            prop_assert_eq!(shortage::least(&met), Some(0.0));
            prop_assert_eq!(cost(&met), cost(&Search { short_psi: before, ..search.clone() }));
        }
    }
}
