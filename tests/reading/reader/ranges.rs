//! Numbers: whatever is typed where a number belongs is within what can be meant there, or it is found.

use super::support::{Book, job};
use proptest::prelude::*;
use rust_decimal::Decimal;
use tallybore::check_rows;
use tallybore::finding::{Finding, Severity};
use tallybore::input_sheets;
use tallybore::model::columns::{Column, Kind, Sheet};
use tallybore::model::network::Network;
use tallybore::model::{Fit, Range, SettingKind, SettingSpec};
use tallybore::place::Place;
use tallybore::rules::Rules;

/// A place where a number belongs.
#[derive(Debug, Clone, Copy)]
enum Input {
    Column(&'static Sheet, &'static Column),
    Setting(&'static SettingSpec),
}

/// Every one of them: none is chosen by hand.
fn inputs() -> Vec<Input> {
    let numeric = |c: &&Column| c.kind.is_number() || matches!(c.kind, Kind::Share | Kind::Date);
    let columns =
        input_sheets().flat_map(|sheet| sheet.columns.iter().filter(numeric).map(move |c| Input::Column(sheet, c)));
    let settings = tallybore::settings()
        .map(tallybore::model::Setting::spec)
        .filter(|s| matches!(s.kind, SettingKind::Number(_) | SettingKind::Percent | SettingKind::Date))
        .map(Input::Setting);
    columns.chain(settings).collect()
}

impl Input {
    fn range(self) -> Range {
        match self {
            Self::Column(sheet, column) => column.range.unwrap_or_else(|| panic!("{} {}", sheet.name, column.name)),
            Self::Setting(spec) => spec.range.unwrap_or_else(|| panic!("{}", spec.name)),
        }
    }

    /// How the number is typed: shares into cells that show percents, dates in ISO form.
    fn typed(self, number: Decimal) -> String {
        match self {
            Self::Column(_, Column { kind: Kind::Share, .. })
            | Self::Setting(SettingSpec { kind: SettingKind::Percent, .. }) => format!("%{number}"),
            Self::Column(_, Column { kind: Kind::Date, .. })
            | Self::Setting(SettingSpec { kind: SettingKind::Date, .. }) => {
                format!("'{}", tallybore::model::date_text(number.trunc()))
            }
            _ => number.to_string(),
        }
    }

    /// A job whose only oddity is what is typed here, and the cell.
    fn job(self, typed: &str) -> (Book, Place) {
        match self {
            Self::Setting(spec) => {
                let rows = format!("Item|Value\nJob name|Shed\n{}|{typed}", spec.name);
                (job().sheet("Job", &rows), Place::new("Job", 2, 1))
            }
            Self::Column(sheet, column) => {
                let names: Vec<&str> = sheet.columns.iter().map(|c| c.name).collect();
                let cells: Vec<&str> = sheet
                    .columns
                    .iter()
                    .map(|c| if c.name == column.name { typed } else { sound(sheet.name, c) })
                    .collect();
                let at = sheet.columns.iter().position(|c| c.name == column.name).unwrap();
                let rows = format!("{}\n{}", names.join("|"), cells.join("|"));
                (job().sheet(sheet.name, &rows), Place::new(sheet.name, 1, at as u16))
            }
        }
    }
}

/// What stands in the other cells of the row.
fn sound(sheet: &str, column: &Column) -> &'static str {
    match (sheet, column.name) {
        ("Fixtures", "Fixture") => "lavatory",
        ("Fixtures", "Cold run") | ("Devices", "On run") | ("Runs", "Run") => "A",
        ("Runs", "From") => "SUPPLY",
        ("Devices", "Kind") => "softener",
        ("Drains", "To") => "SEWER",
        ("Terms", "Kind") => "allowance",
        (_, "Kind") => "pipe",
        (_, "Material") => "PEX",
        _ if !column.required => "",
        _ if column.kind == Kind::Text => "X1",
        _ => "1",
    }
}

fn found(book: &Book, place: &Place) -> Vec<Finding> {
    let reading = book.read();
    let (network, problems) = Network::build(&reading.job);
    let mut findings = reading.findings;
    findings.extend(check_rows(&reading.job, Rules::embedded(), &network, &problems));
    findings.retain(|finding| finding.place.as_ref() == Some(place));
    findings
}

fn holds(input: Input, number: Decimal) {
    let (book, place) = input.job(&input.typed(number));
    let findings = found(&book, &place);
    let worst = findings.iter().map(|finding| finding.severity).min();
    let of_range = |f: &&Finding| ["out-of-range", "unlikely-value"].contains(&f.slug);
    match input.range().fit(number) {
        Fit::Usual => assert_eq!(findings.iter().find(of_range), None, "{input:?} {number}"),
        Fit::Unlikely => assert!(worst.is_some_and(|w| w <= Severity::Fix), "{input:?} {number}: {findings:?}"),
        Fit::Impossible => assert_eq!(worst, Some(Severity::Stop), "{input:?} {number}: {findings:?}"),
    }
}

#[test]
fn the_bounds_of_every_input_are_kept() {
    for input in inputs() {
        let Range { least, low, high, most } = input.range();
        // A step in the sixth digit: more than a cell's fifteen digits lose.
        let step = |bound: Decimal| (bound.abs() / Decimal::from(1_000_000)).max(Decimal::new(1, 4));
        for number in
            [least, low, high, most, least - step(least), low - step(low), high + step(high), most + step(most)]
        {
            // A date is typed by the day.
            let number = if input.typed(number).starts_with('\'') { number.floor() } else { number };
            holds(input, number);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 250, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_number_is_within_its_range_or_found(
        at in any::<prop::sample::Index>(),
        digits in 1i64..1_000_000,
        scale in 0u32..12,
        zeros in 0u32..16,
        negative in any::<bool>(),
    ) {
        let inputs = inputs();
        let input = inputs[at.index(inputs.len())];
        let mut number = Decimal::new(digits, scale) * Decimal::from(10u64.pow(zeros));
        number.set_sign_negative(negative);
        // Dates: the days from 1900 to 9999 that a spreadsheet can hold.
        if input.typed(number).starts_with('\'') {
            number = Decimal::from(digits % 2_958_465 + 1);
        }
        holds(input, number);
    }
}
