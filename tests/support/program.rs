//! The program, run as a user runs it: in a folder of its own that holds copies of the demonstration books.
#![allow(dead_code, reason = "each test program uses its own part of this")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

/// A temporary folder to run the program in.
pub struct Folder {
    folder: tempfile::TempDir,
}

/// What a run left behind.
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Folder {
    pub fn empty() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    /// With `house.xlsx` and `bakery.xlsx`, the demonstration books under shorter names.
    pub fn with_books() -> Self {
        let folder = Self::empty();
        for (name, book) in [("house.xlsx", "prairie-house.xlsx"), ("bakery.xlsx", "corner-bakery.xlsx")] {
            fs::copy(project("demo-books").join(book), folder.path(name)).unwrap();
        }
        folder
    }

    /// The same with `house-bid.xlsx`, what `price house.xlsx` writes; gives the document that `--json` prints with it.
    pub fn with_bid() -> (Self, serde_json::Value) {
        static PRICED: LazyLock<(Vec<u8>, serde_json::Value)> = LazyLock::new(|| {
            let folder = Folder::with_books();
            let document = folder.json(&["price", "--json", "house.xlsx"]);
            (folder.bytes("house-bid.xlsx"), document)
        });
        let folder = Self::with_books();
        fs::write(folder.path("house-bid.xlsx"), &PRICED.0).unwrap();
        (folder, PRICED.1.clone())
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn bytes(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    /// The names in the folder, sorted.
    pub fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.folder.path()).unwrap();
        let mut names: Vec<String> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    pub fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tallybore-in-tests"));
        command.args(args).current_dir(self.folder.path());
        command
    }

    pub fn run(&self, args: &[&str]) -> Ran {
        let output = self.command(args).output().unwrap();
        Ran {
            code: output.status.code().unwrap_or_else(|| panic!("{args:?} was killed: {:?}", output.status)),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Runs what must succeed, and gives its standard output.
    pub fn done(&self, args: &[&str]) -> String {
        let ran = self.run(args);
        assert_eq!(ran.code, 0, "{args:?}\n{}\n{}", ran.out, ran.err);
        ran.out
    }

    /// The JSON document of a run, whatever its exit code.
    pub fn json(&self, args: &[&str]) -> serde_json::Value {
        let ran = self.run(args);
        serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{args:?}: {error}\n{}\n{}", ran.out, ran.err))
    }
}

pub fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}
