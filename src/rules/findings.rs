//! What is wrong with the user's own rule tables, and what they change.

use crate::finding::findings;
use crate::finding::phrases::did_you_mean;

findings! {
    /// A row of your rule tables cannot be used.
    BadRuleRow {
        table: &'static str,
        /// File and line where there is no cell, else empty.
        row: String,
        column: String,
        found: String,
        expected: String,
    } = Stop "bad-rule-row" {
        found: {
            let head = if row.is_empty() { "Found".to_owned() } else { format!("In {row}: found") };
            let under = if column.is_empty() { String::new() } else { format!(" under {column}") };
            format!("{head} \"{found}\"{under}; expected {expected}.")
        },
        remedy: "Fix the row, or take it out: then the built-in {table} table speaks.",
    }

    /// A rule table of yours lacks a column.
    MissingRuleColumn { table: &'static str, file: String, missing: Vec<String> } = Stop "missing-rule-column" {
        found: ("\"{file}\" has no column {}.", missing.join(", ")),
        remedy: "Give it the headings of the {table} table; `tallybore rules {table}` lists them.",
    }

    /// A column of a rule table of yours is not read.
    RuleHeading {
        table: &'static str,
        file: String,
        found: String,
        nearest: Option<String>,
        lost: bool,
    } = Fix if lost else Note "rule-heading" {
        found: ("The column \"{found}\" of \"{file}\" is not read.{}", did_you_mean(nearest.as_deref())),
        remedy: "`tallybore rules {table}` lists the headings of the {table} table.",
    }

    /// Your rows replace or add to a built-in rule table.
    RulesChanged { table: &'static str, from: String, replaced: usize, added: usize } = Note "rules-changed" {
        found: "\"{from}\" changes the {table} table: it replaces {replaced} and adds {added} of its rows.",
        remedy: "Your own rows go before the built-in ones.",
    }
}
