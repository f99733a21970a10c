//! The tags of an XML part, found by their brackets alone: cheap enough to run over every part of a file before anything
//! else trusts it.

use memchr::{memchr, memchr3, memmem};

/// What a tag does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Open,
    Close,
    /// `<c/>`: opens and closes at once.
    Empty,
}

/// One tag. Names are bytes: a part need not be UTF-8.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tag<'a> {
    pub kind: Kind,
    /// The name as written, prefix included.
    pub name: &'a [u8],
    inside: &'a [u8],
    /// Where the tag begins, and where what follows it begins.
    pub start: usize,
    pub end: usize,
}

impl<'a> Tag<'a> {
    /// The name after any prefix.
    pub(crate) fn local(&self) -> &'a [u8] {
        after_colon(self.name)
    }

    /// Attributes as (name after any prefix, value as written).
    pub(crate) fn attributes(&self) -> Attributes<'a> {
        Attributes { rest: self.inside }
    }

    /// The first attribute of this name, whatever its prefix.
    pub(crate) fn attribute(&self, local: &[u8]) -> Option<&'a [u8]> {
        self.attributes().find(|(name, _)| *name == local).map(|(_, value)| value)
    }
}

fn after_colon(name: &[u8]) -> &[u8] {
    match memchr(b':', name) {
        Some(at) => &name[at + 1..],
        None => name,
    }
}

/// See [`Tag::attributes`].
pub(super) struct Attributes<'a> {
    rest: &'a [u8],
}

impl<'a> Iterator for Attributes<'a> {
    type Item = (&'a [u8], &'a [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        let equals = memchr(b'=', self.rest)?;
        let name = after_colon(self.rest[..equals].trim_ascii());
        let value = self.rest[equals + 1..].trim_ascii_start();
        let quote = *value.first().filter(|q| matches!(q, b'"' | b'\''))?;
        let length = memchr(quote, &value[1..])?;
        self.rest = &value[length + 2..];
        Some((name, &value[1..=length]))
    }
}

/// What is wrong with the tags of a part.
pub(super) type Fault = &'static str;

/// Walks the tags of a part. In `strict` use, an unfinished, crossed or unclosed tag is a fault; otherwise the walk makes
/// the best of it, as a reader that does not check would. The end of a tag is the first `>` outside quotes; comments,
/// character data and processing instructions are stepped over.
pub(super) struct Tags<'a> {
    bytes: &'a [u8],
    at: usize,
    strict: bool,
    open: Vec<&'a [u8]>,
}

impl<'a> Tags<'a> {
    pub(crate) fn new(bytes: &'a [u8], strict: bool) -> Self {
        Self { bytes, at: 0, strict, open: Vec::new() }
    }

    /// The next tag, `Ok(None)` at the end.
    pub(crate) fn next(&mut self) -> Result<Option<Tag<'a>>, Fault> {
        // `at` never passes the end: it moves to what follows something that was found.
        loop {
            let Some(start) = memchr(b'<', &self.bytes[self.at..]).map(|at| self.at + at) else {
                return self.finish();
            };
            let rest = &self.bytes[start + 1..];
            let skipped = match rest {
                [b'!', b'-', b'-', ..] => memmem::find(&rest[3..], b"-->").map(|at| at + 6),
                [b'!', b'[', ..] => memmem::find(rest, b"]]>").map(|at| at + 3),
                [b'?', ..] => memmem::find(rest, b"?>").map(|at| at + 2),
                [b'!', ..] if self.strict => return Err("it declares a document type, which no workbook needs"),
                _ => {
                    let Some(end) = end_of_tag(rest).map(|at| start + 1 + at) else {
                        return self.unfinished();
                    };
                    self.at = end + 1;
                    return self.tag(start, end).map(Some);
                }
            };
            match skipped {
                Some(length) => self.at = start + 1 + length,
                None => return self.unfinished(),
            }
        }
    }

    fn tag(&mut self, start: usize, end: usize) -> Result<Tag<'a>, Fault> {
        let mut inside = &self.bytes[start + 1..end];
        let kind = if let Some(rest) = inside.strip_prefix(b"/") {
            inside = rest;
            Kind::Close
        } else if let Some(rest) = inside.strip_suffix(b"/") {
            inside = rest;
            Kind::Empty
        } else {
            Kind::Open
        };
        let split = inside.iter().position(u8::is_ascii_whitespace).unwrap_or(inside.len());
        let (name, inside) = inside.split_at(split);
        if self.strict {
            match kind {
                Kind::Open => self.open.push(name),
                Kind::Close if self.open.pop() != Some(name) => return Err("its tags are crossed"),
                _ => (),
            }
        }
        Ok(Tag { kind, name, inside, start, end: end + 1 })
    }

    fn unfinished(&mut self) -> Result<Option<Tag<'a>>, Fault> {
        if self.strict {
            return Err("a tag is unfinished");
        }
        self.at = self.bytes.len();
        Ok(None)
    }

    fn finish(&self) -> Result<Option<Tag<'a>>, Fault> {
        if self.open.is_empty() { Ok(None) } else { Err("a tag is never closed") }
    }
}

/// Position of the first `>` outside quotes. Every cut is at a sign that was found, or one behind it.
fn end_of_tag(bytes: &[u8]) -> Option<usize> {
    let mut at = 0;
    loop {
        at += memchr3(b'>', b'"', b'\'', &bytes[at..])?;
        let found = bytes[at];
        if found == b'>' {
            return Some(at);
        }
        at += memchr(found, &bytes[at + 1..])? + 2;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(xml: &str, strict: bool) -> Result<Vec<String>, Fault> {
        let mut tags = Tags::new(xml.as_bytes(), strict);
        let mut found = Vec::new();
        while let Some(tag) = tags.next()? {
            found.push(String::from_utf8_lossy(tag.local()).into_owned());
        }
        Ok(found)
    }

    #[test]
    fn a_bracket_in_quotes_or_comments_is_no_tag() {
        let xml = "<?xml version='1.0'?><a b='>'><!-- <c> --><x:d e=\"/>\"/><![CDATA[<f>]]></a>";
        assert_eq!(names(xml, true).unwrap(), ["a", "d", "a"]);
    }

    #[test]
    fn crossed_and_unclosed_tags_are_faults_where_it_matters() {
        for xml in ["<a><b></a></b>", "<a>", "</a>", "<a", "<a b='>", "<!-- ", "<!DOCTYPE a>"] {
            assert!(names(xml, true).is_err(), "{xml}");
            assert!(names(xml, false).is_ok(), "{xml}");
        }
    }

    #[test]
    fn attributes_are_found_behind_prefixes_and_spaces() {
        let mut tags = Tags::new(b"<c x:r = 'A1' s=\"3\"/>", true);
        let tag = tags.next().unwrap().unwrap();
        assert_eq!(tag.kind, Kind::Empty);
        assert_eq!(tag.attribute(b"r"), Some(&b"A1"[..]));
        assert_eq!(tag.attribute(b"s"), Some(&b"3"[..]));
        assert_eq!(tag.attribute(b"t"), None);
    }
}
