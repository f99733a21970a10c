//! Files that are none, files that never end, and files that an interrupted program leaves behind.
#![cfg(unix)]

use crate::program::Folder;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Far above what a refusal takes, and nothing to somebody who waits for ever.
const PATIENCE: Duration = Duration::from_secs(20);

/// What is said of a run that must be refused as the system's trouble, and soon.
fn refused(folder: &Folder, args: &[&str]) -> String {
    let start = Instant::now();
    let mut child = folder.command(args).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
    while child.try_wait().unwrap().is_none() {
        if start.elapsed() > PATIENCE {
            child.kill().unwrap();
            panic!("{args:?} waits for ever");
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    let ended = child.wait_with_output().unwrap();
    let err = String::from_utf8(ended.stderr).unwrap();
    assert_eq!(ended.status.code(), Some(3), "{args:?}: {err}");
    err
}

fn pipe(folder: &Folder, name: &str) {
    assert!(Command::new("mkfifo").arg(folder.path(name)).status().unwrap().success());
}

#[test]
fn texts_are_guarded_like_workbooks() {
    let folder = Folder::with_books();
    pipe(&folder, "pipe.txt");
    std::os::unix::fs::symlink("/dev/zero", folder.path("endless.txt")).unwrap();
    std::fs::write(folder.path("long.txt"), vec![b'#'; 20_000_001]).unwrap();
    std::fs::write(folder.path("binary.txt"), [0xFF, 0xFE, 0x00]).unwrap();
    for (name, why) in [
        ("pipe.txt", "not an ordinary file"),
        ("endless.txt", "not an ordinary file"),
        ("long.txt", "at most 20000000"),
        ("binary.txt", "not text in UTF-8"),
    ] {
        let phrases = refused(&folder, &["start", "--from-text", name]);
        assert!(phrases.contains(name) && phrases.contains(why), "{phrases}");
        let tables = folder.path("tables");
        std::fs::create_dir(&tables).unwrap();
        std::os::unix::fs::symlink(folder.path(name), tables.join("limits.csv")).unwrap();
        let phrases = refused(&folder, &["check", "house.xlsx", "--rules", "tables"]);
        assert!(phrases.contains("limits.csv") && phrases.contains(why), "{phrases}");
        std::fs::remove_dir_all(&tables).unwrap();
    }
    let tables = folder.path("tables");
    std::fs::create_dir(&tables).unwrap();
    for name in ["a.csv", "b.csv"] {
        std::fs::write(tables.join(name), vec![b'#'; 11_000_000]).unwrap();
    }
    assert!(refused(&folder, &["check", "house.xlsx", "--rules", "tables"]).contains("together"));
}

#[test]
fn nothing_but_a_file_is_replaced() {
    let folder = Folder::empty();
    pipe(&folder, "pipe.xlsx");
    std::os::unix::fs::symlink("/dev/null", folder.path("null.xlsx")).unwrap();
    std::os::unix::fs::symlink(folder.path("gone.xlsx"), folder.path("link.xlsx")).unwrap();
    for (name, why) in
        [("pipe.xlsx", "a pipe"), ("null.xlsx", "a device"), ("link.xlsx", "a link to a file that is not there")]
    {
        let phrases = refused(&folder, &["start", "--sample", "-o", name, "--replace"]);
        assert!(phrases.contains(why), "{phrases}");
    }
    assert_eq!(folder.names(), ["link.xlsx", "null.xlsx", "pipe.xlsx"]);
}

fn parts(folder: &Folder) -> Vec<String> {
    folder.names().into_iter().filter(|name| name.ends_with(".part")).collect()
}

/// Stopped in the middle of writing, then interrupted: the part must be gone. Tried until the program could be stopped
/// while its part was on the disk.
#[test]
fn an_interrupted_program_leaves_no_part_behind() {
    let folder = Folder::empty();
    let signal = |signal: &str, child: &std::process::Child| {
        assert!(Command::new("kill").args([signal, &child.id().to_string()]).status().unwrap().success());
    };
    for _ in 0..60 {
        let mut child = folder
            .command(&["start", "--sample", "--replace"])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        while parts(&folder).is_empty() && child.try_wait().unwrap().is_none() {
            std::hint::spin_loop();
        }
        if child.try_wait().unwrap().is_some() {
            continue;
        }
        signal("-STOP", &child);
        let caught = !parts(&folder).is_empty();
        if caught {
            signal("-INT", &child);
        }
        signal("-CONT", &child);
        let ended = child.wait().unwrap();
        assert_eq!(parts(&folder), [""; 0], "{ended:?}");
        if caught {
            assert!(matches!(ended.code(), Some(0 | 130)), "{ended:?}");
            return;
        }
    }
    panic!("the program writes too fast to be stopped: this test shows nothing");
}

#[test]
fn what_a_kill_left_behind_goes_with_the_next_write() {
    let folder = Folder::empty();
    let stale = ".job-sample.xlsx.tallybore-k1lled.part";
    std::fs::write(folder.path(stale), "half").unwrap();
    std::fs::write(folder.path(".other.xlsx.tallybore-k1lled.part"), "of another").unwrap();
    folder.done(&["start", "--sample"]);
    assert_eq!(folder.names(), [".other.xlsx.tallybore-k1lled.part", "job-sample.xlsx"]);
}

#[test]
fn of_one_kind_a_terminal_shows_ten_findings_and_json_all() {
    let folder = Folder::empty();
    let rows: String = (0..14).map(|n| format!("Rental {n} | 1 | 200000\n")).collect();
    let text = format!(
        "[Job]\nItem | Value\nSupply pressure | 60\n[Fixtures]\nTag | Fixture | Cold run | Status\n\
         L1 | lavatory | A | existing\n[Runs]\nRun | From | Size | Length ft | Status\nA | SUPPLY | 3/4 | 20 | existing\n\
         [Prices]\nKind | Material | Size | Unit | Pack | Price\npipe | PEX | 1/2 | coil | 100 | 48.50\n\
         [Other costs]\nItem | Quantity | Price\n{rows}"
    );
    std::fs::write(folder.path("job.txt"), text).unwrap();
    folder.done(&["start", "--from-text", "job.txt"]);
    let ran = folder.run(&["check", "job.xlsx"]);
    assert_eq!(ran.err.matches("fix  unlikely-value").count(), 11, "{}", ran.err);
    assert!(ran.err.contains("fix  unlikely-value  job.xlsx  and 4 more"), "{}", ran.err);
    assert!(ran.out.contains("14 to fix"), "{}", ran.out);
    let findings = folder.json(&["check", "job.xlsx", "--json"])["findings"].as_array().unwrap().len();
    assert!(findings >= 14, "{findings}");
}
