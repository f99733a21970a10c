//! What `revise --json` prints, in the form that `templates/revise.schema.json` describes. Money is text with its cents;
//! pressures, quantities and hours are numbers.

use crate::finding::Finding;
use crate::finding::json::{self, FindingJson};
use crate::revise::attribution::CHOSEN_ANEW;
use crate::revise::summary::Verdict;
use crate::revise::{Change, Comparison, Summary, WhatIf};
use rust_decimal::Decimal;
use serde::Serialize;

/// The form of the document; it changes when a reader of the old one could be misled.
const FORM: u32 = 1;

#[derive(Debug, Serialize)]
pub(crate) struct Document {
    form: u32,
    old: String,
    /// The second workbook, when two were given.
    new: Option<String>,
    /// The bid that was written; null when none was.
    pub output: Option<String>,
    /// Why no bid was written, when it was not for the findings.
    pub error: Option<String>,
    revision: Option<String>,
    old_total: Option<String>,
    new_total: Option<String>,
    difference: Option<String>,
    /// Lines that stand at nothing: while there are any, the difference is not complete.
    old_lines_without_price: Option<f64>,
    new_lines_without_price: Option<f64>,
    old_hours: Option<f64>,
    new_hours: Option<f64>,
    inputs: Vec<Input>,
    runs: Vec<Run>,
    lines: Vec<Line>,
    why: Vec<Why>,
    installed: Vec<Installed>,
    tried: Vec<Try>,
    findings: Vec<FindingJson>,
}

#[derive(Debug, Serialize)]
struct Input {
    what: String,
    change: Change,
    cell: Option<String>,
    old: String,
    new: String,
}

/// A run that is not as it was.
#[derive(Debug, Serialize)]
struct Run {
    run: String,
    old_pipe: Option<String>,
    new_pipe: Option<String>,
    old_end_psi: Option<f64>,
    new_end_psi: Option<f64>,
}

/// A line of the take-off that is not as it was.
#[derive(Debug, Serialize)]
struct Line {
    item: String,
    unit: &'static str,
    old: f64,
    new: f64,
    old_amount: String,
    new_amount: String,
    difference: String,
}

#[derive(Debug, Serialize)]
struct Why {
    what: String,
    /// Null when the change cannot stand by itself.
    difference: Option<String>,
    /// Lines that have no price with it, and stand at nothing; null for what is no change by itself.
    lines_without_price: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Installed {
    run: String,
    size: String,
    wanted: String,
    cost: String,
}

#[derive(Debug, Serialize)]
struct Try {
    values: Vec<Value>,
    /// Why it cannot be priced; null when it can.
    error: Option<String>,
    to_spare_psi: Option<f64>,
    run: Option<String>,
    passes: Option<bool>,
    /// `yes`, or what is wrong.
    verdict: Option<&'static str>,
    re_sized: Vec<String>,
    material: Option<String>,
    hours: Option<f64>,
    total: Option<String>,
    difference: Option<String>,
    cheapest: bool,
}

#[derive(Debug, Serialize)]
struct Value {
    input: String,
    value: String,
}

impl Document {
    /// A revision that was not made.
    pub(crate) fn stopped(old: &str, new: Option<&str>, file: &str, findings: &[Finding]) -> Self {
        Self {
            form: FORM,
            old: old.to_owned(),
            new: new.map(str::to_owned),
            output: None,
            error: None,
            revision: None,
            old_total: None,
            new_total: None,
            difference: None,
            old_lines_without_price: None,
            new_lines_without_price: None,
            old_hours: None,
            new_hours: None,
            inputs: Vec::new(),
            runs: Vec::new(),
            lines: Vec::new(),
            why: Vec::new(),
            installed: Vec::new(),
            tried: Vec::new(),
            findings: json::objects(file, findings),
        }
    }

    /// The old side, the new side, and what is known of the way between.
    pub(crate) fn compared(
        mut self,
        revision: &str,
        old: &Summary,
        new: &Summary,
        comparison: Option<&Comparison>,
    ) -> Self {
        self.revision = Some(revision.to_owned());
        self.old_total = Some(money(old.total));
        self.new_total = Some(money(new.total));
        self.difference = Some(money(new.total - old.total));
        self.old_lines_without_price = Some(number(old.unpriced));
        self.new_lines_without_price = Some(number(new.unpriced));
        self.old_hours = Some(number(old.all_hours));
        self.new_hours = Some(number(new.all_hours));
        self.runs = runs(old, new);
        self.lines = lines(old, new);
        let Some(comparison) = comparison else { return self };
        let input = |input: &crate::revise::InputChange| Input {
            what: input.what.clone(),
            change: input.change,
            cell: input.new_place.as_ref().or(input.old_place.as_ref()).map(ToString::to_string),
            old: input.old_words(),
            new: input.new_words(),
        };
        self.inputs = comparison.inputs.iter().map(input).collect();
        if let Some(attribution) = &comparison.attribution {
            let part = |what: &str, difference: Option<Decimal>| Why {
                what: what.to_owned(),
                difference: difference.map(money),
                lines_without_price: None,
            };
            let alone: Decimal =
                attribution.alone.iter().filter_map(|alone| alone.difference).chain(attribution.chosen_anew).sum();
            let anew = attribution.chosen_anew.map(|amount| part(CHOSEN_ANEW, Some(amount)));
            self.why.extend(anew);
            self.why.extend(attribution.alone.iter().map(|alone| Why {
                lines_without_price: alone.difference.map(|_| number(alone.unpriced)),
                ..part(&alone.what, alone.difference)
            }));
            self.why.push(part("Only together", Some(new.total - old.total - alone)));
        }
        let small = |small: &crate::revise::TooSmall| Installed {
            run: small.run.clone(),
            size: small.size.clone(),
            wanted: small.wanted.clone(),
            cost: money(small.cost),
        };
        self.installed = comparison.installed.iter().map(small).collect();
        self
    }

    pub(crate) fn tried(mut self, what_if: &WhatIf) -> Self {
        let cheapest = what_if.cheapest();
        self.tried = what_if
            .rows
            .iter()
            .map(|row| {
                let outcome = row.outcome.as_ref().ok();
                let values = what_if.inputs.iter().zip(&row.values);
                let spare = outcome.and_then(|outcome| outcome.least_spare.as_ref());
                Try {
                    values: values.map(|(input, value)| Value { input: input.clone(), value: value.clone() }).collect(),
                    error: row.outcome.as_ref().err().cloned(),
                    to_spare_psi: spare.and_then(|(psi, _)| finite(*psi)),
                    run: spare.map(|(_, run)| run.clone()),
                    passes: outcome.map(|outcome| outcome.verdict == Verdict::Passes),
                    verdict: outcome.map(|outcome| outcome.verdict.words()),
                    re_sized: outcome.map(|outcome| outcome.re_sized.clone()).unwrap_or_default(),
                    material: outcome.map(|outcome| money(outcome.material)),
                    hours: outcome.map(|outcome| number(outcome.hours)),
                    total: outcome.map(|outcome| money(outcome.total)),
                    difference: outcome.map(|outcome| money(outcome.total - what_if.base.total)),
                    cheapest: cheapest.is_some_and(|cheapest| cheapest.values == row.values),
                }
            })
            .collect();
        self
    }
}

fn runs(old: &Summary, new: &Summary) -> Vec<Run> {
    let pipe = crate::revise::summary::RunFacts::pipe;
    let both = new.runs.iter().map(|run| (run.name.clone(), old.run(&run.name), Some(run)));
    let gone = old.runs.iter().filter(|run| new.run(&run.name).is_none());
    let all = both.chain(gone.map(|run| (run.name.clone(), Some(run), None)));
    all.filter(|(_, was, now)| was.map(pipe) != now.map(pipe))
        .map(|(run, was, now)| Run {
            run,
            old_pipe: was.map(pipe),
            new_pipe: now.map(pipe),
            old_end_psi: was.and_then(|run| finite(run.end_psi?)),
            new_end_psi: now.and_then(|run| finite(run.end_psi?)),
        })
        .collect()
}

fn lines(old: &Summary, new: &Summary) -> Vec<Line> {
    let both = new.lines.iter().map(|line| (&line.item, line.feet, old.line(&line.item), Some(line)));
    let gone = old.lines.iter().filter(|line| new.line(&line.item).is_none());
    let all = both.chain(gone.map(|line| (&line.item, line.feet, Some(line), None)));
    let facts = |line: Option<&crate::revise::summary::LineFacts>| {
        line.map_or((Decimal::ZERO, Decimal::ZERO), |line| (line.needed, line.amount))
    };
    all.filter(|(_, _, was, now)| facts(*was) != facts(*now))
        .map(|(item, feet, was, now)| {
            let ((old, old_amount), (new, new_amount)) = (facts(was), facts(now));
            Line {
                item: item.clone(),
                unit: if feet { "ft" } else { "each" },
                old: number(old),
                new: number(new),
                old_amount: money(old_amount),
                new_amount: money(new_amount),
                difference: money(new_amount - old_amount),
            }
        })
        .collect()
}

pub(crate) fn money(amount: Decimal) -> String {
    format!("{:.2}", amount.round_dp_with_strategy(2, rust_decimal::RoundingStrategy::MidpointAwayFromZero))
}

/// To four decimals.
fn number(number: Decimal) -> f64 {
    // A decimal prints as plain digits, which always parse.
    number.round_dp(4).normalize().to_string().parse().unwrap_or_default()
}

fn finite(number: f64) -> Option<f64> {
    number.is_finite().then(|| (number * 1e4).round() / 1e4)
}
