//! Files that cannot be read at all: the trouble is the file or the system, not what the workbook says.

use crate::finding::findings;

findings! {
    /// There is no file of that name.
    NoSuchFile { path: String } = Stop "no-such-file" {
        found: "There is no file {path}.",
        remedy: "Check the name and the folder.",
    }

    /// A folder is named where a workbook belongs.
    FolderGiven { path: String } = Stop "folder-given" {
        found: "{path} is a folder.",
        remedy: "Name the workbook in it.",
    }

    /// The system does not let the program read the file.
    UnreadableFile { reason: String } = Stop "unreadable-file" {
        found: "The file could not be read: {reason}.",
        remedy: "Check that it is closed elsewhere and that you may read it.",
    }

    /// The file holds no bytes.
    EmptyFile {} = Stop "empty-file" {
        found: "The file is empty: it holds no bytes at all.",
        remedy: "Save the workbook again, or take it from a backup.",
    }

    /// The file is something other than a workbook.
    NotAWorkbook { looks_like: &'static str } = Stop "not-a-workbook" {
        found: "This is no workbook, whatever its name ends in; it looks like {looks_like}.",
        remedy: "Open it in a spreadsheet program and save it as .xlsx or .ods.",
    }

    /// A workbook of the old .xls kind, or one locked with a password.
    OldWorkbook {} = Stop "old-workbook" {
        found: "This is a workbook of the old .xls kind, or one locked with a password.",
        remedy: "Open it in a spreadsheet program, take the password off if it has one, and save it as .xlsx.",
    }

    /// A workbook of the binary .xlsb kind.
    BinaryWorkbook {} = Stop "binary-workbook" {
        found: "This is a workbook of the binary .xlsb kind.",
        remedy: "Open it in a spreadsheet program and save it as .xlsx.",
    }

    /// The workbook is locked with a password.
    PasswordProtected {} = Stop "password-protected" {
        found: "The workbook is locked with a password.",
        remedy: "Open it in a spreadsheet program, take the password off, and save it as .xlsx.",
    }

    /// The file is damaged.
    DamagedFile { detail: String } = Stop "damaged-file" {
        found: "The file is damaged: {detail}.",
        remedy: "Open it in a spreadsheet program, which may repair it, and save it as .xlsx; or take it from a backup.",
    }

    /// The file has more sheets, cells or text than any job needs.
    OversizeFile { what: &'static str, found: u64, limit: u64 } = Stop "oversize-file" {
        found: "The file has {found} {what}; at most {limit} are read.",
        remedy: "Delete what is not needed for the job (far rows and columns, pictures), and save it again.",
    }
}
