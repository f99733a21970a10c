//! What is asked of a file before anything parses it: that it is a file, of a kind we read, and that nothing in it
//! unpacks or spreads beyond reason.

use super::extent::{self, Marks};
use super::tags::{Tag, Tags};
use crate::finding::Finding;
use crate::read::findings::file::{
    BinaryWorkbook, DamagedFile, EmptyFile, FolderGiven, NoSuchFile, NotAWorkbook, OldWorkbook, OversizeFile,
    PasswordProtected, UnreadableFile,
};
use std::borrow::Cow;
use std::collections::BTreeSet;
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
pub(super) fn open(path: &Path) -> Result<Guarded, Box<Finding>> {
    look_over(load(path)?)
}

/// The bytes of a file, if it is one and not too large.
pub(super) fn load(path: &Path) -> Result<Vec<u8>, Box<Finding>> {
    let trouble = |error: std::io::Error| -> Box<Finding> {
        match error.kind() {
            ErrorKind::NotFound => NoSuchFile { path: path.display().to_string() }.into(),
            _ => UnreadableFile { reason: error.to_string() }.into(),
        }
    };
    let about = std::fs::metadata(path).map_err(trouble)?;
    if about.is_dir() {
        return Err(FolderGiven { path: path.display().to_string() }.into());
    }
    // A pipe or a device could keep us waiting for ever.
    if !about.is_file() {
        return Err(UnreadableFile { reason: "it is not an ordinary file".to_owned() }.into());
    }
    let mut bytes = Vec::new();
    let file = std::fs::File::open(path).map_err(trouble)?;
    let length = file.take(FILE + 1).read_to_end(&mut bytes).map_err(trouble)? as u64;
    if length > FILE {
        return Err(OversizeFile { what: "bytes", found: about.len().max(length), limit: FILE }.into());
    }
    Ok(bytes)
}

fn look_over(bytes: Vec<u8>) -> Result<Guarded, Box<Finding>> {
    if bytes.is_empty() {
        return Err(EmptyFile {}.into());
    }
    if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
        return Err(match has_utf16(&bytes, "EncryptedPackage") {
            true => PasswordProtected {}.into(),
            false => OldWorkbook {}.into(),
        });
    }
    if !bytes.starts_with(b"PK\x03\x04") {
        return Err(NotAWorkbook { looks_like: first_impression(&bytes) }.into());
    }
    let damaged = |error: ZipError| Box::<Finding>::from(DamagedFile { detail: error.to_string() });
    let mut archive = ZipArchive::new(Cursor::new(&bytes[..])).map_err(|_| DamagedFile {
        detail: "its end is missing, as after a broken download or a full disk".to_owned(),
    })?;
    if archive.len() as u64 > PARTS {
        return Err(OversizeFile { what: "parts", found: archive.len() as u64, limit: PARTS }.into());
    }
    let mut seen = Seen::default();
    let mut marks = Marks::default();
    let needed = Needed::of(&mut archive);
    let (mut part, mut total) = (Vec::new(), 0);
    for index in 0..archive.len() {
        let entry = match archive.by_index(index) {
            Ok(entry) => entry,
            Err(ZipError::UnsupportedArchive(ZipError::PASSWORD_REQUIRED)) => return Err(PasswordProtected {}.into()),
            Err(error) => return Err(damaged(error)),
        };
        let name = entry.name().map_err(damaged)?.replace('\\', "/").to_lowercase();
        part.clear();
        // What the headers say of the size proves nothing: count what comes out.
        let got = entry.take(PART + 1).read_to_end(&mut part).map_err(|e| damaged(e.into()))? as u64;
        total += got;
        if got > PART || total > TOTAL {
            let (found, limit) = if got > PART { (got, PART) } else { (total, TOTAL) };
            return Err(OversizeFile { what: "bytes once unpacked", found, limit }.into());
        }
        seen.note(&name, &part)?;
        // Notes, pictures, and whatever else a program has added: nobody here parses them.
        if needed.has(&name) {
            let strict = name.ends_with(".xml") || name.ends_with(".rels");
            extent::walk(&in_bytes(&part), strict, &mut marks)?;
        }
    }
    drop(archive);
    let format = seen.format()?;
    Ok(Guarded { bytes, format, macros: seen.macros, marks })
}

/// The parts that a parser may open, by the last of their path in lower case (which folder a list means is its reader's
/// affair): those with a name that the formats fix, those that any list of contents gives as part of a workbook, and those
/// that a workbook calls its sheets. All of them where a name is written in a roundabout way.
enum Needed {
    All,
    These(BTreeSet<String>),
}

impl Needed {
    /// Parts of .xlsx and .ods that are looked for by their names.
    const FIXED: &[&str] = &[
        "[content_types].xml",
        "workbook.xml",
        "sharedstrings.xml",
        "styles.xml",
        "custom.xml",
        "content.xml",
        "meta.xml",
        "manifest.xml",
    ];
    /// How the kinds of contents end that make up a workbook.
    const KINDS: &[&str] = &["/officeDocument", "/worksheet", "/sharedStrings", "/styles", "/custom-properties"];

    fn of(archive: &mut ZipArchive<Cursor<&[u8]>>) -> Self {
        let names: Vec<String> = archive.file_names().filter_map(Result::ok).map(Cow::into_owned).collect();
        let mut unpacked = |name: &String| {
            let mut part = Vec::new();
            // One that cannot be read is told when its turn comes.
            let read = archive.by_name(name).is_ok_and(|entry| entry.take(PART).read_to_end(&mut part).is_ok());
            read.then_some(part)
        };
        let lists = names.iter().filter(|name| name.to_lowercase().ends_with(".rels"));
        let contents: Vec<Content> = lists.filter_map(&mut unpacked).flat_map(|list| contents(&list)).collect();
        let mut needed: BTreeSet<String> = Self::FIXED.iter().map(|name| (*name).to_owned()).collect();
        for content in &contents {
            if content.kinds.iter().any(|kind| Self::KINDS.iter().any(|end| kind.ends_with(end))) {
                needed.extend(content.targets.iter().map(|target| last(target)));
            }
        }
        let books = names.iter().filter(|name| needed.contains(&last(name)));
        let sheets: BTreeSet<String> = books.filter_map(&mut unpacked).flat_map(|book| sheets(&book)).collect();
        for content in contents.iter().filter(|content| content.ids.iter().any(|id| sheets.contains(id))) {
            needed.extend(content.targets.iter().map(|target| last(target)));
        }
        let written =
            contents.iter().flat_map(|content| content.ids.iter().chain(&content.kinds).chain(&content.targets));
        if written.chain(&sheets).any(|text| text.contains('&')) { Self::All } else { Self::These(needed) }
    }

    fn has(&self, name: &str) -> bool {
        match self {
            Self::All => true,
            Self::These(needed) => name.ends_with(".rels") || needed.contains(&last(name)),
        }
    }
}

/// One line of a list of contents. Of two attributes of one name either may be meant.
struct Content {
    ids: Vec<String>,
    kinds: Vec<String>,
    targets: Vec<String>,
}

fn contents(list: &[u8]) -> Vec<Content> {
    let content = |tag: &Tag| Content { ids: all(tag, b"Id"), kinds: all(tag, b"Type"), targets: all(tag, b"Target") };
    each_tag(list, |tag| if tag.local() == b"Relationship" { vec![content(tag)] } else { Vec::new() })
}

/// The numbers of contents that a workbook part calls its sheets.
fn sheets(book: &[u8]) -> Vec<String> {
    each_tag(book, |tag| if tag.local() == b"sheet" { all(tag, b"id") } else { Vec::new() })
}

fn all(tag: &Tag, name: &[u8]) -> Vec<String> {
    let values = tag.attributes().filter(|(found, _)| *found == name);
    values.map(|(_, value)| String::from_utf8_lossy(value).into_owned()).collect()
}

fn each_tag<T>(part: &[u8], found: impl Fn(&Tag) -> Vec<T>) -> Vec<T> {
    let part = in_bytes(part);
    let mut tags = Tags::new(&part, false);
    std::iter::from_fn(|| tags.next().ok().flatten()).flat_map(|tag| found(&tag)).collect()
}

/// The last of a path, in lower case.
fn last(path: &str) -> String {
    path.rsplit(['/', '\\']).next().unwrap_or_default().to_lowercase()
}

/// A part as bytes of UTF-8 where it begins with the mark of UTF-16, so that its tags can be seen.
fn in_bytes(part: &[u8]) -> Cow<'_, [u8]> {
    let wide = |from: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = part[2..].chunks_exact(2).map(|pair| from([pair[0], pair[1]])).collect();
        Cow::Owned(String::from_utf16_lossy(&units).into_bytes())
    };
    match part {
        [0xFF, 0xFE, ..] => wide(u16::from_le_bytes),
        [0xFE, 0xFF, ..] => wide(u16::from_be_bytes),
        _ => Cow::Borrowed(part),
    }
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
    fn note(&mut self, name: &str, part: &[u8]) -> Result<(), Box<Finding>> {
        match name {
            "[content_types].xml" => self.types = true,
            "content.xml" => self.content = true,
            "mimetype" => self.mimetype = Some(part.to_vec()),
            "meta-inf/manifest.xml" if memchr::memmem::find(part, b"encryption-data").is_some() => {
                return Err(PasswordProtected {}.into());
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

    fn format(&self) -> Result<Format, Box<Finding>> {
        const SPREADSHEET: &[u8] = b"application/vnd.oasis.opendocument.spreadsheet";
        match &self.mimetype {
            Some(kind) if kind.starts_with(SPREADSHEET) && self.content => return Ok(Format::Ods),
            Some(kind) if kind.starts_with(SPREADSHEET) => {
                return Err(DamagedFile { detail: "the part that holds its sheets is missing".to_owned() }.into());
            }
            Some(kind) if kind.starts_with(b"application/vnd.oasis.opendocument.") => {
                return Err(NotAWorkbook { looks_like: "a document of another kind" }.into());
            }
            _ => (),
        }
        if self.binary {
            return Err(BinaryWorkbook {}.into());
        }
        if let Some(looks_like) = self.other {
            return Err(NotAWorkbook { looks_like }.into());
        }
        if self.types && self.sheets {
            return Ok(Format::Xlsx);
        }
        if self.types {
            return Err(DamagedFile { detail: "the part that lists its contents is missing".to_owned() }.into());
        }
        Err(NotAWorkbook { looks_like: "a zip file without a workbook in it" }.into())
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
