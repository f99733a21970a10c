//! What devices take beside their own connections: unions, strainers, supports, gauges, bonding, tests, and the stiffeners of PE
//! ends. Common practice, but for the ends and the air gap, whose pages the rule tables name.

use super::counted::{needed, of, rows};
use super::live::{Finished, house};
use crate::support::job::{Made, job};
use crate::support::published::published;
use rust_decimal::{Decimal, dec};
use tallybore::rules::Rules;

fn line(more: &str) -> Made {
    job(&format!("Job: Supply pressure | 90\nRuns: A | SUPPLY | 10 | Size 1 | Material copper L\n{more}"))
}

/// From the pipe: adapter, strainer, union, preventer, union, adapter; a support on either side.
#[test]
fn a_backflow_preventer_comes_out_and_is_held() {
    for size in ["| Size 1", ""] {
        let needed = needed(&line(&format!("Devices: B | A | backflow preventer {size}")).price());
        for (item, pieces) in [
            ("strainer 1\" FPT x MPT", 1),
            ("union brass 1\" FPT x MPT", 2),
            // Two on the pipe's 10 ft, one at the supply.
            ("support copper L 1\"", 2 + 3),
            ("air gap drain", 1),
            // One more joins the supply.
            ("adapter copper L 1\" sweat x MPT", 2 + 1),
        ] {
            assert_eq!(needed.get(item), Some(&pieces.into()), "{item}, {size}");
        }
        assert_eq!(needed.get("freeze enclosure"), None);
    }
}

/// A regulator is set by a gauge on the boiler drain after it, and comes out by a union.
#[test]
fn a_regulator_is_set_and_comes_out() {
    let priced = line("Devices: R | A | regulator | Size 1 | Set psi 60").price();
    for item in [
        "union brass 1\" FPT x MPT",
        "boiler drain 3/4\" MPT x hose thread",
        "tee copper L 1\" x 1\" x 3/4\"",
        "adapter copper L 3/4\" sweat x FPT",
    ] {
        assert_eq!(of(&priced, item), Decimal::ONE, "{item}");
    }
}

/// The sizes of what has none of its own follow the run's, those of stiffeners the pipe's: typed into the bid they move.
#[test]
fn a_size_typed_into_the_bid_moves_unions_and_stiffeners() {
    let made = line(
        "Devices: R | A | regulator | Set psi 60\nDevices: B | A | backflow preventer
        Prices: union | each | 20 | Material brass | Size 1\nPrices: union | each | 14 | Material brass | Size 3/4
        Prices: strainer | each | 31 | Size 1\nPrices: strainer | each | 22 | Size 3/4",
    );
    let bid = Finished::of(&made);
    let (_, held) = bid.changed(&[("A", "3/4")]);
    let union = |priced, size: &str| of(priced, &format!("union brass {size}\" FPT x MPT"));
    assert_eq!([union(&bid.priced, "1"), union(&held, "1")], [dec!(3), dec!(0)]);
    assert_eq!([union(&bid.priced, "3/4"), union(&held, "3/4")], [dec!(0), dec!(3)]);
    assert_eq!(of(&held, "strainer 3/4\" FPT x MPT"), dec!(1));
    let stiffener = |priced, size: &str| of(priced, &format!("stiffener PE {size}\""));
    let (_, held) = house().changed(&[("SV1", "1")]);
    assert_eq!([stiffener(&house().priced, "1-1/4"), stiffener(&held, "1-1/4")], [dec!(2), dec!(0)]);
    assert_eq!([stiffener(&house().priced, "1"), stiffener(&held, "1")], [dec!(0), dec!(2)]);
}

/// An end of PE by copper tube size takes a stiffener, one by inside diameter goes over a barb and takes none (public joining
/// sheet of PE pipe): a tee three, the adapter at the supply one.
#[test]
fn every_compression_end_of_pe_has_its_stiffener() {
    let tree = |material: &str| {
        let runs =
            ["A | SUPPLY", "B | A", "C | A"].map(|run| format!("Runs: {run} | 9 | Material {material} | Size 1"));
        job(&format!("{}\nPrices: tee | each | 30 | Material {material} | Size 1", runs.join("\n"))).price()
    };
    // Caps at the ends of B and C.
    assert_eq!(of(&tree("PE"), "stiffener PE 1\""), Decimal::from(3 + 1 + 2));
    assert!(!needed(&tree("PE SIDR")).keys().any(|item| item.contains("stiffener")));
    let takes = |end: &str, meets: &str| {
        let rules = Rules::embedded();
        let row = rules.joints().iter().find(|row| [&*row.end, &*row.meets] == [end, meets]);
        row.unwrap().takes.to_string()
    };
    assert_eq!(takes("CTS compression", "PE pipe"), "stiffener");
}

/// The jumper carries what the pipe carried while the meter is out: of use where metal pipe is on both sides of it.
#[test]
fn a_meter_in_metal_pipe_is_bonded_round() {
    let bonded = |service: &str, house: &str, status: &str| {
        let priced = job(&format!(
            "Runs: S | SUPPLY | 20 | Size 1 | Material {service} | Status {status}
            Runs: M | S | 6 | Size 1 | Material {house}
            Devices: MTR | M | meter | Size 1 | Status by others"
        ))
        .price();
        ["bonding jumper", "ground clamp"].map(|item| of(&priced, item))
    };
    assert_eq!(bonded("copper K", "copper L", "existing"), [dec!(1), dec!(2)]);
    assert_eq!(bonded("copper K", "copper L", "new"), [dec!(1), dec!(2)]);
    assert_eq!(bonded("PE", "copper L", "new"), [dec!(0); 2]);
    assert_eq!(bonded("copper K", "PEX", "existing"), [dec!(0); 2]);
    // A meter that stays in pipe that stays is not touched.
    let stays = job("Runs: S | SUPPLY | 20 | Size 1 | Material copper K | Status existing
        Runs: N | S | 6 | Size 3/4
        Devices: MTR | S | meter | Size 1 | Status existing");
    assert_eq!(of(&stays.price(), "bonding jumper"), dec!(0));
}

/// A hand shower brings its slide bar and the breaker in its hose line, whose ends meet the elbow's and the hose's.
#[test]
fn a_hand_shower_has_its_bar_and_its_breaker() {
    let made = || job("Runs: A | SUPPLY | 9 | Size 3/4\nFixtures: S | shower | Cold run A | Count 2");
    let one = "assembly,phase,side,kind,material,size,quantity\nshower,trim,each,hand shower,,1/2,1\n";
    let [without, with] = [made().price(), made().with_rules("assemblies.csv", one).price()];
    for item in ["hand shower 1/2\" MPT", "slide bar", "hand shower vacuum breaker 1/2\""] {
        assert_eq!([of(&without, item), of(&with, item)], [dec!(0), dec!(2)], "{item}");
    }
    let rules = Rules::embedded();
    let ends = rules.device_connections("hand shower vacuum breaker");
    let own = published("fixture_ends");
    let own: Vec<&str> =
        own.iter().filter(|row| row.text("fixture") == "hand shower").map(|row| row.text("end")).collect();
    assert_eq!(own.len(), 2);
    assert!(ends.iter().zip(own).all(|(end, other)| rules.ends_meet(end, other)), "{ends:?}");
}

/// UPC 807: no dishwasher drains straight into a disposer or a drain without an air gap; the IRC takes a high loop.
#[test]
fn a_dishwasher_drains_by_an_air_gap_where_the_code_asks() {
    let priced = |code: &str| {
        job(&format!(
            "Job: Code basis | {code}\nRuns: A | SUPPLY | 9 | Size 1/2\nFixtures: D | dishwasher | Hot run A | Count 2"
        ))
        .price()
    };
    assert_eq!(of(&priced("UPC"), "dishwasher air gap"), dec!(2));
    assert_eq!(of(&priced("IRC"), "dishwasher air gap"), dec!(0));
}

#[test]
fn backflow_devices_are_tested() {
    let hours = |more: &str| -> Vec<String> {
        let devices =
            "Devices: B | A | backflow preventer\nDevices: D | A | double check valve\nDevices: R | A | check valve";
        let bid = line(&format!("{devices}\n{more}")).bid();
        let tests = rows(&bid, "Hours").into_iter().filter(|row| row[0].starts_with("test "));
        tests.map(|row| format!("{}: {} x {}", row[0], row[5], row[6])).collect()
    };
    let mut table = hours("");
    table.sort();
    assert_eq!(table, ["test backflow preventer: 1 x 0.75", "test double check valve: 1 x 0.5"]);
    // Where a tester bills it, no hours of ours.
    let own = hours("Labor: test backflow preventer | each | 0");
    assert!(own.contains(&"test backflow preventer: 1 x 0".to_owned()), "{own:?}");
}
