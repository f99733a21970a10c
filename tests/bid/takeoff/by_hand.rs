//! Every part of every fixture and device of the demonstration jobs, counted by hand: chains of parts from pipe to fixture by the
//! pages of tests/published/fixture_ends.csv and heater_and_softener.csv, a device's adapters and a tee for what hangs on a run by
//! common practice. Which size a tee has, and what is reduced, follows the sizes and is held by other tests.

use crate::support::job::{Shown, shown};
use crate::support::published::published;
use std::collections::BTreeMap;
use tallybore::rules::Rules;

/// Both sides of a basin with its stops; `{e}` is the end of the job's fittings.
const BASIN: &str = "2 stub-out PEX 1/2\" {e} x copper pipe; 2 escutcheon 1/2\"; 2 test cap 1/2\" push-fit; \
     2 stop valve 1/2\" compression x 3/8\" compression; 2 supply line 3/8\" compression x 1/2\" FIP";
const STOP: &str = "1 stub-out PEX 1/2\" {e} x copper pipe; 1 escutcheon 1/2\"; 1 test cap 1/2\" push-fit; \
     1 stop valve 1/2\" compression x 3/8\" compression";

fn arrester(pipe: &str, size: &str, end: &str) -> String {
    format!("1 hammer arrester {size}\"; 1 tee; 1 adapter {pipe} {size}\" {end} x FPT")
}

fn in_line(device: &str, pipe: &str, size: &str, ends: &str) -> String {
    format!("1 {device} {size}\"; 2 adapter {pipe} {size}\" {ends}")
}

/// A tank heater with its valve, boiler drain, connectors, relief pipe and the drain of its pan.
fn heater(pipe: &str, size: &str, end: &str) -> String {
    format!(
        "{}; 1 ball valve {size}\" {end}; 1 boiler drain 3/4\" MPT x hose thread; 1 tee; 1 adapter {pipe} 3/4\" {end} x FPT; \
         2 supply line {size}\" FIP; 8 relief pipe copper M 3/4\"; 1 relief adapter copper M 3/4\" MPT x sweat; \
         2 elbow copper M 3/4\"; 8 pan drain 3/4\"",
        in_line("tank heater", pipe, size, &format!("{end} x MPT"))
    )
}

fn hold(name: &str, end: &str, by_hand: &[(&str, String)]) {
    let Shown { priced, made, .. } = shown(name);
    let job = &made.job;
    let hosts = job.fixtures.iter().map(|fixture| (&fixture.tag.place, &fixture.tag.value));
    let hosts = hosts.chain(job.devices.iter().map(|device| (&device.name.place, &device.name.value)));
    let mut found: BTreeMap<String, BTreeMap<String, f64>> = BTreeMap::new();
    for (place, name) in hosts {
        let of_host = priced.take_off.parts.counts.iter().filter(|count| count.origin.place == *place);
        for count in of_host.filter(|count| count.purpose != "used there" && count.item.kind != "reducer") {
            let device = job.devices.iter().any(|device| device.name.place == *place);
            let item = match count.item.kind.as_str() {
                "pipe" if device => continue,
                "tee" => "tee".to_owned(),
                _ => count.item.text(),
            };
            let quantity = count.quantity.value().as_f64();
            if quantity > 0.0 {
                *found.entry(name.to_string()).or_default().entry(item).or_default() += quantity;
            }
        }
    }
    let mut expected: BTreeMap<String, BTreeMap<String, f64>> = BTreeMap::new();
    for (names, parts) in by_hand {
        for name in names.split_whitespace() {
            let parts = parts.replace("{e}", end);
            let each = parts.split(';').map(|part| part.trim().split_once(' ').unwrap());
            let each = each.map(|(quantity, item)| (item.to_owned(), quantity.parse().unwrap()));
            expected.insert(name.to_owned(), each.collect());
        }
    }
    for (name, parts) in &expected {
        assert_eq!(found.get(name), Some(parts), "{name}");
    }
    let more: Vec<&String> = found.keys().filter(|name| !expected.contains_key(*name)).collect();
    assert!(more.is_empty(), "nobody counted {more:?}");
}

#[test]
fn the_house() {
    let closet = format!("{STOP}; 1 supply line 3/8\" compression x 7/8\" ballcock; 1 wax ring");
    // Its vacuum breaker is built in.
    let bibb = "1 frostproof hose bibb 1/2\" {e} x 3/4\" hose thread";
    let tub = "1 tub and shower valve 1/2\" {e} x FPT; 4.33 pipe PEX 1/2\"; 1 drop-ear PEX 1/2\" {e} x FPT; \
         1 drop-ear brass 1/2\" FPT; 1 8 in nipple brass 1/2\" MPT; 1 3 in nipple brass 1/2\" MPT; \
         1 tub and shower trim 1/2\"; 1 shower arm 1/2\" MPT; \
         1 test cap 1/2\" FPT; 1 test plug 1/2\" MPT";
    let shower = "1 tub and shower valve 1/2\" {e}; 2.67 pipe PEX 1/2\"; 1 drop-ear PEX 1/2\" {e} x FPT; 1 shower trim 1/2\"; \
         1 shower arm 1/2\" MPT; 1 test plug 1/2\" MPT";
    let dishwasher =
        format!("{STOP}; 1 supply line 3/8\" compression; 1 dishwasher elbow 3/8\" compression x 3/4\" hose swivel");
    let softener = in_line("softener", "PEX", "1-1/4", "crimp x MPT");
    hold(
        "prairie-house",
        "crimp",
        &[
            ("WC1 WC2", closet),
            ("LA1 LB1 LB2", format!("{BASIN}; 1 trap 1-1/4\" tubular x slip")),
            ("KS1 LT1", format!("{BASIN}; 1 trap 1-1/2\" tubular x slip")),
            ("TB1", tub.to_owned()),
            ("SH1", shower.to_owned()),
            ("DW1", dishwasher),
            ("IC1", "1 ice maker box 1/2\" {e} x 1/4\" compression; 1 supply line 1/4\" compression".to_owned()),
            ("CW1", "1 washer box 1/2\" {e} x 3/4\" hose thread; 2 supply line 3/4\" hose swivel".to_owned()),
            ("HB1", bibb.to_owned()),
            ("V1", in_line("shutoff valve", "PEX", "1-1/4", "crimp x MPT")),
            // The town sets the meter; its couplings are ours.
            ("MTR", "2 adapter PEX 1\" {e} x meter swivel".to_owned()),
            ("FLT", format!("{}; 3 ball valve 1-1/4\" {{e}}; 2 tee", in_line("filter", "PEX", "1-1/4", "crimp x MPT"))),
            (
                "SOF",
                format!(
                    "{softener}; 3 ball valve 1-1/4\" {{e}}; 2 tee; 2 supply line 1-1/4\" FIP; 20 drain tube 1/2\"; \
                     10 overflow tube 1/2\""
                ),
            ),
            ("EXP", "1 expansion tank 3/4\"; 1 tee; 1 adapter PEX 3/4\" {e} x FPT".to_owned()),
            ("WH1", heater("PEX", "3/4", "crimp")),
            ("HA1 HA2 HA3", arrester("PEX", "1/2", "crimp")),
        ],
    );
}

#[test]
fn the_bakery() {
    let copper = |device: &str, size: &str| in_line(device, "copper L", size, "sweat x MPT");
    let flush = |size: &str| {
        format!(
            "1 adapter copper L {size}\" sweat x MPT; 1 flush valve {size}\" FPT x flush tube; 1 test cap {size}\" FPT"
        )
    };
    hold(
        "corner-bakery",
        "clamp",
        &[
            ("WC1", format!("{}; 1 wax ring", flush("1"))),
            ("UR1", flush("3/4")),
            // Of public use: the code limits their hot water.
            (
                "LV1 HS1",
                format!(
                    "{BASIN}; 1 trap 1-1/4\" tubular x slip; 1 mixing valve 3/8\" compression; \
                     2 supply line 3/8\" compression"
                ),
            ),
            ("KS1 KS2", format!("{BASIN}; 1 trap 1-1/2\" tubular x slip")),
            ("DF1", format!("{STOP}; 1 supply line 3/8\" compression; 1 trap 1-1/4\" tubular x slip")),
            (
                "SS1",
                "2 drop-ear PEX 1/2\" {e} x FPT; 1 service sink faucet 1/2\" MPT; 2 test plug 1/2\" MPT".to_owned(),
            ),
            ("MX1", STOP.to_owned()),
            ("V1", copper("shutoff valve", "2")),
            // The meter is there; new pipe joins it on both sides.
            ("MTR", "2 adapter copper L 1-1/2\" sweat x meter swivel".to_owned()),
            (
                "BFP",
                format!(
                    "{}; 1 strainer 2\" FPT x MPT; 2 union brass 2\" FPT x MPT; 2 support copper L 2\"",
                    copper("backflow preventer", "2")
                ),
            ),
            (
                "REG",
                format!(
                    "{}; 1 ball valve 2\" sweat; 1 union brass 2\" FPT x MPT; 1 boiler drain 3/4\" MPT x hose thread; \
                     1 tee; 1 adapter copper L 3/4\" sweat x FPT",
                    copper("regulator", "2")
                ),
            ),
            ("V2", copper("shutoff valve", "1-1/2")),
            ("EXP", "1 expansion tank 3/4\"; 1 tee; 1 adapter copper L 3/4\" sweat x FPT".to_owned()),
            ("WH1", heater("copper L", "1-1/2", "sweat")),
            ("CV1", in_line("check valve", "PEX", "1/2", "clamp x MPT")),
            ("HA1", arrester("copper L", "3/4", "sweat")),
            ("HA2", arrester("PEX", "1/2", "clamp")),
            ("DC1", in_line("double check valve", "PEX", "3/4", "clamp x MPT")),
        ],
    );
}

/// What the house takes of sundries. Stub-outs: closets 2, basins 6, kitchen sink, laundry tray 4, dishwasher 1: 13. Drop-ears 3,
/// valves 2. Buried plastic 54 ft. One sleeve where the service comes in.
#[test]
fn the_sundries_of_the_house() {
    let needed = super::counted::needed(&shown("prairie-house").priced);
    let blocking: f64 = 13.0 * 0.63 + 3.0 * 1.25 + 2.0 * 1.25;
    for (item, quantity) in [
        ("blocking", blocking.ceil()),
        ("tracer wire", 54.0),
        ("warning tape", 54.0),
        ("sleeve seal", 1.0),
        ("thread tape", 2.0),
        ("bonding jumper", 1.0),
        ("ground clamp", 2.0),
        ("drain pan", 1.0),
        ("tank bracket", 1.0),
        ("air gap fitting", 1.0),
        // One before the filter and one after it.
        ("filter gauge 1/4\"", 2.0),
        // Of the adapter at the curb stop and of that where the service meets the PEX.
        ("stiffener PE 1-1/4\"", 2.0),
        ("pressure gauge", 1.0),
        ("disinfectant", 1.0),
    ] {
        let found: f64 = needed.get(item).map_or(0.0, |found| found.to_string().parse().unwrap());
        assert_eq!(found, quantity, "{item}");
    }
    // Under the IRC the dishwasher's hose goes up to the counter.
    for absent in [
        "solder",
        "CPVC cement",
        "firestop caulk",
        "manifold port cap",
        "heater strap",
        "air gap drain",
        "slide bar",
        "dishwasher air gap",
    ] {
        assert_eq!(needed.get(absent), None, "{absent}");
    }
}

/// What the bakery takes beside its parts: bonding where the last shop's copper comes out and round the town's meter, which
/// stands in copper; a funnel under the backflow preventer, which stands in the warm.
#[test]
fn the_sundries_of_the_bakery() {
    let needed = super::counted::needed(&shown("corner-bakery").priced);
    for (item, quantity) in [("bonding jumper", 2), ("ground clamp", 4), ("air gap drain", 1)] {
        assert_eq!(needed.get(item), Some(&quantity.into()), "{item}");
    }
    for absent in ["freeze enclosure", "dishwasher air gap", "filter gauge 1/4\""] {
        assert_eq!(needed.get(absent), None, "{absent}");
    }
}

#[test]
fn sundries_and_parts_of_devices_are_as_read() {
    let rules = Rules::embedded();
    let rows = published("sundries");
    for row in &rows {
        let (part, per) = (row.text("part"), row.text("per"));
        let ours = rules.sundries().iter().find(|ours| &*ours.part == part && &*ours.per == per);
        let ours = ours.unwrap_or_else(|| panic!("{part} for each {per}: no row"));
        let (found, read): (f64, f64) = (ours.quantity.try_into().unwrap(), row.number("amount") / row.number("holds"));
        assert!((found - read).abs() <= 0.005 * read, "{part} for each {per}: {found}, read {read}");
        assert_eq!(ours.origin.basis.word(), row.text("basis"), "{part} for each {per}");
    }
    for ours in rules.sundries().iter().filter(|ours| ours.origin.basis.word() == "published") {
        let known = rows.iter().any(|row| row.text("part") == &*ours.part && row.text("per") == &*ours.per);
        assert!(known, "{} for each {}: in no page", ours.part, ours.per);
    }
    for row in published("heater_and_softener") {
        let all = rules.assemblies().iter().filter(|part| part.beside.is_empty());
        let mut of = all.filter(|part| &*part.assembly == row.text("assembly") && &*part.kind == row.text("part"));
        let ours: f64 = of.next().unwrap_or_else(|| panic!("{row:?}: no row")).quantity.try_into().unwrap();
        assert_eq!(ours, row.number("quantity"), "{row:?}");
    }
}
