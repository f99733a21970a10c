//! Small layouts, drawn here, with every piece counted by hand: common practice, since no published take-off of a
//! house could be had. Spacing of supports and the edge distance of nail plates are the code's. Of pipe every run takes
//! its length and 6 in at each end, and 4 in (0.33 ft) stand between a fitting and a reducer beside it.
//!
//! Of sundries: 0.63 ft of blocking a stub-out, 1.25 ft a drop-ear or a shower's valve, in whole feet; a roll of tape for each
//! phase that screws anything, for none has 49 joints; a gauge and a bottle of disinfectant a job.

use super::counted::{hold, needed, of, without_spares};
use crate::support::job::job;
use rust_decimal::Decimal;

/// ```text
///  SUPPLY --A 12 ft, 1 bend, 3/4--+--B 8 ft, 2 ft of it up, 1 bend, 1/2-- lavatory, cold
///                                 |
///                                 +--C 6 ft, 1.5 ft of it up, 2 bends, 1/2-- water closet
/// ```
///
/// All of it in 2x4 walls, studs 16 in apart. Rings of 3/4: adapter 1, elbow 2, tee 1. Rings of 1/2: tee 2, elbows 6,
/// stub-outs 2. Holes 16 in apart hold the level pipe, which wants a support every 32 in; no rise fills a space of 5 ft (10
/// ft with a guide between): one support, where A starts. A passes 144 / 16 = 9 studs in holes of 1-1/8 in, which leave
/// 1-3/16 in to each face: two plates a hole. Holes of 7/8 in for 1/2 leave 1-5/16 in: none.
#[test]
fn a_tee_line_with_two_fixtures() {
    let made = job("Job: Waste | 0%
        Job: Form | stick
        Runs: A | SUPPLY | 12 | Size 3/4 | Bends 1 | Where inside wall
        Runs: B | A | 8 | Size 1/2 | Rise ft 2 | Bends 1 | Where inside wall
        Runs: C | A | 6 | Size 1/2 | Rise ft 1.5 | Bends 2 | Where inside wall
        Fixtures: L | lavatory | Cold run B
        Fixtures: W | water closet | Cold run C
        Prices: tee | each | 3.41 | Material PEX | Size 3/4 x 1/2 x 1/2");
    hold(
        &without_spares(made).price(),
        r#"
        13 pipe PEX 3/4"
        16 pipe PEX 1/2"
        1 tee PEX 3/4" x 1/2" x 1/2"
        1 elbow PEX 3/4"
        3 elbow PEX 1/2"
        1 adapter PEX 3/4" crimp x MPT
        4 ring PEX 3/4"
        10 ring PEX 1/2"
        2 stub-out PEX 1/2" crimp x copper pipe
        2 test cap 1/2" push-fit
        2 escutcheon 1/2"
        2 stop valve 1/2" compression x 3/8" compression
        1 supply line 3/8" compression x 1/2" FIP
        1 supply line 3/8" compression x 7/8" ballcock
        1 support PEX 3/4"
        18 nail plate
        2 blocking
        1 thread tape
        1 pressure gauge
        1 disinfectant
        1 trap 1-1/4" tubular x slip
        1 wax ring"#,
    );
}

/// ```text
///                              +--CW 3 ft, 1/2-- water closet
///  SUPPLY --M 10 ft--+--C1 6 ft+--CL 4 ft, 1/2-- lavatory, cold
///   3/4, crawl space |    3/4  +--CT 5 ft, 1/2-- tub, cold
///                    |
///                    +--heater--H1 8 ft--+--HL 5 ft, 1/2-- lavatory, hot
///                           3/4          +--HT 6 ft, 1/2-- tub, hot
/// ```
///
/// Coils: bends of 3/4 and 1/2 are swept and held by supports. The supply house has tees of 3/4 x 3/4 x 3/4 and 3/4 x 3/4 x
/// 1/2 and reducers of 3/4 x 1/2: the two tees that would be 3/4 x 1/2 x 1/2 take a reducer on their run. Rings of 3/4:
/// adapters 4 (supply, both sides of the heater, its drain), tees 3 + 3 x 2, reducers 2, the heater's valve 2, the tee for its
/// drain 3. Rings of 1/2: tees 3, reducers 2, stub-outs 3, drop-ear 1, tub valve 3; its spout is threaded. Pipe of 1/2:
/// 28 ft, and the riser from the valve at 28 in to the head at 80 in, 52 in. Pipe of 3/4: 24 ft,
/// 3 runs' tails, two nipples between a tee and its reducer, one between the drain's tee and adapter. Supports: M 4 and one where it starts, C1 2, H1 3; their rises of 2 ft none, nor the 1/2, which studs hold.
/// Only the 1/2 is in walls: no plates.
#[test]
fn a_bath_group() {
    let made = job("Job: Waste | 0%
        Job: Form | coil
        Runs: M | SUPPLY | 10 | Size 3/4 | Where crawl space
        Runs: C1 | M | 6 | Size 3/4 | Rise ft 2 | Bends 1 | Where crawl space
        Runs: CW | C1 | 3 | Size 1/2 | Rise ft 1 | Bends 1 | Where inside wall
        Runs: CL | C1 | 4 | Size 1/2 | Rise ft 2 | Bends 1 | Where inside wall
        Runs: CT | C1 | 5 | Size 1/2 | Rise ft 2 | Bends 2 | Where inside wall
        Runs: H1 | M | 8 | Size 3/4 | Rise ft 2 | Bends 2 | Where crawl space
        Runs: HL | H1 | 5 | Size 1/2 | Rise ft 2 | Bends 1 | Where inside wall
        Runs: HT | H1 | 6 | Size 1/2 | Rise ft 2 | Bends 1 | Where inside wall
        Fixtures: W | water closet | Cold run CW | Group full bath A
        Fixtures: L | lavatory | Cold run CL | Hot run HL | Group full bath A
        Fixtures: T | bathtub | Cold run CT | Hot run HT | Group full bath A
        Devices: WH | H1 | tank heater | Size 3/4
        Prices: tee | each | 2.75 | Material PEX | Size 3/4
        Prices: tee | each | 2.92 | Material PEX | Size 3/4 x 3/4 x 1/2
        Prices: reducer | each | 1.30 | Material PEX | Size 3/4 x 1/2");
    hold(
        &without_spares(made).price(),
        r#"
        27.99 pipe PEX 3/4"
        32.33 pipe PEX 1/2"
        2 tee PEX 3/4" x 3/4" x 3/4"
        3 tee PEX 3/4" x 3/4" x 1/2"
        2 reducer PEX 3/4" x 1/2"
        3 bend support PEX 3/4"
        6 bend support PEX 1/2"
        3 adapter PEX 3/4" crimp x MPT
        1 adapter PEX 3/4" crimp x FPT
        20 ring PEX 3/4"
        12 ring PEX 1/2"
        3 stub-out PEX 1/2" crimp x copper pipe
        1 drop-ear PEX 1/2" crimp x FPT
        1 drop-ear brass 1/2" FPT
        1 8 in nipple brass 1/2" MPT
        1 3 in nipple brass 1/2" MPT
        1 shower arm 1/2" MPT
        3 escutcheon 1/2"
        3 test cap 1/2" push-fit
        1 test cap 1/2" FPT
        1 test plug 1/2" MPT
        1 tub and shower valve 1/2" crimp x FPT
        1 tub and shower trim 1/2"
        3 stop valve 1/2" compression x 3/8" compression
        2 supply line 3/8" compression x 1/2" FIP
        1 supply line 3/8" compression x 7/8" ballcock
        10 support PEX 3/4"
        1 tank heater 3/4"
        1 ball valve 3/4" crimp
        1 boiler drain 3/4" MPT x hose thread
        2 supply line 3/4" FIP
        8 relief pipe copper M 3/4"
        1 relief adapter copper M 3/4" MPT x sweat
        2 elbow copper M 3/4"
        1 drain pan
        8 pan drain 3/4"
        6 blocking
        2 thread tape
        1 pressure gauge
        1 disinfectant
        1 trap 1-1/4" tubular x slip
        1 wax ring"#,
    );
}

/// ```text
///                 wall
///  SUPPLY --S 8 ft--|--M 5 ft, 3 ft of it up--[4 ports]--P1 20 ft, 3/8-- lavatory, cold
///    PE 1, buried   |  PEX 1                     |------P2 24 ft, 1/2-- kitchen sink, cold
///                                                +------P3 30 ft, 1/2-- hose bibb
/// ```
///
/// The manifold's lines take ports, not tees, and go in coil though nobody says so: their bends are swept, without elbows. The service passes the wall in a sleeve two sizes larger. Rings, with 5 %
/// spares to whole ones: of 1, under ground the adapter's PEX end (1.05 up to 2), inside the manifold's inlet and its
/// valve's two ends (3.15 up to 4); of 3/8, port 1, reducer 1 (2.1 up to 3); of 1/2, ports 2, reducer 1, stub-outs 2, bibb 1
/// (6.3 up to 7). Pipe of 1/2: 54 ft, 2 runs' tails, the nipple between the reducer and the stub-out at P1's end. P1 lies along
/// a joist bay: 19 / 2.67 = 7.1, so 8 supports; studs hold the rest. M passes 24 / 16 = 1.5, so 2 studs, in holes of 1-3/8 in:
/// 4 plates.
#[test]
fn a_manifold() {
    let made = job("Job: Waste | 0%
        Job: Supply pressure | 60
        Runs: S | SUPPLY | 8 | Material PE | Size 1 | Where buried | Form coil
        Runs: M | S | 5 | Size 1 | Rise ft 3 | Where inside wall
        Runs: P1 | M | 20 | Size 3/8 | Rise ft 1 | Bends 2 | Where joist bay
        Runs: P2 | M | 24 | Size 1/2 | Rise ft 2 | Bends 2 | Where inside wall
        Runs: P3 | M | 30 | Size 1/2 | Rise ft -1 | Bends 1 | Where inside wall
        Fixtures: L | lavatory | Cold run P1
        Fixtures: K | kitchen sink | Cold run P2
        Fixtures: HB | hose bibb | Cold run P3
        Devices: MAN | M | manifold | Size 1 | Ports 4");
    hold(
        &made.price(),
        r#"
        9 pipe PE 1"
        6 pipe PEX 1"
        21 pipe PEX 3/8"
        56.33 pipe PEX 1/2"
        2 adapter PE 1" CTS compression x MPT
        2 adapter PEX 1" crimp x FPT
        1 manifold 1"
        1 manifold port PEX 3/8"
        2 manifold port PEX 1/2"
        2 bend support PEX 3/8"
        3 bend support PEX 1/2"
        1 reducer PEX 1/2" x 3/8"
        6 ring PEX 1"
        2 stiffener PE 1"
        3 ring PEX 3/8"
        7 ring PEX 1/2"
        2 stub-out PEX 1/2" crimp x copper pipe
        2 escutcheon 1/2"
        2 test cap 1/2" push-fit
        2 stop valve 1/2" compression x 3/8" compression
        2 supply line 3/8" compression x 1/2" FIP
        1 frostproof hose bibb 1/2" crimp x 3/4" hose thread
        1 ball valve 1" crimp
        8 support PEX 3/8"
        4 nail plate
        1 foundation sleeve 1-1/2"
        1 sleeve seal
        8 tracer wire
        8 warning tape
        1 manifold port cap
        2 blocking
        1 thread tape
        1 pressure gauge
        1 disinfectant
        1 trap 1-1/4" tubular x slip
        1 trap 1-1/2" tubular x slip"#,
    );
}

/// ```text
///  SUPPLY ==A 10 ft, 1"== filter 3/4" ==B 10 ft, 1"== hose bibb 1/2"
/// ```
///
/// The filter joins the two runs: no coupling. Its two connections are of its own size, each reduced from the line, as is
/// the bibb's; so are the valves before and after it and on its bypass, which leaves the line by two tees. Rings of 1: the supply's adapter
/// 1, reducers 3, tees 4. Rings of 3/4: the filter's adapters 2, reducers 2, its valves 6, tees 2. Rings of 1/2: a reducer and the bibb. Nipples: two of 3/4 between the
/// filter's adapters and their reducers, one of 1/2 before the bibb. Supports: 3.75 spaces, 4 of each run, and one at the
/// start.
#[test]
fn a_device_smaller_than_its_line() {
    let made = job("Job: Waste | 0%
        Runs: A | SUPPLY | 10 | Size 1 | Where crawl space
        Runs: B | A | 10 | Size 1 | Where crawl space
        Devices: F | B | filter | Size 3/4 | Rated gpm 10 | Loss psi 2
        Fixtures: H | hose bibb | Cold run B");
    hold(
        &without_spares(made).price(),
        r#"
        22 pipe PEX 1"
        1.32 pipe PEX 3/4"
        0.33 pipe PEX 1/2"
        1 adapter PEX 1" crimp x MPT
        2 adapter PEX 3/4" crimp x MPT
        2 reducer PEX 1" x 3/4"
        1 reducer PEX 1" x 1/2"
        2 tee PEX 1" x 1" x 3/4"
        8 ring PEX 1"
        12 ring PEX 3/4"
        2 ring PEX 1/2"
        1 filter 3/4"
        2 filter gauge 1/4"
        3 ball valve 3/4" crimp
        1 thread tape
        1 pressure gauge
        1 disinfectant
        1 frostproof hose bibb 1/2" crimp x 3/4" hose thread
        9 support PEX 1""#,
    );
}

/// ```text
///  SUPPLY --A 10 ft, 1--+--B 6 ft, 3/4 -- clothes washer (existing)
///        [E]  [WH]      |--C 8 ft, 3/4, up through the floor -- lavatory
/// ```
///
/// An expansion tank and a heater's boiler drain hang on tees in A, an arrester on one in B: of the run's size both ways.
/// A tee of 1 x 1 x 3/4 is not offered: a 1 x 1 x 1 with a reducer is. C comes up through the sole plate of its wall: its 3
/// ft level pass 3 studs, and the plate makes a fourth hole, two nail plates each where a 3/4 in run's hole comes near.
#[test]
fn what_hangs_on_a_run_has_its_tee_and_a_wall_its_plates() {
    let with = |level: &str, status: &str| {
        job(&format!(
            "Runs: A | SUPPLY | 10 | Size 1 | Where crawl space | Level crawl
            Runs: B | A | 6 | Size 3/4 | Where crawl space | Level crawl
            Runs: C | A | 8 | Size 3/4 | Rise ft 5 | Where inside wall | Level {level}
            Fixtures: CW | clothes washer | Cold run B | Status existing
            Fixtures: L | lavatory | Cold run C
            Devices: E | A | expansion tank | Size 3/4{status}
            Devices: WH | A | tank heater | Size 3/4{status}
            Devices: HA | B | hammer arrester | Size 1/2{status}
            Prices: tee | each | 5.90 | Material PEX | Size 1 x 1 x 1
            Prices: tee | each | 2.75 | Material PEX | Size 3/4 x 3/4 x 1/2
            Prices: reducer | each | 2.90 | Material PEX | Size 1 x 3/4"
        ))
    };
    let made = |level: &str| with(level, "");
    let priced = made("main").price();
    // What hangs there already has its tee too: work that is done stays in the bid.
    assert_eq!(needed(&with("main", " | Status installed").price()), needed(&priced));
    // At the end of A one tee for B and C, of 1 x 3/4 x 3/4, made up of one of 1 and two reducers; two more for what hangs on A.
    assert_eq!(of(&priced, "tee PEX 1\" x 1\" x 1\""), Decimal::from(3));
    // Two reducers at that tee, one at each of those, and the heater's two connections of 3/4.
    assert_eq!(of(&priced, "reducer PEX 1\" x 3/4\""), Decimal::from(6));
    assert_eq!(of(&priced, "tee PEX 3/4\" x 3/4\" x 1/2\""), Decimal::ONE);
    assert_eq!(of(&priced, "nail plate"), Decimal::from(8));
    // A run of 1/2 has no branch of 3/4 for the drain; service pipe of 1 none of 1/2 for the arrester: its least is 3/4.
    let small = job(
        "Runs: A | SUPPLY | 10 | Size 1/2\nFixtures: L | lavatory | Hot run A\nDevices: WH | A | tank heater | Size 1/2
        Runs: P | SUPPLY | 10 | Material PE | Size 1\nDevices: HA | P | hammer arrester | Size 1/2",
    )
    .price();
    assert_eq!(of(&small, "tee PEX 1/2\" x 1/2\" x 1/2\""), Decimal::ONE);
    assert_eq!(of(&small, "tee PE 1\" x 1\" x 3/4\""), Decimal::ONE);
    // On one floor it passes no plate.
    assert_eq!(of(&made("crawl").price(), "nail plate"), Decimal::from(6));
    // The parts table is the user's: no tee where the heater has a drain of its own.
    let own = "assembly,phase,side,kind,material,size,quantity\ntank heater,rough-in,cold,tee,run,3/4,0\n";
    let priced = made("main").with_rules("assemblies.csv", own).price();
    assert_eq!(of(&priced, "tee PEX 1\" x 1\" x 1\""), Decimal::TWO);
}

/// A meter that the town has set takes a joint wherever new pipe meets it: both its sides on a new run; its inlet alone where the
/// run behind it stays and the service before it is new. A meter ends in its own straight thread (public meter coupling pages);
/// the service comes down from 1 to the meter's 3/4 first.
#[test]
fn new_pipe_joins_a_meter_that_is_there() {
    let service = |behind: &str| {
        let lines = format!(
            "Runs: S | SUPPLY | 20 | Size 1 | Where buried
            Runs: M | S | 6 | {behind}
            Runs: A | M | 5 | Size 3/4 | Status existing
            Devices: MTR | M | meter | Size 3/4 | Status existing
            Fixtures: L | lavatory | Cold run A | Status existing"
        );
        without_spares(job(&lines)).price()
    };
    let old = service("Size 3/4 | Status existing");
    let joints = |priced: &_| {
        ["adapter PEX 3/4\" crimp x meter swivel", "reducer PEX 1\" x 3/4\"", "coupling PEX 3/4\""]
            .map(|item| of(priced, item))
    };
    assert_eq!(joints(&old), [1.into(), 1.into(), 0.into()]);
    // The meter on new pipe: a joint on either side; the old pipe behind it is joined on.
    assert_eq!(joints(&service("Size 3/4")), [2.into(), 1.into(), 1.into()]);
    // Old galvanized behind it is not touched: the thread is the meter's.
    let galvanized = service("Size 3/4 | Status existing | Material galvanized");
    assert_eq!(joints(&galvanized), [1.into(), 1.into(), 0.into()]);
    assert_eq!(of(&galvanized, "adapter PEX 3/4\" crimp x FPT"), 0.into());
}
