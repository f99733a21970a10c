//! The words for what the reading finds: sheets, headings, cells.

use super::{Words, hint, listed, perhaps, words};
use crate::finding::Code;
use crate::finding::Severity::{Mend, Note, Stop};

/// `None` for a finding of another subject.
pub(super) fn of(code: &Code) -> Option<Words> {
    Some(match code {
        Code::UnreadableSheet { sheet, reason, needed } => words(
            if *needed { Stop } else { Mend },
            "unreadable-sheet",
            format!("The sheet {sheet} could not be read: {reason}."),
            "Open the workbook in a spreadsheet program and save it again.",
        ),
        Code::MissingSheet { sheet, nearest, present } => words(
            Stop,
            "missing-sheet",
            format!("There is no sheet {sheet}; the workbook has {}.{}", listed(present), perhaps(nearest.as_deref())),
            format!("Name the sheet {sheet}, or add it; `start` writes a blank workbook with every sheet."),
        ),
        Code::NearSheet { found, nearest, alike } => words(
            if *alike { Mend } else { Note },
            "near-sheet",
            format!(
                "The sheet \"{found}\" is not read{}.{}",
                if *alike { format!(", though its headings are those of {nearest}") } else { String::new() },
                hint(Some(nearest))
            ),
            format!("If it is meant, name it {nearest}. Otherwise it is carried along as it stands."),
        ),
        Code::TwoSheets { found, read, meant } => words(
            Mend,
            "two-sheets",
            format!("\"{found}\" and \"{read}\" are both names of the sheet {meant}; only \"{read}\" was read."),
            "Put all rows on one sheet, or give the other one another name.",
        ),
        Code::HiddenSheet { sheet } => words(
            Note,
            "hidden-sheet",
            format!("The sheet {sheet} is hidden, and was read."),
            "Unhide it if you want to see what it says.",
        ),
        Code::RenamedSheet { sheet, kept_as } => words(
            Note,
            "renamed-sheet",
            format!("Your sheet \"{sheet}\" has the name of a sheet that the bid makes."),
            format!("It is kept in the bid as \"{kept_as}\"."),
        ),
        Code::MergesCut { area, count } => words(
            Note,
            "merges-cut",
            match count {
                1 => format!("The merged cells {area} reach far beyond what this sheet holds."),
                _ => {
                    format!("{count} merges of cells reach far beyond what this sheet holds, the first of them {area}.")
                }
            },
            "The bid merges only the rows and columns that are in use. Nothing that was filled in is lost.",
        ),
        Code::NoHeadings { sheet, expected, needed } => words(
            if *needed { Stop } else { Mend },
            "no-headings",
            format!("No row of the sheet {sheet} (of its first 30) has the headings of this sheet; it was not read."),
            format!("One row must hold the headings; these are needed: {}.", expected.join(", ")),
        ),
        Code::NoRows { sheet, needed } => words(
            if *needed { Stop } else { Note },
            "no-rows",
            format!("The sheet {sheet} has headings, but no rows under them."),
            if *needed { format!("Fill in at least one row of {sheet}.") } else { String::new() },
        ),
        Code::MoreFindings { sheet, count } => words(
            Note,
            "more-findings",
            format!("{count} more findings on the sheet {sheet} are not shown."),
            "Mend the ones that are; one cause often makes many.",
        ),
        Code::MissingColumn { column, nearest, present } => words(
            Stop,
            "missing-column",
            format!(
                "There is no column {column}; the headings are {}.{}",
                listed(present),
                perhaps(nearest.as_deref())
            ),
            format!("Write {column} as the heading of that column."),
        ),
        Code::NearHeading { found, nearest, cells } => words(
            Mend,
            "near-heading",
            format!(
                "The column \"{found}\"{} is not read.{}",
                cells.as_ref().map(|cells| format!(" ({cells})")).unwrap_or_default(),
                hint(Some(nearest))
            ),
            format!("If it is meant, write {nearest} as its heading. If not, give it a heading unlike {nearest}."),
        ),
        Code::HeadingMissing { cells, count } => words(
            Mend,
            "heading-missing",
            match count {
                1 => format!("{cells} is filled in, in a column without a heading; it is not read."),
                _ => {
                    format!("{cells} are filled in ({count} cells), in a column without a heading; they are not read.")
                }
            },
            "Write the heading of that column, one of this sheet's or one of your own. Cells must not be merged.",
        ),
        Code::OwnColumns { headings } => words(
            Note,
            "own-columns",
            format!("Columns of your own, carried along and not read: {}.", listed(headings)),
            "OK if they are for you alone.",
        ),
        Code::DuplicateHeading { found, column, first, same } => words(
            if *same { Mend } else { Note },
            "duplicate-heading",
            format!("\"{found}\" is a second column {column}; the one at {first} was read."),
            "Keep one of them, or give the other another heading.",
        ),
        Code::WrongUnit { found, column, unit } => words(
            Stop,
            "wrong-unit",
            format!("The heading \"{found}\" is in {unit}; the column {column} is not."),
            format!("Convert the figures and write {column} as the heading."),
        ),
        Code::MissingValue { column } => {
            words(Stop, "missing-value", format!("{column} is blank."), "Fill it in, or clear the row.")
        }
        Code::WrongKind { column, found, expected, needed } => words(
            if *needed { Stop } else { Mend },
            "wrong-kind",
            format!("{column} holds \"{found}\"; expected {expected}."),
            format!("Write {expected}."),
        ),
        Code::UnknownChoice { column, found, nearest, list } => words(
            Stop,
            "unknown-choice",
            format!("{column} holds \"{found}\", which is not in its list.{}", hint(nearest.as_deref())),
            format!("Write one of: {}.", list.join(", ")),
        ),
        Code::SizeFromDate { date, size } => words(
            Mend,
            "size-from-date",
            format!("The cell holds a date ({date}), as spreadsheet programs make of {size}; it was read as {size}."),
            format!("Type '{size} (with the apostrophe) so that it stays a size."),
        ),
        Code::DateFromText { column, found, date } => words(
            Note,
            "date-from-text",
            format!("{column} holds the text \"{found}\", read as {date}: month, day, year."),
            "Type it as a date, or as 2026-05-30, to make it plain.",
        ),
        Code::DateInCell { column, date, size: true, .. } => words(
            Stop,
            "date-in-cell",
            format!("{column} holds a date ({date}), which could have been more than one size, or none."),
            "Type the size as text, with an apostrophe before it: '1/2.",
        ),
        Code::DateInCell { column, date, size: false, needed } => words(
            if *needed { Stop } else { Mend },
            "date-in-cell",
            format!("{column} holds a date or a time ({date}) where a number belongs."),
            "Type the number again, and set the cell's format to a number.",
        ),
        Code::FaultInCell { column, fault, needed } => words(
            if *needed { Stop } else { Mend },
            "fault-in-cell",
            format!("{column} holds the error {fault}."),
            fault_remedy(fault),
        ),
        Code::NegativeValue { column, found } => words(
            Stop,
            "negative-value",
            format!("{column} is {found}; it cannot be negative."),
            "Write it without the minus.",
        ),
        Code::BlankFormula { column, needed } => words(
            if *needed { Stop } else { Mend },
            "blank-formula",
            format!("{column} holds a formula that has not been worked out."),
            "Open the workbook in a spreadsheet program, which works it out, and save it.",
        ),
        Code::BarePercent { column, found, percent } => words(
            Note,
            "bare-percent",
            format!("{column} holds {found}, read as {percent}%."),
            format!("Write {percent}% to make it plain."),
        ),
        Code::LongText { length, kept } => words(
            Mend,
            "long-text",
            format!("The cell holds a text of {length} characters; spreadsheets hold {kept}."),
            "The rest was left out.",
        ),
        Code::FormulasDropped { count, cell, reason } => words(
            Note,
            "formulas-dropped",
            match count {
                1 => format!("The formula in {cell} {reason}."),
                _ => format!("{count} formulas of this sheet cannot stand in the bid; the first, in {cell}, {reason}."),
            },
            "The bid holds the value in its place.",
        ),
        Code::PriceNotRead { found, why, unit } => words(
            Stop,
            "price-not-read",
            format!("Price holds \"{found}\": {why}."),
            format!("Write the price per {unit} as a number, such as 12.40. Leave it blank to ask for a quote."),
        ),
        Code::PriceFromText { found, value, unit } => words(
            Note,
            "price-from-text",
            format!("Price holds the text \"{found}\", read as {value} per {unit}."),
            "Write the number alone to make it plain.",
        ),
        Code::AngleStopAsDevice { found } => words(
            Stop,
            "angle-stop-as-device",
            format!(
                "Kind holds \"{found}\": that is the angle stop at a fixture, which the program counts with its fixture."
            ),
            "Take the row out. For a valve in the line, write shutoff valve or check valve.",
        ),
        Code::MarginOnCost { found, value } => words(
            Mend,
            "margin-on-cost",
            format!("\"{found}\" ({value}) is a share of the price, and Markup is on cost. It was not read as Profit."),
            "Set Markup to on price to use it as Profit, or enter Profit as a percent of cost.",
        ),
        Code::StaticPressureAlone { used } => words(
            Mend,
            "static-pressure-alone",
            format!(
                "Static pressure is a no-flow reading, read as Highest pressure. There is no Supply pressure; {used} psi is used."
            ),
            "Measure the pressure with water running at peak hours, and enter it as Supply pressure.",
        ),
        Code::UnknownSetting { found, nearest } => words(
            Mend,
            "unknown-setting",
            format!("There is no item \"{found}\" in Job.{}", hint(*nearest)),
            "It was not read. Write the item's name as the guide lists it, or leave the row out.",
        ),
        _ => return None,
    })
}

fn fault_remedy(fault: &str) -> &'static str {
    match fault {
        "#REF!" => "Its formula refers to cells that are gone: write the formula or the value again.",
        "#DIV/0!" => "Its formula divides by zero or by a blank cell: mend the formula.",
        "#NAME?" => "Its formula names something that does not exist: mend the formula.",
        "#N/A" => "Its formula looked for something and did not find it: mend the formula.",
        _ => "Mend the formula, or write the value.",
    }
}
