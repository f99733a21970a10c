//! What makes a rough-in whole: fixtures and devices in small layouts, every part counted by hand. Chains of parts from pipe to
//! fixture are those of the pages named in tests/published/fixture_ends.csv; heights from public rough-in pages; how many ends
//! a fitting has is common practice.

use super::counted::{of, without_spares};
use crate::support::job::job;

/// ```text
/// SUPPLY --M 6 ft--+--K 10 ft-- kitchen sink, dishwasher on its hot stop
///                  +--H 8 ft (heater)--KH 9 ft-- sink and dishwasher, hot
///                  +--I 12 ft-- ice maker
/// ```
///
/// The dishwasher draws where the sink's hot side does: the sink's stop has two outlets, and the dishwasher has neither
/// stub-out nor stop, nor a branch (dishwasher installation manuals of four makers). The ice maker has its box and a 1/4 in line
/// (public how-to pages on refrigerator valves). Stub-outs: 2.
#[test]
fn a_dishwasher_hangs_on_the_stop_of_the_sink() {
    let made = job("Job: Waste | 0%
        Job: Form | stick
        Runs: M | SUPPLY | 6 | Size 3/4
        Runs: K | M | 10 | Size 1/2
        Runs: I | M | 12 | Size 1/2
        Runs: H | M | 8 | Size 3/4
        Runs: KH | H | 9 | Size 1/2
        Devices: WH | H | tank heater | Size 3/4
        Fixtures: S | kitchen sink | Cold run K | Hot run KH
        Fixtures: D | dishwasher | Hot run KH
        Fixtures: R | ice maker | Cold run I | Gpm 0.5
        Prices: ring | each | 0.25 | Material PEX");
    let priced = without_spares(made).price();
    for (item, quantity) in [
        ("stub-out PEX 1/2\" crimp x copper pipe", 2),
        ("stop valve 1/2\" compression x 3/8\" compression", 1),
        ("dual-outlet stop 1/2\" compression x 3/8\" compression", 1),
        ("supply line 3/8\" compression x 1/2\" FIP", 2),
        ("supply line 3/8\" compression", 1),
        ("dishwasher elbow 3/8\" compression x 3/4\" hose swivel", 1),
        ("ice maker box 1/2\" crimp x 1/4\" compression", 1),
        ("supply line 1/4\" compression", 1),
        ("escutcheon 1/2\"", 2),
        ("test cap 1/2\" push-fit", 2),
        ("tee PEX 1/2\" x 1/2\" x 1/2\"", 0),
    ] {
        assert_eq!(of(&priced, item), quantity.into(), "{item}");
    }
}

/// Where the job's settings put the tank in, it hangs on a tee with an adapter, as one of Devices does: two more tee ends, the
/// nipple between and the adapter. A valve and arresters that are sold with crimp ends take the pipe itself: no adapter, a ring an
/// end (common practice).
#[test]
fn a_tank_by_the_settings_hangs_on_a_tee_and_crimp_ends_take_the_pipe() {
    let lines = "Job: Waste | 0%
        Job: Expansion control | where closed
        Job: Hammer arresters | at quick-closing valves
        Runs: M | SUPPLY | 6 | Size 3/4
        Runs: H | M | 8 | Size 3/4
        Runs: W | H | 9 | Size 1/2
        Devices: V | M | shutoff valve | Size 3/4
        Devices: R | M | regulator | Size 3/4 | Set psi 55
        Devices: WH | H | tank heater | Size 3/4
        Fixtures: D | dishwasher | Hot run W
        Prices: tee | each | 2.75 | Material PEX | Size 3/4";
    let [threaded, crimped] = ["MPT", "crimp"].map(|ends| {
        let valve = if ends == "MPT" { "FPT" } else { ends };
        let prices = format!(
            "Prices: shutoff valve | each | 17 | Size 3/4 | Ends {valve}
             Prices: hammer arrester | each | 18 | Size 1/2 | Ends {ends}"
        );
        without_spares(job(&format!("{lines}\n{prices}"))).price()
    });
    // Supply, both sides of valve and regulator, two connectors of the heater (MPT), its boiler drain, its tank and the
    // regulator's boiler drain (FPT).
    let adapters = |priced, ends| of(priced, &format!("adapter PEX {ends}"));
    assert_eq!(adapters(&threaded, "3/4\" crimp x MPT"), 7.into());
    assert_eq!(adapters(&crimped, "3/4\" crimp x MPT"), 5.into());
    for priced in [&threaded, &crimped] {
        assert_eq!(adapters(priced, "3/4\" crimp x FPT"), 3.into());
        assert_eq!(of(priced, "tee PEX 3/4\" x 3/4\" x 3/4\""), 3.into());
        assert_eq!(of(priced, "expansion tank 3/4\""), 1.into());
    }
    assert_eq!(adapters(&threaded, "1/2\" crimp x FPT"), 1.into());
    assert_eq!(adapters(&crimped, "1/2\" crimp x FPT"), 0.into());
    for size in ["1/2", "3/4"] {
        let ring = format!("ring PEX {size}\"");
        assert_eq!(of(&threaded, &ring), of(&crimped, &ring), "an end is an end");
    }
    assert_eq!(of(&crimped, "shutoff valve 3/4\" crimp"), 1.into());
}

/// A shower's riser of 32 in, from a valve at 48 in to a head at 80 in (public how-to pages on shower and tub valve rough-in
/// height; home-guide rough-in table), is pipe of its run's material, and is bought: 20 ft of run and 2.67 ft.
#[test]
fn a_riser_is_pipe_and_is_cut_with_the_runs() {
    let made = job("Job: Waste | 0%
        Job: Tail allowance | 0
        Runs: C | SUPPLY | 10 | Size 1/2 | Form stick
        Runs: H | C | 10 | Size 1/2 | Form stick
        Devices: WH | H | tank heater | Size 1/2
        Fixtures: S | shower | Cold run C | Hot run H
        Prices: pipe | stick | 5 | Material PEX | Size 1/2 | Pack 10");
    let priced = made.price();
    let feet = of(&priced, "pipe PEX 1/2\"");
    let nipples = feet - "22.67".parse::<rust_decimal::Decimal>().unwrap();
    assert!(nipples >= 0.into(), "{feet}");
}
