//! The load of every run against a plain recount: walk the tree, see which sides of which fixtures a run feeds, and add
//! them up as the codes say it in words. The engine never does that: it sums parts over contiguous rows.

use crate::support::job::{Lines, job};
use proptest::prelude::*;
use std::sync::Arc;
use tallybore::figure::Number;
use tallybore::rules::{CodeBasis, Curve, Occupancy, Rules};
use tallybore::water::rules::{FixtureGroup, FixtureUnits, split_group};

const PRIVATE: Occupancy = Occupancy::Private;
const GROUP_LABELS: [&str; 6] = ["", "", "full bath A", "full bath B", "half bath", "kitchen"];

/// One row of the Fixtures sheet. Runs by their index.
#[derive(Debug, Clone)]
struct Draw {
    kind: String,
    cold: Option<usize>,
    hot: Option<usize>,
    count: u32,
    group: &'static str,
    gpm: Option<u32>,
}

#[derive(Debug, Clone)]
struct House {
    code: CodeBasis,
    between: bool,
    /// The run that feeds each; `None` is the supply. A run stands after the one that feeds it.
    fed_by: Vec<Option<usize>>,
    draws: Vec<Draw>,
}

/// Fixtures that the code has units for, and `other`.
fn kinds(code: CodeBasis) -> Vec<String> {
    let known = Rules::embedded().all_fixture_units(code, PRIVATE).map(|row| row.fixture.to_string());
    known.chain(["other".to_owned()]).collect()
}

fn draw(code: CodeBasis, runs: usize) -> impl Strategy<Value = Draw> {
    let side = || prop::option::weighted(0.8, 0..runs);
    let group = prop::sample::select(&GROUP_LABELS[..]);
    (prop::sample::select(kinds(code)), side(), side(), 0..runs, 0..4u32, group, 1..40u32).prop_map(
        |(kind, cold, hot, either, count, group, gpm)| {
            let cold = if cold.is_none() && hot.is_none() { Some(either) } else { cold };
            let gpm = (kind == "other").then_some(gpm);
            Draw { kind, cold, hot, count, group, gpm }
        },
    )
}

/// A bath of the code's own members at once, so that groups are met often.
fn bath(runs: usize) -> impl Strategy<Value = Vec<Draw>> {
    let label = prop::sample::select(&GROUP_LABELS[2..]);
    let tub = prop::sample::select(&["bathtub", "shower"][..]);
    let hot = prop::option::weighted(0.8, Just(()));
    let runs = prop::collection::vec(0..runs, 8);
    (label, tub, runs, 1..3u32, hot).prop_map(|(group, tub, runs, count, hot)| {
        let members: Vec<(&str, bool)> = match group {
            "kitchen" => vec![("kitchen sink", true), ("dishwasher", true)],
            "half bath" => vec![("water closet", false), ("lavatory", true)],
            _ => vec![("water closet", false), ("lavatory", true), (tub, true)],
        };
        let draw = |(index, (kind, both)): (usize, &(&str, bool))| Draw {
            kind: (*kind).to_owned(),
            cold: (*kind != "dishwasher").then(|| runs[2 * index]),
            hot: (*kind == "dishwasher" || *both && hot.is_some()).then(|| runs[2 * index + 1]),
            count: count + u32::from(index == 1),
            group,
            gpm: None,
        };
        members.iter().enumerate().map(draw).collect()
    })
}

fn house() -> impl Strategy<Value = House> {
    (prop::sample::select(&CodeBasis::ALL[..]), 1..14usize).prop_flat_map(|(code, runs)| {
        // Mostly one tree: only now and then does a second line leave the supply.
        let fed_by: Vec<BoxedStrategy<Option<usize>>> = (0..runs)
            .map(|run| match run {
                0 => Just(None).boxed(),
                _ => prop::option::weighted(0.93, 0..run).boxed(),
            })
            .collect();
        let draws = prop::collection::vec(draw(code, runs), 0..8);
        (Just(code), any::<bool>(), fed_by, prop::option::of(bath(runs)), draws).prop_map(
            |(code, between, fed_by, bath, draws)| House {
                code,
                between,
                fed_by,
                draws: bath.into_iter().flatten().chain(draws).collect(),
            },
        )
    })
}

impl House {
    fn lines(&self) -> String {
        let mut lines = Lines::default();
        lines.add(format!("Job: Code basis | {}", self.code.name()));
        lines.add(format!("Job: Demand between rows | {}", if self.between { "interpolate" } else { "next row up" }));
        for (run, fed_by) in self.fed_by.iter().enumerate() {
            let from = fed_by.map_or("SUPPLY".to_owned(), |from| format!("R{from}"));
            lines.add(format!("Runs: R{run} | {from} | 10 | Size 2"));
        }
        for (index, draw) in self.draws.iter().enumerate() {
            let mut line = format!("Fixtures: F{index} | {} | Count {}", draw.kind, draw.count);
            let runs = [("Cold run", draw.cold), ("Hot run", draw.hot)];
            for (heading, run) in runs.iter().filter_map(|(heading, run)| Some((heading, (*run)?))) {
                line += &format!(" | {heading} R{run}");
            }
            if !draw.group.is_empty() {
                line += &format!(" | Group {}", draw.group);
            }
            if let Some(gpm) = draw.gpm {
                line += &format!(" | Gpm {}", f64::from(gpm) / 10.0);
            }
            lines.add(line);
        }
        lines.0
    }

    /// True when `run` is `above` or is fed by way of it.
    fn feeds(&self, above: usize, run: usize) -> bool {
        std::iter::successors(Some(run), |at| self.fed_by[*at]).any(|at| at == above)
    }

    fn cold_in(&self, run: usize, draw: &Draw) -> bool {
        draw.cold.is_some_and(|cold| self.feeds(run, cold))
    }

    fn hot_in(&self, run: usize, draw: &Draw) -> bool {
        draw.hot.is_some_and(|hot| self.feeds(run, hot))
    }

    fn units_of(&self, draw: &Draw) -> Option<&'static FixtureUnits> {
        Rules::embedded().fixture_units(self.code, PRIVATE, &draw.kind).filter(|_| draw.gpm.is_none())
    }

    /// What one of these counts on a run: both sides, one side, or nothing.
    fn counts(&self, run: usize, draw: &Draw) -> f64 {
        match (self.cold_in(run, draw), self.hot_in(run, draw)) {
            (true, true) => self.units_of(draw).map_or(0.0, |units| f64::of(units.combined)),
            (true, false) => self.side(draw, false),
            (false, true) => self.side(draw, true),
            (false, false) => 0.0,
        }
    }

    /// One side of one of these: its own value, or the whole where nothing else is piped and the side has none.
    fn side(&self, draw: &Draw, hot: bool) -> f64 {
        let Some(units) = self.units_of(draw) else { return 0.0 };
        let (own, other) = if hot { (units.hot, draw.cold) } else { (units.cold, draw.hot) };
        f64::of(if own.is_zero() && other.is_none() { units.combined } else { own })
    }

    /// The groups that are whole: the code's value, and one draw of each member.
    fn groups(&self) -> Vec<(&'static FixtureGroup, Vec<&Draw>)> {
        let mut labels: Vec<&str> =
            self.draws.iter().map(|draw| draw.group).filter(|label| !label.is_empty()).collect();
        labels.sort_unstable();
        labels.dedup();
        let whole = |label: &&str| {
            let (group, _) = split_group(label)?;
            Rules::embedded().fixture_groups(self.code, PRIVATE, group).find_map(|row| {
                let of_label =
                    || self.draws.iter().filter(|draw| draw.group == *label && self.units_of(draw).is_some());
                let member =
                    |kinds: &Vec<Arc<str>>| of_label().find(|draw| kinds.iter().any(|kind| **kind == *draw.kind));
                Some((row, row.members.iter().map(member).collect::<Option<Vec<_>>>()?))
            })
        };
        labels.iter().filter_map(whole).collect()
    }

    /// How much more (or less) a whole group counts on a run than its members do one by one.
    fn group_relief(&self, run: usize, row: &FixtureGroup, members: &[&Draw]) -> f64 {
        let fewest = f64::from(members.iter().map(|draw| draw.count).min().unwrap());
        let piped = |hot: bool| members.iter().any(|draw| if hot { draw.hot.is_some() } else { draw.cold.is_some() });
        let cold_all = members.iter().all(|draw| draw.cold.is_none() || self.cold_in(run, draw)) && piped(false);
        let hot_all = members.iter().all(|draw| draw.hot.is_none() || self.hot_in(run, draw)) && piped(true);
        let singly = |hot: bool| {
            let piped = |draw: &&&Draw| if hot { draw.hot.is_some() } else { draw.cold.is_some() };
            members.iter().filter(piped).map(|draw| self.side(draw, hot)).sum::<f64>()
        };
        let relief = match (cold_all, hot_all) {
            (true, true) => f64::of(row.combined) - members.iter().map(|draw| self.counts(run, draw)).sum::<f64>(),
            (true, false) => f64::of(row.cold) - singly(false),
            (false, true) => f64::of(row.hot) - singly(true),
            (false, false) => 0.0,
        };
        fewest * relief
    }

    /// Fixture units on a run.
    fn units(&self, run: usize) -> f64 {
        let is_bibb = |draw: &Draw| draw.kind == "hose bibb";
        let fed = || self.draws.iter().filter(|draw| self.cold_in(run, draw) || self.hot_in(run, draw));
        let singly: f64 = fed().filter(|d| !is_bibb(d)).map(|d| f64::from(d.count) * self.counts(run, d)).sum();
        let groups: f64 = self.groups().iter().map(|(row, members)| self.group_relief(run, row, members)).sum();
        let bibbs: u32 = fed().filter(|d| is_bibb(d)).map(|d| d.count).sum();
        let bibb = Rules::embedded().fixture_units(self.code, PRIVATE, "hose bibb");
        let bibbs = match (bibb, bibbs) {
            (Some(bibb), 1..) => f64::of(bibb.combined) + f64::from(bibbs - 1) * f64::of(bibb.additional),
            _ => 0.0,
        };
        singly + groups + bibbs
    }

    /// The flow of a run: by the table, no more than all listed flows at once where all are listed, no less than the
    /// largest; steady flows on top.
    fn gpm(&self, run: usize) -> f64 {
        let rules = Rules::embedded();
        let fed = || self.draws.iter().filter(|draw| self.cold_in(run, draw) || self.hot_in(run, draw));
        let listed = |draw: &Draw| rules.outlet(self.code, PRIVATE, &draw.kind).and_then(|o| o.gpm).map(f64::of);
        let steady: f64 = fed().filter_map(|d| Some(f64::from(d.count) * f64::from(d.gpm?) / 10.0)).sum();
        let counted = || fed().filter(|draw| draw.gpm.is_none() && draw.count > 0);
        let valves = counted().any(|draw| {
            let units = self.units_of(draw);
            units.is_some_and(|u| u.curve.or(rules.fixture(&draw.kind).map(|f| f.curve)) == Some(Curve::Valve))
        });
        let by_table = self.by_table(self.units(run), if valves { Curve::Valve } else { Curve::Tank });
        let all: Option<f64> = counted().map(|draw| Some(f64::from(draw.count) * listed(draw)?)).sum();
        let largest = counted().filter_map(listed).fold(0.0, f64::max);
        all.map_or(by_table, |all| by_table.min(all)).max(largest) + steady
    }

    fn by_table(&self, units: f64, curve: Curve) -> f64 {
        if units < 5e-7 {
            return 0.0;
        }
        let points: Vec<(f64, f64)> =
            Rules::embedded().demand(curve).iter().map(|d| (f64::of(d.units), f64::of(d.gpm))).collect();
        let up = points.iter().position(|(x, _)| *x >= (units * 1e6).round() / 1e6).expect("within the table");
        match (self.between, up) {
            (true, 1..) => {
                let ((x0, y0), (x1, y1)) = (points[up - 1], points[up]);
                y0 + (y1 - y0) * (units - x0) / (x1 - x0)
            }
            _ => points[up].1,
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_load_and_flow_is_what_a_recount_gives(house in house()) {
        let sized = job(&house.lines()).sized();
        for run in 0..house.fed_by.len() {
            let name = format!("R{run}");
            let (units, expected) = (sized.units(&name), house.units(run));
            prop_assert!((units - expected).abs() < 1e-9, "{name}: {units} units, recount {expected}\n{}", house.lines());
            let (gpm, expected) = (sized.gpm(&name), house.gpm(run));
            prop_assert!((gpm - expected).abs() < 1e-9, "{name}: {gpm} gpm, recount {expected}\n{}", house.lines());
        }
    }
}
