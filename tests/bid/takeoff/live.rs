//! A finished bid changed by hand: another engine recalculates it, and what it shows is what pricing the same change gives,
//! the choices held.

use crate::support::job::{Made, demonstration, job};
use crate::support::recalc::{Held, Lent, Open, Shelf};
use rust_decimal::Decimal;
use std::sync::LazyLock;
use tallybore::figure::{Book, Term, address::addresses};
use tallybore::model::{Field, Job, Raw, Setting, SettingValue, Size};
use tallybore::pipeline::{self, Options, Priced};
use tallybore::place::Place;
use tallybore::read;

/// A finished bid, and the job read back out of it with the choices it carries.
pub(super) struct Finished {
    bid: Shelf,
    pub(super) priced: Priced,
    pub(super) again: Made,
}

/// The bid of the demonstration house, as all tests here share it.
pub(super) fn house() -> &'static Finished {
    static HOUSE: LazyLock<Finished> = LazyLock::new(|| Finished::of(&demonstration("prairie-house")));
    &HOUSE
}

/// The bid of the job of [`bath_job`].
pub(super) fn bath() -> &'static Finished {
    static BATH: LazyLock<Finished> = LazyLock::new(|| Finished::of(&bath_job()));
    &BATH
}

impl Finished {
    pub(super) fn of(made: &Made) -> Self {
        let priced = made.price();
        let bytes = made.bid_of(&priced);
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("bid.xlsx");
        std::fs::write(&path, &bytes).unwrap();
        let reading = read::open(&path);
        assert!(reading.job.is_bid && !reading.job.saved.is_empty());
        let again = Made { job: reading.job, kept: reading.book, rule_files: Vec::new() };
        Self { bid: Shelf::of(bytes), priced, again }
    }

    pub(super) fn run(&self, name: &str) -> usize {
        self.again.job.runs.iter().position(|run| &*run.name.value == name).unwrap()
    }

    /// The same change made twice: typed into the bid and recalculated, and priced anew with the choices held. The totals
    /// and hours must be alike to the cent; gives both sides for a closer look.
    pub(super) fn changed(&self, changes: &[(&str, &str)]) -> (Lent<'_>, Priced) {
        self.retyped(&format!("{changes:?}"), |job, open| {
            for (run, size) in changes {
                let run = &mut job.runs[self.run(run)];
                let place = run.size.cell.clone().expect("the bid has a Size column");
                open.type_in(&place, size);
                run.size = Field { value: Size::parse(size), raw: Raw::Text((*size).into()), cell: Some(place) }.into();
            }
        })
    }

    /// The same of a number in Job.
    fn with_setting(&self, setting: Setting, number: &str) -> (Lent<'_>, Priced) {
        self.retyped(&format!("{} {number}", setting.name()), |job, open| {
            let field = job.settings.get_mut(&setting).expect("the bid's Job sheet has it");
            open.type_in(field.cell.as_ref().unwrap(), number);
            let number = number.parse::<Decimal>().unwrap();
            (field.value, field.raw) = (Some(SettingValue::Number(number)), Raw::Number(number));
        })
    }

    /// The same of what a run rises, ft.
    fn with_rise(&self, run: &str, feet: &str) -> (Lent<'_>, Priced) {
        self.retyped(&format!("{run} rises {feet}"), |job, open| {
            let run = &mut job.runs[self.run(run)];
            let place = run.rise_ft.cell.clone().unwrap();
            open.type_in(&place, feet);
            let number = feet.parse::<Decimal>().unwrap();
            run.rise_ft = Field { value: Some(number), raw: Raw::Number(number), cell: Some(place) }.into();
        })
    }

    /// The same of how long a run is, ft.
    fn with_length(&self, run: &str, feet: &str) -> (Lent<'_>, Priced) {
        self.retyped(&format!("{run} is {feet} long"), |job, open| {
            let run = &mut job.runs[self.run(run)];
            let place = run.length_ft.cell.clone().unwrap();
            open.type_in(&place, feet);
            let number = feet.parse::<Decimal>().unwrap();
            run.length_ft = Field { value: Some(number), raw: Raw::Number(number), cell: Some(place) }.into();
        })
    }

    pub(super) fn retyped(&self, changes: &str, change: impl FnOnce(&mut Job, &mut Open)) -> (Lent<'_>, Priced) {
        let mut open = self.bid.open();
        let mut job = self.again.job.clone();
        change(&mut job, &mut open);
        open.recalculate();
        let options = Options { hold: true, ..Options::default() };
        let held = pipeline::price(&job, &self.again.kept, &[], &options);
        let held = held.unwrap_or_else(|findings| panic!("{changes}: {findings:?}"));
        for line in &held.take_off.lines {
            let (item, priced) = (line.item.text(), line.needed.value().as_f64());
            match self.priced.take_off.lines.iter().any(|own| own.item == line.item) {
                true => {
                    let shown = self.shown(&open, &item);
                    assert!((shown - priced).abs() < 1e-6, "{changes}: {item} shows {shown}, priced {priced}");
                }
                // What has no line in the bid may have no price either: its money would be missing there.
                false => assert!(priced == 0.0 || !is_priced(&held, &item), "{changes}: {item} has no line"),
            }
        }
        for (what, here, there) in [
            ("total", &self.priced.bid.build_up.total, &held.bid.build_up.total),
            ("hours", &self.priced.labor.total, &held.labor.total),
            ("number of items without a price", &self.priced.bid.build_up.unpriced, &held.bid.build_up.unpriced),
        ] {
            let Held::Number(shown) = open.value(&place(&self.priced.book, here)) else {
                panic!("{what} is no number")
            };
            let priced = there.value().as_f64();
            assert!((shown - priced).abs() < 0.005, "{changes}: the {what} shown is {shown}, priced {priced}");
        }
        (open, held)
    }

    /// The same changes typed into the bid alone: what stands on the Bid sheet then.
    pub(super) fn typed_over(&self, changes: &[(Place, &str)]) -> Vec<String> {
        let mut open = self.bid.open();
        changes.iter().for_each(|(place, words)| open.type_in(place, words));
        open.recalculate();
        (0..120).map(|row| open.value(&Place::new("Bid", row, 0)).to_string()).collect()
    }

    /// What a line of the bid shows as needed.
    fn shown(&self, open: &Open, item: &str) -> f64 {
        let line = self.priced.take_off.lines.iter().find(|line| line.item.text() == item);
        let line = line.unwrap_or_else(|| panic!("no line {item}"));
        match open.value(&place(&self.priced.book, &line.needed)) {
            Held::Number(number) => number,
            other => panic!("{item} shows {other}"),
        }
    }

    fn where_shown(&self, open: &Open, item: &str) -> String {
        let line = self.priced.take_off.lines.iter().find(|line| line.item.text() == item).unwrap();
        open.value(&place(&self.priced.book, &line.places)).to_string()
    }
}

fn place(book: &Book, term: &Term) -> Place {
    addresses(book).place(book, term.fig().expect("it stands in a cell"))
}

fn is_priced(priced: &Priced, item: &str) -> bool {
    priced.bid.lines.iter().any(|line| line.priced && priced.take_off.lines[line.line].item.text() == item)
}

fn needed(priced: &Priced, item: &str) -> f64 {
    let line = priced.take_off.lines.iter().find(|line| line.item.text() == item);
    line.map_or(0.0, |line| line.needed.value().as_f64())
}

#[test]
fn a_changed_size_moves_feet_fittings_and_cost() {
    let bid = house();
    let c2 = bid.priced.network.find("C2").unwrap();
    let before = bid.priced.subjects.water.sizes[c2].unwrap().to_string();
    let after = if before == "1" { "3/4" } else { "1" };
    let (open, held) = bid.changed(&[("C2", after)]);
    // The run's 10 ft and its tails of 6 in, waste and all, go from one line to the other; its tees, rings and supports
    // with them. A tee with a reducer more or less moves a nipple of 4 in.
    let moved = |item: &str| bid.shown(&open, item) - needed(&bid.priced, item);
    let nipples = 2.0 * 0.33 * 1.05;
    let [gone, come] = [before.as_str(), after].map(|size| moved(&format!("pipe PEX {size}\"")));
    assert!((gone + 11.55).abs() < nipples + 0.011, "{gone}");
    assert!((come - 11.55).abs() < nipples + 0.011, "{come}");
    assert!(moved(&format!("ring PEX {after}\"")) > 0.0 && moved(&format!("ring PEX {before}\"")) < 0.0);
    assert!(moved(&format!("support PEX {after}\"")) > 0.0 && moved(&format!("support PEX {before}\"")) < 0.0);
    let tees = bid.priced.take_off.lines.iter().filter(|line| line.item.kind == "tee");
    assert!(tees.filter(|line| moved(&line.item.text()) != 0.0).count() >= 2, "the tees at both its ends change");
    // Line by line the bid shows what pricing the change gives.
    for line in &bid.priced.take_off.lines {
        let item = line.item.text();
        assert!((bid.shown(&open, &item) - needed(&held, &item)).abs() < 1e-6, "{item}");
    }
    // Words cannot follow; where they would be wrong they say so.
    assert_eq!(bid.where_shown(&open, &format!("pipe PEX {after}\"")), "\"see Counts\"");
    assert_eq!(bid.where_shown(&open, "tee PEX 1/2\" x 3/8\" x 3/8\""), "\"\"");
    assert!(bid.where_shown(&open, "stub-out PEX 1/2\" crimp x copper pipe").starts_with("\"WC1, LA1, WC2"));
    assert_ne!(bid.priced.bid.build_up.total.value(), held.bid.build_up.total.value());
}

/// What is in already is not bought again, whatever size somebody then types for it: the cash follows as pricing has it. At
/// 1 in the bend supports of a coil are elbows, with rings.
#[test]
fn a_changed_size_of_pipe_that_is_in_buys_nothing_new() {
    let mut made = bath_job();
    let run = made.job.runs.iter_mut().find(|run| &*run.name.value == "H").unwrap();
    run.status.value = Some(tallybore::model::Status::Installed);
    let cell = run.status.cell.clone().unwrap();
    let sheet = made.kept.sheets.iter_mut().find(|sheet| &*sheet.name == "Runs").unwrap();
    sheet.put(cell.row, cell.column, Raw::Text("installed".into()), None);
    let bid = Finished::of(&made);
    let at = bid.priced.network.find("H").unwrap();
    let before = bid.priced.subjects.water.sizes[at].unwrap().to_string();
    let (open, held) = bid.changed(&[("H", if before == "1" { "3/4" } else { "1" })]);
    let cash = |priced: &Priced| priced.bid.build_up.totals.cash_total.clone();
    let Held::Number(shown) = open.value(&place(&bid.priced.book, &cash(&bid.priced))) else { panic!("no cash") };
    let priced = cash(&held).value().as_f64();
    assert!((shown - priced).abs() < 0.005, "the cash shown is {shown}, priced {priced}");
}

/// Runs all over the house, one size after another; then several at once, sizes nobody has priced among them.
#[test]
fn any_size_of_any_run_gives_the_total_that_pricing_it_gives() {
    let bid = house();
    let open: Vec<String> = bid
        .again
        .job
        .runs
        .iter()
        .filter(|run| run.status.value.is_none() && &*run.from.value != "SUPPLY")
        .map(|run| run.name.value.to_string())
        .collect();
    for (at, run) in open.iter().enumerate().step_by(20) {
        bid.changed(&[(run, ["1/2", "3/4", "1", "1-1/4", "3/8"][at % 5])]);
    }
    bid.changed(&[("C1", "3/4"), ("AC1", "1"), ("H2", "1/2"), ("SV2", "1")]);
    bid.changed(&[("M1", "2"), ("C3", "1-1/2"), ("LA1C", "3/8")]);
    bid.changed(&[("SV1", "1"), ("OG1", "1/2")]);
}

/// A small job with a bath, a manifold and a filter, pipe and fittings priced in every size that its runs may be given.
fn bath_job() -> Made {
    let prices: String = [
        ("pipe", "3/8", "0.40"),
        ("pipe", "1/2", "0.45"),
        ("pipe", "3/4", "0.80"),
        ("pipe", "1", "1.40"),
        ("elbow", "1/2", "0.98"),
        ("elbow", "1", "4.30"),
        ("bend support", "1/2", "0.95"),
        ("bend support", "3/4", "1.60"),
        ("tee", "1 x 1 x 1", "5.90"),
        ("tee", "3/4 x 3/4 x 3/4", "2.75"),
        ("tee", "3/4 x 3/4 x 1/2", "2.92"),
        ("reducer", "1 x 3/4", "2.90"),
        ("reducer", "1 x 1/2", "3.05"),
        ("reducer", "3/4 x 1/2", "1.30"),
        ("reducer", "1/2 x 3/8", "0.95"),
        ("ring", "3/8", "0.20"),
        ("ring", "1/2", "0.22"),
        ("ring", "3/4", "0.34"),
        ("ring", "1", "0.62"),
        ("manifold port", "3/8", "6.90"),
        ("manifold port", "1/2", "7.20"),
        ("manifold port", "3/4", "11.40"),
        ("adapter", "3/4", "5.20"),
        ("adapter", "1", "9.60"),
        ("ball valve", "1/2", "12.80"),
        ("ball valve", "3/4", "17.40"),
        ("ball valve", "1", "28.60"),
        ("nail plate", "", "0.62"),
        ("support", "1/2", "0.19"),
        ("support", "3/4", "0.27"),
    ]
    .iter()
    .map(|(kind, size, price)| match *size {
        "" => format!("Prices: {kind} | each | {price}\n"),
        size => format!("Prices: {kind} | each | {price} | Material PEX | Size {size}\n"),
    })
    .collect();
    job(&format!(
        "Job: Shutoff valves | per fixture
        Job: Form | coil
        Job: Insulate | hot
        Job: Supply pressure | 70
        Job: Labor rate | 50
        Runs: S | SUPPLY | 14 | Where crawl space | Bends 1
        Runs: M | S | 6 | Where inside wall | Bends 2 | Rise ft 3
        Runs: P1 | M | 20 | Where inside wall | Bends 2
        Runs: P2 | M | 22 | Where inside wall | Bends 1
        Runs: H | S | 9 | Where inside wall | Bends 3
        Runs: H1 | H | 12 | Where inside wall | Bends 1 | Rise ft 2
        Runs: H2 | H | 15 | Where inside wall | Bends 1
        Fixtures: T | bathtub | Cold run P1 | Hot run H1 | Group full bath A
        Fixtures: L | lavatory | Cold run P2 | Hot run H2 | Group full bath A | Count 2
        Devices: MAN | M | manifold | Size 1 | Ports 6
        Devices: WH | H | tank heater | Size 3/4
        Devices: F | S | filter | Rated gpm 20 | Loss psi 2
        {prices}"
    ))
}

#[test]
fn policies_forms_and_manifolds_are_live_too() {
    let bid = bath();
    // Every run in another size, every size on a run at least; then two runs at a time.
    let sizes = ["3/8", "1/2", "3/4", "1", "1-1/4"];
    let runs = ["S", "M", "P1", "P2", "H", "H1", "H2"];
    for (at, run) in runs.into_iter().enumerate() {
        bid.changed(&[(run, sizes[at % 5])]);
    }
    for at in (0..runs.len() - 1).step_by(2) {
        bid.changed(&[(runs[at], sizes[(at + 2) % 5]), (runs[at + 1], sizes[(at + 3) % 5])]);
    }
    // A coil of 1 in is not swept: bend supports become elbows, with their rings.
    let (open, _) = bid.changed(&[("H", "1")]);
    assert!(bid.shown(&open, "elbow PEX 1\"") >= 3.0);
    // A stud's hole for 3/4 asks for plates, that for 1/2 does not.
    let plates = |size: &str| {
        bid.shown(&bid.changed(&[("H", size), ("H1", "1/2"), ("H2", "1/2"), ("M", "1/2")]).0, "nail plate")
    };
    assert_eq!((plates("1/2"), plates("3/4")), (0.0, 14.0));
    let zero = Decimal::ZERO;
    assert!(bid.priced.bid.build_up.total.value().as_decimal().unwrap() > zero);
}

#[test]
fn studs_frost_and_height_are_live() {
    let made = job("Job: Stud depth | 3.5
        Job: Stud spacing | 16
        Job: Design low | -10
        Job: Hose bibb shutoffs | where it freezes
        Runs: A | SUPPLY | 12 | Size 3/4 | Rise ft 2 | Where inside wall
        Fixtures: HB | hose bibb | Cold run A | Count 2
        Prices: nail plate | each | 0.62
        Prices: stop and waste valve | each | 14.30 | Size 1/2
        Prices: support | each | 0.27 | Size 3/4");
    let bid = Finished::of(&made);
    let shown = |(open, _): (Lent<'_>, Priced)| {
        ["nail plate", "stop and waste valve 1/2\" crimp", "support PEX 3/4\""].map(|item| bid.shown(&open, item))
    };
    // 10 ft level pass 7.5, so 8 studs, two plates each. Their holes hold the pipe; at the start it has a support.
    assert_eq!(shown(bid.with_setting(Setting::StudDepth, "3.5")), [16.0, 2.0, 1.0]);
    assert_eq!(shown(bid.with_setting(Setting::StudDepth, "5.5")), [0.0, 2.0, 1.0]);
    assert_eq!(shown(bid.with_setting(Setting::StudSpacing, "24")), [10.0, 2.0, 1.0]);
    // Studs 36 in apart are too far for pipe that wants a support every 32: 4 spaces, 3.33 so 4 studs.
    assert_eq!(shown(bid.with_setting(Setting::StudSpacing, "36")), [8.0, 2.0, 5.0]);
    assert_eq!(shown(bid.with_setting(Setting::DesignLow, "33")), [16.0, 0.0, 1.0]);
    // Of 12 ft, 9 upright: 36 in of stud wall make 2.25, so 3 studs; of the 9 ft one space of 5 is filled.
    assert_eq!(shown(bid.with_rise("A", "9")), [6.0, 2.0, 2.0]);
}

/// C2 is 10 ft in the crawl space: three feet more are three feet more there, at the hours of the crawl space, and nowhere
/// else.
#[test]
fn a_changed_length_moves_the_hours_of_its_own_place() {
    let bid = house();
    let (open, held) = bid.with_length("C2", "13");
    let size = bid.priced.subjects.water.sizes[bid.priced.network.find("C2").unwrap()].unwrap().to_string();
    let (before, after) = (hours(&bid.priced), hours(&held));
    let moved: Vec<_> = before.iter().zip(&after).filter(|(before, after)| before.1 != after.1).collect();
    assert!(moved.iter().all(|(row, _)| row.0[2].starts_with("crawl space")), "{moved:?}");
    let run = moved.iter().find(|(row, _)| row.0[0] == format!("run PEX {size}")).unwrap();
    let one: Decimal = run.0.0[3].parse().unwrap();
    assert_eq!(run.1.1 - run.0.1, (one * Decimal::from(3) * Decimal::new(13, 1)).round_dp(4));
    // The finished bid, recalculated, shows each row as pricing the change has it.
    for (row, place) in after.iter().zip(places(&bid.priced)) {
        let Held::Number(shown) = open.value(&place) else { panic!("{row:?} shows no number") };
        assert!((shown - row.1.to_string().parse::<f64>().unwrap()).abs() < 1e-6, "{row:?}: {shown}");
    }
}

/// A factor typed over on the Rules sheet of the finished bid does what the same factor does in a table of the user's.
#[test]
fn a_factor_changed_in_the_bid_moves_the_hours() {
    let bid = house();
    let book = &bid.priced.book;
    let rules = book.sheets().iter().find(|sheet| &*sheet.name == "Rules").unwrap();
    let tables = rules.blocks.iter().filter_map(|block| match block {
        tallybore::figure::Block::Table(table) => Some(*table),
        _ => None,
    });
    let table =
        tables.into_iter().find(|table| book.table_spec(*table).title.starts_with("What makes work slower")).unwrap();
    let is_crawl =
        |row: &u32| *book.value(book.cell_at(table, *row, 0).unwrap()) == tallybore::figure::Value::text("crawl space");
    let row = (0..book.table_spec(table).rows).find(is_crawl).unwrap();
    let mut open = bid.bid.open();
    open.type_in(&addresses(book).place(book, book.cell_at(table, row, 3).unwrap()), "2");
    open.recalculate();
    let file = tallybore::rules::RuleFile {
        name: "labor_conditions.csv".into(),
        text: "place,factor\ncrawl space,2\n".to_owned(),
    };
    let options = Options { hold: true, rule_files: vec![file], ..Options::default() };
    let held = pipeline::price(&bid.again.job, &bid.again.kept, &[], &options).unwrap_or_else(|f| panic!("{f:?}"));
    for (here, there) in
        [(&bid.priced.labor.total, &held.labor.total), (&bid.priced.bid.build_up.total, &held.bid.build_up.total)]
    {
        let Held::Number(shown) = open.value(&place(book, here)) else { panic!("no number") };
        assert!((shown - there.value().as_f64()).abs() < 0.005, "{shown} {there:?}");
        assert!(shown > here.value().as_f64() + 1.0);
    }
}

/// Task, phase, how it lies and hours for one, and the hours, of every row.
fn hours(priced: &Priced) -> Vec<([String; 4], Decimal)> {
    let (book, table) = (&priced.book, hours_table(&priced.book));
    let text = |row: u32, column: u16| book.cell_at(table, row, column).map(|fig| book.value(fig).to_string());
    (0..book.table_spec(table).rows)
        .map(|row| {
            let key = [0, 1, 2, 6].map(|column| text(row, column).unwrap_or_default());
            (key, text(row, 8).unwrap_or_default().parse().unwrap_or_default())
        })
        .collect()
}

/// Where the hours of each row stand.
fn places(priced: &Priced) -> Vec<Place> {
    let (book, table) = (&priced.book, hours_table(&priced.book));
    let addresses = addresses(book);
    (0..book.table_spec(table).rows).map(|row| addresses.place(book, book.cell_at(table, row, 8).unwrap())).collect()
}

fn hours_table(book: &Book) -> tallybore::figure::TableId {
    let sheet = book.sheets().iter().find(|sheet| &*sheet.name == "Hours").unwrap();
    let first = sheet.blocks.iter().find_map(|block| match block {
        tallybore::figure::Block::Table(table) => Some(*table),
        _ => None,
    });
    first.unwrap()
}

/// A valve without a Size, priced in three; a regulator priced in one that the run may not have.
const UNSIZED_VALVE: &str = "
    Job: Supply pressure | 60
    Fixtures: L1 | lavatory | Cold run B
    Runs: A | SUPPLY | 20
    Runs: B | A | 10
    Devices: V1 | A | shutoff valve
    Prices: pipe | coil | 48.50 | Material PEX | Size 1/2 | Pack 100
    Prices: pipe | coil | 88 | Material PEX | Size 3/4 | Pack 100
    Prices: pipe | coil | 151 | Material PEX | Size 1 | Pack 100
    Prices: ball valve | each | 11 | Size 1/2
    Prices: shutoff valve | each | 12 | Size 1/2
    Prices: shutoff valve | each | 17 | Size 3/4
    Prices: shutoff valve | each | 29 | Size 1
";

#[test]
fn a_device_without_a_size_is_of_its_runs_and_moves_with_it() {
    let finished = Finished::of(&job(UNSIZED_VALVE));
    let valves = |priced: &Priced| -> Vec<String> {
        let valve = |line: &&tallybore::Line| line.item.kind == "shutoff valve" && line.needed.value().as_f64() > 0.0;
        priced.take_off.lines.iter().filter(valve).map(|line| line.item.text()).collect()
    };
    let chosen = finished.priced.subjects.water.sizes[0].unwrap();
    assert_eq!(valves(&finished.priced), [format!("shutoff valve {}", chosen.key())]);
    let line = |priced: &Priced| {
        priced.bid.lines.iter().all(|line| {
            priced.take_off.lines[line.line].item.kind != "shutoff valve"
                || line.priced
                || line.amount.value().is_zero()
        })
    };
    assert!(line(&finished.priced), "the valve has its price");
    for size in ["1/2", "3/4", "1"] {
        let (_, priced) = finished.changed(&[("A", size)]);
        assert_eq!(valves(&priced), [format!("shutoff valve {size}\"")]);
    }
}

#[test]
fn what_stands_on_a_tee_is_of_its_own_kinds_size() {
    let lines = UNSIZED_VALVE.replace("Devices: V1 | A | shutoff valve", "Devices: E1 | A | expansion tank");
    let priced = job(&lines).price();
    let tank = priced.take_off.lines.iter().find(|line| line.item.kind == "expansion tank").unwrap();
    assert_eq!(tank.item.text(), "expansion tank 3/4\"");
}
