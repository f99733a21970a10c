//! What is bought is not bought again, and what is in the ground stays as it lies.

use super::against::{reading, reported, revise, rows, table};
use super::command::{GARDEN, sheet, write};
use crate::program::Folder;
use crate::support::job::{Made, job};
use rust_decimal::Decimal;
use tallybore::BoughtLeftOver;

/// A garden line: so many feet of pipe, so many coils of 100 ft bought, at a price.
fn garden(feet: u32, coils: &str) -> Made {
    job(&format!(
        "Job: Supply pressure | 60
        Job: Job name | Garden
        Job: Waste | 0%
        Job: Tax rate | 10%
        Runs: A | SUPPLY | {feet} | Material PEX | Size 3/4
        Fixtures: H | hose bibb | Cold run A
        Prices: pipe | coil | 80 | Material PEX | Size 3/4 | Pack 100{coils}
        Prices: ring | bag | 12 | Material PEX | Size 3/4 | Pack 50
        On hand: pipe | 30 | Material PEX | Size 3/4"
    ))
}

fn line<'a>(priced: &'a tallybore::pipeline::Priced, item: &str) -> &'a tallybore::Line {
    priced.take_off.lines.iter().find(|line| line.item.text() == item).unwrap_or_else(|| panic!("no {item}"))
}

#[test]
fn what_is_bought_is_not_ordered_again() {
    let before = garden(280, "").price();
    let after = garden(280, " | Bought 2").price();
    let feet = |priced, of: fn(&tallybore::Line) -> f64| of(line(priced, "pipe PEX 3/4\""));
    assert_eq!(feet(&before, |line| line.to_buy.value().as_f64()), 251.0);
    // 280 needed and 6 in at both ends, 30 on hand, 200 in two coils.
    assert_eq!(feet(&after, |line| line.to_buy.value().as_f64()), 51.0);
    // The order: 30 ft on hand and so many coils of 100 ft make the 280 ft and the tails.
    let coils = |priced: &tallybore::pipeline::Priced| -> f64 {
        let pipe = priced.take_off.lines.iter().position(|line| line.item.text() == "pipe PEX 3/4\"").unwrap();
        let packs = priced.purchases.packs.iter().filter(|packs| packs.line == pipe);
        packs.map(|packs| packs.packs.value().as_f64()).sum()
    };
    assert_eq!((coils(&before), coils(&after)), (3.0, 1.0));
    let units = rows(&after.book, table(&after.book, "Cut plan", "Sticks and coils"));
    assert_eq!(units.iter().filter(|row| row.iter().any(|cell| cell.starts_with("bought "))).count(), 2, "{units:?}");
    assert_eq!(before.bid.build_up.total.value(), after.bid.build_up.total.value(), "the price is the price");
    // The owner has paid for the coils: what leaves the pocket is the same, only earlier.
    assert_eq!(before.bid.build_up.totals.cash_total.value(), after.bid.build_up.totals.cash_total.value());
    let bought = after.bid.bought.as_ref().unwrap();
    assert_eq!(bought.paid.value().as_f64(), 160.0);
    assert_eq!(bought.returns.value().as_f64() + bought.stock.value().as_f64(), 0.0);
    assert!(before.bid.bought.is_none());
}

#[test]
fn what_a_change_leaves_over_is_returned_or_goes_into_stock_with_its_value() {
    let (old, new) = (reading(&garden(280, " | Bought 4")), reading(&garden(120, " | Bought 4")));
    let revised = revise(&old, &new).unwrap_or_else(|findings| panic!("{}", reported(&findings)));
    // 121 needed with the tails, 30 on hand: 91 of 400 are used; of 309 left over three whole coils go back, and 9 ft stay.
    let bought = revised.priced.bid.bought.as_ref().unwrap();
    assert_eq!(bought.returns.value().as_f64(), 240.0);
    assert_eq!(bought.stock.value().as_f64(), 7.2);
    let book = &revised.priced.book;
    let listed = rows(book, table(book, "Cost build-up", "Bought already"));
    assert_eq!(listed[0][0], "pipe PEX 3/4\"");
    assert_eq!(listed[0][8..13], ["309", "3", "240", "9", "7.2"].map(str::to_owned));
    let words = rows(book, table(book, "Changes", "In words")).concat().join(" ");
    assert!(words.contains("Of what is bought already, $247.20 is left over."), "{words}");
    let differences = crate::support::recalc::recalculate_in_process(&revised.bytes());
    assert!(differences.is_empty(), "{differences:?}");
    let found = revised.priced.findings.iter().find(|finding| finding.is::<BoughtLeftOver>()).unwrap();
    assert_eq!(found.found, "309 ft of pipe PEX 3/4\" that is bought is left over; it cost $247.20.");
    assert!(found.remedy.starts_with("Whole units to take back: 3;"), "{found:?}");
}

#[test]
fn a_row_that_fits_nothing_any_more_is_all_left_over() {
    let mut lines = String::from(
        "Job: Supply pressure | 60
        Runs: A | SUPPLY | 20 | Material PEX | Size 3/4
        Prices: pipe | ft | 0.8 | Material PEX | Size 3/4
        Prices: union joint | each | 5 | Size 3/4 | Bought 3",
    );
    lines += "\n        Prices: pipe | ft | 0.9 | Material PEX | Size 3/4 | Bought 15";
    let priced = job(&lines).price();
    let listed = rows(&priced.book, table(&priced.book, "Cost build-up", "Bought already"));
    assert_eq!((&*listed[0][0], &*listed[0][8], &*listed[0][10]), ("union joint 3/4\"", "3", "15"));
    // Two offers of one thing: the row that was bought counts, wherever the cheaper offer is.
    assert_eq!(
        line(&priced, "pipe PEX 3/4\"").to_buy.value().as_f64(),
        7.05,
        "21 ft with the tails and 5 % waste, less 15"
    );
    let paid = priced.bid.bought.unwrap().paid.value().as_decimal();
    assert_eq!(paid, Some(Decimal::new(2850, 2)));
}

/// Two lavatories far from a weak main; the first run new or in already.
fn cabin(psi: u32, status: &str) -> Made {
    job(&format!(
        "Job: Supply pressure | {psi}
        Job: Job name | Cabin
        Runs: A | SUPPLY | 150 | Material PEX | {status}
        Runs: B | A | 40 | Rise ft 9
        Runs: C | A | 60 | Rise ft 9
        Fixtures: L1 | lavatory | Cold run B
        Fixtures: T1 | bathtub | Cold run B
        Fixtures: W1 | water closet | Cold run C
        Fixtures: K1 | kitchen sink | Cold run C
        Prices: pipe | ft | 0.5 | Material PEX | Size 1/2
        Prices: pipe | ft | 0.8 | Material PEX | Size 3/4
        Prices: pipe | ft | 1.4 | Material PEX | Size 1
        Prices: pipe | ft | 2.4 | Material PEX | Size 1-1/4"
    ))
}

#[test]
fn pipe_that_is_in_keeps_its_size_until_it_is_let_go() {
    let size = |revised: &super::against::Revised, run: &str| revised.new.run(run).unwrap().size.clone();
    let (bid, weak) = (reading(&cabin(60, "Status new")), reading(&cabin(32, "Status new")));
    let let_go = revise(&bid, &weak).unwrap_or_else(|findings| panic!("{}", reported(&findings)));
    let (lay, wants) = (let_go.old.run("A").unwrap().size.clone(), size(&let_go, "A"));
    assert_ne!(lay, wants, "new pipe is sized anew");
    let in_already = reading(&cabin(32, "Status existing"));
    let kept = revise(&bid, &in_already).unwrap_or_else(|findings| panic!("{}", reported(&findings)));
    assert_eq!(size(&kept, "A"), lay);
    let assumed = format!("Run A is in already and has no Size; {} is taken", lay.trim_end_matches('"'));
    assert!(kept.priced.findings.iter().any(|finding| finding.found.starts_with(&assumed)));
    // It is too small now: the revision says what it wants, and what replacing it would cost.
    let [small] = &kept.comparison.installed[..] else { panic!("{:?}", kept.comparison.installed) };
    assert_eq!((&small.run, &small.size), (&"A".to_owned(), &lay));
    assert_eq!(small.wanted, wants);
    // 150 ft of new pipe at least, and the hours to take the old out and lay the new.
    assert!(small.cost > Decimal::from(150), "{small:?}");
    // As the command tells it.
    assert_eq!(kept.found.iter().map(|finding| finding.slug).collect::<Vec<_>>(), ["installed-too-small"]);
    let book = &kept.priced.book;
    let listed = rows(book, table(book, "Changes", "Installed pipe that the changed job wants larger"));
    assert_eq!(listed[0][..3], ["A".to_owned(), lay, wants]);
    // The user's own word goes before everything.
    let mut own = cabin(32, "Status existing");
    let runs = own.kept.sheets.iter_mut().find(|sheet| &*sheet.name == "Runs").unwrap();
    let (row, column) = (3, runs.column_of["Size"]);
    runs.put(row, column, tallybore::model::Raw::Text("1/2".into()), None);
    let own = revise(&bid, &reading(&own)).unwrap_or_else(|findings| panic!("{}", reported(&findings)));
    assert_eq!(size(&own, "A"), "1/2\"");
}

/// The garden line behind a service in two lengths.
pub(super) fn service() -> String {
    let runs = "SV1 | SUPPLY | PEX | | 30\nSV2 | SV1 | PEX | | 12\nM1 | SV2 | PEX | | 6\n";
    let garden = GARDEN.replace("A   | SUPPLY | PEX      | 3/4  | 40", &format!("{runs}A | M1 | PEX | 3/4 | 40"));
    assert_ne!(garden, GARDEN);
    garden.replace("Material | Size | Length ft", "Material | Size | Length ft | Status")
}

/// What nobody prices is in no cost: the finding says so beside the dollars.
#[test]
fn the_cost_of_pipe_without_a_price_is_told_as_more_than_that() {
    let half = tallybore::model::Size::parse("1/2").unwrap();
    let unpriced =
        |made: &mut Made| made.job.prices.retain(|price| price.sizes.get().is_some_and(|sizes| sizes[..] == [half]));
    let (mut bid, mut weak) = (cabin(60, "Size 1/2 | Status existing"), cabin(32, "Size 1/2 | Status existing"));
    [&mut bid, &mut weak].into_iter().for_each(unpriced);
    let revised = revise(&reading(&bid), &reading(&weak)).unwrap_or_else(|findings| panic!("{}", reported(&findings)));
    let told = revised.found.iter().find(|found| found.slug == "installed-too-small").expect("a finding");
    assert!(told.remedy.contains("costs more than $") && told.remedy.contains("without a price"), "{told:?}");
}

#[test]
fn a_main_that_is_in_does_not_grow_by_a_setting() {
    let folder = Folder::empty();
    write(&folder, "service.xlsx", &service());
    folder.done(&["price", "service.xlsx", "--set", "main size=1"]);
    let args = ["--set", "run SV1 Status=existing", "--set", "run SV2 Status=existing", "--set", "main size=1-1/4"];
    folder.done(&[&["revise", "service-bid.xlsx"][..], &args].concat());
    let runs = sheet(&folder, "service-bid-r1.xlsx", "Sizing");
    let head = runs.iter().find(|row| row[0] == "Run").unwrap();
    let size = head.iter().position(|heading| heading == "Size").unwrap();
    let of = |run: &str| runs.iter().find(|row| row[0] == run).unwrap()[size].clone();
    assert_eq!([of("SV1"), of("SV2"), of("M1")], ["1\"", "1\"", "1-1/4\""].map(str::to_owned));
}

#[test]
fn a_stick_that_is_begun_does_not_go_back() {
    // Two lines of 22 and 26 ft, of sticks of 20 ft: 60 ft bought for 48 ft of pipe, tails included, and not one stick whole.
    let priced = job("Job: Supply pressure | 60
        Job: Waste | 0%
        Runs: A | SUPPLY | 21 | Material PEX | Size 1 | Joints allowed
        Runs: B | A | 25 | Size 1 | Joints allowed
        Fixtures: L | hose bibb | Cold run B
        Job: Form | stick
        Job: Shortest joined piece | 24
        Prices: coupling | each | 2.92 | Material PEX | Size 1
        Prices: pipe | stick | 12 | Material PEX | Size 1 | Pack 20 | Bought 3")
    .price();
    let listed = rows(&priced.book, table(&priced.book, "Cost build-up", "Bought already"));
    let pipe = listed.iter().find(|row| row[0] == "pipe PEX 1\"").unwrap();
    assert_eq!((&*pipe[8], &*pipe[9]), ("12", "0"), "{pipe:?}");
}
