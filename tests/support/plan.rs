//! Small jobs thought up at random, and what can change in them.

use super::job::{Lines, Made, job};
use proptest::prelude::*;

const SIZES: [&str; 4] = ["1/2", "3/4", "1", "1-1/4"];
const FIXTURES: [&str; 4] = ["water closet", "lavatory", "kitchen sink", "hose bibb"];

/// A run: the one that feeds it, feet, bends, size (0 leaves it to the engine), and whether it is in already.
#[derive(Debug, Clone)]
pub struct Run {
    pub name: String,
    pub from: Option<usize>,
    pub feet: u32,
    pub bends: u32,
    pub size: usize,
    pub existing: bool,
}

#[derive(Debug, Clone)]
pub struct Plan {
    pub runs: Vec<Run>,
    /// Kind and run.
    pub fixtures: Vec<(usize, usize)>,
    /// Psi.
    pub pressure: u32,
    /// 0 leaves the main to the engine.
    pub main: usize,
    /// Tax, overhead, profit, contingency, waste in percent.
    pub shares: [u32; 5],
    pub on_price: bool,
    /// Cents of a foot of pipe of each size, and of everything else together.
    pub prices: [u32; 5],
    /// Thirds of the fittings have no price where this is set.
    pub gaps: bool,
    pub minimum: u32,
    /// Feet of 1/2 pipe on hand, coils of 3/4 pipe bought.
    pub stock: u32,
    pub bought: u32,
}

/// One change of a plan.
#[derive(Debug, Clone)]
pub enum Change {
    Feet(usize, u32),
    Size(usize, usize),
    Bends(usize, u32),
    Installed(usize),
    NewRun(usize, u32),
    /// The last run goes, and what hangs on it.
    LastRunGoes,
    Fixture(usize, usize),
    Pressure(u32),
    Main(usize),
    Share(usize, u32),
    Price(usize, u32),
    Minimum(u32),
    Stock(u32),
    Bought(u32),
}

pub fn plan() -> impl Strategy<Value = Plan> {
    (2..9usize).prop_flat_map(|count| {
        let run = |index: usize| {
            let from = if index == 0 { Just(None).boxed() } else { (0..index).prop_map(Some).boxed() };
            (from, 1..60u32, 0..4u32, prop::sample::select(vec![0, 0, 0, 1, 2, 3]), prop::bool::weighted(0.1)).prop_map(
                move |(from, feet, bends, size, existing)| Run {
                    name: format!("R{index}"),
                    from,
                    feet,
                    bends,
                    size,
                    existing,
                },
            )
        };
        let runs: Vec<_> = (0..count).map(run).collect();
        let shares = [0..10u32, 0..20, 0..20, 0..10, 0..10];
        let prices = [20..400u32, 30..500, 40..600, 50..800, 100..2000];
        let rest = (35..80u32, prop::sample::select(vec![0, 0, 2, 3]), any::<bool>(), any::<bool>());
        let stock = (prop::sample::select(vec![0, 0, 900]), 0..40u32, 0..3u32);
        (runs, prop::collection::vec((0..FIXTURES.len(), 0..count), 1..6), shares, prices, rest, stock).prop_map(
            |(runs, fixtures, shares, prices, (pressure, main, on_price, gaps), (minimum, stock, bought))| Plan {
                runs,
                fixtures,
                pressure,
                main,
                shares,
                on_price,
                prices,
                gaps,
                minimum,
                stock,
                bought,
            },
        )
    })
}

pub fn changes() -> impl Strategy<Value = Vec<Change>> {
    let any_run = 0..16usize;
    let one = prop_oneof![
        (any_run.clone(), 1..80u32).prop_map(|(run, feet)| Change::Feet(run, feet)),
        (any_run.clone(), 0..4usize).prop_map(|(run, size)| Change::Size(run, size)),
        (any_run.clone(), 0..5u32).prop_map(|(run, bends)| Change::Bends(run, bends)),
        any_run.clone().prop_map(Change::Installed),
        (any_run.clone(), 1..40u32).prop_map(|(run, feet)| Change::NewRun(run, feet)),
        Just(Change::LastRunGoes),
        (0..4usize, any_run).prop_map(|(kind, run)| Change::Fixture(kind, run)),
        (35..80u32).prop_map(Change::Pressure),
        (0..4usize).prop_map(Change::Main),
        (0..5usize, 0..15u32).prop_map(|(share, percent)| Change::Share(share, percent)),
        (0..5usize, 20..2000u32).prop_map(|(price, cents)| Change::Price(price, cents)),
        (0..2000u32).prop_map(Change::Minimum),
        (0..60u32).prop_map(Change::Stock),
        (0..4u32).prop_map(Change::Bought),
    ];
    prop::collection::vec(one, 1..6)
}

impl Plan {
    pub fn changed(&self, changes: &[Change]) -> Self {
        let mut plan = self.clone();
        for change in changes {
            let runs = plan.runs.len();
            match *change {
                Change::Feet(run, feet) => plan.runs[run % runs].feet = feet,
                Change::Size(run, size) => plan.runs[run % runs].size = size,
                Change::Bends(run, bends) => plan.runs[run % runs].bends = bends,
                Change::Installed(run) => plan.runs[run % runs].existing = true,
                Change::NewRun(run, feet) => plan.runs.push(Run {
                    name: format!("N{runs}"),
                    from: Some(run % runs),
                    feet,
                    bends: 1,
                    size: 0,
                    existing: false,
                }),
                Change::LastRunGoes if runs > 2 => {
                    plan.runs.pop();
                    plan.fixtures.retain(|(_, run)| *run < runs - 1);
                }
                Change::LastRunGoes => {}
                Change::Fixture(kind, run) => plan.fixtures.push((kind % FIXTURES.len(), run % runs)),
                Change::Pressure(psi) => plan.pressure = psi,
                Change::Main(size) => plan.main = size,
                Change::Share(share, percent) => plan.shares[share % 5] = percent,
                Change::Price(price, cents) => plan.prices[price % 5] = cents,
                Change::Minimum(minimum) => plan.minimum = minimum,
                Change::Stock(feet) => plan.stock = feet,
                Change::Bought(coils) => plan.bought = coils,
            }
        }
        plan
    }

    /// True when the size of pipe that is in has to be guessed.
    pub fn guesses(&self) -> bool {
        self.runs.iter().any(|run| run.existing && run.size == 0)
    }

    pub fn made(&self) -> Made {
        job(&self.lines())
    }

    fn lines(&self) -> String {
        let mut lines = Lines::default();
        for (name, value) in [("Job name", "Thought up"), ("Bid number", "P-1"), ("Revision", "0")] {
            lines.add(format!("Job: {name} | {value}"));
        }
        lines.add(format!("Job: Supply pressure | {}", self.pressure));
        lines.add(format!("Job: Markup | {}", if self.on_price { "on price" } else { "on cost" }));
        lines.add(format!("Job: Minimum charge | {}", self.minimum));
        for (name, percent) in ["Tax rate", "Overhead", "Profit", "Contingency", "Waste"].iter().zip(self.shares) {
            lines.add(format!("Job: {name} | {percent}%"));
        }
        if let Some(size) = self.main.checked_sub(1) {
            lines.add(format!("Job: Main size | {}", SIZES[size]));
        }
        for run in &self.runs {
            let from = run.from.map_or("SUPPLY", |from| &self.runs[from].name);
            let mut line = format!("Runs: {} | {from} | {} | Bends {}", run.name, run.feet, run.bends);
            if let Some(size) = run.size.checked_sub(1) {
                line += &format!(" | Size {}", SIZES[size]);
            }
            if run.existing {
                line += " | Status existing";
            }
            lines.add(line);
        }
        for (index, (kind, run)) in self.fixtures.iter().enumerate() {
            lines.add(format!("Fixtures: F{index} | {} | Cold run {}", FIXTURES[*kind], self.runs[*run].name));
        }
        self.price_lines(&mut lines);
        lines.add(format!("On hand: pipe | {} | Material PEX | Size 1/2", self.stock));
        lines.0
    }

    fn price_lines(&self, lines: &mut Lines) {
        let money = |cents: u32| format!("{}.{:02}", cents / 100, cents % 100);
        for (at, size) in SIZES.iter().enumerate() {
            let coil = money(self.prices[at] * 100);
            let bought = if *size == "3/4" { format!(" | Bought {}", self.bought) } else { String::new() };
            lines.add(format!("Prices: pipe | coil | {coil} | Material PEX | Size {size} | Pack 100{bought}"));
        }
        for (at, kind) in ["elbow", "coupling", "ring", "cap", "adapter", "support"].iter().enumerate() {
            for (step, size) in SIZES.iter().enumerate().filter(|(step, _)| !self.gaps || (at + step) % 3 != 0) {
                let each = money(self.prices[4] + 7 * (at + 4 * step) as u32);
                let material = if *kind == "support" { "" } else { " | Material PEX" };
                lines.add(format!("Prices: {kind} | each | {each}{material} | Size {size}"));
            }
        }
        for (a, run) in SIZES.iter().enumerate() {
            for (b, branch) in SIZES.iter().enumerate().filter(|(b, _)| !self.gaps || (a + b) % 3 != 1) {
                let each = money(self.prices[4] + 11 * (a + 4 * b) as u32);
                lines.add(format!("Prices: tee | each | {each} | Material PEX | Size {run} x {run} x {branch}"));
                if b < a {
                    lines.add(format!("Prices: reducer | each | {each} | Material PEX | Size {run} x {branch}"));
                }
            }
        }
    }
}
