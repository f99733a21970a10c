//! `price`: job workbooks in, bid workbooks out, a short summary or a JSON document on the terminal.

use super::document::{PriceDocument, several};
use super::job::{self, Given, Opened, Prepared};
use super::terminal::counted;
use super::{Exit, Terminal, Trouble, about, missing, revise};
use crate::figure::Term;
use crate::figure::exported::{money, number};
use crate::finding::{Finding, excerpt};
use crate::model::{Job, Setting, same_revision};
use crate::pipeline::Priced;
use crate::unit::with_commas;
use crate::write::{bid_bytes, save};
use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};

/// What `price` was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Options {
    /// Workbooks, at least one.
    pub books: Vec<PathBuf>,
    /// The bid to write; for one book only. Without it `<name>-bid.xlsx` beside the book.
    pub output: Option<PathBuf>,
    /// Write over an existing bid.
    pub replace: bool,
    /// Keep the choices (sizes, offers) of a bid that is read.
    pub hold: bool,
    /// Also write a copy of the job with a row in Prices for each item without a price.
    pub list_missing: bool,
    /// Settings and rule tables for all of them.
    pub given: Given,
    /// One JSON document in place of the summary and the findings.
    pub json: bool,
}

/// Prices the books one after another, going on after one fails; the worst of them decides how the command ends.
pub(crate) fn run(options: &Options, terminal: &mut Terminal) -> io::Result<Exit> {
    if options.output.is_some() && options.books.len() > 1 {
        return terminal.trouble(&Trouble::usage(
            "-o names one file, and there are several workbooks. Leave it out: each bid then stands beside its workbook.",
        ));
    }
    let prepared = match options.given.prepare() {
        Ok(prepared) => prepared,
        Err(trouble) => return terminal.trouble(&trouble),
    };
    let mut worst = Exit::Done;
    let mut priced = 0;
    let mut written = BTreeSet::new();
    let mut documents = Vec::new();
    for book in &options.books {
        let outcome = price_one(book, options, &prepared, &mut written);
        worst = worst.max(outcome.exit);
        priced += usize::from(outcome.exit == Exit::Done);
        print(&outcome, options, terminal)?;
        documents.extend(options.json.then_some(outcome.document));
    }
    if options.json {
        terminal.json(&several(documents))?;
    } else if options.books.len() > 1 {
        writeln!(terminal.out, "{priced} of {} workbooks priced.", options.books.len())?;
    }
    Ok(worst)
}

/// What became of one book.
struct Outcome {
    file: String,
    exit: Exit,
    findings: Vec<Finding>,
    /// Said on standard error beside the findings.
    remark: Option<String>,
    trouble: Option<Trouble>,
    /// The lines of the summary, the first one short enough to stand alone.
    summary: Vec<String>,
    document: PriceDocument,
}

fn print(outcome: &Outcome, options: &Options, terminal: &mut Terminal) -> io::Result<()> {
    if let Some(trouble) = &outcome.trouble {
        terminal.trouble(trouble)?;
    }
    if options.json {
        return Ok(());
    }
    terminal.findings(&outcome.file, &outcome.findings)?;
    if let Some(remark) = &outcome.remark {
        writeln!(terminal.err, "{remark}")?;
    }
    match (outcome.exit, options.books.len()) {
        (Exit::Done, 1) => outcome.summary.iter().try_for_each(|line| writeln!(terminal.out, "{line}")),
        (Exit::Done, _) => outcome.summary.iter().take(1).try_for_each(|line| writeln!(terminal.out, "{line}")),
        (_, 1) => Ok(()),
        (_, _) => writeln!(terminal.out, "{}: no bid", outcome.file),
    }
}

fn price_one(book: &Path, options: &Options, prepared: &Prepared, written: &mut BTreeSet<PathBuf>) -> Outcome {
    let file = book.display().to_string();
    let opened = job::open(book, prepared);
    let holds_nothing = options.hold && !opened.job.is_bid && !opened.unreadable;
    let remark = holds_nothing
        .then(|| format!("{file} is no bid, so it has no choices to hold: sizes and offers are picked again."));
    let priced = match opened.price(prepared, options.hold) {
        Ok(priced) => priced,
        Err((findings, exit)) => {
            let document = PriceDocument::stopped(&file, &findings);
            return Outcome { file, exit, findings, remark, trouble: None, summary: Vec::new(), document };
        }
    };
    let mut document = PriceDocument::priced(&file, &opened.job, &priced);
    let output = options.output.clone().unwrap_or_else(|| default_output(book, &opened.job));
    match write(&opened, &priced, &output, options.replace, written) {
        Ok(()) => {
            document.output = Some(output.display().to_string());
            let mut summary = summary(&file, &opened.job, &priced, &output);
            if options.list_missing {
                match missing::write(&opened, &priced, options.replace) {
                    Ok(Some(copy)) => {
                        summary.push(format!("  Rows to be priced   {}", copy.display()));
                        document.to_quote = Some(copy.display().to_string());
                    }
                    Ok(None) => summary.push("  Rows to be priced   none: Prices has a row for every item".to_owned()),
                    Err(trouble) => {
                        document.error = Some(trouble.words.clone());
                        let (exit, findings) = (trouble.exit, priced.findings);
                        return Outcome { file, exit, findings, remark, trouble: Some(trouble), summary, document };
                    }
                }
            }
            Outcome { file, exit: Exit::Done, findings: priced.findings, remark, trouble: None, summary, document }
        }
        Err(trouble) => {
            document.error = Some(trouble.words.clone());
            let exit = trouble.exit;
            let trouble = Some(trouble);
            Outcome { file, exit, findings: priced.findings, remark, trouble, summary: Vec::new(), document }
        }
    }
}

/// `<name>-bid.xlsx` beside the book, `<name>-bid-r<N>.xlsx` for a later revision; a bid priced again keeps its name.
fn default_output(book: &Path, job: &Job) -> PathBuf {
    if job.is_bid {
        return book.with_extension("xlsx");
    }
    let revision = job.text(Setting::Revision);
    if !same_revision(&revision, "0") {
        return revise::output(book, &revision);
    }
    let mut name = book.file_stem().unwrap_or_default().to_owned();
    name.push("-bid.xlsx");
    book.with_file_name(name)
}

fn write(
    opened: &Opened,
    priced: &Priced,
    output: &Path,
    replace: bool,
    written: &mut BTreeSet<PathBuf>,
) -> Result<(), Trouble> {
    let book = &opened.path;
    let same_file = book.canonicalize().is_ok_and(|book| output.canonicalize().is_ok_and(|output| book == output));
    if same_file && !opened.job.is_bid {
        return Err(Trouble::usage(format!(
            "{} is the job workbook itself. Give the bid another name with -o.",
            output.display()
        )));
    }
    if replace {
        revise::keep_apart(output, &opened.job)?;
    }
    let about = about::about(&opened.job, &opened.kept);
    let bytes = bid_bytes(&priced.book, &opened.kept, &about)
        .map_err(|error| Trouble::system(format!("{}: the bid could not be made: {error:#}.", book.display())))?;
    // Two books of one run whose bids have the same name: the second must not take the first one's place.
    if output.canonicalize().is_ok_and(|path| written.contains(&path)) {
        return Err(Trouble::system(format!(
            "{}: the bid of another of these workbooks already has the name {}. Price it by itself, with -o.",
            book.display(),
            output.display()
        )));
    }
    match save::save(output, &bytes, replace) {
        Ok(()) => {
            written.extend(output.canonicalize().ok());
            Ok(())
        }
        Err(save::SaveError::Exists(_)) if same_file => Err(Trouble::system(format!(
            "{} is a bid already. Give --replace to price it again in its place, or another name with -o.",
            output.display()
        ))),
        Err(error) => Err(Trouble::system(error)),
    }
}

fn summary(file: &str, job: &Job, priced: &Priced, output: &Path) -> Vec<String> {
    let currency = job.text(Setting::Currency);
    let amount = |term: &Term| {
        let amount = money(term).map_or_else(|| term.value().to_string(), |amount| with_commas(&amount));
        let (sign, amount) = amount.strip_prefix('-').map_or(("", &*amount), |amount| ("-", amount));
        if currency.chars().any(char::is_alphabetic) {
            format!("{currency} {sign}{amount}")
        } else {
            format!("{sign}{currency}{amount}")
        }
    };
    let hours = |term: &Term| number(term).map_or_else(|| term.value().to_string(), |hours| format!("{hours:.1}"));
    let build_up = &priced.bid.build_up;
    let output = output.display();
    let (owner, hired) = (hours(&build_up.totals.owner_hours), hours(&build_up.totals.hired_hours));
    let pressure = match &priced.entries.least_spare {
        Some(least) => {
            let spare = number(&least.psi).map_or_else(|| least.psi.value().to_string(), |psi| format!("{psi:.1}"));
            format!("{spare} psi to spare over what is needed, at the end of run {}", least.run.value())
        }
        None => "nothing draws water".to_owned(),
    };
    let mut lines = vec![
        format!("{file}: {}, {} -> {output}", amount(&build_up.total), counted(&priced.findings)),
        format!("  Total               {}", amount(&build_up.total)),
    ];
    if build_up.unpriced.value().as_f64() > 0.0 {
        lines.push(format!("  Not complete        items without a price: {}", build_up.unpriced.value()));
    }
    lines.push(format!("  Cash out of pocket  {}", amount(&build_up.totals.cash_total)));
    if let Some(whole_packs) = &priced.bid.whole_packs {
        lines.push(format!("  With whole packs    {}", amount(&whole_packs.cash)));
    }
    for alternate in priced.bid.alternates.iter().filter(|alternate| alternate.offered) {
        let text = job.terms.iter().find(|term| term.row == alternate.row).map(|term| excerpt(&term.text.value));
        lines.push(format!("  Alternate           {} for: {}", amount(&alternate.amount), text.unwrap_or_default()));
    }
    lines.extend([
        format!("  Hours               {} (owner {owner}, hired {hired})", hours(&priced.labor.total)),
        format!("  Lowest pressure     {pressure}"),
        format!("  Findings            {}", counted(&priced.findings)),
        format!("  Bid                 {output}"),
    ]);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Field, SettingValue};

    #[test]
    fn a_bid_stands_beside_its_workbook_and_keeps_its_name() {
        let output = |book: &str, is_bid| default_output(Path::new(book), &Job { is_bid, ..Job::default() });
        assert_eq!(output("jobs/house.ods", false), Path::new("jobs/house-bid.xlsx"));
        assert_eq!(output("house-bid.xlsx", false), Path::new("house-bid-bid.xlsx"));
        assert_eq!(output("house-bid.xlsx", true), Path::new("house-bid.xlsx"));
        let second = SettingValue::Text("2".into());
        let mut job = Job::default();
        job.settings.insert(Setting::Revision, Field { value: Some(second), ..Field::default() });
        assert_eq!(default_output(Path::new("house.xlsx"), &job), Path::new("house-bid-r2.xlsx"));
    }
}
