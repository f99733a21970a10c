//! .ods files whose tags stand on lines of their own: the spacing is taken out, for the parser takes it for contents.
//!
//! ODF 1.2 part 1, section 1.6: white space between tags says nothing, except inside paragraphs (`text:p`, `text:h`).

use super::tags::{Kind, Tags};
use std::borrow::Cow;
use std::io::{Cursor, Read, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

const CONTENT: &str = "content.xml";

/// The same workbook without spacing between the tags of its content; as it is where there is none, or where it cannot be
/// taken apart (the parser then says why). `bytes` have passed the guard, so nothing in them unpacks beyond reason.
pub(super) fn without_spacing(bytes: &[u8]) -> Cow<'_, [u8]> {
    match repacked(bytes) {
        Some(compact) => Cow::Owned(compact),
        None => Cow::Borrowed(bytes),
    }
}

fn repacked(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).ok()?;
    let mut content = Vec::new();
    archive.by_name(CONTENT).ok()?.read_to_end(&mut content).ok()?;
    let compact = compact(&content)?;
    let mut out = ZipWriter::new(Cursor::new(Vec::with_capacity(bytes.len() + compact.len())));
    for index in 0..archive.len() {
        let part = archive.by_index_raw(index).ok()?;
        if part.name().ok()? == CONTENT {
            out.start_file(CONTENT, SimpleFileOptions::default().compression_method(CompressionMethod::Stored)).ok()?;
            out.write_all(&compact).ok()?;
        } else {
            out.raw_copy_file(part).ok()?;
        }
    }
    Some(out.finish().ok()?.into_inner())
}

/// The part without its spacing; `None` where it has none.
fn compact(part: &[u8]) -> Option<Vec<u8>> {
    let mut tags = Tags::new(part, true);
    let mut kept = Vec::with_capacity(part.len());
    let (mut after, mut paragraphs) = (0, 0_u32);
    while let Some(tag) = tags.next().ok()? {
        let between = &part[after..tag.start];
        if paragraphs > 0 || after == 0 || !is_spacing(between) {
            kept.extend_from_slice(between);
        }
        kept.extend_from_slice(&part[tag.start..tag.end]);
        after = tag.end;
        if matches!(tag.local(), b"p" | b"h") {
            match tag.kind {
                Kind::Open => paragraphs += 1,
                Kind::Close => paragraphs = paragraphs.saturating_sub(1),
                Kind::Empty => (),
            }
        }
    }
    kept.extend_from_slice(&part[after..]);
    (kept.len() < part.len()).then_some(kept)
}

/// White space and comments alone.
fn is_spacing(mut between: &[u8]) -> bool {
    loop {
        between = between.trim_ascii_start();
        if between.is_empty() {
            return true;
        }
        let Some(comment) = between.strip_prefix(b"<!--") else { return false };
        let Some(end) = memchr::memmem::find(comment, b"-->") else { return false };
        between = &comment[end + 3..];
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn compacted(xml: &str) -> Option<String> {
        compact(xml.as_bytes()).map(|kept| String::from_utf8(kept).unwrap())
    }

    #[test]
    fn spacing_goes_and_paragraphs_stay() {
        let xml = "<?xml?>\n<a>\n  <b><!-- c -->\n<text:p> two  <text:span> words</text:span> </text:p></b> </a>\n";
        let kept = "<?xml?>\n<a><b><text:p> two  <text:span> words</text:span> </text:p></b></a>\n";
        assert_eq!(compacted(xml).unwrap(), kept);
        assert_eq!(compacted(kept), None);
    }

    #[test]
    fn text_between_tags_is_no_spacing() {
        assert_eq!(compacted("<a><b/> one <b/><!-- unclosed </a>"), None);
        assert_eq!(compacted("<a><b/> one <b/></a>"), None);
    }
}
