//! The words for what the rows and the rule tables say together.

use super::{Words, hint, listed, rows_in_ranges, sourced, words};
use crate::finding::Code;
use crate::finding::Severity::{Mend, Note, Stop};

/// `None` for a finding of another subject.
pub(super) fn of(code: &Code) -> Option<Words> {
    Some(match code {
        Code::UnknownName { what, found, nearest, remedy } => words(
            Stop,
            "unknown-name",
            format!("Found \"{found}\"; there is no {what} of that name.{}", hint(nearest.as_deref())),
            remedy,
        ),
        Code::DuplicateName { what, name, first } => words(
            Stop,
            "duplicate-name",
            format!("\"{name}\" names a second {what}; the first is at {first}."),
            format!("Give each {what} a name of its own."),
        ),
        Code::LoopedRuns { runs } => words(
            Stop,
            "looped-runs",
            format!("These runs feed each other in a ring: {}.", runs.join(" > ")),
            "Water pipe is figured as trees from SUPPLY. Take the return line of a recirculation loop out of Runs and \
             enter its pipe under Other costs; otherwise mend From.",
        ),
        Code::RunRemoved { what, name, run } => words(
            Stop,
            "run-removed",
            format!("The {what} {name} hangs on the run {run}, which comes out (Status remove)."),
            "Name a run that stays, or let this one stay.",
        ),
        Code::PriceNotUsed { kind, nearest } => words(
            Mend,
            "price-not-used",
            format!("Nothing asks for a \"{kind}\". Did you mean \"{nearest}\"?"),
            "Write the kind as the Take-off sheet names it; as it stands, the price is not used.",
        ),
        Code::PricesNotUsed { kinds } => words(
            Note,
            "prices-not-used",
            format!("Nothing that is counted here asks for these kinds: {}.", listed(kinds)),
            "Their prices are carried along and are in no total. Enter what the job needs of them under Other costs.",
        ),
        Code::WellNotCounted => words(
            Note,
            "well-not-counted",
            "The supply is a well: SUPPLY stands at the outlet of its pressure tank.".to_owned(),
            "Pump, drop pipe, tank, tank tee, pressure switch, gauge, check and relief valves are in no quantity: enter them under \
             Other costs, or leave them out by name in Terms. Supply pressure is the pump's cut-in.",
        ),
        Code::PricesOpen { rows } => words(
            Note,
            "prices-open",
            format!(
                "{} of Prices without a price: {}.",
                if rows.len() == 1 { "Row" } else { "Rows" },
                rows_in_ranges(rows)
            ),
            "A row without a price asks for a quote (`order` and `order --ask`) and offers nothing. Fill in Price to use it.",
        ),
        Code::OtherEdition { asked, tables } => words(
            Note,
            "other-edition",
            format!("Code basis is {asked}; the tables used are of {tables}."),
            "Compare the two where they differ, and put local rows on sheets named Units, Demand, Outlets or Limits.",
        ),
        Code::PriceOfNothing { rows } => words(
            Note,
            "price-of-nothing",
            format!(
                "Price is 0 in {} of Prices: what costs nothing is bought before every other offer.",
                rows_of(rows)
            ),
            "Right for what is given; else fill in the price, or clear the row until it is quoted.",
        ),
        Code::PackMissing { kind, unit } => words(
            Mend,
            "pack-missing",
            format!("A {unit} of {kind} has no Pack; it is counted as holding one foot or piece."),
            "Fill in how many feet or pieces one of them holds.",
        ),
        Code::TaskNotUsed { task, nearest } => words(
            Mend,
            "task-not-used",
            format!("Nothing asks for the task \"{task}\".{}", hint(nearest.as_deref())),
            "Write the task as the Hours sheet names it, or enter the work under Other costs.",
        ),
        Code::SharesNotWhole { percent } => words(
            Mend,
            "shares-not-whole",
            format!("The shares of the payments come to {percent}%; the last payment is made to take what is left."),
            "Make them come to 100%.",
        ),
        Code::QuoteTooOld { rows, supplier, quoted, days, limit } => words(
            Mend,
            "quote-too-old",
            format!(
                "{} on {quoted}, {days} days before the bid; Price age limit is {limit} days.",
                quoted_by(*rows, supplier)
            ),
            "Ask for the price again, and write the new date under Quoted.",
        ),
        Code::QuotedLater { rows, supplier, quoted, date } => words(
            Note,
            "quoted-later",
            format!("{} on {quoted}, after the bid's Date {date}.", quoted_by(*rows, supplier)),
            "Mend the one that is wrong.",
        ),
        Code::QuotesNotJudged { quotes } => words(
            Note,
            "quotes-not-judged",
            format!("The bid has no Date, so the age of no price is judged; dates under Quoted: {quotes}."),
            "Fill in Date in Job.",
        ),
        Code::SupplyOverHighest { supply, highest } => words(
            Mend,
            "supply-over-highest",
            format!(
                "Supply pressure is {supply} psi, the lowest to design on; Highest pressure is only {highest} psi."
            ),
            "Mend the one that is wrong.",
        ),
        Code::DrainsNotPriced { rows } => words(
            Note,
            "drains-not-priced",
            format!(
                "Drain runs listed: {rows}. Drain, waste and vent pipe is in no quantity, hour or price of this bid."
            ),
            "Enter it under Other costs, or leave it out by name in Terms. The bid says that it is not included.",
        ),
        Code::FixtureWithoutRun { tag } => words(
            Mend,
            "fixture-without-run",
            format!("{tag} has neither a Cold run nor a Hot run: it loads no pipe."),
            "Name the run whose end feeds it.",
        ),
        Code::HotRunWithoutHeater { run } => words(
            Mend,
            "hot-run-without-heater",
            format!("No heater stands in the run {run} or above it: its water is cold."),
            "Enter the heater in Devices, on the first hot run; or name another Hot run.",
        ),
        Code::ColdRunIsHot { run, heater } => words(
            Mend,
            "cold-run-is-hot",
            format!("The run {run} is fed through the heater {heater}: its water is hot."),
            "Name a run above the heater as the Cold run.",
        ),
        Code::ReservedName { found } => words(
            Stop,
            "reserved-name",
            format!("The run {found} comes from itself: {found} also means the supply."),
            "Give the run another name, or write SUPPLY in From.",
        ),
        Code::ZeroLength { run } => words(
            Mend,
            "zero-length",
            format!("The new run {run} is 0 ft long: it takes no pipe."),
            "Enter its developed length, risers included.",
        ),
        Code::RiseOverLength { rise, length } => words(
            Stop,
            "rise-over-length",
            format!("The run rises {rise} ft, but is only {length} ft long."),
            "Length ft is the developed length, risers included: mend one of the two.",
        ),
        Code::NotWhole { column, found } => words(
            Stop,
            "not-whole",
            format!("{column} is {found}; it must be a whole number."),
            "Write a whole number.",
        ),
        Code::OutOfRange { column, found, possible, usual } => words(
            Stop,
            "out-of-range",
            format!("{column} is {found}. The program takes {possible}."),
            match usual == possible {
                true => "Correct it.".to_owned(),
                false => format!("Correct the number or its unit; {usual} is usual."),
            },
        ),
        Code::UnlikelyValue { column, found, usual } => words(
            Mend,
            "unlikely-value",
            format!("{column} is {found}; {usual} is usual."),
            "Check the number and its unit. OK if it is right.",
        ),
        Code::TotalRow { sheet, found } => words(
            Mend,
            "total-row",
            format!("\"{found}\" counts like any other row of {sheet}, and so do the rows above it."),
            "Delete the row if it is their sum; the program adds up by itself. If not, give it another name.",
        ),
        Code::PatternName { column, found } => words(
            Stop,
            "pattern-name",
            format!("{column} holds \"{found}\": formulas would take * ? ~ for a pattern."),
            "Leave these three signs out of the name.",
        ),
        Code::OtherWithoutGpm { tag } => words(
            Stop,
            "other-without-gpm",
            format!("{tag} is of no listed kind (other), and its Gpm is blank."),
            "Enter the flow it takes in Gpm.",
        ),
        Code::BadRuleRow { table, row, column, found, expected } => {
            let at = if row.is_empty() { String::new() } else { format!("In {row}: ") };
            let verb = if row.is_empty() { "Found" } else { "found" };
            let column = if column.is_empty() { String::new() } else { format!(" under {column}") };
            words(
                Stop,
                "bad-rule-row",
                format!("{at}{verb} \"{found}\"{column}; expected {expected}."),
                format!("Mend the row, or take it out: then the built-in {table} table speaks."),
            )
        }
        Code::MissingRuleColumn { table, file, missing } => words(
            Stop,
            "missing-rule-column",
            format!("\"{file}\" has no column {}.", missing.join(", ")),
            format!("Give it the headings of the {table} table; `tallybore rules {table}` lists them."),
        ),
        Code::RuleHeading { table, file, found, nearest, lost } => words(
            if *lost { Mend } else { Note },
            "rule-heading",
            format!("The column \"{found}\" of \"{file}\" is not read.{}", hint(nearest.as_deref())),
            format!("`tallybore rules {table}` lists the headings of the {table} table."),
        ),
        Code::RulesChanged { table, from, replaced, added } => words(
            Note,
            "rules-changed",
            format!("\"{from}\" changes the {table} table: it replaces {replaced} and adds {added} of its rows."),
            "Your own rows go before the built-in ones.",
        ),
        Code::HazardousPipe { run, material } => sourced(
            words(
                Stop,
                "hazardous-pipe",
                match *material {
                    "lead" => format!("Run {run} is of lead, and is to carry water that people drink."),
                    _ => format!("Run {run} is of {material}, whose fittings fail; nobody joins to it."),
                },
                "Ask the owner before going on. Give it the Status remove and enter the new pipe in its place, or end \
                 the job where it begins.",
            ),
            match *material {
                "lead" => "Safe Drinking Water Act, section 1417; 40 CFR 141.43 (from memory)",
                _ => "in no table of water pipe of the codes in use; common practice",
            },
        ),
        _ => return None,
    })
}

/// `row 20`, `rows 20, 21`.
fn rows_of(rows: &[String]) -> String {
    format!("{} {}", if rows.len() == 1 { "row" } else { "rows" }, rows.join(", "))
}

/// `This price and 3 more were quoted by Quillmoor Supply`
fn quoted_by(rows: usize, supplier: &str) -> String {
    let what = match rows {
        1 => "This price was".to_owned(),
        _ => format!("This price and {} more were", rows - 1),
    };
    let by = if supplier.is_empty() { String::new() } else { format!(" by {supplier}") };
    format!("{what} quoted{by}")
}
