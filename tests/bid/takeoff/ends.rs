//! Ends: whatever is counted meets what it is joined to. The tables' pairs and the chains from pipe to fixture are held against
//! figures read elsewhere (tests/published), and adapters against what stands on both sides of them, in the demonstration
//! jobs and in jobs thought up at random.

use crate::support::job::{Lines, Made, demonstration, job};
use crate::support::published::published;
use proptest::prelude::*;
use std::collections::BTreeSet;
use tallybore::rules::{Part, Rules, Side};

const RUN: &str = "run";

/// Ends that stay open: of drains, which this bid does not hold, and of what a hose is screwed on.
const EDGES: [&str; 5] = ["tubular", "slip", "hose thread", "open end", "standpipe"];

#[test]
fn every_pair_of_ends_that_a_page_names_meets_and_no_other_is_called_published() {
    let rules = Rules::embedded();
    let pairs: BTreeSet<[String; 2]> = published("mating_ends")
        .iter()
        .map(|row| {
            let mut pair = [row.text("end").to_owned(), row.text("meets").to_owned()];
            pair.sort();
            pair
        })
        .collect();
    let known: BTreeSet<&str> = rules.joints().iter().flat_map(|row| [&*row.end, &*row.meets]).collect();
    for [a, b] in &pairs {
        let ours = known.contains(a.as_str()) && known.contains(b.as_str());
        assert!(!ours || rules.ends_meet(a, b), "{a} meets {b}, says {pairs:?}");
    }
    for row in rules.joints().iter().filter(|row| row.origin.basis.word() == "published") {
        let mut pair = [row.end.to_string(), row.meets.to_string()];
        pair.sort();
        assert!(pairs.contains(&pair), "{} meets {}: in no page", row.end, row.meets);
    }
}

/// Pairs up all ends, each with one that it meets; the rest may only be ends that stay open.
fn all_meet(rules: &Rules, ends: &mut Vec<String>) -> bool {
    let Some(end) = ends.pop() else { return true };
    for at in 0..ends.len() {
        if rules.ends_meet(&end, &ends[at]) {
            let mate = ends.remove(at);
            if all_meet(rules, ends) {
                return true;
            }
            ends.insert(at, mate);
        }
    }
    let open = EDGES.contains(&&*end) && all_meet(rules, ends);
    if !open {
        ends.push(end);
    }
    open
}

fn open_ends(part: &Part) -> Vec<String> {
    let pieces = usize::try_from(part.quantity.mantissa()).unwrap() / 10_usize.pow(part.quantity.scale());
    let ends: Vec<String> = part.ends_of_it().filter(|end| *end != RUN).map(str::to_owned).collect();
    (0..pieces).flat_map(|_| ends.clone()).collect()
}

#[test]
fn from_the_pipe_to_each_fixture_every_end_meets_one_that_fits() {
    let rules = Rules::embedded();
    let fixtures: BTreeSet<&str> = rules.fixtures().iter().map(|fixture| &*fixture.fixture).collect();
    let own = published("fixture_ends");
    for fixture in fixtures {
        // A side by itself where its parts go by sides; parts for each one belong to all its sides.
        let stays = rules.assembly(fixture).filter(|part| *part.phase != *"test");
        let mut ends: Vec<String> = stays.flat_map(open_ends).collect();
        let sides: Vec<&str> = [Side::Cold, Side::Hot, Side::Each].map(Side::word).into();
        let here = own.iter().filter(|row| row.text("fixture") == fixture && sides.contains(&row.text("side")));
        ends.extend(here.map(|row| row.text("end").to_owned()));
        if rules.assembly(fixture).any(|part| &*part.kind == "service sink faucet") {
            assert_eq!(ends.len(), 4, "{fixture}: two drop-ears and one faucet: {ends:?}");
        }
        assert!(all_meet(rules, &mut ends), "{fixture}: nothing meets {ends:?}");
    }
}

/// Under test the rough-in holds by itself: whatever it leaves open is closed by a cap or plug that fits, or by its own valve (a
/// box). Pressure tests are made before the trim: IRC P2503.7; which closure fits which end is common practice.
#[test]
fn whatever_the_rough_in_leaves_open_is_closed_for_the_test_by_what_fits_it() {
    let rules = Rules::embedded();
    for fixture in rules.fixtures().iter().map(|fixture| &*fixture.fixture) {
        let own_valve = |part: &Part| part.kind.ends_with("box") || part.kind.ends_with("bibb");
        let under_test = rules.assembly(fixture).filter(|part| *part.phase != *"trim" && !own_valve(part));
        let mut ends: Vec<String> = under_test.flat_map(open_ends).collect();
        assert!(all_meet(rules, &mut ends), "{fixture}: nothing closes {ends:?}");
        let closures = rules.assembly(fixture).filter(|part| ["test cap", "test plug"].contains(&&*part.kind));
        for part in closures {
            assert!(!part.inlet.is_empty(), "{fixture}: a {} that does not say what it fits", part.kind);
        }
    }
}

#[test]
fn a_sink_and_the_dishwasher_on_its_stop_meet() {
    let rules = Rules::embedded();
    let on_hot = |fixture: &str| [(Side::Hot, fixture.into())];
    let stays = |part: &&Part| *part.phase != *"test";
    let (sink, machine) = (on_hot("dishwasher"), on_hot("kitchen sink"));
    let of_machine = rules.assembly_beside("dishwasher", &machine).filter(|part| part.side == Side::Hot);
    let mut ends: Vec<String> =
        rules.assembly_beside("kitchen sink", &sink).chain(of_machine).filter(stays).flat_map(open_ends).collect();
    let own = published("fixture_ends");
    let here = own.iter().filter(|row| {
        row.text("fixture") == "kitchen sink" || row.text("fixture") == "dishwasher" && row.text("side") == "hot"
    });
    ends.extend(here.map(|row| row.text("end").to_owned()));
    assert!(all_meet(rules, &mut ends), "nothing meets {ends:?}");
}

#[test]
fn every_end_of_every_device_meets_one_that_fits() {
    let rules = Rules::embedded();
    let is_part = |kind: &str| {
        let sundry = rules.sundries().iter().any(|row| &*row.part == kind);
        sundry || rules.assemblies().iter().any(|part| &*part.kind == kind)
    };
    for row in rules.device_ends().iter().filter(|row| !is_part(&row.device)) {
        let mut ends: Vec<String> = rules.assembly(&row.device).flat_map(open_ends).collect();
        ends.extend([&row.inlet, &row.outlet].into_iter().filter(|end| !end.is_empty()).map(ToString::to_string));
        let hangs = ["expansion tank", "hammer arrester"].contains(&&*row.device);
        let run = rules.pipe_end("PEX", "crimp");
        for to in rules.device_connections(&row.device).into_iter().filter(|end| !end.is_empty() && !hangs) {
            let adapter = rules.adapter_ends(run, to);
            let (own, mate) = adapter.split_once(" x ").unwrap_or_else(|| panic!("{}: no adapter to {to}", row.device));
            assert_eq!(own, "crimp");
            ends.push(mate.to_owned());
        }
        ends.extend(relief(rules, &row.device));
        ends.extend(drained(rules, &row.device));
        // A set serves both sides.
        let set = rules.assembly(&row.device).filter(|part| &*part.kind == "isolation valve set");
        ends.extend(set.flat_map(open_ends));
        assert!(all_meet(rules, &mut ends), "{}: nothing meets {ends:?}", row.device);
    }
}

/// The ends of a relief pipe beside its adapter's: the valve's that comes with the tank, or the port of the set; its pieces, one
/// more than elbows; less the last, which is open by code above the floor (IRC P2804.6.1).
fn relief(rules: &Rules, device: &str) -> Vec<String> {
    let many = |kind: &str| -> usize {
        let mut of = rules.assembly(device).filter(|part| &*part.kind == kind);
        of.next().map_or(0, |part| part.quantity.try_into().unwrap())
    };
    if many("relief pipe") == 0 {
        return Vec::new();
    }
    let (elbows, end) = (many("elbow"), rules.pipe_end("copper M", "crimp").unwrap());
    let mut ends = vec!["FPT".to_owned()];
    ends.extend((0..2 * elbows).map(|_| end.end.to_string()));
    ends.extend((0..2 * (elbows + 1) - 1).map(|_| end.pipe_end.to_string()));
    ends
}

/// The ends of what drains a device (its tubes, pan and air gap), and those of its own that they start at.
fn drained(rules: &Rules, device: &str) -> Vec<String> {
    let tubes = rules.assembly(device).map(|part| &*part.kind).filter(|kind| *kind != "relief pipe");
    let sundries = rules.sundries().iter().filter(|row| *row.per == *device && !row.quantity.is_zero());
    let ends = tubes.chain(sundries.map(|row| &*row.part)).filter_map(|kind| {
        let row = rules.device_ends().iter().find(|row| &*row.device == kind && kind != device)?;
        Some([&row.inlet, &row.outlet].map(ToString::to_string))
    });
    let own = published("fixture_ends");
    let own: Vec<String> =
        own.iter().filter(|row| row.text("fixture") == device).map(|row| row.text("end").to_owned()).collect();
    ends.flatten().filter(|end| !end.is_empty()).chain(own).collect()
}

/// Whatever tube or pipe a device takes by the foot has ends.
#[test]
fn no_tube_is_without_ends() {
    let rules = Rules::embedded();
    for kind in ["drain tube", "overflow tube", "pan drain", "condensate drain"] {
        assert!(rules.device_ends().iter().any(|row| &*row.device == kind), "{kind}");
    }
}

/// What drains away goes by an air gap or out of a pan: softeners' discharge (IRC P2902.3.1), a relief port, a heater's pan
/// (IRC P2801.6). A tube that nothing takes at its other end would be forgotten.
#[test]
fn what_drains_away_ends_where_it_may() {
    let rules = Rules::embedded();
    let has = |part: &str, per: &str| {
        rules.sundries().iter().any(|row| &*row.part == part && &*row.per == per && !row.quantity.is_zero())
    };
    for (tube, meets) in [("drain tube", "air gap fitting"), ("pan drain", "drain pan")] {
        let hosts: BTreeSet<&str> =
            rules.assemblies().iter().filter(|part| &*part.kind == tube).map(|part| &*part.assembly).collect();
        assert!(!hosts.is_empty() && hosts.iter().all(|host| has(meets, host)), "{tube}: {hosts:?}");
    }
    assert!(has("air gap drain", "backflow preventer"));
    assert!(has("manifold port cap", "spare port"));
}

/// Every adapter, dielectric union or union has the end of the fittings for each pipe that is joined to it; what its other end
/// meets is there: a device's end, another adapter's thread, the supply, old pipe, what hangs on its tee.
fn adapters_meet(made: &Made, joining: &str) {
    let (priced, rules) = (made.price(), Rules::embedded());
    let counts = &priced.take_off.parts.counts;
    let kinds = ["adapter", "dielectric union", "union"];
    for count in counts.iter().filter(|count| kinds.contains(&count.item.kind.as_str())) {
        let item = count.item.text();
        let mut ends: Vec<&str> = count.item.ends.split(" x ").collect();
        assert_eq!(ends.len(), 2, "{item}, {}, does not say both its ends", count.purpose);
        for pipe in &count.ends {
            let pipe = pipe.value().to_string();
            let material = pipe.rsplit_once(' ').unwrap().0;
            let end = &*rules.pipe_end(material, joining).unwrap().end;
            let at = ends.iter().position(|own| *own == end);
            let at = at.unwrap_or_else(|| panic!("{item} has no end for {pipe}"));
            ends.remove(at);
        }
        for end in ends {
            let here =
                counts.iter().filter(|other| other.origin.place == count.origin.place && !std::ptr::eq(*other, count));
            let threads = here.flat_map(|other| other.item.ends.split(" x "));
            let devices = made.job.devices.iter().filter(|device| device.name.place == count.origin.place);
            let of_devices = devices.flat_map(|device| rules.device_connections(&device.kind.value));
            let supply = rules.device_connections("supply");
            let supply = supply.iter().copied().filter(|_| count.purpose == "joins the supply");
            let old =
                rules.pipe_ends().iter().map(|row| &*row.pipe_end).filter(|_| count.purpose == "the material changes");
            let arresters = ["MPT"].into_iter().filter(|_| count.purpose == "for its arrester");
            let met = threads.chain(of_devices).chain(supply).chain(old).chain(arresters);
            let met = met.into_iter().any(|other| rules.ends_meet(end, other));
            assert!(met, "{item}, {}: nothing meets its {end}", count.purpose);
        }
    }
}

#[test]
fn adapters_of_the_demonstration_jobs_meet_what_they_join() {
    for (name, joining) in [("prairie-house", "crimp"), ("corner-bakery", "clamp")] {
        adapters_meet(&demonstration(name), joining);
    }
}

const MATERIALS: [&str; 8] = ["PEX", "copper L", "copper M", "CPVC", "galvanized", "galvanized new", "PE", "PE SIDR"];
const DEVICES: [&str; 9] = [
    "meter",
    "softener",
    "filter",
    "tank heater",
    "tankless heater",
    "regulator",
    "hammer arrester",
    "expansion tank",
    "shutoff valve",
];
const STATUS: [&str; 3] = ["new", "existing", "by others"];

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn adapters_of_any_job_meet_what_they_join(
        runs in prop::collection::vec((0..50usize, 0..MATERIALS.len(), 0..2usize), 1..7),
        devices in prop::collection::vec((0..50usize, 0..DEVICES.len(), 0..STATUS.len()), 0..5),
        joining in prop::sample::select(&["crimp", "clamp", "expansion"][..]),
    ) {
        let mut lines = Lines::default();
        lines.add("Job: Supply pressure | 70");
        lines.add(format!("Job: Joining | {joining}"));
        for (at, (from, material, status)) in runs.iter().enumerate() {
            let from = if at == 0 { "SUPPLY".to_owned() } else { format!("R{}", from % at) };
            let (material, status) = (MATERIALS[*material], STATUS[*status]);
            lines.add(format!("Runs: R{at} | {from} | 9 | Size 3/4 | Material {material} | Status {status}"));
        }
        for (at, (run, kind, status)) in devices.iter().enumerate() {
            let (run, kind, status) = (run % runs.len(), DEVICES[*kind], STATUS[*status]);
            lines.add(format!("Devices: D{at} | R{run} | {kind} | Size 3/4 | Status {status}"));
        }
        lines.add("Prices: ring | each | 0.25 | Material PEX");
        adapters_meet(&job(&lines.0), joining);
    }
}

/// A 5/8 meter has couplings of 3/4 (water meter glossary and public meter coupling pages): nobody sells fittings of 5/8.
#[test]
fn a_small_meter_is_joined_by_the_size_of_its_couplings() {
    let made = job("Job: Supply pressure | 70
        Runs: M | SUPPLY | 9 | Size 3/4
        Devices: MTR | M | meter | Size 5/8 | Status by others
        Prices: ring | each | 0.25 | Material PEX");
    let priced = made.price();
    let items: Vec<String> = priced.take_off.lines.iter().map(|line| line.item.text()).collect();
    assert!(items.iter().any(|item| item.contains("adapter") && item.contains("3/4") && item.contains("meter swivel")));
    assert!(!items.iter().any(|item| item.contains("5/8")), "{items:?}");
}

/// A bypass is a tee, a nipple, a valve, a nipple, a tee: of a softener with a size and of one without. Source: common practice.
#[test]
fn a_bypass_has_pipe() {
    for size in ["| Size 1", ""] {
        let made = job(&format!(
            "Job: Supply pressure | 70
            Runs: M | SUPPLY | 9 | Size 1
            Devices: S | M | softener {size}
            Prices: ring | each | 0.25 | Material PEX"
        ));
        let priced = made.price();
        let of = |kind: &str| -> f64 {
            let counts = priced
                .take_off
                .parts
                .counts
                .iter()
                .filter(|count| count.item.kind == kind && &*count.origin.value == "S");
            counts.map(|count| count.quantity.value().as_f64()).sum()
        };
        assert_eq!((of("tee"), of("ball valve")), (2.0, 3.0), "{size}");
        assert!((of("pipe") - 2.0 * 0.33).abs() < 1e-9, "{size}: {} ft", of("pipe"));
    }
}
