//! Every finding the engine can make: a variant each, facts as fields. The words are made here and nowhere else.

use super::Severity::{self, Mend, Note, Stop};

/// What was found, with the facts needed to say it.
#[derive(Debug, Clone, PartialEq)]
pub enum Code {
    /// A name that nothing bears. `what` is the kind of thing looked for: "run", "setting", "fixture".
    UnknownName { what: &'static str, found: String, nearest: Option<String>, remedy: String },
    /// Two rows of one sheet bear the same name.
    DuplicateName { what: &'static str, name: String, first: String },
    /// Runs that feed each other in a ring.
    LoopedRuns { runs: Vec<String> },
    /// A row of the user's rule tables that cannot be used. `row` names file and line where there is no cell.
    BadRuleRow { table: &'static str, row: String, column: String, found: String, expected: String },
    /// A user's rule table without a heading that it needs.
    MissingRuleColumn { table: &'static str, file: String, missing: Vec<String> },
    /// Rows of a rule table that the user's own replace or add to.
    RulesChanged { table: &'static str, from: String, replaced: usize, added: usize },
    /// Something inside the program did not hold; never the user's fault.
    Internal { detail: String },
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
