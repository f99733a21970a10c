//! The order of the tree, held by a machine: who may import whom, who may see which library, who touches files, how long
//! a file may be, and that each says at its head what it is.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// From the ground up. A module may import its own line and those above it here: those of the ground floor may import each
/// other, and so may the declarations; each stage stands alone, so none imports a later one.
const ORDER: &[&[&str]] = &[
    // The ground floor.
    &["place", "unit", "parallel", "folding", "figure", "table", "sheets", "choice", "finding"],
    // Declarations.
    &["input", "rules", "model", "parts", "entries", "view", "basis"],
    &["subjects"],
    &["read"],
    &["check"],
    &["takeoff"],
    &["buy"],
    &["labor"],
    &["trips"],
    &["price"],
    &["order"],
    &["quote"],
    &["report"],
    &["revise"],
    &["write"],
    &["priced", "pipeline"],
    &["commands"],
    &["cli"],
    &["main", "lib"],
];

/// What only some files may name: the words looked for, where they may stand, and why.
const KEPT_APART: &[(&[&str], &[&str], &str)] = &[
    (&["calamine"], &["src/read/"], "one place knows how workbooks are read"),
    (&["rust_xlsxwriter"], &["src/write/"], "one place knows how workbooks are written"),
    (
        &["input_cell"],
        &["src/figure/", "src/input/"],
        "an input cell is read through the figure that is made where the input is declared",
    ),
    (&["clap"], &["src/cli.rs", "src/main.rs"], "the library does not know how options are typed"),
    (
        &["std::fs", "fs::", "File::open", "File::create", "tempfile"],
        &["src/read/", "src/write/save.rs", "src/write/parts.rs", "src/commands/"],
        "files are touched where they are read, saved and named, nowhere else",
    ),
    (&["\"OK\"", "\"price again\""], &["src/figure/verdict.rs"], "one place says how a live check is worded"),
    (&["ctrlc"], &["src/write/parts.rs"], "one place cleans up when the program is interrupted"),
    (&["SystemTime", "Instant", "std::time"], &[], "the same input gives the same bytes: nothing reads the clock"),
    (&["std::net", "std::env"], &[], "a bid depends on its workbook alone"),
    (&["println!", "print!", "eprintln!", "eprint!", "dbg!"], &[], "commands write to the terminal they are given"),
];

/// Where columns are made by hand, and why they are not declared by `columns!`.
const COLUMNS_BY_HAND: &[(&str, &str)] = &[
    ("src/figure/", "knows no declarations"),
    ("src/table.rs", "makes the columns that are declared"),
    ("src/rules/listing.rs", "a rule table declares its columns with its rows"),
];

/// Where a heading of a result table, or the name of a page, stands beside its declaration: which of them (all where none
/// is named), and why.
const SPELLED_AGAIN: &[(&str, &[&str], &str)] = &[
    ("src/input/", &[], "the user's own sheets have headings of their own"),
    ("src/model/setting.rs", &[], "so are settings called"),
    ("src/model/order_form.rs", &[], "the order form is a document of its own"),
    ("src/rules/", &[], "rule tables declare their own headings"),
    ("src/subjects/water/rules/", &[], "so do those of water"),
    ("src/check/", &["On hand"], "the user's sheet of that name"),
    ("src/quote/job_prices.rs", &["Part no."], "a column of the user's Prices"),
    ("src/revise/inputs.rs", &["Rules"], "what rows of the user's own rules are called"),
    ("src/quote/quotes_workbook.rs", &["Side by side"], "a sheet of another workbook"),
    ("src/price/", &["Sales tax"], "a line of the build-up"),
    ("src/report/bid.rs", &["Bid"], "the label of the bid's number"),
    ("src/report/overview.rs", &["Hired price"], "the label of the total"),
    (
        "src/revise/changes.rs",
        &["From cost to price", "Hours by phase", "Whole job", "Hours"],
        "tables of both bids compared",
    ),
    ("src/revise/order.rs", &["Changes"], "the label of the bid that is changed"),
    ("src/subjects/water/size/chosen_on.rs", &["Sales tax"], "a deciding input"),
    ("src/subjects/water/size/pressure.rs", &["At the end of run"], "the label of a line"),
];

/// What figures know of: places and units. Of jobs, rules and pages they know nothing.
const GROUND: &[&str] = &["figure", "place", "unit"];

/// The most lines of a file.
const LINES: usize = 500;
/// Longer files, the most lines each may have, and why it is not cut in two.
const LONGER: &[(&str, usize, &str)] = &[];

pub struct Source {
    /// `src/size/load.rs`
    pub path: String,
    pub text: String,
}

impl Source {
    /// The module under the crate's root that the file belongs to: `size`.
    fn module(&self) -> &str {
        let path = self.path.strip_prefix("src/").unwrap();
        path.split('/').next().unwrap().trim_end_matches(".rs")
    }

    /// Segments of its module path: 2 for `src/size/load.rs`, 1 for `src/size/mod.rs` and `src/unit.rs`.
    fn depth(&self) -> usize {
        let depth = self.path.matches('/').count();
        if self.path.ends_with("/mod.rs") { depth - 1 } else { depth }
    }

    /// The text without the unit tests at its end.
    pub fn without_tests(&self) -> &str {
        self.text.split("\n#[cfg(test)]\nmod ").next().unwrap()
    }

    /// The code without comments and without the unit tests at the end.
    pub fn code(&self) -> String {
        let code = self.without_tests();
        code.lines().map(|line| line.split("//").next().unwrap()).collect::<Vec<_>>().join("\n")
    }

    /// Modules under the crate's root that its code names.
    pub fn imports(&self) -> BTreeSet<String> {
        let code = self.code();
        let mut found = BTreeSet::new();
        let roots = ["crate::".to_owned(), "tallybore::".to_owned(), "super::".repeat(self.depth())];
        for root in roots.iter().filter(|root| !root.is_empty()) {
            for (at, _) in code.match_indices(root.as_str()) {
                let before = code[..at].chars().next_back();
                // What a macro names (`$crate::`) is imported by whoever calls it.
                if before.is_some_and(|c| c.is_alphanumeric() || "_:$".contains(c)) {
                    continue;
                }
                found.extend(first_names(&code[at + root.len()..]));
            }
        }
        found
    }
}

/// The first name of a path, or of each path of a `{group}`.
pub fn first_names(path: &str) -> Vec<String> {
    let name =
        |text: &str| -> String { text.trim().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect() };
    let Some(group) = path.strip_prefix('{') else { return vec![name(path)] };
    let (mut names, mut depth, mut start) = (Vec::new(), 0, 0);
    for (at, c) in group.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth > 0 => depth -= 1,
            ',' if depth == 0 => {
                names.push(name(&group[start..at]));
                start = at + 1;
            }
            '}' => {
                names.push(name(&group[start..at]));
                break;
            }
            _ => {}
        }
    }
    names.retain(|name| !name.is_empty());
    names
}

pub fn sources() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut folders = vec![root.join("src")];
    let mut paths: Vec<PathBuf> = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            match path.is_dir() {
                true => folders.push(path),
                false if path.extension().is_some_and(|extension| extension == "rs") => paths.push(path),
                false => {}
            }
        }
    }
    paths.sort();
    let relative = |path: &Path| path.strip_prefix(root).unwrap().to_str().unwrap().replace('\\', "/");
    let source = |path: &PathBuf| Source { path: relative(path), text: fs::read_to_string(path).unwrap() };
    let all: Vec<Source> = paths.iter().map(source).collect();
    // Files that are modules of tests alone: `#[cfg(test)]`, then `mod testing;`, in the `mod.rs` beside them.
    let tests: Vec<String> = all
        .iter()
        .filter_map(|source| Some((source.path.strip_suffix("mod.rs")?, &source.text)))
        .flat_map(|(folder, text)| {
            let modules = text.split("#[cfg(test)]\nmod ").skip(1).filter_map(|rest| rest.split_once(';'));
            modules.map(move |(name, _)| format!("{folder}{name}.rs"))
        })
        .collect();
    all.into_iter().filter(|source| !tests.contains(&source.path)).collect()
}

/// The line of a module in the order.
pub fn floor(module: &str) -> Option<usize> {
    ORDER.iter().position(|floor| floor.contains(&module))
}

pub fn fail_with(problems: &[String]) {
    assert!(problems.is_empty(), "\n{}", problems.join("\n"));
}

#[test]
fn every_module_has_its_place_in_the_order() {
    let modules: BTreeSet<String> = sources().iter().map(|source| source.module().to_owned()).collect();
    let homeless: Vec<String> = modules.iter().filter(|module| floor(module).is_none()).cloned().collect();
    fail_with(&homeless);
    assert!(modules.len() > 12, "the sources were not found: {modules:?}");
}

#[test]
fn no_module_imports_a_later_one() {
    let mut problems = Vec::new();
    let mut seen = 0;
    for source in sources().iter().filter(|source| !matches!(source.module(), "lib" | "main")) {
        let own = floor(source.module()).unwrap();
        for import in source.imports() {
            // Names that are no module are items of the crate's root, of which there are none to import.
            let Some(imported) = floor(&import) else { continue };
            seen += 1;
            if imported > own {
                problems.push(format!("{} imports {import}, which comes later", source.path));
            }
        }
    }
    fail_with(&problems);
    assert!(seen > 100, "only {seen} imports were found");
}

/// What is known once all subjects are listed, and is therefore for the stages above them.
const OF_ALL: [&str; 6] =
    ["Setting::find(", "Rules::embedded(", "Rules::load(", "Page::from_name(", "Sheet::from_name(", "Sheet::of_noun("];

#[test]
fn the_ground_floor_asks_for_nothing_that_subjects_declare() {
    let mut problems = Vec::new();
    for source in sources().iter().filter(|source| floor(source.module()).is_some_and(|floor| floor < 2)) {
        let code = source.code();
        let asked = OF_ALL.iter().filter(|call| code.contains(*call));
        problems.extend(asked.map(|call| format!("{} calls {call})", source.path)));
    }
    fail_with(&problems);
}

#[test]
fn figures_know_nothing_of_jobs() {
    let all = sources();
    let figures = all.iter().filter(|source| GROUND.contains(&source.module()));
    let foreign = figures.flat_map(|source| source.imports().into_iter().map(|import| (&source.path, import)));
    let foreign = foreign.filter(|(_, import)| floor(import).is_some() && !GROUND.contains(&&**import));
    fail_with(&foreign.map(|(path, import)| format!("{path} imports {import}")).collect::<Vec<_>>());
}

#[test]
fn imports_are_found_however_they_are_written() {
    let source = |path: &str, text: &str| Source { path: path.to_owned(), text: text.to_owned() };
    let code =
        "use crate::{write::{self, save}, price as p,\n report};\nlet x = crate::pipeline::check(1);\n// crate::cli\n";
    let found: Vec<String> = source("src/size/mod.rs", code).imports().into_iter().collect();
    assert_eq!(found, ["pipeline", "price", "report", "write"]);
    let found = source("src/size/load.rs", "use super::super::write::save;\nuse super::served::Water;\n").imports();
    assert_eq!(Vec::from_iter(found), ["write"]);
    let tests = "fn f() {}\n\n#[cfg(test)]\nmod tests {\n use crate::write;\n}\n";
    assert_eq!(source("src/size/load.rs", tests).imports().len(), 0);
}

#[test]
fn libraries_files_and_clocks_are_where_they_belong() {
    let mut problems = Vec::new();
    let mut used: BTreeMap<&str, usize> = BTreeMap::new();
    for source in sources() {
        let code = source.code();
        for (words, places, reason) in KEPT_APART {
            for word in words.iter().filter(|word| has_word(&code, word)) {
                *used.entry(word).or_default() += 1;
                if !places.iter().any(|place| source.path.starts_with(place)) {
                    problems.push(format!("{} names {word}: {reason}", source.path));
                }
            }
        }
    }
    fail_with(&problems);
    for word in ["calamine", "rust_xlsxwriter", "clap", "std::fs"] {
        assert!(used.contains_key(word), "{word} was not found anywhere: the search is broken");
    }
}

#[test]
fn every_dependency_is_used() {
    let manifest = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.toml")).unwrap();
    let (_, rest) = manifest.split_once("[dependencies]\n").unwrap();
    let listed = rest.lines().take_while(|line| !line.starts_with('['));
    let names: Vec<String> =
        listed.filter_map(|line| line.split_once(".workspace")).map(|(name, _)| name.replace('-', "_")).collect();
    assert!(names.len() > 8, "{names:?}");
    let code: Vec<String> = sources().iter().map(Source::code).collect();
    let used = |name: &String| code.iter().any(|code| has_word(code, &format!("{name}::")));
    let idle: Vec<String> = names.into_iter().filter(|name| !used(name)).collect();
    fail_with(&idle);
}

/// True when the code has the word, not as the end of a longer one.
pub fn has_word(code: &str, word: &str) -> bool {
    code.match_indices(word).any(|(at, _)| !code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_'))
}

#[test]
fn files_are_short_or_have_a_reason() {
    let mut problems = Vec::new();
    for source in sources() {
        let lines = source.text.lines().count();
        match LONGER.iter().find(|(path, ..)| *path == source.path) {
            Some((path, most, _)) if lines > *most => problems.push(format!("{path} has {lines} lines, over {most}")),
            Some((path, ..)) if lines <= LINES => problems.push(format!("{path} is short again: take it off the list")),
            None if lines > LINES => problems.push(format!("{} has {lines} lines, over {LINES}", source.path)),
            _ => {}
        }
    }
    fail_with(&problems);
}

#[test]
fn every_file_says_at_its_head_what_it_is() {
    let says = |source: &Source| source.text.starts_with("//! ");
    fail_with(&sources().iter().filter(|source| !says(source)).map(|source| source.path.clone()).collect::<Vec<_>>());
}

#[test]
fn every_stage_says_what_comes_in_what_goes_out_and_what_it_never_does() {
    let stages = ["read", "check", "takeoff", "buy", "labor", "price", "order", "quote", "report", "revise", "write"];
    let mut problems = Vec::new();
    for source in
        sources().iter().filter(|source| source.path.ends_with("/mod.rs") && stages.contains(&source.module()))
    {
        let head: String = source.text.lines().take_while(|line| line.starts_with("//!")).collect();
        for word in ["In: ", "Out: ", "Never: "] {
            if source.depth() == 1 && !head.contains(word) {
                problems.push(format!("{} does not say \"{word}...\"", source.path));
            }
        }
    }
    fail_with(&problems);
}

#[test]
fn nothing_can_panic_without_a_word_why_it_cannot() {
    let words = [".unwrap()", ".expect(", "panic!(", "unreachable!(", "todo!(", "unimplemented!("];
    let mut problems = Vec::new();
    for source in sources() {
        let lines: Vec<&str> = source.without_tests().lines().collect();
        for (index, line) in lines.iter().enumerate() {
            let code = line.split("//").next().unwrap();
            let explained = line.contains("//")
                || lines[index.saturating_sub(3)..index].iter().any(|before| before.trim_start().starts_with("//"));
            if words.iter().any(|word| code.contains(word)) && !explained {
                problems.push(format!("{}:{}: {}", source.path, index + 1, line.trim()));
            }
        }
    }
    fail_with(&problems);
}

/// The code's declarations of pages and result tables, and the rest of it.
fn declarations(code: &str) -> (String, String) {
    let (mut inside, mut outside) = (String::new(), String::new());
    let mut declares = false;
    for line in code.lines() {
        declares |= ["columns! {", "pages! {", "choices! {"].iter().any(|macro_| line.starts_with(macro_));
        if declares {
            inside.push_str(line);
        } else {
            outside.push_str(line);
        }
        if declares {
            inside.push('\n');
        } else {
            outside.push('\n');
        }
        declares &= line != "}";
    }
    (inside, outside)
}

fn literals(code: &str) -> impl Iterator<Item = &str> {
    code.split('"').skip(1).step_by(2)
}

#[test]
fn result_tables_are_declared() {
    let mut problems = Vec::new();
    let mut used = BTreeSet::new();
    for source in sources() {
        let by_hand = ["book.column(", ".column_like("].iter().any(|call| source.code().contains(call));
        let allowed = COLUMNS_BY_HAND.iter().find(|(path, _)| source.path.starts_with(path));
        match (by_hand, allowed) {
            (true, Some((path, _))) => _ = used.insert(path),
            (true, None) => problems.push(format!("{} makes columns by hand: declare them by columns!", source.path)),
            _ => {}
        }
    }
    let idle = COLUMNS_BY_HAND.iter().filter(|(path, _)| !used.contains(&path));
    problems.extend(idle.map(|(path, _)| format!("{path} makes no columns by hand: take it off the list")));
    fail_with(&problems);
}

#[test]
fn headings_and_names_of_pages_stand_where_they_are_declared() {
    let all = sources();
    let code: Vec<(String, String)> = all.iter().map(|source| declarations(&source.code())).collect();
    // A heading of one word is a word of the trade like any other.
    let mut declared: BTreeSet<&str> =
        code.iter().flat_map(|(inside, _)| literals(inside)).filter(|words| words.contains(' ')).collect();
    assert!(declared.len() > 200, "only {} headings were found", declared.len());
    declared.extend(tallybore::pages().iter().map(|page| page.name()));
    let mut problems = Vec::new();
    let mut used = BTreeSet::new();
    for (source, (_, outside)) in all.iter().zip(&code) {
        for words in literals(outside).filter(|words| declared.contains(words)) {
            let allowed = SPELLED_AGAIN.iter().position(|(path, those, _)| {
                source.path.starts_with(path) && (those.is_empty() || those.contains(&words))
            });
            match allowed {
                Some(at) => _ = used.insert(at),
                None => problems.push(format!("{} spells \"{words}\" again", source.path)),
            }
        }
    }
    // What a later pricing reads back stands in no other declaration either.
    let choices = tallybore::choices().filter(|choice| !choice.is_secondary());
    let choices: BTreeSet<&str> = choices.map(tallybore::Choice::heading).collect();
    for source in all.iter().filter(|source| !source.text.contains("\nchoices! {")) {
        let code = source.code();
        let again = literals(&code).filter(|words| choices.contains(words));
        problems.extend(again.map(|words| format!("{} spells the choice \"{words}\" again", source.path)));
    }
    let idle = SPELLED_AGAIN.iter().enumerate().filter(|(at, _)| !used.contains(at));
    problems.extend(idle.map(|(_, (path, ..))| format!("{path} spells no such words: take it off the list")));
    fail_with(&problems);
}
