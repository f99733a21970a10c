//! The size search weighs the pieces that the take-off counts, at the prices that the bid charges: for the sizes chosen, what
//! the search makes of all that depends on sizes is the sum of the priced lines.
//!
//! Four exceptions. What no size decides is not in it: parts of fixtures, devices of their own size, caps on old pipe. What is
//! in already (Status installed) of a run costs the search nothing. What nobody offers counts as dear as the dearest of its
//! kind, where the bid has no price for it. And the search knows shares of spare rings and thousandths of a dollar, where the
//! bid has whole rings and cents.

use crate::support::job::{Lines, Made, job, job_of_book};
use proptest::prelude::*;
use std::collections::BTreeMap;
use tallybore::model::{Setting, Status};
use tallybore::pipeline::Priced;

/// Why the take-off counts what sizes decide.
const SEARCHED: &[&str] = &[
    "its length",
    "a tail at each end",
    "spacing along it",
    "studs and plates it passes",
    "it passes into the building",
    "insulated length",
    "its bends",
    "joins the supply",
    "its two connections",
    "its inlet",
    "down to its connections",
    "goes with it",
    "nothing beyond its end",
    "shuts off the building",
    "shuts off its bath",
    "what hangs on its run",
    "on the branch of its tee",
    "a branch at its end",
    "down to the tee's inlet",
    "down from the tee's run",
    "down from the tee's branch",
    "between two fittings, cold",
    "between two fittings, hot",
    "the next run joins on",
    "its size changes",
    "the material changes",
    "down to the connection",
    "feeds from its manifold",
];

/// Why it counts what they do not.
const FIXED: &[&str] =
    &["its cold side", "its hot side", "each one", "the fixture itself", "the device itself", "used there"];

/// Rate of sales tax by kind: rows of Prices say so.
fn tax(kind: &str) -> f64 {
    match kind {
        "tee" => 0.0,
        "reducer" => 0.03,
        _ => 0.0625,
    }
}

/// What the search makes of the sizes it chose, and what the priced lines come to for the same pieces.
fn both(made: &Made, priced: &Priced, tax: impl Fn(&str) -> f64) -> Option<(f64, f64)> {
    let weighed: f64 = priced.subjects.water.search_cost?.try_into().unwrap();
    let number = |setting| -> f64 { made.job.number(setting).unwrap_or_default().try_into().unwrap() };
    let lines: BTreeMap<String, f64> = priced
        .bid
        .lines
        .iter()
        .filter(|line| line.priced)
        .map(|line| (priced.take_off.lines[line.line].item.text(), line.unit_price.value().as_f64()))
        .collect();
    let dearest = |kind: &str| {
        let of_kind = made.job.prices.iter().filter(|price| &*price.kind.value == kind && !price.is_break());
        let one = of_kind.filter_map(|price| price.price.value?.checked_div(price.pack.value.unwrap_or(1.into())));
        one.max().unwrap_or_default().try_into().unwrap_or(0.0)
    };
    let price = |kind: &str, item: &str| lines.get(item).copied().unwrap_or_else(|| dearest(kind)) * (1.0 + tax(kind));
    let ring = match &*made.job.text(Setting::Joining) {
        "clamp" => "clamp",
        "expansion" => "sleeve",
        _ => "ring",
    };
    let spares: f64 = priced.rules.spare(ring).map_or(0.0, |spare| spare.share.try_into().unwrap());
    let mut charged = 0.0;
    for count in &priced.take_off.parts.counts {
        let run = made.job.runs.iter().find(|run| run.name.place == count.origin.place);
        let is_in = run.is_some_and(|run| run.status.get() == Some(Status::Installed)) && !count.at_fork;
        // A device of its run's size moves with it.
        let of_its_run = count.purpose == "the device itself" && count.follows_a_size();
        // Nipples at fixtures are of the fixture's size.
        let at_fixture = made.job.fixtures.iter().any(|fixture| fixture.tag.place == count.origin.place);
        let searched = SEARCHED.contains(&count.purpose) && !at_fixture || of_its_run;
        let known =
            searched || at_fixture || FIXED.contains(&count.purpose) || count.purpose.starts_with("closes what");
        assert!(known, "{} is not known to this test", count.purpose);
        if !searched || is_in {
            continue;
        }
        let quantity = count.quantity.value().as_f64();
        let waste = if count.item.kind == "pipe" { 1.0 + number(Setting::Waste) } else { 1.0 };
        if quantity == 0.0 {
            continue;
        }
        charged += quantity * waste * price(&count.item.kind, &count.item.text());
        for end in count.ends.iter().map(|end| end.value().to_string()) {
            let (kind, each) = match end.rsplit_once(' ') {
                Some(("PEX", _)) => (ring, 1.0 + spares),
                Some(("PE", _)) => ("stiffener", 1.0),
                _ => continue,
            };
            charged += quantity * each * price(kind, &format!("{kind} {end}"));
        }
    }
    Some((weighed, charged))
}

fn check(made: &Made, tax: impl Fn(&str) -> f64) -> Option<f64> {
    let priced = made.price();
    let (weighed, charged) = both(made, &priced, tax)?;
    // A run, what joins it on, and a branch are each rounded to a thousandth.
    let slack = 0.0005 * 3.0 * made.job.runs.len() as f64;
    assert!((weighed - charged).abs() <= slack, "the search {weighed}, the lines {charged}");
    Some(charged)
}

/// A demonstration job without labor, at a pressure that any size will do at, with these settings.
fn demo(name: &str, settings: &str) -> Made {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-books").join(name).with_extension("txt");
    let text = std::fs::read_to_string(path).unwrap();
    // What prices rise by is no part of a line: cheapest.rs holds it against the bid.
    let own = format!("Labor rate | 0\nSupply pressure | 300\nEscalation | none\n{settings}");
    let items: Vec<&str> = own.lines().map(|line| line.split('|').next().unwrap().trim()).collect();
    let set = |line: &str| line.split_once('|').is_some_and(|(item, _)| items.contains(&item.trim()));
    let kept: Vec<&str> = text.lines().filter(|line| !set(line)).collect();
    let job = kept.iter().position(|line| line.trim() == "[Job]").unwrap();
    let heading = (job + 1..kept.len()).find(|at| kept[*at].starts_with("Item")).unwrap();
    let text = [&kept[..=heading], &own.lines().collect::<Vec<_>>(), &kept[heading + 1..]].concat().join("\n");
    job_of_book(&text)
}

#[test]
fn the_search_weighs_the_priced_lines_of_the_demonstration_jobs() {
    for name in ["prairie-house", "corner-bakery"] {
        for settings in ["", "Shutoff valves | per bath\nForm | coil\nInsulate | hot\nJoining | clamp"] {
            let made = demo(name, settings);
            let rate: f64 = made.job.number(Setting::TaxRate).unwrap_or_default().try_into().unwrap();
            let charged = check(&made, |_| rate).unwrap_or_else(|| panic!("{name} can be done at 300 psi"));
            assert!(charged > 300.0, "{name}: only {charged} was weighed");
        }
    }
}

const SIZES: [&str; 5] = ["1/2", "3/4", "1", "1-1/4", "1-1/2"];
const MATERIALS: [&str; 2] = ["PEX", "copper L"];
const PLACES: [&str; 5] = ["", "inside wall", "crawl space", "in slab", "buried"];
const STATUSES: [&str; 4] = ["", "", "existing", "installed"];
const FIXTURES: [&str; 4] = ["water closet", "lavatory", "kitchen sink", "clothes washer"];
const DEVICES: [&str; 5] = ["filter", "softener", "manifold", "hammer arrester", "shutoff valve"];

#[derive(Debug, Clone)]
struct Run {
    from: usize,
    material: usize,
    size: usize,
    place: usize,
    status: usize,
    feet: u32,
    rise: u32,
    bends: u32,
}

#[derive(Debug, Clone)]
struct Tree {
    runs: Vec<Run>,
    /// Kind, cold run, how many, whether it is there already.
    fixtures: Vec<(usize, usize, u32, bool)>,
    /// Kind, run, size.
    devices: Vec<(usize, usize, usize)>,
    cents: u32,
    settings: [bool; 4],
}

fn tree() -> impl Strategy<Value = Tree> {
    (2..8usize).prop_flat_map(|count| {
        let run = (0..count, 0..4usize, 0..7usize, 0..PLACES.len(), 0..8usize, 1..40u32, 0..9u32, 0..4u32);
        let run = run.prop_map(|(from, material, size, place, status, feet, rise, bends)| Run {
            from,
            material: usize::from(material == 0),
            size,
            place,
            status: status.min(STATUSES.len()) % STATUSES.len(),
            feet: feet + rise,
            rise,
            bends,
        });
        let fixture = (0..FIXTURES.len(), 0..count, 1..4u32, prop::bool::weighted(0.2));
        let device = (0..DEVICES.len(), 0..count, 0..SIZES.len() + 2);
        let lists = (
            prop::collection::vec(run, count),
            prop::collection::vec(fixture, 1..5),
            prop::collection::vec(device, 0..3),
        );
        (lists, 50..900u32, any::<[bool; 4]>()).prop_map(|((runs, fixtures, devices), cents, settings)| Tree {
            runs,
            fixtures,
            devices,
            cents,
            settings,
        })
    })
}

impl Tree {
    fn lines(&self) -> String {
        let mut lines = Lines::default();
        for row in ["Supply pressure | 300", "Labor rate | 0", "Tax rate | 6.25%", "Waste | 7%", "Tail allowance | 3"] {
            lines.add(format!("Job: {row}"));
        }
        let settings = ["Insulate | hot and unheated", "Joining | expansion", "Form | stick", "Shutoff valves | main"];
        let settings = settings.iter().zip(self.settings).filter(|(_, on)| *on);
        settings.for_each(|(row, _)| lines.add(format!("Job: {row}")));
        for (index, run) in self.runs.iter().enumerate() {
            let from = if index == 0 { "SUPPLY".to_owned() } else { format!("R{}", run.from % index) };
            let mut line = format!("Runs: R{index} | {from} | {} | Rise ft {}", run.feet, run.rise);
            line += &format!(" | Bends {} | Material {}", run.bends, MATERIALS[run.material]);
            // Pipe that is there has a size; whoever guesses one is told so.
            let there = !STATUSES[run.status].is_empty();
            match SIZES.get(run.size) {
                Some(size) => line += &format!(" | Size {size}"),
                None if there => line += " | Size 1",
                None => {}
            }
            for (name, word) in [("Where", PLACES[run.place]), ("Status", STATUSES[run.status])] {
                if !word.is_empty() {
                    line += &format!(" | {name} {word}");
                }
            }
            lines.add(line);
        }
        for (index, (kind, run, count, there)) in self.fixtures.iter().enumerate() {
            let status = if *there { " | Status existing" } else { "" };
            lines.add(format!("Fixtures: F{index} | {} | Cold run R{run} | Count {count}{status}", FIXTURES[*kind]));
        }
        for (index, (kind, run, size)) in self.devices.iter().enumerate() {
            let size = SIZES.get(*size).map(|size| format!(" | Size {size}")).unwrap_or_default();
            lines.add(format!("Devices: D{index} | R{run} | {}{size}", DEVICES[*kind]));
        }
        self.prices(&mut lines);
        lines.0
    }

    fn prices(&self, lines: &mut Lines) {
        let mut cents = self.cents;
        let mut price = |what: String, tax: &str| {
            cents = cents * 31 % 997 + 23;
            let tax = if tax.is_empty() { String::new() } else { format!(" | Tax {tax}") };
            lines.add(format!("Prices: {what}{tax}").replace('$', &format!("{}.{:02}", cents / 100, cents % 100)));
        };
        for material in MATERIALS {
            for (large, size) in SIZES.iter().enumerate() {
                price(format!("pipe | stick | $ | Material {material} | Size {size} | Pack 10"), "");
                price(format!("pipe | coil | $ | Material {material} | Size {size} | Pack 100"), "");
                for kind in ["elbow", "coupling", "cap", "adapter", "manifold port", "bend support"] {
                    price(format!("{kind} | each | $ | Material {material} | Size {size}"), "");
                }
                for branch in &SIZES[..=large] {
                    price(format!("tee | each | $ | Material {material} | Size {size} x {size} x {branch}"), "no");
                }
                for small in &SIZES[..large] {
                    price(format!("reducer | each | $ | Material {material} | Size {size} x {small}"), "3%");
                }
            }
        }
        for (at, size) in SIZES.iter().enumerate() {
            for kind in ["ring", "sleeve"] {
                price(format!("{kind} | each | $ | Material PEX | Size {size}"), "");
            }
            // Some sizes have no offer: the search takes the dearest of the kind for them.
            for kind in ["support", "ball valve", "pipe insulation", "filter"].iter().take(if at == 4 { 2 } else { 4 })
            {
                // Filters are sold with crimp ends: on crimped pipe they take no adapters.
                let ends = if *kind == "filter" { " | Ends crimp" } else { "" };
                price(format!("{kind} | each | $ | Size {size}{ends}"), "");
            }
        }
        price("nail plate | each | $".to_owned(), "");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, max_global_rejects: 10, max_shrink_iters: 400, ..ProptestConfig::default() })]

    #[test]
    fn the_search_weighs_the_priced_lines_of_any_tree(tree in tree()) {
        let made = job(&tree.lines());
        // 300 psi do nearly always; not where two small softeners stand in the way of many fixtures. Then another tree is tried,
        // and too many of those would fail the test.
        prop_assume!(check(&made, tax).is_some());
    }
}
