//! What of a priced job another one is held against, as plain values: no figures, no cells. So the old side of a
//! comparison can be a job workbook or a bid, priced long before the new one is.

use crate::entries::{Compared, Entries, Flag};
use crate::figure::{Term, Value};
use crate::finding::phrases::first_few;
use crate::labor::Labor;
use crate::model::{Job, Phase, Setting, Size};
use crate::parts::{Fault, PipeRun};
use crate::price::Bid;
use crate::takeoff::TakeOff;
use rust_decimal::Decimal;

/// A priced job in plain values.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// What its figures are said to come from: `bid H-14 rev 0`.
    pub origin: String,
    /// Each after the one that it hangs on.
    pub runs: Vec<RunFacts>,
    /// The least pressure to spare at an outlet, psi, and the run where it is.
    pub least_spare: Option<(f64, String)>,
    /// The lines of which anything is needed.
    pub lines: Vec<LineFacts>,
    /// How many of them have no price and stand at nothing.
    pub unpriced: Decimal,
    /// By phase, in the order of [`Phase::ALL`].
    pub hours: [Decimal; 4],
    /// Of all phases.
    pub all_hours: Decimal,
    /// The parts of the price and their amounts, in the order of the build-up.
    pub parts: Vec<(String, Decimal)>,
    /// The price by phase, what belongs to none of them last.
    pub price: [Decimal; 5],
    /// What the customer pays, $.
    pub total: Decimal,
    /// What leaves the owner's pocket, $.
    pub cash_total: Decimal,
    /// What subjects have compared: figures by name, by the title of their table.
    pub figures: Vec<(String, Vec<(String, f64)>)>,
    /// Why it is not to be built so, beside what is wrong with its runs.
    pub failing: Vec<&'static str>,
}

/// One run that carries water.
#[derive(Debug, Clone, PartialEq)]
pub struct RunFacts {
    pub name: String,
    pub material: String,
    /// With its inch mark: `3/4"`; empty when there is none.
    pub size: String,
    /// It lies there already: from before the job, or put in by it.
    pub in_already: bool,
    /// `None` of pipe that is under no pressure.
    pub end_psi: Option<f64>,
    /// `OK`, `too fast`, or how short of pressure.
    pub check: String,
    /// What of it is wrong; `None` where nothing is.
    pub fault: Option<Fault>,
    /// Index of the run that feeds it; `None` at the supply.
    pub fed_by: Option<usize>,
}

impl RunFacts {
    fn of(run: &PipeRun) -> Self {
        Self {
            name: run.name.value.trim().to_owned(),
            material: run.material.to_string(),
            size: run.size.map(Size::key).unwrap_or_default(),
            in_already: run.status.is_in_place(),
            end_psi: run.end_psi.as_ref().map(|psi| psi.value().as_f64()),
            check: run.check.value().to_string(),
            fault: run.fault,
            fed_by: run.fed_by,
        }
    }

    /// As its live key reads: `PEX 3/4"`.
    pub(crate) fn pipe(&self) -> String {
        format!("{} {}", self.material, self.size)
    }

    /// What its check says of it.
    pub(crate) fn verdict(&self) -> Verdict {
        match self.fault {
            None => Verdict::Passes,
            Some(Fault::TooFast) => Verdict::TooFast,
            Some(Fault::Short) => Verdict::Short,
            Some(Fault::Other) => Verdict::Unknown,
        }
    }
}

/// One line of the take-off at its price.
#[derive(Debug, Clone, PartialEq)]
pub struct LineFacts {
    /// The item's key: `tee PEX 3/4" x 1/2" x 1/2"`.
    pub item: String,
    pub feet: bool,
    pub needed: Decimal,
    pub amount: Decimal,
    /// False when nobody has priced it: it stands at nothing.
    pub priced: bool,
}

/// Whether a job passes, and why it does not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    Passes,
    Short,
    TooFast,
    NoPrice,
    Unknown,
}

impl Verdict {
    pub fn words(self) -> &'static str {
        match self {
            Self::Passes => "yes",
            Self::Short => "short of pressure",
            Self::TooFast => "too fast",
            Self::NoPrice => "a price is missing",
            Self::Unknown => "no",
        }
    }
}

impl Summary {
    /// The plain values of a priced job.
    pub(crate) fn of(job: &Job, entries: &Entries, take_off: &TakeOff, labor: &Labor, bid: &Bid) -> Self {
        let build_up = &bid.build_up;
        let lines = bid.lines.iter().filter_map(|priced| {
            let line = take_off.lines.get(priced.line)?;
            let (needed, amount) = (number(&line.needed), number(&priced.amount));
            let facts = LineFacts { item: line.item.text(), feet: line.feet, needed, amount, priced: priced.priced };
            (!needed.is_zero() || !amount.is_zero()).then_some(facts)
        });
        let figure = |(name, term): &(String, Term)| (name.clone(), term.value().as_f64());
        let figures = |compared: &Compared| (compared.title.to_owned(), compared.rows.iter().map(figure).collect());
        let is_wrong = |flag: &&Flag| *flag.shown(&Term::text("wrong")).value() == Value::text("wrong");
        Self {
            origin: origin(job),
            runs: take_off.parts.runs.iter().map(RunFacts::of).collect(),
            least_spare: entries.least_spare.as_ref().map(|at| (at.psi.value().as_f64(), at.run.value().to_string())),
            lines: lines.collect(),
            unpriced: number(&build_up.unpriced),
            hours: Phase::ALL.map(|phase| number(&labor.in_phase(phase))),
            all_hours: number(&labor.total),
            parts: build_up.parts.iter().map(|part| (part.name.to_owned(), number(&part.whole))).collect(),
            price: build_up.price.each_ref().map(number),
            total: number(&build_up.total),
            cash_total: number(&build_up.totals.cash_total),
            figures: entries.compared.iter().map(figures).collect(),
            failing: entries.flags.iter().filter(is_wrong).filter_map(|flag| flag.fails).collect(),
        }
    }

    /// A figure of a table that a subject has compared.
    pub fn figure(&self, title: &str, name: &str) -> Option<f64> {
        let (_, rows) = self.figures.iter().find(|(known, _)| known == title)?;
        rows.iter().find(|(known, _)| known == name).map(|(_, figure)| *figure)
    }

    /// What is wrong with the job as it is, if anything: a cheap bid that lacks a price is none.
    pub fn verdict(&self) -> Verdict {
        let fails = |verdict: Verdict| self.runs.iter().any(|run| run.verdict() == verdict);
        let of_runs = [Verdict::Short, Verdict::TooFast, Verdict::Unknown].into_iter().find(|verdict| fails(*verdict));
        match of_runs {
            Some(verdict) => verdict,
            None if !self.failing.is_empty() => Verdict::Unknown,
            None if self.lines.iter().any(|line| !line.priced) => Verdict::NoPrice,
            None => Verdict::Passes,
        }
    }

    /// Why the job does not pass, in words that name where: `water too fast in M1, SV1; pressure short in 3 runs, 2.3 psi at
    /// SH1H`. Empty where it passes.
    pub(crate) fn failures(&self) -> String {
        let with = |fault: Fault| self.runs.iter().filter(|run| run.fault == Some(fault)).collect::<Vec<_>>();
        let (fast, short, other) = (with(Fault::TooFast), with(Fault::Short), with(Fault::Other));
        let mut failures = Vec::new();
        if !fast.is_empty() {
            failures.push(format!("water too fast in {}", first_few(fast.iter().map(|run| run.name.clone()))));
        }
        if let Some(first) = short.first() {
            let runs = if short.len() == 1 { "1 run".to_owned() } else { format!("{} runs", short.len()) };
            failures.push(match &self.least_spare {
                Some((spare, run)) => format!("pressure short in {runs}, {:.1} psi at {run}", -spare),
                None => format!("run {} is {}", first.name, first.check),
            });
        }
        if !other.is_empty() {
            let runs = first_few(other.iter().map(|run| format!("{} ({})", run.name, run.check)));
            failures.push(format!("runs that fail: {runs}"));
        }
        failures.extend(self.failing.iter().map(|words| (*words).to_owned()));
        let unpriced: Vec<&LineFacts> = self.lines.iter().filter(|line| !line.priced).collect();
        if !unpriced.is_empty() {
            failures.push(format!("no price for {}", first_few(unpriced.iter().map(|line| line.item.clone()))));
        }
        failures.join("; ")
    }

    /// The runs that do not pass.
    fn faults(&self) -> impl Iterator<Item = &RunFacts> {
        self.runs.iter().filter(|run| run.verdict() != Verdict::Passes)
    }

    /// Whether each run that fails here fails likewise in the other, and nothing lacks a price that has one there: the
    /// difference of the two is fair, whatever both lack.
    pub(crate) fn fails_no_more_than(&self, other: &Self) -> bool {
        const SHORT_BY: f64 = 0.05;
        let likewise = |run: &RunFacts| {
            let was = other.run(&run.name);
            was.is_some_and(|was| {
                let psi = run.end_psi.zip(was.end_psi);
                was.verdict() == run.verdict() && psi.is_none_or(|(psi, was)| psi >= was - SHORT_BY)
            })
        };
        let known = |words: &&str| other.failing.contains(words);
        self.faults().all(likewise) && self.failing.iter().all(known) && self.lacks_no_more_than(other)
    }

    /// The material of the whole job, waste included.
    pub fn material(&self) -> Decimal {
        self.lines.iter().map(|line| line.amount).sum()
    }

    /// Whether nothing lacks a price here that has one in the other, or is not in it at all: differences are whole then.
    fn lacks_no_more_than(&self, other: &Self) -> bool {
        let lacking = |line: &&LineFacts| !line.priced;
        self.lines.iter().filter(lacking).all(|line| other.line(&line.item).is_some_and(|other| !other.priced))
    }

    /// The line of this item's key; `None` where nothing of it is needed.
    pub fn line(&self, item: &str) -> Option<&LineFacts> {
        self.lines.iter().find(|line| line.item == item)
    }

    /// Whether this line is needed and nobody prices it.
    pub(crate) fn lacks_price(&self, item: &str) -> bool {
        self.lines.iter().any(|line| !line.priced && line.item == item)
    }

    /// The run of this name, whatever its case.
    pub fn run(&self, name: &str) -> Option<&RunFacts> {
        let wanted = crate::model::network::same_name(name);
        self.runs.iter().find(|run| crate::model::network::same_name(&run.name) == wanted)
    }
}

/// `bid H-14 rev 0`; the job's or the file's name where it has no number.
fn origin(job: &Job) -> String {
    let names = [Setting::BidNumber, Setting::JobName].map(|setting| job.text(setting).trim().to_owned());
    let name = names.into_iter().find(|name| !name.is_empty()).unwrap_or_else(|| job.file.to_string());
    let revision = job.text(Setting::Revision);
    let revision = if revision.trim().is_empty() { "0" } else { revision.trim() };
    format!("bid {name} rev {revision}")
}

/// What is no number counts as 0: a fault in a total stops the bid before it comes here.
fn number(term: &Term) -> Decimal {
    term.value().as_decimal().unwrap_or_default()
}
