//! README.md and DEVELOPERS.md say what is so: every command, option, sheet, table and file is in them, the commands they
//! show are run, and what they list is made by the program. `TALLYBORE_UPDATE=1 cargo test --test program docs` rewrites the lists.

use crate::program::{Folder, project};
use rust_decimal::Decimal;
use std::fs;
use std::path::PathBuf;
use tallybore::commands::all_findings::all_findings;
use tallybore::model::{SettingKind, Size};
use tallybore::rules::{Basis, Rules};
use tallybore::water::size::friction::{darcy_weisbach, hazen_williams_psi_per_100_ft, velocity};

fn text(file: &str) -> String {
    fs::read_to_string(project(file)).unwrap_or_else(|error| panic!("{file}: {error}"))
}

/// Holds what stands between `<!-- name` and `<!-- /name -->` of a page against what the program makes.
fn hold_current(file: &str, name: &str, made: &str) {
    let page = text(file);
    let (begin, end) = (format!("<!-- {name}"), format!("<!-- /{name} -->"));
    let start = page.find(&begin).unwrap_or_else(|| panic!("{file} has no {begin}"));
    let start = start + page[start..].find("-->\n").unwrap() + "-->\n".len();
    let stop = page.find(&end).unwrap_or_else(|| panic!("{file} has no {end}"));
    if page[start..stop] == *made {
        return;
    }
    if std::env::var("TALLYBORE_UPDATE").is_ok_and(|update| update == "1") {
        fs::write(project(file), format!("{}{made}{}", &page[..start], &page[stop..])).unwrap();
        return;
    }
    panic!("the list of {name} in {file} is not current; run TALLYBORE_UPDATE=1 cargo test --test program docs");
}

/// Text for a cell of a table in a page.
fn cell(words: &str) -> String {
    words.replace('|', "\\|").replace('<', "&lt;")
}

/// All lists of the pages; one test, since they are written to the same files.
#[test]
fn what_the_pages_list_is_what_the_program_has() {
    let mut sheets = String::from("| sheet | what it is for | columns |\n|---|---|---|\n");
    for sheet in tallybore::input_sheets() {
        let columns: Vec<String> = sheet
            .columns
            .iter()
            .map(|column| if column.required { format!("**{}**", column.name) } else { column.name.to_owned() })
            .collect();
        sheets += &format!("| {} | {} | {} |\n", sheet.name, cell(sheet.help), cell(&columns.join(", ")));
    }
    hold_current("README.md", "sheets", &sheets);

    let mut tables = String::from("| table | one row is | your sheet |\n|---|---|---|\n");
    for table in Rules::embedded().tables() {
        let (name, about) = (table.name(), cell(&table.spec.about()));
        tables += &format!("| `{name}` | {about} | {} |\n", table.spec.sheet.unwrap_or(""));
    }
    hold_current("README.md", "rules", &tables);

    let mut settings = String::from("| item | default | what it means |\n|---|---|---|\n");
    for spec in tallybore::settings() {
        let unit = match spec.kind {
            SettingKind::Number(unit) if !spec.default.is_empty() => unit.symbol(),
            _ => "",
        };
        let default = match unit {
            "" => spec.default.to_owned(),
            "$" => format!("${}", spec.default),
            unit => format!("{} {unit}", spec.default),
        };
        settings += &format!("| {} | {} | {} |\n", spec.name, cell(&default), cell(spec.help));
    }
    hold_current("README.md", "settings", &settings);

    let mut findings = String::from("| finding | severity | when |\n|---|---|---|\n");
    for of in all_findings() {
        let severities: Vec<&str> = of.severities.iter().map(|severity| severity.word()).collect();
        findings += &format!("| `{}` | {} | {} |\n", of.slug, severities.join(" or "), cell(of.about.trim()));
    }
    hold_current("README.md", "findings", &findings);

    hold_current("DEVELOPERS.md", "tree", &tree());
}

/// Every source file with the first sentence it says of itself.
fn tree() -> String {
    let mut lines = vec!["```text".to_owned()];
    for path in sources() {
        let source = fs::read_to_string(project("src").join(&path)).unwrap();
        let head: Vec<&str> = source.lines().map_while(|line| line.strip_prefix("//!")).map(str::trim).collect();
        let head = head.split(|line| line.is_empty()).next().unwrap_or_default().join(" ");
        let sentence = match head.find(". ") {
            Some(end) => &head[..end],
            None => head.trim_end_matches(['.', ':']),
        };
        let plain = sentence.replace("crate::", "").replace(['[', ']', '`'], "");
        lines.push(format!("{:<28} {plain}", path.display().to_string().replace('\\', "/")));
    }
    lines.push("```\n".to_owned());
    lines.join("\n")
}

/// The source files by their path under `src/`: those at the root first, `mod.rs` first in each folder.
fn sources() -> Vec<PathBuf> {
    let root = project("src");
    let (mut folders, mut files) = (vec![root.clone()], Vec::new());
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                files.push(path.strip_prefix(&root).unwrap().to_owned());
            }
        }
    }
    files.sort_by_key(|path| {
        let folder = path.parent().unwrap().to_owned();
        (folder, path.file_name().is_some_and(|name| name != "mod.rs"), path.clone())
    });
    files
}

/// The commands that `--help` lists.
fn commands(folder: &Folder) -> Vec<String> {
    let help = folder.done(&["--help"]);
    let listed = help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    let names = listed.map(|line| line.split_whitespace().next().unwrap().to_owned());
    names.filter(|name| name != "help").collect()
}

#[test]
fn the_readme_has_every_command_and_option() {
    let (folder, readme) = (Folder::empty(), text("README.md"));
    let commands = commands(&folder);
    assert!(commands.len() >= 5, "{commands:?}");
    for command in commands {
        assert!(readme.contains(&format!("`tallybore {command}")), "{command} is not in the README");
        let help = folder.done(&[&command, "--help"]);
        let options = help.split_whitespace().filter(|word| word.starts_with("--") && *word != "--help");
        for option in options.map(|word| word.trim_end_matches([',', ']', ')', ';'])) {
            assert!(
                readme.contains(&format!("`{option}"))
                    || readme.contains(&format!(", `{option}"))
                    || readme.contains(&format!("{option} ")),
                "{command} {option} is not in the README"
            );
        }
    }
}

#[test]
fn the_readme_has_the_exit_codes_of_the_help() {
    let help = Folder::empty().done(&["--help"]);
    let readme = text("README.md");
    let codes: Vec<&str> = help.lines().skip_while(|line| *line != "Exit codes:").skip(1).collect();
    assert_eq!(codes.len(), 4, "{help}");
    for line in codes {
        let (code, words) = line.trim().split_once("  ").unwrap();
        assert!(readme.contains(&format!("| {code} | {words} |")), "{line}");
    }
}

#[test]
fn the_readme_is_right_about_cold_water() {
    let number = |number: Decimal| -> f64 { number.to_string().parse().unwrap() };
    let rules = Rules::embedded();
    let water = rules.water_properties().iter().find(|row| row.temperature_f == Decimal::from(40)).unwrap();
    let (viscosity, psi_per_ft) = (number(water.kinematic_viscosity_ft2_s), number(water.psi_per_ft));
    let mut low: Vec<f64> = Vec::new();
    for size in ["1/2", "3/4", "1", "1-1/4"] {
        let pipe = rules.pipe("PEX", Size::parse(size).unwrap()).unwrap();
        let (bore, rough, c) = (number(pipe.id_in), number(pipe.roughness_in), number(pipe.c));
        for ft_s in 1..=8 {
            let gpm = f64::from(ft_s) / velocity(&1.0, &bore);
            let cold = darcy_weisbach(gpm, bore, rough, viscosity, psi_per_ft);
            low.push(100.0 * (1.0 - hazen_williams_psi_per_100_ft(&gpm, &c, &bore, &psi_per_ft) / cold));
        }
    }
    low.sort_by(f64::total_cmp);
    let (least, most) = (low[0].round(), low[low.len() - 1].round());
    for page in ["README.md", "DEVELOPERS.md"] {
        let words = text(page).replace('\n', " ");
        let phrases = format!("{least} to {most} % low");
        assert!(words.contains(&phrases), "{page} should say {phrases}");
    }
}

#[test]
fn the_readme_has_every_basis_of_a_rule() {
    let readme = text("README.md");
    for basis in Basis::ALL.into_iter().filter(|basis| *basis != Basis::YourOwn) {
        assert!(readme.contains(&format!("`{}`", basis.word())), "{}", basis.word());
    }
}

#[test]
fn the_readme_has_every_sheet_of_a_bid() {
    let (folder, _) = Folder::with_bid();
    let book: calamine::Xlsx<_> = calamine::open_workbook(folder.path("house-bid.xlsx")).unwrap();
    let readme = text("README.md");
    let section = readme.split("## What is in the bid").nth(1).unwrap().split("\n## ").next().unwrap();
    for sheet in calamine::Reader::sheet_names(&book) {
        if tallybore::input_sheets().all(|own| own.name != sheet) {
            assert!(section.contains(&sheet), "{sheet} is not told of in the README");
        }
    }
}

#[test]
fn the_commands_of_the_readme_work_as_typed() {
    let folder = Folder::empty();
    fs::create_dir(folder.path("demo-books")).unwrap();
    for book in ["prairie-house.xlsx", "corner-bakery.xlsx"] {
        fs::copy(project("demo-books").join(book), folder.path("demo-books").join(book)).unwrap();
    }
    let readme = text("README.md");
    let mut ran = 0;
    for block in readme.split("```sh\n").skip(1) {
        for line in block.split("```").next().unwrap().lines() {
            let typed = line.strip_prefix("cargo run --release -- ").or_else(|| line.strip_prefix("tallybore "));
            match typed {
                Some(typed) => {
                    let words = words(typed);
                    folder.done(&words.iter().map(String::as_str).collect::<Vec<_>>());
                    ran += 1;
                }
                None => assert_eq!(line, "cargo test", "a line that this test cannot run"),
            }
        }
    }
    assert!(ran > 10, "{ran} commands were found");
}

/// A line cut into words as a shell does, double quotes kept together.
fn words(line: &str) -> Vec<String> {
    let (mut words, mut word, mut quoted) = (Vec::new(), String::new(), false);
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(std::mem::take(&mut word)),
            c => word.push(c),
        }
    }
    words.push(word);
    words.retain(|word| !word.is_empty());
    words
}

#[test]
fn the_files_that_the_pages_name_are_there() {
    for page in ["README.md", "DEVELOPERS.md"] {
        for word in text(page).split('`').skip(1).step_by(2) {
            let is_path =
                ["src/", "tests/", "templates/", "demo-books/", ".ci/"].iter().any(|root| word.starts_with(root));
            let made_later = word == "tests/outside/" || word.ends_with("-bid.xlsx");
            if is_path && !made_later && !word.contains(['*', '<', ' ']) {
                assert!(project(word).exists(), "{page} names {word}");
            }
        }
    }
}
