//! The one place that knows the order of the stages.

use crate::figure::settings::Settings;
use crate::figure::{Book, SheetId};
use crate::finding::{self, Code, Finding, Severity};
use crate::model::network::Network;
use crate::model::{Job, KeptBook, Setting};
use crate::rules::{CodeBasis, Occupancy, RuleFile, Rules};
use crate::{buy, check, labor, price, report, size, takeoff};

/// How a job is to be priced.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// Keep the choices of the bid that is read (sizes, offers) instead of choosing anew.
    pub hold: bool,
    /// Tables of a `--rules` folder, already read.
    pub rule_files: Vec<RuleFile>,
    /// How long to search for the cheapest cuts of one kind of pipe.
    pub cutting: buy::cutting::Effort,
}

/// The sheets of a bid that the engine makes, in their order. The user's own stand between Findings and Checks.
#[derive(Debug, Clone, Copy)]
pub struct Sheets {
    pub bid: SheetId,
    pub glance: SheetId,
    pub cost: SheetId,
    pub sizing: SheetId,
    pub takeoff: SheetId,
    pub buying: SheetId,
    pub cut_plan: SheetId,
    pub hours: SheetId,
    pub findings: SheetId,
    pub checks: SheetId,
    pub loads: SheetId,
    pub friction: SheetId,
    pub tees: SheetId,
    pub counts: SheetId,
    pub defaults: SheetId,
    pub rules: SheetId,
}

impl Sheets {
    fn put(book: &mut Book) -> Self {
        Self {
            bid: book.sheet("Bid", false),
            glance: book.sheet("At a glance", false),
            cost: book.sheet("Cost build-up", true),
            sizing: book.sheet("Sizing", true),
            takeoff: book.sheet("Take-off", true),
            buying: book.sheet("Buying", true),
            cut_plan: book.sheet("Cut plan", true),
            hours: book.sheet("Hours", false),
            findings: book.sheet("Findings", true),
            checks: book.sheet("Checks", true),
            loads: book.sheet("Loads", true),
            friction: book.sheet("Friction", true),
            tees: book.sheet("Tees", true),
            counts: book.sheet("Counts", true),
            defaults: book.sheet("Defaults", true),
            rules: book.sheet("Rules", true),
        }
    }
}

/// A job, priced: the book of figures and what the stages found, for whoever writes, prints or traces it.
pub struct Priced {
    pub book: Book,
    pub network: Network,
    pub sizes: size::Sizes,
    pub take_off: takeoff::TakeOff,
    pub purchases: buy::Purchases,
    pub labor: labor::Labor,
    pub bid: price::Bid,
    /// All findings, those of reading included, the worst first.
    pub findings: Vec<Finding>,
}

/// What is wrong with a job, without pricing it: the checks that need no figures, and the rules' own.
pub fn check(job: &Job, options: &Options) -> (Network, Rules, Vec<Finding>) {
    let (rules, mut findings) = Rules::load(&job.overrides, &options.rule_files);
    let (network, problems) = Network::build(job);
    findings.extend(check::check(job, &rules, &network, &problems));
    (network, rules, findings)
}

/// Prices a job: read -> check -> size -> take off -> buy -> labor -> price -> report. `found` are the findings of reading.
/// `Err` gives all findings when one of them stops the bid.
pub fn price(job: &Job, kept: &KeptBook, found: &[Finding], options: &Options) -> Result<Priced, Vec<Finding>> {
    let (network, rules, checked) = check(job, options);
    let mut findings = found.to_vec();
    findings.extend(checked);
    if stops(&findings) {
        finding::sort(&mut findings);
        return Err(findings);
    }

    let mut book = Book::new();
    let sheets = Sheets::put(&mut book);
    let settings = Settings::put(&mut book, sheets.defaults, job);
    let context = size::Context {
        job,
        rules: &rules,
        network: &network,
        settings: &settings,
        sheets: size::Sheets {
            sizing: sheets.sizing,
            loads: sheets.loads,
            friction: sheets.friction,
            rules: sheets.rules,
        },
        code: CodeBasis::named(&job.text(Setting::CodeBasis)).unwrap_or(CodeBasis::Irc),
        occupancy: Occupancy::named(&job.text(Setting::Occupancy)).unwrap_or(Occupancy::Private),
        hold: options.hold,
    };
    let (sizes, more) = size::size(&mut book, &context);
    findings.extend(more);
    let context = takeoff::Context {
        job,
        rules: &rules,
        network: &network,
        settings: &settings,
        sizes: &sizes,
        takeoff: sheets.takeoff,
        tees: sheets.tees,
        counts: sheets.counts,
        hold: options.hold,
    };
    let (take_off, more) = takeoff::take_off(&mut book, &context);
    findings.extend(more);
    let context = buy::Context {
        job,
        rules: &rules,
        network: &network,
        settings: &settings,
        sizes: &sizes,
        take_off: &take_off,
        buying: sheets.buying,
        cut_plan: sheets.cut_plan,
        hold: options.hold,
        effort: options.cutting,
    };
    let (purchases, more) = buy::buy(&mut book, &context);
    findings.extend(more);
    let context = labor::Context {
        job,
        rules: &rules,
        network: &network,
        settings: &settings,
        sizes: &sizes,
        take_off: &take_off,
        hours: sheets.hours,
        rule_sheet: sheets.rules,
    };
    let (labor, more) = labor::labor(&mut book, &context);
    findings.extend(more);
    let context = price::Context {
        job,
        rules: &rules,
        settings: &settings,
        take_off: &take_off,
        purchases: &purchases,
        labor: &labor,
        cost: sheets.cost,
        hold: options.hold,
    };
    let (bid, more) = price::price(&mut book, &context);
    findings.extend(more);
    finding::sort(&mut findings);
    if stops(&findings) {
        return Err(findings);
    }

    let context = report::Context {
        job,
        kept,
        rules: &rules,
        network: &network,
        settings: &settings,
        sizes: &sizes,
        take_off: &take_off,
        labor: &labor,
        bid: &bid,
        findings: &findings,
        sheets: report::Sheets {
            bid: sheets.bid,
            glance: sheets.glance,
            findings: sheets.findings,
            checks: sheets.checks,
        },
        hold: options.hold,
    };
    report::report(&mut book, &context);
    let defects = book.defects();
    if !defects.is_empty() {
        findings.extend(defects.into_iter().map(|detail| Finding::everywhere(Code::Internal { detail })));
        finding::sort(&mut findings);
        return Err(findings);
    }
    Ok(Priced { book, network, sizes, take_off, purchases, labor, bid, findings })
}

fn stops(findings: &[Finding]) -> bool {
    findings.iter().any(|finding| finding.severity() == Severity::Stop)
}
