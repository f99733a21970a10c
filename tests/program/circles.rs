//! No circle of files, held by a machine.
//!
//! A file uses another when a path in its code leads there: `use crate::...`, `use super::...`, or such a path or one through an
//! imported module in the middle of the code. A path leads to the file that declares the item, through the re-exports on the
//! way; what a macro declares counts for the file where the macro is called. A method does not count: only paths do.
//!
//! What does not count: the head of a folder (`mod.rs`, or `x.rs` beside a folder `x`) and the files in that folder. The head
//! says what they work from and what they hand out, and calls them in their order, so each knows the other. What a `mod.rs`
//! re-exports is no use of it. Unit tests do not count.

use crate::architecture::sources;
use std::collections::{BTreeMap, BTreeSet};

/// Circles that stay, and why.
const KNOWN: &[(&[&str], &str)] = &[(
    &["src/input/cell.rs", "src/input/column.rs", "src/input/row.rs", "src/model/carried_sheets.rs"],
    "a declared sheet says how its rows are read from a sheet as it stands, which says what it was read as",
)];

type Path = Vec<String>;

struct File {
    path: String,
    /// `["figure", "book"]`
    module: Path,
    /// What it declares itself, macros aside.
    items: BTreeSet<String>,
    uses: Vec<Use>,
    /// Paths in the rest of its code.
    paths: Vec<Path>,
}

struct Use {
    path: Path,
    /// What it is called here; `*` for all of a module.
    name: String,
    is_public: bool,
}

impl File {
    fn new(path: &str, code: &str) -> Self {
        let module = path.trim_start_matches("src/").trim_end_matches(".rs").trim_end_matches("/mod");
        let (uses, rest) = uses(code);
        Self {
            path: path.to_owned(),
            module: module.split('/').map(str::to_owned).collect(),
            items: rest.lines().filter_map(declared).collect(),
            uses,
            paths: paths(&rest),
        }
    }

    /// The same path from the crate's root; `None` where it leads out of the crate.
    fn rooted(&self, path: &[String], files: &Files) -> Option<Path> {
        let (first, rest) = path.split_first()?;
        let mut module = self.module.clone();
        match first.as_str() {
            "crate" => module.clear(),
            "self" => {}
            "super" => {
                module.pop();
                if rest.first().is_some_and(|next| next == "super" || next == "self") {
                    let above =
                        Self { module, path: String::new(), items: BTreeSet::new(), uses: vec![], paths: vec![] };
                    return above.rooted(rest, files);
                }
            }
            child => {
                module.push(child.to_owned());
                files.0.contains_key(&module).then_some(())?;
            }
        }
        module.extend_from_slice(rest);
        Some(module)
    }

    /// Where a path in the middle of its code leads: one may begin with a module that is imported.
    fn inline(&self, path: &[String], files: &Files) -> Option<Path> {
        if let Some(found) = self.rooted(path, files) {
            return Some(found);
        }
        let import = self.uses.iter().find(|import| import.name == path[0])?;
        let mut found = self.rooted(&import.path, files)?;
        files.0.contains_key(&found).then_some(())?;
        found.extend_from_slice(&path[1..]);
        Some(found)
    }
}

/// By module.
struct Files(BTreeMap<Path, File>);

impl Files {
    fn new(sources: impl Iterator<Item = (String, String)>) -> Self {
        let files = sources.map(|(path, code)| File::new(&path, &code));
        Self(files.map(|file| (file.module.clone(), file)).collect())
    }

    /// The file that declares what a path from the root leads to.
    fn declaring(&self, path: &[String], turns: usize) -> Option<&File> {
        let ends = (1..=path.len()).take_while(|end| self.0.contains_key(&path[..*end])).last()?;
        let file = &self.0[&path[..ends]];
        let Some(item) = path.get(ends).filter(|item| !file.items.contains(*item)) else { return Some(file) };
        let through = file.uses.iter().filter(|import| turns < 8 && (import.name == *item || import.name == "*"));
        let found = through.filter_map(|import| {
            let mut path = file.rooted(&import.path, self)?;
            if import.name == "*" {
                path.push(item.clone());
            }
            self.declaring(&path, turns + 1).filter(|found| import.name != "*" || found.items.contains(item))
        });
        found.into_iter().next().or(Some(file))
    }

    /// Which files each file uses, by path.
    fn graph(&self) -> BTreeMap<&str, BTreeSet<&str>> {
        let mut graph: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for file in self.0.values() {
            let is_mod = file.path.ends_with("/mod.rs");
            let imports = file.uses.iter().filter(|import| !(is_mod && import.is_public));
            let imports = imports.filter_map(|import| file.rooted(&import.path, self));
            let inline = file.paths.iter().filter_map(|path| file.inline(path, self));
            let used = imports.chain(inline).filter_map(|path| self.declaring(&path, 0));
            let used = used.filter(|other| !is_head_of(file, other) && !is_head_of(other, file));
            let used = used.map(|other| other.path.as_str()).filter(|other| *other != file.path);
            graph.insert(&file.path, used.collect());
        }
        graph
    }
}

/// Whether a file is the head of the folder that the other one is in, at any depth.
fn is_head_of(head: &File, file: &File) -> bool {
    head.module.len() < file.module.len() && file.module.starts_with(&head.module)
}

/// The use statements, and the code without them.
fn uses(code: &str) -> (Vec<Use>, String) {
    let (mut uses, mut rest, mut statement) = (Vec::new(), String::new(), None::<String>);
    for line in code.lines() {
        let bare = line.trim_start().trim_start_matches("pub(crate) ").trim_start_matches("pub(super) ");
        if statement.is_none() && (bare.starts_with("use ") || bare.starts_with("pub use ")) {
            statement = Some(String::new());
        }
        let Some(begun) = &mut statement else {
            rest.push_str(line);
            rest.push('\n');
            continue;
        };
        begun.push_str(line.trim());
        begun.push(' ');
        if line.contains(';') {
            let whole = statement.take().unwrap_or_default();
            let (visibility, tree) = whole.split_once("use ").unwrap_or_default();
            spread(&[], tree.split(';').next().unwrap_or_default(), !visibility.is_empty(), &mut uses);
        }
    }
    (uses, rest)
}

/// `a::{b, c::d as e}` -> `a::b`, `a::c::d`.
fn spread(before: &[String], tree: &str, is_public: bool, found: &mut Vec<Use>) {
    let tree = tree.trim();
    let (head, group) = tree.split_once('{').map_or((tree, None), |(head, group)| (head, Some(group)));
    let (head, alias) = head.split_once(" as ").map_or((head, None), |(head, alias)| (head, Some(alias.trim())));
    let steps = head.split("::").map(str::trim).filter(|step| !step.is_empty()).map(str::to_owned);
    let mut path: Path = before.iter().cloned().chain(steps).collect();
    let Some(group) = group else {
        if path.len() > 1 && path.last().is_some_and(|last| last == "self") {
            path.pop();
        }
        let Some(last) = path.last().cloned() else { return };
        if last == "*" {
            path.pop();
        }
        return found.push(Use { path, name: alias.unwrap_or(&last).to_owned(), is_public });
    };
    let (mut depth, mut start) = (0, 0);
    for (at, c) in group.char_indices() {
        match c {
            '{' => depth += 1,
            '}' | ',' if depth == 0 => {
                spread(&path, &group[start..at], is_public, found);
                start = at + 1;
            }
            '}' => depth -= 1,
            _ => {}
        }
    }
}

/// The name of the item that a line at the outermost level declares.
fn declared(line: &str) -> Option<String> {
    line.starts_with(|c: char| c.is_alphabetic()).then_some(())?;
    let words = line.split(|c: char| !(c.is_alphanumeric() || "_!".contains(c))).filter(|word| !word.is_empty());
    let mut words = words.skip_while(|word| ["pub", "crate", "super", "unsafe", "async"].contains(word));
    let kind = words.next()?;
    let kinds = ["struct", "enum", "trait", "fn", "const", "static", "type", "macro_rules!"];
    kinds.contains(&kind).then_some(())?;
    words.find(|word| *word != "fn").map(str::to_owned)
}

/// All paths of two steps and more.
fn paths(code: &str) -> Vec<Path> {
    let is_of_name = |c: char| c.is_alphanumeric() || c == '_';
    let mut found = Vec::new();
    for line in code.lines() {
        let mut rest = line;
        while let Some(start) = rest.find(is_of_name) {
            let is_macro = rest[..start].ends_with('$');
            let end = rest[start..].find(|c| !is_of_name(c) && c != ':').map_or(rest.len(), |end| start + end);
            let path: Path = rest[start..end].split("::").map(str::to_owned).collect();
            if path.len() > 1 && !is_macro && path.iter().all(|step| !step.is_empty() && !step.contains(':')) {
                found.push(path);
            }
            rest = &rest[end..];
        }
    }
    found
}

/// Groups of files each of which leads to all others of its group.
fn circles<'a>(graph: &BTreeMap<&'a str, BTreeSet<&'a str>>) -> Vec<Vec<&'a str>> {
    let reached = |from: &'a str| {
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        let mut open = vec![from];
        while let Some(at) = open.pop() {
            open.extend(graph.get(at).into_iter().flatten().filter(|next| seen.insert(**next)));
        }
        seen
    };
    let reached: BTreeMap<&str, BTreeSet<&str>> = graph.keys().map(|file| (*file, reached(file))).collect();
    let mut found: Vec<Vec<&str>> = Vec::new();
    for (file, ahead) in reached.iter().filter(|(file, ahead)| ahead.contains(*file)) {
        let group: Vec<&str> = ahead.iter().copied().filter(|other| reached[other].contains(file)).collect();
        if !found.contains(&group) {
            found.push(group);
        }
    }
    found
}

#[test]
fn no_files_use_each_other_in_a_circle() {
    let files = Files::new(sources().iter().map(|source| (source.path.clone(), source.code())));
    let graph = files.graph();
    let uses: usize = graph.values().map(BTreeSet::len).sum();
    assert!(uses > 1000, "only {uses} uses of a file by another were found");
    let mut problems = Vec::new();
    let found = circles(&graph);
    for circle in found.iter().filter(|circle| !KNOWN.iter().any(|(known, _)| known == &&circle[..])) {
        for file in circle {
            let within: Vec<&str> = graph[file].iter().copied().filter(|other| circle.contains(other)).collect();
            problems.push(format!("{file} uses {}", within.join(", ")));
        }
        problems.push(String::new());
    }
    let gone = KNOWN.iter().filter(|(known, _)| !found.iter().any(|circle| circle == known));
    problems.extend(gone.map(|(known, _)| format!("{} is no circle any more: take it off the list", known.join(", "))));
    assert!(problems.is_empty(), "\n{}", problems.join("\n"));
}

#[test]
fn circles_are_found_however_they_are_written() {
    let files = |files: &[(&str, &str)]| Files::new(files.iter().map(|(path, code)| ((*path).into(), (*code).into())));
    let found = |of: &[(&str, &str)]| {
        let files = files(of);
        circles(&files.graph()).iter().map(|circle| circle.join(" ")).collect::<Vec<_>>()
    };
    let a = ("src/a.rs", "use crate::b::{self, Other as Of};\n\npub struct Thing;\n");
    assert_eq!(found(&[a, ("src/b.rs", "pub struct Other;\nfn f() { crate::a::Thing; }\n")]), ["src/a.rs src/b.rs"]);
    assert_eq!(found(&[a, ("src/b.rs", "use super::a;\nfn f() -> a::Thing {}\n")]), ["src/a.rs src/b.rs"]);
    assert_eq!(found(&[a, ("src/b.rs", "pub struct Other;\n")]).len(), 0);
    // Through what the head of a folder re-exports, to the file that declares it.
    let head = ("src/c/mod.rs", "mod d;\nmod e;\npub(crate) use d::Item;\npub struct Given;\nfn f() { d::g(); }\n");
    let d = ("src/c/d.rs", "use super::{Given, e};\npub struct Item;\n");
    assert_eq!(found(&[head, d, ("src/c/e.rs", "use super::Item;\n")]), ["src/c/d.rs src/c/e.rs"]);
    // The head itself counts in no circle with its own.
    assert_eq!(found(&[head, d, ("src/c/e.rs", "use super::Given;\n")]).len(), 0);
}
