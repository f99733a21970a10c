//! What the checks find of numbers and names, whatever the sheet.

use crate::finding::findings;

findings! {
    /// A count is not a whole number.
    NotWhole { column: &'static str, found: String } = Stop "not-whole" {
        found: "{column} is {found}; it must be a whole number.",
        remedy: "Write a whole number.",
    }

    /// A number is outside what is possible.
    OutOfRange { column: &'static str, found: String, possible: String, usual: String } = Stop "out-of-range" {
        found: "{column} is {found}. The program takes {possible}.",
        remedy: {
            match usual == possible {
                true => "Correct it.".to_owned(),
                false => format!("Correct the number or its unit; {usual} is usual."),
            }
        },
    }

    /// A number is possible but unusual.
    UnlikelyValue { column: &'static str, found: String, usual: String } = Fix "unlikely-value" {
        found: "{column} is {found}; {usual} is usual.",
        remedy: "Check the number and its unit. OK if it is right.",
    }

    /// A row looks like a sum of the rows above it and would be counted with them.
    TotalRow { sheet: &'static str, found: String } = Fix "total-row" {
        found: "\"{found}\" counts like any other row of {sheet}, and so do the rows above it.",
        remedy: "Delete the row if it is their sum; the program adds up by itself. If not, give it another name.",
    }

    /// A name holds * ? or ~, which formulas take for a pattern.
    PatternName { column: &'static str, found: String } = Stop "pattern-name" {
        found: "{column} holds \"{found}\": formulas would take * ? ~ for a pattern.",
        remedy: "Leave these three signs out of the name.",
    }
}
