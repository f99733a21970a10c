//! The one place that knows the order of the stages.

use crate::entries::Entries;
use crate::figure::Book;
use crate::finding::{self, Finding, Internal, Severity};
use crate::input::Settings;
use crate::model::network::Network;
use crate::model::{Job, KeptBook, cited_for};
use crate::priced::without_faults;
pub use crate::priced::{Priced, Tables};
use crate::revise::{self, Revising, Summary};
use crate::rules::{RuleFile, Rules};
use crate::sheets::{Page, Pages};
use crate::view::View;
use crate::{buy, check, labor, price, report, subjects, takeoff, trips};

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

/// What is wrong with a job, without pricing it: the checks that need no figures, and the rules' own.
pub fn check(job: &Job, options: &Options) -> (Network, Rules, Vec<Finding>) {
    let tables = Tables::of(job, &options.rule_files);
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
    /// The price by the foot and the piece, without cuts, packs and advice.
    Price,
}

/// The stages up to the price, as figures.
struct Figured {
    network: Network,
    pages: Pages,
    settings: Settings,
    subjects: subjects::Computed,
    entries: Entries,
    take_off: takeoff::TakeOff,
    /// What is bought for it; `None` where the price alone is asked for, which does not depend on it.
    purchases: Option<buy::Purchases>,
    labor: labor::Labor,
    bid: price::Bid,
    findings: Vec<Finding>,
}

/// Prices a job: read -> check -> subjects -> take off -> buy -> labor -> price -> report. `found` are the findings of reading.
///
/// # Errors
/// All findings, when one of them stops the bid.
pub fn price(job: &Job, kept: &KeptBook, found: &[Finding], options: &Options) -> Result<Priced, Vec<Finding>> {
    let tables = Tables::of(job, &options.rule_files);
    let mut book = Book::new();
    let figured = figure(&mut book, &Asked { job, found, tables: &tables, options, extent: Extent::Whole })?;
    let Figured { network, pages, settings, subjects, entries, take_off, purchases, labor, bid, mut findings } =
        figured;
    let Some(purchases) = purchases else {
        // A whole bid has them; were that ever to fail, it is no bid.
        return Err(vec![Finding::everywhere(Internal { detail: "nothing was bought".to_owned() })]);
    };
    let view = View { hold: options.hold, ..View::new(job, &tables.rules, &network, &settings, &pages) };
    let inputs = report::Inputs {
        kept,
        entries: &entries,
        take_off: &take_off,
        labor: &labor,
        bid: &bid,
        packs_gone: Some(&purchases.gone),
        findings: &findings,
    };
    report::report(&mut book, &view.with(inputs));
    let inputs = revise::Inputs {
        entries: &entries,
        take_off: &take_off,
        labor: &labor,
        bid: &bid,
        revising: &options.revising,
    };
    revise::revise(&mut book, &view.with(inputs));
    if let Err(faults) = without_faults(book.defects()) {
        findings.extend(faults);
        finding::sort(&mut findings);
        return Err(findings);
    }
    Ok(Priced { book, rules: tables.rules, network, subjects, entries, take_off, purchases, labor, bid, findings })
}

/// Prices a job without writing it down. For the many prices that a revision asks for; `tables` are those of the job.
///
/// # Errors
/// All findings, when one of them stops the bid.
pub fn sum_up(job: &Job, found: &[Finding], tables: &Tables, options: &Options) -> Result<Summary, Vec<Finding>> {
    let figured = figure(&mut Book::new(), &Asked { job, found, tables, options, extent: Extent::Price })?;
    let Figured { entries, take_off, labor, bid, .. } = &figured;
    Ok(Summary::of(job, entries, take_off, labor, bid))
}

/// What is to be figured, and how much of it.
struct Asked<'a> {
    job: &'a Job,
    /// The findings of reading.
    found: &'a [Finding],
    tables: &'a Tables,
    options: &'a Options,
    extent: Extent,
}

/// The stages over a job, each from the results of those before it.
fn figure(book: &mut Book, asked: &Asked) -> Result<Figured, Vec<Finding>> {
    let Asked { job, found, tables, options, extent } = *asked;
    let (network, more) = checked(job, tables);
    let mut findings = found.to_vec();
    findings.extend(more);
    if findings.iter().any(|finding| finding.severity == Severity::Stop && !finding.goes_on) {
        stop_at(&mut findings)?;
    }

    let pages = Pages::put(book, subjects::pages(), options.revising.pages_left_out());
    book.own_tables_on(pages.id(Page::Defaults));
    let settings = Settings::put(book, pages.id(Page::Defaults), job, subjects::settings());
    let advice = extent == Extent::Whole;
    let view = View { hold: options.hold, advice, ..View::new(job, &tables.rules, &network, &settings, &pages) };
    let subjects::Made { results, parts, work, mut costs, entries } = subjects::make(book, &view, &mut findings);
    let take_off = takeoff::take_off(book, &view, parts);
    let purchases = (extent == Extent::Whole).then(|| {
        let inputs = buy::Inputs { take_off: &take_off, effort: options.cutting };
        buy::buy(book, &view.with(inputs), &mut findings)
    });
    let inputs = labor::Inputs { work: &work, take_off: &take_off };
    let labor = labor::labor(book, &view.with(inputs), &mut findings);
    costs.other.extend(trips::trips(book, &view.with(trips::Inputs { take_off: &take_off, labor: &labor })));
    let (purchased, alternates) = (purchases.as_ref(), &options.alternates[..]);
    let inputs = price::Inputs { take_off: &take_off, purchases: purchased, labor: &labor, costs: &costs, alternates };
    let bid = price::price(book, &view.with(inputs), &mut findings);
    stop_at(&mut findings)?;
    for source in findings.iter_mut().filter_map(|finding| finding.source.as_mut()) {
        *source = cited_for(source, view.code.name());
    }
    finding::sort(&mut findings);
    Ok(Figured { network, pages, settings, subjects: results, entries, take_off, purchases, labor, bid, findings })
}

/// Gives the findings back, sorted, where one of them stops the bid.
fn stop_at(findings: &mut Vec<Finding>) -> Result<(), Vec<Finding>> {
    if findings.iter().all(|finding| finding.severity != Severity::Stop) {
        return Ok(());
    }
    finding::sort(findings);
    Err(std::mem::take(findings))
}
