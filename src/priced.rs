//! The tables a job is priced by; and a job, priced, with what can be asked of it: orders, quotes held against them, its
//! summary.

use crate::buy::Purchases;
use crate::entries::Entries;
use crate::figure::Book;
use crate::finding::{self, Finding, Internal};
use crate::labor::Labor;
use crate::model::network::Network;
use crate::model::{Job, KeptBook, Phase, Raw, Setting};
use crate::price::Bid;
use crate::read::FilledFile;
use crate::revise::Summary;
use crate::rules::{RuleFile, Rules};
use crate::takeoff::TakeOff;
use crate::{order, quote, subjects};

/// The tables a job is priced by, and what was wrong with the user's own: read once for many pricings.
#[derive(Debug, Clone)]
pub struct Tables {
    /// The built-in rows with the user's in place.
    pub rules: Rules,
    /// What was wrong with rows of the user's, or worth knowing.
    pub findings: Vec<Finding>,
}

/// What Code basis says as it was written, edition and all.
fn code_as_written(job: &Job) -> String {
    match job.settings.get(&Setting::CodeBasis).map(|field| &field.raw) {
        Some(Raw::Text(text)) => text.to_string(),
        _ => String::new(),
    }
}

impl Tables {
    /// The tables of a job: those the program carries, then those of `--rules`, then the workbook's own sheets.
    pub fn of(job: &Job, files: &[RuleFile]) -> Self {
        let (mut rules, findings) = Rules::load(&job.overrides, files);
        rules.set_edition(&code_as_written(job));
        Self { rules, findings }
    }
}

/// A job, priced: the book of figures and what the stages found, for whoever writes, prints or traces it.
pub struct Priced {
    /// The pages of the bid.
    pub book: Book,
    /// The tables it was priced by.
    pub rules: Rules,
    /// The runs as trees from the supply.
    pub network: Network,
    /// What each subject computed: sizes, flows and pressures of water.
    pub subjects: subjects::Computed,
    /// What the subjects say on the pages about the whole job.
    pub(crate) entries: Entries,
    /// What the job needs, by line.
    pub take_off: TakeOff,
    /// What is bought for it.
    pub purchases: Purchases,
    /// Its hours.
    pub labor: Labor,
    /// Its price.
    pub bid: Bid,
    /// All findings, those of reading included, the worst first.
    pub findings: Vec<Finding>,
}

impl Priced {
    /// What is bought, as orders: for these phases (all, when there are none), each by itself where that is wanted; or, to
    /// `ask`, as requests for prices.
    ///
    /// # Errors
    /// Faults of the program's in a sheet, as findings.
    pub fn orders(
        &self,
        job: &Job,
        phases: &[Phase],
        by_phase: bool,
        ask: bool,
    ) -> Result<(order::Orders, Vec<Finding>), Vec<Finding>> {
        let context = order::Context {
            job,
            rules: &self.rules,
            take_off: &self.take_off,
            purchases: &self.purchases,
            phases,
            by_phase,
            ask,
        };
        let (orders, mut findings) = order::order(&context);
        finding::sort(&mut findings);
        let defects: Vec<String> = orders.orders.iter().flat_map(|order| order.book.defects()).collect();
        without_faults(defects)?;
        Ok((orders, findings))
    }

    /// What suppliers wrote into their orders, held against what the job orders.
    ///
    /// # Errors
    /// Faults of the program's in a sheet, as findings.
    pub fn quotes(
        &self,
        job: &Job,
        kept: &KeptBook,
        files: &[FilledFile],
    ) -> Result<(Option<quote::Quotes>, Vec<quote::OfFile>), Vec<Finding>> {
        let (orders, _) = self.orders(job, &[], false, false)?;
        let context = quote::Context { job, kept, rules: &self.rules, take_off: &self.take_off, orders: &orders };
        let (quotes, findings) = quote::quote(&context, files);
        let defects = quotes.as_ref().map(|quotes| quotes.book.defects()).unwrap_or_default();
        without_faults(defects)?;
        Ok((quotes, findings))
    }

    /// What a later bid of the job is held against.
    pub fn summary(&self, job: &Job) -> Summary {
        Summary::of(job, &self.entries, &self.take_off, &self.labor, &self.bid)
    }
}

/// Faults of the program's in a book, as findings.
pub(crate) fn without_faults(defects: Vec<String>) -> Result<(), Vec<Finding>> {
    match defects.is_empty() {
        true => Ok(()),
        false => Err(defects.into_iter().map(|detail| Finding::everywhere(Internal { detail })).collect()),
    }
}
