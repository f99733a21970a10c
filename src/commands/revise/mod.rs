//! `revise`: what a change does to sizes, order, hours and money. One workbook with changes typed, or an old and a new
//! one; the new bid says what differs, and why. With `--try`, what many changes would do.

pub mod against;
mod document;
pub(super) mod edits;
mod revision_file;
pub mod tries;

pub use revision_file::{keep_apart, output};

use super::job::Given;
use super::set::SetError;
use super::terminal::counted;
use super::{Exit, Terminal, Trouble, about, alternates};
use crate::commands::findings::EditBadValue;
use crate::finding::Finding;
use crate::model::{Job, Setting};
use crate::pipeline::{self, Options as Pricing, Priced};
use crate::read::{self, Reading};
use crate::revise::{Comparison, Revising, Summary, WhatIf, same_job};
use crate::unit::with_commas;
use crate::write::{bid_bytes, save};
use against::Side;
use document::{Document, money};
use edits::Edit;
use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

/// Combinations after which the wait is worth a word.
const LONG: usize = 60;

/// What `revise` was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Options {
    /// What was bid: a bid or a job workbook.
    pub old: PathBuf,
    /// The changed workbook; without it `set` changes the old one.
    pub new: Option<PathBuf>,
    /// `NAME=VALUE` or `Sheet!CELL=VALUE`, made in the new workbook.
    pub set: Vec<String>,
    /// `NAME=VALUE,VALUE,...`: every combination is priced.
    pub tries: Vec<String>,
    /// Why the change is made; stands on the change order.
    pub reason: Option<String>,
    /// Working days that it adds.
    pub days: Option<String>,
    /// Keep the choices of the bid that is read.
    pub hold: bool,
    /// A folder of rule tables, for both sides.
    pub rules: Option<PathBuf>,
    /// The bid to write. Without it the name of the new workbook with its revision.
    pub output: Option<PathBuf>,
    /// Write over a bid that is there.
    pub replace: bool,
    /// One JSON document in place of the summary and the findings.
    pub json: bool,
}

impl Options {
    /// The workbook that is changed: the new one, or the old one itself.
    fn changed(&self) -> &Path {
        self.new.as_ref().unwrap_or(&self.old)
    }

    /// What is wrong with that workbook, so that there is no revision.
    fn stopped(&self, findings: Vec<Finding>) -> Stop {
        Stop::Findings(self.changed().to_owned(), findings, Exit::Stopped)
    }
}

/// What stopped a revision.
enum Stop {
    /// Findings of the workbook at this path.
    Findings(PathBuf, Vec<Finding>, Exit),
    Trouble(Trouble),
    /// Everything is known, and the bid could not be written.
    Unsaved(Box<Document>, Trouble),
}

impl From<Trouble> for Stop {
    fn from(trouble: Trouble) -> Self {
        Self::Trouble(trouble)
    }
}

/// A revision that was made and saved.
struct Made {
    document: Document,
    findings: Vec<Finding>,
    summary: Vec<String>,
}

pub(crate) fn run(options: &Options, terminal: &mut Terminal) -> io::Result<Exit> {
    let file = options.changed().display().to_string();
    let made = revise(options, terminal);
    let (old, new) = (options.old.display().to_string(), options.new.as_ref().map(|new| new.display().to_string()));
    match made {
        Ok(made) if options.json => terminal.json(&made.document).map(|()| Exit::Done),
        Ok(made) => {
            terminal.findings(&file, &made.findings)?;
            made.summary.iter().try_for_each(|line| writeln!(terminal.out, "{line}"))?;
            Ok(Exit::Done)
        }
        Err(Stop::Findings(path, findings, exit)) => {
            let of = path.display().to_string();
            match options.json {
                true => terminal.json(&Document::stopped(&old, new.as_deref(), &of, &findings))?,
                false => terminal.findings(&of, &findings)?,
            }
            Ok(exit)
        }
        Err(Stop::Trouble(trouble)) => terminal.trouble(&trouble),
        Err(Stop::Unsaved(document, trouble)) => {
            if options.json {
                terminal.json(&document)?;
            }
            terminal.trouble(&trouble)
        }
    }
}

fn revise(options: &Options, terminal: &mut Terminal) -> Result<Made, Stop> {
    let asked = options.new.is_some() || !options.set.is_empty() || !options.tries.is_empty();
    if !asked {
        return Err(Trouble::usage(
            "Nothing to revise: name a second workbook, or a change such as --set \"main size=1\", or values to try such as --try \"main size=3/4,1\".",
        )
        .into());
    }
    let given = Given { set: Vec::new(), rules: options.rules.clone() };
    let rule_files = given.prepare()?.rule_files().to_vec();
    let old = open(&options.old)?;
    let start = match &options.new {
        Some(path) => open(path)?,
        None => old.clone(),
    };
    let stop = |findings: Vec<Finding>| options.stopped(findings);
    if let Some(different) = same_job::different(&old.job, &start.job) {
        return Err(stop(vec![different]));
    }
    let changes = parse(&start, options).map_err(stop)?;
    let mut new = edits::apply(&start, &changes).map_err(stop)?;

    // The old side is priced as it was bid.
    let old_pricing = Pricing { hold: old.job.is_bid, rule_files: rule_files.clone(), ..Pricing::default() };
    let was = against::priced(&old, &old_pricing)
        .map_err(|findings| Stop::Findings(options.old.clone(), findings, Exit::Stopped))?;
    let shown = revision_file::shown(&old.job, &was);
    let mut findings: Vec<Finding> = shown.iter().map(|shown| revision_file::moved(*shown, &was)).collect();
    let mut pricing = Pricing { hold: options.hold, rule_files, ..Pricing::default() };
    let mut comparison = None;
    if options.new.is_some() || !changes.is_empty() {
        let dated = revision_file::begin(&mut new, &old.job, &was, &changes).map_err(|found| stop(vec![*found]))?;
        findings.extend(dated);
        against::lay(&mut new.job, &was);
        let (old, new) = (Side { reading: &old, options: &old_pricing }, Side { reading: &new, options: &pricing });
        let compared = against::compare(old, new, &was, &mut findings).map_err(stop)?;
        comparison = Some(Comparison { shown, ..compared });
    } else {
        // The bid itself, with the choices it has, to hold the tries against.
        pricing.hold |= old.job.is_bid;
    }
    let what_if = match options.tries.is_empty() {
        true => None,
        false => Some(tried(&new, options, &pricing, terminal, &mut findings)?),
    };
    new.findings.extend(findings);
    let mut more = Vec::new();
    pricing.alternates = alternates::priced(&new, &pricing, &mut more);
    new.findings.extend(more);
    pricing.revising = Revising { comparison, what_if };
    let priced = pipeline::price(&new.job, &new.book, &new.findings, &pricing).map_err(stop)?;
    save(options, &was, &new, priced, &pricing.revising)
}

/// Writes the new bid, and says what came of it.
fn save(options: &Options, was: &Summary, new: &Reading, priced: Priced, revising: &Revising) -> Result<Made, Stop> {
    let now = priced.summary(&new.job);
    let number = new.job.text(Setting::Revision).to_string();
    let Revising { comparison, what_if } = revising;
    let output = options.output.clone().unwrap_or_else(|| match comparison {
        Some(_) => revision_file::output(&options.old, &number),
        None => revision_file::what_if_output(&options.old),
    });
    let file = options.changed().display().to_string();
    let bytes = bid_bytes(&priced.book, &new.book, &about::about(&new.job, &new.book))
        .map_err(|error| Trouble::system(format!("{file}: the bid could not be made: {error:#}.")))?;
    let (old_name, new_name) =
        (options.old.display().to_string(), options.new.as_ref().map(|new| new.display().to_string()));
    let mut document = Document::stopped(&old_name, new_name.as_deref(), &file, &priced.findings).compared(
        &number,
        was,
        &now,
        comparison.as_ref(),
    );
    if let Some(what_if) = what_if {
        document = document.tried(what_if);
    }
    let apart = if options.replace { revision_file::keep_apart(&output, &new.job) } else { Ok(()) };
    let saved = apart.and_then(|()| save::save(&output, &bytes, options.replace).map_err(Trouble::system));
    if let Err(error) = saved {
        document.error = Some(error.words.clone());
        return Err(Stop::Unsaved(Box::new(document), error));
    }
    document.output = Some(output.display().to_string());
    let summary = summary_lines(&new.job, &now, revising, &priced.findings, &output);
    Ok(Made { document, findings: priced.findings, summary })
}

fn open(path: &Path) -> Result<Reading, Stop> {
    let reading = read::open(path);
    match reading.findings.iter().any(read::is_file_trouble) {
        true => Err(Stop::Findings(path.to_owned(), reading.findings, Exit::System)),
        false => Ok(reading),
    }
}

/// All changes typed, `--reason` and `--days` among them.
fn parse(reading: &Reading, options: &Options) -> Result<Vec<Edit>, Vec<Finding>> {
    let (mut changes, mut wrong) = (Vec::new(), Vec::new());
    for typed in &options.set {
        match edits::parse(reading, typed) {
            Ok(edit) => changes.push(edit),
            Err(finding) => wrong.push(*finding),
        }
    }
    for (setting, typed) in [(Setting::ChangeReason, &options.reason), (Setting::ChangeDays, &options.days)] {
        let Some(typed) = typed else { continue };
        match super::set::parse(&format!("{}={typed}", setting.name())) {
            Ok(assignment) => changes.push(Edit::Setting(assignment)),
            Err(SetError::BadValue { name, typed, expected }) => {
                let name = name.to_owned();
                wrong.push(Finding::everywhere(EditBadValue { name, typed, expected }));
            }
            // The name is one of ours.
            Err(_) => {}
        }
    }
    // The paper alone is no change of the job: with nothing else to do it waits for one.
    let only_paper = options.new.is_none() && options.set.is_empty();
    if only_paper && wrong.is_empty() {
        changes.clear();
    }
    if wrong.is_empty() { Ok(changes) } else { Err(wrong) }
}

fn tried(
    new: &Reading,
    options: &Options,
    pricing: &Pricing,
    terminal: &mut Terminal,
    findings: &mut Vec<Finding>,
) -> Result<WhatIf, Stop> {
    let stop = |findings: Vec<Finding>| options.stopped(findings);
    let tries = tries::parse(new, &options.tries).map_err(stop)?;
    let base = against::priced(new, pricing).map_err(stop)?;
    let free = Pricing { hold: options.hold, ..pricing.clone() };
    let watched = io::stderr().is_terminal() && !options.json;
    let mut any = false;
    let (what_if, more) = tries::price(new, &tries, base, &free, |through, of| {
        if watched && of > LONG && (through % 10 == 0 || through == of) {
            any = true;
            // Progress that cannot be shown is no trouble.
            let _ = write!(terminal.err, "\r{through} of {of} combinations priced");
            let _ = terminal.err.flush();
        }
    });
    if any {
        let _ = writeln!(terminal.err);
    }
    findings.extend(more);
    Ok(what_if)
}

fn summary_lines(job: &Job, now: &Summary, revising: &Revising, findings: &[Finding], output: &Path) -> Vec<String> {
    let currency = job.text(Setting::Currency);
    let amount = |amount| format!("{currency}{}", with_commas(&money(amount)));
    let difference = |difference: rust_decimal::Decimal| match difference.is_zero() {
        true => "no difference".to_owned(),
        false if difference.is_sign_negative() => format!("{} less", amount(difference.abs())),
        false => format!("{} more", amount(difference)),
    };
    let mut lines = Vec::new();
    if let Some(comparison) = &revising.comparison {
        let was = &comparison.old;
        lines.push(format!("Revision {} against {}", job.text(Setting::Revision), was.origin));
        for input in comparison.inputs.iter().take(12) {
            lines.push(format!("  Changed          {}", input.words()));
        }
        if comparison.inputs.len() > 12 {
            lines.push(format!("  Changed          and {} more, on the Changes sheet", comparison.inputs.len() - 12));
        }
        let (a, b) = (amount(was.total), amount(now.total));
        lines.push(format!("  Total            {a} -> {b}, {}", difference(now.total - was.total)));
        if !(now.unpriced.is_zero() && was.unpriced.is_zero()) {
            let (now, before) = (now.unpriced.normalize(), was.unpriced.normalize());
            lines
                .push(format!("  Not complete     lines without a price: {now} now, {before} before; they count as 0"));
        }
        let hours = |hours: rust_decimal::Decimal| {
            hours.round_dp_with_strategy(1, rust_decimal::RoundingStrategy::MidpointAwayFromZero)
        };
        lines.push(format!("  Hours            {:.1} -> {:.1}", hours(was.all_hours), hours(now.all_hours)));
        if let (Some((before, _)), Some((after, run))) = (&was.least_spare, &now.least_spare) {
            lines.push(format!("  Lowest pressure  {before:.1} -> {after:.1} psi to spare, at the end of run {run}"));
        }
        let sized = now.runs.iter().filter(|run| {
            was.run(&run.name).is_some_and(|old| (&old.material, &old.size) != (&run.material, &run.size))
        });
        lines.push(format!("  Runs re-sized    {}", sized.count()));
        if let Some(attribution) = &comparison.attribution {
            let alone = attribution.alone.iter().filter_map(|alone| Some((alone.words(), alone.difference?)));
            let mut rest = now.total - was.total - attribution.chosen_anew.unwrap_or_default();
            for (what, by) in alone {
                rest -= by;
                lines.push(format!("  By itself        {what}: {}", difference(by)));
            }
            lines.push(format!("  Only together    {}", difference(rest)));
        }
    }
    if let Some(what_if) = &revising.what_if {
        lines.push(format!("{} combinations tried against {}", what_if.rows.len(), amount(what_if.base.total)));
        match what_if.cheapest() {
            Some(row) => {
                let total = row.outcome.as_ref().map(|outcome| outcome.total).unwrap_or_default();
                lines.push(format!("  Cheapest that passes: {}, {}", what_if.label(row), amount(total)));
            }
            None => lines.extend(none_passes(what_if)),
        }
    }
    lines.push(format!("  Findings         {}", counted(findings)));
    lines.push(format!("  Bid              {}", output.display()));
    lines
}

/// Why no combination passes: the first few, each with its reason.
fn none_passes(what_if: &WhatIf) -> Vec<String> {
    const MOST: usize = 6;
    let mut lines = vec!["  None of them passes:".to_owned()];
    for tried in what_if.rows.iter().take(MOST) {
        let failures = tried.outcome.as_ref().map_or_else(Clone::clone, |outcome| outcome.failures.clone());
        lines.push(format!("    {}: {}", what_if.label(tried), failures.trim_end_matches('.')));
    }
    if let Some(more) = what_if.rows.len().checked_sub(MOST).filter(|more| *more > 0) {
        lines.push(format!("    and {more} more, on the What if sheet"));
    }
    lines
}
