//! What the code asks for and the job has not: said as findings, counted where the job's settings say so.

use super::counted::of;
use crate::support::job::{Made, job};
use rust_decimal::Decimal;
use tallybore::finding::Severity;
use tallybore::pipeline::{self, Options, Priced};

fn reported<'a>(priced: &'a Priced, slug: &str) -> Vec<&'a tallybore::finding::Finding> {
    priced.findings.iter().filter(|finding| finding.slug == slug).collect()
}

fn count(priced: &Priced, slug: &str) -> usize {
    reported(priced, slug).len()
}

/// A small house with whatever else is given.
fn house(more: &str) -> Made {
    job(&format!(
        "Job: Highest pressure | 75
        Job: Supply pressure | 60
        Runs: S | SUPPLY | 20 | Size 1 | Where crawl space
        Runs: K | S | 12 | Size 1/2
        Runs: H | S | 9 | Size 3/4
        Runs: HW | H | 10 | Size 1/2
        Runs: CW | S | 10 | Size 1/2
        Runs: B | S | 14 | Size 1/2
        Fixtures: D | dishwasher | Hot run HW
        Fixtures: W | clothes washer | Cold run CW
        Fixtures: HB | hose bibb | Cold run B
        Fixtures: K1 | kitchen sink | Cold run K
        Devices: WH | H | tank heater | Size 3/4
        {more}"
    ))
}

#[test]
fn a_main_without_a_shutoff_is_told_and_counted_where_the_job_says_so() {
    let priced = house("").price();
    assert_eq!(reported(&priced, "no-main-shutoff")[0].severity, Severity::Fix);
    assert_eq!(of(&priced, "ball valve 1\" crimp"), Decimal::ZERO);
    for more in ["Devices: V | S | shutoff valve | Size 1", "Devices: M | S | meter | Size 1"] {
        assert_eq!(count(&house(more).price(), "no-main-shutoff"), 0, "{more}");
    }
    let priced = house("Job: Shutoff valves | main").price();
    assert_eq!((count(&priced, "no-main-shutoff"), of(&priced, "ball valve 1\" crimp")), (0, Decimal::ONE));
    // A main that is there already has its valve.
    let old =
        job("Runs: S | SUPPLY | 20 | Size 1 | Status existing\nRuns: K | S | 12\nFixtures: L | lavatory | Cold run K");
    assert_eq!(count(&old.price(), "no-main-shutoff"), 0);
}

#[test]
fn quick_closing_valves_want_arresters() {
    let priced = house("").price();
    let reported = reported(&priced, "quick-closing-valve");
    assert_eq!(reported.len(), 2);
    assert!(reported.iter().all(|f| f.severity == Severity::Fix && f.source.as_deref() == Some("IRC P2903.5")));
    // One in the line of the washer, or in the run that feeds it, will do.
    assert_eq!(count(&house("Devices: A | CW | hammer arrester | Size 1/2").price(), "quick-closing-valve"), 1);
    assert_eq!(count(&house("Devices: A | S | hammer arrester | Size 1/2").price(), "quick-closing-valve"), 1);
    let priced = house("Job: Hammer arresters | at quick-closing valves").price();
    assert_eq!(count(&priced, "quick-closing-valve"), 0);
    assert_eq!(of(&priced, "hammer arrester 1/2\""), Decimal::TWO);
    // Each hangs on a tee: three ends, and its own.
    let before = house("").price();
    let more = |item: &str| of(&priced, item) - of(&before, item);
    assert_eq!(more("tee PEX 1/2\" x 1/2\" x 1/2\""), Decimal::TWO);
    let ends = |priced: &Priced| -> Decimal {
        let joined = priced.take_off.counts.joined().iter().filter(|joined| joined.pipe_key == "PEX 1/2\"");
        joined.map(|joined| joined.ends.value().as_decimal().unwrap()).sum()
    };
    assert_eq!(ends(&priced) - ends(&before), Decimal::from(8));
    // A fill valve may close slowly: a word, no more.
    let fill = house("Runs: F | S | 9\nFixtures: I | other | Cold run F | Gpm 0.5").price();
    let notes = fill.findings.iter().filter(|f| f.slug == "quick-closing-valve");
    assert_eq!(notes.filter(|f| f.severity == Severity::Note).count(), 1);
}

#[test]
fn hose_bibbs_are_drained_where_it_freezes() {
    assert_eq!(count(&house("").price(), "bibb-freezes"), 0);
    let cold = house("Job: Design low | -10").price();
    assert_eq!((count(&cold, "bibb-freezes"), of(&cold, "stop and waste valve 1/2\" crimp")), (1, Decimal::ZERO));
    let drained = house("Job: Design low | -10\nJob: Hose bibb shutoffs | where it freezes").price();
    assert_eq!((count(&drained, "bibb-freezes"), of(&drained, "stop and waste valve 1/2\" crimp")), (0, Decimal::ONE));
    let valve = house("Job: Design low | -10\nDevices: V | B | shutoff valve | Size 1/2").price();
    assert_eq!(count(&valve, "bibb-freezes"), 0);
    assert_eq!(
        of(&house("Job: Hose bibb shutoffs | where it freezes").price(), "stop and waste valve 1/2\" crimp"),
        Decimal::ZERO
    );
    assert_eq!(of(&house("Job: Hose bibb shutoffs | all").price(), "stop and waste valve 1/2\" crimp"), Decimal::ONE);
}

#[test]
fn a_bibb_without_a_vacuum_breaker_is_told() {
    assert_eq!(count(&house("").price(), "bibb-without-breaker"), 0);
    let without = house(
        "Assemblies: Fixture | Phase | Side | Part | Size | Quantity\nAssemblies: hose bibb | rough-in | cold | frostproof hose bibb | 1/2 | 0\nAssemblies: hose bibb | rough-in | cold | hose bibb | 1/2 | 1",
    );
    assert_eq!(count(&without.price(), "bibb-without-breaker"), 1);
}

#[test]
fn a_closed_system_wants_an_expansion_tank() {
    assert_eq!(count(&house("").price(), "closed-system"), 0);
    for device in ["check valve", "backflow preventer", "double check valve"] {
        let closed = format!("Devices: X | S | {device} | Size 1 | Rated gpm 20 | Loss psi 2");
        let priced = house(&closed).price();
        assert_eq!(reported(&priced, "closed-system")[0].severity, Severity::Fix, "{device}");
        let tank = format!("{closed}\nDevices: E | H | expansion tank | Size 3/4");
        assert_eq!(count(&house(&tank).price(), "closed-system"), 0, "{device}");
        let counted = house(&format!("{closed}\nJob: Expansion control | where closed")).price();
        assert_eq!((count(&counted, "closed-system"), of(&counted, "expansion tank 3/4\"")), (0, Decimal::ONE));
    }
    // Behind the heater it closes nothing; in the meter there may be one.
    let behind = house("Devices: X | HW | check valve | Size 1/2 | Rated gpm 5 | Loss psi 1").price();
    assert_eq!(count(&behind, "closed-system"), 0);
    let meter = house("Devices: M | S | meter | Size 1").price();
    assert_eq!(reported(&meter, "closed-system")[0].severity, Severity::Note);
}

#[test]
fn baths_and_fixtures_get_their_valves_by_policy() {
    let bath = |policy: &str| {
        job(&format!(
            "Job: Shutoff valves | {policy}
            Job: Supply pressure | 70
            Runs: S | SUPPLY | 20 | Size 1
            Runs: A | S | 12 | Size 3/4
            Runs: A1 | A | 5 | Size 1/2
            Runs: A2 | A | 5 | Size 1/2
            Runs: B | S | 12 | Size 1/2
            Runs: K | S | 12 | Size 1/2
            Fixtures: T | bathtub | Cold run A1 | Group full bath A
            Fixtures: W | water closet | Cold run A2 | Group full bath A
            Fixtures: L | lavatory | Cold run A | Group full bath A
            Fixtures: W2 | water closet | Cold run B | Group half bath B
            Fixtures: K1 | kitchen sink | Cold run K | Group kitchen"
        ))
        .price()
    };
    let valves = |priced: &Priced| ["1", "3/4", "1/2"].map(|size| of(priced, &format!("ball valve {size}\" crimp")));
    let expected = |counts: [i64; 3]| counts.map(Decimal::from);
    assert_eq!(valves(&bath("as listed")), expected([0, 0, 0]));
    assert_eq!(valves(&bath("main")), expected([1, 0, 0]));
    // One where bath A's water comes in, one for bath B; the kitchen is no bath.
    assert_eq!(valves(&bath("per bath")), expected([1, 1, 1]));
    // The tub alone has no stop of its own.
    assert_eq!(valves(&bath("per fixture")), expected([1, 1, 2]));
}

#[test]
fn lead_and_polybutylene_stop_the_bid() {
    for (material, named) in [("lead", "lead"), ("Poly-B", "polybutylene"), ("polybutylene", "polybutylene")] {
        for status in ["existing", "new"] {
            let made = job(&format!(
                "Runs: A | SUPPLY | 20 | Material {material} | Size 3/4 | Status {status}
                Runs: B | A | 9
                Fixtures: L | lavatory | Cold run B"
            ));
            let Err(findings) = pipeline::price(&made.job, &made.kept, &[], &Options::default()) else {
                panic!("{material} was priced")
            };
            let stop = findings.iter().find(|f| f.slug == "hazardous-pipe").unwrap();
            assert!(stop.severity == Severity::Stop && stop.found.contains(named), "{}", stop.found);
            assert!(!findings.iter().any(|f| f.slug == "unknown-name"), "{material} is known well enough");
        }
    }
    // What comes out may be of anything.
    let out = job("Runs: A | SUPPLY | 20 | Size 3/4 | Status existing
        Runs: O | A | 15 | Material lead | Size 3/4 | Status remove
        Fixtures: L | lavatory | Cold run A");
    assert_eq!(of(&out.price(), "cap lead 3/4\""), Decimal::ONE);
}

#[test]
fn old_pipe_keeps_its_own_bore_and_leaves_no_dead_leg() {
    let made = job("Job: Supply pressure | 60
        Runs: E | SUPPLY | 30 | Material galvanized | Size 3/4 | Status existing
        Runs: N | E | 12 | Material PEX | Size 3/4
        Runs: D | E | 9 | Material copper M | Size 1/2 | Status existing
        Runs: O | E | 14 | Material galvanized | Size 1/2 | Status remove
        Runs: O2 | O | 7 | Material galvanized | Size 1/2 | Status remove
        Fixtures: L | lavatory | Cold run N
        On hand: pipe | 20 | Material galvanized | Size 1/2 | Unit ft");
    let priced = made.price();
    // Rusted pipe loses more than new pipe of its bore: C 100 in 0.824 in of galvanized, not 150 in 0.671 in of PEX.
    let rows = super::counted::rows(&made.bid(), "Sizing");
    let bore = |run: &str| rows.iter().find(|row| row[0] == run).unwrap()[8].clone();
    assert_eq!([bore("E"), bore("N")], ["0.824", "0.671"]);
    assert_eq!(of(&priced, "pipe galvanized 3/4\""), Decimal::ZERO);
    // The new run takes the opening that the old branch leaves: nothing to cap.
    assert_eq!(of(&priced, "cap galvanized 1/2\""), Decimal::ZERO);
    assert_eq!(count(&priced, "dead-leg"), 1);
    assert!(reported(&priced, "dead-leg")[0].found.contains("run D"));
    // The new pipe is tied in with an adapter of its own.
    assert_eq!(of(&priced, "adapter PEX 3/4\" crimp x FPT"), Decimal::ONE);
    // What comes out is scrap: the stock is what On hand says.
    assert!(
        priced
            .take_off
            .lines
            .iter()
            .all(|line| line.item.text() != "pipe galvanized 1/2\"" || line.needed.value().as_f64() == 0.0)
    );
}

/// What leaves an opening behind that no new run takes is capped: of two branches that come out where one new run leaves, the
/// one whose size is not the new run's; what hung on a branch comes out with it.
#[test]
fn an_opening_that_no_new_run_takes_is_capped() {
    let with = |rows: &str| {
        job(&format!(
            "Runs: E | SUPPLY | 30 | Material galvanized | Size 1 | Status existing
            Runs: K | E | 5 | Size 3/4 | Status existing
            Runs: O1 | E | 14 | Material galvanized | Size 3/4 | Status remove
            Runs: O2 | E | 9 | Material galvanized | Size 1/2 | Status remove
            Runs: O3 | O2 | 7 | Material galvanized | Size 1/2 | Status remove
            Fixtures: L | lavatory | Cold run K
            {rows}"
        ))
        .price()
    };
    let caps = |priced: &Priced| [of(priced, "cap galvanized 3/4\""), of(priced, "cap galvanized 1/2\"")];
    let new = |size: &str| format!("Runs: N | E | 12 | Size {size}\nFixtures: M | lavatory | Cold run N");
    let (none, one) = (Decimal::ZERO, Decimal::ONE);
    assert_eq!(caps(&with("")), [one, one]);
    assert_eq!(caps(&with(&new("1/2"))), [one, none]);
    assert_eq!(caps(&with(&new("3/4"))), [none, one]);
    let two = format!("{}\nRuns: N2 | E | 12\nFixtures: M2 | lavatory | Cold run N2", new("1/2"));
    assert_eq!(caps(&with(&two)), [none, none]);
}

#[test]
fn manifolds_are_held_to_their_ports_and_flow() {
    let with = |device: &str| {
        job(&format!(
            "Job: Supply pressure | 70
            Runs: S | SUPPLY | 20 | Size 1
            Runs: M | S | 5 | Size 3/4
            Runs: P1 | M | 9 | Size 1/2
            Runs: P2 | M | 9 | Size 1/2
            Fixtures: L | lavatory | Cold run P1
            Fixtures: K | kitchen sink | Cold run P2
            Fixtures: T | laundry tray | Cold run M | Count 2
            Fixtures: I | other | Cold run M | Gpm 15
            Devices: MAN | M | manifold | {device}"
        ))
        .price()
    };
    // Two lines, two laundry trays and the steady draw.
    let few = with("Size 3/4 | Ports 4");
    assert!(reported(&few, "manifold-ports")[0].found.contains("5 needed"), "{:?}", reported(&few, "manifold-ports"));
    assert_eq!(count(&with("Size 3/4 | Ports 5"), "manifold-ports"), 0);
    assert_eq!(count(&with("Size 3/4"), "manifold-ports"), 0);
    let flow = with("Size 3/4 | Ports 5");
    let reported = reported(&flow, "manifold-flow");
    assert!(reported[0].found.contains("17 gpm is the most"), "{}", reported[0].found);
    assert!(reported[0].source.as_deref().unwrap().starts_with("IRC 2021 Table P2903.8.1"));
    assert_eq!(count(&with("Size 1 | Ports 5"), "manifold-flow"), 0);
    assert_eq!(of(&flow, "manifold port PEX 1/2\""), Decimal::from(5));
}

#[test]
fn a_line_from_a_manifold_may_be_three_eighths_where_the_code_says_so() {
    let with = |psi: u32, feet: u32, code: &str, device: &str| {
        let made = job(&format!(
            "Job: Supply pressure | {psi}
            Job: Code basis | {code}
            Runs: S | SUPPLY | 20 | Size 1
            Runs: P1 | S | {feet} | Size 3/8
            Runs: P2 | S | 9 | Size 1/2
            Fixtures: L | lavatory | Cold run P1
            Fixtures: K | kitchen sink | Cold run P2
            {device}"
        ));
        count(&made.price(), "size-under-code")
    };
    let manifold = "Devices: MAN | S | manifold | Size 1";
    assert_eq!(with(60, 40, "IRC", manifold), 0);
    assert_eq!(with(60, 61, "IRC", manifold), 1, "60 ft or less");
    assert_eq!(with(39, 40, "IRC", manifold), 1, "40 psi or more");
    assert_eq!(with(60, 40, "IPC", manifold), 1, "the IPC has no such row");
    assert_eq!(with(60, 40, "IRC", ""), 1, "from a tee it is a branch like any other");
    // The engine takes it where it is cheapest.
    let chosen = job(&format!(
        "Job: Supply pressure | 70
        Runs: S | SUPPLY | 20 | Size 1
        Runs: P1 | S | 30
        Runs: P2 | S | 30
        Fixtures: L | lavatory | Cold run P1
        Fixtures: K | kitchen sink | Cold run P2
        Prices: pipe | ft | 0.10 | Material PEX | Size 3/8
        Prices: pipe | ft | 2.90 | Material PEX | Size 1/2
        {manifold}"
    ));
    let sized = chosen.price();
    let size = |run: &str| sized.subjects.water.sizes[sized.network.find(run).unwrap()].unwrap().to_string();
    assert_eq!([size("P1"), size("P2")], ["3/8", "3/8"]);
}

#[test]
fn a_fixture_that_has_a_price_is_bought_itself() {
    let with = |more: &str| {
        let priced = crate::support::job::job(&format!(
            "Runs: A | SUPPLY | 20 | Material PEX | Size 3/4
            Fixtures: W | toilet | Cold run A | Count 2
            Fixtures: H | hose bibb | Cold run A
            Prices: pipe | ft | 0.8 | Material PEX | Size 3/4{more}"
        ))
        .price();
        let needed = |item| super::counted::of(&priced, item);
        [needed("water closet"), needed("hose bibb")].map(|quantity| quantity.to_string())
    };
    assert_eq!(with(""), ["0", "0"]);
    // A hose bibb is a part of its assembly already.
    let priced = "\n            Prices: water closet | each | 189\n            Prices: hose bibb | each | 24";
    assert_eq!(with(priced), ["2", "0"]);
}
