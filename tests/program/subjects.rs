//! Subjects of the trade, held by a machine: what they may see, that all they declare is listed, and that nobody names what is
//! another's. The sample subject is held to the same.

use crate::architecture::{Source, fail_with, first_names, floor, has_word, sources};
use std::fs;
use std::path::Path;

/// The files of the sample subject, which is held to the same rules.
fn sample_subject() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let entries = fs::read_dir(root.join("tests/sample_subject")).unwrap().map(|entry| entry.unwrap().path());
    let own = entries.filter(|path| path.extension().is_some_and(|e| e == "rs") && !path.ends_with("tests.rs"));
    let name = |path: &Path| path.file_name().unwrap().to_str().unwrap().to_owned();
    own.map(|path| Source {
        path: format!("src/subjects/garden/{}", name(&path)),
        text: fs::read_to_string(&path).unwrap(),
    })
    .collect()
}

/// The names of the subjects, as they are listed.
fn listed() -> Vec<String> {
    let list = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/subjects/mod.rs")).unwrap();
    let (_, listed) = list.rsplit_once("subjects! {").unwrap();
    let names = listed.lines().filter_map(|line| line.trim().split_once(": ")).map(|(name, _)| name.to_owned());
    let subjects: Vec<String> = names.collect();
    assert!(["water", "garden"].iter().all(|name| subjects.iter().any(|known| known == name)), "{subjects:?}");
    subjects
}

/// Who looks into a subject from outside its folder, and why.
const LOOKED_INTO: &[(&str, &str)] = &[
    ("src/subjects/mod.rs", "the line that lists it"),
    ("src/lib.rs", "the facade: tests hold its physics and its searches against what is published"),
];

/// The subjects that a file names and that are not its own: `subjects::water`, or `water::` right beside their folders.
fn looks_into(source: &Source, subjects: &[String]) -> Vec<String> {
    let code = source.code();
    let named = code.match_indices("subjects::").flat_map(|(at, root)| first_names(&code[at + root.len()..]));
    let beside = source.path.strip_prefix("src/subjects/").is_some_and(|path| !path.contains('/'));
    let mut named: Vec<String> = named.filter(|name| subjects.contains(name)).collect();
    named.extend(subjects.iter().filter(|name| beside && has_word(&code, &format!("{name}::"))).cloned());
    named.retain(|name| !source.path.starts_with(&format!("src/subjects/{name}/")));
    named
}

#[test]
fn the_stages_look_into_no_subject() {
    let subjects = listed();
    let mut problems = Vec::new();
    for source in sources() {
        let allowed = LOOKED_INTO.iter().any(|(path, _)| *path == source.path);
        match looks_into(&source, &subjects).first() {
            Some(name) if !allowed => {
                problems.push(format!(
                    "{} looks into {name}: let it hand in what is wanted, in its entries or parts",
                    source.path
                ));
            }
            None if allowed => problems.push(format!("{} looks into no subject: take it off the list", source.path)),
            _ => {}
        }
    }
    fail_with(&problems);
    let planted = |path: &str, text: &str| {
        let source = Source { path: path.to_owned(), text: text.to_owned() };
        looks_into(&source, &subjects).len()
    };
    assert_eq!(planted("src/buy/pipe.rs", "use crate::subjects::water::size::Sizes;"), 1);
    assert_eq!(planted("src/report/bid.rs", "use crate::{price, subjects::{self, water}};"), 1);
    assert_eq!(planted("src/subjects/declared.rs", "use super::water::size;"), 1);
    assert_eq!(planted("src/subjects/water/pages.rs", "use crate::subjects::water::size::Sizes;"), 0);
    assert_eq!(planted("src/subjects/drains/mod.rs", "use crate::subjects::water::size::Sizes;"), 1);
}

#[test]
fn a_subject_sees_the_ground_floor_and_the_results_of_others() {
    let subjects = listed();
    let mut problems = Vec::new();
    for source in sources().into_iter().chain(sample_subject()) {
        let Some((own, _)) = source.path.strip_prefix("src/subjects/").and_then(|path| path.split_once('/')) else {
            continue;
        };
        let above = source.imports().into_iter().filter(|import| floor(import) > floor("subjects"));
        problems.extend(above.map(|import| format!("{} imports {import}, which comes later", source.path)));
        let code = source.code();
        for other in subjects.iter().filter(|other| *other != own && has_word(&code, &format!("super::{other}::"))) {
            problems.push(format!("{} sees into {other}: take its result from view.results", source.path));
        }
    }
    fail_with(&problems);
}

#[test]
fn what_a_subject_declares_is_in_its_lists() {
    let code: String = sources().iter().map(|source| source.without_tests().to_owned() + "\n").collect();
    let lines = |wanted: &dyn Fn(&str) -> bool| code.lines().filter(|line| wanted(line)).count();
    let findings = code.split("\nfindings! {").skip(1).map(|rest| rest.split("\n}").next().unwrap());
    let reported =
        |line: &&str| ["\"", "(", "{"].iter().any(|words| line.starts_with(&format!("        found: {words}")));
    let turned = |line: &str| line.contains("\" portrait ") || line.contains("\" landscape ");
    let declared = [
        ("pages", lines(&turned), tallybore::pages().len()),
        ("rule tables", lines(&|line| line == "rule! {"), tallybore::tables().count()),
        // And the settings, which are no rows.
        ("input sheets", lines(&|line| line == "sheet! {") + 1, tallybore::input_sheets().count()),
        (
            "findings",
            findings.map(|block| block.lines().filter(reported).count()).sum(),
            tallybore::commands::all_findings::all_findings().len(),
        ),
    ];
    for (what, declared, listed) in declared {
        assert_eq!(declared, listed, "{what}: declared, and in the lists");
    }
}

/// What is a subject's and named from outside its folder, and why.
const NAMED_OUTSIDE: &[(&str, &str)] =
    &[("src/commands/revise/against.rs", "Choice::SizeInBid: the sizes of the bid before are laid on a job workbook")];

/// The names that the declarations of a file begin with, in the calls of a macro: `Sizing` of `pages! { Results { Sizing ...`.
fn declared(source: &Source, call: &str) -> Vec<String> {
    let begin = format!("{call}! {{\n");
    let blocks = source.text.split(&begin).skip(1).map(|rest| rest.split("\n}").next().unwrap());
    let name = |line: &str| line.trim().split([' ', ':']).next().unwrap().to_owned();
    let lines = blocks.flat_map(str::lines).filter(|line| line.ends_with(';') && !line.trim().starts_with("//"));
    lines.map(name).collect()
}

#[test]
fn nobody_names_what_is_a_subjects() {
    let all = sources();
    let mut problems = Vec::new();
    let (mut names, mut used) = (0, Vec::new());
    for source in &all {
        let Some((folder, _)) = source.path.strip_prefix("src/subjects/").and_then(|path| path.split_once('/')) else {
            continue;
        };
        let own = format!("src/subjects/{folder}/");
        let pages =
            declared(source, "pages").into_iter().flat_map(|page| [format!("Page::{page}"), format!("on {page}(")]);
        let choices = declared(source, "choices").into_iter().map(|choice| format!("Choice::{choice}"));
        let tables = declared(source, "tables").into_iter().map(|table| format!("rules.{table}("));
        for name in pages.chain(choices).chain(tables) {
            names += 1;
            for other in all.iter().filter(|other| !other.path.starts_with(&own) && has_name(&other.code(), &name)) {
                match NAMED_OUTSIDE.iter().find(|(path, why)| *path == other.path && why.starts_with(&name)) {
                    Some(allowed) => used.push(allowed),
                    None => problems.push(format!("{} names {name}, which is {folder}'s", other.path)),
                }
            }
        }
    }
    problems.extend(
        NAMED_OUTSIDE
            .iter()
            .filter(|allowed| !used.contains(allowed))
            .map(|(path, _)| format!("{path} names nothing of a subject: take it off the list")),
    );
    fail_with(&problems);
    assert!(names > 20, "only {names} names were found");
}

/// Whether the code has the name, not as the beginning of a longer one.
fn has_name(code: &str, name: &str) -> bool {
    let is_end = |after: &str| !after.starts_with(|c: char| c.is_alphanumeric() || c == '_');
    has_word(code, name)
        && code.match_indices(name).any(|(at, _)| name.ends_with('(') || is_end(&code[at + name.len()..]))
}
