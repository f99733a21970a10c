//! What goes along pipe is bought for that pipe: a clip for copper is none for PEX (a supply house keeps them in bins of their own;
//! steel on copper wants plating or a plastic coat, IRC P2605.1 and public pages on galvanic corrosion), and insulation is bought by
//! pipe size and wall (common practice).

use super::counted::of;
use crate::support::job::job;
use tallybore::pipeline::Priced;

/// Dollars for one, to the cent; `None` of what nobody offers.
fn price_of(priced: &Priced, item: &str) -> Option<String> {
    let is_it = |line: usize| priced.take_off.lines[line].item.text() == item;
    let line = priced.bid.lines.iter().find(|line| is_it(line.line) && line.priced)?;
    Some(format!("{:.2}", line.unit_price.value().as_f64()))
}

#[test]
fn supports_are_counted_and_priced_for_the_pipe_they_hold() {
    let priced = job("Runs: A | SUPPLY | 12 | Material copper L | Size 3/4 | Where crawl space
        Runs: B | A | 8 | Material PEX | Size 3/4 | Where crawl space
        Runs: C | B | 12 | Material copper M | Size 3/4 | Where crawl space
        Prices: support | each | 0.20 | Material PEX | Size 3/4
        Prices: support | each | 1.20 | Material copper L | Size 3/4")
    .price();
    // 12 ft of copper at 6 ft and one at the supply; 8 ft of PEX at 32 in: IRC 2021 Table P2605.1.
    for (item, quantity, price) in [
        ("support copper L 3/4\"", 3, "1.20"),
        ("support PEX 3/4\"", 3, "0.20"),
        // Tube of one size has one outside: what holds type L holds type M.
        ("support copper M 3/4\"", 2, "1.20"),
    ] {
        assert_eq!(of(&priced, item), quantity.into(), "{item}");
        assert_eq!(price_of(&priced, item).as_deref(), Some(price), "{item}");
    }
}

#[test]
fn insulation_has_a_line_for_each_wall() {
    let lines = "Job: Waste | 0%
        Runs: A | SUPPLY | 12 | Size 3/4 | Insulation in 1
        Runs: B | A | 8 | Size 3/4 | Insulation in 0.5
        Runs: C | B | 7 | Size 3/4 | Insulation in 0
        Prices: pipe insulation | ft | 0.50 | Size 3/4 x 1/2";
    let priced = job(&format!("{lines}\nPrices: pipe insulation | ft | 0.90 | Size 3/4 x 1")).price();
    for (item, feet, price) in
        [("pipe insulation 3/4\" 1 in wall", 12, "0.90"), ("pipe insulation 3/4\" 0.5 in wall", 8, "0.50")]
    {
        assert_eq!(of(&priced, item), feet.into(), "{item}");
        assert_eq!(price_of(&priced, item).as_deref(), Some(price), "{item}");
    }
    assert_eq!(of(&priced, "pipe insulation 3/4\""), 0.into());
    // A row that says no wall offers any; one of another wall is no offer.
    let any = job(&format!("{lines}\nPrices: pipe insulation | ft | 0.95 | Size 3/4")).price();
    assert_eq!(price_of(&any, "pipe insulation 3/4\" 1 in wall").as_deref(), Some("0.95"));
    let missing = job(lines).price();
    assert_eq!(price_of(&missing, "pipe insulation 3/4\" 1 in wall"), None);
}
