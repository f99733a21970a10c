//! The user's own rows over the rule tables: what they change, what they leave, and what is said of rows that cannot be
//! used.

use proptest::prelude::*;
use rust_decimal::Decimal;
use tallybore::finding::{Finding, Severity};
use tallybore::model::{RuleSheet, Size};
use tallybore::rules::{Basis, CodeBasis, Curve, Occupancy, ReadFrom, RuleFile, Rules};

const PRIVATE: Occupancy = Occupancy::Private;
const PUBLIC: Occupancy = Occupancy::Public;

/// A sheet of the job workbook from lines of cells separated by `|`; the first line holds the headings.
fn sheet(name: &str, lines: &[&str]) -> RuleSheet {
    let cells = |line: &str| line.split('|').map(|c| c.trim().to_owned()).collect::<Vec<_>>();
    RuleSheet {
        sheet: name.into(),
        headings: cells(lines[0]),
        rows: lines.iter().enumerate().skip(1).map(|(i, line)| (i as u32, cells(line))).collect(),
    }
}

fn file(name: &str, text: &str) -> RuleFile {
    RuleFile { name: name.into(), text: text.to_owned() }
}

fn size(text: &str) -> Size {
    Size::parse(text).unwrap()
}

fn number(text: &str) -> Decimal {
    text.parse().unwrap()
}

/// Findings that are more than a note.
fn serious(findings: &[Finding]) -> Vec<String> {
    let serious = findings.iter().filter(|f| f.severity != Severity::Note);
    serious
        .map(|f| format!("{} {}", f.place.as_ref().map(std::string::ToString::to_string).unwrap_or_default(), f.found))
        .collect()
}

#[test]
fn a_bore_of_the_users_replaces_one_row_and_is_remembered() {
    let pipe =
        sheet("Pipe", &["Material | Size | Inside diameter in | C", "pex-a | ¾ | 0.66 | 145", "copper L | 1 | 1.02 |"]);
    let (rules, findings) = Rules::load(&[pipe], &[]);
    assert_eq!(serious(&findings), [""; 0]);
    assert!(findings[0].found.contains("replaces 2 and adds 0"), "{findings:?}");
    let pex = rules.pipe("PEX", size("3/4")).unwrap();
    assert_eq!((pex.id_in, pex.c), (number("0.66"), number("145")));
    assert_eq!(pex.od_in, Some(number("0.875")), "what is left blank stays");
    assert_eq!(pex.note.as_ref(), "", "the built-in row's note does not speak for the user's");
    assert_eq!((pex.origin.basis, pex.origin.replaced), (Basis::YourOwn, true));
    assert_eq!(pex.origin.source.as_ref(), "your Pipe sheet, row 2");
    assert_eq!(pex.origin.read_from.to_string(), "Pipe!A2");
    assert_eq!(rules.pipe("copper L", size("1")).unwrap().c, number("140"));
    assert_eq!(rules.pipe("PEX", size("1/2")), Rules::embedded().pipe("PEX", size("1/2")));
    assert_eq!(rules.users_rows().count(), 2);
}

#[test]
fn units_without_a_code_speak_for_every_code() {
    let units = sheet("units", &["Fixture | Hot | Cold | Combined", "wet bar | 1 | 1 | 1.5"]);
    let (rules, findings) = Rules::load(&[units], &[]);
    assert_eq!(serious(&findings), [""; 0]);
    for code in CodeBasis::ALL {
        let bar = rules.fixture_units(code, PRIVATE, "bar sink").unwrap();
        assert_eq!((bar.combined, bar.additional), (number("1.5"), number("1.5")));
        assert_eq!(bar.origin.replaced, code == CodeBasis::Upc, "the others have no bar sink of their own");
    }
}

#[test]
fn units_of_one_code_leave_the_others() {
    let units =
        sheet("Units", &["Code | Occupancy | Fixture | Combined | Additional", "upc | private | sillcock | 3 | 2"]);
    let (rules, findings) = Rules::load(&[units], &[]);
    assert_eq!(serious(&findings), [""; 0]);
    let bibb = rules.fixture_units(CodeBasis::Upc, PRIVATE, "hose bibb").unwrap();
    assert_eq!((bibb.combined, bibb.additional, bibb.cold), (number("3"), number("2"), number("2.5")));
    let irc = rules.fixture_units(CodeBasis::Irc, PRIVATE, "hose bibb").unwrap();
    assert!(!irc.origin.is_users());
}

#[test]
fn a_limit_without_a_code_goes_before_those_of_each_code() {
    let limits = sheet("Limits", &["Limit | Value", "longest hot pipe | 40", "Velocity cold | 6"]);
    let (rules, findings) = Rules::load(&[limits], &[]);
    // The built-in table has no row for any code, so the unit is not known there; each code's own row is replaced.
    assert_eq!(serious(&findings), [""; 0]);
    for code in [CodeBasis::Irc, CodeBasis::Ipc] {
        assert_eq!(rules.limit("longest hot pipe", code).unwrap().value, number("40"));
    }
    assert_eq!(rules.limit("velocity cold", CodeBasis::Upc).unwrap().value, number("6"));
    assert_eq!(rules.limit("velocity cold", CodeBasis::Upc).unwrap().unit.as_ref(), "ft/s");
}

#[test]
fn a_limit_nobody_knows_is_told() {
    let limits = sheet("Limits", &["Limit | Code | Value | Unit", "velocity cld | any | 6 | ft/s"]);
    let reported = serious(&Rules::load(&[limits], &[]).1);
    assert_eq!(
        reported,
        [
            "Limits!A2 Found \"velocity cld\" under Limit; expected a name of the limits table, perhaps \"velocity cold\"."
        ]
    );
}

#[test]
fn an_outlet_without_a_flow_keeps_the_flow_it_had() {
    let outlets = sheet("Outlets", &["Fixture | Psi | Occupancy", "shower | 25 |", "lavatory | 12 | private"]);
    let (rules, findings) = Rules::load(&[outlets], &[]);
    assert_eq!(serious(&findings), [""; 0]);
    let outlet = |code, occupancy, name| {
        let o = rules.outlet(code, occupancy, name).unwrap();
        (o.gpm, o.psi)
    };
    assert_eq!(outlet(CodeBasis::Irc, PRIVATE, "shower"), (Some(number("2.5")), number("25")));
    assert_eq!(outlet(CodeBasis::Irc, PRIVATE, "lavatory"), (Some(number("0.8")), number("12")));
    assert_eq!(outlet(CodeBasis::Irc, PUBLIC, "lavatory"), (Some(number("0.8")), number("8")));
    assert_eq!(outlet(CodeBasis::Upc, PUBLIC, "shower"), (None, number("25")));
}

#[test]
fn a_part_with_quantity_0_is_left_out_and_a_new_one_added() {
    let parts = sheet(
        "Assemblies",
        &[
            "Assembly | Phase | Side | Kind | Material | Size | Quantity",
            "hose bibb | trim | cold | vacuum breaker | | 3/4 | 0",
            "hose bibb | rough-in | cold | ball valve | | 1/2 | 1",
        ],
    );
    let (rules, findings) = Rules::load(&[parts], &[]);
    assert_eq!(serious(&findings), [""; 0]);
    let kinds: Vec<&str> = rules.assembly("hose bibb").map(|p| &*p.kind).collect();
    assert_eq!(kinds, ["frostproof hose bibb", "ball valve"]);
}

#[test]
fn the_jobs_sheet_goes_before_the_folder() {
    let folder = file(
        "demand.csv",
        "\u{feff}curve,units,gpm,source,basis\ntank,3,6.6,City amendment 12,standard\ntank,4,8.1,,\n",
    );
    let demand = sheet("Demand", &["Curve | Units | Gpm", "tank | 3.0 | 6.7"]);
    let (rules, findings) = Rules::load(&[demand], &[folder]);
    assert_eq!(serious(&findings), [""; 0]);
    let at = |units: i64| rules.demand(Curve::Tank).iter().find(|d| d.units == units.into()).unwrap();
    assert_eq!((at(3).gpm, at(4).gpm), (number("6.7"), number("8.1")));
    assert!(at(3).origin.replaced && at(4).origin.replaced);
    assert_eq!(at(4).origin.source.as_ref(), "your demand.csv, line 3");
    assert!(matches!(&at(4).origin.read_from, ReadFrom::File { line: 3, .. }));
    assert_eq!(rules.demand(Curve::Tank).len(), Rules::embedded().demand(Curve::Tank).len());
}

#[test]
fn each_bad_row_is_told_by_cell_and_the_good_ones_still_count() {
    let pipe = sheet(
        "Pipe",
        &[
            "Size | Material | Inside diameter in | C",
            "3/4 | pexx | 0.6 |",
            "blue | PEX | 0.6 |",
            "1/2 | PEX | thin |",
            "1 | PEX | -1 |",
            " | PEX | 1 |",
            "3 | PEX | |",
            "1/2 | PEX | 0.48 |",
            "1/2 | PEX | 0.49 |",
        ],
    );
    let (rules, findings) = Rules::load(&[pipe], &[]);
    let reported = serious(&findings);
    let begins = [
        "Pipe!B2 found \"pexx\" under Material; expected a pipe material, perhaps \"PEX\"",
        "Pipe!A3 found \"blue\" under Size; expected a pipe size",
        "Pipe!C4 found \"thin\" under Inside diameter in; expected a number more than 0",
        "Pipe!C5 found \"-1\"",
        "Pipe!A6 found \"\" under Size",
        "Pipe!C7 found \"\" under Inside diameter in",
        "Pipe!B9 found \"PEX\" under Material; expected one row for each; Pipe!A8 says the same",
    ];
    assert_eq!(reported.len(), begins.len(), "{reported:#?}");
    for (reported, begin) in reported.iter().zip(begins) {
        assert!(reported.to_lowercase().starts_with(&begin.to_lowercase()), "{reported}");
    }
    assert_eq!(rules.pipe("PEX", size("1/2")).unwrap().id_in, number("0.48"));
    assert_eq!(rules.pipe("PEX", size("1")), Rules::embedded().pipe("PEX", size("1")));
}

#[test]
fn a_curve_that_falls_is_told_at_the_users_row() {
    let demand = sheet("Demand", &["Curve | Units | Gpm", "tank | 4 | 9.5"]);
    let reported = serious(&Rules::load(&[demand], &[]).1);
    assert_eq!(reported.len(), 1, "{reported:?}");
    assert!(reported[0].starts_with("Demand!A2") && reported[0].contains("5 units 9.4"), "{reported:?}");
}

#[test]
fn a_table_without_its_headings_or_name_is_told() {
    let (_, findings) = Rules::load(
        &[sheet("Limits", &["What | How much", "velocity cold | 6"])],
        &[file("pipes.csv", "material,size\nPEX,1\n"), file("supports.csv", "")],
    );
    let reported = serious(&findings);
    assert_eq!(reported.len(), 3, "{reported:#?}");
    assert!(reported[0].contains("\"supports.csv\" has no column Material"), "{reported:#?}");
    assert!(reported[1].contains("\"Limits\" has no column Limit"), "{reported:#?}");
    assert!(reported[2].contains("pipes.csv") && reported[2].contains("pipe.csv"), "{reported:#?}");
}

#[test]
fn an_exported_table_comes_back_unchanged() {
    for table in Rules::embedded().tables() {
        let (rules, findings) = Rules::load(&[], &[file(table.spec.file, &table.to_csv())]);
        assert_eq!(serious(&findings), [""; 0], "{}", table.name());
        assert_eq!(rules.table(table.name()).unwrap().to_csv(), table.to_csv(), "{}", table.name());
    }
}

/// Cells as people and programs leave them: right, nearly right, and nonsense.
fn cell() -> impl Strategy<Value = String> {
    prop_oneof![
        prop::sample::select(vec![
            "",
            " ",
            "PEX",
            "pex",
            "any",
            "IRC",
            "UPC",
            "private",
            "tank",
            "lavatory",
            "3/4",
            "1-1/4",
            "½",
            "0",
            "1",
            "2.5",
            "-3",
            "1e9",
            "99999999999999999999999999999999",
            "0.00000000000000000000000000001",
            "rough-in",
            "cold",
            "each",
            "stop valve",
            "velocity cold",
            "any flush valve",
            "standard",
            "your own",
            ";",
            "/",
            ",\"",
            "#REF!",
        ])
        .prop_map(str::to_owned),
        any::<String>(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    #[test]
    fn no_sheet_brings_the_tables_down(
        name in prop::sample::select(vec!["Pipe", "Units", "Demand", "Outlets", "Limits", "Assemblies", "Labor conditions"]),
        headings in prop::collection::vec(prop_oneof![
            prop::sample::select(vec!["Material", "Size", "Inside diameter in", "C", "Code", "Occupancy", "Fixture", "Hot",
                "Cold", "Combined", "Curve", "Units", "Gpm", "Psi", "Limit", "Value", "Unit", "Assembly", "Phase", "Side",
                "Kind", "Quantity", "Where", "Form", "Factor", "Source", "Basis"]).prop_map(str::to_owned), any::<String>()], 0..9),
        rows in prop::collection::vec(prop::collection::vec(cell(), 0..9), 0..6),
    ) {
        let rows = rows.into_iter().enumerate().map(|(i, r)| (i as u32 + 1, r)).collect();
        let (rules, findings) = Rules::load(&[RuleSheet { sheet: name.into(), headings, rows }], &[]);
        prop_assert!(rules.pipe("PEX", size("3/4")).is_some());
        prop_assert!(!findings.iter().any(|f| f.slug == "internal"), "{findings:?}");
    }

    #[test]
    fn no_file_brings_the_tables_down(index in 0..Rules::embedded().tables().len(), text in "(?s).{0,200}") {
        let table = Rules::embedded().tables().nth(index).unwrap();
        let text = format!("{}\n{text}", table.headings().join(","));
        let (rules, _) = Rules::load(&[], &[file(table.spec.file, &text)]);
        prop_assert!(rules.tables().len() == Rules::embedded().tables().len());
    }
}

#[test]
fn a_number_that_cannot_be_meant_is_refused() {
    let reported = |name: &str, lines: [&str; 2]| serious(&Rules::load(&[sheet(name, &lines)], &[]).1);
    let cases = [
        ("Limits", ["Limit | Code | Value | Unit", "velocity cold | any | 1000000000 | ft/s"]),
        ("Device losses", ["Kind | Size | Gpm | Psi | Flat", "filter | 1 | 10 | 4000 | 0"]),
        ("Pipe", ["Material | Size | Inside diameter in", "PEX | 3/4 | 671"]),
        ("Labor conditions", ["Place | Form | Material | Factor", "attic | | | 110"]),
    ];
    for (name, lines) in cases {
        let words = reported(name, lines);
        assert!(words.len() == 1 && words[0].contains("expected a number up to "), "{name}: {words:?}");
    }
    assert_eq!(reported("Limits", ["Limit | Code | Value | Unit", "velocity cold | any | 6 | ft/s"]), [""; 0]);
}
