//! Every finding the engine can make: a variant each, facts as fields. The words are made here and nowhere else.

use super::Severity::{self, Mend, Note, Stop};
use crate::model::book_text::TextProblem;

/// What was found, with the facts needed to say it.
#[derive(Debug, Clone, PartialEq)]
pub enum Code {
    /// A name that nothing bears. `what` is the kind of thing looked for: "run", "setting", "fixture".
    UnknownName {
        what: &'static str,
        found: String,
        nearest: Option<String>,
        remedy: String,
    },
    /// Two rows of one sheet bear the same name.
    DuplicateName {
        what: &'static str,
        name: String,
        first: String,
    },
    /// Runs that feed each other in a ring.
    LoopedRuns {
        runs: Vec<String>,
    },
    /// A row of the user's rule tables that cannot be used. `row` names file and line where there is no cell.
    BadRuleRow {
        table: &'static str,
        row: String,
        column: String,
        found: String,
        expected: String,
    },
    /// A user's rule table without a heading that it needs.
    MissingRuleColumn {
        table: &'static str,
        file: String,
        missing: Vec<String>,
    },
    /// Rows of a rule table that the user's own replace or add to.
    RulesChanged {
        table: &'static str,
        from: String,
        replaced: usize,
        added: usize,
    },
    /// A line of a workbook in text form cannot be read. Lines count from 1.
    BookText {
        line: usize,
        problem: TextProblem,
    },
    /// The IRC is for dwellings, and the job is open to the public.
    CodeForDwellingsOnly,
    /// The code gives this fixture no units.
    FixtureWithoutUnits {
        fixture: String,
        code: String,
        occupancy: String,
    },
    /// A hot side on a run that no heater feeds, or a cold side on one that a heater does.
    WrongWater {
        tag: String,
        run: String,
        side: &'static str,
    },
    /// A Group that begins with no group's name, or that the code has no value for.
    UnknownGroup {
        group: String,
        known: Vec<String>,
    },
    /// A group without all its members.
    GroupIncomplete {
        group: String,
        missing: Vec<String>,
    },
    /// More fixture units than the demand table goes to.
    LoadAboveTable {
        run: String,
        units: String,
    },
    /// A device without a loss, its own or the table's.
    DeviceWithoutLoss {
        device: String,
        kind: String,
    },
    RegulatorWithoutSetting {
        device: String,
    },
    /// An existing run without a size.
    ExistingSizeAssumed {
        run: String,
        size: String,
    },
    /// A size that the material does not come in, or none at all.
    SizeNotInTable {
        run: String,
        size: String,
        material: String,
    },
    ShortOfPressure {
        run: String,
        by_psi: String,
    },
    TooFast {
        run: String,
        size: String,
        velocity: String,
        limit: String,
    },
    /// The supply is over what the code allows without a regulator.
    PressureTooHigh {
        psi: String,
        allowed: String,
    },
    /// A well's pump gives less than the job can draw.
    PumpTooSmall {
        asked: String,
        pump: String,
    },
    /// A fixture or device that no assembly speaks for.
    NoAssembly {
        what: String,
    },
    /// Something the job needs that nobody has priced.
    NoPrice {
        item: String,
        quantity: String,
    },
    /// Overhead and profit as shares of price leave nothing for the cost.
    MarkupOverPrice {
        percent: String,
    },
    /// A task without hours, in Labor or in the starting values.
    NoHours {
        task: String,
    },
    /// Something inside the program did not hold; never the user's fault.
    Internal {
        detail: String,
    },
}

/// A finding put into words.
pub struct Words {
    pub severity: Severity,
    pub slug: &'static str,
    pub found: String,
    pub remedy: String,
    /// The rule behind it: document, edition, table.
    pub source: Option<String>,
}

fn words(severity: Severity, slug: &'static str, found: String, remedy: impl Into<String>) -> Words {
    Words { severity, slug, found, remedy: remedy.into(), source: None }
}

fn sourced(words: Words, source: &str) -> Words {
    Words { source: Some(source.to_owned()), ..words }
}

impl Code {
    /// The words of this finding. One arm a code: severity, slug, what was found, what to do.
    pub fn words(&self) -> Words {
        match self {
            Self::UnknownName { what, found, nearest, remedy } => {
                let hint = nearest.as_ref().map(|n| format!(" Did you mean \"{n}\"?")).unwrap_or_default();
                words(
                    Stop,
                    "unknown-name",
                    format!("Found \"{found}\"; there is no {what} of that name.{hint}"),
                    remedy,
                )
            }
            Self::DuplicateName { what, name, first } => words(
                Stop,
                "duplicate-name",
                format!("\"{name}\" names a second {what}; the first is at {first}."),
                format!("Give each {what} a name of its own."),
            ),
            Self::LoopedRuns { runs } => words(
                Stop,
                "looped-runs",
                format!("These runs feed each other in a ring: {}.", runs.join(" > ")),
                "Water pipe is figured as trees from SUPPLY. Take the return line of a recirculation loop out of Runs and \
                 enter its pipe under Other costs; otherwise mend From.",
            ),
            Self::BadRuleRow { table, row, column, found, expected } => {
                let at = if row.is_empty() { String::new() } else { format!("In {row}: ") };
                let column = if column.is_empty() { String::new() } else { format!(" under {column}") };
                words(
                    Stop,
                    "bad-rule-row",
                    format!("{at}found \"{found}\"{column}; expected {expected}."),
                    format!("Mend the row, or take it out: then the built-in {table} table speaks."),
                )
            }
            Self::MissingRuleColumn { table, file, missing } => words(
                Stop,
                "missing-rule-column",
                format!("\"{file}\" has no column {}.", missing.join(", ")),
                format!("Give it the headings of the {table} table; `tallybore rules {table}` lists them."),
            ),
            Self::RulesChanged { table, from, replaced, added } => words(
                Note,
                "rules-changed",
                format!("\"{from}\" replaces {replaced} and adds {added} rows of the {table} table."),
                "Your own rows go before the built-in ones.",
            ),
            Self::BookText { line, problem } => {
                let (found, remedy) = match problem {
                    TextProblem::NoSheets => (
                        "there is no sheet in the text".to_owned(),
                        "Begin with a line such as [Job], then its headings, then its rows.",
                    ),
                    TextProblem::OutsideSheet => (
                        "something stands before the first sheet".to_owned(),
                        "Begin with a line such as [Job], then its headings, then its rows.",
                    ),
                    TextProblem::SheetName { name } => (
                        format!("\"{name}\" cannot be the name of a sheet"),
                        "Give it 1 to 31 characters, none of them [ ] : * ? / \\ and no single quote at either end.",
                    ),
                    TextProblem::SheetAgain { name, first } => (
                        format!("sheet \"{name}\" stands a second time; the first begins on line {first}"),
                        "Put all rows of a sheet under one [name] line.",
                    ),
                    TextProblem::ExtraCells { cells, headings } => (
                        format!("the row has {cells} cells under {headings} headings"),
                        "Take out a bar, or write \\| where the bar belongs to the text.",
                    ),
                    TextProblem::NoHeadings { name } => (
                        format!("sheet \"{name}\" has no line of headings"),
                        "Write its headings on the line after its name, parted by bars.",
                    ),
                    TextProblem::LongCell { column } => (
                        format!(
                            "the cell under \"{column}\" holds over 32,767 characters, more than a spreadsheet cell can"
                        ),
                        "Shorten it.",
                    ),
                };
                words(Stop, "book-text", format!("Line {line}: {found}."), remedy)
            }
            Self::CodeForDwellingsOnly => sourced(
                words(
                    Stop,
                    "code-for-dwellings-only",
                    "The code basis is IRC, which is for dwellings, and the occupancy is public.".to_owned(),
                    "Set Code basis to IPC, or Occupancy to private where this is a dwelling.",
                ),
                "IRC R101.2, scope",
            ),
            Self::FixtureWithoutUnits { fixture, code, occupancy } => words(
                Stop,
                "fixture-without-units",
                format!("The {code} table for {occupancy} use has no fixture units for a {fixture}."),
                "Give its flow under Gpm, or its units on a sheet named Units.",
            ),
            Self::WrongWater { tag, run, side } => words(
                Mend,
                "wrong-water",
                match *side {
                    "hot" => format!("{tag} takes its hot side from {run}, which no heater feeds."),
                    _ => format!("{tag} takes its cold side from {run}, which a heater feeds."),
                },
                "Name another run, or put the heater on the run that starts the hot side.",
            ),
            Self::UnknownGroup { group, known } => words(
                Mend,
                "unknown-group",
                format!("The code has no value for a group \"{group}\"; its fixtures are counted singly."),
                format!("Begin Group with one of: {}; a label may follow.", known.join(", ")),
            ),
            Self::GroupIncomplete { group, missing } => words(
                Mend,
                "group-incomplete",
                format!("Group \"{group}\" has no {}; its fixtures are counted singly.", missing.join(", no ")),
                "Give the missing fixture the same Group, or leave Group blank.",
            ),
            Self::LoadAboveTable { run, units } => words(
                Stop,
                "load-above-table",
                format!("Run {run} serves {units} fixture units; the demand table ends below that."),
                "Split the supply, or put rows for larger loads on a sheet named Demand.",
            ),
            Self::DeviceWithoutLoss { device, kind } => words(
                Mend,
                "device-without-loss",
                format!(
                    "{device} ({kind}) has no Rated gpm and Loss psi, and the table has no row for it; it is counted as losing nothing."
                ),
                "Fill in both from the maker's sheet.",
            ),
            Self::RegulatorWithoutSetting { device } => words(
                Mend,
                "regulator-without-setting",
                format!("Regulator {device} has no Set psi; it is counted as wide open."),
                "Fill in the pressure it is set to.",
            ),
            Self::ExistingSizeAssumed { run, size } => words(
                Mend,
                "existing-size-assumed",
                format!("Existing run {run} has no Size; {size} is assumed, as new pipe would get."),
                "Measure it and fill in Size: a smaller old pipe would leave less pressure than shown.",
            ),
            Self::SizeNotInTable { run, size, material } => words(
                Stop,
                "size-not-in-table",
                match size.as_str() {
                    "" => format!(
                        "No size could be found for run {run}: the pipe table has none for {material} that may be used."
                    ),
                    _ => format!("Run {run} is {size} in {material}; the pipe table has no such pipe."),
                },
                "Write a size that the material comes in, or add it on a sheet named Pipe.",
            ),
            Self::ShortOfPressure { run, by_psi } => words(
                Mend,
                "short-of-pressure",
                format!("At the end of run {run} the pressure is {by_psi} psi short of what is needed there."),
                "Larger pipe on the way, a device that loses less, or more pressure at the supply.",
            ),
            Self::TooFast { run, size, velocity, limit } => words(
                Mend,
                "too-fast",
                format!("Water runs at {velocity} ft/s in run {run} ({size}); the limit is {limit} ft/s."),
                "Use the next size, or set the velocity limit in Job.",
            ),
            Self::PressureTooHigh { psi, allowed } => sourced(
                words(
                    Mend,
                    "pressure-too-high",
                    format!(
                        "The pressure can reach {psi} psi; over {allowed} psi a regulator is needed, and there is none."
                    ),
                    "Add a regulator to Devices, at the start of the main, and see to thermal expansion behind it.",
                ),
                "IRC P2903.3.1; UPC 608.2",
            ),
            Self::PumpTooSmall { asked, pump } => words(
                Mend,
                "pump-too-small",
                format!("The job can draw {asked} gpm; the pump gives {pump} gpm."),
                "A larger pump, or storage; else the pressure falls below cut-in at peak.",
            ),
            Self::NoAssembly { what } => words(
                Mend,
                "no-assembly",
                format!("No parts are listed for a {what}; none are counted."),
                "List its parts on a sheet named Assemblies.",
            ),
            Self::NoPrice { item, quantity } => words(
                Mend,
                "no-price",
                format!("{quantity} of {item} needed, and Prices has none; the line stands at zero."),
                "Add a row to Prices with this kind, material and size.",
            ),
            Self::MarkupOverPrice { percent } => words(
                Stop,
                "markup-over-price",
                format!("Overhead and profit are {percent} % of the price; nothing is left for the cost."),
                "Set Markup to on cost, or smaller shares.",
            ),
            Self::NoHours { task } => words(
                Mend,
                "no-hours",
                format!("There are no hours for the task \"{task}\"; it stands at zero."),
                "Add a row to Labor with this task.",
            ),
            Self::Internal { detail } => words(
                Stop,
                "internal",
                detail.clone(),
                "This is a fault of the program. Please report it with the workbook.",
            ),
        }
    }

    pub fn severity(&self) -> Severity {
        self.words().severity
    }

    pub fn slug(&self) -> &'static str {
        self.words().slug
    }

    pub fn found(&self) -> String {
        self.words().found
    }
}

#[allow(dead_code)]
const _SEVERITIES: [Severity; 3] = [Stop, Mend, Note];
