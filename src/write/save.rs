//! Files, saved whole or not at all: the bytes go to a temporary file in the same folder, which then takes the name.

use std::fmt;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use tempfile::{Builder, NamedTempFile};

/// Why a file was not saved. Nothing was changed on the disk.
#[derive(Debug)]
pub enum SaveError {
    /// The name is taken, and replacing was not asked for.
    Exists(PathBuf),
    /// The name is a folder's.
    Folder(PathBuf),
    /// The folder it should go to is not there.
    NoFolder(PathBuf),
    /// The system refused.
    System { path: PathBuf, reason: io::Error },
}

impl fmt::Display for SaveError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Exists(path) => {
                write!(
                    f,
                    "{} is already there. Give another name with -o, or --replace to write over it.",
                    path.display()
                )
            }
            Self::Folder(path) => write!(f, "{} is a folder. Give the name of a file with -o.", path.display()),
            Self::NoFolder(path) => write!(f, "There is no folder {}. Make it first.", path.display()),
            Self::System { path, reason } => write!(f, "{} could not be written: {reason}.", path.display()),
        }
    }
}

impl std::error::Error for SaveError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::System { reason, .. } => Some(reason),
            Self::Exists(_) | Self::Folder(_) | Self::NoFolder(_) => None,
        }
    }
}

/// Saves `bytes` as `path`. An existing file is only written over when `replace` is set, and even then stays as it was
/// until the new one is complete. Where `path` is a link, `replace` writes what it points to.
pub fn save(path: &Path, bytes: &[u8], replace: bool) -> Result<(), SaveError> {
    Staged::new(path, bytes, replace)?.persist()
}

/// Saves several files, or none of them: nothing takes its name before all are on the disk, and a name that is taken
/// (where `replace` is not set) or a folder that is missing leaves all as it was. Should the system fail between two
/// names, the new files are taken away again; what had been replaced by then stays replaced.
pub fn save_all(files: &[(PathBuf, Vec<u8>)], replace: bool) -> Result<(), SaveError> {
    let staged: Vec<Staged> =
        files.iter().map(|(path, bytes)| Staged::new(path, bytes, replace)).collect::<Result<_, _>>()?;
    let mut new = Vec::new();
    for file in staged {
        let target = file.target.clone();
        if let Err(error) = file.persist() {
            new.iter().for_each(|path| _ = std::fs::remove_file(path));
            return Err(error);
        }
        if !replace {
            new.push(target);
        }
    }
    Ok(())
}

/// A file on the disk that has not taken its name yet; dropped, it is gone.
struct Staged {
    path: PathBuf,
    target: PathBuf,
    file: NamedTempFile,
    replace: bool,
}

impl Staged {
    fn new(path: &Path, bytes: &[u8], replace: bool) -> Result<Self, SaveError> {
        let target = if replace { path.canonicalize().unwrap_or_else(|_| path.to_owned()) } else { path.to_owned() };
        // A look ahead for a clear answer; the rename below decides, should somebody be quicker.
        if target.is_dir() {
            return Err(SaveError::Folder(path.to_owned()));
        }
        if !replace && target.symlink_metadata().is_ok() {
            return Err(SaveError::Exists(path.to_owned()));
        }
        let folder = match target.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        if !folder.is_dir() {
            return Err(SaveError::NoFolder(folder.to_owned()));
        }
        let refused = |reason| SaveError::System { path: path.to_owned(), reason };
        let mut builder = Builder::new();
        builder.prefix(".tallybore-").suffix(".part");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            // What a program that simply creates a file asks for; the user's umask takes its share.
            builder.permissions(std::fs::Permissions::from_mode(0o666));
        }
        let mut file = builder.tempfile_in(folder).map_err(refused)?;
        file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(refused)?;
        Ok(Self { path: path.to_owned(), target, file, replace })
    }

    fn persist(self) -> Result<(), SaveError> {
        let Self { path, target, file, replace } = self;
        let kept = if replace { file.persist(&target) } else { file.persist_noclobber(&target) };
        match kept {
            Ok(_) => Ok(()),
            Err(error) if error.error.kind() == io::ErrorKind::AlreadyExists => Err(SaveError::Exists(path)),
            Err(error) => Err(SaveError::System { path, reason: error.error }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    /// The names in a folder, sorted.
    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn an_existing_file_stays_unless_replacing_is_asked_for() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.xlsx");
        save(&path, b"first", false).unwrap();
        let error = save(&path, b"second", false).unwrap_err();
        assert!(matches!(error, SaveError::Exists(_)));
        assert!(error.to_string().contains("--replace"), "{error}");
        assert_eq!(fs::read(&path).unwrap(), b"first");
        save(&path, b"third", true).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"third");
        assert_eq!(names(folder.path()), ["job.xlsx"]);
    }

    #[test]
    fn several_files_are_saved_all_or_none() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        let files = |text: &str| ["a", "b", "c"].map(|name| (at(name), text.as_bytes().to_vec()));
        fs::write(at("b"), b"mine").unwrap();
        assert!(matches!(save_all(&files("new"), false).unwrap_err(), SaveError::Exists(path) if path == at("b")));
        assert_eq!(names(folder.path()), ["b"]);
        assert_eq!(fs::read(at("b")).unwrap(), b"mine");
        save_all(&files("new"), true).unwrap();
        assert_eq!(names(folder.path()), ["a", "b", "c"]);
        assert_eq!(fs::read(at("b")).unwrap(), b"new");
        let twice = [(at("d"), vec![1]), (at("d"), vec![2])];
        assert!(save_all(&twice, false).is_err());
        assert_eq!(names(folder.path()), ["a", "b", "c"], "what was new is taken away again");
    }

    #[test]
    fn a_missing_folder_and_a_folder_are_told_apart() {
        let folder = tempfile::tempdir().unwrap();
        let missing = save(&folder.path().join("a/job.xlsx"), b"x", true).unwrap_err();
        assert!(matches!(missing, SaveError::NoFolder(_)));
        for replace in [false, true] {
            assert!(matches!(save(folder.path(), b"x", replace).unwrap_err(), SaveError::Folder(_)));
        }
        assert!(names(folder.path()).is_empty());
    }

    #[cfg(unix)]
    #[test]
    fn a_link_keeps_pointing_to_what_was_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let (real, link) = (folder.path().join("real.xlsx"), folder.path().join("link.xlsx"));
        fs::write(&real, b"old").unwrap();
        std::os::unix::fs::symlink(&real, &link).unwrap();
        save(&link, b"new", true).unwrap();
        assert_eq!(fs::read(&real).unwrap(), b"new");
        assert!(link.symlink_metadata().unwrap().is_symlink());
        assert!(matches!(save(&link, b"x", false).unwrap_err(), SaveError::Exists(_)));
    }

    #[cfg(unix)]
    #[test]
    fn others_may_read_what_the_umask_lets_them() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let (ours, plain) = (folder.path().join("ours"), folder.path().join("plain"));
        save(&ours, b"x", false).unwrap();
        fs::write(&plain, b"x").unwrap();
        let mode = |path: &Path| path.metadata().unwrap().permissions().mode();
        assert_eq!(mode(&ours), mode(&plain));
    }
}
