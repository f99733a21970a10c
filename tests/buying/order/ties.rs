//! Orders against the bid: need = on hand + bought already + ordered - left over, and split orders make the whole.

use crate::program::Folder;
use crate::support::job::{Made, Shown, job, shown};
use crate::support::plan::plan;
use calamine::{Data, Reader, Xlsx};
use proptest::prelude::*;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::BufReader;
use tallybore::model::order_form::LineKey;
use tallybore::model::{Field, Phase, Raw};
use tallybore::pipeline::Priced;
use tallybore::rules::Item;
use tallybore::{Order, Orders};

fn orders(made: &Made, priced: &Priced, phases: &[Phase], by_phase: bool) -> Orders {
    priced.orders(&made.job, phases, by_phase, false).unwrap_or_else(|faults| panic!("{faults:?}")).0
}

/// Units of each line by supplier and key, whatever the phase of the order.
fn ordered(orders: &Orders) -> BTreeMap<(Option<String>, LineKey), Decimal> {
    let mut all = BTreeMap::new();
    for order in &orders.orders {
        for line in &order.lines {
            let key = (order.supplier.as_deref().map(str::to_owned), line.key.clone());
            *all.entry(key).or_insert(Decimal::ZERO) += line.quantity;
        }
    }
    all
}

/// What every set of orders must keep to.
fn sound(orders: &Orders) {
    for order in &orders.orders {
        let keys: BTreeSet<&LineKey> = order.lines.iter().map(|line| &line.key).collect();
        assert_eq!(keys.len(), order.lines.len(), "keys are unlike each other");
        assert!(order.book.defects().is_empty());
        assert!(order.lines.is_sorted_by_key(|line| line.quote), "what is asked for stands last");
        for line in &order.lines {
            assert!(line.quantity > Decimal::ZERO && line.quantity.fract().is_zero(), "{line:?}");
            assert_eq!(line.needed_for.iter().map(|(_, count)| *count).sum::<Decimal>(), line.quantity);
            assert_eq!(LineKey::parse(&line.key.to_string()).as_ref(), Some(&line.key));
            assert!(line.quote || line.price.is_some() || !line.fixtures.is_empty());
        }
    }
}

/// Item by item: what is there and what is ordered is what is wanted and what is left over.
fn ties(priced: &Priced, orders: &Orders) {
    let number = |term: &tallybore::figure::Term| term.value().as_decimal().unwrap();
    for line in &priced.purchases.lines {
        let of_line = |order: &Order, quote: bool| -> Decimal {
            let own = order.lines.iter().filter(|of| of.line == Some(line.line) && of.quote == quote);
            own.map(|of| of.quantity * of.pack).sum()
        };
        let bought: Decimal = orders.orders.iter().map(|order| of_line(order, false)).sum();
        // The same things are asked for in each order; none of them is ordered.
        let asked = orders.orders.iter().map(|order| of_line(order, true)).max().unwrap_or_default();
        let item = priced.take_off.lines[line.line].item.text();
        let (wanted, on_hand, left) = (number(&line.wanted), number(&line.on_hand), number(&line.left));
        assert!((wanted - (on_hand + bought - left)).abs() < Decimal::new(1, 6), "{item}: {line:?}, {bought}");
        // Whatever is not covered by what is ordered is asked for: the need to the foot or piece, and no more than that.
        let open = wanted - on_hand - bought;
        match asked.is_zero() {
            true => assert!(open < Decimal::new(1, 6), "{item}: {open} missing"),
            // Pipe is asked for run by run: what is left of other runs' sticks does not serve them.
            false => assert!(asked + Decimal::new(1, 6) >= open && asked >= Decimal::ONE, "{item}: {asked} for {open}"),
        }
        if bought.is_zero() && open > Decimal::ZERO && !priced.take_off.lines[line.line].feet {
            assert_eq!(asked, open.round_dp(6).ceil(), "{item}");
        }
    }
    // And nothing is ordered that is not bought.
    let lines: BTreeSet<usize> = priced.purchases.lines.iter().map(|line| line.line).collect();
    for order in &orders.orders {
        assert!(order.lines.iter().filter_map(|line| line.line).all(|line| lines.contains(&line)));
    }
    let all: Decimal =
        orders.orders.iter().flat_map(|o| &o.lines).filter(|l| !l.quote && l.line.is_some()).map(|l| l.quantity).sum();
    let packs: Decimal = priced.purchases.packs.iter().map(|pack| number(&pack.packs)).sum();
    assert_eq!(all, packs, "Units ordered are the packs bought");
}

#[test]
fn orders_of_the_demonstration_books_tie_to_what_is_bought() {
    for name in ["prairie-house", "corner-bakery"] {
        let Shown { made, priced, .. } = shown(name);
        let whole = orders(made, priced, &[], false);
        assert_eq!(whole.orders.len(), 2, "{name}");
        sound(&whole);
        ties(priced, &whole);
        let split = orders(made, priced, &[], true);
        sound(&split);
        assert_eq!(ordered(&split), ordered(&whole), "{name}");
        assert!(split.orders.len() >= 6, "{name}");
        // As given: each phase by --phase alone is what --by-phase has of it.
        for phase in Phase::ALL {
            let alone = ordered(&orders(made, priced, &[phase], false));
            let of_split = Orders {
                orders: orders(made, priced, &[], true).orders.into_iter().filter(|o| o.phases == [phase]).collect(),
            };
            assert_eq!(alone, ordered(&of_split), "{name} {}", phase.word());
        }
    }
}

/// The files themselves, read with other readers: the bid's Buying sheet against the CSV of the orders.
#[test]
fn files_of_orders_tie_to_the_file_of_the_bid() {
    let folder = Folder::with_books();
    for book in ["house", "bakery"] {
        folder.done(&["price", &format!("{book}.xlsx")]);
        folder.done(&["order", &format!("{book}.xlsx")]);
        // Feet or pieces by item, told by the keys of the lines.
        let mut ordered: BTreeMap<String, f64> = BTreeMap::new();
        let mut rows = 0;
        for name in folder.names().iter().filter(|n| n.starts_with(&format!("{book}-order-")) && n.ends_with(".csv")) {
            let mut reader = csv::Reader::from_path(folder.path(name)).unwrap();
            let headings = reader.headers().unwrap().clone();
            let at = |name: &str| headings.iter().position(|heading| heading == name).unwrap();
            for record in reader.records() {
                let record = record.unwrap();
                let key = LineKey::parse(&record[at("Line")]).unwrap();
                // Fixtures of the Fixtures sheet are on no line of Buying.
                if key.material.starts_with("Brookfern") {
                    continue;
                }
                let item = Item::new(&key.kind, &key.material, &key.sizes).with_ends(&key.ends).text();
                let units: f64 = record[at("Quantity")].parse().unwrap();
                *ordered.entry(item).or_default() += units * key.pack.to_string().parse::<f64>().unwrap();
                rows += 1;
            }
        }
        assert!(rows > 60, "{book}: {rows}");
        let bid = folder.names().into_iter().find(|name| name.starts_with(&format!("{book}-bid"))).unwrap();
        let mut bid: Xlsx<BufReader<File>> = calamine::open_workbook(folder.path(&bid)).unwrap();
        let sheet = bid.worksheet_range("Buying").unwrap();
        let rows: Vec<&[Data]> = sheet.rows().collect();
        let title = rows.iter().position(|row| row[0] == "Line by line").unwrap();
        let column = |name: &str| rows[title + 1].iter().position(|cell| cell.to_string().starts_with(name)).unwrap();
        let mut seen = 0;
        for row in rows[title + 2..].iter().take_while(|row| row[0] != Data::Empty) {
            let of = |name: &str| row[column(name)].to_string().parse::<f64>().unwrap_or(0.0);
            let need = of("Needed") + of("Spares");
            let got = ordered.remove(&row[0].to_string()).unwrap_or(0.0);
            assert!((need - (of("On hand") + got - of("Left over"))).abs() < 0.006, "{book}: {row:?}: {got}");
            seen += 1;
        }
        assert!(seen > 50, "{book}: {seen}");
        assert!(ordered.is_empty(), "{book}: ordered, and on no line: {ordered:?}");
    }
}

/// Three suppliers or none, four phases, packs of several sizes over a random plan.
fn mixed() -> impl Strategy<Value = (crate::support::plan::Plan, Vec<usize>, Vec<usize>, Vec<u32>, bool)> {
    let suppliers = prop::collection::vec(0..4usize, 80);
    let phases = prop::collection::vec(0..5usize, 9);
    let packs = prop::collection::vec(prop::sample::select(vec![1u32, 1, 4, 10, 25]), 80);
    (plan(), suppliers, phases, packs, any::<bool>())
}

const SUPPLIERS: [Option<&str>; 4] = [None, Some("Quillmoor Supply"), Some("quillmoor  SUPPLY"), Some("Stenvik Yard")];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn split_orders_make_the_whole_and_tie_to_the_need((plan, suppliers, phases, packs, by_water) in mixed()) {
        let mut made = plan.made();
        for (at, price) in made.job.prices.iter_mut().enumerate() {
            let value = SUPPLIERS[suppliers[at % suppliers.len()]].map(Into::into);
            price.supplier = Field { value, raw: Raw::Blank, cell: None }.into();
            if &*price.kind.value != "pipe" {
                let pack = packs[at % packs.len()].into();
                price.pack = price.pack.holding(Some(pack), Raw::Number(pack));
            }
        }
        for (run, phase) in made.job.runs.iter_mut().zip(phases) {
            let value = Phase::ALL.get(phase).map(|phase| phase.word().into());
            run.phase = Field { value, raw: Raw::Blank, cell: None }.into();
        }
        if by_water {
            let setting = tallybore::model::Setting::PipeColor;
            let value = Some(tallybore::model::SettingValue::Text("by water".into()));
            made.job.settings.insert(setting, Field { value, raw: Raw::Blank, cell: None });
        }
        let Ok(priced) = tallybore::pipeline::price(&made.job, &made.kept, &[], &tallybore::pipeline::Options::default()) else {
            return Ok(());
        };
        let whole = orders(&made, &priced, &[], false);
        sound(&whole);
        ties(&priced, &whole);
        let split = orders(&made, &priced, &[], true);
        sound(&split);
        prop_assert_eq!(ordered(&split), ordered(&whole));
        // Two phases and the other two make the whole as well.
        let early = ordered(&orders(&made, &priced, &[Phase::Underground, Phase::RoughIn], false));
        let late = ordered(&orders(&made, &priced, &[Phase::Trim, Phase::Test], false));
        let mut both = early;
        for (key, count) in late {
            *both.entry(key).or_insert(Decimal::ZERO) += count;
        }
        prop_assert_eq!(both, ordered(&whole));
        // One spelling of a supplier, one order.
        let names: BTreeSet<_> = whole.orders.iter().map(|o| o.supplier_name().to_lowercase()).collect();
        prop_assert_eq!(names.len(), whole.orders.len());
    }
}

/// A house of two phases, packs that both need, and things nobody offers.
pub const COTTAGE: &str = "Job: Order number | C-1
    Job: Tail allowance | 0
    Job: Site | 3 Fen Road
    Runs: S | SUPPLY | 30 | Material PE | Size 1 | Where buried
    Runs: U | S | 8 | Size 1/2 | Phase underground
    Runs: C1 | S | 9 | Size 1/2
    Runs: C2 | S | 7 | Size 1/2
    Fixtures: HB | hose bibb | Cold run U
    Fixtures: L | lavatory | Cold run C1
    Fixtures: K | kitchen sink | Cold run C2
    Prices: pipe | stick | 10 | Material PEX | Size 1/2 | Pack 20 | Supplier Harl
    Prices: pipe | ft | 1.50 | Material PE | Size 1 | Supplier Stenvik Yard
    Prices: ring | bag | 5 | Material PEX | Size 1/2 | Pack 50 | Supplier Harl | Part no. R-50
    Prices: stop valve | each | 6 | Size 1/2 | Supplier Harl
    Prices: coupling | each | 2 | Material PEX | Size 1/2";

#[test]
fn a_stick_and_a_bag_for_two_phases_are_ordered_once_and_first() {
    // Sticks of 20 ft: 8 + 9 from one, 7 from the other, as the cheapest plan has it: the first serves both phases.
    let made = job(COTTAGE);
    let priced = made.price();
    let split = orders(&made, &priced, &[], true);
    let of = |supplier: &str, phase: Phase| -> BTreeMap<String, String> {
        let order = split.orders.iter().find(|o| o.supplier_name() == supplier && o.phases == [phase]);
        let lines = order.map(|order| order.lines.as_slice()).unwrap_or_default();
        lines.iter().map(|line| (line.key.to_string(), line.quantity.to_string())).collect()
    };
    let (under, rough) = (of("Harl", Phase::Underground), of("Harl", Phase::RoughIn));
    let sticks = |lines: &BTreeMap<String, String>| lines.get("pipe|PEX|1/2|stick 20").cloned().unwrap_or_default();
    let total: u32 = [&under, &rough].iter().filter_map(|lines| sticks(lines).parse::<u32>().ok()).sum();
    assert_eq!(total, 2, "{under:?} {rough:?}");
    assert_eq!(sticks(&under), "1", "the stick that the underground run is cut from");
    assert_eq!(under.get("ring|PEX|1/2|bag 50").map(String::as_str), Some("1"), "{under:?}");
    assert!(!rough.contains_key("ring|PEX|1/2|bag 50"));
    assert_eq!(of("Stenvik Yard", Phase::Underground)["pipe|PE|1|ft 1"], "30");
    assert_eq!(of("Harl", Phase::Trim)["stop valve||1/2 x 3/8|each 1|ends compression x compression"], "2");
    // The whole order says for which phase each is needed.
    let whole = orders(&made, &priced, &[], false);
    let pipe =
        whole.orders.iter().flat_map(|o| &o.lines).find(|line| line.key.material == "PE" && !line.quote).unwrap();
    assert_eq!(pipe.item, "PE pipe, copper tube size (CTS), not iron pipe size, in 1 piece of 30 ft");
}

#[test]
fn things_without_a_price_are_asked_for_in_each_order_or_in_the_one_named() {
    let quotes = |extra: &str| -> BTreeMap<String, usize> {
        let made = job(&format!("{COTTAGE}\n{extra}"));
        let orders = orders(&made, &made.price(), &[], false);
        orders.orders.iter().map(|order| (order.supplier_name().to_owned(), order.quotes())).collect()
    };
    let each = quotes("");
    assert_eq!(each["Harl"], each["Stenvik Yard"]);
    assert!(each["Harl"] > 2, "{each:?}");
    let one = quotes("Job: Quotes from | stenvik  yard");
    assert_eq!((one["Harl"], one["Stenvik Yard"]), (0, each["Harl"]));
    let new = quotes("Job: Quotes from | Tamsin & Vole");
    assert_eq!((new["Harl"], new["Tamsin & Vole"]), (0, each["Harl"]));
    // Nobody offers anything: one order, for any supplier, that asks for all of it.
    let made = job("Runs: S | SUPPLY | 30 | Size 1/2
        Fixtures: L | lavatory | Cold run S
        Prices: pipe | coil | 80 | Material PE | Size 2 | Pack 100");
    let all = orders(&made, &made.price(), &[], false);
    assert_eq!(all.orders.len(), 1);
    assert_eq!(all.orders[0].supplier_name(), "any supplier");
    assert!(all.orders[0].lines.iter().all(|line| line.quote) && all.orders[0].lines.len() > 3);
    let pipe = &all.orders[0].lines[0];
    assert_eq!((pipe.key.to_string().as_str(), pipe.quantity), ("pipe|PEX|1/2|ft 1", 31.into()));
    assert!(pipe.item.ends_with("in 1 piece of 31 ft, unjoined"), "{}", pipe.item);
}

#[test]
fn a_row_without_a_price_says_whom_to_ask_and_for_what() {
    let made = job(&format!(
        "{COTTAGE}
        Prices: supply line | box | | Size 3/8 | Pack 4 | Supplier Stenvik Yard | Part no. SL-4 | Description braided, 20 in
        Prices: test cap | each | | Size 1/2 | Description slips over the stub"
    ));
    let orders = orders(&made, &made.price(), &[], false);
    let of = |supplier: &str, kind: &str| {
        let order = orders.orders.iter().find(|order| order.supplier_name() == supplier).unwrap();
        order.lines.iter().find(|line| line.key.kind == kind).cloned()
    };
    // Two supply lines are wanted, and Stenvik Yard has them four in a box.
    let line = of("Stenvik Yard", "supply line").unwrap();
    assert_eq!(
        (line.key.to_string().as_str(), line.quantity, line.part.as_str()),
        ("supply line||3/8 x 1/2|box 4|ends compression x FIP", 1.into(), "SL-4")
    );
    assert!(line.quote && line.item == "supply line, braided, 20 in", "{line:?}");
    assert!(of("Harl", "supply line").is_none());
    // A row that names nobody tells what is wanted, and everybody is asked.
    for supplier in ["Harl", "Stenvik Yard"] {
        let line = of(supplier, "test cap").unwrap();
        assert!(line.quote && line.item == "test cap, slips over the stub", "{line:?}");
    }
}

#[test]
fn keys_do_not_depend_on_prices_and_tell_like_rows_apart() {
    let keys = |made: &Made| -> Vec<String> {
        let orders = orders(made, &made.price(), &[], false);
        orders.orders.iter().flat_map(|o| o.lines.iter().map(|line| line.key.to_string())).collect()
    };
    let made = job(COTTAGE);
    let mut dearer = made.clone();
    for price in &mut dearer.job.prices {
        price.price.value = price.price.value.map(|price| price * Decimal::from(2));
        price.part = Field { value: Some("other".into()), raw: Raw::Blank, cell: None }.into();
    }
    assert_eq!(keys(&made), keys(&dearer));
    // What another supplier sells, further up in Prices, numbers nothing of this one's.
    let ring = "Prices: ring | bag";
    let other = "Prices: ring | bag | 9 | Material PEX | Size 1/2 | Pack 50 | Supplier Stenvik Yard";
    assert_eq!(keys(&made), keys(&job(&COTTAGE.replace(ring, &format!("{other}\n{ring}")))));
    // A second row for the same bag, cheaper, is the one that is bought: it has a number of its own.
    let second =
        job(&format!("{COTTAGE}\nPrices: rings | Bag | 4 | Material pex | Size 1/2 | Pack 50 | Supplier harl"));
    assert!(keys(&second).contains(&"ring|PEX|1/2|bag 50|no. 2".to_owned()), "{:?}", keys(&second));
}
