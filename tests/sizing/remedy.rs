//! Where no sizes will do, the change that is told fixes it, and a little less of it does not. All jobs are made by hand.

use crate::support::job::{job, job_of_book};
use tallybore::water::findings::remedy::{NoSizesWill, Remedy, SingleChange};

/// A house with the pressures, sizes and devices that a case asks for.
#[derive(Clone, Copy)]
struct House {
    psi: &'static str,
    main_size: &'static str,
    /// Sizes and status of the branch to the upper floor.
    branch_size: &'static str,
    branch_status: &'static str,
    lower_size: &'static str,
    devices: &'static str,
}

const PLENTY: House = House {
    psi: "60",
    main_size: "",
    branch_size: "",
    branch_status: "new",
    lower_size: "",
    devices: "F1 | M | filter | 10 | 6 |",
};

/// Who is short, the cheapest change, the other changes.
type Said = (Vec<(String, String)>, Option<SingleChange>, Vec<SingleChange>);

impl House {
    fn text(self) -> String {
        let Self { psi, main_size, branch_size, branch_status, lower_size, devices } = self;
        let main = if main_size.is_empty() { String::new() } else { format!("Main size | {main_size}\n") };
        format!(
            "[Job]\nItem | Value\nSupply pressure | {psi}\n{main}
[Fixtures]
Tag | Fixture | Cold run
W1 | water closet | A
S1 | shower | A
K1 | kitchen sink | B

[Devices]
Device | On run | Kind | Rated gpm | Loss psi | Set psi
{devices}

[Runs]
Run | From | Size | Length ft | Rise ft | Status
M | SUPPLY | | 120 | 4 | new
A | M | {branch_size} | 60 | 10 | {branch_status}
B | M | {lower_size} | 40 | 2 | new

[Prices]
Kind | Material | Size | Unit | Pack | Price
pipe | PEX | 1/2 | coil | 100 | 48.50
pipe | PEX | 3/4 | coil | 100 | 88.00
pipe | PEX | 1 | coil | 100 | 150.00
"
        )
    }

    /// How much more at the supply would do, where it is told.
    fn supply_psi(self) -> Option<f64> {
        let priced = job_of_book(&self.text()).price();
        priced.subjects.water.remedy?.supply_psi.map(|psi| psi.parse().unwrap())
    }

    /// What is said when no sizes will do.
    fn phrases(self) -> Option<Said> {
        let priced = job_of_book(&self.text()).price();
        let reported = priced.findings.iter().any(tallybore::finding::Finding::is::<NoSizesWill>);
        assert_eq!(reported, priced.subjects.water.remedy.is_some());
        let Remedy { short, cheapest, others, .. } = priced.subjects.water.remedy?;
        Some((short, cheapest.map(|reported| reported.0), others))
    }
}

fn leaked(text: String) -> &'static str {
    Box::leak(text.into_boxed_str())
}

#[test]
fn nothing_is_said_where_sizes_will_do() {
    assert_eq!(PLENTY.phrases(), None);
}

#[test]
fn the_supply_pressure_told_is_the_least_that_does() {
    let house = House { psi: "25", ..PLENTY };
    let (short, cheapest, others) = house.phrases().unwrap();
    assert_eq!(short[0].0, "A");
    assert_eq!(cheapest, None, "every run is free: no size can be changed");
    assert!(others.iter().all(|change| matches!(change, SingleChange::DeviceLoss { .. })), "{others:?}");
    let psi = 25.0 + house.supply_psi().unwrap();
    assert_eq!(House { psi: leaked(format!("{psi:.1}")), ..house }.phrases(), None);
    assert!(House { psi: leaked(format!("{:.1}", psi - 0.2)), ..house }.phrases().is_some());
}

#[test]
fn a_main_too_small_by_setting_is_told_to_grow() {
    let house = House { psi: "45", main_size: "1/2", ..PLENTY };
    let (_, cheapest, _) = house.phrases().unwrap();
    assert_eq!(cheapest, Some(SingleChange::MainSize { size: "1".to_owned() }));
    assert_eq!(House { main_size: "1", ..house }.phrases(), None);
    assert!(House { main_size: "3/4", ..house }.phrases().is_some(), "the size between is not enough");
}

#[test]
fn the_least_main_that_does_is_told() {
    // A meter without a Size is of the main's, and on a larger main it loses less. Few things have a price: what a main
    // costs says nothing of which is the least.
    let pipe = "pipe | PEX | 1-1/4 | coil | 100 | 1.00\n";
    let mut told = Vec::new();
    for psi in ["34", "36", "38", "40", "42", "44", "46", "48", "52", "56"] {
        let house = House { psi, main_size: "1/2", devices: "T1 | M | meter | | |", ..PLENTY };
        let remedy = |house: House| job_of_book(&format!("{}{pipe}", house.text())).price().subjects.water.remedy;
        let Some((SingleChange::MainSize { size }, _)) = remedy(house).and_then(|remedy| remedy.cheapest) else {
            continue;
        };
        let sizes = ["1/2", "3/4", "1", "1-1/4"];
        let least = sizes.into_iter().find(|main_size| remedy(House { main_size, ..house }).is_none());
        assert_eq!(Some(&*size), least, "at {psi} psi");
        told.push(size);
    }
    told.dedup();
    assert!(told.len() > 1, "{told:?}");
}

#[test]
fn a_device_whose_loss_is_of_another_size_is_named() {
    // The only regulator in device_losses is a 3/4 in one.
    let house = House { devices: "R1 | M | regulator | | | 34", main_size: "1/2", psi: "90", ..PLENTY };
    let sized =
        house.text().replace("Kind | Rated", "Kind | Size | Rated").replace("regulator | |", "regulator | 2-1/2 | |");
    let remedy = |text: &str| job_of_book(text).price().subjects.water.remedy.unwrap().borrowed;
    let [[device, kind, size]] = &remedy(&sized)[..] else { panic!("{:?}", remedy(&sized)) };
    assert!(device == "R1" && kind == "regulator" && size != "2-1/2", "{device} {kind} {size}");
    assert_eq!(remedy(&sized.replace("2-1/2", "3/4")), [[""; 3]; 0]);
}

#[test]
fn a_size_that_somebody_typed_is_let_go() {
    let house = House { psi: "44", branch_size: "3/8", ..PLENTY };
    let (short, cheapest, _) = house.phrases().unwrap();
    assert_eq!(short.len(), 1);
    let Some(SingleChange::RunFreed { run, size }) = cheapest else { panic!("{cheapest:?}") };
    assert_eq!(run, "A");
    assert_eq!(House { branch_size: leaked(size), ..house }.phrases(), None);
    assert_eq!(House { branch_size: "", ..house }.phrases(), None);
}

#[test]
fn an_old_pipe_too_small_is_told_to_be_replaced() {
    let house = House { psi: "44", branch_size: "3/8", branch_status: "existing", ..PLENTY };
    let (_, cheapest, _) = house.phrases().unwrap();
    let Some(SingleChange::RunReplaced { run, size }) = cheapest else { panic!("{cheapest:?}") };
    assert_eq!(run, "A");
    assert_eq!(House { branch_size: leaked(size), branch_status: "new", ..house }.phrases(), None);
}

#[test]
fn a_device_is_told_what_it_may_lose() {
    let house = House { devices: "F1 | M | filter | 4 | 40 |", ..PLENTY };
    let (_, cheapest, others) = house.phrases().unwrap();
    assert_eq!(cheapest, None);
    let device = others.iter().find_map(|change| match change {
        SingleChange::DeviceLoss { psi, .. } => Some(psi.parse::<f64>().unwrap()),
        _ => None,
    });
    let psi = device.unwrap();
    let with = |psi: f64| House { devices: leaked(format!("F1 | M | filter | 4 | {psi:.1} |")), ..house }.phrases();
    assert_eq!(with(psi), None);
    assert!(with(psi + 0.2).is_some());
}

#[test]
fn a_regulator_is_told_what_to_be_set_to() {
    let house = House { devices: "R1 | M | regulator | 20 | 10 | 30", psi: "90", ..PLENTY };
    let (_, cheapest, others) = house.phrases().unwrap();
    assert_eq!(cheapest, None);
    // More pressure before a regulator is no help behind it.
    assert_eq!(house.supply_psi(), None);
    let [SingleChange::RegulatorSet { psi, .. }] = others.as_slice() else { panic!("{others:?}") };
    let psi: f64 = psi.parse().unwrap();
    let with =
        |psi: f64| House { devices: leaked(format!("R1 | M | regulator | 20 | 10 | {psi:.1}")), ..house }.phrases();
    assert_eq!(with(psi), None);
    assert!(with(psi - 0.2).is_some());
}

#[test]
fn where_two_things_are_wrong_no_single_change_is_told() {
    let devices = "R1 | A | regulator | 20 | 10 | 12\nR2 | B | regulator | 20 | 10 | 6";
    let (short, cheapest, others) = House { devices, psi: "90", ..PLENTY }.phrases().unwrap();
    assert_eq!(short.len(), 2);
    assert_eq!((cheapest, others), (None, Vec::new()));
}

#[test]
fn what_mends_it_stands_on_at_a_glance() {
    let house = House { psi: "45", main_size: "1/2", ..PLENTY };
    let priced = job_of_book(&house.text()).price();
    let sheets = tallybore::figure::dump::sheets(&priced.book, "Job");
    let (_, glance) = sheets.into_iter().find(|(name, _)| *name == "At a glance").unwrap();
    let fix = glance.split("## To fix").nth(1).unwrap();
    assert!(fix.contains("A single change that fixes it: Main size 1 in Job"), "{fix}");
}

#[test]
fn pipe_behind_a_main_too_small_makes_up_for_it_as_far_as_it_can() {
    let bid = |main: &str, branches: &str| {
        job(&format!(
            "Job: Supply pressure | 45
            Job: Main size | {main}
            Runs: A | SUPPLY | 150 | Rise ft 10 | Material PEX
            Runs: B | A | 40 | Rise ft 9 | {branches}
            Runs: C | A | 60 | Rise ft 9 | {branches}
            Fixtures: T1 | bathtub | Cold run B
            Fixtures: T2 | bathtub | Cold run C
            Fixtures: W1 | water closet | Cold run C
            Prices: pipe | ft | 0.5 | Material PEX | Size 1/2
            Prices: pipe | ft | 0.8 | Material PEX | Size 3/4
            Prices: pipe | ft | 1.4 | Material PEX | Size 1
            Prices: pipe | ft | 2.4 | Material PEX | Size 1-1/4"
        ))
        .sized()
    };
    let [small, large, larger] = ["3/4", "1", "1-1/4"].map(|main| bid(main, "Bends 0"));
    assert!(small.sizes.search_cost.is_none() && small.sizes.short_psi > 0.0);
    assert!(large.sizes.search_cost < larger.sizes.search_cost);
    assert!(small.sizes.short_psi - 0.01 <= -small.least_spare() && -small.least_spare() <= small.sizes.short_psi);
    // Branches of the largest pipe there is leave it no less short, but for the hundredth that a shortage is found to.
    let largest = bid("3/4", "Size 1-1/4").least_spare();
    assert!(small.least_spare() > largest - 0.01, "{} against {largest}", small.least_spare());
    let larger: Vec<_> = small.findings.iter().filter(|f| f.slug == "larger-than-feeder").collect();
    assert_eq!(larger.len(), 1, "told once: {larger:?}");
    assert!(!larger[0].found.is_empty());
}

#[test]
fn the_money_of_a_change_is_left_out_where_prices_are_missing() {
    let money = |prices: &str| {
        let house = House { psi: "45", main_size: "1/2", ..PLENTY };
        let priced = job_of_book(&format!("{}{prices}", house.text())).price();
        let reported = priced.findings.into_iter().find(tallybore::finding::Finding::is::<NoSizesWill>).unwrap();
        (priced.subjects.water.remedy.unwrap().cheapest.unwrap().1, reported.remedy)
    };
    // Only pipe has a price: tees, rings and supports of either size are in neither sum.
    let (more, words) = money("");
    assert_eq!(more, None);
    assert!(words.contains("prices are missing") && !words.contains('$'), "{words}");
    let sizes = ["1/2", "3/4", "1", "1-1/4"];
    let mut all = String::new();
    for a in sizes {
        for kind in ["ring", "support", "adapter", "coupling", "elbow", "filter", "ball valve", "bend support"] {
            all += &format!("{kind} | | {a} | each | 1 | 1.00\n");
        }
        for b in sizes {
            all += &format!("reducer | PEX | {a} x {b} | each | 1 | 1.00\n");
            all.extend(sizes.map(|c| format!("tee | PEX | {a} x {b} x {c} | each | 1 | 1.00\n")));
        }
    }
    all += "nail plate | | | each | 1 | 1.00\n";
    let (more, words) = money(&all);
    assert!(more.is_some() && words.contains('$'), "{words}");
}
