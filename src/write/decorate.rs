//! What makes an input sheet easy to fill in: notes on the headings, drop-down lists, number formats, widths. By column
//! as declared in `input`, wherever that column stands, so a bid that keeps the user's sheets uses it too.

use crate::input::{Column, Kind, Offers, Sheet};
use crate::model::{Range, Scale, SettingKind, SettingSpec};
use crate::place::{column_letters, quote_sheet};
use crate::unit::Unit;
use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, DataValidationRule, Format, FormatAlign, Formula, IgnoreError, Note,
    Worksheet, XlsxError,
};
use std::collections::BTreeMap;

/// The number format of text cells: what is typed stays as typed, and 1/2 does not become a date.
pub(crate) const TEXT: &str = "@";
/// Money for one unit: cents, and up to four places where a price has them.
pub(crate) const PRICE: &str = "#,##0.00##";

/// Where drop-down lists find the names of the rows of a sheet, by its declared name: a formula each, from [`name_list`].
pub(crate) type NameLists = BTreeMap<&'static str, String>;

/// The names in a column from `first_row` to `last_row` (from 0), without the blank cells under them.
pub(crate) fn name_list(sheet: &str, column: u16, first_row: u32, last_row: u32) -> String {
    let (sheet, column) = (quote_sheet(sheet), column_letters(column));
    let (first, last) = (u64::from(first_row) + 1, u64::from(last_row) + 1);
    format!("=OFFSET({sheet}!${column}${first},0,0,MAX(1,COUNTA({sheet}!${column}${first}:${column}${last})),1)")
}

/// The row of headings, and the last row that lists and formats reach down to, from 0.
pub(crate) struct Rows {
    pub headings: u32,
    pub last: u32,
}

/// Decorates the columns of a declared sheet: `column_of` says where each declared column stands, from 0. Cell contents and
/// headings are the caller's.
pub(crate) fn decorate(
    worksheet: &mut Worksheet,
    sheet: &Sheet,
    rows: &Rows,
    column_of: &[(&'static str, u16)],
    names: &NameLists,
) -> Result<(), XlsxError> {
    let (first_row, last_row) = (rows.headings + 1, rows.last);
    for (name, at) in column_of {
        let Some(column) = sheet.columns.iter().find(|column| column.name == *name) else { continue };
        worksheet.set_column_width(*at, width(column))?;
        worksheet.set_column_format(*at, &cell_format(column))?;
        worksheet.insert_note(rows.headings, *at, &heading_note(column))?;
        if last_row < first_row {
            continue;
        }
        if let Some(validation) = validation(column, names)? {
            worksheet.add_data_validation(first_row, *at, last_row, *at, &validation)?;
        }
        if number_format(column) == TEXT {
            worksheet.ignore_error_range(first_row, *at, last_row, *at, IgnoreError::NumberStoredAsText)?;
        }
    }
    Ok(())
}

/// Decorates one row of the Job sheet: a note on the item, and the drop-down of a choice on its value.
pub(crate) fn decorate_setting(
    worksheet: &mut Worksheet,
    row: u32,
    item_column: u16,
    value_column: u16,
    spec: &SettingSpec,
) -> Result<(), XlsxError> {
    worksheet.insert_note(row, item_column, &note(&setting_help(spec)))?;
    match spec.kind {
        SettingKind::Choice(list) => {
            worksheet.add_data_validation(row, value_column, row, value_column, &choice(list)?)?;
        }
        SettingKind::Number(_) => {
            worksheet.add_data_validation(row, value_column, row, value_column, &any_number()?)?;
        }
        _ => {}
    }
    if setting_format(spec.kind) == TEXT {
        worksheet.ignore_error(row, value_column, IgnoreError::NumberStoredAsText)?;
    }
    Ok(())
}

/// A setting's meaning and default in a sentence or two: `The lowest pressure ... Default: 50 psi. Usual: 20 to 150 psi.`
pub(crate) fn setting_help(spec: &SettingSpec) -> String {
    let default = match (spec.default, setting_unit(spec.kind)) {
        ("", _) => return format!("{} No default.{}", spec.help, usual(spec.range, spec.scale())),
        (default, "$") => format!("${default}"),
        (default, "" | "%") => default.to_owned(),
        (default, unit) => format!("{default} {unit}"),
    };
    format!("{} Default: {default}.{}", spec.help, usual(spec.range, spec.scale()))
}

/// ` Usual: 20 to 150 psi.` where the numbers have a range; any date is as usual as another.
fn usual(range: Option<Range>, scale: Scale) -> String {
    match range {
        Some(range) if scale != Scale::Date => format!(" Usual: {}.", range.usual(scale)),
        _ => String::new(),
    }
}

/// What stands in the Unit column beside a setting.
pub(crate) fn setting_unit(kind: SettingKind) -> &'static str {
    match kind {
        SettingKind::Number(unit) => unit.symbol(),
        SettingKind::Size => Unit::Inches.symbol(),
        // A percent shows its sign itself.
        SettingKind::Percent | SettingKind::Text | SettingKind::Date | SettingKind::Choice(_) => "",
    }
}

/// The number format of a setting's value.
pub(crate) fn setting_format(kind: SettingKind) -> &'static str {
    match kind {
        SettingKind::Number(Unit::Money) => Unit::Money.number_format(),
        SettingKind::Number(_) => "General",
        SettingKind::Percent => Unit::Percent.number_format(),
        SettingKind::Date => Unit::Date.number_format(),
        SettingKind::Text | SettingKind::Size | SettingKind::Choice(_) => TEXT,
    }
}

/// Number format and alignment of a column's cells.
pub(crate) fn cell_format(column: &Column) -> Format {
    let format = Format::new().set_num_format(number_format(column));
    match column.kind {
        Kind::Number | Kind::Positive | Kind::Length | Kind::Price | Kind::Amount | Kind::Share => {
            format.set_align(FormatAlign::Right)
        }
        Kind::Size | Kind::Date => format.set_align(FormatAlign::Center),
        // Set in a little, so that they do not touch a number at their left.
        Kind::Text | Kind::Sizes | Kind::Choice(_) => {
            let format = format.set_align(FormatAlign::Left).set_indent(1);
            if column.is_prose { format.set_text_wrap() } else { format }
        }
    }
}

pub(crate) fn number_format(column: &Column) -> &'static str {
    match column.kind {
        Kind::Size | Kind::Sizes | Kind::Choice(_) => TEXT,
        // Sentences stay General: old programs show a long cell of text format as ####.
        Kind::Text if column.is_prose => "General",
        Kind::Text => TEXT,
        Kind::Date => Unit::Date.number_format(),
        Kind::Share => Unit::Percent.number_format(),
        Kind::Price => PRICE,
        Kind::Amount => Unit::Money.number_format(),
        Kind::Number | Kind::Positive | Kind::Length => "General",
    }
}

/// Width of a column in characters, wide enough for its heading on two lines and for what usually stands in it.
pub(crate) fn width(column: &Column) -> f64 {
    let longest_word = column.name.split(' ').map(|word| word.chars().count()).max().unwrap_or(0) as f64 + 3.0;
    let usual: f64 = match column.kind {
        _ if column.width > 0.0 => column.width,
        Kind::Text => 11.0,
        Kind::Choice(list) => list.iter().map(|word| word.chars().count()).max().unwrap_or(0) as f64 + 3.0,
        Kind::Sizes => 20.0,
        Kind::Date => 12.0,
        Kind::Size => 8.0,
        Kind::Number | Kind::Positive | Kind::Length | Kind::Price | Kind::Amount | Kind::Share => 9.0,
    };
    usual.max(longest_word)
}

/// The note on a column's heading: whether it is needed, what belongs there, what else it may be called.
pub(crate) fn heading_note(column: &Column) -> Note {
    let needed = if column.required { "Needed. " } else { "" };
    let list = match column.kind {
        Kind::Choice(list) if !list.iter().all(|word| column.help.contains(word)) => {
            format!("\nOne of: {}.", list.join(", "))
        }
        _ => String::new(),
    };
    let aliases = match column.aliases {
        [] => String::new(),
        aliases => format!("\nAlso read as: {}.", aliases.join(", ")),
    };
    let usual = usual(column.range, column.scale());
    note(&format!("{needed}{}{usual}{list}{aliases}", column.help))
}

/// A note large enough to show its whole text.
fn note(text: &str) -> Note {
    const CHARACTERS_A_LINE: usize = 38;
    let lines: usize = text.lines().map(|line| 1 + line.chars().count() / CHARACTERS_A_LINE).sum();
    let height = 18 * u32::try_from(lines).unwrap_or(u32::MAX / 18).min(40) + 14;
    Note::new(text).set_author("tallybore").add_author_prefix(false).set_width(260).set_height(height)
}

/// The drop-down or the check of a column's cells, when it has one.
fn validation(column: &Column, names: &NameLists) -> Result<Option<DataValidation>, XlsxError> {
    Ok(match (column.offers, column.kind) {
        (Offers::Words(list), _) => Some(offer_words(list)?),
        (Offers::NamesOf(sheet), _) => {
            names.get(sheet).map(|list| offer(DataValidation::new().allow_list_formula(Formula::new(list))))
        }
        (Offers::OfKind, Kind::Choice(list)) => Some(choice(list)?),
        (Offers::OfKind, Kind::Positive | Kind::Price) => Some(positive_number()?),
        (Offers::OfKind, Kind::Number | Kind::Amount) => Some(any_number()?),
        (Offers::OfKind, Kind::Text | Kind::Length | Kind::Size | Kind::Sizes | Kind::Date | Kind::Share) => None,
    })
}

/// A list that helps and does not hinder: other words may be typed, and the reader judges them.
fn offer(validation: DataValidation) -> DataValidation {
    validation.show_error_message(false)
}

fn offer_words(list: &[&str]) -> Result<DataValidation, XlsxError> {
    Ok(offer(DataValidation::new().allow_list_strings(list)?))
}

/// A fixed choice. A warning, not a bar: the reader forgives case and spacing, and says what it cannot read.
fn choice(list: &'static [&'static str]) -> Result<DataValidation, XlsxError> {
    DataValidation::new()
        .allow_list_strings(list)?
        .set_error_style(DataValidationErrorStyle::Warning)
        .set_error_title("Not in the list")?
        .set_error_message("Choose one from the list, or leave it blank.")
}

fn positive_number() -> Result<DataValidation, XlsxError> {
    number(DataValidationRule::GreaterThanOrEqualTo(0.0), "A number belongs here, 0 or more.")
}

fn any_number() -> Result<DataValidation, XlsxError> {
    number(DataValidationRule::Between(-1e12, 1e12), "A number belongs here.")
}

fn number(rule: DataValidationRule<f64>, message: &str) -> Result<DataValidation, XlsxError> {
    DataValidation::new()
        .allow_decimal_number(rule)
        .set_error_style(DataValidationErrorStyle::Warning)
        .set_error_title("Not a number")?
        .set_error_message(message)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::{Price, Run};
    use rust_xlsxwriter::Workbook;

    #[test]
    fn every_declared_column_takes_its_decoration() {
        let names =
            NameLists::from([("Runs", name_list("Runs", 0, 3, 99)), ("Drains", name_list("My drains", 1, 3, 99))]);
        for sheet in crate::subjects::sheets() {
            let column_of: Vec<(&'static str, u16)> = sheet.columns.iter().map(|c| c.name).zip(0..).collect();
            let mut workbook = Workbook::new();
            let rows = |last| Rows { headings: 2, last };
            decorate(workbook.add_worksheet(), sheet, &rows(50), &column_of, &names).unwrap();
            decorate(workbook.add_worksheet(), sheet, &rows(0), &column_of, &NameLists::default()).unwrap();
            workbook.save_to_buffer().unwrap();
        }
    }

    #[test]
    fn a_name_list_ends_with_its_names() {
        assert_eq!(
            name_list("My drains", 1, 3, 99),
            "=OFFSET('My drains'!$B$4,0,0,MAX(1,COUNTA('My drains'!$B$4:$B$100)),1)"
        );
    }

    #[test]
    fn sizes_and_names_are_text_and_prices_keep_their_mills() {
        let format =
            |sheet: &Sheet, name: &str| number_format(sheet.columns.iter().find(|column| column.name == name).unwrap());
        assert_eq!(format(&Run::SHEET, "Size"), "@");
        assert_eq!(format(&Run::SHEET, "Run"), "@");
        assert_eq!(format(&Price::SHEET, "Size"), "@");
        assert_eq!(format(&Price::SHEET, "Price"), "#,##0.00##");
        assert_eq!(format(&Run::SHEET, "Length ft"), "General");
    }

    #[test]
    fn a_percent_has_its_sign_once() {
        assert!(setting_format(SettingKind::Percent).ends_with('%'));
        assert_eq!(setting_unit(SettingKind::Percent), "");
    }

    #[test]
    fn help_states_the_default_with_its_unit() {
        use crate::model::Setting;
        assert!(setting_help(Setting::SupplyPressure.spec()).ends_with(" Default: 50 psi. Usual: 20 to 150 psi."));
        assert!(setting_help(Setting::LaborRate.spec()).ends_with(" Default: $45. Usual: 0 to 250."));
        assert!(setting_help(Setting::Waste.spec()).ends_with(" Default: 5%. Usual: 0% to 30%."));
        assert!(setting_help(Setting::MainSize.spec()).ends_with(" No default."));
    }
}
