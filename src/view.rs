//! What every stage works from: the job and the tables it is priced by, and what the stages before it handed on.

use crate::choice::Choice;
use crate::figure::SheetId;
use crate::finding::Sink;
use crate::input::Settings;
use crate::model::network::{Network, Problem, same_name};
use crate::model::{Job, Run};
use crate::rules::{CodeBasis, Occupancy, Rules};
use crate::sheets::{Page, Pages};
use rust_decimal::Decimal;
use std::collections::HashMap;
use std::ops::Deref;

/// A job as a stage sees it. `R` is what the stage takes from those before it, by name; its fields read as the view's own.
#[derive(Debug, Clone, Copy)]
pub struct View<'a, R = ()> {
    /// What the user's workbook says, typed.
    pub job: &'a Job,
    /// The rule tables, the user's own rows over the built-in ones.
    pub rules: &'a Rules,
    /// The runs as trees from the supply.
    pub network: &'a Network,
    /// The job's settings as figures.
    pub settings: &'a Settings,
    /// The pages of the bid, on which stages put their tables.
    pub pages: &'a Pages,
    /// The code the job goes by; the IRC where it names none that there are tables of.
    pub code: CodeBasis,
    /// Private use where the job does not say.
    pub occupancy: Occupancy,
    /// True when choices (sizes, offers, packs, cuts, tees) come from the bid that is read, not from a new search.
    pub hold: bool,
    /// Whether anybody reads what would fix a shortage, and what the code's own table has: both take their time.
    pub advice: bool,
    /// What the stage takes from those before it.
    pub results: R,
}

impl<R> Deref for View<'_, R> {
    type Target = R;

    fn deref(&self) -> &R {
        &self.results
    }
}

impl<'a> View<'a> {
    /// As the first stage sees a job that is priced anew, with all advice.
    pub fn new(job: &'a Job, rules: &'a Rules, network: &'a Network, settings: &'a Settings, pages: &'a Pages) -> Self {
        let (code, occupancy) = (CodeBasis::of(job), Occupancy::of(job));
        Self { job, rules, network, settings, pages, code, occupancy, hold: false, advice: true, results: () }
    }
}

impl<'a, R> View<'a, R> {
    /// The same job for a later stage, with what it takes from those before it.
    pub fn with<S>(&self, results: S) -> View<'a, S> {
        let View { job, rules, network, settings, pages, code, occupancy, hold, advice, .. } = *self;
        View { job, rules, network, settings, pages, code, occupancy, hold, advice, results }
    }

    /// The sheet of a page.
    pub fn page(&self, page: Page) -> SheetId {
        self.pages.id(page)
    }

    /// The run at a position of the network.
    pub fn run_at(&self, position: usize) -> &'a Run {
        let (job, network) = (self.job, self.network);
        &job.runs[network.order[position]]
    }

    /// What a bid that is read again has chosen for what goes by this name; `None` where choices are made anew.
    pub fn saved(&self, kind: Choice, name: &str) -> Option<&'a str> {
        let job = self.job;
        job.saved.get(kind, name).filter(|_| self.hold)
    }

    /// A choice that is a number.
    pub fn saved_number(&self, kind: Choice, name: &str) -> Option<Decimal> {
        self.saved(kind, name)?.parse().ok()
    }
}

/// A job before anything of it is figured, as checks see it.
#[derive(Debug)]
pub(crate) struct Facts<'a> {
    pub job: &'a Job,
    pub rules: &'a Rules,
    pub network: &'a Network,
    /// What keeps runs out of the network.
    pub problems: &'a [Problem],
    /// The first run of each name.
    runs: HashMap<String, &'a Run>,
}

/// A look at the job as a whole that needs no figures.
pub(crate) type Check = fn(&Facts, &mut Sink);

impl<'a> Facts<'a> {
    /// `network` and `problems` are those of [`Network::build`].
    pub(crate) fn new(job: &'a Job, rules: &'a Rules, network: &'a Network, problems: &'a [Problem]) -> Self {
        let mut runs = HashMap::new();
        for run in &job.runs {
            runs.entry(same_name(&run.name.value)).or_insert(run);
        }
        Self { job, rules, network, problems, runs }
    }

    /// The first run of a name.
    pub(crate) fn run(&self, name: &str) -> Option<&Run> {
        self.runs.get(&same_name(name)).copied()
    }
}
