//! A workbook on its way to a bid: read, with the settings of the command line in it, then priced.

use super::set::{self, Assignment};
use super::{Exit, Trouble, alternates};
use crate::finding::{self, Finding};
use crate::model::{Job, KeptBook};
use crate::pipeline::{self, Priced};
use crate::read::{self, Reading};
use crate::rules::RuleFile;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

/// What the command line says about every workbook it names.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Given {
    /// `NAME=VALUE`, in the order typed; the last of a name holds.
    pub set: Vec<String>,
    /// A folder of rule tables.
    pub rules: Option<PathBuf>,
}

/// [`Given`], read.
pub struct Prepared {
    assignments: Vec<Assignment>,
    rule_files: Vec<RuleFile>,
}

impl Given {
    /// Reads the settings and the rule tables; all wrong settings are told at once.
    ///
    /// # Errors
    /// What was typed that is no setting, or the table that cannot be read.
    pub fn prepare(&self) -> Result<Prepared, Trouble> {
        let (mut assignments, mut wrong) = (Vec::new(), Vec::new());
        for typed in &self.set {
            match set::parse(typed) {
                Ok(assignment) => assignments.push(assignment),
                Err(error) => wrong.push(error.to_string()),
            }
        }
        if !wrong.is_empty() {
            return Err(Trouble::usage(wrong.join("\n")));
        }
        let rule_files = self.rules.as_deref().map(rule_files).transpose()?.unwrap_or_default();
        Ok(Prepared { assignments, rule_files })
    }
}

impl Prepared {
    pub fn rule_files(&self) -> &[RuleFile] {
        &self.rule_files
    }
}

/// What the tables of a folder may come to, in bytes: many times what all of ours are.
const RULE_BYTES: usize = 20_000_000;

/// Every `.csv` of the folder, by name.
fn rule_files(folder: &Path) -> Result<Vec<RuleFile>, Trouble> {
    let unreadable = |path: &Path, reason: std::io::Error| {
        Trouble::system(format!("{} could not be read: {reason}.", path.display()))
    };
    let entries = std::fs::read_dir(folder).map_err(|reason| unreadable(folder, reason))?;
    let mut paths = Vec::new();
    for entry in entries {
        let path = entry.map_err(|reason| unreadable(folder, reason))?.path();
        if path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("csv")) {
            paths.push(path);
        }
    }
    if paths.is_empty() {
        let words = format!("{} holds no .csv file. `tallybore rules --export` writes some.", folder.display());
        return Err(Trouble::system(words));
    }
    paths.sort();
    let mut files = Vec::new();
    let mut bytes = 0;
    for path in &paths {
        let text = read::text(path).map_err(|code| text_trouble(path, &code))?;
        bytes += text.len();
        if bytes > RULE_BYTES {
            let words = format!("The .csv files of {} are larger than {RULE_BYTES} bytes together.", folder.display());
            return Err(Trouble::system(words));
        }
        let name = path.file_name().unwrap_or(OsStr::new("")).to_string_lossy().into();
        files.push(RuleFile { name, text });
    }
    Ok(files)
}

/// A text file that could not be read.
pub(crate) fn text_trouble(path: &Path, finding: &Finding) -> Trouble {
    Trouble::system(format!("{}: {} {}", path.display(), finding.found, finding.remedy))
}

/// A workbook as the commands see it.
pub(crate) struct Opened {
    pub path: PathBuf,
    pub job: Job,
    pub kept: KeptBook,
    /// The findings of reading, the worst first.
    pub findings: Vec<Finding>,
    /// True when the file as a whole could not be read: there is no job.
    pub unreadable: bool,
}

/// Reads a workbook and writes the settings of the command line into it.
pub(crate) fn open(path: &Path, prepared: &Prepared) -> Opened {
    let reading = read::open(path);
    let (mut job, mut kept, mut findings) = (reading.job, reading.book, reading.findings);
    let unreadable = findings.iter().any(read::is_file_trouble);
    if !unreadable {
        for assignment in &prepared.assignments {
            set::apply(assignment, &mut job, &mut kept, &mut findings);
        }
    }
    finding::sort(&mut findings);
    Opened { path: path.to_owned(), job, kept, findings, unreadable }
}

impl Opened {
    /// Prices it; or gives all findings and how the command ends for this workbook.
    pub(crate) fn price(&self, prepared: &Prepared, hold: bool) -> Result<Priced, (Vec<Finding>, Exit)> {
        if self.unreadable {
            return Err((self.findings.clone(), Exit::System));
        }
        let mut options =
            pipeline::Options { hold, rule_files: prepared.rule_files.clone(), ..pipeline::Options::default() };
        let mut findings = self.findings.clone();
        if alternates::any(&self.job) {
            let (job, book) = (self.job.clone(), self.kept.clone());
            let reading = Reading { job, book, findings: findings.clone() };
            options.alternates = alternates::priced(&reading, &options, &mut findings);
        }
        pipeline::price(&self.job, &self.kept, &findings, &options).map_err(|found| (found, Exit::Stopped))
    }
}
