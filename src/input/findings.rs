//! What the reading finds of rows and their cells; all of it is found anew when a row is typed again.

use crate::finding::findings;
use crate::finding::phrases::did_you_mean;

findings! {
    /// A sheet has headings and no rows.
    NoRows { sheet: &'static str, needed: bool } = Stop if needed else Note "no-rows" {
        found: "The sheet {sheet} has headings, but no rows under them.",
        remedy: { if needed { format!("Fill in at least one row of {sheet}.") } else { String::new() } },
    }

    /// Two rows have the same name.
    DuplicateName { what: &'static str, name: String, first: String } = Stop "duplicate-name" {
        found: "\"{name}\" names a second {what}; the first is at {first}.",
        remedy: "Give each {what} a name of its own.",
    }

    /// A cell that must be filled in is blank.
    MissingValue { column: String } = Stop "missing-value" {
        found: "{column} is blank.",
        remedy: "Fill it in, or clear the row.",
    }

    /// A cell holds something other than what belongs there.
    WrongKind {
        column: String,
        found: String,
        expected: String,
        needed: bool,
    } = Stop if needed else Fix "wrong-kind" {
        found: "{column} holds \"{found}\"; expected {expected}.",
        remedy: "Write {expected}.",
    }

    /// A cell holds a word that is not in its list.
    UnknownChoice {
        column: String,
        found: String,
        nearest: Option<String>,
        list: Vec<&'static str>,
    } = Stop "unknown-choice" {
        found: ("{column} holds \"{found}\", which is not in its list.{}", did_you_mean(nearest.as_deref())),
        remedy: ("Write one of: {}.", list.join(", ")),
    }

    /// A size that a spreadsheet program turned into a date was read as that size.
    SizeFromDate { date: String, size: String } = Fix "size-from-date" {
        found: "The cell holds a date ({date}), as spreadsheet programs make of {size}; it was read as {size}.",
        remedy: "Type '{size} (with the apostrophe) so that it stays a size.",
    }

    /// A date typed as text was read as month, day, year.
    DateFromText { column: String, found: String, date: String } = Note "date-from-text" {
        found: "{column} holds the text \"{found}\", read as {date}: month, day, year.",
        remedy: "Type it as a date, or as 2026-05-30, to make it plain.",
    }

    /// A cell holds a date where a number or a size belongs.
    DateInCell {
        column: String,
        date: String,
        /// A size belongs there, else a number.
        size: bool,
        needed: bool,
    } = Stop if (size || needed) else Fix "date-in-cell" {
        found: {
            match size {
                true => format!("{column} holds a date ({date}), which could have been more than one size, or none."),
                false => format!("{column} holds a date or a time ({date}) where a number belongs."),
            }
        },
        remedy: {
            match size {
                true => "Type the size as text, with an apostrophe before it: '1/2.",
                false => "Type the number again, and set the cell's format to a number.",
            }
        },
    }

    /// A cell holds an error such as #REF!.
    FaultInCell { column: String, fault: String, needed: bool } = Stop if needed else Fix "fault-in-cell" {
        found: "{column} holds the error {fault}.",
        remedy: { fault_remedy(&fault) },
    }

    /// A number is negative that cannot be.
    NegativeValue { column: String, found: String } = Stop "negative-value" {
        found: "{column} is {found}; it cannot be negative.",
        remedy: "Write it without the minus.",
    }

    /// A formula has not been worked out.
    BlankFormula { column: String, needed: bool } = Stop if needed else Fix "blank-formula" {
        found: "{column} holds a formula that has not been worked out.",
        remedy: "Open the workbook in a spreadsheet program, which works it out, and save it.",
    }

    /// A percent was typed as a bare number.
    BarePercent { column: String, found: String, percent: String } = Note "bare-percent" {
        found: "{column} holds {found}, read as {percent}%.",
        remedy: "Write {percent}% to make it plain.",
    }

    /// A price cannot be read, or can mean two prices.
    PriceNotRead { found: String, problem: String, unit: String } = Stop "price-not-read" {
        found: "Price holds \"{found}\": {problem}.",
        remedy: "Write the price per {unit} as a number, such as 12.40. Leave it blank to ask for a quote.",
    }

    /// A price was typed with words beside it.
    PriceFromText { found: String, value: String, unit: String } = Note "price-from-text" {
        found: "Price holds the text \"{found}\", read as {value} per {unit}.",
        remedy: "Write the number alone to make it plain.",
    }

    /// The angle stop at a fixture is listed in Devices.
    AngleStopAsDevice { found: String } = Stop "angle-stop-as-device" {
        found: "Kind holds \"{found}\": that is the angle stop at a fixture, which the program counts with its \
             fixture.",
        remedy: "Take the row out. For a valve in the line, write shutoff valve or check valve.",
    }

    /// An item in Job is not in its list.
    UnknownSetting { found: String, nearest: Option<&'static str> } = Fix "unknown-setting" {
        found: ("There is no item \"{found}\" in Job.{}", did_you_mean(nearest)),
        remedy: "It was not read. Write the item's name as the guide lists it, or leave the row out.",
    }

    /// A margin, a share of the price, is given where Markup is on cost.
    MarginOnCost { found: String, value: String } = Fix "margin-on-cost" {
        found: "\"{found}\" ({value}) is a share of the price, and Markup is on cost. It was not read as Profit.",
        remedy: "Set Markup to on price to use it as Profit, or enter Profit as a percent of cost.",
    }

    /// The job has a no-flow pressure and no pressure at flow.
    StaticPressureAlone { used: &'static str } = Fix "static-pressure-alone" {
        found: "Static pressure is a no-flow reading, read as Highest pressure. There is no Supply pressure; {used} \
             psi is used.",
        remedy: "Measure the pressure with water running at peak hours, and enter it as Supply pressure.",
    }
}

fn fault_remedy(fault: &str) -> &'static str {
    match fault {
        "#REF!" => "Its formula refers to cells that are gone: write the formula or the value again.",
        "#DIV/0!" => "Its formula divides by zero or by a blank cell: fix the formula.",
        "#NAME?" => "Its formula names something that does not exist: fix the formula.",
        "#N/A" => "Its formula looked for something and did not find it: fix the formula.",
        _ => "Fix the formula, or write the value.",
    }
}
