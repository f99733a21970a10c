//! A file of text (rule tables, job text), guarded like a workbook: an ordinary file, not too large, and in UTF-8.

use super::guard;
use crate::finding::Finding;
use crate::read::findings::file::UnreadableFile;
use std::path::Path;

/// The text of a file.
///
/// # Errors
/// The finding that says why it cannot be read, or is no text.
pub fn text(path: &Path) -> Result<String, Box<Finding>> {
    let not_text = |_| UnreadableFile { reason: "it is not text in UTF-8".to_owned() }.into();
    String::from_utf8(guard::load(path)?).map_err(not_text)
}
