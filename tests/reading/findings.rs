//! Each finding has its case, each case its finding: `tests/findings/<slug>/job.txt` is a job that causes it, with the
//! tables of `rules/` beside it where it takes some, and `expected.txt` is what the program says, word for word.
//!
//! `TALLYBORE_UPDATE=1 cargo test --test reading findings` writes every `expected.txt` anew; read what it changed.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use tallybore::commands::all_findings::all_findings;
use tallybore::finding::text;
use tallybore::model::book_text;
use tallybore::pipeline::{self, Options};
use tallybore::read;
use tallybore::rules::RuleFile;
use tallybore::write::job_book;

/// The name that the findings are told under.
const FILE: &str = "job.xlsx";

/// Findings that no job in text form can cause, and the test file that causes each of them.
const ELSEWHERE: &[(&str, &str)] = &[
    // The file as a whole: no workbook, or one that a spreadsheet program would not have written.
    ("no-such-file", "tests/reading/bad_files.rs"),
    ("folder-given", "tests/reading/bad_files.rs"),
    ("empty-file", "tests/reading/bad_files.rs"),
    ("not-a-workbook", "tests/reading/bad_files.rs"),
    ("old-workbook", "tests/reading/bad_files.rs"),
    ("binary-workbook", "tests/reading/bad_files.rs"),
    ("password-protected", "tests/reading/bad_files.rs"),
    ("damaged-file", "tests/reading/bad_files.rs"),
    ("oversize-file", "tests/reading/bad_files.rs"),
    ("macros-left-out", "tests/reading/bad_files.rs"),
    ("unreadable-sheet", "tests/reading/bad_files.rs"),
    ("unreadable-file", "tests/reading/bad_files.rs"),
    ("merges-cut", "tests/reading/bad_files.rs"),
    // A row of text has no more cells than headings.
    ("heading-missing", "tests/reading/reader/headings.rs"),
    // More than a text of a readable size says: a cell of 32,768 characters, 500 rows of trouble.
    ("long-text", "tests/reading/bad_files.rs"),
    ("more-findings", "tests/reading/bad_files.rs"),
    // Text form cannot say that a sheet is hidden, or that a formula was never worked out.
    ("hidden-sheet", "tests/reading/reader/sheets.rs"),
    ("blank-formula", "tests/reading/reader/kept.rs"),
    ("choices-not-read", "tests/reading/reader/kept.rs"),
    ("edit-read-back", "tests/revise/edited.rs"),
    ("offers-by-row", "tests/revise/edited.rs"),
    // A revision: what is typed as a change, or two workbooks.
    ("edit-not-read", "tests/revise/command.rs"),
    ("edit-bad-value", "tests/revise/command.rs"),
    ("edit-of-formula", "tests/revise/command.rs"),
    ("edit-of-result", "tests/revise/command.rs"),
    ("edit-not-input", "tests/revise/command.rs"),
    ("edit-of-nothing", "tests/revise/command.rs"),
    ("edit-feeds-formula", "tests/revise/command.rs"),
    ("different-jobs", "tests/revise/command.rs"),
    ("old-total-moved", "tests/revise/command.rs"),
    ("same-date", "tests/revise/command.rs"),
    ("nothing-changed", "tests/revise/command.rs"),
    ("installed-too-small", "tests/revise/held.rs"),
    ("installed-size-typed", "tests/revise/installed.rs"),
    ("tried-in-vain", "tests/revise/what_if.rs"),
    // Alternates are priced by the commands, whole jobs each.
    ("alternate-not-priced", "tests/bid/alternates.rs"),
    ("alternate-changes-nothing", "tests/bid/alternates.rs"),
    ("alternate-fails", "tests/bid/alternates.rs"),
    // Supplier orders: pricing alone does not write any.
    ("order-without-number", "tests/buying/order/command.rs"),
    ("order-without-address", "tests/buying/order/command.rs"),
    ("order-without-contact", "tests/buying/order/command.rs"),
    ("order-without-supplier", "tests/buying/order/command.rs"),
    ("order-asks-for-quotes", "tests/buying/order/command.rs"),
    ("order-short", "tests/buying/order/command.rs"),
    ("quotes-from-nobody", "tests/buying/order/command.rs"),
    ("counter-would-ask", "tests/buying/order/counter.rs"),
    ("counter-would-ask-fixture", "tests/buying/order/counter.rs"),
    ("fixture-not-picked", "tests/buying/order/counter.rs"),
    ("fixture-without-supplier", "tests/buying/order/counter.rs"),
    ("order-under-bid", "tests/buying/order/counter.rs"),
    ("fixture-quoted", "tests/buying/quotes/job.rs"),
    ("nothing-to-order", "tests/buying/order/command.rs"),
    // Orders that suppliers have filled in.
    ("form-not-read", "tests/buying/quotes/hostile.rs"),
    ("form-of-other", "tests/buying/quotes/hostile.rs"),
    ("form-revision", "tests/buying/quotes/hostile.rs"),
    ("form-by-other", "tests/buying/quotes/hostile.rs"),
    ("quote-expired", "tests/buying/quotes/hostile.rs"),
    ("quote-not-read", "tests/buying/quotes/hostile.rs"),
    ("quote-read-as", "tests/buying/quotes/hostile.rs"),
    ("quote-unit-changed", "tests/buying/quotes/hostile.rs"),
    ("quote-quantity-changed", "tests/buying/quotes/hostile.rs"),
    ("quote-without-line", "tests/buying/quotes/hostile.rs"),
    ("quote-twice", "tests/buying/quotes/hostile.rs"),
    ("quote-not-needed", "tests/buying/quotes/hostile.rs"),
    ("quote-rows-gone", "tests/buying/quotes/hostile.rs"),
    ("quote-unlikely", "tests/buying/quotes/hostile.rs"),
    ("quote-substitute", "tests/buying/quotes/hostile.rs"),
    ("quotes-many", "tests/buying/quotes/hostile.rs"),
    ("nothing-quoted", "tests/buying/quotes/hostile.rs"),
    ("quote-price-kept", "tests/buying/quotes/job.rs"),
    ("quotes-undated", "tests/buying/quotes/job.rs"),
    // A fault of the program, so no job known causes it; there it is shown that no rule table does.
    ("internal", "tests/reading/rules_overrides.rs"),
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn cases() -> PathBuf {
    root().join("tests/findings")
}

fn rewriting() -> bool {
    std::env::var_os("TALLYBORE_UPDATE").is_some_and(|value| value == "1")
}

/// All that is said of a case's job: by the reading, the checks and the pricing; or of its text, when that is wrong.
fn phrases(case: &Path) -> String {
    let (book, faults) = book_text::parse(&fs::read_to_string(case.join("job.txt")).unwrap());
    if !faults.is_empty() {
        return text::lines("job.txt", &faults);
    }
    let options = Options { rule_files: rule_files(&case.join("rules")), ..Options::default() };
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join(FILE);
    fs::write(&file, job_book::from_text(&book).unwrap()).unwrap();
    let reading = read::open(&file);
    let findings = match pipeline::price(&reading.job, &reading.book, &reading.findings, &options) {
        Ok(priced) => priced.findings,
        Err(findings) => findings,
    };
    text::lines(FILE, &findings)
}

/// The tables in a folder of rules, by name; none when there is no such folder.
fn rule_files(folder: &Path) -> Vec<RuleFile> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let name = |path: &Path| path.file_name().unwrap().to_str().unwrap().to_owned();
    paths.iter().map(|path| RuleFile { name: name(path).into(), text: fs::read_to_string(path).unwrap() }).collect()
}

/// The slug of every finding in these lines; the lines of words are indented.
fn slugs_in(lines: &str) -> BTreeSet<&str> {
    let heads = lines.lines().filter(|line| !line.starts_with(' '));
    heads.filter_map(|line| line.split("  ").nth(1)).collect()
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
    files
}

/// The names of the findings, as the program lists them.
fn slugs() -> BTreeSet<String> {
    all_findings().iter().map(|declared| declared.slug.to_owned()).collect()
}

/// The structs of all findings declared anywhere in the source, as slugs: `NoSuchFile` is no-such-file.
fn declared() -> Vec<String> {
    let sources = rust_files(&root().join("src")).into_iter().map(|path| fs::read_to_string(path).unwrap());
    let bodies =
        sources.filter_map(|source| Some(source.split_once("\nfindings! {\n")?.1.split_once("\n}")?.0.to_owned()));
    let names = |body: String| -> Vec<String> {
        let lines = body.lines().filter_map(|line| line.strip_prefix("    "));
        let heads = lines.filter(|line| line.starts_with(|c: char| c.is_ascii_uppercase()));
        heads.map(|line| kebab(line.split(' ').next().unwrap())).collect()
    };
    let mut all: Vec<String> = bodies.flat_map(names).collect();
    all.sort();
    all
}

fn kebab(name: &str) -> String {
    let mut out = String::new();
    for c in name.chars() {
        if c.is_ascii_uppercase() && !out.is_empty() {
            out.push('-');
        }
        out.push(c.to_ascii_lowercase());
    }
    out
}

fn folders() -> BTreeMap<String, PathBuf> {
    let entries = fs::read_dir(cases()).unwrap().map(|entry| entry.unwrap().path());
    let folders = entries.filter(|path| path.is_dir());
    folders.map(|path| (path.file_name().unwrap().to_str().unwrap().to_owned(), path)).collect()
}

#[test]
fn each_finding_is_listed_once_under_its_own_name() {
    // Two ways to the same list: neither can miss one without the other showing it.
    assert_eq!(slugs().into_iter().collect::<Vec<_>>(), declared());
    assert!(all_findings().len() == slugs().len() && slugs().len() > 170, "{}", slugs().len());
    for of in all_findings() {
        assert_eq!(of.slug, kebab(of.name));
        assert!(of.about.starts_with(' ') && of.about.ends_with('.'), "{}: {}", of.slug, of.about);
    }
}

#[test]
fn each_finding_has_its_case_and_each_case_its_finding() {
    let (slugs, folders) = (slugs(), folders());
    let elsewhere: BTreeSet<&str> = ELSEWHERE.iter().map(|(slug, _)| *slug).collect();
    let bare: Vec<&String> =
        slugs.iter().filter(|s| !folders.contains_key(*s) && !elsewhere.contains(s.as_str())).collect();
    assert!(bare.is_empty(), "findings without a case in tests/findings: {bare:?}");
    let stray: Vec<&String> = folders.keys().filter(|folder| !slugs.contains(*folder)).collect();
    assert!(stray.is_empty(), "cases of no finding: {stray:?}");
    let twice: Vec<&&str> = elsewhere.iter().filter(|slug| folders.contains_key(**slug)).collect();
    assert!(twice.is_empty(), "said to be tested elsewhere, and have a case: {twice:?}");
}

#[test]
fn what_is_tested_elsewhere_is() {
    let known = slugs();
    for (slug, file) in ELSEWHERE {
        assert!(known.contains(*slug), "{slug} is no finding");
        let test = fs::read_to_string(root().join(file)).unwrap();
        assert!(test.contains("#[test]") && test.contains(slug), "{file} says nothing of {slug}");
    }
}

#[test]
fn every_case_says_what_it_should() {
    let mut wrong = Vec::new();
    for (slug, folder) in folders() {
        let phrases = phrases(&folder);
        if !slugs_in(&phrases).contains(slug.as_str()) {
            wrong.push(format!("{slug}: its job does not cause it, but this:\n{phrases}"));
        }
        let path = folder.join("expected.txt");
        if rewriting() {
            fs::write(&path, &phrases).unwrap();
        }
        let expected = fs::read_to_string(&path).unwrap_or_default();
        if expected != phrases {
            wrong.push(format!("{slug}: expected\n{expected}said\n{phrases}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
