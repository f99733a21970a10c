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

    // The file as a whole.
    NoSuchFile {
        path: String,
    },
    FolderGiven {
        path: String,
    },
    /// The system would not let us read it.
    UnreadableFile {
        reason: String,
    },
    EmptyFile,
    /// Its first bytes or its parts are those of something else.
    NotAWorkbook {
        looks_like: &'static str,
    },
    /// A compound file: an old .xls, or a workbook locked with a password (known to be one when `encrypted`).
    OldWorkbook {
        encrypted: bool,
    },
    /// An .xlsb.
    BinaryWorkbook,
    PasswordProtected,
    DamagedFile {
        detail: String,
    },
    /// More than a job workbook could need: `found` of `what`, where `limit` is the most that is read.
    OversizeFile {
        what: &'static str,
        found: u64,
        limit: u64,
    },
    MacrosLeftOut,

    // Sheets.
    /// `needed` when the sheet is one that this program reads.
    UnreadableSheet {
        sheet: String,
        reason: String,
        needed: bool,
    },
    MissingSheet {
        sheet: &'static str,
        nearest: Option<String>,
        present: Vec<String>,
    },
    /// A sheet that is not read, with a name near to one that would be.
    NearSheet {
        found: String,
        nearest: &'static str,
    },
    /// Two sheets whose names both mean `meant`; `read` is the one that was read.
    TwoSheets {
        found: String,
        read: String,
        meant: &'static str,
    },
    HiddenSheet {
        sheet: String,
    },
    RenamedSheet {
        sheet: String,
        kept_as: String,
    },
    /// No row of the sheet has headings we know.
    NoHeadings {
        sheet: String,
        expected: Vec<&'static str>,
        needed: bool,
    },
    /// Headings, and nothing under them.
    NoRows {
        sheet: &'static str,
        needed: bool,
    },
    /// More findings on one sheet than anyone would read.
    MoreFindings {
        sheet: String,
        count: usize,
    },

    // Headings.
    MissingColumn {
        column: &'static str,
        nearest: Option<String>,
        present: Vec<String>,
    },
    NearHeading {
        found: String,
        nearest: &'static str,
    },
    /// `same` when the two headings are written alike; otherwise both mean `column`.
    DuplicateHeading {
        found: String,
        column: &'static str,
        first: String,
        same: bool,
    },
    /// A heading whose unit is not the column's.
    WrongUnit {
        found: String,
        column: &'static str,
        unit: String,
    },

    // Cells. `column` is the heading or the Job item.
    MissingValue {
        column: String,
        needed: bool,
    },
    WrongKind {
        column: String,
        found: String,
        expected: String,
        needed: bool,
    },
    UnknownChoice {
        column: String,
        found: String,
        nearest: Option<String>,
        list: Vec<&'static str>,
    },
    /// A size that a spreadsheet program turned into a date, read as the one size it can have been.
    SizeFromDate {
        date: String,
        size: String,
    },
    DateInCell {
        column: String,
        date: String,
        size: bool,
        needed: bool,
    },
    FaultInCell {
        column: String,
        fault: String,
        needed: bool,
    },
    NegativeValue {
        column: String,
        found: String,
    },
    /// A formula that no program has worked out yet.
    BlankFormula {
        column: String,
        needed: bool,
    },
    BarePercent {
        column: String,
        found: String,
        percent: String,
    },
    LongText {
        length: usize,
        kept: usize,
    },
    /// Formulas of a sheet that stand in the bid as values; `cell` is the first, `reason` says why.
    FormulasDropped {
        count: usize,
        cell: String,
        reason: &'static str,
    },

    // The Job sheet.
    UnknownSetting {
        found: String,
        nearest: Option<&'static str>,
    },

    // What the rows say together.
    /// `user` (a run, a fixture, a device) hangs on a run that comes out.
    RunRemoved {
        what: &'static str,
        name: String,
        run: String,
    },
    FixtureWithoutRun {
        tag: String,
    },
    /// A Hot run that no heater stands above.
    HotRunWithoutHeater {
        run: String,
    },
    /// A Cold run below a heater.
    ColdRunIsHot {
        run: String,
        heater: String,
    },
    /// A run that bears the name of the supply and comes from itself.
    ReservedName {
        found: String,
    },
    ZeroLength {
        run: String,
    },
    RiseOverLength {
        rise: String,
        length: String,
    },
    NotWhole {
        column: &'static str,
        found: String,
    },
    /// A zero where the engine divides.
    ZeroValue {
        column: &'static str,
    },
    OutOfRange {
        column: &'static str,
        found: String,
        low: String,
        high: String,
    },
    /// A name that a look-up formula would take for a pattern.
    PatternName {
        column: &'static str,
        found: String,
    },
    OtherWithoutGpm {
        tag: String,
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
    /// The table's row for a device is of another size.
    LossOfOtherSize {
        device: String,
        kind: String,
        size: String,
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
    /// Pipe of lead or polybutylene that is to carry water.
    HazardousPipe {
        run: String,
        material: &'static str,
    },
    /// Old pipe that stays and feeds nothing.
    DeadLeg {
        run: String,
    },
    /// A size of the user's own that is smaller than the code allows there.
    SizeUnderCode {
        run: String,
        size: String,
        least: String,
        source: Option<String>,
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
    /// New pipe from the supply without a shutoff.
    NoMainShutoff {
        run: String,
    },
    /// A fixture whose valve snaps shut (`sure`) or may, without an arrester.
    QuickClosingValve {
        tag: String,
        run: String,
        sure: bool,
    },
    /// A hose bibb that can freeze, without a valve inside.
    BibbFreezes {
        tag: String,
    },
    /// A hose bibb whose parts hold no vacuum breaker.
    BibbWithoutBreaker {
        tag: String,
    },
    /// A heater's tank whose water cannot go back to the main (`sure`) or may not, without an expansion tank.
    ClosedSystem {
        heater: String,
        by: String,
        sure: bool,
    },
    /// More runs and outlets than a manifold has ports.
    ManifoldPorts {
        manifold: String,
        needed: String,
        ports: String,
    },
    /// More flow than the code allows through a manifold of its size.
    ManifoldFlow {
        manifold: String,
        /// Its size, and what its body is made of.
        what: String,
        gpm: f64,
        most: rust_decimal::Decimal,
        source: String,
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

fn hint(nearest: Option<&str>) -> String {
    nearest.map(|n| format!(" Did you mean \"{n}\"?")).unwrap_or_default()
}

/// Names in a row, the first dozen of them.
fn listed(names: &[String]) -> String {
    match names.len() {
        0 => "none".to_owned(),
        1..=12 => names.join(", "),
        more => format!("{} and {} more", names[..12].join(", "), more - 12),
    }
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

fn sourced(words: Words, source: &str) -> Words {
    Words { source: Some(source.to_owned()), ..words }
}

impl Code {
    /// The words of this finding. One arm a code: severity, slug, what was found, what to do.
    pub fn words(&self) -> Words {
        match self {
            Self::UnknownName { what, found, nearest, remedy } => words(
                Stop,
                "unknown-name",
                format!("Found \"{found}\"; there is no {what} of that name.{}", hint(nearest.as_deref())),
                remedy,
            ),
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
            Self::NoSuchFile { path } => {
                words(Stop, "no-such-file", format!("There is no file {path}."), "Check the name and the folder.")
            }
            Self::FolderGiven { path } => {
                words(Stop, "folder-given", format!("{path} is a folder."), "Name the workbook in it.")
            }
            Self::UnreadableFile { reason } => words(
                Stop,
                "unreadable-file",
                format!("The file could not be read: {reason}."),
                "Check that it is closed elsewhere and that you may read it.",
            ),
            Self::EmptyFile => words(
                Stop,
                "empty-file",
                "The file is empty: it holds no bytes at all.".to_owned(),
                "Save the workbook again, or take it from a backup.",
            ),
            Self::NotAWorkbook { looks_like } => words(
                Stop,
                "not-a-workbook",
                format!("This is no workbook, whatever its name ends in; it looks like {looks_like}."),
                "Open it in a spreadsheet program and save it as .xlsx or .ods.",
            ),
            Self::OldWorkbook { encrypted: false } => words(
                Stop,
                "old-workbook",
                "This is a workbook of the old .xls kind, or one locked with a password.".to_owned(),
                "Open it in a spreadsheet program, take the password off if it has one, and save it as .xlsx.",
            ),
            Self::OldWorkbook { encrypted: true } | Self::PasswordProtected => words(
                Stop,
                "password-protected",
                "The workbook is locked with a password.".to_owned(),
                "Open it in a spreadsheet program, take the password off, and save it as .xlsx.",
            ),
            Self::BinaryWorkbook => words(
                Stop,
                "binary-workbook",
                "This is a workbook of the binary .xlsb kind.".to_owned(),
                "Open it in a spreadsheet program and save it as .xlsx.",
            ),
            Self::DamagedFile { detail } => words(
                Stop,
                "damaged-file",
                format!("The file is damaged: {detail}."),
                "Open it in a spreadsheet program, which may mend it, and save it as .xlsx; or take it from a backup.",
            ),
            Self::OversizeFile { what, found, limit } => words(
                Stop,
                "oversize-file",
                format!("The workbook has {found} {what}; at most {limit} are read."),
                "Delete what is not needed for the job (far rows and columns, pictures), and save it again.",
            ),
            Self::MacrosLeftOut => words(
                Note,
                "macros-left-out",
                "The workbook holds macros.".to_owned(),
                "They are never run and do not go into the bid.",
            ),
            Self::UnreadableSheet { sheet, reason, needed } => words(
                if *needed { Stop } else { Mend },
                "unreadable-sheet",
                format!("The sheet {sheet} could not be read: {reason}."),
                "Open the workbook in a spreadsheet program and save it again.",
            ),
            Self::MissingSheet { sheet, nearest, present } => words(
                Stop,
                "missing-sheet",
                format!("There is no sheet {sheet}; the workbook has {}.{}", listed(present), hint(nearest.as_deref())),
                format!("Name the sheet {sheet}, or add it; `start` writes a blank workbook with every sheet."),
            ),
            Self::NearSheet { found, nearest } => words(
                Note,
                "near-sheet",
                format!("The sheet \"{found}\" is not read.{}", hint(Some(nearest))),
                format!("If it is meant, name it {nearest}. Otherwise it is carried along as it stands."),
            ),
            Self::TwoSheets { found, read, meant } => words(
                Mend,
                "two-sheets",
                format!("\"{found}\" and \"{read}\" are both names of the sheet {meant}; only \"{read}\" was read."),
                "Put all rows on one sheet, or give the other one another name.",
            ),
            Self::HiddenSheet { sheet } => words(
                Note,
                "hidden-sheet",
                format!("The sheet {sheet} is hidden, and was read."),
                "Unhide it if you want to see what it says.",
            ),
            Self::RenamedSheet { sheet, kept_as } => words(
                Note,
                "renamed-sheet",
                format!("Your sheet \"{sheet}\" has the name of a sheet that the bid makes."),
                format!("It is kept in the bid as \"{kept_as}\"."),
            ),
            Self::NoHeadings { sheet, expected, needed } => words(
                if *needed { Stop } else { Mend },
                "no-headings",
                format!(
                    "No row of the sheet {sheet} (of its first 30) has the headings of this sheet; it was not read."
                ),
                format!("One row must hold the headings; these are needed: {}.", expected.join(", ")),
            ),
            Self::NoRows { sheet, needed } => words(
                if *needed { Stop } else { Note },
                "no-rows",
                format!("The sheet {sheet} has headings, but no rows under them."),
                if *needed { format!("Fill in at least one row of {sheet}.") } else { String::new() },
            ),
            Self::MoreFindings { sheet, count } => words(
                Note,
                "more-findings",
                format!("{count} more findings on the sheet {sheet} are not shown."),
                "Mend the ones that are; one cause often makes many.",
            ),
            Self::MissingColumn { column, nearest, present } => words(
                Stop,
                "missing-column",
                format!(
                    "There is no column {column}; the headings are {}.{}",
                    listed(present),
                    hint(nearest.as_deref())
                ),
                format!("Write {column} as the heading of that column."),
            ),
            Self::NearHeading { found, nearest } => words(
                Mend,
                "near-heading",
                format!("The column \"{found}\" is not read.{}", hint(Some(nearest))),
                format!("If it is meant, write {nearest} as its heading."),
            ),
            Self::DuplicateHeading { found, column, first, same } => words(
                if *same { Mend } else { Note },
                "duplicate-heading",
                format!("\"{found}\" is a second column {column}; the one at {first} was read."),
                "Keep one of them, or give the other another heading.",
            ),
            Self::WrongUnit { found, column, unit } => words(
                Stop,
                "wrong-unit",
                format!("The heading \"{found}\" is in {unit}; the column {column} is not."),
                format!("Convert the figures and write {column} as the heading."),
            ),
            Self::MissingValue { column, needed } => words(
                if *needed { Stop } else { Mend },
                "missing-value",
                format!("{column} is blank."),
                if *needed { "Fill it in, or clear the row." } else { "Fill it in; until then the row is not used." },
            ),
            Self::WrongKind { column, found, expected, needed } => words(
                if *needed { Stop } else { Mend },
                "wrong-kind",
                format!("{column} holds \"{found}\"; expected {expected}."),
                format!("Write {expected}."),
            ),
            Self::UnknownChoice { column, found, nearest, list } => words(
                Stop,
                "unknown-choice",
                format!("{column} holds \"{found}\", which is not in its list.{}", hint(nearest.as_deref())),
                format!("Write one of: {}.", list.join(", ")),
            ),
            Self::SizeFromDate { date, size } => words(
                Mend,
                "size-from-date",
                format!(
                    "The cell holds a date ({date}), as spreadsheet programs make of {size}; it was read as {size}."
                ),
                format!("Type '{size} (with the apostrophe) so that it stays a size."),
            ),
            Self::DateInCell { column, date, size: true, .. } => words(
                Stop,
                "date-in-cell",
                format!("{column} holds a date ({date}), which could have been more than one size, or none."),
                "Type the size as text, with an apostrophe before it: '1/2.",
            ),
            Self::DateInCell { column, date, size: false, needed } => words(
                if *needed { Stop } else { Mend },
                "date-in-cell",
                format!("{column} holds a date or a time ({date}) where a number belongs."),
                "Type the number again, and set the cell's format to a number.",
            ),
            Self::FaultInCell { column, fault, needed } => words(
                if *needed { Stop } else { Mend },
                "fault-in-cell",
                format!("{column} holds the error {fault}."),
                fault_remedy(fault),
            ),
            Self::NegativeValue { column, found } => words(
                Stop,
                "negative-value",
                format!("{column} is {found}; it cannot be negative."),
                "Write it without the minus.",
            ),
            Self::BlankFormula { column, needed } => words(
                if *needed { Stop } else { Mend },
                "blank-formula",
                format!("{column} holds a formula that has not been worked out."),
                "Open the workbook in a spreadsheet program, which works it out, and save it.",
            ),
            Self::BarePercent { column, found, percent } => words(
                Note,
                "bare-percent",
                format!("{column} holds {found}, read as {percent} %."),
                format!("Write {percent}% to make it plain."),
            ),
            Self::LongText { length, kept } => words(
                Mend,
                "long-text",
                format!("The cell holds a text of {length} characters; spreadsheets hold {kept}."),
                "The rest was left out.",
            ),
            Self::FormulasDropped { count, cell, reason } => words(
                Note,
                "formulas-dropped",
                match count {
                    1 => format!("The formula in {cell} {reason}."),
                    _ => format!(
                        "{count} formulas of this sheet cannot stand in the bid; the first, in {cell}, {reason}."
                    ),
                },
                "The bid holds the value in its place.",
            ),
            Self::UnknownSetting { found, nearest } => words(
                Mend,
                "unknown-setting",
                format!("There is no item \"{found}\" in Job.{}", hint(*nearest)),
                "It was not read. Write the item's name as the guide lists it, or leave the row out.",
            ),
            Self::RunRemoved { what, name, run } => words(
                Stop,
                "run-removed",
                format!("The {what} {name} hangs on the run {run}, which comes out (Status remove)."),
                "Name a run that stays, or let this one stay.",
            ),
            Self::FixtureWithoutRun { tag } => words(
                Mend,
                "fixture-without-run",
                format!("{tag} has neither a Cold run nor a Hot run: it loads no pipe."),
                "Name the run whose end feeds it.",
            ),
            Self::HotRunWithoutHeater { run } => words(
                Mend,
                "hot-run-without-heater",
                format!("No heater stands in the run {run} or above it: its water is cold."),
                "Enter the heater in Devices, on the first hot run; or name another Hot run.",
            ),
            Self::ColdRunIsHot { run, heater } => words(
                Mend,
                "cold-run-is-hot",
                format!("The run {run} is fed through the heater {heater}: its water is hot."),
                "Name a run above the heater as the Cold run.",
            ),
            Self::ReservedName { found } => words(
                Stop,
                "reserved-name",
                format!("The run {found} comes from itself: {found} also means the supply."),
                "Give the run another name, or write SUPPLY in From.",
            ),
            Self::ZeroLength { run } => words(
                Mend,
                "zero-length",
                format!("The new run {run} is 0 ft long: it takes no pipe."),
                "Enter its developed length, risers included.",
            ),
            Self::RiseOverLength { rise, length } => words(
                Stop,
                "rise-over-length",
                format!("The run rises {rise} ft, but is only {length} ft long."),
                "Length ft is the developed length, risers included: mend one of the two.",
            ),
            Self::NotWhole { column, found } => words(
                Stop,
                "not-whole",
                format!("{column} is {found}; it must be a whole number."),
                "Write a whole number.",
            ),
            Self::ZeroValue { column } => {
                words(Stop, "zero-value", format!("{column} is 0."), "Write a number above 0, or leave it blank.")
            }
            Self::OutOfRange { column, found, low, high } => words(
                Stop,
                "out-of-range",
                format!("{column} is {found}; it must be between {low} and {high}."),
                format!("Write a number between {low} and {high}."),
            ),
            Self::PatternName { column, found } => words(
                Stop,
                "pattern-name",
                format!("{column} holds \"{found}\": formulas would take * ? ~ for a pattern."),
                "Leave these three signs out of the name.",
            ),
            Self::OtherWithoutGpm { tag } => words(
                Stop,
                "other-without-gpm",
                format!("{tag} is of no listed kind (other), and its Gpm is blank."),
                "Enter the flow it takes in Gpm.",
            ),
            Self::BadRuleRow { table, row, column, found, expected } => {
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
            Self::LossOfOtherSize { device, kind, size } => words(
                Mend,
                "loss-of-other-size",
                format!("The table has no {kind} of {device}'s size; the loss of a {size} one is used."),
                "Fill in Rated gpm and Loss psi from the maker's sheet.",
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
            Self::HazardousPipe { run, material } => sourced(
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
            Self::DeadLeg { run } => words(
                Note,
                "dead-leg",
                format!("Existing run {run} feeds nothing: water stands in it."),
                "Give it the Status remove (a cap is then counted where it leaves the main), or name it where it is used.",
            ),
            Self::SizeUnderCode { run, size, least, source } => Words {
                source: source.clone(),
                ..words(
                    Mend,
                    "size-under-code",
                    format!("Run {run} is {size}; the least that the code allows there is {least}."),
                    "Use that size or a larger one, or put the local limit on a sheet named Limits.",
                )
            },
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
            Self::NoMainShutoff { run } => sourced(
                words(
                    Mend,
                    "no-main-shutoff",
                    format!("The main, which begins with run {run}, has no shutoff valve in Devices."),
                    "Add one to Devices, or set Shutoff valves in Job to main.",
                ),
                "IRC P2903.9.1; IPC 606.1 (from memory)",
            ),
            Self::QuickClosingValve { tag, run, sure } => sourced(
                words(
                    if *sure { Mend } else { Note },
                    "quick-closing-valve",
                    match sure {
                        true => format!("The valve of {tag} snaps shut, and run {run} has no hammer arrester."),
                        false => format!("If the valve of {tag} snaps shut, run {run} needs a hammer arrester."),
                    },
                    match sure {
                        true => "Add one to Devices, or set Hammer arresters in Job to at quick-closing valves.",
                        false => "Add one to Devices, unless the valve closes slowly.",
                    },
                ),
                "IRC P2903.5",
            ),
            Self::BibbFreezes { tag } => sourced(
                words(
                    Note,
                    "bibb-freezes",
                    format!("Hose bibb {tag} is where it freezes, and no valve inside drains it."),
                    "Right for a frostproof bibb whose stem reaches into heated space; else set Hose bibb shutoffs in Job \
                     to where it freezes.",
                ),
                "IRC P2903.10",
            ),
            Self::BibbWithoutBreaker { tag } => sourced(
                words(
                    Note,
                    "bibb-without-breaker",
                    format!("No vacuum breaker is counted for hose bibb {tag}."),
                    "Right for a bibb with one built in; else list it on the Assemblies sheet.",
                ),
                "IRC P2902.4.3",
            ),
            Self::ClosedSystem { heater, by, sure } => sourced(
                words(
                    if *sure { Mend } else { Note },
                    "closed-system",
                    match sure {
                        true => {
                            format!("{by} lets no water back from heater {heater}, and there is no expansion tank.")
                        }
                        false => format!("If there is a check valve in {by}, heater {heater} needs an expansion tank."),
                    },
                    match sure {
                        true => "Add one to Devices, or set Expansion control in Job to where closed.",
                        false => "Ask who owns the meter; add an expansion tank to Devices where it has one.",
                    },
                ),
                "IRC P2903.4",
            ),
            Self::ManifoldPorts { manifold, needed, ports } => words(
                Mend,
                "manifold-ports",
                format!("{needed} lines come from manifold {manifold}, which has {ports} ports."),
                "A manifold with more ports, or a second one; else feed some of the lines from another run.",
            ),
            Self::ManifoldFlow { manifold, what, gpm, most, source } => sourced(
                words(
                    Mend,
                    "manifold-flow",
                    format!(
                        "Manifold {manifold} ({what}) carries {gpm:.1} gpm at peak; {most} gpm is the most for its size."
                    ),
                    "A larger manifold, or two of them.",
                ),
                source,
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

    /// True when the trouble is the file or the system, not what the workbook says.
    pub fn is_file_trouble(&self) -> bool {
        matches!(
            self,
            Self::NoSuchFile { .. }
                | Self::FolderGiven { .. }
                | Self::UnreadableFile { .. }
                | Self::EmptyFile
                | Self::NotAWorkbook { .. }
                | Self::OldWorkbook { .. }
                | Self::BinaryWorkbook
                | Self::PasswordProtected
                | Self::DamagedFile { .. }
                | Self::OversizeFile { .. }
        )
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
