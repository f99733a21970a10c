//! The codes' size tables beside the bid, against look-ups that others have published.

use crate::support::job::{Made, job_of_book};
use crate::support::recalc::recalculate_in_process;
use rust_decimal::{Decimal, dec};
use tallybore::figure::dump;
use tallybore::model::Size;
use tallybore::rules::{CodeBasis, Rules};
use tallybore::water::rules::CODE_LENGTHS;

fn units(code: CodeBasis, psi_from: u32, meter: &str, pipe: &str, feet: u16) -> Option<Decimal> {
    let (meter, pipe) = (Size::parse(meter).unwrap(), Size::parse(pipe).unwrap());
    let lines = Rules::embedded().code_sizes(code);
    let line = lines.iter().find(|l| l.psi_from == psi_from.into() && l.meter == meter && l.pipe == pipe).unwrap();
    line.units()[CODE_LENGTHS.iter().position(|known| *known == feet).unwrap()]
}

// A public question page that quotes UPC Table 610.4 (6-6 in older editions): 3 units on 1/2 in. reach 100 ft at 30 to 45
// psi, 200 ft at 46 to 60 and 300 ft over 60; 6 units reach 40 ft at 30 to 45 psi.
#[test]
fn a_half_inch_branch_reaches_as_far_as_published() {
    for (psi, feet) in [(30, 100), (46, 200), (60, 300)] {
        let carries = |feet| units(CodeBasis::Upc, psi, "3/4", "1/2", feet).unwrap();
        assert!(carries(feet) >= dec!(3), "{psi} psi, {feet} ft");
        let next = CODE_LENGTHS[CODE_LENGTHS.iter().position(|known| *known == feet).unwrap() + 1];
        assert!(carries(next) < dec!(3), "{psi} psi, {next} ft");
    }
    assert_eq!(units(CodeBasis::Upc, 30, "3/4", "1/2", 40), Some(dec!(6)));
}

// A city's worksheet for one-family houses under the UPC (Kirkland, Washington, 2015): above 39 units, a 1 in. meter.
#[test]
fn nothing_over_39_units_goes_through_a_three_quarter_meter() {
    let meter = Size::parse("3/4").unwrap();
    let lines = Rules::embedded().code_sizes(CodeBasis::Upc);
    let most =
        lines.iter().filter(|line| line.meter == meter).flat_map(|line| line.units().into_iter().flatten()).max();
    assert_eq!(most, Some(dec!(39)));
}

// A table that carries more over a longer way, at less pressure, or in smaller pipe has been copied wrong.
#[test]
fn the_tables_fall_with_length_and_rise_with_pressure_and_size() {
    for code in [CodeBasis::Irc, CodeBasis::Upc] {
        let lines = Rules::embedded().code_sizes(code);
        assert_eq!(lines.len() % 14, 0);
        for line in &lines {
            let carries: Vec<_> = line.units().into_iter().flatten().collect();
            assert!(carries.len() >= 10 && carries.windows(2).all(|pair| pair[1] <= pair[0]), "{line:?}");
            for other in &lines {
                let larger = other.psi_from >= line.psi_from && other.meter >= line.meter && other.pipe >= line.pipe;
                let mut alike = line.units().into_iter().zip(other.units());
                assert!(!larger || alike.all(|(a, b)| b >= a), "{line:?}\n{other:?}");
            }
        }
    }
}

/// A public forum thread on a house in Maryland under the 2015 IPC: two bathroom groups, a kitchen sink, a dishwasher, a
/// laundry tray, a clothes washer and a wet-bar sink counted as a kitchen sink; a service of 30 ft and about 50 ft of
/// distribution, at 50 psi.
fn house(code: &str, psi: u32) -> Made {
    let bath = |n: u32| {
        ["water closet", "lavatory", "bathtub"]
            .map(|fixture| {
                let hot = if fixture == "water closet" { "" } else { "H" };
                format!("{fixture} {n} | {fixture} | full bath {n} | C | {hot}\n")
            })
            .concat()
    };
    job_of_book(&format!(
        "[Job]\nItem | Value\nCode basis | {code}\nSupply pressure | {psi}\n
[Fixtures]
Tag | Fixture | Group | Cold run | Hot run
{}{}K1 | kitchen sink | | C | H
K2 | kitchen sink | | C | H
D1 | dishwasher | | | H
L1 | laundry tray | | C | H
W1 | clothes washer | | C | H

[Devices]
Device | On run | Kind | Rated gpm | Loss psi
WH | H | tank heater | 10 | 0

[Runs]
Run | From | Length ft
M | SUPPLY | 30
C | M | 50
H | M | 50

[Prices]
Kind | Material | Size | Unit | Pack | Price
pipe | PEX | 1/2 | coil | 100 | 48.50
pipe | PEX | 3/4 | coil | 100 | 88
pipe | PEX | 1 | coil | 100 | 150
pipe | PEX | 1-1/4 | coil | 100 | 260
",
        bath(1),
        bath(2)
    ))
}

/// What the table was read with and what it gave, by label.
fn read_with(made: &Made) -> Vec<(String, String)> {
    let priced = made.price();
    let sheets = dump::sheets(&priced.book, "Job");
    let (_, text) = sheets.into_iter().find(|(name, _)| *name == "Code sizes").unwrap();
    let table = text.split("## What the code's size table is read with").nth(1).unwrap();
    let (labels, rest) = table.split_once("\nNow\n").unwrap();
    let (values, _) = rest.split_once("\nAs priced").unwrap();
    // The range of pressure is a choice, so it stands under another heading.
    let labels = labels.lines().last().unwrap().trim().split(" | ").filter(|label| *label != "Pressure range, psi");
    let values = values.lines().filter_map(|line| line.strip_prefix("    ")).flat_map(|line| line.split(" | "));
    labels.map(str::to_owned).zip(values.map(str::to_owned)).collect()
}

#[test]
fn the_house_that_needed_more_than_three_quarters_is_told_one_inch() {
    let phrases = read_with(&house("IPC", 50));
    let phrases = |label: &str| phrases.iter().find(|(known, _)| known == label).map(|(_, value)| value.as_str());
    // Published: 14.2 units, and 3/4 in. is too small. The cells themselves are from memory: behind a 3/4 in. meter 3/4 in.
    // pipe carries 9.5 at 80 ft and 50 to 60 psi, 1 in. 32.
    assert_eq!(phrases("Fixture units in all"), Some("14.2"));
    assert_eq!(phrases("Way to the farthest run's end"), Some("80"));
    assert_eq!(phrases("Meter and service by the table"), Some("3/4\""));
    assert_eq!(phrases("Main by the table"), Some("1\""));
    assert_eq!(units(CodeBasis::Ipc, 50, "3/4", "3/4", 80), Some(dec!(9.5)));
    assert_eq!(units(CodeBasis::Ipc, 50, "3/4", "1", 80), Some(dec!(32)));
}

/// By units alone 3/4 would do (behind it 1 in pipe carries far more than the 20 units of two flush valves); they draw 35 gpm (IPC
/// 2021 Table E103.3(3)), and a 3/4 meter may carry 30 (AWWA C700 Table 1, from memory).
#[test]
fn the_meter_by_the_table_may_carry_the_peak_flow() {
    let read = read_with(&crate::meters::restroom("1", ""));
    let of = |label: &str| read.iter().find(|(known, _)| known == label).map(|(_, value)| value.as_str());
    assert_eq!([of("Fixture units in all"), of("Peak flow")], [Some("20"), Some("35")]);
    assert!(units(CodeBasis::Ipc, 60, "3/4", "1", 40) > Some(dec!(20)));
    assert_eq!(of("Meter and service by the table"), Some("1\""));
}

#[test]
fn a_spreadsheet_reads_the_table_as_the_engine_does() {
    for (code, psi) in [("IPC", 50), ("IRC", 38), ("UPC", 62), ("UPC", 20)] {
        let differences = recalculate_in_process(&house(code, psi).bid());
        assert!(differences.is_empty(), "{code} {psi}: {differences:?}");
    }
}
