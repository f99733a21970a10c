//! Files on the disk that have not taken their name yet (`.house-bid.xlsx.tallybore-xxxxxx.part`): none is left behind by
//! Ctrl-C, and what a kill left behind goes when the same file is written again.

use std::collections::BTreeSet;
use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use tempfile::{Builder, NamedTempFile};

const MARK: &str = ".tallybore-";
const SUFFIX: &str = ".part";
/// Letters between the two, chosen by chance.
const RANDOM: usize = 6;
/// So much of the target's name stands in the part's: a name may be 255 bytes long.
const STEM: usize = 120;

/// The parts that are on the disk now.
static PARTS: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// While it lives, no part is made or taken away by anybody else, and Ctrl-C waits.
pub(super) struct Undisturbed(MutexGuard<'static, BTreeSet<PathBuf>>);

pub(super) fn undisturbed() -> Undisturbed {
    // Paths are put in and taken out one by one, so a panic elsewhere leaves nothing half done.
    Undisturbed(PARTS.lock().unwrap_or_else(PoisonError::into_inner))
}

/// From now on Ctrl-C (and a polite kill) takes away the parts and ends the program as the shell expects. For the
/// program, once; where the system allows no handler, the program works without.
pub fn clear_when_interrupted() {
    // Kept locked to the end: nothing may be made after it was cleared.
    let end = || {
        let parts = undisturbed();
        parts.0.iter().for_each(|part| _ = fs::remove_file(part));
        std::process::exit(130);
    };
    let _ = ctrlc::set_handler(end);
}

/// A part with its bytes on the disk; dropped, it is gone.
pub(super) struct Part {
    file: NamedTempFile,
}

impl Part {
    /// Writes the part of `target`, beside it.
    pub(crate) fn new(folder: &Path, target: &Path, bytes: &[u8]) -> io::Result<Self> {
        let prefix = prefix(target);
        clear_stale(folder, &prefix);
        let mut builder = Builder::new();
        builder.prefix(&prefix).suffix(SUFFIX).rand_bytes(RANDOM);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            // What a program that simply creates a file asks for; the user's umask takes its share.
            builder.permissions(fs::Permissions::from_mode(0o666));
        }
        let file = {
            let mut parts = undisturbed();
            let file = builder.tempfile_in(folder)?;
            parts.0.insert(file.path().to_owned());
            file
        };
        // Held until the file is closed: a part that nobody holds is stale. Where a disk knows no locks, parts stay.
        let _ = file.as_file().lock();
        let mut part = Self { file };
        part.file.write_all(bytes)?;
        part.file.as_file().sync_all()?;
        Ok(part)
    }

    /// Gives it the target's name; over a file of that name only when `replace` is set.
    pub(crate) fn persist(self, target: &Path, replace: bool, at: &mut Undisturbed) -> io::Result<()> {
        let path = self.file.path().to_owned();
        let Self { file } = self;
        let kept = if replace { file.persist(target) } else { file.persist_noclobber(target) };
        // An error gives the part back, which is dropped here and gone.
        let done = kept.map(|_| ()).map_err(|error| error.error);
        at.0.remove(&path);
        done
    }
}

fn prefix(target: &Path) -> OsString {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    let stem = name.char_indices().take_while(|(at, c)| at + c.len_utf8() <= STEM).map(|(_, c)| c);
    format!(".{}{MARK}", stem.collect::<String>()).into()
}

/// Takes away what an earlier write of the same file left behind: parts that no program holds.
fn clear_stale(folder: &Path, prefix: &OsString) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    let prefix = prefix.to_string_lossy();
    for entry in entries.flatten() {
        let name = entry.file_name();
        let random = name.to_str().and_then(|name| name.strip_prefix(&*prefix)?.strip_suffix(SUFFIX));
        let ours = random.is_some_and(|r| r.len() == RANDOM && r.bytes().all(|b| b.is_ascii_alphanumeric()));
        // `file_type` follows no links.
        if ours
            && entry.file_type().is_ok_and(|kind| kind.is_file())
            && File::open(entry.path()).is_ok_and(|file| file.try_lock().is_ok())
        {
            let _ = fs::remove_file(entry.path());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stale_parts_of_the_same_file_go_and_all_others_stay() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        let others = [".other.xlsx.tallybore-abc123.part", ".bid.xlsx.tallybore-abc.part", ".bid.xlsx.part"];
        let locked = File::create(at(".bid.xlsx.tallybore-heldit.part")).unwrap();
        locked.lock().unwrap();
        for name in others.iter().chain(&[".bid.xlsx.tallybore-abc123.part"]) {
            fs::write(at(name), "old").unwrap();
        }
        let part = Part::new(folder.path(), &at("bid.xlsx"), b"new").unwrap();
        assert!(!at(".bid.xlsx.tallybore-abc123.part").exists());
        assert!(others.iter().all(|name| at(name).exists()));
        assert!(at(".bid.xlsx.tallybore-heldit.part").exists(), "another program writes it now");
        // Nor does one part of this program take another for stale.
        let second = Part::new(folder.path(), &at("bid.xlsx"), b"new").unwrap();
        assert!(part.file.path().exists() && second.file.path().exists());
    }

    #[test]
    fn a_name_of_any_length_has_a_part() {
        let folder = tempfile::tempdir().unwrap();
        let target = folder.path().join(format!("{}.xlsx", "ü".repeat(120)));
        let part = Part::new(folder.path(), &target, b"x").unwrap();
        part.persist(&target, false, &mut undisturbed()).unwrap();
        assert_eq!(fs::read(&target).unwrap(), b"x");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
