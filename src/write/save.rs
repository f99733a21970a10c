//! Files, saved whole or not at all: the bytes go to a temporary file in the same folder, which then takes the name.

use super::parts::{self, Part, Undisturbed};
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// Why a file was not saved. Nothing was changed on the disk.
#[derive(Debug)]
pub enum SaveError {
    /// The name is taken, and replacing was not asked for.
    Exists(PathBuf),
    /// The name is a folder's.
    Folder(PathBuf),
    /// The name is that of a device, a pipe or the like, which no file can take the place of.
    Device(PathBuf),
    /// The name is a link's that points to nothing.
    LostLink(PathBuf),
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
            Self::Device(path) => {
                write!(f, "{} is a device or a pipe, no file. Give the name of a file with -o.", path.display())
            }
            Self::LostLink(path) => {
                write!(
                    f,
                    "{} is a link to a file that is not there. Delete the link, or give another name with -o.",
                    path.display()
                )
            }
            Self::NoFolder(path) => write!(f, "There is no folder {}. Make it first.", path.display()),
            Self::System { path, reason } => write!(f, "{} could not be written: {reason}.", path.display()),
        }
    }
}

impl std::error::Error for SaveError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::System { reason, .. } => Some(reason),
            _ => None,
        }
    }
}

/// Saves `bytes` as `path`. An existing file is only written over when `replace` is set, and even then stays as it was
/// until the new one is complete. Where `path` is a link, `replace` writes what it points to.
pub(crate) fn save(path: &Path, bytes: &[u8], replace: bool) -> Result<(), SaveError> {
    Staged::new(path, bytes, replace)?.persist(&mut parts::undisturbed())
}

/// Saves several files, or none of them: nothing takes its name before all are on the disk, and a name that is taken
/// (where `replace` is not set) or a folder that is missing leaves all as it was. Should the system fail between two
/// names, the new files are taken away again; what had been replaced by then stays replaced.
pub(crate) fn save_all(files: &[(PathBuf, Vec<u8>)], replace: bool) -> Result<(), SaveError> {
    let staged: Vec<Staged> =
        files.iter().map(|(path, bytes)| Staged::new(path, bytes, replace)).collect::<Result<_, _>>()?;
    let mut new = Vec::new();
    // Nor does Ctrl-C come between two names.
    let mut undisturbed = parts::undisturbed();
    for file in staged {
        let target = file.target.clone();
        if let Err(error) = file.persist(&mut undisturbed) {
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
    part: Part,
    replace: bool,
}

impl Staged {
    fn new(path: &Path, bytes: &[u8], replace: bool) -> Result<Self, SaveError> {
        // A look ahead for a clear answer; the rename below decides, should somebody be quicker.
        let target = target(path, replace)?;
        let folder = match target.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        if !folder.is_dir() {
            return Err(SaveError::NoFolder(folder.to_owned()));
        }
        let refused = |reason| SaveError::System { path: path.to_owned(), reason };
        let part = Part::new(folder, &target, bytes).map_err(refused)?;
        Ok(Self { path: path.to_owned(), target, part, replace })
    }

    fn persist(self, undisturbed: &mut Undisturbed) -> Result<(), SaveError> {
        let Self { path, target, part, replace } = self;
        part.persist(&target, replace, undisturbed).map_err(|reason| match reason.kind() {
            io::ErrorKind::AlreadyExists => SaveError::Exists(path),
            _ => SaveError::System { path, reason },
        })
    }
}

/// What is written when `path` is to be: itself, or with `replace` the file that a link points to.
fn target(path: &Path, replace: bool) -> Result<PathBuf, SaveError> {
    // Nothing of that name is there.
    let Ok(itself) = path.symlink_metadata() else { return Ok(path.to_owned()) };
    let Ok(about) = path.metadata() else {
        return Err(match itself.is_symlink() {
            true => SaveError::LostLink(path.to_owned()),
            false => SaveError::Exists(path.to_owned()),
        });
    };
    match (about.is_dir(), about.is_file(), replace) {
        (true, ..) => Err(SaveError::Folder(path.to_owned())),
        (_, false, _) => Err(SaveError::Device(path.to_owned())),
        (_, _, false) => Err(SaveError::Exists(path.to_owned())),
        _ => path.canonicalize().map_err(|reason| SaveError::System { path: path.to_owned(), reason }),
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
    fn a_device_and_a_link_to_nothing_are_not_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let link = folder.path().join("link.xlsx");
        std::os::unix::fs::symlink(folder.path().join("gone.xlsx"), &link).unwrap();
        let socket = folder.path().join("socket.xlsx");
        let _socket = std::os::unix::net::UnixListener::bind(&socket).unwrap();
        let to_device = folder.path().join("null.xlsx");
        std::os::unix::fs::symlink("/dev/null", &to_device).unwrap();
        for replace in [false, true] {
            assert!(matches!(save(&link, b"x", replace).unwrap_err(), SaveError::LostLink(_)));
            for device in [&socket, &to_device] {
                assert!(matches!(save(device, b"x", replace).unwrap_err(), SaveError::Device(_)));
            }
        }
        assert!(link.is_symlink() && to_device.is_symlink());
        assert_eq!(names(folder.path()), ["link.xlsx", "null.xlsx", "socket.xlsx"]);
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
