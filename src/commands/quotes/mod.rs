//! `quotes`: orders that suppliers have filled in are read back: a workbook with the prices side by side, and the job
//! workbook with the quoted prices in it.

mod document;

use super::about;
use super::job::{self, Given, Opened};
use super::terminal::counted;
use super::{Exit, Terminal, Trouble};
use crate::finding::Finding;
use crate::model::Setting;
use crate::quote::{OfFile, Quotes};
use crate::read::{self, FilledFile};
use crate::unit::with_commas;
use crate::write::{About, job_bytes, quotes_bytes, save};
use document::QuotesDocument;
use rust_decimal::Decimal;
use std::io;
use std::path::{Path, PathBuf};

/// What `quotes` was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Options {
    /// The workbook that the orders were made from.
    pub book: PathBuf,
    /// Order workbooks that suppliers filled in, at least one.
    pub filled: Vec<PathBuf>,
    /// The comparison. Without it `<name>-quotes.xlsx` beside the book. The job with the quoted prices goes beside it.
    pub output: Option<PathBuf>,
    /// Write over files that are there.
    pub replace: bool,
    /// Keep the choices (sizes, offers, packs) of a bid that is read, as its orders did.
    pub hold: bool,
    /// Settings and rule tables.
    pub given: Given,
    /// One JSON document in place of the summary and the findings.
    pub json: bool,
}

/// Where the two workbooks go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Files {
    /// The workbook with the prices side by side.
    pub comparison: PathBuf,
    /// The copy of the job with the quoted prices in it.
    pub job: PathBuf,
}

pub(crate) fn run(options: &Options, terminal: &mut Terminal) -> io::Result<Exit> {
    let prepared = match options.given.prepare() {
        Ok(prepared) => prepared,
        Err(trouble) => return terminal.trouble(&trouble),
    };
    let file = options.book.display().to_string();
    let opened = job::open(&options.book, &prepared);
    let priced = match opened.price(&prepared, options.hold) {
        Ok(priced) => priced,
        Err((findings, exit)) => return stopped(options, &file, findings, exit, terminal),
    };
    let filled: Vec<FilledFile> = options.filled.iter().map(|path| read::filled(path)).collect();
    let (quotes, by_file) = match priced.quotes(&opened.job, &opened.kept, &filled) {
        Ok(done) => done,
        Err(faults) => return stopped(options, &file, faults, Exit::Stopped, terminal),
    };
    // A file that could not be read is a trouble of the system, and the others are compared all the same.
    let unread = filled.iter().any(|file| file.findings.iter().any(read::is_file_trouble));
    let mut exit = if unread { Exit::System } else { Exit::Done };
    let mut document = QuotesDocument::new(&file, &options.filled, &by_file);
    let mut trouble = None;
    let mut files = None;
    match &quotes {
        None => exit = exit.max(Exit::Stopped),
        Some(quotes) => match write(options, &opened, quotes) {
            Ok(written) => {
                document.compared(quotes, &written);
                files = Some(written);
            }
            Err(reason) => {
                document.error = Some(reason.words.clone());
                exit = exit.max(reason.exit);
                trouble = Some(reason);
            }
        },
    }
    if let Some(trouble) = &trouble {
        terminal.trouble(trouble)?;
    }
    if options.json {
        terminal.json(&document)?;
        return Ok(exit);
    }
    // The first are those of the job workbook.
    let names = [options.book.as_path()].into_iter().chain(options.filled.iter().map(PathBuf::as_path));
    for (name, of) in names.zip(&by_file) {
        terminal.findings(&name.display().to_string(), &of.findings)?;
    }
    if let (Some(quotes), Some(files)) = (&quotes, &files) {
        let currency = opened.job.text(Setting::Currency);
        summary(&file, quotes, files, &by_file, &currency)
            .iter()
            .try_for_each(|line| writeln!(terminal.out, "{line}"))?;
    }
    Ok(exit)
}

fn stopped(
    options: &Options,
    file: &str,
    findings: Vec<Finding>,
    exit: Exit,
    terminal: &mut Terminal,
) -> io::Result<Exit> {
    if options.json {
        let by_file = [OfFile { file: file.into(), findings }];
        terminal.json(&QuotesDocument::new(file, &[], &by_file))?;
    } else {
        terminal.findings(file, &findings)?;
    }
    Ok(exit)
}

/// Writes both workbooks, or none.
fn write(options: &Options, opened: &Opened, quotes: &Quotes) -> Result<Files, Trouble> {
    let stem = |path: &Path| path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let comparison = options
        .output
        .clone()
        .unwrap_or_else(|| options.book.with_file_name(format!("{}-quotes.xlsx", stem(&options.book))));
    let job = comparison.with_file_name(format!("{}-job.xlsx", stem(&comparison)));
    let files = Files { comparison, job };
    let inputs: Vec<PathBuf> =
        [&options.book].into_iter().chain(&options.filled).filter_map(|path| path.canonicalize().ok()).collect();
    for output in [&files.comparison, &files.job] {
        if output.canonicalize().is_ok_and(|output| inputs.contains(&output)) {
            return Err(Trouble::usage(format!(
                "{} is one of the files that are read. Give another name with -o.",
                output.display()
            )));
        }
    }
    let of_job = about::about(&opened.job, &quotes.priced);
    let job_name = opened.job.text(Setting::JobName);
    let title = |what: &str| if job_name.is_empty() { what.to_owned() } else { format!("{what}: {job_name}") };
    let about = |what: &str| About { title: title(what), properties: Vec::new(), ..of_job.clone() };
    let not_made = |error: anyhow::Error| Trouble::system(format!("The quotes could not be made: {error:#}."));
    let contents = [
        (files.comparison.clone(), quotes_bytes(&quotes.book, &about("Quotes")).map_err(not_made)?),
        (files.job.clone(), job_bytes(&quotes.priced, &about("Plumbing job")).map_err(not_made)?),
    ];
    save::save_all(&contents, options.replace).map_err(|error| match &error {
        save::SaveError::Exists(path) => Trouble::system(format!(
            "{} is already there; nothing was written. Give another name with -o, or --replace to write over it.",
            path.display()
        )),
        _ => Trouble::system(error),
    })?;
    Ok(files)
}

fn summary(file: &str, quotes: &Quotes, files: &Files, by_file: &[OfFile], currency: &str) -> Vec<String> {
    let money = |amount: Decimal| {
        let amount = with_commas(&format!("{amount:.2}"));
        if currency.chars().any(char::is_alphabetic) {
            format!("{currency} {amount}")
        } else {
            format!("{currency}{amount}")
        }
    };
    let all: Vec<Finding> = by_file.iter().flat_map(|of| of.findings.iter().cloned()).collect();
    let priced = quotes.choices.from.iter().filter(|from| from.is_some()).count();
    let ways = &quotes.ways;
    let single = match &ways.single {
        Some((name, sum)) => format!("{}, {name}", money(*sum)),
        None => "nobody prices every line".to_owned(),
    };
    let (suppliers, lines) = (quotes.suppliers.len(), quotes.wanted.len());
    let plural = if suppliers == 1 { "" } else { "s" };
    vec![
        format!("{file}: {suppliers} supplier{plural}, {priced} of {lines} lines priced; {}", counted(&all)),
        format!("  As chosen, with charges       {}", money(ways.chosen)),
        format!(
            "  Every line at its least       {}, {} with those charges",
            money(ways.least),
            money(ways.least_with_charges)
        ),
        format!("  Everything from one supplier  {single}"),
        format!("  Quotes                        {}", files.comparison.display()),
        format!("  Job with these prices         {}", files.job.display()),
    ]
}
