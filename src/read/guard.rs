//! What is asked of a file before anything parses it: that it is a file, of a kind we read, and that nothing in it
//! unpacks or spreads beyond reason.

use super::extent::{self, Marks};
use crate::finding::Code;
use std::io::{Cursor, ErrorKind, Read};
use std::path::Path;
use zip::ZipArchive;
use zip::result::ZipError;

/// Bytes of a file, of one of its parts unpacked, of all parts together; parts in a file.
const FILE: u64 = 20_000_000;
const PART: u64 = 64_000_000;
const TOTAL: u64 = 128_000_000;
const PARTS: u64 = 2_000;

/// The kinds of workbook we read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Xlsx,
    Ods,
}

/// A file that may be parsed.
pub(super) struct Guarded {
    pub bytes: Vec<u8>,
    pub format: Format,
    pub macros: bool,
    pub marks: Marks,
}

/// Reads a file and looks it over.
pub(super) fn open(path: &Path) -> Result<Guarded, Code> {
    look_over(load(path)?)
}

/// The bytes of a file, if it is one and not too large.
pub(super) fn load(path: &Path) -> Result<Vec<u8>, Code> {
    let trouble = |error: std::io::Error| match error.kind() {
        ErrorKind::NotFound => Code::NoSuchFile { path: path.display().to_string() },
        _ => Code::UnreadableFile { reason: error.to_string() },
    };
    let about = std::fs::metadata(path).map_err(trouble)?;
    if about.is_dir() {
        return Err(Code::FolderGiven { path: path.display().to_string() });
    }
    // A pipe or a device could keep us waiting for ever.
    if !about.is_file() {
        return Err(Code::UnreadableFile { reason: "it is not an ordinary file".to_owned() });
    }
    let mut bytes = Vec::new();
    let file = std::fs::File::open(path).map_err(trouble)?;
    let length = file.take(FILE + 1).read_to_end(&mut bytes).map_err(trouble)? as u64;
    if length > FILE {
        return Err(Code::OversizeFile { what: "bytes", found: about.len().max(length), limit: FILE });
    }
    Ok(bytes)
}

fn look_over(bytes: Vec<u8>) -> Result<Guarded, Code> {
    if bytes.is_empty() {
        return Err(Code::EmptyFile);
    }
    if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
        return Err(Code::OldWorkbook { encrypted: has_utf16(&bytes, "EncryptedPackage") });
    }
    if !bytes.starts_with(b"PK\x03\x04") {
        return Err(Code::NotAWorkbook { looks_like: first_impression(&bytes) });
    }
    let damaged = |error: ZipError| Code::DamagedFile { detail: error.to_string() };
    let mut archive = ZipArchive::new(Cursor::new(&bytes[..])).map_err(|_| Code::DamagedFile {
        detail: "its end is missing, as after a broken download or a full disk".to_owned(),
    })?;
    if archive.len() as u64 > PARTS {
        return Err(Code::OversizeFile { what: "parts", found: archive.len() as u64, limit: PARTS });
    }
    let mut seen = Seen::default();
    let mut marks = Marks::default();
    let (mut part, mut total) = (Vec::new(), 0);
    for index in 0..archive.len() {
        let entry = match archive.by_index(index) {
            Ok(entry) => entry,
            Err(ZipError::UnsupportedArchive(ZipError::PASSWORD_REQUIRED)) => return Err(Code::PasswordProtected),
            Err(error) => return Err(damaged(error)),
        };
        let name = entry.name().map_err(damaged)?.replace('\\', "/").to_lowercase();
        part.clear();
        // What the headers say of the size proves nothing: count what comes out.
        let got = entry.take(PART + 1).read_to_end(&mut part).map_err(|e| damaged(e.into()))? as u64;
        total += got;
        if got > PART || total > TOTAL {
            let (found, limit) = if got > PART { (got, PART) } else { (total, TOTAL) };
            return Err(Code::OversizeFile { what: "bytes once unpacked", found, limit });
        }
        seen.note(&name, &part)?;
        let strict = name.ends_with(".xml") || name.ends_with(".rels");
        extent::walk(&part, strict, &mut marks)?;
    }
    drop(archive);
    let format = seen.format()?;
    Ok(Guarded { bytes, format, macros: seen.macros, marks })
}

/// What the names of the parts say about the file.
#[derive(Default)]
struct Seen {
    types: bool,
    sheets: bool,
    binary: bool,
    content: bool,
    macros: bool,
    mimetype: Option<Vec<u8>>,
    other: Option<&'static str>,
}

impl Seen {
    fn note(&mut self, name: &str, part: &[u8]) -> Result<(), Code> {
        match name {
            "[content_types].xml" => self.types = true,
            "content.xml" => self.content = true,
            "mimetype" => self.mimetype = Some(part.to_vec()),
            "meta-inf/manifest.xml" if memchr::memmem::find(part, b"encryption-data").is_some() => {
                return Err(Code::PasswordProtected);
            }
            _ => (),
        }
        self.sheets |= memchr::memmem::find(part, b"officeDocument").is_some() && name.ends_with(".rels");
        self.binary |= name.ends_with("/workbook.bin");
        self.macros |= name.ends_with("vbaproject.bin");
        if name.starts_with("word/") {
            self.other = Some("a word-processor document");
        } else if name.starts_with("ppt/") {
            self.other = Some("a slide show");
        } else if name.starts_with("index/") && name.ends_with(".iwa") {
            self.other = Some("a workbook of another program's own kind");
        }
        Ok(())
    }

    fn format(&self) -> Result<Format, Code> {
        const SPREADSHEET: &[u8] = b"application/vnd.oasis.opendocument.spreadsheet";
        match &self.mimetype {
            Some(kind) if kind.starts_with(SPREADSHEET) && self.content => return Ok(Format::Ods),
            Some(kind) if kind.starts_with(SPREADSHEET) => {
                return Err(Code::DamagedFile { detail: "the part that holds its sheets is missing".to_owned() });
            }
            Some(kind) if kind.starts_with(b"application/vnd.oasis.opendocument.") => {
                return Err(Code::NotAWorkbook { looks_like: "a document of another kind" });
            }
            _ => (),
        }
        if self.binary {
            return Err(Code::BinaryWorkbook);
        }
        if let Some(looks_like) = self.other {
            return Err(Code::NotAWorkbook { looks_like });
        }
        if self.types && self.sheets {
            return Ok(Format::Xlsx);
        }
        if self.types {
            return Err(Code::DamagedFile { detail: "the part that lists its contents is missing".to_owned() });
        }
        Err(Code::NotAWorkbook { looks_like: "a zip file without a workbook in it" })
    }
}

/// True when the text stands in the bytes as two-byte characters, as old workbooks write the names of their streams.
fn has_utf16(bytes: &[u8], text: &str) -> bool {
    let wide: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    memchr::memmem::find(bytes, &wide).is_some()
}

/// What a file that is no zip looks like.
fn first_impression(bytes: &[u8]) -> &'static str {
    let head = &bytes[..bytes.len().min(1024)];
    let text = String::from_utf8_lossy(head).trim_start_matches('\u{feff}').trim_start().to_lowercase();
    let begins = |marks: &[&[u8]]| marks.iter().any(|m| head.starts_with(m));
    if begins(&[b"%PDF"]) {
        "a PDF"
    } else if begins(&[b"\x89PNG", b"\xFF\xD8\xFF", b"GIF8", b"BM"]) {
        "a picture"
    } else if begins(&[b"PK", b"\x1F\x8B", b"7z\xBC\xAF", b"Rar!"]) {
        "a packed archive"
    } else if begins(&[b"{\\rtf"]) {
        "a word-processor document"
    } else if text.starts_with("<!doctype html") || text.starts_with("<html") || text.starts_with("<table") {
        "a web page"
    } else if text.starts_with("<?xml") {
        "an XML text"
    } else if head.iter().all(|b| *b == 0) {
        "nothing but zeros"
    } else if head.iter().all(|b| *b >= 0x20 || matches!(b, b'\t' | b'\r' | b'\n')) {
        "plain text or CSV"
    } else {
        "nothing known here"
    }
}
