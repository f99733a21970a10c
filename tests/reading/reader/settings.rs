//! The Job sheet.

use super::support::{dec, found, job, words};
use tallybore::model::{Raw, Setting, SettingValue};
use tallybore::read::Reading;

fn settings(rows: &str) -> Reading {
    job().sheet("Job", &format!("Item|Value|Unit|Note\n{rows}")).read()
}

#[test]
fn settings_are_read_by_name_or_alias() {
    let reading = settings("SUPPLY  pressure|60 psi\nSales tax|7%\nMain size|'1-1/4\nCode|ipc\nDate|@2026-05-30");
    assert_eq!(found(&reading), [""; 0]);
    let job = &reading.job;
    assert_eq!(job.number(Setting::SupplyPressure), Some(dec("60")));
    assert_eq!(job.number(Setting::TaxRate), Some(dec("0.07")));
    assert_eq!(job.size(Setting::MainSize).unwrap().to_string(), "1-1/4");
    assert_eq!(&*job.text(Setting::CodeBasis), "IPC");
    assert_eq!(job.number(Setting::Date), Some(dec("46172")));
    assert_eq!(job.settings[&Setting::TaxRate].cell.as_ref().unwrap().to_string(), "Job!B3");
    assert_eq!(job.number(Setting::Waste), Some(dec("0.05")), "what is left out stands on its default");
}

#[test]
fn percents_are_read_as_people_write_them() {
    for text in ["40%", "0.4", "'0.4", "%0.4", "'40 %"] {
        let reading = settings(&format!("Overhead|{text}"));
        assert_eq!(found(&reading), [""; 0], "{text}");
        assert_eq!(reading.job.number(Setting::Overhead), Some(dec("0.4")), "{text}");
    }
    let reading = settings("Overhead|7");
    assert_eq!(found(&reading), ["note bare-percent Job!B2"]);
    assert_eq!(reading.job.number(Setting::Overhead), Some(dec("0.07")));
    assert_eq!(reading.job.settings[&Setting::Overhead].raw, Raw::Number(dec("7")));
    let reading = settings("Overhead|%1.5");
    assert_eq!(reading.job.number(Setting::Overhead), Some(dec("1.5")), "a cell that shows 150 %");
}

#[test]
fn fittings_loss_takes_words_or_a_share() {
    let loss = |text: &str| settings(&format!("Fittings loss|{text}")).job.setting(Setting::FittingsLoss).unwrap();
    assert_eq!(loss("By Fitting"), SettingValue::Text("by fitting".into()));
    assert_eq!(loss("none"), SettingValue::Text("none".into()));
    assert_eq!(loss("50%"), SettingValue::Number(dec("0.5")));
    assert_eq!(loss("%0.5"), SettingValue::Number(dec("0.5")));
    assert_eq!(loss(""), SettingValue::Text("by fitting".into()));
    assert_eq!(found(&settings("Fittings loss|lots")), ["stop wrong-kind Job!B2"]);
}

#[test]
fn an_unknown_item_gets_the_nearest_name() {
    let reading = settings("Suply pressure|60\n\nMoney matters\nTax rate|0.07");
    assert_eq!(found(&reading), ["fix unknown-setting Job!A2"]);
    assert!(words(&reading).contains("Did you mean \"Supply pressure\"?"));
    assert_eq!(reading.job.number(Setting::TaxRate), Some(dec("0.07")));
}

#[test]
fn a_second_row_for_an_item_is_a_finding() {
    let reading = settings("Tax rate|0.07\nSales tax|0.08");
    assert_eq!(found(&reading), ["stop duplicate-name Job!A3"]);
    assert!(words(&reading).contains("Job!A2"));
    assert_eq!(reading.job.number(Setting::TaxRate), Some(dec("0.07")));
}

#[test]
fn values_of_the_wrong_kind_say_what_was_expected() {
    for (row, expected) in [
        ("Supply pressure|high", "expected a number"),
        ("Tax rate|some", "expected a percent"),
        ("Main size|big", "a pipe size"),
        ("Date|soon", "a date such as"),
        ("Salt|sugar", "Write one of: sodium, potassium"),
        ("Supply pressure|-5", "cannot be negative"),
        ("Supply pressure|@2026-01-02", "a date or a time"),
        ("Supply pressure|4|bar", "expected psi"),
    ] {
        let reading = settings(row);
        assert!(words(&reading).contains(expected), "{row}: {}", words(&reading));
        assert!(found(&reading)[0].starts_with("stop"), "{row}");
    }
    assert_eq!(found(&settings("Design low|-20|F")), [""; 0]);
}

#[test]
fn a_value_without_an_item_is_a_finding() {
    assert_eq!(found(&settings("|60")), ["stop missing-value Job!A2"]);
    assert_eq!(found(&settings("|||only a note")), [""; 0]);
}

#[test]
fn a_static_pressure_is_never_taken_for_the_pressure_at_flow() {
    let reading = settings("Static pressure|72");
    assert_eq!(found(&reading), ["fix static-pressure-alone Job!A2"]);
    assert_eq!(reading.job.number(Setting::HighestPressure), Some(dec("72")));
    assert!(!reading.job.settings.contains_key(&Setting::SupplyPressure));
    let reading = settings("Static pressure|72\nSupply pressure|55");
    assert_eq!(found(&reading), [""; 0]);
    assert_eq!(reading.job.number(Setting::SupplyPressure), Some(dec("55")));
    let reading = settings("Pressure|72");
    assert_eq!(found(&reading), ["fix unknown-setting Job!A2"]);
    assert!(words(&reading).contains("Did you mean \"Supply pressure\"?"), "{}", words(&reading));
}

#[test]
fn a_margin_is_profit_only_where_profit_is_a_share_of_the_price() {
    // Markup may stand before it or after it.
    for rows in ["Margin|20%\nMarkup|on cost", "Margin|20%"] {
        let reading = settings(rows);
        assert_eq!(found(&reading), ["fix margin-on-cost Job!A2"], "{rows}");
        assert!(!reading.job.settings.contains_key(&Setting::Profit), "{rows}");
    }
    for rows in ["Margin|20%\nMarkup|on price", "Markup|on price\nProfit margin|20%"] {
        let reading = settings(rows);
        assert_eq!(found(&reading), [""; 0], "{rows}");
        assert_eq!(reading.job.number(Setting::Profit), Some(dec("0.2")), "{rows}");
    }
}

#[test]
fn a_code_may_name_its_edition() {
    for (text, read) in [("IRC 2021", "IRC 2021"), ("2018 ipc", "IPC 2018"), ("UPC", "UPC")] {
        let reading = settings(&format!("Code basis|{text}"));
        assert_eq!(found(&reading), [""; 0], "{text}");
        assert_eq!(&*reading.job.text(Setting::CodeBasis), read, "{text}");
    }
    assert_eq!(found(&settings("Code basis|IBC 2021")), ["stop wrong-kind Job!B2"]);
}
