//! `--try`: every combination of the values given, priced.

use super::against;
use super::edits::{self, Edit};
use crate::commands::findings::TriedInVain;
use crate::finding::{Finding, Severity};
use crate::model::Setting;
use crate::parallel::in_parallel;
use crate::pipeline::{self, Options, Tables};
use crate::read::Reading;
use crate::revise::Summary;
use crate::revise::findings::EditNotRead;
use crate::revise::what_if::{Outcome, Tried, WhatIf, combinations};

/// Nobody reads more rows than this, and each is a whole job priced.
const MOST: usize = 2_000;

/// One input and the values it is to take.
pub struct Try {
    name: String,
    values: Vec<String>,
    edits: Vec<Edit>,
}

/// Reads `NAME=VALUE,VALUE,...`; what is wrong with any of them is told at once.
///
/// # Errors
/// What is wrong with any of them.
pub fn parse(reading: &Reading, typed: &[String]) -> Result<Vec<Try>, Vec<Finding>> {
    let (mut tries, mut wrong) = (Vec::new(), Vec::new());
    for typed in typed {
        let Some((name, list)) = typed.split_once('=') else {
            wrong.push(Finding::everywhere(EditNotRead {
                typed: crate::finding::excerpt(typed),
                expected: "a setting or a cell, and values parted by commas: \"main size=3/4,1\"".to_owned(),
            }));
            continue;
        };
        let mut of = Try { name: name.trim().to_owned(), values: Vec::new(), edits: Vec::new() };
        for value in list.split(',').map(str::trim) {
            match edits::parse(reading, &format!("{name}={value}")) {
                Ok(edit) => {
                    of.values.push(if value.is_empty() { "blank".to_owned() } else { value.to_owned() });
                    of.edits.push(edit);
                }
                Err(finding) => wrong.push(*finding),
            }
        }
        tries.push(of);
    }
    let count = tries.iter().try_fold(1_usize, |count, of: &Try| count.checked_mul(of.values.len()));
    if wrong.is_empty() && count.is_none_or(|count| count > MOST) {
        wrong.push(Finding::everywhere(EditNotRead {
            typed: format!("{} combinations", count.map_or_else(|| "countless".to_owned(), |count| count.to_string())),
            expected: format!("at most {MOST} combinations: fewer values"),
        }));
    }
    if wrong.is_empty() { Ok(tries) } else { Err(wrong) }
}

/// Prices every combination on top of the bid as it stands. `done` is told how many are through, of how many.
pub fn price(
    reading: &Reading,
    tries: &[Try],
    base: Summary,
    options: &Options,
    mut done: impl FnMut(usize, usize),
) -> (WhatIf, Vec<Finding>) {
    let lengths: Vec<usize> = tries.iter().map(|of| of.edits.len()).collect();
    let all = combinations(&lengths, MOST).unwrap_or_default();
    let free = Options { hold: options.hold, rule_files: options.rule_files.clone(), ..Options::default() };
    // The tables change only where a sheet of the user's own rules is changed, or the edition of the code.
    let rules = |edit: &Edit| match edit {
        Edit::Cell(cell) => {
            reading.book.sheets.iter().any(|s| s.name == cell.place.sheet && s.declared.is_none())
                || reading.job.settings.get(&Setting::CodeBasis).is_some_and(|of| of.cell.as_ref() == Some(&cell.place))
        }
        Edit::Setting(assignment) => assignment.setting == Setting::CodeBasis,
    };
    let fixed = (!tries.iter().flat_map(|of| &of.edits).any(rules)).then(|| Tables::of(&reading.job, &free.rule_files));
    let outcome = |row: &Vec<usize>| {
        let edits: Vec<Edit> = tries.iter().zip(row).filter_map(|(of, at)| of.edits.get(*at).cloned()).collect();
        let changed = edits::apply(reading, &edits)?;
        let priced = match &fixed {
            Some(tables) => pipeline::sum_up(&changed.job, &changed.findings, tables, &free),
            None => against::priced(&changed, &free),
        };
        priced.map(|summary| Outcome::of(&summary, &base))
    };
    let count = all.len();
    let outcomes = in_parallel(&all, outcome, |through| done(through, count));
    let mut findings = Vec::new();
    let rows = all.iter().zip(outcomes).map(|(row, outcome)| {
        let values: Vec<String> = tries.iter().zip(row).filter_map(|(of, at)| of.values.get(*at).cloned()).collect();
        let outcome = outcome.map_err(|found| {
            let worst = found.iter().find(|finding| finding.severity == Severity::Stop);
            let reason = worst.map(|finding| finding.found.clone()).unwrap_or_default();
            let names = tries.iter().map(|of| of.name.as_str()).zip(&values);
            let tried = names.map(|(name, value)| format!("{name} {value}")).collect::<Vec<_>>().join(", ");
            findings.push(Finding::everywhere(TriedInVain { tried, reason: reason.clone() }));
            reason
        });
        Tried { values, outcome }
    });
    let rows = rows.collect();
    let inputs = tries.iter().map(|of| of.name.clone()).collect();
    (WhatIf { inputs, base, rows }, findings)
}
