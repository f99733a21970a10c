//! The one place that knows the order of the stages.

use crate::figure::Book;
use crate::figure::settings::Settings;
use crate::finding::{self, Finding, Internal, Severity};
use crate::model::network::Network;
use crate::model::{Job, KeptBook, Phase, Raw, Setting};
use crate::read::FilledFile;
use crate::revise::{self, Revising, Summary};
use crate::rules::{RuleFile, Rules};
use crate::sheets::{Page, Pages};
use crate::view::View;
use crate::{buy, check, labor, order, price, quote, report, size, takeoff};

/// How a job is to be priced.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// Keep the choices of the bid that is read (sizes, offers) instead of choosing anew.
    pub hold: bool,
    /// Tables of a `--rules` folder, already read.
    pub rule_files: Vec<RuleFile>,
    /// What the bid is held against, when it is a revision.
    pub revising: Revising,
    /// Alternates that were priced as whole jobs, for the bid to show.
    pub alternates: Vec<price::Alternate>,
    /// How long to search for the cheapest cuts of one kind of pipe.
    pub cutting: buy::cutting::Effort,
}

/// A job, priced: the book of figures and what the stages found, for whoever writes, prints or traces it.
pub struct Priced {
    pub book: Book,
    /// The tables it was priced by.
    pub rules: Rules,
    pub network: Network,
    pub sizes: size::Sizes,
    pub take_off: takeoff::TakeOff,
    pub purchases: buy::Purchases,
    pub labor: labor::Labor,
    pub bid: price::Bid,
    /// All findings, those of reading included, the worst first.
    pub findings: Vec<Finding>,
}

/// The tables a job is priced by, and what was wrong with the user's own: read once for many pricings.
#[derive(Debug, Clone)]
pub struct Tables {
    pub rules: Rules,
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
    pub fn of(job: &Job, options: &Options) -> Self {
        let (mut rules, findings) = Rules::load(&job.overrides, &options.rule_files);
        rules.set_edition(&code_as_written(job));
        Self { rules, findings }
    }
}

/// What is wrong with a job, without pricing it: the checks that need no figures, and the rules' own.
pub fn check(job: &Job, options: &Options) -> (Network, Rules, Vec<Finding>) {
    let tables = Tables::of(job, options);
    let (network, findings) = checked(job, &tables);
    (network, tables.rules, findings)
}

fn checked(job: &Job, tables: &Tables) -> (Network, Vec<Finding>) {
    let mut findings = tables.findings.clone();
    let (network, problems) = Network::build(job);
    findings.extend(check::check(job, &tables.rules, &network, &problems));
    (network, findings)
}

/// How much of a bid is figured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Extent {
    Whole,
    /// The price by the foot and the piece, without cuts and packs.
    Price,
}

/// The pages that a bid which is held against nothing has not.
fn left_out(revising: &Revising) -> Vec<Page> {
    let mut left_out = Vec::new();
    if revising.comparison.is_none() {
        left_out.extend([Page::Changes, Page::ChangeOrder]);
    }
    if revising.what_if.is_none() {
        left_out.push(Page::WhatIf);
    }
    left_out
}

/// The stages up to the price, as figures.
struct Figured {
    network: Network,
    pages: Pages,
    settings: Settings,
    sizes: size::Sizes,
    take_off: takeoff::TakeOff,
    /// What is bought for it; `None` where the price alone is asked for, which does not depend on it.
    purchases: Option<buy::Purchases>,
    labor: labor::Labor,
    bid: price::Bid,
    findings: Vec<Finding>,
}

/// Prices a job: read -> check -> size -> take off -> buy -> labor -> price -> report. `found` are the findings of reading.
/// `Err` gives all findings when one of them stops the bid.
pub fn price(job: &Job, kept: &KeptBook, found: &[Finding], options: &Options) -> Result<Priced, Vec<Finding>> {
    let tables = Tables::of(job, options);
    let mut book = Book::new();
    let figured = figure(&mut book, job, found, &tables, options, Extent::Whole)?;
    let Figured { network, pages, settings, sizes, take_off, purchases, labor, bid, mut findings } = figured;
    let Some(purchases) = purchases else {
        // A whole bid has them; were that ever to fail, it is no bid.
        return Err(vec![Finding::everywhere(Internal { detail: "nothing was bought".to_owned() })]);
    };
    let view = View {
        job,
        rules: &tables.rules,
        network: &network,
        settings: &settings,
        pages: &pages,
        hold: options.hold,
        advice: true,
        results: report::Inputs {
            kept,
            sizes: &sizes,
            take_off: &take_off,
            labor: &labor,
            bid: &bid,
            packs_gone: Some(&purchases.gone),
            findings: &findings,
        },
    };
    report::report(&mut book, &view);
    let inputs =
        revise::Inputs { sizes: &sizes, take_off: &take_off, labor: &labor, bid: &bid, revising: &options.revising };
    revise::revise(&mut book, &view.with(inputs));
    let defects = book.defects();
    if !defects.is_empty() {
        findings.extend(defects.into_iter().map(|detail| Finding::everywhere(Internal { detail })));
        finding::sort(&mut findings);
        return Err(findings);
    }
    Ok(Priced { book, rules: tables.rules, network, sizes, take_off, purchases, labor, bid, findings })
}

/// Prices a job without writing it down. For the many prices that a revision asks for; `tables` are those of the job.
pub fn sum_up(job: &Job, found: &[Finding], tables: &Tables, options: &Options) -> Result<Summary, Vec<Finding>> {
    let figured = figure(&mut Book::new(), job, found, tables, options, Extent::Price)?;
    let Figured { network, sizes, take_off, labor, bid, .. } = &figured;
    Ok(Summary::of(job, network, sizes, take_off, labor, bid))
}

impl Priced {
    /// What is bought, as orders: for these phases (all, when there are none), each by itself where that is wanted; or, to
    /// `ask`, as requests for prices. `Err` where a sheet has a fault of the program's.
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
            network: &self.network,
            take_off: &self.take_off,
            purchases: &self.purchases,
            phases,
            by_phase,
            ask,
        };
        let (orders, mut findings) = order::order(&context);
        finding::sort(&mut findings);
        let defects: Vec<String> = orders.orders.iter().flat_map(|order| order.book.defects()).collect();
        match defects.is_empty() {
            true => Ok((orders, findings)),
            false => Err(defects.into_iter().map(|detail| Finding::everywhere(Internal { detail })).collect()),
        }
    }

    /// What suppliers wrote into their orders, held against what the job orders. `Err` where a sheet has a fault of the
    /// program's.
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
        match defects.is_empty() {
            true => Ok((quotes, findings)),
            false => Err(defects.into_iter().map(|detail| Finding::everywhere(Internal { detail })).collect()),
        }
    }

    /// What a later bid of the job is held against.
    pub fn summary(&self, job: &Job) -> Summary {
        Summary::of(job, &self.network, &self.sizes, &self.take_off, &self.labor, &self.bid)
    }
}

fn figure(
    book: &mut Book,
    job: &Job,
    found: &[Finding],
    tables: &Tables,
    options: &Options,
    extent: Extent,
) -> Result<Figured, Vec<Finding>> {
    let rules = &tables.rules;
    let (network, more) = checked(job, tables);
    let mut findings = found.to_vec();
    findings.extend(more);
    if stops(&findings) {
        finding::sort(&mut findings);
        return Err(findings);
    }

    let pages = Pages::put(book, left_out(&options.revising));
    book.own_tables_on(pages.id(Page::Defaults));
    let settings = Settings::put(book, pages.id(Page::Defaults), job);
    let view = View {
        job,
        rules,
        network: &network,
        settings: &settings,
        pages: &pages,
        hold: options.hold,
        advice: extent == Extent::Whole,
        results: (),
    };
    let (sizes, more) = size::size(book, &view);
    findings.extend(more);
    let (take_off, more) = takeoff::take_off(book, &view.with(takeoff::Inputs { sizes: &sizes }));
    findings.extend(more);
    let purchases = (extent == Extent::Whole).then(|| {
        let inputs = buy::Inputs { sizes: &sizes, take_off: &take_off, effort: options.cutting };
        let (purchases, more) = buy::buy(book, &view.with(inputs));
        findings.extend(more);
        purchases
    });
    let (labor, more) = labor::labor(book, &view.with(labor::Inputs { sizes: &sizes, take_off: &take_off }));
    findings.extend(more);
    let inputs = price::Inputs {
        take_off: &take_off,
        purchases: purchases.as_ref(),
        labor: &labor,
        alternates: &options.alternates,
    };
    let (bid, more) = price::price(book, &view.with(inputs));
    findings.extend(more);
    finding::sort(&mut findings);
    if stops(&findings) {
        return Err(findings);
    }
    Ok(Figured { network, pages, settings, sizes, take_off, purchases, labor, bid, findings })
}

fn stops(findings: &[Finding]) -> bool {
    findings.iter().any(|finding| finding.severity == Severity::Stop)
}
